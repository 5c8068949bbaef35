"""Steps at the seams of a glued-up top: neighbours that were flush swell and shrink unlike."""

from typing import Annotated

import numpy as np

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.doubt.normal import standard
from woodmove.advice.doubt.wood import strip_draws
from woodmove.advice.top import movement
from woodmove.contract.quantity import MOISTURE, STEP
from woodmove.contract.ranges import Distribution, Range
from woodmove.contract.shown import Shown, results
from woodmove.domain.season import Season
from woodmove.domain.top import Rings, Top
from woodmove.physics.arrays import Array
from woodmove.physics.shrinkage import across_grain
from woodmove.physics.warp import seam_step_mm


@results
class Seam:
    """The seams of a top in a season."""

    when: Annotated[str, Shown("when", None, "key")]
    month_number: Annotated[int | None, Shown("month")]
    mc_pct: Annotated[float, Shown("MC", MOISTURE, "key")]
    each_face_step_mm: Annotated[Range, Shown("step on each face", STEP, "key")]


def typical_step_mm(
    top: Top, depth_mm: float, later: Array, season: Season, draws: Draws, flush: Array | None = None
) -> Array:
    """Step between two neighbours taken anywhere from a top [mm], shape (draws + 1,): both faces together,
    the central value that which half of the seams stay under.

    :param depth_mm: thickness of the top
    :param later: moisture content for which the step is wanted [%], shape (draws + 1,)
    :param flush: moisture content of the top when it was flush, shape (draws + 1,); that of today where None
    """
    if flush is None:
        now = movement.mc_now(top, draws)
        flush = np.full(draws.draws + 1, season.mean_pct) if now is None else now
    return step_mm(top, depth_mm, later, flush, draws)


def step_mm(top: Top, depth_mm: float, later: Array, flush: Array, draws: Draws) -> Array:
    """The same from one mean moisture content of the top to another [%], shape (draws + 1,) each; where
    both are one, what strips of unlike moisture do as they even out."""
    one, other = (_swelling(top, later, flush, draws, name) for name in ("", " of the neighbour"))
    steps = np.asarray(seam_step_mm(depth_mm, one, other))
    steps[0] = np.median(steps[1:])
    return steps


def _swelling(top: Top, later: Array, flush: Array, draws: Draws, name: str) -> Array:
    """Swelling through the thickness of the top of one strip [-], since the top was flush."""

    def own(distribution: Distribution, times: float = 1.0) -> Array:
        return distribution.sd * times * standard(draws, distribution, name)

    radial, tangential, saturation = strip_draws(top.wood, draws, name=name)
    share = _width_share(top, draws, name)
    common = draws.factor(doubt.SPECIES_MEAN) * draws.factor(doubt.STRAIGHT_LINE)
    scatter = 1.0 + own(doubt.LOGS) + own(doubt.PIECES)
    coefficient = np.asarray(across_grain(radial, tangential, 1.0 - share)) * common * scatter
    # Strips differ in moisture as readings differ from place to place.
    start = np.minimum(flush + own(doubt.METER_NOISE), saturation)
    return coefficient * (np.minimum(later, saturation) - start)


def _width_share(top: Top, draws: Draws, name: str) -> Array:
    """Tangential share of the top's width in one strip."""
    if isinstance(top.grain, Rings):
        return np.asarray(
            top.grain.width_shares(doubt.RING_ANGLE.sd * standard(draws, doubt.RING_ANGLE, name))
        )
    shares = movement.strip_shares(top.grain, draws)
    which = standard(draws, doubt.STRIP_ORDER, name)[1:]
    # A place is as likely as its share of the strips: the rank of a draw picks it.
    rank = (np.argsort(np.argsort(which)) + 0.5) / draws.draws
    place = np.searchsorted(np.cumsum(top.grain.weights)[:-1], rank, side="right")
    return np.concatenate(([shares[0] @ top.grain.weights], shares[1 + np.arange(draws.draws), place]))


def by_season(top: Top, season: Season, draws: Draws, flush: Array | None = None) -> tuple[Seam, ...]:
    """Steps when the top is at its driest and at its dampest: on each face, half of the whole."""
    assert top.thickness_mm is not None
    deep = top.thickness_mm
    low, high = movement.extremes(season, draws)
    return tuple(
        Seam(
            when=when,
            month_number=month,
            mc_pct=mc,
            each_face_step_mm=draws.range(typical_step_mm(top, deep, later, season, draws, flush) / 2.0),
        )
        for when, mc, month, later in (
            ("driest", season.low_pct, season.driest_month, low),
            ("dampest", season.high_pct, season.dampest_month, high),
        )
    )
