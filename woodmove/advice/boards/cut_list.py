"""Which board gives which parts, in which order of cuts?"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import reduce
from itertools import groupby
from math import inf
from typing import Annotated

from woodmove.advice.boards.cutting.choose import Cutting, choose
from woodmove.advice.boards.left_out import left_out
from woodmove.advice.boards.ranking import MOST_FAULTS, names
from woodmove.advice.boards.stud import STUD_FACE_MM, STUD_LENGTH_MM, STUD_LIMITS_MM
from woodmove.contract.answer import Answer, Verdict
from woodmove.contract.notes import Note, assumption, caution, note, warning
from woodmove.contract.quantity import LENGTH
from woodmove.contract.refusal import Refusal, Refusals
from woodmove.contract.shown import Shown, results
from woodmove.domain.cutting import CutBoard, Lane, Length, Part, Stock
from woodmove.domain.stock import SawnBoard

SOURCES = ("stud-grade",)
# The pith and the wood beside it, thrown out of the middle of a board (status: common practice).
PITH_WASTE_MM = 50.8
# A twisted board gives no part longer than this (status: common practice).
TWISTED_UP_TO_MM = 609.6


@results
class PartHere:
    """A part where it lies in its board: from the sound end, and from one edge."""

    board: Annotated[str, Shown("board")]
    part: Annotated[str, Shown("part")]
    along_mm: Annotated[float, Shown("from the sound end", LENGTH)]
    across_mm: Annotated[float, Shown("from the edge", LENGTH)]
    length_mm: Annotated[float, Shown("length", LENGTH)]
    width_mm: Annotated[float, Shown("width", LENGTH)]


@results
class SawnUp:
    """A board that is cut into, in the order of the cuts."""

    board: Annotated[str, Shown("board", None, "key")]
    cuts: Annotated[Note, Shown("crosscut in this order", None, "key")]
    gives: Annotated[str, Shown("gives", None, "key")]
    left_mm: Annotated[float, Shown("left", LENGTH, "key")]
    length_mm: Annotated[float, Shown("length", LENGTH)]
    usable_mm: Annotated[float, Shown("sound length", LENGTH)]
    width_mm: Annotated[float, Shown("width", LENGTH)]
    twisted: Annotated[bool, Shown("twisted")]
    pith: Annotated[bool, Shown("pith thrown out")]


@results
class Lacking:
    """Parts that no board gives."""

    part: Annotated[str, Shown("part", None, "key")]
    count: Annotated[int, Shown("lack", None, "key")]
    width_mm: Annotated[float, Shown("width", LENGTH, "key")]
    length_mm: Annotated[float, Shown("length", LENGTH, "key")]


@results
class CutList:
    """Which board gives which parts."""

    boards_cut: Annotated[int, Shown("boards to cut", None, "headline")]
    parts_out: Annotated[int, Shown("parts that come out", None, "key")]
    longest_left_mm: Annotated[float, Shown("longest piece left", LENGTH, "key")]
    back: Annotated[tuple[str, ...], Shown("back to the yard")]
    boards: Annotated[tuple[SawnUp, ...], Shown("boards", None, "key")]
    pieces: Annotated[tuple[PartHere, ...], Shown("where each part lies")]
    lacks: Annotated[tuple[Lacking, ...], Shown("what lacks")]
    outer_strips: Annotated[tuple[str, ...], Shown("straightest, for the outer faces")]
    proven: Annotated[bool, Shown("every better way was tried")]


@dataclass(frozen=True, slots=True)
class Saw:
    """How boards are cut.

    :param bad_ends_mm: trimmed off both ends together, where a board says nothing
    :param twisted_up_to_mm: longest part that a twisted board gives
    """

    kerf_mm: float
    bad_ends_mm: float
    twisted_up_to_mm: float = TWISTED_UP_TO_MM


ALL_OUT = note(
    "ALL_OUT", "All parts come out of {cut} of {count} boards; {back}.", cut=None, count=None, back=None
)
OUT_OF_ALL = note("ALL_OUT", "All parts come out, and every board is cut into.")
GO_BACK = note("GO_BACK", "{boards} go back", boards=None)
GOES_BACK = note("GOES_BACK", "{board} goes back", board=None)
LACK = note("LACK", "Not all parts come out. Short of {parts}.", parts=None)
NOTHING = note("NO_PART_FITS", "None of these boards gives any of the parts.")
OUTSIDE = note("STRAIGHTEST_OUTSIDE", "Put strips of {boards} on the outer faces of the top.", boards=None)
BUY_ALIKE = note(
    "BUY_MORE",
    "Buy {count} more, straight and without pith: {width_mm} wide, {length_mm} long.",
    count=None,
    width_mm=LENGTH,
    length_mm=LENGTH,
)
BUY_LARGER = note(
    "BUY_LARGER",
    "Buy straight boards, at least {width_mm} wide and {length_mm} long.",
    width_mm=LENGTH,
    length_mm=LENGTH,
)
CROSSCUT = note("CROSSCUT", "{length_mm}", length_mm=LENGTH)
SEVERAL = note("CROSSCUT", "{count} of {length_mm}", count=None, length_mm=LENGTH)
FIRST_THEN = note("FIRST_THEN", "{first}; {then}", first=None, then=None)
THEN_RIP = note("CROSSCUT_AND_RIP", "{crosscut}: rip {strips}", crosscut=None, strips=None)
RIP_AND_CROSSCUT = note(
    "CROSSCUT_RIP_CROSSCUT",
    "{crosscut}: rip {strips}, then crosscut",
    crosscut=None,
    strips=None,
)
THEN_PARTS = note("RIP_PARTS", "{crosscut}: rip the parts to width", crosscut=None)
STRIP = note("RIP_STRIP", "{count} at {width_mm}", count=None, width_mm=LENGTH)
TWISTED = warning(
    "TWISTED_BOARDS",
    "Twisted beyond the Stud grade: {boards}. They give only parts up to {length_mm}.",
    boards=None,
    length_mm=LENGTH,
)
PITH = warning(
    "PITH_OUT", "The pith is in {boards}: throw out {waste_mm} of the middle.", boards=None, waste_mm=LENGTH
)
THICKNESSES = warning(
    "THICKNESSES_DIFFER", "The boards are not all as thick: parts come out as thick as their board."
)
KERF = assumption(
    "KERF_AND_ENDS",
    "Each cut takes {kerf_mm}. Where a board says nothing, {ends_mm} is cut off its ends.",
    kerf_mm=LENGTH,
    ends_mm=LENGTH,
)
AS_LISTED = assumption("CUT_AS_LISTED", "Parts are cut as listed: list them with what milling takes.")
NOT_ALL_TRIED = assumption(
    "NOT_ALL_TRIED", "There are too many ways to try them all: fewer boards may do, though hardly."
)
CAUTIONS = (
    caution(
        "MANUAL_FIRST",
        "Your saw's manual first: guard on, riving knife in, wedges ready, nobody behind the blade.",
    ),
    caution("STRAIGHT_EDGE_FIRST", "Never rip a board that rocks on the table or has no straight edge."),
    caution("NO_FENCE_STOP", "Crosscut with a miter gauge or sled, never against the rip fence."),
)
SHORT = caution(
    "SHORT_PIECES",
    "Never rip a piece under {least_mm} on a table saw: use a band saw or a hand saw.",
    least_mm=LENGTH,
)
BAD_ROWS_SHOWN = 3
# Lengths and widths that a saw does not tell apart.
SAME_MM = 0.5
# Shorter than this nothing is ripped on a table saw (status: common practice, 12 in).
SHORT_MM = 304.8


def is_twisted(board: SawnBoard) -> bool:
    """True for more twist than the Stud grade allows, scaled to the board's length and width."""
    allowed = (
        STUD_LIMITS_MM["lift_mm"] * board.length_mm / STUD_LENGTH_MM * board.size.width_mm / STUD_FACE_MM
    )
    return board.twist_mm is not None and board.twist_mm > allowed


