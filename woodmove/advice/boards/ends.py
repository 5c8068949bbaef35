"""The ends of a pile's boards: where each pith lies and where the saw goes, and how that looks."""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from typing import Annotated, Any

from woodmove.contract.drawing import Box, Drawing, Label, Line, Shape, Text
from woodmove.contract.notes import note
from woodmove.contract.quantity import CHANCE, LENGTH
from woodmove.contract.shown import Shown, results
from woodmove.domain.end_grain import EndGrain
from woodmove.domain.stock import Cut, SawnBoard

# So many boards are drawn, the first of the ranking, in rows of so many.
MOST, ACROSS = 12, 3
# Between boards, and what words take over and under one, as parts of the widest board's width.
GAP, OVER, UNDER = 0.18, 0.10, 0.24
# From here on a chance is said in words.
SURE_PCT = 95.0


@results
class StripInEnd:
    """A strip in the end of its board: across from mid-width, through from the face nearer the pith. None for
    a pith of which nothing tells where it is."""

    board: Annotated[str, Shown("board")]
    strip: Annotated[int, Shown("strip")]
    thickness_mm: Annotated[float, Shown("board's thickness", LENGTH)]
    width_mm: Annotated[float, Shown("board's width", LENGTH)]
    pith_depth_mm: Annotated[float | None, Shown("pith below the face", LENGTH)]
    pith_offset_mm: Annotated[float | None, Shown("pith from mid-width", LENGTH)]
    left_mm: Annotated[float, Shown("from", LENGTH)]
    right_mm: Annotated[float, Shown("to", LENGTH)]
    low_mm: Annotated[float, Shown("bottom", LENGTH)]
    high_mm: Annotated[float, Shown("top", LENGTH)]


def strips_in_ends(boards: Sequence[tuple[SawnBoard, int]], cut: Cut) -> tuple[StripInEnd, ...]:
    """The strips in the ends of the boards that are drawn.

    :param boards: in the order of their ranking, each with the number of its way of `Cut.layouts`
    """
    return tuple(
        StripInEnd(
            board=board.name,
            strip=number,
            thickness_mm=board.size.thickness_mm,
            width_mm=board.size.width_mm,
            pith_depth_mm=_depth_mm(board),
            pith_offset_mm=board.pith.offset_mm,
            left_mm=piece.left_mm,
            right_mm=piece.right_mm,
            low_mm=piece.low_mm,
            high_mm=piece.high_mm,
        )
        for board, way in boards[:MOST]
        for number, piece in enumerate(cut.layouts(board.size)[way], start=1)
    )


def _depth_mm(board: SawnBoard) -> float | None:
    """Of the pith below the face: as read, or by the ring through the middle of the end; in the middle of the
    thickness where it is only seen to be inside, so far from mid-width."""
    pith = board.pith
    if pith.depth_mm is not None:
        return pith.depth_mm
    if pith.inside:
        return None if pith.offset_mm is None else -board.size.thickness_mm / 2.0
    if pith.ring_radius_mm is None:
        return None
    aside = pith.offset_mm or 0.0
    return math.sqrt(max(pith.ring_radius_mm**2 - aside**2, 0.0)) - board.size.thickness_mm / 2.0


PILE_SAYS = note(
    "DRAWN_PILE",
    "The ends of {count} boards in the order of their ranking, with their rings and strips: {boards}.",
    count=None,
    boards=None,
)
RANKED = note("RANKED", "{rank}. {board}: {risk}", rank=None, board=None, risk=None)
UNRANKED = note("UNRANKED", "{board}: end not read", board=None)
CLOSES = note("CLOSES", "kerf closes {chance_pct}", chance_pct=CHANCE)
SURELY = "almost surely cleans up"
CLEANS_UP = note("CLEANS_UP", "cleans up {chance_pct}", chance_pct=CHANCE)
HOW_IT_LIES = (
    "Pith side down. Gray is waste; what is cut first lies left. The rings show their lie, not their number. "
)
UNTOLD_KERF = "Unknown until the first rip: whether a kerf closes. Have wedges ready."


def pile_drawings(found: Mapping[str, Any], inputs: Mapping[str, Any]) -> Iterable[Drawing]:
    """The ends of the boards, the calmest first: rings, cuts, and what the cut may do."""
    strips = found.get("strips_in_ends")
    if not strips:
        return
    rows = {row["board"]: row for row in found["boards"]}
    ends = [(name, list(group)) for name, group in groupby(strips, lambda strip: strip["board"])]
    wide = max(end[0]["width_mm"] for _, end in ends)
    tall = max(end[0]["thickness_mm"] for _, end in ends) + (OVER + UNDER + GAP) * wide
    shapes: list[Shape] = []
    for number, (name, end) in enumerate(ends):
        middle = (number % ACROSS) * (1 + GAP) * wide
        shapes += _end(end, rows[name], middle, -(number // ACROSS) * tall, wide)
    told = any("kerf_closes_chance_pct" in rows[name] for name, _ in ends)
    yield Drawing(
        "ends", "The ends of the boards, ranked",
        PILE_SAYS(count=len(ends), boards=", ".join(name for name, _ in ends)), tuple(shapes),
        remark=HOW_IT_LIES + ("" if told else UNTOLD_KERF),
    )  # fmt: skip


def _end(
    strips: Sequence[Mapping[str, Any]], row: Mapping[str, Any], middle: float, foot: float, wide: float
) -> Iterator[Shape]:
    """One end, with its words over and under it.

    :param middle: of the board, across
    :param foot: its face nearer the pith
    :param wide: of the widest board
    """
    board = strips[0]
    left, width, thick = middle - board["width_mm"] / 2, board["width_mm"], board["thickness_mm"]
    yield Box(left, foot, width, thick, role="waste")
    for strip in strips:
        yield Box(
            middle + strip["left_mm"], foot + strip["low_mm"], strip["right_mm"] - strip["left_mm"],
            strip["high_mm"] - strip["low_mm"],
        )  # fmt: skip
    if board["pith_depth_mm"] is not None:
        pith = (middle + (board["pith_offset_mm"] or 0.0), foot - board["pith_depth_mm"])
        grain = EndGrain(left, foot, width, thick, *pith)
        yield from (Line(x, y, role="wood") for x, y in grain.rings())
        if grain.holds_pith:
            yield Line((pith[0],), (pith[1],))
    yield Box(left, foot, width, thick, role="cut")
    over = foot + thick + OVER * wide / 2
    if row["rank"] is None:
        yield Label(middle, over, UNRANKED(board=row["board"]))
        return
    yield Label(middle, over, RANKED(rank=row["rank"], board=row["board"], risk=row["risk"]))
    yield Label(middle, foot - UNDER * wide * 0.6, _chance(row))


def _chance(row: Mapping[str, Any]) -> Text:
    """Of what a first cut told of, else of its strips."""
    if (closes := row.get("kerf_closes_chance_pct")) is not None:
        return CLOSES(chance_pct=closes)
    clean = row["all_clean_up_chance_pct"]
    return SURELY if clean > SURE_PCT else CLEANS_UP(chance_pct=clean)
