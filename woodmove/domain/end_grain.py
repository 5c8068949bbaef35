"""The end of a board or strip as it looks: the rings that cross it, about the pith."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

# Arcs to an end, and points to a whole one of them: enough to see how the rings lie.
ARCS, POINTS = 9, 48
# A pith so many widths away has straight rings.
FAR = 1000.0


@dataclass(frozen=True, slots=True)
class EndGrain:
    """A rectangle of wood and its pith, all in millimetres in one plane.

    :param x: of its left edge
    :param y: of its lower edge
    :param pith_x: of the pith
    :param pith_y: of the pith, which may lie outside
    """

    x: float
    y: float
    width: float
    height: float
    pith_x: float
    pith_y: float

    @property
    def holds_pith(self) -> bool:
        """True where the pith lies in the wood."""
        return self.x <= self.pith_x <= self.x + self.width and self.y <= self.pith_y <= self.y + self.height

    def rings(self, arcs: int = ARCS) -> Iterator[tuple[tuple[float, ...], tuple[float, ...]]]:
        """Arcs about the pith, evenly apart from its nearest point to its farthest, each cut off where it
        leaves the wood: x and y of their points."""
        left, right = self.x - self.pith_x, self.x + self.width - self.pith_x
        low, high = self.y - self.pith_y, self.y + self.height - self.pith_y
        nearest = math.hypot(max(left, 0.0, -right), max(low, 0.0, -high))
        farthest = max(math.hypot(x, y) for x in (left, right) for y in (low, high))
        first, last = self._sight
        steps = POINTS * (4 if self.holds_pith else 1)
        angles = [first + (last - first) * number / steps for number in range(steps + 1)]
        for number in range(1, arcs + 1):
            yield from self._arc(nearest + (farthest - nearest) * number / (arcs + 1), angles)

    def _arc(
        self, radius: float, angles: list[float]
    ) -> Iterator[tuple[tuple[float, ...], tuple[float, ...]]]:
        run: list[tuple[float, float]] = []
        for angle in angles:
            x = self.pith_x + radius * math.cos(angle)
            y = self.pith_y + radius * math.sin(angle)
            if self.x <= x <= self.x + self.width and self.y <= y <= self.y + self.height:
                run.append((x, y))
            elif run:
                yield from _whole(run)
                run = []
        yield from _whole(run)

    @property
    def _sight(self) -> tuple[float, float]:
        """Between which angles the wood lies as seen from the pith [rad]: all of them from within."""
        middle = math.atan2(self.y + self.height / 2.0 - self.pith_y, self.x + self.width / 2.0 - self.pith_x)
        if self.holds_pith:
            return middle - math.pi, middle + math.pi
        corners = [
            math.remainder(math.atan2(y - self.pith_y, x - self.pith_x) - middle, math.tau)
            for x in (self.x, self.x + self.width)
            for y in (self.y, self.y + self.height)
        ]
        return middle + min(corners), middle + max(corners)


def far_pith(x: float, y: float, size: float, angle_deg: float) -> tuple[float, float]:
    """The pith of straight rings that stand at an angle to the upright faces of wood about a place, so far
    off that no arc shows.

    :param size: of the wood
    """
    away, angle = FAR * size, math.radians(angle_deg)
    return x + away * math.cos(angle), y - away * math.sin(angle)


def _whole(run: list[tuple[float, float]]) -> Iterator[tuple[tuple[float, ...], tuple[float, ...]]]:
    if len(run) > 1:
        yield tuple(x for x, _ in run), tuple(y for _, y in run)
