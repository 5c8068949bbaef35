"""The mixes of parts that boards can give: crosscut into lengths, these ripped into strips, those crosscut.

Every way is tried, and a mix that another one holds is dropped. A crosscut lies where a part ends, or two
parts one behind the other where there are few kinds.
"""

from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from operator import le
from typing import TypeAlias, TypeVar

from woodmove.domain.cutting import Lane, Length, Part, Stock

# A thousandth of a millimetre: what is equal but for rounding fits.
SLACK_MM = 1e-3
# So many kinds of parts are few.
FEW = 3

# How many of each part, by its place in the list; and the cuts that give them.
Mix: TypeAlias = tuple[int, ...]
Cuts: TypeAlias = tuple[Length, ...]
V = TypeVar("V")


class TooMany(Exception):
    """There are more ways than there is time for."""


def plus(mix: Mix, other: Mix) -> Mix:
    """Both."""
    return tuple(a + b for a, b in zip(mix, other, strict=True))


def less(mix: Mix, other: Mix) -> Mix:
    """What of the one is not in the other."""
    return tuple(max(a - b, 0) for a, b in zip(mix, other, strict=True))


class Mixes:
    """What boards can give of a list of parts.

    :param work: steps after which it gives up
    """

    def __init__(self, parts: Sequence[Part], kerf_mm: float, work: int) -> None:
        self.parts, self.kerf = tuple(parts), kerf_mm
        self.work = work
        lengths = sorted({part.length_mm for part in parts}, reverse=True)
        pairs = {a + b + kerf_mm for a in lengths for b in lengths} if len(lengths) <= FEW else set[float]()
        self._ends = sorted({*lengths, *pairs}, reverse=True)
        # Boards of a kind are asked for again and again, for the same parts.
        self._crosscut = cache(self._find_crosscut)
        self._ripped = cache(self._find_ripped)
        self._along = cache(self._find_along)

    def of_board(self, stock: Stock, demand: Mix) -> dict[Mix, Cuts]:
        """What a board can give of a demand, each mix with its cuts; none within another.

        :raises TooMany: there are too many ways
        """
        fits = [part.length_mm <= stock.longest_mm + SLACK_MM for part in self.parts]
        wanted = tuple(n if fit else 0 for n, fit in zip(demand, fits, strict=True))
        return self._crosscut(stock.widths_mm, stock.usable_mm, self._at_most(wanted, stock), stock.usable_mm)

    def of_boards(self, stocks: Iterable[Stock], demand: Mix) -> dict[Mix, tuple[Cuts, ...]]:
        """What boards can give together, with the cuts of each.

        :raises TooMany: there are too many ways
        """
        found: dict[Mix, tuple[Cuts, ...]] = {(0,) * len(demand): ()}
        for stock in stocks:
            grown: dict[Mix, tuple[Cuts, ...]] = {}
            for mix, cuts in found.items():
                for more, its in self.of_board(stock, less(demand, mix)).items():
                    grown.setdefault(plus(mix, more), (*cuts, its))
            found = self._largest(grown)
        return found

    def _at_most(self, demand: Mix, stock: Stock) -> Mix:
        """No more of a part than the board could give if it gave nothing else: less to tell apart."""

        def most(part: Part) -> int:
            along = (stock.usable_mm + self.kerf + SLACK_MM) // (part.length_mm + self.kerf)
            across = sum((w + self.kerf + SLACK_MM) // (part.width_mm + self.kerf) for w in stock.widths_mm)
            return int(along * across)

        return tuple(min(n, most(part)) for n, part in zip(demand, self.parts, strict=True))

    def _largest(self, found: dict[Mix, V]) -> dict[Mix, V]:
        """Those that lie within no other."""
        kept: list[Mix] = []
        for mix in sorted(found, key=sum, reverse=True):
            self._step(1 + len(kept))
            if not any(all(map(le, mix, other)) for other in kept):
                kept.append(mix)
        return {mix: found[mix] for mix in kept}

    def _find_crosscut(
        self, widths: tuple[float, ...], room: float, demand: Mix, longest: float
    ) -> dict[Mix, Cuts]:
        """Each length no longer than the one before it; what is behind the last is ripped as it is."""
        if not any(demand) or room <= 0:
            return {(0,) * len(demand): ()}
        found: dict[Mix, Cuts] = {}
        for mix, length in self._ripped(widths, room, demand).items():
            found.setdefault(mix, (length,) if length.lanes else ())
        for end in self._ends:
            if end > min(room, longest) + SLACK_MM:
                continue
            for mix, length in self._ripped(widths, end, demand).items():
                if length.lanes:
                    rest = self._crosscut(widths, room - end - self.kerf, less(demand, mix), end)
                    for other, cuts in rest.items():
                        found.setdefault(plus(mix, other), (length, *cuts))
        return self._largest(found)

    def _find_ripped(self, widths: tuple[float, ...], room: float, demand: Mix) -> dict[Mix, Length]:
        """A length, ripped in every way that leaves no room for another strip."""
        found: dict[Mix, tuple[Lane, ...]] = {(0,) * len(demand): ()}
        for side, width in enumerate(widths):
            grown: dict[Mix, tuple[Lane, ...]] = {}
            for strips in self._across(width, room, demand):
                done = found
                for strip in strips:
                    step: dict[Mix, tuple[Lane, ...]] = {}
                    for mix, lanes in done.items():
                        for more, lane in self._along(strip, room, less(demand, mix)).items():
                            made = (*lanes, Lane(strip, lane, side)) if lane else lanes
                            step.setdefault(plus(mix, more), made)
                    done = self._largest(step)
                for mix, lanes in done.items():
                    grown.setdefault(mix, lanes)
            found = self._largest(grown)
        return {
            mix: Length(max((self.run_mm(lane.parts) for lane in lanes), default=0.0), lanes)
            for mix, lanes in found.items()
        }

    def _across(self, width: float, room: float, demand: Mix) -> Iterator[tuple[float, ...]]:
        """Strips side by side, the widest first, with no room for another."""
        wanted = zip(self.parts, demand, strict=True)
        strips = sorted(
            {part.width_mm for part, n in wanted if n and part.length_mm <= room + SLACK_MM}, reverse=True
        )

        def fill(at: int, left: float) -> Iterator[tuple[float, ...]]:
            if at == len(strips):
                if not strips or left + SLACK_MM < strips[-1]:
                    yield ()
                return
            each = strips[at] + self.kerf
            for count in range(int((left + self.kerf + SLACK_MM) // each), -1, -1):
                for rest in fill(at + 1, left - count * each):
                    yield (*(strips[at],) * count, *rest)

        yield from fill(0, width)

    def run_mm(self, lane: Sequence[int]) -> float:
        """Parts end to end, a kerf between each two."""
        return sum(self.parts[part].length_mm for part in lane) + self.kerf * max(len(lane) - 1, 0)

    def _find_along(self, strip: float, room: float, demand: Mix) -> dict[Mix, tuple[int, ...]]:
        """Parts end to end along a strip, with no room for another."""
        order = [n for n, part in enumerate(self.parts) if demand[n] and part.width_mm <= strip + SLACK_MM]
        order.sort(key=lambda n: -self.parts[n].length_mm)
        found: dict[Mix, tuple[int, ...]] = {}

        def fill(at: int, left: float, lane: tuple[int, ...]) -> None:
            if at == len(order):
                found[tuple(lane.count(n) for n in range(len(self.parts)))] = lane
                return
            each = self.parts[order[at]].length_mm + self.kerf
            most = min(demand[order[at]], int((left + self.kerf + SLACK_MM) // each))
            for count in range(most, -1, -1):
                self._step()
                fill(at + 1, left - count * each, (*lane, *(order[at],) * count))

        fill(0, room, ())
        return self._largest(found)

    def _step(self, steps: int = 1) -> None:
        self.work -= steps
        if self.work < 0:
            raise TooMany
