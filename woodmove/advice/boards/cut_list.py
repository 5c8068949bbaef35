"""Which board gives which parts.

Fewest boards, then the least lumber, then twisted and pith boards back first; of such ways, the one that
leaves the longest piece. Each step holds the mixes of parts that the boards so far can give: exact while
these are few, else the best of them are carried on, and :attr:`Cutting.proven` is false.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations_with_replacement

from woodmove.domain.cutting import CutBoard, Lane, Length, Part, Stock

# A thousandth of a millimetre: what is equal but for rounding fits.
SLACK_MM = 1e-3
# Mixes that are carried on from one board to the next, and kept of one board.
MIXES, LAYOUTS = 240, 40
# Sets of boards that are tried before the best so far is taken, by how many kinds of parts there are.
TRIES = 240

Mix = tuple[int, ...]
Cuts = tuple[Length, ...]


@dataclass(frozen=True, slots=True)
class Cutting:
    """The cuts, what lacks (by place in the list), and whether no better way exists."""

    boards: tuple[CutBoard, ...]
    back: tuple[Stock, ...]
    lacks: tuple[int, ...]
    longest_left_mm: float
    proven: bool


class Sawyer:
    """Cuts one list of parts from boards, and remembers what a board of a kind can give."""

    def __init__(self, parts: Sequence[Part], kerf_mm: float) -> None:
        self.parts, self.kerf = tuple(parts), kerf_mm
        # Long parts are hard to place: they weigh more than their face.
        self.worth = [part.width_mm * part.length_mm**1.5 for part in parts]
        self.exact = True
        self._known: dict[tuple[object, ...], dict[Mix, Cuts]] = {}

    def value(self, mix: Mix) -> float:
        return sum(count * worth for count, worth in zip(mix, self.worth, strict=True))

    def pruned(self, found: dict[Mix, Cuts], most: int) -> dict[Mix, Cuts]:
        """Without mixes that another holds; the most valuable if there are many."""
        ranked = sorted(found, key=self.value, reverse=True)
        kept: list[Mix] = []
        for mix in ranked:
            if not any(all(a <= b for a, b in zip(mix, other, strict=True)) for other in kept):
                if len(kept) == most:
                    self.exact = False
                    break
                kept.append(mix)
        return {mix: found[mix] for mix in kept}

    def of_board(self, stock: Stock, demand: Mix) -> dict[Mix, Cuts]:
        """The mixes that a board can give, with their cuts."""
        fits = tuple(
            count if part.length_mm <= stock.longest_mm + SLACK_MM else 0
            for part, count in zip(self.parts, demand, strict=True)
        )
        return self._lengths(stock.widths_mm, stock.usable_mm, fits, stock.usable_mm)

    def _lengths(
        self, widths: tuple[float, ...], room: float, demand: Mix, longest: float
    ) -> dict[Mix, Cuts]:
        """Crosscut into lengths, each no longer than the one before it; the last takes the rest."""
        key = (widths, round(room, 2), demand, round(longest, 2))
        if key in self._known:
            return self._known[key]
        found: dict[Mix, Cuts] = {}
        for mix, length in self._ripped(widths, room, demand).items():
            found.setdefault(mix, (length,) if length.lanes else ())
        for first in sorted({part.length_mm for part in self.parts}, reverse=True):
            if first > min(room, longest) + SLACK_MM or len(widths) == 0:
                continue
            rest = room - first - self.kerf
            for mix, length in self._ripped(widths, first, demand).items():
                if not length.lanes:
                    continue
                left = tuple(a - b for a, b in zip(demand, mix, strict=True))
                if rest <= 0 or not any(left):
                    found.setdefault(mix, (length,))
                    continue
                for other, cuts in self._lengths(widths, rest, left, first).items():
                    found.setdefault(tuple(a + b for a, b in zip(mix, other, strict=True)), (length, *cuts))
        self._known[key] = self.pruned(found, LAYOUTS)
        return self._known[key]

    def _ripped(self, widths: tuple[float, ...], room: float, demand: Mix) -> dict[Mix, Length]:
        """A length ripped into strips."""
        key = ("rip", widths, round(room, 2), demand)
        if key not in self._known:
            done: dict[Mix, Cuts] = {(0,) * len(demand): (Length(0.0, ()),)}
            for side, width in enumerate(widths):
                for _ in range(16):
                    grown = self._one_more(done, side, width, room, demand)
                    if grown.keys() == done.keys():
                        break
                    done = grown
                done = self.pruned(done, LAYOUTS)
            self._known[key] = done
        return {mix: cuts[0] for mix, cuts in self._known[key].items()}

    def _one_more(
        self, done: dict[Mix, Cuts], side: int, width: float, room: float, demand: Mix
    ) -> dict[Mix, Cuts]:
        """Each way, with one strip more where there is room for it."""
        grown: dict[Mix, Cuts] = {}
        for mix, (length,) in done.items():
            used = sum(lane.width_mm + self.kerf for lane in length.lanes if lane.side == side)
            left = tuple(a - b for a, b in zip(demand, mix, strict=True))
            added = False
            for strip in sorted({part.width_mm for part in self.parts}, reverse=True):
                if used + strip > width + SLACK_MM:
                    continue
                for more, lane in self._lanes(strip, room, left):
                    added = True
                    total = tuple(a + b for a, b in zip(mix, more, strict=True))
                    long = max(length.length_mm, self.run(lane))
                    cut = Length(long, (*length.lanes, Lane(strip, lane, side)))
                    known = grown.get(total)
                    if known is None or known[0].length_mm > long:
                        grown[total] = (cut,)
            if not added:
                grown.setdefault(mix, (length,))
        return self.pruned(grown, LAYOUTS)

    def run(self, lane: Sequence[int]) -> float:
        """Parts end to end, a kerf between each two."""
        return sum(self.parts[part].length_mm for part in lane) + self.kerf * max(len(lane) - 1, 0)

    def _lanes(self, strip: float, room: float, left: Mix) -> Iterator[tuple[Mix, tuple[int, ...]]]:
        """Parts end to end along a strip, as many as fit. At least one is as wide as the strip."""
        order = sorted(
            (n for n, part in enumerate(self.parts) if left[n] and part.width_mm <= strip + SLACK_MM),
            key=lambda n: -self.parts[n].length_mm,
        )
        ways: list[tuple[int, ...]] = []

        def fill(at: int, space: float, lane: tuple[int, ...]) -> None:
            if len(ways) >= 4 * LAYOUTS:
                self.exact = False
                return
            if at == len(order):
                if any(self.parts[n].width_mm >= strip - SLACK_MM for n in lane):
                    ways.append(lane)
                return
            part = order[at]
            each = self.parts[part].length_mm + self.kerf
            most = min(left[part], int((space + self.kerf + SLACK_MM) // each))
            for count in range(most, -1, -1):
                fill(at + 1, space - count * each, (*lane, *(part,) * count))

        fill(0, room, ())
        mixes = {tuple(way.count(n) for n in range(len(self.parts))): way for way in ways}
        kept = self.pruned({mix: () for mix in mixes}, LAYOUTS)
        return ((mix, mixes[mix]) for mix in kept)

    def pack(self, stocks: Sequence[Stock], demand: Mix) -> tuple[Mix, tuple[Cuts, ...]]:
        """The most that these boards give of a demand, board by board."""
        nothing: Mix = (0,) * len(demand)
        states: dict[Mix, tuple[Cuts, ...]] = {nothing: ()}
        for stock in stocks:
            grown: dict[Mix, tuple[Cuts, ...]] = {}
            for mix, cuts in states.items():
                left = tuple(a - b for a, b in zip(demand, mix, strict=True))
                if not any(left):
                    return mix, (*cuts, *((),) * (len(stocks) - len(cuts)))
                for more, layout in self.of_board(stock, left).items():
                    total = tuple(a + b for a, b in zip(mix, more, strict=True))
                    grown.setdefault(total, (*cuts, layout))
            most = MIXES if len(demand) <= 6 and len(stocks) <= 6 else 2
            if len(grown) > most:
                self.exact = False
            ranked = sorted(grown, key=self.value, reverse=True)[:most]
            states = {mix: grown[mix] for mix in ranked}
        best = max(states, key=self.value)
        return best, states[best]


def first_fit(stocks: Sequence[Stock], parts: Sequence[Part], kerf: float) -> tuple[Mix, tuple[Cuts, ...]]:
    """Longest part first, each into the first length that has room beside what is in it, else into a new one."""
    made: list[list[Length]] = [[] for _ in stocks]
    got = [0] * len(parts)
    for n in sorted(range(len(parts)), key=lambda n: (-parts[n].length_mm, -parts[n].width_mm)):
        got[n] = sum(_placed(n, stocks, made, parts, kerf) for _ in range(parts[n].count))
    return tuple(got), tuple(tuple(lengths) for lengths in made)


def _placed(
    n: int, stocks: Sequence[Stock], made: list[list[Length]], parts: Sequence[Part], kerf: float
) -> bool:
    part = parts[n]
    for stock, lengths in zip(stocks, made, strict=True):
        if part.length_mm > stock.longest_mm + SLACK_MM:
            continue
        for at, length in enumerate(lengths):
            for side, width in enumerate(stock.widths_mm):
                used = sum(lane.width_mm + kerf for lane in length.lanes if lane.side == side)
                if used + part.width_mm <= width + SLACK_MM and part.length_mm <= length.length_mm + SLACK_MM:
                    lengths[at] = replace(length, lanes=(*length.lanes, Lane(part.width_mm, (n,), side)))
                    return True
        room = stock.usable_mm - sum(length.length_mm + kerf for length in lengths)
        for side, width in enumerate(stock.widths_mm):
            if part.width_mm <= width + SLACK_MM and part.length_mm <= room + SLACK_MM:
                lengths.append(Length(part.length_mm, (Lane(part.width_mm, (n,), side),)))
                return True
    return False


@dataclass(frozen=True, slots=True)
class _Way:
    """Boards that are cut into, and how."""

    stocks: tuple[Stock, ...]
    cuts: tuple[Cuts, ...]

    @classmethod
    def of(cls, stocks: Sequence[Stock], cuts: Sequence[Cuts]) -> "_Way":
        used = [(stock, cut) for stock, cut in zip(stocks, cuts, strict=True) if cut]
        return cls(tuple(stock for stock, _ in used), tuple(cut for _, cut in used))

    def rank(self) -> tuple[float, float, float]:
        return (
            len(self.stocks),
            round(sum(stock.lumber_mm2 for stock in self.stocks), 1),
            sum(stock.poor for stock in self.stocks),
        )


def cut(stocks: Sequence[Stock], parts: Sequence[Part], kerf_mm: float) -> Cutting:
    """The cut list.

    :param stocks: boards, any number; straight ones are taken first
    :param parts: what is wanted
    :param kerf_mm: what the blade takes at each cut [mm]
    """
    saw = Sawyer(parts, kerf_mm)
    demand = tuple(part.count for part in parts)
    order = sorted(stocks, key=lambda stock: (stock.poor, -stock.widths_mm[0] * stock.usable_mm))
    face = [part.width_mm * part.length_mm for part in parts]

    def worth(found: tuple[Mix, tuple[Cuts, ...]]) -> float:
        return sum(n * each for n, each in zip(found[0], face, strict=True))

    ways = [saw.pack(order, demand), first_fit(order, parts, kerf_mm), first_fit(stocks, parts, kerf_mm)]
    target = max(ways, key=worth)[0]
    named = (order, order, stocks)
    best = min(
        (_Way.of(boards, way[1]) for boards, way in zip(named, ways, strict=True) if way[0] == target),
        key=_Way.rank,
    )
    best, tried_all = _fewest(saw, order, target, best)
    best, left = _longest_left(saw, best, target)
    used = {id(stock) for stock in best.stocks}
    boards = tuple(
        CutBoard(stock, cuts, _left(stock, cuts, kerf_mm))
        for stock, cuts in zip(best.stocks, best.cuts, strict=True)
    )
    return Cutting(
        boards,
        tuple(stock for stock in stocks if id(stock) not in used),
        tuple(want - got for want, got in zip(demand, target, strict=True)),
        left,
        tried_all and saw.exact,
    )


def _left(stock: Stock, cuts: Cuts, kerf: float) -> float:
    return max(stock.usable_mm - sum(length.length_mm + kerf for length in cuts), 0.0)


def _fewest(saw: Sawyer, order: Sequence[Stock], target: Mix, best: _Way) -> tuple[_Way, bool]:
    """Sets of boards in the order of what is wanted of them, until one gives the parts."""
    kinds: dict[Stock, list[Stock]] = {}
    for stock in order:
        kinds.setdefault(replace(stock, name=""), []).append(stock)
    faces = sum(n * part.width_mm * part.length_mm for n, part in zip(target, saw.parts, strict=True))
    alike = list(kinds)
    for count in range(1, len(best.stocks) + 1):
        top = sorted((sum(each.widths_mm) * each.usable_mm for each in order), reverse=True)[:count]
        if sum(top) < faces - 1:
            continue
        sets: list[tuple[tuple[float, float, float], tuple[Stock, ...]]] = []
        for number, found in enumerate(combinations_with_replacement(range(len(alike)), count)):
            if number >= 10 * TRIES:
                return _smaller(saw, order, target, best), False
            if any(found.count(n) > len(kinds[alike[n]]) for n in set(found)):
                continue
            seen: dict[int, int] = {}
            chosen: list[Stock] = []
            for n in found:
                chosen.append(kinds[alike[n]][seen.get(n, 0)])
                seen[n] = seen.get(n, 0) + 1
            if sum(sum(each.widths_mm) * each.usable_mm for each in chosen) >= faces - 1:
                sets.append((_Way(tuple(chosen), ()).rank(), tuple(chosen)))
        if len(sets) > TRIES:
            return _smaller(saw, order, target, best), False
        for rank, chosen in sorted(sets, key=lambda each: each[0]):
            if rank >= best.rank():
                break
            got, cuts = saw.pack(chosen, target)
            if got == target:
                return _Way.of(chosen, cuts), True
    return best, True


def _smaller(saw: Sawyer, order: Sequence[Stock], target: Mix, best: _Way) -> _Way:
    """Another order of the boards, which may do with fewer, or with less lumber: where the sets are too many
    to try them all."""
    straight = [stock for stock in order if not stock.poor]
    poor = [stock for stock in order if stock.poor]
    for boards in (
        sorted(order, key=lambda each: -each.usable_mm * sum(each.widths_mm)),
        sorted(straight, key=lambda each: each.lumber_mm2) + poor,
    ):
        got, cuts = saw.pack(boards, target)
        if got == target:
            best = min(best, _Way.of(boards, cuts), key=_Way.rank)
    return best


def _longest_left(saw: Sawyer, best: _Way, target: Mix) -> tuple[_Way, float]:
    """The same boards, cut so that the longest piece can be kept off the end of one of them."""
    left = max((_left(*each, saw.kerf) for each in zip(best.stocks, best.cuts, strict=True)), default=0.0)
    if len(best.stocks) > 6 or len(saw.parts) > 6:
        return best, left
    for at, stock in enumerate(best.stocks):
        low, high = 0.0, stock.usable_mm - left - saw.kerf
        # Down to a hundredth of a millimetre; each trial that does ends on lengths that are really cut.
        while high - low > 0.01:
            used = (low + high) / 2
            short = replace(stock, usable_mm=used)
            got, cuts = saw.pack((*best.stocks[:at], short, *best.stocks[at + 1 :]), target)
            if got != target or not cuts[at]:
                low = used
                continue
            kept = _left(stock, cuts[at], saw.kerf)
            high = min(used, stock.usable_mm - kept - saw.kerf)
            if kept > left + SLACK_MM:
                best, left = _Way(best.stocks, cuts), kept
    return best, left
