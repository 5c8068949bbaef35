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

from woodmove.physics.arrays import Array
from woodmove.shop.answer import Distribution
from woodmove.sources import Status

BOARD_SCATTER = Distribution(
    "board scatter", 0.15, "of the value",
    "shrinkage of single pieces about their species mean", Status.PUBLISHED, "fpl-gtr-282",
)  # fmt: skip
SPECIES_MEAN = Distribution(
    "species mean", 0.05, "of the value", "mean of your trees against the table's", Status.JUDGEMENT
)
STRAIGHT_LINE = Distribution(
    # The handbook states an error of about 5 % of the true change; taken as the 90 % bound.
    "straight line", 0.03, "of the value", "shrinkage taken as a straight line", Status.PUBLISHED,
    "fpl-gtr-190",
)  # fmt: skip
RING_ANGLE = Distribution("ring angle", 6.0, "°", "ring angle read by eye", Status.JUDGEMENT)
PITH_DEPTH = Distribution("pith depth", 6.0, "mm", "pith depth read on the end grain", Status.JUDGEMENT)
METER = Distribution(
    # "Within 1 % MC of the true average", taken as the 90 % bound.
    "meter", 0.6, "% MC", "moisture meter, corrected and averaged", Status.PUBLISHED, "fpl-gtr-190",
)  # fmt: skip
SORPTION = Distribution(
    # 0.7 to 1 % MC at room humidity, taken as the 90 % bound.
    "sorption", 0.5, "% MC", "wood against the EMC equation: species, drying or wetting side",
    Status.DERIVED, "skaar-siau",
)  # fmt: skip
YEAR = Distribution(
    "year", 0.15, "of the value", "swing of one year about the normal year's", Status.JUDGEMENT
)

INPUTS = (BOARD_SCATTER, SPECIES_MEAN, STRAIGHT_LINE, RING_ANGLE, PITH_DEPTH, METER, SORPTION, YEAR)


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

    def _order(self, name: str) -> np.ndarray:
        return np.random.default_rng([self.seed, zlib.crc32(name.encode())]).permutation(self.draws)

    def deviation(self, distribution: Distribution, times: float = 1.0) -> Array:
        """Deviations from the central value, shape (draws + 1,), the first one zero.

        :param times: factor on the standard deviation, as where scatter averages out over pieces
        """
        slices = distribution.sd * times * _normal_slices(self.draws)
        return np.concatenate(([0.0], slices[self._order(distribution.name)]))

    def factor(self, distribution: Distribution, times: float = 1.0) -> Array:
        """1 plus the deviations of a relative distribution, never below a tenth."""
        return np.maximum(1.0 + self.deviation(distribution, times), 0.1)

    def one_of(self, name: str, values: Sequence[float]) -> Array:
        """Equally likely values, shape (draws + 1,), their mean first. Calls with one name, for values
        of the same things, pick the same things."""
        picks = self._order(name) % len(values)
        return np.concatenate(([float(np.mean(values))], np.asarray(values, float)[picks]))
