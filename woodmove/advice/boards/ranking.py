"""A pile of boards, ranked: which are calm, and what each is good for."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from woodmove.advice.boards import allowance as budget
from woodmove.advice.boards import warp as warping
from woodmove.advice.boards import words as rip_words
from woodmove.advice.boards.arrays import BoardArrays
from woodmove.advice.boards.ends import StripInEnd, strips_in_ends
from woodmove.advice.boards.left_out import left_out
from woodmove.advice.boards.pith import holds_pith
from woodmove.advice.boards.rip import SOURCES, Service
from woodmove.advice.boards.stud import STUD_LIMITS_MM
from woodmove.advice.boards.warp import MODES, Pile, bounds
from woodmove.advice.doubt.draws import Draws
from woodmove.contract.answer import Answer, Verdict
from woodmove.contract.notes import Assumption, Note, Warning, note, warning
from woodmove.contract.quantity import ANGLE, CHANCE, FINE_LENGTH, LENGTH, Quantity
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal, Refusals
from woodmove.contract.shown import Shown, results
from woodmove.domain.species import Wood
from woodmove.domain.stock import Cut, SawnBoard
from woodmove.physics.arrays import Array
from woodmove.physics.warp import kerf_closure_mm

# Boards times draws that are computed; a large pile gets fewer draws each.
WORK = 2_000_000
LEAST_DRAWS = 200
BLOCK = 120_000  # of them at a time, in each of so many threads
THREADS = 4
MOST_FAULTS = 20

Do: TypeAlias = Literal["rip", "look", "leave", "dry"]
DO: dict[Do, str] = {
    "rip": "rip",
    "look": "look at the end grain",
    "leave": "leave",
    "dry": "let it dry",
}
MILLIONTHS = Quantity("_millionths", ("millionths", 10, 10), ("millionths", 10, 10))


@results
class Ranked:
    """A board in its place, with what its worst strip does in service."""

    rank: Annotated[int | None, Shown("rank", None, "key")]
    board: Annotated[str, Shown("board", None, "key")]
    line: Annotated[int, Shown("line")]
    strips: Annotated[int, Shown("strips", None, "key")]
    risk: Annotated[str | None, Shown("risk", None, "key")]
    all_clean_up_chance_pct: Annotated[float | None, Shown("all strips\nclean up", CHANCE)]
    do: Annotated[str, Shown("do", None, "key")]
    cut: Annotated[Note | None, Shown("cut", None, "key")]
    good_for: Annotated[str | None, Shown("good for", None, "key")]
    pith_stays: Annotated[bool, Shown("pith stays")]
    twist_deg: Annotated[Range, Shown("twist", ANGLE)]
    lift_mm: Annotated[Range, Shown("corner lift", LENGTH)]
    crook_mm: Annotated[Range, Shown("crook", LENGTH)]
    bow_mm: Annotated[Range, Shown("bow", LENGTH)]
    cup_mm: Annotated[Range, Shown("cup", FINE_LENGTH)]
    kerf_closes_chance_pct: Annotated[float | None, Shown("kerf closes", CHANCE)]


@results
class BadRow:
    """A row that is left out."""

    line: Annotated[int | None, Shown("line")]
    wrong: Annotated[str, Shown("wrong")]


@results
class Learned:
    """What is believed of the pile before its first boards were ripped, and after."""

    before: Annotated[Range, Shown("before")]
    after: Annotated[Range, Shown("after")]


@results
class Ranking:
    """A pile, the calmest board first."""

    likely_boards: Annotated[int, Shown("boards that will likely do", None, "headline")]
    strips_expected: Annotated[int | None, Shown("good strips to expect", None, "key")]
    boards: Annotated[tuple[Ranked, ...], Shown("boards", None, "key")]
    strips_in_ends: Annotated[tuple[StripInEnd, ...], Shown("strips in the ends")]
    bad_rows: Annotated[tuple[BadRow, ...], Shown("rows left out")]
    learned_from: Annotated[str | None, Shown("learned from")]
    edge_strain_millionths: Annotated[Learned | None, Shown("strain locked into the edges", MILLIONTHS)]


RIP_FIRST = note("RIP_FIRST", "Rip {boards} first.", boards=None)
KEEP_FOR_LAST = note("KEEP_FOR_LAST", "Keep {boards} for last: the pith stays in a strip.", boards=None)
RIP_AND_LEAVE = note(
    "RIP_FIRST", "Rip {boards} first, and leave {left}: a strip of it will hardly clean up.", boards=None,
    left=None,
)  # fmt: skip
NONE_OF_THEM = note("NONE_OF_THEM", "None of these for such strips: they will hardly clean up.")
SHORTER = note("SHORTER_STRIPS", "Make the strips shorter, or buy straighter boards.")
ALL_WET = note("ALL_WET", "Let them dry below 19 % before you rip.")
UNSEEN = note("NOT_ENOUGH_SEEN", "Not enough seen to tell them apart: look at the end grain first.")
LOOK = note("LOOK_AT_THE_ENDS", "Note where the pith lies: in it, under the face, or well off.")
SOME_UNSEEN = note("SOME_UNSEEN", "Look at the end grain of {boards}.", boards=None)
PITH_INSIDE = warning(
    "PITH_INSIDE",
    "The pith is in {boards}, and no cut leaves it in the waste. Severe twist is found within 3 in (75 mm) "
    "of it.",
    boards=None,
)
PITH_ASIDE_UNKNOWN = warning(
    "PITH_ASIDE_UNKNOWN",
    "The pith is in {boards}. Measure how far from the middle of the face it lies (pith_offset): in the "
    "waste it does no harm, in a strip it twists it.",
    boards=None,
)
WET_BOARD = warning(
    "WET_BOARD", "Wetter than dry lumber may be (19 %): {boards}. Dry before ripping.", boards=None
)
CROSSCUT_FIRST = warning(
    "CROSSCUT_FIRST",
    "Crosscut {boards} before you rip: the crook is over 1/2 in (13 mm) in 8 ft.",
    boards=None,
)


def draws_for(boards: int, asked: int) -> int:
    """How many draws a pile of so many boards gets."""
    return min(asked, max(LEAST_DRAWS, WORK // max(boards, 1)))


def rank(
    boards: Sequence[SawnBoard],
    lines: Sequence[int],
    faults: Sequence[Refusal],
    cut: Cut,
    wood: Wood,
    service: Service,
    draws: Draws,
    asked: budget.Asked,
    strip_length_mm: float | None = None,
) -> Answer[Ranking]:
    """The boards of a pile, the calmest first; those whose strips hold the pith behind them, then those to
    leave, and wet ones last. A board of which nothing but moisture was seen gets no word and no rank.

    Boards whose first cut was measured tell of the whole pile.

    :param lines: on which each board stands in its file
    :param faults: rows that could not be read
    :param asked: of each strip
    :param strip_length_mm: length of the strips, None for that of their board
    :raises Refusals: not one board that could be read
    """
    if not boards:
        raise Refusals(faults[:MOST_FAULTS])
    mates = [board for board in boards if board.first_cut is not None]
    uncut = _uncut(boards, lines, cut)
    pile = Pile(draws, BoardArrays.of(mates, cut) if mates else None)
    lot = BoardArrays.of([board for board, _ in uncut], cut)
    # A kerf has a figure where a first cut told of the pile, or compression wood is seen.
    told = bool(mates) or bool(lot.reaction.any())
    found = _found(lot, wood, service, draws, pile, asked, cut, strip_length_mm, told)
    seen = np.array([board.seen for board, _ in uncut])
    wet = np.array([rip_words.is_wet(board) for board, _ in uncut])
    fails = 1.0 - found.clean
    doing: list[Do] = [_do(board, float(chance)) for (board, _), chance in zip(uncut, fails, strict=True)]
    order = _order(found, seen, wet, np.array([do == "leave" for do in doing]))
    rows = _rows(uncut, order, doing, lot, found, cut, bool(mates))
    sizes = {board.size for board, _ in uncut}
    learned = _learned(pile, draws) if mates else None
    return Answer(
        _verdict([(row, doing[i]) for row, i in zip(rows, order, strict=True)], cut, faults),
        Ranking(
            likely_boards=int(np.sum(seen & ~wet & (fails < rip_words.LIKELY))),
            strips_expected=math.floor(np.sum(found.strips[seen & ~wet])) if seen.any() else None,
            boards=rows,
            strips_in_ends=strips_in_ends([(uncut[i][0], int(lot.layout[i])) for i in order], cut),
            bad_rows=tuple(BadRow(line=fault.line, wrong=fault.wrong) for fault in faults),
            learned_from=", ".join(mate.name for mate in mates) if mates else None,
            edge_strain_millionths=learned,
        ),
        (
            *_warnings(boards, [board for board, _ in uncut], rows, faults),
            *_crooked([(uncut[i][0], doing[i]) for i in order]),
            *rip_words.cautions(cut, [piece for size in sizes for piece in cut.pieces(size)]),
            *_assumptions(service, draws, mates, asked),
        ),
        (*SOURCES, *(c.known.source for c in wood.coefficients)),
    )


def _rows(
    uncut: Sequence[tuple[SawnBoard, int]],
    order: Sequence[int],
    doing: Sequence[Do],
    lot: BoardArrays,
    found: "_Found",
    cut: Cut,
    pile_told: bool,
) -> tuple[Ranked, ...]:
    """The boards in their order.

    :param pile_told: True where a first cut told of the pile
    """
    ranges = {
        mode: [Range(*each) for each in np.transpose(sizes).tolist()] for mode, sizes in found.sizes.items()
    }
    rows: list[Ranked] = []
    for place, i in enumerate(order, start=1):
        board, line = uncut[i]
        stays, closes = bool(found.holds_pith[i]), found.closes
        rows.append(
            Ranked(
                rank=place if board.seen else None,
                board=board.name,
                line=line,
                strips=int(lot.pieces[i] * found.lengths[i]),
                risk=rip_words.risk_word(1.0 - float(found.clean[i])) if board.seen else None,
                all_clean_up_chance_pct=100.0 * float(found.clean[i]) if board.seen else None,
                do=DO[doing[i]],
                cut=rip_words.cut_words(board, cut, int(lot.layout[i]), pith_stays=stays),
                good_for=rip_words.GOOD_FOR[int(found.good_for[i])] if board.seen else None,
                pith_stays=stays,
                kerf_closes_chance_pct=(
                    100.0 * float(closes[i])
                    if closes is not None and (pile_told or lot.reaction[i])
                    else None
                ),
                **{mode: each[i] for mode, each in ranges.items()},
            )
        )
    return tuple(rows)


def _order(
    found: "_Found", seen: NDArray[np.bool_], wet: NDArray[np.bool_], leave: NDArray[np.bool_]
) -> list[int]:
    """Numbers of the boards, the calmest first. Chances that a reader cannot tell apart are alike, and the
    expected warp decides."""
    burden = _burden({mode: sizes[0] for mode, sizes in found.sizes.items()})
    keys = (burden, np.round(1.0 - found.clean, 2), ~seen, found.holds_pith, leave, wet)
    return np.lexsort(keys).tolist()


def _uncut(boards: Sequence[SawnBoard], lines: Sequence[int], cut: Cut) -> list[tuple[SawnBoard, int]]:
    """The boards that are still whole, each with its line.

    :raises Refusal: there are none, or nothing says how the others were cut
    """
    if cut.whole and any(board.first_cut is not None for board in boards):
        raise Refusal(
            "HOW_WAS_IT_CUT",
            "A board says what its first cut did, but nothing says how it was cut.",
            "What a cut releases depends on the width of the strip that it frees.",
            "Add --into and --strip-width as it was cut.",
            fields=("into",),
            exit_code=2,
        )
    uncut = [(board, line) for board, line in zip(boards, lines, strict=True) if board.first_cut is None]
    if not uncut:
        raise Refusal(
            "ALL_CUT",
            "Every board of the pile has been cut.",
            "Boards that have been cut tell of the rest; there is no rest.",
            "Add the boards that are still whole.",
            fields=("pile_boards",),
        )
    return uncut


def _do(board: SawnBoard, fails: float) -> Do:
    """What becomes of a board."""
    if rip_words.is_wet(board):
        return "dry"
    if not board.seen:
        return "look"
    return "leave" if fails >= rip_words.VERY_HIGH else "rip"


ROW_TO_MEND = note(
    "ROW_TO_MEND", "{rows} of the pile mended, which nothing counts: {wrong}", rows=None, wrong=None
)


def _to_mend(faults: Sequence[Refusal]) -> Iterator[Note]:
    """What the maker looks at before he acts: boards that he owns, and that count nowhere."""
    if faults:
        rows = f"line {faults[0].line}" if len(faults) == 1 else f"{len(faults)} lines"
        yield ROW_TO_MEND(rows=rows, wrong=faults[0].wrong.rstrip("."))


def _verdict(rows: Sequence[tuple[Ranked, Do]], cut: Cut, faults: Sequence[Refusal]) -> Verdict:
    def named(do: Do, pith: bool | None = None) -> list[str]:
        return [row.board for row, its in rows if its == do and pith in (None, row.pith_stays)]

    first, last = named("rip", False), named("rip", True)
    leave, unseen = named("leave"), named("look")
    if not (first or last):
        if unseen:
            return Verdict("wait", (UNSEEN(), LOOK()))
        return Verdict("stop", (NONE_OF_THEM(), SHORTER())) if leave else Verdict("wait", (ALL_WET(),))
    # The table ranks the others behind them.
    calmest = ", ".join((first or last)[:3])
    says: list[Note] = []
    if leave:
        says.append(RIP_AND_LEAVE(boards=calmest, left=names(leave, 3)))
    else:
        says.append(RIP_FIRST(boards=calmest))
        if first and last:
            says.append(KEEP_FOR_LAST(boards=names(last, 3)))
    if unseen:
        says.append(SOME_UNSEEN(boards=names(unseen, 3)))
    wedges = () if cut.whole else (rip_words.WEDGES_READY(),)
    return Verdict("go", tuple(says), (*wedges, *_to_mend(faults)))


def _learned(pile: Pile, draws: Draws) -> Learned:
    """What the boards that were ripped first told: strain locked into the edges, in millionths, tension
    positive."""
    before, after = (1e6 * each.belief.draws[0, 0] for each in (Pile(draws), pile))
    return Learned(before=draws.range(before), after=draws.range(after))


@dataclass(frozen=True)
class _Found:
    """What the boards of a pile do, arrays of shape (boards,).

    :param clean: chance that all strips clean up
    :param strips: that do, as expected
    :param closes: chance that the first kerf closes, None where nothing is ripped
    :param sizes: expected, low and high of the worst strip, by mode
    :param lengths: how many strips each gives to its length
    :param good_for: number in GOOD_FOR
    :param holds_pith: True where the pith lies in the board, and not in what is left beside its strips
    """

    clean: Array
    strips: Array
    closes: Array | None
    sizes: Mapping[str, tuple[Array, Array, Array]]
    lengths: Array
    good_for: Array
    holds_pith: NDArray[np.bool_]


def _found(
    lot: BoardArrays,
    wood: Wood,
    service: Service,
    draws: Draws,
    pile: Pile,
    asked: budget.Asked,
    cut: Cut,
    strip_length_mm: float | None,
    told: bool,
) -> _Found:
    """All boards, some at a time, so that their draws stay in the cache."""
    from concurrent.futures import ThreadPoolExecutor  # loads logging, which few commands need

    block = max(1, BLOCK // (draws.draws * lot.left_mm.shape[1]))

    def found(part: BoardArrays) -> _Found:
        return _part(part, wood, service, pile, asked, cut, strip_length_mm, told)

    blocks = [lot.part(slice(start, start + block)) for start in range(0, lot.boards, block)]
    with ThreadPoolExecutor(THREADS) as pool:  # NumPy lets the others work meanwhile
        parts = list(pool.map(found, blocks))

    def joined(name: str) -> NDArray[Any]:
        return np.concatenate([getattr(part, name) for part in parts])

    def sizes(mode: str) -> tuple[Array, Array, Array]:
        expected, low, high = (np.concatenate([part.sizes[mode][i] for part in parts]) for i in range(3))
        return expected, low, high

    return _Found(
        joined("clean"),
        joined("strips"),
        None if parts[0].closes is None else joined("closes"),
        {mode: sizes(mode) for mode in MODES},
        joined("lengths"),
        joined("good_for"),
        joined("holds_pith"),
    )


def _part(
    lot: BoardArrays,
    wood: Wood,
    service: Service,
    pile: Pile,
    asked: budget.Asked,
    cut: Cut,
    strip_length_mm: float | None,
    told: bool,
) -> _Found:
    length = lot.length_mm if strip_length_mm is None else np.minimum(lot.length_mm, strip_length_mm)
    warps = warping.warps(lot, wood, service.drawn(pile.draws), pile, length, ("in_service",))
    closes = None
    if told and np.isfinite(lot.first).all():
        where = np.asarray(kerf_closure_mm(lot.kerf_mm, warps.closing_per_m[:, 1:]))
        closes = (where < lot.length_mm[:, None]).mean(axis=1)
    modes = {mode: warps.modes[mode]["in_service"] for mode in MODES}
    warped = budget.Warped.of({mode: values[..., 1:] for mode, values in modes.items()})
    sawn = budget.Sawn.of(lot, length, cut.edges)
    good = asked.cleans_up(warped, sawn)
    lengths = np.maximum(np.floor((lot.length_mm + lot.kerf_mm) / (length + lot.kerf_mm) + 1e-9), 1.0)
    own = np.arange(lot.boards)
    # The one that is expected to warp most: of strips that nearly always clean up the chance tells little.
    worst = _burden({mode: np.abs(values[..., 0]) for mode, values in modes.items()}).argmax(axis=1)
    return _Found(
        good.all(axis=1).mean(axis=-1),
        np.sum(good.mean(axis=-1) * lot.own, axis=1) * lengths,
        closes,
        {mode: bounds(values[own, worst]) for mode, values in modes.items()},
        lengths,
        good_for(asked, warped, sawn, good),
        holds_pith(lot),
    )


def good_for(asked: budget.Asked, warped: budget.Warped, sawn: budget.Sawn, good: NDArray[np.bool_]) -> Array:
    """Number in :data:`rip_words.GOOD_FOR` of the longest of equal lengths whose strips will likely all
    clean up, shape (boards,).

    :param good: whether strips of the full length do
    """
    likely = [good.all(axis=1).mean(axis=-1) > 1.0 - rip_words.LIKELY]
    for pieces in budget.CROSSCUTS[1:]:
        short = asked.cleans_up(warped.crosscut(pieces), sawn.crosscut(pieces))
        likely.append(short.all(axis=1).mean(axis=-1) > 1.0 - rip_words.LIKELY)
    return np.stack([*likely, np.ones_like(likely[0])]).argmax(axis=0)


def _burden(expected: Mapping[str, Array]) -> Array:
    """Expected warp, each mode by the Stud grade."""
    return np.sum(
        [expected[mode] / STUD_LIMITS_MM[mode] for mode in ("crook_mm", "bow_mm", "lift_mm")], axis=0
    )


def _warnings(
    boards: Sequence[SawnBoard],
    uncut: Sequence[SawnBoard],
    rows: Sequence[Ranked],
    faults: Sequence[Refusal],
) -> tuple[Warning, ...]:
    notes = list(left_out(faults, MOST_FAULTS))
    unread = {board.name for board in uncut if board.pith.offset_mm is None}
    pith = [row.board for row in rows if row.pith_stays]
    if known := [name for name in pith if name not in unread]:
        notes.append(PITH_INSIDE(boards=names(known)))
    if unknown := [name for name in pith if name in unread]:
        notes.append(PITH_ASIDE_UNKNOWN(boards=names(unknown)))
    wet = [board.name for board in boards if rip_words.is_wet(board)]
    if wet:
        notes.append(WET_BOARD(boards=names(wet)))
    return tuple(notes)


def _crooked(boards: Sequence[tuple[SawnBoard, Do]]) -> tuple[Warning, ...]:
    crooked = [board.name for board, do in boards if do == "rip" and rip_words.crosscut_first(board)]
    return (CROSSCUT_FIRST(boards=names(crooked)),) if crooked else ()


def names(all_of_them: Sequence[str], most: int = 6) -> str:
    """Names with commas between, the rest counted."""
    more = len(all_of_them) - most
    return ", ".join(all_of_them[:most]) + (f" and {more} more" if more > 0 else "")


def _assumptions(
    service: Service, draws: Draws, mates: Sequence[SawnBoard], asked: budget.Asked
) -> tuple[Assumption, ...]:
    notes = [
        rip_words.IN_SERVICE(words=service.words),
        Assumption(
            "WORST_STRIP",
            "The Ranges are those of each board's worst strip in service; {count} draws each.",
            {"count": draws.draws},
        ),
        rip_words.JUDGEMENT,
        *rip_words.rule(asked),
    ]
    if mates:
        notes.append(
            Assumption(
                "LEARNED",
                "What the first cut of {boards} did tells of the stress in the whole pile.",
                {"boards": names([mate.name for mate in mates])},
            )
        )
    return tuple(notes)
