"""The end of a board or strip as it looks: the rings that cross it, about the pith."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

# Arcs to an end, and points to the longest of them: enough to see how the rings lie.
ARCS, POINTS = 9, 48


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

    def rings(self) -> Iterator[tuple[tuple[float, ...], tuple[float, ...]]]:
        """Arcs about the pith, evenly apart from its nearest point to its farthest, each cut off where it
        leaves the wood: x and y of their points."""
        left, right = self.x - self.pith_x, self.x + self.width - self.pith_x
        low, high = self.y - self.pith_y, self.y + self.height - self.pith_y
        nearest = math.hypot(max(left, 0.0, -right), max(low, 0.0, -high))
        farthest = max(math.hypot(x, y) for x in (left, right) for y in (low, high))
        for number in range(1, ARCS + 1):
            yield from self._arc(nearest + (farthest - nearest) * number / (ARCS + 1))

    def _arc(self, radius: float) -> Iterator[tuple[tuple[float, ...], tuple[float, ...]]]:
        # A ring of a far pith takes up little of its circle: as fine a step as its own wood asks for.
        steps = max(POINTS, math.ceil(math.tau * radius / max(self.width, self.height) * POINTS))
        run: list[tuple[float, float]] = []
        for number in range(steps + 1):
            # The seam of the circle lies opposite to the wood, or within it where the pith does.
            angle = self._away + math.tau * number / steps
            x = self.pith_x + radius * math.cos(angle)
            y = self.pith_y + radius * math.sin(angle)
            if self.x <= x <= self.x + self.width and self.y <= y <= self.y + self.height:
                run.append((x, y))
            elif run:
                yield from _whole(run)
                run = []
        yield from _whole(run)

    @property
    def _away(self) -> float:
        """The angle from the pith away from the middle of the wood [rad]."""
        return math.atan2(self.pith_y - self.y - self.height / 2.0, self.pith_x - self.x - self.width / 2.0)


def _whole(run: list[tuple[float, float]]) -> Iterator[tuple[tuple[float, ...], tuple[float, ...]]]:
    if len(run) > 1:
        yield tuple(x for x, _ in run), tuple(y for _, y in run)
