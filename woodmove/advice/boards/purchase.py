"""How many boards to buy for a number of strips, and of which sizes."""

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from itertools import islice
from statistics import NormalDist
from typing import Annotated, Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from woodmove.advice.boards import warp as warping
from woodmove.advice.boards import words as rip_words
from woodmove.advice.boards.allowance import Asked, Sawn, Warped
from woodmove.advice.boards.arrays import BoardArrays
from woodmove.advice.boards.left_out import left_out
from woodmove.advice.boards.pith import about_pith
from woodmove.advice.boards.rip import SOURCES, Service
from woodmove.advice.boards.warp import Pile
from woodmove.advice.boards.yard import Look, checklist, meter_boards
from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.contract.answer import Answer, Verdict
from woodmove.contract.notes import Assumption, Note, Warning, assumption, note, warning
from woodmove.contract.quantity import CHANCE, LENGTH, SHARE, SURELY_PCT, Quantity
from woodmove.contract.refusal import Refusal
from woodmove.contract.shown import Shown, results
from woodmove.domain.board import BoardSize, Lumber
from woodmove.domain.species import Wood
from woodmove.domain.stock import Cut, SawnBoard
from woodmove.domain.top import in_shares, lengths_per_board

# What the stamp says of moisture when surfaced: highest [%] (source: ps-20).
STAMPS: dict[str, float | None] = {
    "KD-HT": 19.0, "KD": 19.0, "S-DRY": 19.0, "KD15": 15.0, "MC15": 15.0, "S-GRN": None,
}  # fmt: skip
# Inputs that all boards of a purchase share: their doubt does not average out.
SHARED = {
    each.name
    for each in (
        doubt.SPECIES_MEAN, doubt.STRAIGHT_LINE, doubt.EDITION, doubt.MEMBER, doubt.LOCKED_PILE,
        doubt.SKEW_PILE,
    )
}  # fmt: skip
MOST_BOARDS = 100_000
# Strips that are this little too long for one more to a board are told of (status: judgement).
NEARLY_A_LENGTH_MM = 25.4
# A second kind is mixed in with at most so many boards; more of it would be cheaper as the main one.
MOST_MIXED = 6
# One strip in ten is lost to wane, edge knots and splits; so much goes of each end (status: judgement).
DEFECTS, END_TRIM_MM = 0.10, 12.7

# Two decimals, in whatever money it was typed.
PRICE = Quantity("price", ("", 0.01, 0.01), ("", 0.01, 0.01))
STRIPS = Quantity("_per_board", ("", 0.1, 0.1), ("", 0.1, 0.1))

BUY = note(
    "BUY", "Buy {boards}, {size}, {length_mm} long: enough {sure_pct} of the time.",
    boards=None, size=None, length_mm=LENGTH, sure_pct=CHANCE,
)  # fmt: skip
BUY_SURELY = note(
    "BUY", "Buy {boards}, {size}, {length_mm} long: almost surely enough.",
    boards=None, size=None, length_mm=LENGTH,
)  # fmt: skip
AND_BUY = note("AND_BUY", "And {boards}, {size}, {length_mm} long.", boards=None, size=None, length_mm=LENGTH)
EVEN = note("EVEN_CHANCE", "With {even} it is an even chance.", even=None)
HAVE_ENOUGH = note("HAVE_ENOUGH", "Buy none. What you have is enough.")
NOT_FROM_THESE = note("NOT_FROM_THESE", "Do not buy these: no number of them is surely enough.")
SHORTER = note("SHORTER_STRIPS", "Make the strips shorter or narrower, or take wider boards.")
LOST = assumption(
    "LOST_TO_DEFECTS",
    "{lost_pct} of the strips are lost to wane, edge knots and splits (judgement).",
    lost_pct=SHARE,
)
ENDS_TRIMMED = assumption("ENDS_TRIMMED", "{trim_mm} goes of each end of a board.", trim_mm=LENGTH)
JUST_TOO_LONG = warning(
    "JUST_TOO_LONG",
    "A board gives {lengths} to its length, and {more} if the strips are {shorter_mm} shorter. Boards are "
    "often a little over their length: measure.",
    lengths=None, more=None, shorter_mm=LENGTH,
)  # fmt: skip
CHOSEN = assumption("CHOSEN", "You choose by the list: what it says to leave stays in the yard.")
NO_MORE_SPARES = assumption(
    "NO_MORE_SPARES", "Spares are counted in: ask for as many strips as the top takes."
)
IN_SHARES = assumption(
    "IN_SHARES",
    "Boards are bought in their shares, {shares}. What is at home counts in them.",
    shares=None,
)
NO_TOTAL = warning("NO_TOTAL", "No price is given for {sizes}: the price in all is not known.", sizes=None)
LEAST_WOOD = assumption(
    "LEAST_WOOD", "Of what the yard has, the purchase with the least wood: no prices are given."
)


