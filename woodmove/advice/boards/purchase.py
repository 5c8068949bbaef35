"""How many boards to buy for a number of strips, of which sizes, and what to look for in the yard."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import Any

import numpy as np

from woodmove.advice.boards import allowance as budget
from woodmove.advice.boards import warp as warping
from woodmove.advice.boards.arrays import BoardArrays
from woodmove.advice.boards.ranking import THICKNESS_TO_SPARE_MM
from woodmove.advice.boards.rip import SOURCES, Service
from woodmove.advice.boards.warp import Pile
from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.contract.notes import Assumption, Warning
from woodmove.contract.refusal import Refusal
from woodmove.contract.untyped import UntypedAnswer
from woodmove.domain.board import BoardSize
from woodmove.domain.species import Wood
from woodmove.domain.stock import Cut, Piece, SawnBoard

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
# A meter check should tell the mean of the purchase within so much, nine times of ten (status: judgement).
METER_WITHIN_POINTS = 2.0
METER_SHARE = 0.10  # at least this part of the pieces (source: fpl-gtr-282, note to Table 13-2)
MOST_BOARDS = 100_000
# Strips that are this little too long for one more to a board are told of (status: judgement).
NEARLY_A_LENGTH_MM = 25.4
# A size is mixed in with at most so many boards; more of it would be cheaper as the main size.
MOST_MIXED = 6


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be made.

    :param strips: how many good strips
    :param strip_length_mm: of each
    :param finished_width_mm: that a strip must keep when its edges are jointed, None where they are not: then
        the crooks of the strips of a top average out, and flattening takes what is left
    :param finished_thickness_mm: that a strip must keep, None for that of its board less a common allowance
    :param sure: chance with which the purchase should be enough
    """

    strips: int
    strip_length_mm: float
    finished_width_mm: float | None = None
    finished_thickness_mm: float | None = None
    sure: float = 0.9


@dataclass(frozen=True, slots=True)
class Yield:
    """Good strips of one board of a size: mean, standard deviation, and the part of its variance that all
    boards share.

    :param across: strips over the width
    :param lengths: over the length
    """

    size: BoardSize
    across: int
    lengths: int
    mean: float
    sd: float
    shared: float
    price: float | None = None

    @property
    def per_board(self) -> int:
        """Strips that are cut from a board."""
        return self.across * self.lengths

    @property
    def reject(self) -> float:
        """Share of the strips that will not do."""
        return 1.0 - self.mean / self.per_board


def enough(counts: Sequence[int], yields: Sequence[Yield], wanted: Wanted) -> bool:
    """True if so many boards of each size give the strips with the wanted chance (normal approximation)."""
    z = NormalDist().inv_cdf(wanted.sure)
    mean = sum(n * y.mean for n, y in zip(counts, yields, strict=True))
    alone = sum(n * y.sd**2 * (1.0 - y.shared) for n, y in zip(counts, yields, strict=True))
    together = sum(n * y.sd * math.sqrt(y.shared) for n, y in zip(counts, yields, strict=True))
    return mean - z * math.sqrt(alone + together**2) >= wanted.strips - 1e-9


def lengths_of(board_length_mm: float, strip_length_mm: float, kerf_mm: float) -> int:
    """How many strips a board gives to its length, a kerf between them."""
    return math.floor((board_length_mm + kerf_mm) / (strip_length_mm + kerf_mm) + 1e-9)


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


