"""Where the pith lies, and how the grain spirals about it, in draws."""

import numpy as np

from woodmove.advice.boards.arrays import BoardArrays
from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.doubt.normal import standard
from woodmove.physics.arrays import Array

# Depth of a pith that nobody looked for (status: judgement).
PITH_DEPTH_MM = 50.0
# Spiral grain [°]: outer + (core - outer) exp(-(r / CORE_MM)²), left-handed positive. Made to meet what is
# published for Norway spruce (straze-2011, spruce-studs), near the 2 to 4° remembered for its first rings.
SPIRAL_CORE_DEG, SPIRAL_OUTER_DEG, SPIRAL_CORE_MM = 4.3, 0.0, 90.0


def about_pith(lot: BoardArrays, draws: Draws) -> tuple[Array, Array, Array]:
    """Where the pieces lie from the pith: across, and through (bark side positive) [mm], shape
    (boards, pieces, draws + 1); and how far from the pith the middle of the board's bark face is,
    (boards, 1, draws + 1)."""
    thickness, width = lot.thickness_mm[:, None], lot.width_mm[:, None]
    read, offset_read = np.isfinite(lot.pith_depth_mm), np.isfinite(lot.pith_offset_mm)
    inside = lot.pith_inside & ~read
    ring = np.isfinite(lot.ring_radius_mm) & ~read & ~inside
    unseen = ~(read | ring | inside)
    depth = np.zeros((lot.boards, draws.draws + 1))
    if read.any():
        depth[read] = lot.pith_depth_mm[read, None] + draws.deviation(doubt.PITH_DEPTH)
    if unseen.any():
        depth[unseen] = PITH_DEPTH_MM + draws.deviation(doubt.PITH_UNSEEN)
    if inside.any():
        depth[inside] = thickness[inside] * (standard(draws, doubt.PITH_WITHIN) * doubt.PITH_WITHIN.sd - 0.5)
    offset = np.zeros_like(depth)
    if offset_read.any():
        offset[offset_read] = lot.pith_offset_mm[offset_read, None] + draws.deviation(doubt.PITH_OFFSET)
    aside = ~offset_read & ~inside
    if aside.any():
        offset[aside] = width[aside] * draws.deviation(doubt.PITH_SIDEWAYS)
    aside = ~offset_read & inside
    if aside.any():
        offset[aside] = width[aside] * standard(draws, doubt.PITH_WITHIN, " across") * doubt.PITH_WITHIN.sd
    if ring.any():
        away = np.maximum(lot.ring_radius_mm[ring, None] * draws.factor(doubt.RING_RADIUS), 0.0)
        depth[ring] = np.sqrt(np.maximum(away**2 - offset[ring] ** 2, 0.0)) - thickness[ring] / 2.0
    _weigh_by_slope(lot, draws, depth, offset)
    middle = ((lot.left_mm + lot.right_mm) / 2.0)[..., None]
    height = ((lot.low_mm + lot.high_mm) / 2.0)[..., None]
    reach = np.hypot(offset, depth + thickness)
    return middle - offset[:, None, :], height + depth[:, None, :], reach[:, None, :]


def _weigh_by_slope(lot: BoardArrays, draws: Draws, depth: Array, offset: Array) -> None:
    """Let a slope of grain tell of the pith too: steep left-handed grain is near it more often than far out.

    Draws of the pith that go badly with the slope give way to others that go well with it, in place; each
    stays or goes with the chance that makes the rest draws of what is known then.
    """
    rows = np.flatnonzero(np.isfinite(lot.slope_deg))
    if not len(rows):
        return
    exposure, other = (
        (np.argsort(np.argsort(standard(draws, doubt.SLOPE_READING, f" {use}")[1:])) + 0.5) / draws.draws
        for use in ("stays", "gives way")
    )
    for row in rows:
        reach = np.hypot(offset[row, 1:], depth[row, 1:] + lot.thickness_mm[row])
        share = np.exp(-((reach / SPIRAL_CORE_MM) ** 2))
        spread = (share * doubt.SPIRAL_CORE.sd) ** 2 + ((1.0 - share) * doubt.SPIRAL_OUTER.sd) ** 2
        spread += doubt.SLOPE_READING.sd**2
        miss = lot.slope_deg[row] - SPIRAL_OUTER_DEG - (SPIRAL_CORE_DEG - SPIRAL_OUTER_DEG) * share
        fit = -0.5 * (miss**2 / spread + np.log(spread))
        weight = np.exp(fit - fit.max())
        chosen = np.minimum(np.searchsorted(np.cumsum(weight), other * weight.sum()), draws.draws - 1)
        for values in (depth, offset):
            values[row, 1:] = np.where(exposure < weight, values[row, 1:], values[row, 1:][chosen])


def spiral_grain(lot: BoardArrays, draws: Draws, radius: Array, reach: Array) -> tuple[Array, Array]:
    """Spiral grain [°] and its gradient [°/mm] at the pieces, with a slope read on the bark face taken in."""
    core = SPIRAL_CORE_DEG + draws.deviation(doubt.SPIRAL_CORE)
    outer = SPIRAL_OUTER_DEG + draws.deviation(doubt.SPIRAL_OUTER)
    if np.isfinite(lot.slope_deg).any():
        share = np.exp(-((reach / SPIRAL_CORE_MM) ** 2))
        slope = lot.slope_deg[:, None, None]
        miss = slope - (outer + (core - outer) * share) - draws.deviation(doubt.SLOPE_READING)
        weights = (share * doubt.SPIRAL_CORE.sd**2, (1.0 - share) * doubt.SPIRAL_OUTER.sd**2)
        spread = share * weights[0] + (1.0 - share) * weights[1] + doubt.SLOPE_READING.sd**2
        core, outer = (
            value + np.where(np.isfinite(slope), weight / spread * np.nan_to_num(miss), 0.0)
            for value, weight in zip((core, outer), weights, strict=True)
        )
    share = np.exp(-((radius / SPIRAL_CORE_MM) ** 2))
    over = (core - outer) * share
    return outer + over, -2.0 * radius / SPIRAL_CORE_MM**2 * over
