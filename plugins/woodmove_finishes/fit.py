"""From the published test of a finish to the one resistance that tells it best.

The test weighs a finished and a bare piece of ponderosa pine sapwood, balanced at 30 % RH and then kept
at 90 % RH, both at 27 °C. Its moisture-excluding effectiveness (MEE) is 100 (1 - uptake of the finished
piece / uptake of the bare one after the same days). Here the test is simulated for a range of
resistances, and for each finish the one with the least sum of squares over its printed days is taken.

    fit([{1: 83, 7: 43, 14: 23}])[0].resistance_s_m

Source of the test: fpl-gtr-190 chapter 16. Not in what was read of it, and set here: the size of the
specimen, its specific gravity, the air at its bare surface, and an EMC between drying and wetting. A
resistance belongs to these and to the default diffusivity; it is derived, not published. An eighth of an
inch more or less in thickness moves the resistances of films that last by a fifth, a surface emission
half or twice as large by a twentieth; weak finishes feel the emission more. Where the print shows only
zeros the fit gives none, though up to 2e7 s/m would hide behind a rounded 0 after 14 days.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from woodmove.extend.science import drying, sorption

DAYS = (1, 7, 14)
TEMP_C = 27.0
RH_BEFORE_PCT = 30.0
RH_AFTER_PCT = 90.0
# 5/8 x 3 x 5 in with the grain along the 5 in, finished all over (status: memory).
THICKNESS_MM, WIDTH_MM, LENGTH_MM = 15.875, 76.2, 127.0
# Ponderosa pine at 12 % MC (source: fpl-gtr-282 Table 5-3b).
GRAVITY = 0.40
# Bare surface in slowly moving air (status: judgement).
BARE_M_S = drying.STILL_AIR_M_S

# Resistances that are tried [s/m]: none at all, then from a third of a percent on the first day to more
# than any printed finish.
_SIMULATED = np.array([0.0, *np.geomspace(1e5, 1e11, 150)])
_TRIED = np.array([0.0, *np.geomspace(1e5, 1e11, 14_000)])  # a tenth of a percent apart


@dataclass(frozen=True, slots=True)
class FinishFit:
    """The resistance that fits best, and the MEE that it gives, by days of exposure."""

    resistance_s_m: float
    mee_pct: dict[int, float]


def mee_pct(resistance_s_m: np.ndarray, factor: float = 1.0, bare_m_s: float = BARE_M_S) -> np.ndarray:
    """MEE [%] after each of :data:`DAYS` in the simulated test, shape (finishes, days).

    :param resistance_s_m: of the finish, on all faces, edges and ends alike, shape (finishes,)
    :param factor: of the wood's diffusivity
    :param bare_m_s: surface emission of the bare piece [m/s]
    """
    emission = 1.0 / (1.0 / bare_m_s + np.array([0.0, *resistance_s_m]))
    # Short steps after the change of air, longer ones as it dies away.
    times = np.union1d(14.0 * np.linspace(0.0, 1.0, 97) ** 2, DAYS)
    before, after = (sorption.emc_pct(TEMP_C, rh) for rh in (RH_BEFORE_PCT, RH_AFTER_PCT))
    specimens = drying.Boards(
        THICKNESS_MM, GRAVITY, WIDTH_MM, LENGTH_MM, emission, emission, emission, emission, factor
    )
    mean = drying.simulate(specimens, before, times, TEMP_C, after).mean_pct
    uptake = mean[:, np.searchsorted(times, DAYS)] - before
    return 100.0 * (1.0 - uptake[1:] / uptake[0])


def fit(measured: Sequence[Mapping[int, float]]) -> list[FinishFit]:
    """The best resistance of each finish, all from one batch of simulated tests.

    :param measured: of each finish, printed MEE [%] by day; days may be missing
    """
    simulated = mee_pct(_SIMULATED)
    tried = np.array([np.interp(_TRIED, _SIMULATED, column) for column in simulated.T])
    fits = []
    for printed in measured:
        misses = (tried[DAYS.index(day)] - value for day, value in printed.items())
        best = int(np.argmin(sum(miss**2 for miss in misses)))
        fits.append(FinishFit(float(_TRIED[best]), dict(zip(DAYS, tried[:, best].tolist(), strict=True))))
    return fits