@results
class Line:
    """So many boards of a kind."""

    size: Annotated[str, Shown("size", None, "key")]
    length_mm: Annotated[float, Shown("length", LENGTH, "key")]
    boards: Annotated[int, Shown("boards", None, "key")]
    boards_even: Annotated[int, Shown("even chance\nwith", None, "key")]
    board_price: Annotated[float | None, Shown("price\neach", PRICE, "key")]
    price: Annotated[float | None, Shown("price", PRICE, "key")]


@results
class OfSize:
    """What a kind of board gives, and how many of it are enough."""

    size: Annotated[str, Shown("size", None, "key")]
    length_mm: Annotated[float, Shown("length", LENGTH, "key")]
    strips_across: Annotated[int, Shown("strips\nacross")]
    lengths: Annotated[int, Shown("lengths", None, "key")]
    strips_per_board: Annotated[int, Shown("strips\nper board", None, "key")]
    good_strips_per_board: Annotated[float, Shown("good strips\nper board", STRIPS)]
    reject_pct: Annotated[float, Shown("reject", SHARE, "key")]
    reject_unsorted_pct: Annotated[float, Shown("reject\nunsorted", SHARE)]
    boards: Annotated[int | None, Shown("boards\nif alone", None, "key")]
    spare_strips: Annotated[int | None, Shown("spare\nstrips", None, "key")]
    price: Annotated[float | None, Shown("price\nif alone", PRICE, "key")]


