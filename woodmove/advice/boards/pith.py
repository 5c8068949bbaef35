"""Where the pith lies, and how the grain spirals about it, in draws."""

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from woodmove.advice.boards.arrays import PITH_DEPTH_MM, BoardArrays
from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.doubt.normal import standard
from woodmove.contract.ranges import Distribution
from woodmove.physics.arrays import Array

# Spiral grain [°]: outer + (core - outer) exp(-(r / CORE_MM)²), left-handed positive. Made to meet what is
# published for Norway spruce (straze-2011, spruce-studs), near the 2 to 4° remembered for its first rings.
SPIRAL_CORE_DEG, SPIRAL_OUTER_DEG, SPIRAL_CORE_MM = 3.6, 0.0, 90.0


@dataclass(frozen=True)
class AboutPith:
    """Where the pieces lie from the pith.

    :param across, through: to the middle of each piece (through: bark side positive) [mm], shape
        (boards, pieces, draws + 1)
    :param offset, depth: to the middle of the whole board, likewise, (boards, 1, draws + 1)
    :param reach: from the pith to the middle of the board's bark face [mm], (boards, 1, draws + 1)
    """

    across: Array
    through: Array
    offset: Array
    depth: Array
    reach: Array

    def redrawn(self, chosen: NDArray[np.intp]) -> "AboutPith":
        """With other draws in the place of some; the central value stays.

        :param chosen: number of the draw that stands for each, shape (boards, draws)
        """
        order = np.concatenate((np.zeros((len(chosen), 1), int), chosen + 1), axis=1)[:, None, :]
        return AboutPith(*(np.take_along_axis(getattr(self, f.name), order, -1) for f in fields(self)))


def about_pith(lot: BoardArrays, draws: Draws) -> AboutPith:
    """Where the pieces of a lot lie from the pith, by what was read of it."""
    thickness, width = lot.thickness_mm[:, None], lot.width_mm[:, None]
    read, offset_read = np.isfinite(lot.pith_depth_mm), np.isfinite(lot.pith_offset_mm)
    inside = lot.pith_inside & ~read
    ring = np.isfinite(lot.ring_radius_mm) & ~read & ~inside
    unseen = ~(read | ring | inside)
    depth = np.zeros((lot.boards, draws.draws + 1))
    if read.any():
        by_reading = lot.pith_sd_mm[read, None] * standard(draws, doubt.PITH_DEPTH)
        depth[read] = lot.pith_depth_mm[read, None] + by_reading
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
    offset, depth = offset[:, None, :], depth[:, None, :]
    whole = (-offset, depth + lot.thickness_mm[:, None, None] / 2.0)
    return AboutPith(middle - offset, height + depth, *whole, reach[:, None, :])


def holds_pith(lot: BoardArrays) -> NDArray[np.bool_]:
    """True where the pith lies in the board and in a strip, or nearer to one than it is read; or where nobody
    read how far to the side it lies. Shape (boards,)."""
    aside, near = lot.pith_offset_mm[:, None], doubt.BOUND_90 * doubt.PITH_OFFSET.sd
    in_a_strip = ((lot.left_mm - near <= aside) & (aside <= lot.right_mm + near)).any(axis=1)
    return np.logical_or(lot.pith_inside, lot.pith_depth_mm < 0) & (in_a_strip | np.isnan(aside[:, 0]))


def _weigh_by_slope(lot: BoardArrays, draws: Draws, depth: Array, offset: Array) -> None:
    """Let a slope of grain tell of the pith too: steep left-handed grain is near it more often than far
    out."""
    rows = np.flatnonzero(np.isfinite(lot.slope_deg))
    if not len(rows):
        return
    reach = np.hypot(offset[rows, 1:], depth[rows, 1:] + lot.thickness_mm[rows, None])
    share = np.exp(-((reach / SPIRAL_CORE_MM) ** 2))
    spread = (share * doubt.SPIRAL_CORE.sd) ** 2 + ((1.0 - share) * doubt.SPIRAL_OUTER.sd) ** 2
    spread += doubt.SLOPE_READING.sd**2
    miss = lot.slope_deg[rows, None] - SPIRAL_OUTER_DEG - (SPIRAL_CORE_DEG - SPIRAL_OUTER_DEG) * share
    fit = -0.5 * (miss**2 / spread + np.log(spread))
    chosen = fitting(np.exp(fit - fit.max(axis=-1, keepdims=True)), draws, doubt.SLOPE_READING)
    for values in (depth, offset):
        values[rows, 1:] = np.take_along_axis(values[rows, 1:], chosen, -1)


