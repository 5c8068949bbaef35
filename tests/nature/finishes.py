"""The published test of finishes: the fourteenth day from the first and the seventh.

The product's resistances are fitted to all days of this test, so they are fitted again without the last; the
band comes from the doubt of the bare wood's diffusivity and surface emission, to the rounding of the print.
Coats of one product are readings of it.
"""

import numpy as np
from woodmove_finishes import fit
from woodmove_finishes.loader import load

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.doubt.response import interpolate, nodes
from woodmove.physics.arrays import Array

from .coverage import Tried, Unit

RESISTANCES = np.array([0.0, *np.geomspace(1e5, 1e11, 40)])
FINER = np.array([0.0, *np.geomspace(1e5, 1e11, 3000)])
D_NODES, S_NODES = np.array([-1.8, 0.0, 1.8]), np.array([-1.8, 0.0, 1.8])
PRINTED_TO = 0.5  # whole points
DRAWS = 1000


def tried() -> Tried:
    """The last day of each product."""
    draws = Draws(DRAWS)
    points = [draws.deviation(each) / each.sd for each in (doubt.DIFFUSIVITY, doubt.EMISSION)]
    tables = [_table(d, s) for d, s in zip(*nodes((D_NODES, S_NODES)), strict=True)]
    inside: dict[str, list[bool]] = {}
    for finish in load():
        printed = finish.effectiveness_pct
        if len(printed) < len(fit.DAYS):
            continue
        last = np.array([_last(table, printed[1], printed[7]) for table in tables])
        low, high = np.quantile(interpolate((D_NODES, S_NODES), last, points)[1:], (0.05, 0.95))
        product = finish.key.rpartition("-")[0]
        inside.setdefault(product, []).append(bool(low - PRINTED_TO <= printed[14] <= high + PRINTED_TO))
    return Tried(
        "finishes: day 14 of their test, from days 1 and 7",
        tuple(Unit(name, tuple(each)) for name, each in inside.items()),
    )


def _table(to_d: float, to_s: float) -> Array:
    """Effectiveness [%] by resistance and day, shape (FINER, days)."""
    simulated = fit.mee_pct(
        RESISTANCES, np.exp(doubt.DIFFUSIVITY.sd * to_d), fit.BARE_M_S * np.exp(doubt.EMISSION.sd * to_s)
    )
    return np.column_stack([np.interp(FINER, RESISTANCES, column) for column in simulated.T])


def _last(table: Array, first_pct: float, seventh_pct: float) -> float:
    """Effectiveness on the last day [%] of the resistance that fits the two others best."""
    miss = (table[:, 0] - first_pct) ** 2 + (table[:, 1] - seventh_pct) ** 2
    return float(table[miss.argmin(), 2])
