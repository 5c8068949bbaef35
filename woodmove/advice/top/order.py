"""The order of the strips of a top, and which way to turn each.

A plain sort: strips that move alike lie side by side, and outermost the straightest and clearest that may
lie there. Then each is turned: a clear face shows, crooks and bows go against those before them in the
section, show faces plane one way.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from woodmove.advice.top.movement import FELT_MM
from woodmove.domain.strip import GRAINS, Laid, Strip
from woodmove.physics.arrays import Array

Row = NDArray[np.intp]


def worst_step_mm(row: Row, movement_mm: Array) -> float:
    """The worst step on a face between two neighbours of a row, in the worse season.

    :param movement_mm: of a face of each strip at the driest and at the dampest, shape (2, strips)
    """
    return float(np.abs(np.diff(movement_mm[:, row], axis=1)).max())


def sorted_row(strips: Sequence[Strip], movement_mm: Array) -> Row:
    """The numbers of the strips from left to right: sorted by how far they move in the mean, which is mostly
    their moisture, or by how far over the year, which is their rings, whichever steps less; as they are
    listed where neither gains. Then both ends are chosen.

    :param movement_mm: as of :func:`worst_step_mm`; two strips or more
    """
    driest, dampest = movement_mm
    row = min(
        np.arange(len(strips)),
        np.argsort(driest + dampest, kind="stable"),
        np.argsort(dampest - driest, kind="stable"),
        key=lambda each: worst_step_mm(each, movement_mm),
    )
    felt = max(worst_step_mm(row, movement_mm), FELT_MM)
    row = _best_outermost(row, strips, movement_mm, felt)
    # The other end, and the first stays where it is.
    return _best_outermost(row[::-1], strips, movement_mm, felt, keep=1)[::-1]


def _best_outermost(
    row: Row, strips: Sequence[Strip], movement_mm: Array, felt_mm: float, keep: int = 0
) -> Row:
    """The row with the best of its strips first, of those that can lie there without a step beyond `felt_mm`.

    :param keep: as many strips at the end of the row stay there
    """
    rows = [np.concatenate((row[[place]], np.delete(row, place))) for place in range(len(row) - keep)]
    allowed = [each for each in rows if worst_step_mm(each, movement_mm) <= felt_mm]
    return min(allowed, key=lambda each: _unfit(strips[int(each[0])]))


def _unfit(strip: Strip) -> tuple[bool, float, int]:
    """How ill a strip suits an outer edge: by a defect that shows either way round, crook and twist, its
    defects."""
    return ({"left", "right"} <= strip.defects, strip.out_of_straight_mm, len(strip.defects))


def turned(row: Row, strips: Sequence[Strip], sections: Sequence[int], leans_mm: Array) -> list[Laid]:
    """Each strip of a row the right way round.

    :param sections: number of the section of each place
    :param leans_mm: by how much the marked edge of each strip widens more than the other over the year,
        shape (strips,)
    """
    ends = _ends(row, strips)
    plane = _plane(row, strips, ends)
    crook = bow = lean = 0.0
    laid: list[Laid] = []
    for place, number in enumerate(int(number) for number in row):
        strip = strips[number]
        if place and sections[place] != sections[place - 1]:
            crook = bow = 0.0
        up = _mark_up(strip, crook, lean, float(leans_mm[number]))
        turn = ends.get(place)
        if turn is None:
            against = (strip.bow_mm or 0.0) * bow > 0
            turn = against if strip.grain is None else strip.grain != plane
        crook += (strip.crook_mm or 0.0) * (1 if up else -1)
        lean += float(leans_mm[number]) * (1 if up else -1)
        bow += (strip.bow_mm or 0.0) * (-1 if turn else 1)
        laid.append(Laid(number, up, turn))
    return laid


def _mark_up(strip: Strip, crook_mm: float, lean_mm: float, own_lean_mm: float) -> bool:
    """A clear face shows; where both are alike, the strip goes against the sum of those before it."""
    if ("up" in strip.defects) != ("down" in strip.defects):
        return "down" in strip.defects
    if strip.crook_mm:
        return strip.crook_mm * crook_mm <= 0
    return own_lean_mm * lean_mm <= 0


def _ends(row: Row, strips: Sequence[Strip]) -> dict[int, bool]:
    """Whether the first and the last strip are turned, where one of their sides is clear and one is not."""
    ends: dict[int, bool] = {}
    for place, outer, inner in ((0, "left", "right"), (len(row) - 1, "right", "left")):
        defects = strips[int(row[place])].defects
        if (outer in defects) != (inner in defects):
            ends[place] = outer in defects
    return ends


def _plane(row: Row, strips: Sequence[Strip], ends: dict[int, bool]) -> str:
    """The way in which the show faces shall plane: that of the outer strips which cannot be turned, else that
    of most."""

    def way(grain: str | None, turn: bool) -> str | None:
        return GRAINS[1 - GRAINS.index(grain)] if grain is not None and turn else grain

    fixed = [way(strips[int(row[place])].grain, turn) for place, turn in ends.items()]
    votes = [each for each in fixed if each] or [strip.grain for strip in strips]
    return max(GRAINS, key=votes.count)