def cheapest(yields: Sequence[Yield], wanted: Wanted) -> tuple[float, dict[str, int]] | None:
    """Price and boards of the cheapest purchase that is enough, of the sizes that have a price."""
    priced = [(y, price) for y in yields if (price := y.price) is not None and y.mean > 0]
    best: tuple[float, dict[str, int]] | None = None

    def mix(
        main: tuple[Yield, float],
        rest: list[tuple[Yield, float]],
        taken: list[tuple[int, Yield]],
        cost: float,
    ) -> None:
        nonlocal best
        if best is not None and cost >= best[0]:
            return
        if rest:
            (other, price), *more = rest
            for count in range(MOST_MIXED + 1):
                mix(main, more, [*taken, (count, other)], cost + count * price)
            return
        count = boards_needed(main[0], wanted, taken)
        if count is None:
            return
        whole = cost + count * main[1]
        if best is None or whole < best[0] - 1e-9:
            counts = [(count, main[0]), *taken]
            best = (whole, {y.size.name: n for n, y in counts if n})

    for number, main in enumerate(priced):
        mix(main, priced[:number] + priced[number + 1 :], [], 0.0)
    return best


def buy(
    wanted: Wanted,
    sizes: Sequence[BoardSize],
    board_length_mm: float,
    cut: Cut,
    wood: Wood,
    service: Service,
    draws: Draws,
    inputs: Mapping[str, Any],
    *,
    prices: Mapping[str, float] | None = None,
    stamp: str | None = None,
) -> UntypedAnswer:
    """The purchase for a number of strips.

    :param cut: its strip width is that off the saw
    :param prices: of a board of a size, by name
    :param stamp: as read in the yard
    :raises Refusal: green lumber, strips longer than the boards, or no size that yields a strip
    """
    if stamp is not None and STAMPS[stamp] is None:
        raise Refusal(
            "GREEN_LUMBER",
            "S-GRN lumber was surfaced green: it has all of its shrinking and warping still to do.",
            "Strips for a top come from lumber stamped KD-HT, KD, S-DRY, KD15 or MC15.",
            "Leave it in the yard, or dry it below 19 % before you rip it.",
            fields=("stamp",),
        )
    if wanted.strip_length_mm > board_length_mm:
        raise Refusal(
            "STRIP_LONGER_THAN_BOARD",
            "The strips are longer than the boards.",
            "A strip is at most as long as the board that it comes from.",
            "Type a longer --board-length, or a shorter --strip-length.",
            fields=("strip_length_mm", "board_length_mm"),
        )
    prices = prices or {}
    unknown = [name for name in prices if name not in {size.name for size in sizes}]
    if unknown:
        raise Refusal(
            "PRICE_OF_NOTHING",
            f"There is a price for {unknown[0]}, which is not among the sizes.",
            f"The sizes are {', '.join(size.name for size in sizes)}.",
            "Add it to --sizes, or take its price out.",
            fields=("prices",),
        )
    yields, narrow = [], []
    for size in sizes:
        try:
            pieces = cut.pieces(size)
        except Refusal:
            narrow.append(size.name)
            continue
        yields.append(
            _yield(size, pieces, wanted, board_length_mm, cut, wood, service, draws, prices.get(size.name))
        )
    if not yields:
        raise Refusal(
            "NO_SIZE_YIELDS",
            f"No strip of that width comes out of a {' or a '.join(narrow)}.",
            "At least one size must be wider than a strip.",
            "Choose wider boards or narrower strips.",
            fields=("sizes", "strip_width_mm"),
        )
    rows = [_row(each, wanted) for each in yields]
    best = cheapest(yields, wanted) if prices else None
    most = max((row["boards"] for row in rows if row["boards"]), default=1)
    count = sum(best[1].values()) if best else min((r["boards"] for r in rows if r["boards"]), default=most)
    results: dict[str, Any] = {
        "sizes": rows,
        "cheapest_price": None if best is None else best[0],
        "cheapest": None
        if best is None
        else ", ".join(f"{n} of {name}" for name, n in sorted(best[1].items())),
        "meter_boards": meter_boards(count),
        "checklist": checklist(meter_boards(count)),
    }
    return UntypedAnswer(
        "buy",
        inputs,
        {name: value for name, value in results.items() if value is not None},
        warnings=(
            *_warnings(rows, narrow, bool(prices)),
            *_length_warnings(wanted, board_length_mm, cut.kerf_mm),
        ),
        assumptions=_assumptions(wanted, cut, service),
        sources=("ps-20", *SOURCES),
        columns={
            "sizes": ("size", "lengths", "strips_per_board", "reject_pct", "boards", "spare_strips", "price")
        },
    )


