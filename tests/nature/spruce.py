"""A log of spruce in fifteen climates: the EMC equation, and the side of the loop that wood ends on."""

from functools import cache

import numpy as np

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.inputs import BOUND_90
from woodmove.physics.sorption import emc_pct

from .coverage import Tried, Unit
from .evidence import read

# Lumber that has been through some cycles, at 65 % RH: 12 % coming down, 11.5 % coming up (source:
# wengert-storage, status: published). The equation gives 12.0 at 20 °C.
RH_PCT = 65.0
CYCLED_PCT = {"drying": 12.0, "gaining": 11.5}


@cache
def rows() -> tuple[dict[str, str], ...]:
    """The states of the log, in the order in which it met them."""
    return tuple(read("spruce", 15))


def off_points(row: dict[str, str]) -> float:
    """Measured less the equation."""
    return float(row["mc_pct"]) - float(emc_pct(float(row["temp_c"]), float(row["rh_pct"])))


def of_cycled(branch: str) -> float:
    """The same of partly cycled lumber [points]."""
    return CYCLED_PCT[branch] - float(emc_pct(20.0, RH_PCT))


def of_spruce(branch: str) -> float:
    """The same of the log at the one humidity that partly cycled lumber is known at [points]."""
    own = sorted((float(row["rh_pct"]), off_points(row)) for row in rows() if row["branch"] == branch)
    return float(np.interp(RH_PCT, *zip(*own, strict=True)))


def of_recalled_loop(branch: str) -> float:
    """The same of a loop from dry to wet and back with the equation in its middle [points], as it is recalled
    (source: skaar-siau, status: memory): gaining over drying 0.85."""
    middle = float(emc_pct(20.0, RH_PCT))
    return {"drying": 1.0, "gaining": 0.85}[branch] * 2.0 / 1.85 * middle - middle


def tried() -> Tried:
    """The log against what would ship without it: half-way between partly cycled lumber and the recalled
    loop."""
    within = doubt.SORPTION.sd * BOUND_90
    side = {branch: 0.5 * (of_cycled(branch) + of_recalled_loop(branch)) for branch in CYCLED_PCT}
    inside = tuple(abs(off_points(row) - side[row["branch"]]) <= within for row in rows())
    return Tried(
        "a log of spruce: where it ends, drying or gaining",
        (Unit("log", inside),),
        "gaining at 86 % RH it ends 1.8 points below the equation",
    )