def stock_of(board: SawnBoard, bad_ends_mm: float | None, saw: Saw) -> Stock:
    """A board as the cut list sees it.

    :param bad_ends_mm: of this board, None where nobody says
    """
    wide = board.size.width_mm
    widths: tuple[float, ...] = (wide,)
    if board.pith.in_board:
        # The waste lies where the pith is: what is on either side of it is not always as wide.
        middle = min(max(wide / 2 + (board.pith.offset_mm or 0.0), 0.0), wide)
        sides = (middle - PITH_WASTE_MM / 2 - saw.kerf_mm, wide - middle - PITH_WASTE_MM / 2 - saw.kerf_mm)
        widths = tuple(max(side, 0.0) for side in sides)
    ends = saw.bad_ends_mm if bad_ends_mm is None else bad_ends_mm
    longest = saw.twisted_up_to_mm if is_twisted(board) else inf
    return Stock(
        board.name,
        wide,
        widths,
        board.length_mm,
        max(board.length_mm - ends, 0.0),
        longest,
        board.pith.in_board,
    )


def cut_list(
    boards: Sequence[tuple[SawnBoard, float | None]],
    parts: Sequence[Part],
    saw: Saw,
    faults: Sequence[Refusal] = (),
    strip: Part | None = None,
    calmest: Sequence[str] = (),
) -> Answer[CutList]:
    """The cut list of a pile. Of boards that give the same the calmer ones are cut into.

    :param boards: each with what is cut off its ends, None where nobody says
    :param parts: what is wanted, as it comes off the saw
    :param faults: rows that could not be read
    :param strip: that of the parts which makes the top
    :param calmest: names of the boards, those first that will move least when ripped; none where nobody
        ranked them
    :raises Refusals: no board or no part that could be read
    """
    if not boards or not parts:
        raise Refusals(faults[:MOST_FAULTS])
    stocks = [stock_of(board, ends, saw) for board, ends in boards]
    place = {stock.name: n for n, stock in enumerate(stocks)}
    # Whoever notes a crook notes it of the crooked ones: the others count as straight.
    rank = {name: n for n, name in enumerate(calmest)}
    calm = sorted((rank.get(each.name, len(rank)), _warp(each), n) for n, (each, _) in enumerate(boards))
    found = choose([stocks[n] for _, _, n in calm], parts, saw.kerf_mm)
    sawn = [
        (board, sorted(_crosscuts(board, parts, saw.kerf_mm), key=lambda length: -length.length_mm))
        for board in sorted(found.boards, key=lambda board: place[board.stock.name])
    ]
    rows = tuple(_row(board, lengths, parts) for board, lengths in sawn)
    outer = _outer([board for board, _ in boards], found, parts, strip, calmest)
    lacks = tuple(
        Lacking(part=part.name, count=n, width_mm=part.width_mm, length_mm=part.length_mm)
        for part, n in zip(parts, found.lacks, strict=True)
        if n
    )
    back = tuple(sorted((stock.name for stock in found.back), key=lambda name: place[name]))
    return Answer(
        _verdict(found, stocks, parts, saw, back, outer),
        CutList(
            boards_cut=len(rows),
            parts_out=sum(part.count for part in parts) - sum(found.lacks),
            longest_left_mm=found.longest_left_mm,
            back=back,
            boards=rows,
            pieces=tuple(
                piece
                for board, lengths in sawn
                for piece in _places(lengths, board.stock, parts, saw.kerf_mm)
            ),
            lacks=lacks,
            outer_strips=outer,
            proven=found.proven,
        ),
        (
            *_warnings(boards, stocks, faults, saw),
            *_cautions(sawn),
            *_assumptions(found, saw),
        ),
        SOURCES,
    )