def _yield(
    size: BoardSize,
    pieces: Sequence[Piece],
    wanted: Wanted,
    board_length_mm: float,
    cut: Cut,
    wood: Wood,
    service: Service,
    draws: Draws,
    price: float | None,
) -> Yield:
    lot = BoardArrays.of([SawnBoard(size.name, size, board_length_mm)], cut)
    found = warping.warps(
        lot, wood, service.drawn(draws), Pile(draws), np.array([wanted.strip_length_mm]), ("in_service",)
    ).modes
    crook, cup, lift = (
        np.abs(found[mode]["in_service"][0, :, 1:]) for mode in ("crook_mm", "cup_mm", "lift_mm")
    )
    thickness = wanted.finished_thickness_mm
    spare = THICKNESS_TO_SPARE_MM if thickness is None else size.thickness_mm - thickness
    good = budget.strip_loss_mm(cup, lift) <= spare
    if wanted.finished_width_mm is not None:
        rounded = np.array([budget.rounded_mm(piece, size.width_mm, cut.edges) for piece in pieces])
        takes = budget.width_loss_mm(crook) + rounded[:, None] + 2.0 * budget.CLEAN_UP_MM
        good &= takes <= pieces[0].width_mm - wanted.finished_width_mm
    lengths = lengths_of(board_length_mm, wanted.strip_length_mm, cut.kerf_mm)
    # The lengths of a board come from the same wood: they do alike.
    strips = lengths * np.sum(good, axis=0, dtype=float)
    shared = sum(cause.share for cause in draws.causes(strips) if cause.input in SHARED)
    return Yield(
        size, len(pieces), lengths, float(strips.mean()), float(strips.std()), min(shared, 1.0), price
    )


def _row(one: Yield, wanted: Wanted) -> dict[str, Any]:
    boards = boards_needed(one, wanted)
    return {
        "size": one.size.name,
        "strips_across": one.across,
        "lengths": one.lengths,
        "strips_per_board": one.per_board,
        "good_strips_per_board": one.mean,
        "reject_pct": 100.0 * one.reject,
        "boards": boards,
        "spare_strips": None if boards is None else boards * one.per_board - wanted.strips,
        "price": None if boards is None or one.price is None else boards * one.price,
    }


def meter_boards(boards: int) -> int:
    """How many boards of a purchase to meter.

    Derived: as many as tell the mean within :data:`METER_WITHIN_POINTS` nine times of ten, from the spread
    between bought boards and the noise of a reading; and at least a tenth of the boards.
    """
    spread = math.hypot(doubt.MC_UNMETERED.sd, doubt.METER_NOISE.sd)
    tell = math.ceil((doubt.BOUND_90 * spread / METER_WITHIN_POINTS) ** 2)
    return min(boards, max(tell, math.ceil(METER_SHARE * boards)))


def checklist(meter: int) -> list[dict[str, str]]:
    """What to look at in the yard, in the order of the look."""
    return [
        {"look_at": look, "take_or_leave": words}
        for look, words in (
            ("stamp", "Take KD-HT, KD or S-DRY (19 % at most when surfaced), better KD15 or MC15 (15 "
                      "%). Leave S-GRN."),
            ("moisture", f"Meter {meter} boards, at a quarter of the thickness, away from the ends: the "
                         f"heavy ones, "
             "some from the middle of the bundle. Leave any above 19 %; take boards within a few points "
             "of each other."),
            ("pith", "Look at both ends. Leave boards that hold the pith, or whose middle lies within 3 "
                     "in (75 mm) "
             "of it; take wide flat arcs, the flatter the better."),
            ("sight it", "Sight along an edge, then a face, then across the two ends for twist. A "
                         "straight board can "
             "still hold stress, but a crooked one keeps its crook."),
            ("compression wood", "Leave boards with dark, dull, wide latewood on one edge or face: of "
                                 "all that shows, "
             "it tells most about how a board will rip."),
            ("slope of grain", "Follow resin streaks, checks or a scribe line on the flat-sawn face: "
                               "leave more "
             "than 1 in 12."),
            ("knots", "Take small, tight, round ones in the middle; leave edge knots where a cut will run."),
            ("wane", "Bark or missing wood on an edge: No. 2 allows it up to a third of the thickness "
                     "and width, "
             "so plan no strip there."),
            ("rounded edges", "The factory edges are rounded by about 1/8 in (3 mm): they are not "
                              "straight edges to "
             "glue."),
        )
    ]  # fmt: skip


