"""Drying that somebody timed: sticks outdoors, oak in kilns, a board in a shop, thin spruce in quick cycles.

What was left out, and why, stands in the table: most of it is above fibre saturation, or of a size that is
not told. A nominal class counts within a factor of two of its name.
"""

import numpy as np

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.physics.arrays import Array
from woodmove.physics.diffusivity import MOVING_AIR_M_S
from woodmove.physics.drying.boards import STILL_AIR_M_S, Boards
from woodmove.physics.drying.solver import simulate

from . import diffusivity
from .coverage import Tried, Unit
from .evidence import read

# By then the slowest of them has made its change.
LONGEST_DAYS = 2000.0
# A lag under this part of a cycle is not noticed (status: judgement).
NOTICED = 1.0 / 12.0
DRAWS = 200


def tried() -> Tried:
    """The observations against a prior made without all of them."""
    draws = Draws(DRAWS)
    used = [row for row in read("drying", 17) if row["used"] == "yes"]
    prior = diffusivity.default([row["unit"] for row in used])
    factor = prior.ours * np.exp(prior.sd / doubt.DIFFUSIVITY.sd * draws.deviation(doubt.DIFFUSIVITY))
    emission = np.exp(draws.deviation(doubt.EMISSION))
    units = []
    for name in dict.fromkeys(row["unit"] for row in used):
        own = [row for row in used if row["unit"] == name]
        units.append(Unit(name, tuple(_inside(row, factor, emission) for row in own)))
    return Tried(
        "drying that was timed",
        tuple(units),
        "10 mm of spruce is said not to lag behind the day; ours lags by 4 hours",
    )


def _inside(row: dict[str, str], factor: Array, emission: Array) -> bool:
    air = {"still": STILL_AIR_M_S, "moving": MOVING_AIR_M_S}[row["air"]] * emission
    size = float(row["thickness_mm"])
    width = size if row["square"] == "yes" else np.inf
    boards = Boards(size, float(row["gravity"]), width, np.inf, air, air, air, air, factor=factor)
    if row["quantity"] == "lag_share":
        return bool(np.quantile(_lags(boards, float(row["temp_c"]))[1:], 0.05) <= NOTICED)
    unit, share, _ = row["quantity"].split("_")
    start, end = float(row["from_pct"]), float(row["to_emc_pct"])
    days = _days_to(float(share) / 100.0, boards, float(row["temp_c"]), start, end)
    low, middle, high = np.log(np.quantile(days[1:], (0.05, 0.5, 0.95)) * (24.0 if unit == "hours" else 1.0))
    # The observation's own doubt beside that of the band.
    own = np.log(float(row["either_way"]))
    seen = np.log(float(row["observed"]))
    return bool(middle - np.hypot(middle - low, own) <= seen <= middle + np.hypot(high - middle, own))


def _days_to(share: float, boards: Boards, temp_c: float, start: float, end: float) -> Array:
    """Days to a share of the whole change, without the doubt of where it ends."""
    days = np.concatenate(([0.0], np.geomspace(2e-3, LONGEST_DAYS, 160)))
    mean = simulate(boards, start, days, temp_c, end, cells=20, cells_across=10).mean_pct
    return np.array([np.interp(share, row, days) for row in (mean - start) / (end - start)])


def _lags(boards: Boards, temp_c: float) -> Array:
    """Lag of the mean behind a daily cycle of the air, as a part of the cycle."""
    days = np.arange(0.0, 20.0, 1.0 / 24.0)
    air = 10.0 + np.sin(2.0 * np.pi * days)
    mean = simulate(boards, 10.0, days, temp_c, air).mean_pct
    last = days >= 10.0
    turn = np.exp(-2j * np.pi * days[last])
    return np.angle((air[last] @ turn) / (mean[:, last] @ turn)) / (2.0 * np.pi)
