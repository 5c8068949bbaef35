"""How boards dry and wet: simulated once on a grid of what is doubtful, and read wherever it is asked for."""

from collections.abc import Sequence

import numpy as np

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.response import interpolate, nodes, weights_at
from woodmove.advice.drying.air import Air
from woodmove.advice.drying.stock import Stock, boards_of, profile_of
from woodmove.contract.refusal import Refusal
from woodmove.physics.arrays import Array
from woodmove.physics.drying.boards import STILL_AIR_M_S
from woodmove.physics.drying.solver import simulate

# Values of the doubtful inputs at which boards are simulated, in standard deviations: diffusivity, surface
# emission, start, air.
AXES = (
    np.linspace(-3.6, 3.6, 9),
    np.array([-2.4, 0.0, 2.4]),
    np.array([-2.5, 0.0, 2.5]),
    np.array([-2.4, 0.0, 2.4]),
)
# How finely: means, cores and shells are then right to a tenth of a point.
CELLS, CELLS_ACROSS = 20, 6


def gravity_of(stock: Stock) -> float:
    """Specific gravity of the wood near 12 % MC.

    :raises Refusal: no table gives one
    """
    gravity = stock.wood.gravity_12
    if gravity is None:
        raise Refusal(
            "NO_DENSITY",
            f"No table gives the density of {stock.wood.species.name}.",
            "How fast wood takes and gives moisture depends on its density.",
            "Choose a species that woodmove show species gives a specific gravity for.",
            fields=("species",),
        )
    return gravity


class Courses:
    """Boards of one lumber in one air, over all that is doubtful.

    :param times: days from the stacking on, rising, the first one 0
    :param start_sd: how far a board may start from what is told: standard deviation [points]
    :param air_sd: how far the wood may end from the EMC of the air as it is computed [points]
    :raises Refusal: density unknown
    """

    def __init__(
        self,
        stock: Stock,
        air: Air,
        times: Array,
        *,
        start_sd: float,
        air_sd: float,
        model: str = "synthesis",
    ) -> None:
        gravity = gravity_of(stock)
        temp, ends = air.ends_at(times, stock.mean_pct)
        self.times, self.ends = times, ends
        to_d, to_s, to_start, to_air = nodes(AXES)
        history = simulate(
            boards_of(
                stock,
                gravity,
                STILL_AIR_M_S * np.exp(doubt.EMISSION.sd * to_s),
                np.exp(doubt.DIFFUSIVITY.sd * to_d),
                model,
            ),
            np.clip(profile_of(stock)[None, :] + (start_sd * to_start)[:, None], 0.5, 29.9),
            times,
            temp,
            np.clip(ends[None, :] + air_sd * to_air[:, None], 0.1, None),
            cells=CELLS,
            cells_across=CELLS_ACROSS,
        )
        self.mean, self.core, self.shell = history.mean_pct, history.core_pct, history.shell_pct
        self._off = air_sd * to_air
        self.tilt = history.top_pct - history.bottom_pct
        self.follows = self._by_start(self.mean, start_sd)

    @staticmethod
    def _by_start(table: Array, start_sd: float) -> Array:
        """How much of a point at the start is left, at the nodes: what two boards still differ by."""
        grid = table.reshape(*(len(axis) for axis in AXES), -1)
        left = (grid[:, :, -1:] - grid[:, :, :1]) / ((AXES[2][-1] - AXES[2][0]) * start_sd)
        return np.broadcast_to(left, grid.shape).reshape(table.shape)

    def ends_lately(self, days: Array, lately: float) -> Array:
        """Where each simulated board would end in the mean air of so many days before each day [%], shape
        (boards, days)."""
        back = np.linspace(0.0, lately, 8)
        mean = np.interp(days[:, None] - back, self.times, self.ends).mean(axis=1)
        return mean + self._off[:, None]

    @staticmethod
    def at(table: Array, points: Sequence[Array]) -> Array:
        """A table at draws of the four doubtful inputs, in standard deviations: shape (draws, times)."""
        return interpolate(AXES, table, points)

    @staticmethod
    def weights(points: Sequence[Array]) -> Array:
        """What each simulated board counts at the draws of :meth:`at`, for several tables at one time."""
        return weights_at(AXES, points)