def _verdict(
    found: Cutting,
    stocks: Sequence[Stock],
    parts: Sequence[Part],
    saw: Saw,
    back: Sequence[str],
    outer: Sequence[str],
) -> Verdict:
    if any(found.lacks):
        missing = [replace(part, count=n) for part, n in zip(parts, found.lacks, strict=True) if n]
        buy = _to_buy(missing, stocks, saw)
        if not found.boards:
            return Verdict("stop", (NOTHING(), buy))
        short = names([_several(part.count, part) for part in missing])
        return Verdict("wait", (LACK(parts=short), buy))
    says = [all_out(len(found.boards), back)]
    if outer:
        says.append(OUTSIDE(boards=" and ".join(outer)))
    return Verdict("go", tuple(says))


def _several(count: int, part: Part) -> str:
    """So many of a part, whose name has no plural that anybody knows, but for strips."""
    if part.name == "strip":
        return f"{count} strip{'s' * (count != 1)}"
    return f"{count} × {part.name}"


def all_out(cut: int, back: Sequence[str]) -> Note:
    """What is said where nothing lacks: how many boards are cut, and which go back."""
    if not back:
        return OUT_OF_ALL()
    going = GOES_BACK(board=back[0]) if len(back) == 1 else GO_BACK(boards=names(back))
    return ALL_OUT(cut=cut, count=cut + len(back), back=going)


