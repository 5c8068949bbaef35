"""Which boards to cut into: the fewest, then the least lumber, then twisted and pith boards back first; and
of the ways to cut them, the one that leaves the longest piece.

A quick way comes first and is improved. Then sets of boards are tried from the best on, as long as there is
time: the first that gives all parts is the answer, and no better one exists.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations_with_replacement, islice

from woodmove.advice.boards.cutting.first_fit import first_fit
from woodmove.advice.boards.cutting.mixes import SLACK_MM, Cuts, Mix, Mixes, TooMany, less
from woodmove.domain.cutting import CutBoard, Part, Stock

# Steps of the search for which boards, and of that for the longest piece: each well under half a second.
WORK, WORK_FOR_LEFT = 150_000, 60_000
# Sets of boards of one count that are tried, and boards that are changed for others in the quick way.
SETS, CHANGES = 3000, 60
# How near the longest piece is found.
NEAR_MM = 0.01


@dataclass(frozen=True, slots=True)
class Cutting:
    """The cuts of each board, those that go back whole, and how many of each part lack.

    :param proven: True where there is no better way; False where the time was too short to tell
    """

    boards: tuple[CutBoard, ...]
    back: tuple[Stock, ...]
    lacks: Mix
    proven: bool

    @property
    def longest_left_mm(self) -> float:
        """The longest piece of full width that is kept."""
        return max((board.left_mm for board in self.boards), default=0.0)


@dataclass(frozen=True, slots=True)
class _Way:
    """Boards and their cuts."""

    stocks: tuple[Stock, ...]
    cuts: tuple[Cuts, ...]

    def rank(self) -> tuple[int, float, int]:
        return _rank(self.stocks)


def _way(stocks: Sequence[Stock], cuts: Sequence[Cuts]) -> _Way:
    used = [(stock, its) for stock, its in zip(stocks, cuts, strict=True) if its]
    return _Way(tuple(stock for stock, _ in used), tuple(its for _, its in used))


def _rank(stocks: Sequence[Stock]) -> tuple[int, float, int]:
    """What is wanted of a set of boards, least first."""
    return len(stocks), round(sum(each.face_mm2 for each in stocks), 1), sum(each.poor for each in stocks)


def choose(stocks: Sequence[Stock], parts: Sequence[Part], kerf_mm: float) -> Cutting:
    """The cut list of boards and parts.

    :param kerf_mm: what the blade takes at each cut
    """
    demand = tuple(part.count for part in parts)
    search = _Search(stocks, parts, kerf_mm)
    target, best = search.quick(demand)
    try:
        if target != demand:
            target, best = search.most(demand, target, best)
        proven, best = search.fewest(target, best)
    except TooMany:
        proven = False
    best = _longest_left(Mixes(parts, kerf_mm, WORK_FOR_LEFT), best, target)
    used = {id(stock) for stock in best.stocks}
    return Cutting(
        tuple(
            CutBoard(stock, its, kept_mm(stock, its, kerf_mm))
            for stock, its in zip(best.stocks, best.cuts, strict=True)
        ),
        tuple(stock for stock in stocks if id(stock) not in used),
        less(demand, target),
        proven,
    )


def kept_mm(stock: Stock, cuts: Cuts, kerf_mm: float) -> float:
    """What can be kept off the end of a board in full width: each length before it takes a kerf."""
    return max(stock.usable_mm - sum(length.length_mm + kerf_mm for length in cuts), 0.0)


class _Search:
    """The boards for one list of parts."""

    def __init__(self, stocks: Sequence[Stock], parts: Sequence[Part], kerf_mm: float) -> None:
        self.stocks, self.parts, self.kerf = stocks, parts, kerf_mm
        # What is straight gives the long parts.
        self.order = sorted(stocks, key=lambda stock: (stock.poor, -stock.usable_mm2))
        self.mixes = Mixes(parts, kerf_mm, WORK)
        n = range(len(parts))
        self.orders = (
            sorted(n, key=lambda i: (-parts[i].length_mm, -parts[i].width_mm)),
            sorted(n, key=lambda i: (-parts[i].width_mm, -parts[i].length_mm)),
            sorted(n, key=lambda i: -parts[i].width_mm * parts[i].length_mm),
        )

    def face(self, mix: Mix) -> float:
        return sum(n * part.width_mm * part.length_mm for n, part in zip(mix, self.parts, strict=True))

    def quick(self, demand: Mix) -> tuple[Mix, _Way]:
        """The best of what first fit gives, with boards taken out and changed for smaller ones."""
        boards = (
            self.stocks,
            self.order,
            sorted(self.order, key=lambda stock: -stock.usable_mm2),
            sorted(self.order, key=lambda stock: -stock.usable_mm),
            sorted(self.order, key=lambda stock: (stock.poor, stock.usable_mm2)),
        )
        ways = [(stocks, self._fit(stocks, order)) for stocks in boards for order in self.orders]
        target = max((found[0] for _, found in ways), key=self.face)
        best = min((_way(stocks, its) for stocks, (mix, its) in ways if mix == target), key=_Way.rank)
        tries = CHANGES
        for old in sorted(best.stocks, key=lambda stock: stock.usable_mm2):
            if old not in best.stocks:
                continue
            kept = [stock for stock in best.stocks if stock is not old]
            unused = [stock for stock in self.order if all(stock is not each for each in best.stocks)]
            kinds = {replace(stock, name=""): stock for stock in reversed(unused)}
            smaller = sorted(kinds.values(), key=lambda stock: (stock.face_mm2, stock.poor))
            for fresh in ([], *([stock] for stock in smaller if _rank([stock]) < _rank([old]))):
                tries -= 1
                found = self._gives([*kept, *fresh], target) if tries > 0 else None
                if found is not None:
                    best = found
                    break
        # Of the same boards the straight ones give all that they can.
        return target, self._gives(best.stocks, target) or best

    def _fit(self, stocks: Sequence[Stock], order: Sequence[int]) -> tuple[Mix, tuple[Cuts, ...]]:
        return first_fit(stocks, self.parts, order, self.kerf)

    def _gives(self, stocks: Sequence[Stock], target: Mix) -> _Way | None:
        stocks = sorted(stocks, key=lambda stock: (stock.poor, -stock.usable_mm2))
        wanted = [replace(part, count=n) for part, n in zip(self.parts, target, strict=True)]
        for order in self.orders:
            mix, cuts = first_fit(stocks, wanted, order, self.kerf)
            if mix == target:
                return _way(stocks, cuts)
        return None

    def most(self, demand: Mix, target: Mix, best: _Way) -> tuple[Mix, _Way]:
        """The most that all boards give together.

        :raises TooMany: there are too many ways
        """
        found = self.mixes.of_boards(self.order, demand)
        most = max(found, key=self.face)
        if self.face(most) > self.face(target):
            return most, _way(self.order, found[most])
        return target, best

    def fewest(self, target: Mix, best: _Way) -> tuple[bool, _Way]:
        """The best set of boards that gives the parts; and whether all better ones were tried.

        :raises TooMany: there are too many ways to cut one of them
        """
        for count in range(len(best.stocks) + 1):
            sets = list(islice(self._sets(count), SETS + 1))
            if len(sets) > SETS:
                return False, best
            for stocks in sorted(sets, key=_rank):
                if _rank(stocks) >= best.rank():
                    break
                if sum(stock.usable_mm2 for stock in stocks) < self.face(target) - 1:
                    continue
                cuts = self.mixes.of_boards(stocks, target).get(target)
                if cuts is not None:
                    return True, _way(stocks, cuts)
        return True, best

    def _sets(self, count: int) -> Iterator[tuple[Stock, ...]]:
        """Sets of boards, one only of those that are alike."""
        kinds: dict[Stock, list[Stock]] = {}
        for stock in self.order:
            kinds.setdefault(replace(stock, name=""), []).append(stock)
        for chosen in combinations_with_replacement(kinds, count):
            numbers = [chosen[:at].count(kind) for at, kind in enumerate(chosen)]
            if all(number < len(kinds[kind]) for number, kind in zip(numbers, chosen, strict=True)):
                yield tuple(kinds[kind][number] for number, kind in zip(numbers, chosen, strict=True))


def _longest_left(mixes: Mixes, best: _Way, target: Mix) -> _Way:
    """The same boards, cut so that the longest piece can be kept off one of them; as far as there is time."""
    left = max((kept_mm(*each, mixes.kerf) for each in zip(best.stocks, best.cuts, strict=True)), default=0.0)
    try:
        for at, stock in enumerate(best.stocks):
            others = (*best.stocks[:at], *best.stocks[at + 1 :])
            for mix, its in mixes.of_boards(others, target).items():
                wanted = less(target, mix)
                low, high = 0.0, stock.usable_mm - left - mixes.kerf
                while high - low > NEAR_MM:
                    # The first trial tells whether there is anything to find.
                    used = high - NEAR_MM / 2 if low == 0.0 else (low + high) / 2
                    cuts = mixes.of_board(replace(stock, usable_mm=used), wanted).get(wanted)
                    if not cuts:
                        if low == 0.0:
                            break
                        low = used
                        continue
                    kept = kept_mm(stock, cuts, mixes.kerf)
                    if kept > left + SLACK_MM:
                        left = kept
                        best = _Way(best.stocks, (*its[:at], cuts, *its[at:]))
                    low, high = max(low, 1.0), min(used, stock.usable_mm - kept - mixes.kerf)
    except TooMany:
        pass
    return best
