"""What would bring lumber to its goal sooner, and what each of these brings with it."""

from dataclasses import dataclass, replace
from typing import Annotated

import numpy as np

from woodmove.advice.drying.air import HORIZON_DAYS, TIMES, Air
from woodmove.advice.drying.courses import CELLS, CELLS_ACROSS, gravity_of
from woodmove.advice.drying.goal import PILE_POINTS, Goal, crossing, measures
from woodmove.advice.drying.stock import Stock, boards_of, profile_of
from woodmove.contract.notes import Note, note
from woodmove.contract.quantity import HUMIDITY, MOISTURE, TEMPERATURE, Quantity
from woodmove.contract.shown import Shown, results
from woodmove.physics.air import relative_humidity_pct, vapour_pressure_kpa
from woodmove.physics.arrays import Array, rows_at
from woodmove.physics.diffusivity import MOVING_AIR_M_S
from woodmove.physics.drying.boards import STILL_AIR_M_S, Boards
from woodmove.physics.drying.solver import simulate
from woodmove.physics.sorption import (
    DRYING_ENDS_POINTS,
    GAINING_ENDS_POINTS,
    emc_pct,
    ends_pct,
    rh_for_mc_pct,
)

# Temperature rise and thinning that are tried to see what helps.
WARMER_C = 8.0
THINNER = 0.8
# Air that a house can be brought to [% RH] (status: judgement).
DRIEST_RH_PCT, DAMPEST_RH_PCT = 30.0, 70.0
# What saves less than a day is not worth a line.
WORTH_DAYS = 1.0

STICKER = note("STICKER", "Sticker it: air to both faces")
FAN = note("FAN", "A fan along the stack")
WARM = note("WARM", "Heat it to {temp_c}, no water added", temp_c=TEMPERATURE)
RIP = note("RIP", "Rip it into strips, oversize, and sticker those")
PLANE = note("PLANE", "Plane it a fifth thinner first")
HOME = note("HOME", "Bring it into the room where the top will live")
HOLD_DRY = note("DEHUMIDIFIER", "A dehumidifier at {rh_pct} RH", rh_pct=HUMIDITY)
HOLD_DAMP = note("HUMIDIFIER", "A humidifier at {rh_pct} RH", rh_pct=HUMIDITY)

MORE_WORK = note("JOINT_AFTER", "strips bow: leave width and thickness to joint")
LESS_LEFT = note("LESS_LEFT", "less is left to flatten")
ENDS_AT = note("ENDS_AT", "that air takes it to {ends_pct}: turn it off in time", ends_pct=MOISTURE)
CHECKS = note("CHECKS", "dries the surface first: seal the ends")
NONE = note("NO_SIDE_EFFECT", "none")


@dataclass(frozen=True)
class _Try:
    measure: Note
    side_effect: Note
    stock: Stock
    temp_c: Array
    emc_pct: Array
    emission: float = STILL_AIR_M_S


@dataclass(frozen=True)
class Holding:
    """Air that brings lumber to its goal, and how long it must be held."""

    rh_pct: float
    days: float


# Whose names are no more than the word.
IN_DAYS = Quantity("days", ("days", 1, 1), ("days", 1, 1))


@results
class Faster:
    """A measure that saves days, and what it brings with it."""

    measure: Annotated[Note, Shown("measure", None, "key")]
    days: Annotated[float, Shown("ready in", IN_DAYS, "key")]
    saves_days: Annotated[float | None, Shown("saves", IN_DAYS, "key")]
    side_effect: Annotated[Note, Shown("side effect", None, "key")]


@dataclass(frozen=True)
class Sooner:
    """What helps.

    :param rows: the measures that save a day and more, the fastest first
    :param hold: the humidity that serves, None where none does
    :param home: days in the room where the top will live, None where it is there, or that does not serve
    """

    rows: tuple[Faster, ...]
    hold: Holding | None
    home: float | None


