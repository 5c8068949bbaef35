"""Variance shares of a linear case, where they can be worked out by hand."""

import numpy as np

from woodmove.advice.doubt.draws import LEAST_SHARE, Draws
from woodmove.contract.ranges import Distribution
from woodmove.physics.arrays import Array
from woodmove.sources import Status

# Weights of four normal inputs, and what the rare one of two outcomes adds, one linear case in each row.
CASES = (
    (1.0, 1.0, 1.0, 1.0, 0.0),
    (3.0, 2.0, 1.0, 0.0, 4.0),
    (1.0, 0.5, 0.3, 0.0, 0.0),
    (0.5, 0.5, 0.0, 0.0, 3.0),
)
CHANCES = (0.75, 0.25)
# Four times the default: with fewer, the inputs of one seed are too much alike by chance for a check.
DRAWS = 16_384
NAMES = ("first", "second", "third", "fourth", "either")


def _distribution(name: str) -> Distribution:
    return Distribution(name, 2.0, "of nothing", "an input of this check", Status.DERIVED)


def analytic(weights: tuple[float, ...]) -> dict[str, float]:
    """Share of each input in the variance of the weighted sum."""
    variances = [(2.0 * weight) ** 2 for weight in weights[:-1]]
    variances.append(CHANCES[0] * CHANCES[1] * weights[-1] ** 2)
    return {name: variance / sum(variances) for name, variance in zip(NAMES, variances, strict=True)}


def found(weights: tuple[float, ...], seed: int, draws: int = DRAWS) -> dict[str, float]:
    """The shares that the draws give; inputs without a share that is worth a word are left out."""
    drawn = Draws(draws, seed)
    result: Array = np.zeros(draws)
    for name, weight in zip(NAMES[:-1], weights[:-1], strict=True):
        result = result + weight * drawn.deviation(_distribution(name))[1:]
    result = result + weights[-1] * drawn.pick(_distribution(NAMES[-1]), CHANCES)
    return {cause.input: cause.share for cause in drawn.causes(result)}


def worst(seeds: int, draws: int = DRAWS) -> float:
    """Largest distance of a found share from the analytic one. A share that is left out counts as the
    least that would be told."""
    largest = 0.0
    for weights in CASES:
        exact = analytic(weights)
        for seed in range(1, seeds + 1):
            shares = found(weights, seed, draws)
            for name, share in exact.items():
                least = min(share, LEAST_SHARE)
                largest = max(largest, abs(shares.get(name, least) - share))
    return largest
