"""Learning from measurements: inputs as jointly normal numbers, and exact updates of their draws.

A draw is moved by gain times (what was read, less what this draw would have read). For linear relations and
normal inputs the moved draws are draws of the exact posterior, and they keep the names of the inputs
that they came from.
"""

from dataclasses import dataclass

import numpy as np

from woodmove.advice.doubt.draws import Draws
from woodmove.contract.ranges import Distribution
from woodmove.physics.arrays import Array

# Variance of a reading that was not taken: so large that it teaches nothing.
NOT_READ = 1e12


@dataclass(frozen=True, slots=True)
class JointNormal:
    """What is known of a few numbers of many boards.

    :param draws: the central value first, shape (boards, numbers, draws + 1)
    :param covariance: shape (boards, numbers, numbers)
    """

    draws: Array
    covariance: Array

    def of(self, weights: Array) -> tuple[Array, Array]:
        """Weighted sums of the numbers: their draws, shape (boards, sums, draws + 1), and their
        variance, shape (boards, sums).

        :param weights: shape (boards, sums, numbers)
        """
        variance = np.einsum("bsi,bij,bsj->bs", weights, self.covariance, weights)
        return weights @ self.draws, np.maximum(variance, 0.0)

    def updated(self, weights: Array, read: Array, variance: Array, errors: Array) -> "JointNormal":
        """What is known after readings of weighted sums.

        :param weights: shape (boards, readings, numbers)
        :param read: NaN where nothing was read, shape (boards, readings)
        :param variance: of the readings, shape (boards, readings)
        :param errors: draws of the errors, central 0 first, shape (boards, readings, draws + 1)
        """
        taken = np.isfinite(read)
        if not taken.any():
            return self
        # An untaken reading has no weights and a huge variance: its gain is nothing.
        used = np.where(taken[..., None], weights, 0.0)
        noise = np.where(taken, variance, NOT_READ)
        cross = self.covariance @ used.swapaxes(1, 2)
        spread = used @ cross + noise[..., None] * np.eye(read.shape[1])
        gain = np.linalg.solve(spread, cross.swapaxes(1, 2)).swapaxes(1, 2)
        surprise = np.where(taken, read, 0.0)[..., None] - used @ self.draws
        surprise = surprise - np.where(taken[..., None], errors, 0.0)
        return JointNormal(self.draws + gain @ surprise, self.covariance - gain @ cross.swapaxes(1, 2))


def standard(draws: Draws, distribution: Distribution, other: str = "") -> Array:
    """Standard deviates of a distribution; `other` for an independent set of them."""
    if other:
        return draws.deviation(Distribution(distribution.name + other, 1.0, "", "", distribution.status))
    return draws.deviation(distribution) / distribution.sd
