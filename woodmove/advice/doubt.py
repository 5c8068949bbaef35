"""Doubt: inputs as distributions, seeded draws of them through the same relations, Ranges out.

An input becomes an array whose first element is its central value and whose others are the draws. The
relations take arrays, so one call gives the central result and all drawn ones. Draws are stratified:
each input takes every one of `draws` equal slices of its distribution once, in an order that depends on
the seed and on the input's name alone, so that a new input does not disturb the others.
"""

import zlib
from collections.abc import Sequence
from functools import cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from woodmove.physics.arrays import Array
from woodmove.shop.answer import Cause, Distribution, Range
from woodmove.sources import Status

# 90 % of a normal distribution lie within this many standard deviations: how a published "within
# so much" becomes a standard deviation.
BOUND_90 = 1.645
# Scatter of the transverse shrinkage of single pieces: coefficient of variation (source: fpl-gtr-282).
PIECE_SCATTER = 0.15
# Share of its variance that lies between logs rather than within one (status: judgement).
LOG_SHARE = 0.5

LOGS = Distribution(
    "between logs",
    PIECE_SCATTER * LOG_SHARE**0.5,
    "of the value",
    "mean shrinkage of a log: half the variance of the published 15 % scatter, by judgement",
    Status.JUDGEMENT,
    "fpl-gtr-282",
    "Mark a width on a finished panel of the same boards and measure it a season later.",
)
PIECES = Distribution(
    "between pieces",
    PIECE_SCATTER * (1.0 - LOG_SHARE) ** 0.5,
    "of the value",
    "shrinkage of a piece within its log: the other half; it averages out over many strips",
    Status.JUDGEMENT,
    "fpl-gtr-282",
)
SPECIES_MEAN = Distribution(
    "species mean",
    0.05,
    "of the value",
    "mean of the trees at your yard against the table's",
    Status.JUDGEMENT,
    measure="Mark a width on a finished panel of the same boards and measure it a season later.",
)
EDITION = Distribution(
    "edition",
    0.25,
    "chance",
    "the older edition of the table holds, where the two differ and none is asked for",
    Status.JUDGEMENT,
    measure="Say which edition to use: --edition.",
)
MEMBER = Distribution(
    "member of the mix",
    0.0,
    "equal chances",
    "which species of a lumber-yard mix it is",
    Status.JUDGEMENT,
    measure="Find out which species the mix is, by its stamp or its look.",
)
STRAIGHT_LINE = Distribution(
    "straight line",
    0.05 / BOUND_90,
    "of the value",
    "shrinkage taken as a straight line: 5 % of the true change, as a 90 % bound",
    Status.PUBLISHED,
    "fpl-gtr-190",
)
RING_ANGLE = Distribution(
    "ring angle",
    6.0,
    "°",
    "ring angle read by eye",
    Status.JUDGEMENT,
    measure="Read the ring angle on more end grain, with a protractor.",
)
PITH_DEPTH = Distribution(
    "pith depth",
    6.0,
    "mm",
    "pith depth read on the end grain",
    Status.JUDGEMENT,
    measure="Read the pith depth on more boards: lay a compass to the rings.",
)
STRIP_ORDER = Distribution(
    "strip order",
    1.0,
    "of the spread between strips",
    "which strips of the boards came to lie in this part of the top",
    Status.DERIVED,
    measure="Note from which place in its board each strip came.",
)
METER_BIAS = Distribution(
    "meter bias",
    1.0 / BOUND_90,
    "% MC",
    "mean of corrected readings against the true mean: within 1 %, as a 90 % bound",
    Status.PUBLISHED,
    "fpl-gtr-190",
    "Check the meter against a second, calibrated one.",
)
METER_NOISE = Distribution(
    "meter noise",
    1.0,
    "% MC",
    "one reading against the mean of the pile; it averages out over readings",
    Status.JUDGEMENT,
    measure="Meter more boards, in more places.",
)
HYGROMETER = Distribution(
    "hygrometer",
    5.0 / BOUND_90,
    "% RH",
    "a cheap hygrometer: 5 % RH, as a 90 % bound",
    Status.JUDGEMENT,
    measure="Check the hygrometer against a second, calibrated one.",
)
THERMOMETER = Distribution(
    "thermometer",
    1.0 / BOUND_90,
    "°C",
    "a cheap thermometer: 1 °C, as a 90 % bound",
    Status.JUDGEMENT,
    measure="Check the thermometer against a second one.",
)
SORPTION = Distribution(
    "sorption",
    0.85 / BOUND_90,
    "% MC",
    "wood against the EMC equation, by species and by drying or wetting: 0.7 to 1 % MC, as a 90 % bound",
    Status.DERIVED,
    "skaar-siau",
    "Meter a board that has lain in the room for a year.",
)
YEAR = Distribution(
    "year",
    0.15,
    "of the value",
    "swing of one year about the swing of the normal year",
    Status.JUDGEMENT,
    measure="Log temperature and humidity of the room for a year.",
)

