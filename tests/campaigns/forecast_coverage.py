"""The forecast from readings: do its Ranges hold the true day, and how much do readings narrow them?

Boards with a diffusivity, a surface emission and a start of their own dry from 15 % in the air of a
heated shop until their mean is at 8 %. They are metered every five days, each reading off by a point at
random, all readings of a board off by the meter's own error. Truths come from the solver on a
finer grid than that of the forecast, which only sees the readings.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import NormalDist

import numpy as np

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.drying.air import Air
from woodmove.advice.drying.goal import Goal, crossing, measures
from woodmove.advice.drying.sampler import START_TOLD, ForecastSampler, Observation
from woodmove.advice.drying.stock import Stock, boards_of, profile_of
from woodmove.contract.ranges import Range
from woodmove.extend.api import Catalogue
from woodmove.physics.arrays import Array
from woodmove.physics.drying.boards import STILL_AIR_M_S
from woodmove.physics.drying.solver import simulate
from woodmove.physics.sorption import rh_for_mc_pct

EVERY_DAYS = 5.0
COUNTS = (4, 8)
# A heated room in a cold winter.
TEMP_C, EMC_PCT = 20.0, 5.0
THICKNESS_MM, WIDTH_MM, LENGTH_MM, START_PCT = 38.0, 140.0, 2400.0, 15.0
# Ready when the mean is down to 8 %.
GOAL = Goal(7.0, "as told", 1.0, told=True)
# The world: written out a second time, so that a slip of the product's constants shows.
WITHIN_90 = 1.645
FACTOR_SD, EMISSION_SD = math.log(2.4) / WITHIN_90, math.log(2.0) / WITHIN_90
# Lumber that dries ends so far above the EMC equation.
ABOVE_POINTS = 0.4
NOISE_SD, BIAS_SD, PILE_SD = 1.0, 1.0 / WITHIN_90, 1.0
# Place of the meter among the unknowns of a board.
METER = 4
# No error of the air: what the meter, the scatter and the boards do is at stake here.
KNOWN_AIR = replace(doubt.SORPTION, sd=1e-6)


@dataclass(frozen=True)
class Found:
    """What came out after so many readings.

    :param covered: share of the boards whose true day lies in the Range
    :param narrowing: median width of the Ranges over the width of the prior's
    :param bias: median of (forecast less truth) over truth
    :param limit: the least ratio of standard deviations that these readings allow, to first order
    """

    covered: float
    narrowing: float
    bias: float
    limit: float


@dataclass(frozen=True)
class Campaign:
    """The figures by the number of readings, and the prior Range."""

    boards: int
    prior: Range
    prior_covered: float
    found: Mapping[int, Found]


def run(boards: int, *, species: str = "northern-red-oak", seed: int = 1, draws: int = 2048) -> Campaign:
    """Forecasts for so many boards."""
    wood = Catalogue().wood(species)
    stock = Stock(wood, THICKNESS_MM, WIDTH_MM, LENGTH_MM, START_PCT, START_PCT)
    air = Air.steady(TEMP_C, float(rh_for_mc_pct(TEMP_C, EMC_PCT)))
    days = [EVERY_DAYS * (i + 1) for i in range(max(COUNTS))]
    learner = ForecastSampler(
        stock, air, GOAL, days, days[-1], Draws(draws, seed), start_sd=PILE_SD, sorption=KNOWN_AIR
    )
    assert PILE_SD == START_TOLD
    truths, readings = _world(stock, air, days, boards, seed)
    prior_fit = learner.fit([])
    prior = prior_fit.range(prior_fit.ready)
    found = {}
    for count in COUNTS:
        ranges = []
        for shown in readings:
            fit = learner.fit(
                [Observation(day, float(mc)) for day, mc in zip(days[:count], shown, strict=False)]
            )
            ranges.append(fit.range(fit.ready))
        low, middle, high = (
            np.array([getattr(r, name) for r in ranges]) for name in ("low", "expected", "high")
        )
        found[count] = Found(
            float(np.mean((low <= truths) & (truths <= high))),
            float(np.median(high - low)) / (prior.high - prior.low),
            float(np.median((middle - truths) / truths)),
            information_limit(learner, days[:count]),
        )
    covered = float(np.mean((prior.low <= truths) & (truths <= prior.high)))
    return Campaign(boards, prior, covered, found)


def _world(stock: Stock, air: Air, days: Sequence[float], boards: int, seed: int) -> tuple[Array, Array]:
    """True day of each board, and what the meter shows of it, shape (boards, readings)."""
    dice = np.random.default_rng(seed)
    # Every slice of each distribution once: a few hundred boards then have no luck in common.
    slices = np.array([NormalDist().inv_cdf((i + 0.5) / boards) for i in range(boards)])
    factor, emission, bias, scatter = (dice.permutation(slices) for _ in range(4))
    factor, emission, bias = np.exp(FACTOR_SD * factor), np.exp(EMISSION_SD * emission), BIAS_SD * bias
    # The pile was metered at 15 % with the same meter.
    start = START_PCT - bias + PILE_SD * scatter
    times = np.unique(np.concatenate((np.arange(0.0, 250.0), np.geomspace(250, 730, 60), [0.05, 0.2, 0.5])))
    temp, emc = air.at(times)
    history = simulate(
        boards_of(stock, stock.wood.gravity_12 or 0.5, STILL_AIR_M_S * emission, factor, "synthesis"),
        np.clip(profile_of(stock)[None, :] + (start - START_PCT)[:, None], 0.5, 29.9),
        times,
        temp,
        emc + ABOVE_POINTS,
        cells=32,
        cells_across=16,
    )
    target = np.full(boards, GOAL.target_pct)
    tilt = history.top_pct - history.bottom_pct
    parts = history.mean_pct, history.core_pct, history.shell_pct, tilt
    truths = crossing(measures(stock, GOAL, target, *parts).unready, times)
    means = np.array([np.interp(days, times, row) for row in history.mean_pct])
    noise = NOISE_SD * dice.standard_normal(means.shape)
    return truths, means + bias[:, None] + noise


def information_limit(learner: ForecastSampler, days: Sequence[float]) -> float:
    """Standard deviation of the logarithm of the day that the readings leave, over the prior's: the bound of
    the linear and normal problem at the central board (prior and Fisher information added)."""
    step = 0.3
    shape = learner.prior.shape[1]
    gradients, readings = [], []
    for number in range(shape):
        z = np.zeros((2, shape))
        z[:, number] = step, -step
        ready = np.log(np.maximum(crossing(learner.unready(z), learner.times), 0.5))
        means = learner.mean_on(np.array(days), z)
        gradients.append((ready[0] - ready[1]) / (2 * step))
        own = learner.bias.sd if number == METER else 0.0
        readings.append((means[0] - means[1]) / (2 * step) + own)
    slopes = np.array(readings).T / NOISE_SD
    gradient = np.array(gradients)
    left = gradient @ np.linalg.solve(np.eye(shape) + slopes.T @ slopes, gradient)
    return float(np.sqrt(left / (gradient @ gradient)))
