"""The one place that knows how a room is made of outdoor air: exchange it here, and all sets follow."""

import numpy as np

from woodmove.advice.doubt import inputs as doubt
from woodmove.domain.air import MonthlyAir
from woodmove.domain.room import KINDS, Room
from woodmove.physics.arrays import Array

# The room of a request that says nothing of it.
HOUSE = Room("house")


def house(outdoor: MonthlyAir) -> tuple[MonthlyAir, Array]:
    """The air of a lived-in house, and the standard deviation of its EMC by month [points]."""
    inside, _ = HOUSE.air(outdoor)
    emc = inside.emc_pct
    return inside, np.hypot(HOUSE.sd_points(outdoor), abs(emc - emc.mean()) * doubt.YEAR.sd)


def outdoors_sd() -> float:
    """Standard deviation of the EMC of wood outdoors against that of the mean air [points]."""
    return KINDS["open"].sd_points