# A factor of two either way holds 90 %: of the natural logarithm.
_FACTOR_TWO = 0.6931 / BOUND_90
DIFFUSIVITY = Distribution(
    "diffusivity",
    _FACTOR_TWO,
    "of its logarithm",
    "diffusivity of this wood against the model: a factor of two either way, as a 90 % bound",
    Status.DERIVED,
    "siau-transport",
    "Weigh or meter a board every few days: how fast it follows tells its diffusivity.",
)
EMISSION = Distribution(
    "surface emission",
    _FACTOR_TWO,
    "of its logarithm",
    "how readily the surface takes moisture from still air: a factor of two either way, as a 90 % bound",
    Status.MEMORY,
    "siau-transport",
)

INPUTS = (
    LOGS, PIECES, SPECIES_MEAN, EDITION, MEMBER, STRAIGHT_LINE, RING_ANGLE, PITH_DEPTH, STRIP_ORDER,
    METER_BIAS, METER_NOISE, HYGROMETER, THERMOMETER, SORPTION, YEAR, DIFFUSIVITY, EMISSION,
)  # fmt: skip

# A normal input is cut into this many groups of equal size to see how much of a result goes with it.
GROUPS = 32
# Causes with a smaller share of the variance are not worth a word.
LEAST_SHARE = 0.05


@cache
def _normal_slices(draws: int) -> Array:
    inverse = NormalDist().inv_cdf
    return np.array([inverse((i + 0.5) / draws) for i in range(draws)])


class Draws:
    """Seeded, stratified draws.

    :param draws: how many; each array has one element more, the central value in front
    :param seed: the same seed gives the same draws
    """

    def __init__(self, draws: int = 4096, seed: int = 1) -> None:
        self.draws = draws
        self.seed = seed
        # Name of each input used -> group that each draw belongs to.
        self._groups: dict[str, NDArray[np.intp]] = {}

    def _order(self, name: str) -> NDArray[np.intp]:
        return np.random.default_rng([self.seed, zlib.crc32(name.encode())]).permutation(self.draws)

    def deviation(self, distribution: Distribution, times: float = 1.0) -> Array:
        """Deviations from the central value, shape (draws + 1,), the first one zero.

        :param times: factor on the standard deviation, as where scatter averages out over pieces
        """
        order = self._order(distribution.name)
        self._groups[distribution.name] = order * GROUPS // self.draws
        return np.concatenate(([0.0], distribution.sd * times * _normal_slices(self.draws)[order]))

    def factor(self, distribution: Distribution, times: float = 1.0) -> Array:
        """1 plus the deviations of a relative distribution."""
        return 1.0 + self.deviation(distribution, times)

    def pick(self, distribution: Distribution, chances: Sequence[float]) -> NDArray[np.intp]:
        """Number of the one that is drawn of several, shape (draws,), without a central value.

        :param chances: of each, together 1
        """
        bounds = np.cumsum(chances)[:-1] * self.draws
        picked = np.searchsorted(bounds, self._order(distribution.name) + 0.5)
        self._groups[distribution.name] = picked
        return picked

    def range(self, values: Array) -> Range:
        """The Range of a result, with the inputs that it goes with most.

        The bounds are those of the central 90 % of the draws. A strongly bent relation can put the
        central result outside them; the bound then moves out to it.

        :param values: shape (draws + 1,), the central result first
        """
        expected, drawn = float(values[0]), values[1:]
        # np.quantile would do, and loads masked arrays for it, which costs a tenth of the start-up.
        places = np.array([0.05, 0.95]) * (len(drawn) - 1)
        low, high = np.interp(places, np.arange(len(drawn)), np.sort(drawn))
        return Range(expected, min(float(low), expected), max(float(high), expected), self.causes(drawn))

    def causes(self, drawn: Array) -> tuple[Cause, ...]:
        """Inputs by the share of the variance that goes with each alone, largest first.

        First-order shares: variance of the group means over the whole variance, less what chance alone
        would give groups of this size. Inputs that only act together are in nobody's share.

        :param drawn: result of each draw, shape (draws,)
        """
        variance = float(drawn.var())
        if variance <= 1e-24 + 1e-18 * float(np.abs(drawn).max()) ** 2:
            return ()
        shares = []
        for name, groups in self._groups.items():
            sizes = np.bincount(groups)
            used = sizes > 0
            means = np.bincount(groups, weights=drawn)[used] / sizes[used]
            between = float(np.average((means - drawn.mean()) ** 2, weights=sizes[used])) / variance
            by_chance = (used.sum() - 1) / (self.draws - 1)
            share = (between - by_chance) / (1.0 - by_chance)
            if share >= LEAST_SHARE:
                shares.append(Cause(name, min(share, 1.0)))
        return tuple(sorted(shares, key=lambda cause: -cause.share))
