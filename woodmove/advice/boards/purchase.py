"""How many boards to buy for a number of strips, and of which sizes."""

import math
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
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
from woodmove.domain.board import BoardSize
from woodmove.domain.species import Wood
from woodmove.domain.stock import Cut, SawnBoard

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
LEAST_WOOD = assumption(
    "LEAST_WOOD", "Of what the yard has, the purchase with the least wood: no prices are given."
)


@results
class Line:
    """So many boards of a kind."""

    size: Annotated[str, Shown("size", None, "key")]
    length_mm: Annotated[float, Shown("length", LENGTH, "key")]
    boards: Annotated[int, Shown("boards", None, "key")]
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
    boards: Annotated[int | None, Shown("boards", None, "key")]
    spare_strips: Annotated[int | None, Shown("spare\nstrips", None, "key")]
    price: Annotated[float | None, Shown("price", PRICE, "key")]


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
        room = board_length_mm - 2.0 * self.end_trim_mm
        return math.floor((room + kerf_mm) / (self.strip_length_mm + kerf_mm) + 1e-9)


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


def buy(
    wanted: Wanted,
    stocks: Sequence[Stock],
    cut: Cut,
    wood: Wood,
    service: Service,
    draws: Draws,
    *,
    home: Sequence[SawnBoard] = (),
    faults: Sequence[Refusal] = (),
    stamp: str | None = None,
    prints: Literal["in", "mm"] = "in",
) -> Answer[Buy]:
    """The purchase for a number of strips.

    :param cut: its strip width is that off the saw
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
    yields = [
        _yield(stock, of_size[stock.size], wanted, cut, draws, wanted.lost)
        for stock in long_enough
        if stock.size in of_size
    ]
    at_home, faults = _home(home, faults, wanted, cut, wood, service, pile)
    priced = any(stock.price is not None for stock in stocks)
    best = cheapest(yields, wanted, at_home) if priced else None
    purchase = best[1] if best else None if priced else _least_wood(yields, wanted, at_home)
    rows = tuple(_row(each, wanted, at_home) for each in yields)
    count = None if purchase is None else sum(number for number, _ in purchase)
    even = None if purchase is None else _even(purchase, wanted, at_home)
    meter = meter_boards(max(count or 1, 1))
    return Answer(
        _verdict(purchase, even, wanted, bool(home)),
        Buy(
            boards_to_buy=count,
            boards_even=even,
            purchase=None if purchase is None else tuple(_line(number, each) for number, each in purchase),
            strips_at_home=_at_home(at_home) if home else None,
            cheapest_price=None if best is None else best[0],
            cheapest=None if best is None else ", ".join(f"{n} of {y.stock.size.name}" for n, y in best[1]),
            sizes=rows,
            meter_boards=meter,
            checklist=checklist(meter, prints),
        ),
        (
            *left_out(faults),
            *_warnings(rows, narrow, priced),
            *_length_warnings(wanted, long_enough, cut.kerf_mm),
            *_assumptions(wanted, service, priced),
            *rip_words.rule(wanted.asked),
        ),
        ("ps-20", *SOURCES),
    )


def _verdict(purchase: Purchase | None, even: int | None, wanted: Wanted, at_home: bool) -> Verdict:
    if purchase is None:
        return Verdict("stop", (NOT_FROM_THESE(), SHORTER()))
    if not purchase:
        return Verdict("go", (HAVE_ENOUGH(),))
    sure, says = 100.0 * wanted.sure, list[Note]()
    for number, each in purchase:
        kind = {"size": each.stock.size.name, "length_mm": each.stock.length_mm}
        boards = in_words(number, more=at_home and not says)
        if says:
            says.append(AND_BUY(boards=boards, **kind))
        elif sure > SURELY_PCT:
            says.append(BUY_SURELY(boards=boards, **kind))
        else:
            says.append(BUY(boards=boards, sure_pct=sure, **kind))
    return Verdict("go", (*says, EVEN(even=even)))


def in_words(boards: int, *, more: bool = False) -> str:
    """So many boards, such as ``1 more board``."""
    return f"{boards} {'more ' if more else ''}board{'' if boards == 1 else 's'}"


def _line(number: int, one: Yield) -> Line:
    stock = one.stock
    return Line(
        size=stock.size.name,
        length_mm=stock.length_mm,
        boards=number,
        price=None if stock.price is None else number * stock.price,
    )


def _even(purchase: Purchase, wanted: Wanted, home: Sequence[tuple[int, Yield]]) -> int:
    """Boards that are enough as often as not, the kinds other than the first kept."""
    if not purchase:
        return 0
    (_, main), *others = purchase
    evenly = replace(wanted, sure=0.5)
    least = boards_needed(main, evenly, (*others, *home))
    return (least or 0) + sum(number for number, _ in others)


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
        raise Refusal(
            "NO_SIZE_YIELDS",
            f"No strip of that width comes out of a {' or a '.join(size.name for size in sizes)}.",
            "At least one size must be wider than a strip.",
            "Choose wider boards or narrower strips.",
            fields=("sizes", "strip_width_mm"),
        )
    return found


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


def _assumptions(wanted: Wanted, service: Service, priced: bool) -> tuple[Assumption, ...]:
    notes = [
        rip_words.IN_SERVICE(words=service.words),
        CHOSEN(),
        LOST(lost_pct=100.0 * wanted.lost),
        ENDS_TRIMMED(trim_mm=wanted.end_trim_mm),
        NO_MORE_SPARES(),
    ]
    return tuple(notes if priced else [*notes, LEAST_WOOD()])
