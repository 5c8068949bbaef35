"""The ends of a pile's boards: where each pith lies and where the saw goes."""

import math
from collections.abc import Sequence
from typing import Annotated

from woodmove.contract.quantity import LENGTH
from woodmove.contract.shown import Shown, results
from woodmove.domain.stock import Cut, SawnBoard

# So many boards are drawn, the first of the ranking.
MOST = 12


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