def fitting(weight: Array, draws: Draws, reading: Distribution) -> NDArray[np.intp]:
    """Which draw stands for each after a reading: one that goes badly with it gives way to another that goes
    well with it. Each stays or goes with the chance that makes the rest draws of what is known then.

    :param weight: how well each goes with the reading, 1 at the most, shape (boards, draws)
    """
    exposure: Array = evenly(draws, reading, "stays")[1:]
    other: Array = evenly(draws, reading, "gives way")[1:]
    own = np.arange(draws.draws)

    def chosen(row: Array) -> NDArray[np.intp]:
        gives_way = np.minimum(np.searchsorted(np.cumsum(row), other * float(row.sum())), own[-1])
        return np.where(exposure < row, own, gives_way)

    return np.array([chosen(row) for row in weight])


def evenly(draws: Draws, reading: Distribution, use: str) -> Array:
    """Draws between 0 and 1, each as likely, 1/2 in front, shape (draws + 1,)."""
    order = np.argsort(np.argsort(standard(draws, reading, f" {use}")[1:]))
    return np.concatenate(([0.5], (order + 0.5) / draws.draws))


@dataclass(frozen=True)
class Spiral:
    """Spiral grain by the pith and far out [°]: draws, what is expected where the pith is given, and what is
    still not known of them, as variances and covariance; shapes that broadcast to (boards, 1, draws + 1)."""

    core: Array
    outer: Array
    core_mean: Array
    outer_mean: Array
    core_var: Array
    outer_var: Array
    together: Array

    def at(self, radius: Array) -> tuple[Array, Array]:
        """Spiral grain [°] and its gradient [°/mm] so far from the pith [mm]."""
        (core, core_slope), (outer, outer_slope) = shares(radius)
        return self.core * core + self.outer * outer, self.core * core_slope + self.outer * outer_slope

    def updated(
        self, weights: tuple[Array, Array], read: Array, error: Array, noise_var: Array | float
    ) -> "Spiral":
        """After a reading of a weighted sum of both.

        :param weights: of core and outer
        :param read: NaN where nothing was
        :param error: draws of the reading's
        """
        core, outer = weights
        to_core = core * self.core_var + outer * self.together
        to_outer = core * self.together + outer * self.outer_var
        spread = core * to_core + outer * to_outer + noise_var
        taken = np.isfinite(read)
        by_core, by_outer = (np.where(taken, to / spread, 0.0) for to in (to_core, to_outer))
        surprise = np.nan_to_num(read) - error - core * self.core - outer * self.outer
        expected = np.nan_to_num(read) - self.expected(weights)
        return Spiral(
            self.core + by_core * surprise,
            self.outer + by_outer * surprise,
            self.core_mean + by_core * expected,
            self.outer_mean + by_outer * expected,
            self.core_var - by_core * to_core,
            self.outer_var - by_outer * to_outer,
            self.together - by_core * to_outer,
        )

    def expected(self, weights: tuple[Array, Array]) -> Array:
        """What is expected of a weighted sum of both."""
        return weights[0] * self.core_mean + weights[1] * self.outer_mean

    def spread(self, weights: tuple[Array, Array]) -> Array:
        """Variance of a weighted sum of both."""
        core, outer = weights
        return core**2 * self.core_var + outer**2 * self.outer_var + 2.0 * core * outer * self.together


def shares(radius: Array) -> tuple[tuple[Array, Array], tuple[Array, Array]]:
    """What the grain by the pith and that far out count for so far from it, and how that changes [1/mm]."""
    core = np.exp(-((radius / SPIRAL_CORE_MM) ** 2))
    slope = -2.0 * radius / SPIRAL_CORE_MM**2 * core
    return (core, slope), (1.0 - core, -slope)


def spiral_grain(lot: BoardArrays, draws: Draws, reach: Array) -> Spiral:
    """Spiral grain of boards, with a slope read on the bark face taken in."""
    spiral = Spiral(
        SPIRAL_CORE_DEG + draws.deviation(doubt.SPIRAL_CORE),
        SPIRAL_OUTER_DEG + draws.deviation(doubt.SPIRAL_OUTER),
        np.array(SPIRAL_CORE_DEG),
        np.array(SPIRAL_OUTER_DEG),
        np.array(doubt.SPIRAL_CORE.sd**2),
        np.array(doubt.SPIRAL_OUTER.sd**2),
        np.array(0.0),
    )
    if not np.isfinite(lot.slope_deg).any():
        return spiral
    error = draws.deviation(doubt.SLOPE_READING)
    (core, _), (outer, _) = shares(reach)
    return spiral.updated((core, outer), lot.slope_deg[:, None, None], error, doubt.SLOPE_READING.sd**2)