def _to_buy(missing: Sequence[Part], stocks: Sequence[Stock], saw: Saw) -> Note:
    """Boards like those of the pile, if such will do: the fewest, then the least lumber."""
    wide, long = max(part.width_mm for part in missing), max(part.length_mm for part in missing)
    kinds = {(stock.width_mm, stock.length_mm) for stock in stocks}
    enough = sum(part.count for part in missing)
    ways: list[tuple[int, float, float, float]] = []
    for width, length in kinds:
        if width < wide or length - saw.bad_ends_mm < long:
            continue
        fresh = Stock("", width, (width,), length, length - saw.bad_ends_mm)
        count = len(choose([replace(fresh, name=str(n)) for n in range(enough)], missing, saw.kerf_mm).boards)
        ways.append((count, width * length, width, length))
    if not ways:
        return BUY_LARGER(width_mm=wide, length_mm=long + saw.bad_ends_mm)
    count, _, width, length = min(ways)
    return BUY_ALIKE(count=count, width_mm=width, length_mm=length)


def _row(board: CutBoard, lengths: Sequence[Length], parts: Sequence[Part]) -> SawnUp:
    stock, gives = board.stock, board.gives()
    cuts = [_cut(length, stock, parts) for length in lengths]
    return SawnUp(
        board=stock.name,
        cuts=reduce(
            lambda first, then: FIRST_THEN(first=first, then=then),
            (_said(cut, len(list(same))) for cut, same in groupby(cuts)),
        ),
        gives=", ".join(_several(gives[n], parts[n]) for n in sorted(gives)),
        left_mm=round(board.left_mm, 3),
        length_mm=stock.length_mm,
        usable_mm=stock.usable_mm,
        width_mm=stock.width_mm,
        twisted=stock.longest_mm < inf,
        pith=stock.pith,
    )


def _crosscuts(board: CutBoard, parts: Sequence[Part], kerf_mm: float) -> Iterator[Length]:
    """The lengths of a board, as short as is safe to rip: short ones rip straighter, and where all strips of
    a length are crosscut at the same place, one crosscut before the rip does for all."""
    for length in board.lengths:
        lanes = [lane for lane in length.lanes if lane.parts]
        while lanes:
            firsts = {parts[lane.parts[0]].length_mm for lane in lanes}
            rest = [replace(lane, parts=lane.parts[1:]) for lane in lanes if len(lane.parts) > 1]
            shortest = min(max(firsts), *(_run_mm(lane, parts) for lane in rest)) if rest else max(firsts)
            ripped = _is_ripped(lanes, board.stock)
            if rest and (max(firsts) - min(firsts) > SAME_MM or (ripped and shortest < SHORT_MM)):
                yield Length(
                    max(_run_mm(lane, parts) + kerf_mm * (len(lane.parts) - 1) for lane in lanes),
                    _fitted(lanes, parts),
                )
                break
            yield Length(max(firsts), _fitted([replace(lane, parts=lane.parts[:1]) for lane in lanes], parts))
            lanes = rest


def _run_mm(lane: Lane, parts: Sequence[Part]) -> float:
    return sum(parts[n].length_mm for n in lane.parts)


def _fitted(lanes: Sequence[Lane], parts: Sequence[Part]) -> tuple[Lane, ...]:
    """Strips as wide as their widest part."""
    return tuple(replace(lane, width_mm=max(parts[n].width_mm for n in lane.parts)) for lane in lanes)


def _is_ripped(lanes: Sequence[Lane], stock: Stock) -> bool:
    return len(lanes) > 1 or any(abs(lane.width_mm - stock.width_mm) > SAME_MM for lane in lanes)


# A length, its strips as (width, count), whether parts are crosscut from them, and whether parts are ripped
# narrower than their strip.
_Cut = tuple[float, tuple[tuple[float, int], ...], bool, bool]


def _cut(length: Length, stock: Stock, parts: Sequence[Part]) -> _Cut:
    wide = [lane.width_mm for lane in length.lanes]
    strips = tuple((width, wide.count(width)) for width in sorted(set(wide), reverse=True))
    inside = [(parts[n], lane) for lane in length.lanes for n in lane.parts]
    along = any(part.length_mm < length.length_mm - SAME_MM for part, _ in inside)
    narrower = any(part.width_mm < lane.width_mm - SAME_MM for part, lane in inside)
    return length.length_mm, strips if _is_ripped(length.lanes, stock) else (), along, narrower