def sooner(stock: Stock, air: Air, goal: Goal, model: str, gone: float, home: Air | None) -> Sooner:
    """What would speed it up, each with its days at the central inputs, from now on.

    :param gone: days since the stacking
    :param home: the air where the top will live, None where the lumber is there
    """
    temp, emc = air.at(gone + TIMES)
    rh = np.interp(gone + TIMES, air.days, air.rh_pct)
    as_it_is = _Try(NONE(), NONE(), stock, temp, emc)
    tries = [as_it_is, _hold(stock, goal, temp, rh)]
    if home is not None:
        tries.append(_Try(HOME(), NONE(), stock, *home.at(gone + TIMES)))
    if stock.stacking != "stickered":
        tries.append(_Try(STICKER(), NONE(), replace(stock, stacking="stickered", count=1), temp, emc))
    tries.append(_Try(FAN(), CHECKS(), stock, temp, emc, MOVING_AIR_M_S))
    warm = temp + WARMER_C
    warm_rh = relative_humidity_pct(warm, vapour_pressure_kpa(temp, np.minimum(rh, 100.0)))
    warm_emc = np.asarray(emc_pct(warm, np.minimum(warm_rh, 100.0)))
    tries.append(
        _Try(
            WARM(temp_c=float(warm[0])), ENDS_AT(ends_pct=float(warm_emc[:40].mean())), stock, warm, warm_emc
        )
    )
    if stock.cut_width_mm is not None and stock.cut_width_mm < 0.8 * stock.width_mm:
        tries.append(_Try(RIP(), MORE_WORK(), replace(stock, width_mm=stock.cut_width_mm), temp, emc))
    else:
        thinner = replace(stock, thickness_mm=THINNER * stock.thickness_mm)
        tries.append(_Try(PLANE(), LESS_LEFT(), thinner, temp, emc))
    days = _days(tries, goal, model, _now(stock, air, model, gone))
    usual = days[0]
    rows = [
        Faster(
            measure=each.measure,
            days=day,
            saves_days=None if usual >= HORIZON_DAYS else usual - day,
            side_effect=each.side_effect,
        )
        for each, day in list(zip(tries, days, strict=True))[1:]
        if day < HORIZON_DAYS and usual - day >= WORTH_DAYS
    ]
    # Air that does as well by itself needs no holding.
    helps = days[1] < HORIZON_DAYS and usual - days[1] >= WORTH_DAYS
    hold = Holding(_setting(stock, goal, temp), days[1]) if helps else None
    home_days = days[2] if home is not None and days[2] < HORIZON_DAYS else None
    return Sooner(tuple(sorted(rows, key=lambda row: row.days)), hold, home_days)


def _setting(stock: Stock, goal: Goal, temp: Array) -> float:
    """The RH whose air takes it to its goal and no further, in the range of rooms."""
    drying = stock.mean_pct > goal.target_pct
    emc = max(goal.target_pct - (DRYING_ENDS_POINTS if drying else GAINING_ENDS_POINTS), 1.0)
    setting = float(rh_for_mc_pct(float(temp[:40].mean()), emc))
    return float(np.clip(setting, DRIEST_RH_PCT, DAMPEST_RH_PCT))


def _hold(stock: Stock, goal: Goal, temp: Array, rh: Array) -> _Try:
    setting = _setting(stock, goal, temp)
    drying = stock.mean_pct > goal.target_pct
    held = np.minimum(rh, setting) if drying else np.maximum(rh, setting)
    emc = np.asarray(emc_pct(temp, held))
    measure = (HOLD_DRY if drying else HOLD_DAMP)(rh_pct=setting)
    return _Try(measure, NONE(), stock, temp, emc)


def _now(stock: Stock, air: Air, model: str, gone: float) -> Array:
    """Profile of the lumber today, and of a board that was a standard deviation of its pile wetter on the day
    of stacking: what they differ by is the spread of the pile. Shape (2, depths)."""
    profiles = np.clip(profile_of(stock) + np.array([[0.0], [PILE_POINTS]]), 0.5, 29.9)
    if gone <= 0.0:
        return profiles
    times = np.append(TIMES[gone > TIMES], gone)
    temp, ends = air.ends_at(times, stock.mean_pct)
    boards = boards_of(stock, gravity_of(stock), np.full(2, STILL_AIR_M_S), np.ones(2), model)
    history = simulate(boards, profiles, times, temp, ends, cells=CELLS, cells_across=CELLS_ACROSS)
    depths = np.linspace(0.0, 1.0, profiles.shape[1])
    return rows_at(depths, history.depth, history.profile_pct)


def _days(tries: list[_Try], goal: Goal, model: str, now: Array) -> list[float]:
    """Days from now until nine tenths of the boards of each try are ready, at the central inputs."""
    lots = [each for each in tries for _ in range(2)]
    history = simulate(
        Boards.joined(
            [
                boards_of(lot.stock, gravity_of(lot.stock), np.array([lot.emission]), np.ones(1), model)
                for lot in lots
            ]
        ),
        np.tile(now, (len(tries), 1)),
        TIMES,
        np.array([lot.temp_c for lot in lots]),
        np.array([ends_pct(lot.stock.mean_pct, lot.emc_pct) for lot in lots]),
        cells=CELLS,
        cells_across=CELLS_ACROSS,
    )
    spread = np.abs(history.mean_pct[1::2] - history.mean_pct[::2])
    tilt = history.top_pct - history.bottom_pct
    found: list[float] = []
    for i, each in enumerate(tries):
        own = slice(2 * i, 2 * i + 1)
        missed = measures(
            each.stock, goal, np.array([goal.target_pct]), history.mean_pct[own], history.core_pct[own],
            history.shell_pct[own], tilt[own], spread[i : i + 1],
        )  # fmt: skip
        found.append(float(crossing(missed.unready, TIMES)[0]))
    return found
