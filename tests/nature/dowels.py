"""A pine dowel of 40 mm outdoors, weighed through 17 spells without rain.

It starts from its first weight and stands in air of the mean temperature and EMC of its spell. The solver
knows no round section: a square bar of 0.95 of the diameter takes 4 % less than a cylinder to half of a
change and 3 % more to nine tenths (source: crank-1956). Outdoors the air turns each day, so that the wood's
side of the loop is not known. A dowel of 13 mm follows the weather of the day, of which only the mean is
known; a log of 128 mm is checked and of unknown length. Neither is used.
"""

import numpy as np

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.doubt.inputs import BOUND_90
from woodmove.physics.drying.boards import Boards
from woodmove.physics.drying.solver import simulate

from . import diffusivity, rooms
from .coverage import Tried, Unit
from .evidence import read

DIAMETER_MM, SQUARE = 40.0, 0.95
GRAVITY = 0.40  # ponderosa pine at 12 % MC (source: fpl-gtr-282 Table 5-3b)
# Surface emission outdoors [m/s] without these dowels: boundary-layer theory gives 1.5e-6 to 3.1e-6 at 10 to
# 20 W/(m² K), and fitted values lie 3 to 10 times below it (source: siau-transport, status: derived).
EMISSION_LOW_M_S, EMISSION_HIGH_M_S = 1.5e-6 / 10.0, 3.1e-6 / 3.0
STEP_DAYS = 0.5
DAYS = ("d0", "d2", "d4", "d7", "d10", "d14", "d20")
DRAWS = 200


def tried() -> Tried:
    """The dowel against a prior made without it."""
    draws = Draws(DRAWS)
    prior = diffusivity.default(["dowels outdoors"])
    factor = prior.ours * np.exp(prior.sd / doubt.DIFFUSIVITY.sd * draws.deviation(doubt.DIFFUSIVITY))
    low, high = np.log([EMISSION_LOW_M_S, EMISSION_HIGH_M_S])
    spread = (high - low) / 2.0 / BOUND_90 / doubt.EMISSION.sd
    emission = np.exp((low + high) / 2.0 + spread * draws.deviation(doubt.EMISSION))
    weather = draws.deviation(doubt.YEAR) / doubt.YEAR.sd * rooms.outdoors_sd()
    side = DIAMETER_MM * SQUARE
    bars = Boards(side, GRAVITY, side, np.inf, emission, emission, emission, emission, factor=factor)
    units = []
    for row in read("dowels", 17):
        seen = {float(day[1:]): float(row[day]) for day in DAYS if row[day]}
        first, last = min(seen), float(row["days"])
        times = np.arange(0.0, last - first + STEP_DAYS, STEP_DAYS)
        air = float(row["emc_of_means_pct"]) + draws.deviation(doubt.SORPTION) + weather
        history = simulate(
            bars, seen.pop(first), times, float(row["temp_c"]), np.repeat(air[:, None], len(times), axis=1),
            cells=16, cells_across=8,
        )  # fmt: skip
        mean = history.mean_pct[1:]
        told = [(mean[:, np.searchsorted(times, day - first)], mc) for day, mc in seen.items()]
        told.append((mean[:, -7:].mean(axis=1), float(row["last3"])))  # of three days
        inside = (np.quantile(ours, 0.05) <= mc <= np.quantile(ours, 0.95) for ours, mc in told)
        units.append(Unit(row["start"], tuple(bool(each) for each in inside)))
    return Tried(
        "a pine dowel outdoors: its course through dry spells",
        tuple(units),
        "sun dries it by a point more, winter by a point less; the weather within a spell is not known",
    )