def _said(cut: _Cut, times: int) -> Note:
    long, strips, along, narrower = cut
    crosscut = CROSSCUT(length_mm=long) if times == 1 else SEVERAL(count=times, length_mm=long)
    if not strips:
        return THEN_PARTS(crosscut=crosscut) if narrower else crosscut
    said = [STRIP(count=count, width_mm=width) for width, count in strips]
    return (RIP_AND_CROSSCUT if along or narrower else THEN_RIP)(crosscut=crosscut, strips=said)


def _places(
    lengths: Sequence[Length], stock: Stock, parts: Sequence[Part], kerf_mm: float
) -> Iterator[PartHere]:
    along = 0.0
    for length in lengths:
        near, far = 0.0, stock.width_mm
        for lane in length.lanes:
            # On the far side of the pith from the far edge inward.
            across = near if lane.side == 0 else far - lane.width_mm
            near, far = (
                (near + lane.width_mm + kerf_mm, far)
                if lane.side == 0
                else (near, far - lane.width_mm - kerf_mm)
            )
            at = along
            for n in lane.parts:
                part = parts[n]
                yield PartHere(
                    board=stock.name, part=part.name, along_mm=at, across_mm=across, length_mm=part.length_mm,
                    width_mm=part.width_mm,
                )  # fmt: skip
                at += part.length_mm + kerf_mm
        along += length.length_mm + kerf_mm


def _warp(board: SawnBoard) -> float:
    """How warped a board was seen to be, by what the grade allows of each kind, so that one weighs as much
    as another."""
    seen = ((board.crook_mm, "crook_mm"), (board.bow_mm, "bow_mm"), (board.twist_mm, "lift_mm"))
    return max(abs(mm or 0.0) / STUD_LIMITS_MM[kind] for mm, kind in seen)


def _outer(
    boards: Sequence[SawnBoard],
    found: Cutting,
    parts: Sequence[Part],
    strip: Part | None,
    calmest: Sequence[str],
) -> tuple[str, ...]:
    """The two boards for the outer strips of the top: the calmest, or those that were seen to be
    straightest; none where not every board was looked at."""
    if strip is None:
        return ()
    wanted = parts.index(strip)
    giving = {board.stock.name for board in found.boards if wanted in board.gives()}
    clear = {board.name: board for board in boards if board.name in giving and not board.pith.in_board}
    ranked = [name for name in calmest if name in clear]
    if ranked:
        return tuple(ranked[:2])
    if any(board.crook_mm is board.bow_mm is board.twist_mm is None for board in clear.values()):
        return ()
    return tuple(sorted(clear, key=lambda name: _warp(clear[name]))[:2])


def _warnings(
    boards: Sequence[tuple[SawnBoard, float | None]],
    stocks: Sequence[Stock],
    faults: Sequence[Refusal],
    saw: Saw,
) -> Iterator[Note]:
    yield from left_out(faults, BAD_ROWS_SHOWN)
    twisted = [stock.name for stock in stocks if stock.longest_mm < inf]
    if twisted:
        yield TWISTED(boards=names(twisted), length_mm=saw.twisted_up_to_mm)
    pith = [stock.name for stock in stocks if stock.pith]
    if pith:
        yield PITH(boards=names(pith), waste_mm=PITH_WASTE_MM)
    if len({round(board.size.thickness_mm, 1) for board, _ in boards}) > 1:
        yield THICKNESSES()


def _cautions(sawn: Sequence[tuple[CutBoard, Sequence[Length]]]) -> Iterator[Note]:
    yield from (each() for each in CAUTIONS)
    if any(
        length.length_mm < SHORT_MM and _is_ripped(length.lanes, board.stock)
        for board, lengths in sawn
        for length in lengths
    ):
        yield SHORT(least_mm=SHORT_MM)


def _assumptions(found: Cutting, saw: Saw) -> Iterator[Note]:
    yield KERF(kerf_mm=saw.kerf_mm, ends_mm=saw.bad_ends_mm)
    yield AS_LISTED()
    if not found.proven:
        yield NOT_ALL_TRIED()