def _warnings(rows: Sequence[Mapping[str, Any]], narrow: Sequence[str], priced: bool) -> tuple[Warning, ...]:
    notes = []
    if narrow:
        notes.append(Warning("TOO_NARROW", "Narrower than a strip: {sizes}.", {"sizes": ", ".join(narrow)}))
    hopeless = [row["size"] for row in rows if row["boards"] is None]
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
    if any(row["reject_pct"] > 30.0 for row in rows):
        notes.append(
            Warning(
                "MANY_REJECTS",
                "More than three strips of ten are expected to be useless. Shorter strips, or more oversize, "
                "change that more than anything; so does choosing boards away from the pith.",
            )
        )
    if priced and any(row["price"] is None for row in rows):
        notes.append(Warning("SOME_WITHOUT_PRICE", "Sizes without a price are left out of the cheapest mix."))
    return tuple(notes)


def _length_warnings(wanted: Wanted, board_length_mm: float, kerf_mm: float) -> list[Warning]:
    """Strips a little too long for one more of them to come out of a board."""
    lengths = lengths_of(board_length_mm, wanted.strip_length_mm, kerf_mm)
    enough_mm = (board_length_mm + kerf_mm) / (lengths + 1) - kerf_mm
    if wanted.strip_length_mm - enough_mm > NEARLY_A_LENGTH_MM:
        return []
    return [
        Warning(
            "JUST_TOO_LONG",
            "A board gives {lengths} to its length, and {more} if the strips are {shorter_mm} shorter or the "
            "boards that much longer for each: boards are often a little over their length. Ask, or measure.",
            {"lengths": lengths, "more": lengths + 1, "shorter_mm": wanted.strip_length_mm - enough_mm},
        )
    ]


def _assumptions(wanted: Wanted, cut: Cut, service: Service) -> tuple[Assumption, ...]:
    notes = [
        Assumption("SERVICE", "In service: {words}.", {"words": service.words}),
        Assumption(
            "UNSORTED",
            "Boards as they come, nobody having looked at them: choosing by the checklist rejects fewer.",
        ),
        Assumption(
            "SURE", "Enough in {sure_pct} of purchases; species and pile are shared by all boards of one.",
            {"sure_pct": 100.0 * wanted.sure},
        ),
        Assumption(
            "NO_MORE_SPARES",
            "Spares for strips that do not clean up are in the count: ask for as many strips as the top "
            "takes.",
        ),
        Assumption(
            "GLUED_ON_EDGE",
            "The strips are glued on edge into a top: clamps close their bow (woodmove strips says with what "
            "force). Planing takes cup, twist and a pass of {pass_mm} on each face.",
            {"pass_mm": budget.CLEAN_UP_MM},
        ),
    ]  # fmt: skip
    if wanted.finished_thickness_mm is None:
        notes.append(
            Assumption(
                "ALLOWANCE",
                "A strip is good if that is at most {thickness_mm}: no finished thickness is told.",
                {"thickness_mm": THICKNESS_TO_SPARE_MM},
            )
        )
    if wanted.finished_width_mm is None:
        notes.append(
            Assumption(
                "EDGES_NOT_JOINTED",
                "The edges of the strips are not jointed: glued side by side their crooks average out. Say "
                "--finished-width if each edge is jointed straight.",
            )
        )
    return tuple(notes)