@results
class Buy:
    """What to buy for a number of strips."""

    boards_to_buy: Annotated[int | None, Shown("boards to buy", None, "headline")]
    boards_even: Annotated[int | None, Shown("an even chance with", None, "key")]
    purchase: Annotated[tuple[Line, ...] | None, Shown("purchase")]
    strips_at_home: Annotated[int | None, Shown("good strips at home")]
    cheapest_price: Annotated[float | None, Shown("price in all", PRICE, "key")]
    cheapest: Annotated[str | None, Shown("cheapest")]
    sizes: Annotated[tuple[OfSize, ...], Shown("sizes")]
    meter_boards: Annotated[int, Shown("boards to meter", None, "key")]
    checklist: Annotated[tuple[Look, ...], Shown("in the yard", None, "key")]


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be made.

    :param strips: how many good strips
    :param strip_length_mm: of each
    :param asked: of each
    :param sure: chance with which the purchase should be enough
    :param lost: part of the strips that wane, knots and splits spoil
    :param end_trim_mm: off each end of a board
    """

    strips: int
    strip_length_mm: float
    asked: Asked = field(default_factory=Asked)
    sure: float = 0.9
    lost: float = DEFECTS
    end_trim_mm: float = END_TRIM_MM

    def lengths_of(self, board_length_mm: float, kerf_mm: float) -> int:
        """How many strips a board gives to its length, a kerf between them."""
        return lengths_per_board(
            board_length_mm, self.strip_length_mm, kerf_mm=kerf_mm, end_trim_mm=self.end_trim_mm
        )


@dataclass(frozen=True, slots=True)
class Stock:
    """What the yard has: a size in a length, and what a board of it costs, None where nobody said so."""

    size: BoardSize
    length_mm: float
    price: float | None = None

    @property
    def wood_mm3(self) -> float:
        """In a board."""
        return self.size.thickness_mm * self.size.width_mm * self.length_mm


@dataclass(frozen=True, slots=True)
class Yield:
    """Good strips of one board: mean, standard deviation, and the part of its variance that all boards share.

    :param across: strips over the width
    :param lengths: over the length
    :param reject: part of the strips that warp too much, of boards that were chosen
    :param reject_unsorted: the same of boards as they come
    """

    stock: Stock
    across: int
    lengths: int
    mean: float
    sd: float
    shared: float
    reject: float = 0.0
    reject_unsorted: float = 0.0

    @property
    def per_board(self) -> int:
        """Strips that are cut from a board."""
        return self.across * self.lengths


def enough(counts: Sequence[int], yields: Sequence[Yield], wanted: Wanted) -> bool:
    """True if so many boards of each kind give the strips with the wanted chance (normal approximation)."""
    z = NormalDist().inv_cdf(wanted.sure)
    mean = sum(n * y.mean for n, y in zip(counts, yields, strict=True))
    alone = sum(n * y.sd**2 * (1.0 - y.shared) for n, y in zip(counts, yields, strict=True))
    together = sum(n * y.sd * math.sqrt(y.shared) for n, y in zip(counts, yields, strict=True))
    return mean - z * math.sqrt(alone + together**2) >= wanted.strips - 1e-9


def boards_needed(one: Yield, wanted: Wanted, others: Sequence[tuple[int, Yield]] = ()) -> int | None:
    """Fewest boards of a size that are enough, together with boards of other sizes; None if none are."""
    yields = [one, *(other for _, other in others)]
    fixed = [count for count, _ in others]
    low, high = -1, 1
    if enough([0, *fixed], yields, wanted):
        return 0
    while not enough([high, *fixed], yields, wanted):
        low, high = high, high * 2
        if high > MOST_BOARDS:
            return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough([middle, *fixed], yields, wanted) else (middle, high)
    return high


# Boards of one kind, or of several.
Purchase: TypeAlias = tuple[tuple[int, Yield], ...]


def cheapest(
    yields: Sequence[Yield], wanted: Wanted, home: Sequence[tuple[int, Yield]] = ()
) -> tuple[float, Purchase] | None:
    """Price and boards of the cheapest purchase that is enough, of one kind or of two that have a price."""
    priced = [(y, price) for y in yields if (price := y.stock.price) is not None and y.mean > 0]
    pairs = [(main, other) for main in priced for other in priced]
    best: tuple[float, Purchase] | None = None
    # One kind is tried before two: of two purchases at one price the plainer is told.
    for (main, price), (other, other_price) in sorted(pairs, key=lambda pair: pair[0] is not pair[1]):
        for more in range(1, MOST_MIXED + 1) if other is not main else (0,):
            cost = more * other_price
            if best is not None and cost >= best[0]:
                break
            count = boards_needed(main, wanted, ((more, other), *home))
            if count is not None and (best is None or cost + count * price < best[0] - 1e-9):
                taken = sorted(((count, main), (more, other)), key=lambda pair: -pair[0])
                best = (cost + count * price, tuple((n, y) for n, y in taken if n))
    return best


def _least_wood(
    yields: Sequence[Yield], wanted: Wanted, home: Sequence[tuple[int, Yield]]
) -> Purchase | None:
    """The purchase of one kind that is enough with the least wood."""
    counts = [(boards_needed(each, wanted, home), each) for each in yields if each.mean > 0]
    enough_of = [(count, each) for count, each in counts if count is not None]
    best = min(enough_of, key=lambda pair: pair[0] * pair[1].stock.wood_mm3, default=None)
    return None if best is None else tuple(pair for pair in (best,) if pair[0])


def by_shares(
    yields: Sequence[Yield], lumber: Lumber, wanted: Wanted, home: Sequence[tuple[int, Yield]]
) -> Purchase | None:
    """The fewest boards, in the shares of their sizes, that are enough; None if none are.

    Of a size in several lengths, the one whose strips cost least; without prices, that with the least wood.
    """
    of_size: list[Yield] = []
    for size, _ in lumber.shares:
        lengths = [each for each in yields if each.stock.size == size and each.mean > 0]
        if not lengths:
            return None
        of_size.append(min(lengths, key=lambda one: (one.stock.price or one.stock.wood_mm3) / one.mean))
    have = Counter(each.stock.size for number, each in home for _ in range(number))
    every = [*of_size, *(each for _, each in home)]
    for counts in islice(in_shares(lumber, have), MOST_BOARDS):
        if enough([*counts, *(number for number, _ in home)], every, wanted):
            return tuple((number, each) for number, each in zip(counts, of_size, strict=True) if number)
    return None


def buy(
    wanted: Wanted,
    stocks: Sequence[Stock],
    cut: Cut,
    wood: Wood,
    service: Service,
    draws: Draws,
    *,
    lumber: Lumber | None = None,
    home: Sequence[SawnBoard] = (),
    faults: Sequence[Refusal] = (),
    stamp: str | None = None,
    prints: Literal["in", "mm"] = "in",
) -> Answer[Buy]:
    """The purchase for a number of strips.

    :param cut: its strip width is that off the saw
    :param lumber: sizes that are bought in their shares; None where any mix will do
    :param home: boards that are there already
    :param faults: rows of them that could not be read
    :param stamp: as read in the yard
    :param prints: units of the reader: grade stamps are told to those of inches
    :raises Refusal: green lumber, strips longer than the boards, or no size that yields a strip
    """
    _refuse_green(stamp)
    long_enough = [stock for stock in stocks if wanted.lengths_of(stock.length_mm, cut.kerf_mm)]
    if not long_enough:
        raise Refusal(
            "STRIP_LONGER_THAN_BOARD",
            "The strips are longer than the boards, their ends trimmed.",
            "A strip is at most as long as the board that it comes from.",
            "Type a longer --board-length, or a shorter --strip-length.",
            fields=("strip_length_mm", "board_length_mm"),
        )
    pile = Pile(draws)
    sizes = list(dict.fromkeys(stock.size for stock in long_enough))
    of_size = _of_sizes(sizes, wanted, cut, wood, service, pile)
    narrow = [size.name for size in sizes if size not in of_size]
    if narrow and lumber is not None:
        raise _no_strip(narrow, "Each size that is bought in its share must be wider than a strip.")
    yields = [
        _yield(stock, of_size[stock.size], wanted, cut, draws, wanted.lost)
        for stock in long_enough
        if stock.size in of_size
    ]
    at_home, faults = _home(home, faults, wanted, cut, wood, service, pile)
    priced = any(stock.price is not None for stock in stocks)
    chosen = _choose(yields, wanted, at_home, lumber, priced)
    lines = None if chosen is None else tuple(_lines(*chosen))
    rows = tuple(_row(each, wanted, at_home) for each in yields)
    count = None if lines is None else sum(line.boards for line in lines)
    prices = [line.price for line in lines or ()]
    meter = meter_boards(max(count or 1, 1))
    return Answer(
        _verdict(lines, wanted, bool(home)),
        Buy(
            boards_to_buy=count,
            boards_even=None if lines is None else sum(line.boards_even for line in lines),
            purchase=lines,
            strips_at_home=_at_home(at_home) if home else None,
            cheapest_price=None if lines is None or None in prices else sum(filter(None, prices)),
            cheapest=_cheapest(lines) if priced and lumber is None else None,
            sizes=rows,
            meter_boards=meter,
            checklist=checklist(meter, prints),
        ),
        (
            *left_out(faults),
            *_warnings(rows, narrow, priced and lumber is None),
            *_without_price(stocks, priced and lumber is not None),
            *_length_warnings(wanted, long_enough, cut.kerf_mm),
            *_assumptions(wanted, service, priced, lumber),
            *rip_words.rule(wanted.asked),
        ),
        ("ps-20", *SOURCES),
    )


def _choose(
    yields: Sequence[Yield],
    wanted: Wanted,
    home: Sequence[tuple[int, Yield]],
    lumber: Lumber | None,
    priced: bool,
) -> tuple[Purchase, Purchase] | None:
    """The purchase that is enough, and what of the same kinds is an even chance; None if none is enough."""
    evenly = replace(wanted, sure=0.5)
    if lumber is not None:
        found = by_shares(yields, lumber, wanted, home)
        return None if found is None else (found, by_shares(yields, lumber, evenly, home) or ())
    if priced:
        best = cheapest(yields, wanted, home)
        purchase = None if best is None else best[1]
    else:
        purchase = _least_wood(yields, wanted, home)
    if not purchase:
        return None if purchase is None else ((), ())
    (_, main), *others = purchase
    least = boards_needed(main, evenly, (*others, *home)) or 0
    return purchase, ((least, main), *others)


def _lines(purchase: Purchase, even: Purchase) -> Iterator[Line]:
    evenly = {each.stock: number for number, each in even}
    for number, one in purchase:
        stock = one.stock
        yield Line(
            size=stock.size.name,
            length_mm=stock.length_mm,
            boards=number,
            boards_even=evenly.get(stock, 0),
            board_price=stock.price,
            price=None if stock.price is None else number * stock.price,
        )


def _verdict(lines: Sequence[Line] | None, wanted: Wanted, at_home: bool) -> Verdict:
    if lines is None:
        return Verdict("stop", (NOT_FROM_THESE(), SHORTER()))
    if not lines:
        return Verdict("go", (HAVE_ENOUGH(),))
    sure, says = 100.0 * wanted.sure, list[Note]()
    for length_mm in dict.fromkeys(line.length_mm for line in lines):
        kinds = [line for line in lines if line.length_mm == length_mm]
        boards, size = in_words(kinds, more=at_home and not says)
        kind = {"boards": boards, "size": size, "length_mm": length_mm}
        if says:
            says.append(AND_BUY(**kind))
        elif sure > SURELY_PCT:
            says.append(BUY_SURELY(**kind))
        else:
            says.append(BUY(sure_pct=sure, **kind))
    even = [(line.boards_even, line.size) for line in lines]
    return Verdict("go", (*says, EVEN(even=_each(even) if len(even) > 1 else even[0][0])))


def _cheapest(lines: Sequence[Line] | None) -> str | None:
    return None if lines is None else ", ".join(f"{line.boards} of {line.size}" for line in lines)


def in_words(kinds: Sequence[Line], *, more: bool = False) -> tuple[str, str]:
    """So many boards of sizes in one length, such as ``1 more board`` and ``2x6``."""
    boards = sum(line.boards for line in kinds)
    each = [(line.boards, line.size) for line in kinds]
    number = f"{boards} {'more ' if more else ''}board{'' if boards == 1 else 's'}"
    return number, _each(each) if len(each) > 1 else kinds[0].size


def _each(counts: Sequence[tuple[int, str]]) -> str:
    *first, last = [f"{number} of {size}" for number, size in counts]
    return f"{', '.join(first)} and {last}"


@dataclass(frozen=True, slots=True)
class _Drawn:
    """Strips of a board.

    :param good: whether they clean up, shape (across, draws)
    :param taken: whether a buyer takes such a board home, (draws,)
    """

    good: NDArray[np.bool_]
    taken: NDArray[np.bool_]


def _refuse_green(stamp: str | None) -> None:
    if stamp is not None and STAMPS[stamp] is None:
        raise Refusal(
            "GREEN_LUMBER",
            "S-GRN lumber was surfaced green: it has all of its shrinking and warping still to do.",
            "Strips for a top come from lumber stamped KD-HT, KD, S-DRY, KD15 or MC15.",
            "Leave it in the yard, or dry it below 19 % before you rip it.",
            fields=("stamp",),
        )


def _of_sizes(
    sizes: Sequence[BoardSize], wanted: Wanted, cut: Cut, wood: Wood, service: Service, pile: Pile
) -> dict[BoardSize, _Drawn]:
    """The boards of each size from which a strip comes.

    :raises Refusal: of no size
    """
    found: dict[BoardSize, _Drawn] = {}
    for size in sizes:
        with suppress(Refusal):
            found[size] = _drawn(SawnBoard(size.name, size, 1e4), wanted, cut, wood, service, pile)
    if not found:
        raise _no_strip([size.name for size in sizes], "At least one size must be wider than a strip.")
    return found


def _no_strip(sizes: Sequence[str], allowed: str) -> Refusal:
    return Refusal(
        "NO_SIZE_YIELDS",
        f"No strip of that width comes out of a {' or a '.join(sizes)}.",
        allowed,
        "Choose wider boards or narrower strips.",
        fields=("sizes", "strips_from", "strip_width_mm"),
    )


def _drawn(board: SawnBoard, wanted: Wanted, cut: Cut, wood: Wood, service: Service, pile: Pile) -> _Drawn:
    """Strips of a board, and whether it passes in the yard: by the rule for a strip, as the board stands,
    and with no pith left in a strip.

    :raises Refusal: a board that is narrower than a strip
    """
    lot, length = BoardArrays.of([board], cut), np.array([wanted.strip_length_mm])
    drawn, asked = service.drawn(pile.draws), wanted.asked
    found = warping.warps(lot, wood, drawn, pile, length, ("in_service",)).modes
    warped = Warped.of({mode: values["in_service"][..., 1:] for mode, values in found.items()})
    sawn = Sawn.of(lot, length, cut.edges)
    good = asked.cleans_up(warped, sawn)[0]
    whole = BoardArrays.of([board], Cut())
    stands = warping.warps(whole, wood, drawn, pile, length, ("at_cut",)).modes
    seen = Warped.of({mode: values["at_cut"][..., 1:] for mode, values in stands.items()})
    place = about_pith(lot, pile.draws)
    half = (lot.right_mm - lot.left_mm)[..., None] / 2.0, (lot.high_mm - lot.low_mm)[..., None] / 2.0
    pith = (np.abs(place.across) < half[0]) & (np.abs(place.through) < half[1])
    stands_well = asked.cleans_up(replace(seen, cup_mm=np.zeros_like(seen.cup_mm)), sawn)[0].all(axis=0)
    return _Drawn(good, stands_well & ~pith[0, :, 1:].any(axis=0))


def _yield(stock: Stock, drawn: _Drawn, wanted: Wanted, cut: Cut, draws: Draws, lost: float) -> Yield:
    lengths = wanted.lengths_of(stock.length_mm, cut.kerf_mm)
    # The lengths of a board come from the same wood and do alike; a knot spoils one strip at a time.
    strips = (1.0 - lost) * lengths * np.sum(drawn.good, axis=0, dtype=float)
    chosen = strips[drawn.taken] if drawn.taken.any() else strips
    mean, alike = float(chosen.mean()), float(chosen.var())
    sd = math.sqrt(alike + lost * mean)
    shared = min(sum(cause.share for cause in draws.causes(strips) if cause.input in SHARED), 1.0)
    across = len(drawn.good)
    reject = 1.0 - mean / ((1.0 - lost) * lengths * across)
    unsorted = 1.0 - float(drawn.good.mean())
    return Yield(stock, across, lengths, mean, sd, shared * alike / sd**2 if sd else 0.0, reject, unsorted)


def _home(
    boards: Sequence[SawnBoard],
    faults: Sequence[Refusal],
    wanted: Wanted,
    cut: Cut,
    wood: Wood,
    service: Service,
    pile: Pile,
) -> tuple[list[tuple[int, Yield]], list[Refusal]]:
    """What the boards at home give, and which give nothing. They were looked at when they were bought."""
    found: list[tuple[int, Yield]] = []
    left_out = list(faults)
    for board in boards:
        try:
            drawn = _drawn(board, wanted, cut, wood, service, pile)
        except Refusal as fault:
            left_out.append(fault)
            continue
        stock = Stock(board.size, board.length_mm)
        found.append((1, _yield(stock, drawn, wanted, cut, pile.draws, 0.0)))
    return found, left_out


def _row(one: Yield, wanted: Wanted, home: Sequence[tuple[int, Yield]]) -> OfSize:
    boards = boards_needed(one, wanted, home)
    price = one.stock.price
    return OfSize(
        size=one.stock.size.name,
        length_mm=one.stock.length_mm,
        strips_across=one.across,
        lengths=one.lengths,
        strips_per_board=one.per_board,
        good_strips_per_board=one.mean,
        reject_pct=100.0 * one.reject,
        reject_unsorted_pct=100.0 * one.reject_unsorted,
        boards=boards,
        spare_strips=None if boards is None else boards * one.per_board + _at_home(home) - wanted.strips,
        price=None if boards is None or price is None else boards * price,
    )


def _at_home(home: Sequence[tuple[int, Yield]]) -> int:
    """Whole good strips to expect of what is there."""
    return math.floor(sum(number * each.mean for number, each in home))


def _warnings(rows: Sequence[OfSize], narrow: Sequence[str], priced: bool) -> tuple[Warning, ...]:
    notes: list[Warning] = []
    if narrow:
        notes.append(Warning("TOO_NARROW", "Narrower than a strip: {sizes}.", {"sizes": ", ".join(narrow)}))
    hopeless = [row.size for row in rows if row.boards is None]
    if hopeless:
        notes.append(
            Warning(
                "NEVER_ENOUGH",
                "No number of boards is surely enough of {sizes}: too many strips warp by more than "
                "there is to "
                "mill away. Make the strips shorter or wider.",
                {"sizes": ", ".join(hopeless)},
            )
        )
    if any(row.reject_pct > 30.0 for row in rows):
        notes.append(
            Warning(
                "MANY_REJECTS",
                "More than three strips of ten are expected to be useless. Shorter strips, or more oversize, "
                "change that more than anything; so does choosing boards away from the pith.",
            )
        )
    if priced and any(row.price is None for row in rows):
        notes.append(Warning("SOME_WITHOUT_PRICE", "Sizes without a price are left out of the cheapest mix."))
    return tuple(notes)


def _length_warnings(wanted: Wanted, stocks: Sequence[Stock], kerf_mm: float) -> list[Warning]:
    """Strips a little too long for one more of them to come out of a board."""
    for length_mm in dict.fromkeys(stock.length_mm for stock in stocks):
        lengths = wanted.lengths_of(length_mm, kerf_mm)
        fits_mm = (length_mm - 2.0 * wanted.end_trim_mm + kerf_mm) / (lengths + 1) - kerf_mm
        if wanted.strip_length_mm - fits_mm <= NEARLY_A_LENGTH_MM:
            return [
                JUST_TOO_LONG(lengths=lengths, more=lengths + 1, shorter_mm=wanted.strip_length_mm - fits_mm)
            ]
    return []


def _without_price(stocks: Sequence[Stock], asked: bool) -> Iterator[Warning]:
    """Sizes of a mix in shares whose price nobody gave, where prices are asked for."""
    missing = dict.fromkeys(stock.size.name for stock in stocks if stock.price is None)
    if asked and missing:
        yield NO_TOTAL(sizes=", ".join(missing))


def _assumptions(
    wanted: Wanted, service: Service, priced: bool, lumber: Lumber | None
) -> tuple[Assumption, ...]:
    notes = [
        rip_words.IN_SERVICE(words=service.words),
        CHOSEN(),
        LOST(lost_pct=100.0 * wanted.lost),
        ENDS_TRIMMED(trim_mm=wanted.end_trim_mm),
        NO_MORE_SPARES(),
    ]
    if lumber is not None:
        notes.append(IN_SHARES(shares=lumber.name))
    elif not priced:
        notes.append(LEAST_WOOD())
    return tuple(notes)
