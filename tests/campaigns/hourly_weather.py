"""A year of hourly weather: SciPy's solvers, and finite differences of our own kind for them."""

import csv
from functools import cache
from math import exp
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from woodmove.physics.drying.boards import Boards
from woodmove.physics.drying.solver import simulate
from woodmove.physics.sorption import emc_pct

SECONDS_PER_HOUR = 3600.0
# Thickness [mm], specific gravity, emission of both faces [m/s], MC at the start [%].
YEAR_BOARDS = ((19.05, 0.40, 1e-7, 1e-7, 9.0), (38.1, 0.55, 1e-7, 2e-8, 12.0), (63.5, 0.68, 5e-8, 5e-8, 7.0))


@cache
def weather():
    """Temperature [°C] and EMC [%] of outdoor air in Greensboro, by the hour: NREL TMY3."""
    pvlib = pytest.importorskip("pvlib")
    with (Path(pvlib.__file__).parent / "data" / "723170TYA.CSV").open(encoding="utf-8") as file:
        next(file)  # the place
        rows = list(csv.DictReader(file))
    assert len(rows) == 8760
    temp_c, rh_pct = (np.array([float(row[c]) for row in rows]) for c in ("Dry-bulb (C)", "RHum (%)"))
    return temp_c, np.asarray(emc_pct(temp_c, rh_pct))


def by_lines(days, nodes, rtol):
    """Mean MC of YEAR_BOARDS each day, shape (boards, days), by the method of lines.

    Nodes stand at the surfaces, not cells behind them; fluxes come from the integral of the diffusivity,
    which is exact for the synthesis, not from its values in the cells; time is SciPy's. The boards stand
    one behind the other in one system, so that it keeps a single diagonal on either side.
    """
    temp_c, air_pct = (values.tolist() for values in weather())  # single numbers, a third quicker
    thickness, gravity, top, bottom, start = np.array(YEAR_BOARDS).T[..., None]
    x = thickness * 1e-3 * (1.0 - np.cos(np.linspace(0.0, np.pi, nodes))) / 2.0
    gap = np.diff(x)
    size = np.concatenate((gap[:, :1], gap[:, 1:] + gap[:, :-1], gap[:, -1:]), axis=1) / 2.0
    at_12_pct = 1.4e-10 * (0.40 / gravity) ** 2.1
    flux = np.empty((len(x), nodes + 1))

    def rate(seconds, mc):
        hour = seconds / SECONDS_PER_HOUR
        now = min(int(hour), len(air_pct) - 2)
        share = hour - now
        kelvin = temp_c[now] + share * (temp_c[now + 1] - temp_c[now]) + 273.15
        air = air_pct[now] + share * (air_pct[now + 1] - air_pct[now])
        mc = mc.reshape(len(x), nodes)
        scale = at_12_pct * exp(-4300.0 * (1.0 / kelvin - 1.0 / 293.15)) / 0.09
        potential = scale * np.exp(0.09 * (mc - 12.0))
        flux[:, :1] = top * (air - mc[:, :1])
        flux[:, 1:-1] = (potential[:, :-1] - potential[:, 1:]) / gap
        flux[:, -1:] = bottom * (mc[:, -1:] - air)
        return ((flux[:, :-1] - flux[:, 1:]) / size).ravel()

    done = solve_ivp(
        rate, (0.0, 86400.0 * days), np.broadcast_to(start, x.shape).ravel(), "LSODA",
        t_eval=86400.0 * np.arange(days + 1), rtol=rtol, atol=1e-4, lband=1, uband=1,
    )  # fmt: skip
    assert done.success
    return (done.y.reshape(len(x), nodes, -1) * size[..., None]).sum(axis=1) / size.sum(axis=1)[:, None]


def by_us(days):
    """The same from the solver."""
    temp_c, air_pct = weather()
    thickness, gravity, top, bottom, start = np.array(YEAR_BOARDS).T
    hours = np.arange(24 * days + 1)
    boards = Boards(thickness, gravity, top_m_s=top, bottom_m_s=bottom)
    return simulate(boards, start, hours / 24.0, temp_c[hours], air_pct[hours]).mean_pct[:, ::24]


def farthest(days: int) -> float:
    """Points of MC by which the mean of a board is farthest from that of SciPy, on any of so many days."""
    return float(np.abs(by_us(days) - by_lines(days, 41, 5e-4)).max())
