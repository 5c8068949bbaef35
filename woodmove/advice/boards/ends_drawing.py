"""The ends of a pile's boards, drawn: rings, cuts, and what the cut may do."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from woodmove.advice.boards.ends import StripInEnd
from woodmove.advice.boards.ranking import Ranked, Ranking
from woodmove.contract.drawing import Box, Drawing, Label, Line, Shape, Text
from woodmove.contract.notes import note
from woodmove.contract.quantity import CHANCE
from woodmove.domain.end_grain import EndGrain

# In rows of so many boards.
ACROSS = 2
# Between boards, and what words take over and under one, as parts of the widest board's width.
GAP, OVER, UNDER = 0.12, 0.08, 0.14
# From here on a chance is said in words.
SURE_PCT = 95.0

PILE_SAYS = note(
    "DRAWN_PILE",
    "The ends of {count} boards in the order of their ranking, with their rings and strips: {boards}.",
    count=None,
    boards=None,
)
RANKED = note("RANKED", "{rank}. {board}: {risk}", rank=None, board=None, risk=None)
UNRANKED = note("UNRANKED", "{board}: end not read", board=None)
CLOSES = note("CLOSES", "kerf closes {chance_pct}", chance_pct=CHANCE)
SURELY = "almost surely clean"
CLEANS_UP = note("CLEANS_UP", "cleans up {chance_pct}", chance_pct=CHANCE)
HOW_IT_LIES = (
    "Pith side down. Gray is waste; what is cut first lies left. The rings show their lie, not their number. "
)
UNTOLD_KERF = "Unknown until the first rip: whether a kerf closes. Have wedges ready."


def pile_drawings(found: Ranking) -> Iterable[Drawing]:
    """The ends of the boards, the calmest first: rings, cuts, and what the cut may do."""
    if not found.strips_in_ends:
        return
    rows = {row.board: row for row in found.boards}
    ends = [(name, list(group)) for name, group in groupby(found.strips_in_ends, lambda strip: strip.board)]
    wide = max(end[0].width_mm for _, end in ends)
    tall = max(end[0].thickness_mm for _, end in ends) + (OVER + UNDER + GAP) * wide
    shapes: list[Shape] = []
    for number, (name, end) in enumerate(ends):
        middle = (number % ACROSS) * (1 + GAP) * wide
        shapes += _end(end, rows[name], middle, -(number // ACROSS) * tall, wide)
    told = any(rows[name].kerf_closes_chance_pct is not None for name, _ in ends)
    yield Drawing(
        "ends", "The ends of the boards, ranked",
        PILE_SAYS(count=len(ends), boards=", ".join(name for name, _ in ends)), tuple(shapes),
        remark=HOW_IT_LIES + ("" if told else UNTOLD_KERF),
    )  # fmt: skip


def _end(
    strips: Sequence[StripInEnd], row: Ranked, middle: float, foot: float, wide: float
) -> Iterator[Shape]:
    """One end, with its words over and under it.

    :param middle: of the board, across
    :param foot: its face nearer the pith
    :param wide: of the widest board
    """
    board = strips[0]
    left, width, thick = middle - board.width_mm / 2, board.width_mm, board.thickness_mm
    yield Box(left, foot, width, thick, role="waste")
    for strip in strips:
        yield Box(
            middle + strip.left_mm, foot + strip.low_mm, strip.right_mm - strip.left_mm,
            strip.high_mm - strip.low_mm,
        )  # fmt: skip
    if board.pith_depth_mm is not None:
        pith = (middle + (board.pith_offset_mm or 0.0), foot - board.pith_depth_mm)
        grain = EndGrain(left, foot, width, thick, *pith)
        yield from (Line(x, y, role="wood") for x, y in grain.rings())
        if grain.holds_pith:
            yield Line((pith[0],), (pith[1],))
    yield Box(left, foot, width, thick, role="cut")
    over = foot + thick + OVER * wide / 2
    clean = row.all_clean_up_chance_pct
    if clean is None:
        yield Label(middle, over, UNRANKED(board=row.board))
        return
    yield Label(middle, over, RANKED(rank=row.rank, board=row.board, risk=row.risk))
    yield Label(middle, foot - UNDER * wide * 0.6, _chance(row.kerf_closes_chance_pct, clean))


def _chance(closes: float | None, clean: float) -> Text:
    """Of what a first cut told of, else of its strips."""
    if closes is not None:
        return CLOSES(chance_pct=closes)
    return SURELY if clean > SURE_PCT else CLEANS_UP(chance_pct=clean)
