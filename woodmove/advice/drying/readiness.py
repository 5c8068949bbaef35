"""When is the lumber ready to work?"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

import numpy as np

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.doubt.response import interpolate, nodes
from woodmove.advice.drying.air import HORIZON_DAYS, TIMES, Air
from woodmove.advice.drying.stock import Stock, boards_of, profile_of
from woodmove.contract.notes import Assumption, Caution, Note, Warning
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal
from woodmove.contract.untyped import UntypedAnswer
from woodmove.physics.arrays import Array
from woodmove.physics.diffusivity import DIFFUSIVITIES
from woodmove.physics.drying.boards import STILL_AIR_M_S, Boards, History
from woodmove.physics.drying.solver import simulate
from woodmove.physics.sorption import emc_pct, ends_pct, rh_for_mc_pct

# Ready, unless told otherwise (status: common practice).
TOLERANCE_POINTS = 1.0
CORE_SHELL_POINTS = 1.5
RELEASED_MM = 0.5
# What comes this near to it counts as more.
ENDLESS_DAYS = 0.99 * HORIZON_DAYS
MILESTONES_DAYS = (3, 7, 14, 28, 56)
CELLS, CELLS_ACROSS = 20, 6
# Temperature rise and thinning that are tried to see what helps.
WARMER_C = 8.0
THINNER = 0.8
# Values of the doubtful inputs at which boards are simulated, in standard deviations.
_SPREAD_D = np.array([-2.4, -1.2, 0.0, 1.2, 2.4])
_SPREAD = np.array([-2.0, 0.0, 2.0])


@dataclass(frozen=True, slots=True)
class Goal:
    """What ready means.

    :param target_pct: MC to reach [%]
    :param words: where the target comes from
    :param told: True where somebody said it; else it is what the EMC equation makes of the air
    """

    target_pct: float
    words: str
    tolerance_points: float = TOLERANCE_POINTS
    told: bool = False

    def in_wood(self, off_points: Array) -> Array:
        """MC to reach in wood that lies so far from the equation [%]. What it misses in this wood it misses
        in the service room too, if the target comes from there."""
        return self.target_pct + (0.0 if self.told else 1.0) * off_points


def acclimate(
    stock: Stock,
    air: Air,
    goal: Goal,
    draws: Draws,
    inputs: Mapping[str, Any],
    *,
    today: date,
    start: date | None = None,
    build: date | None = None,
    model: str = "synthesis",
    watch: Callable[[int, int, Array], bool] | None = None,
) -> UntypedAnswer:
    """Days from its stacking until lumber is ready to work, and what would speed it up.

    :param today: before which it is not asked for: lumber that was ready and is so no more waits again
    :param start: day on which it is stacked, for dates
    :param build: day on which it must be ready, None where nobody said so
    :param model: name of the diffusivity
    :param watch: told how far the simulation is, see :func:`woodmove.physics.drying.simulate`
    :raises Refusal: density unknown, or a tolerance that is not above 0
    """
    gravity = stock.wood.gravity_12
    if gravity is None:
        raise Refusal(
            "NO_DENSITY",
            f"No table gives the density of {stock.wood.species.name}.",
            "How fast wood takes and gives moisture depends on its density.",
            "Choose a species that woodmove species show gives a specific gravity for.",
            fields=("species",),
        )
    gone = 0.0 if start is None else days_gone(start, today)
    spread = nodes((_SPREAD_D, _SPREAD, _SPREAD, _SPREAD))
    to_diffusivity, to_emission, to_start, to_air = spread
    emission = STILL_AIR_M_S * np.exp(doubt.EMISSION.sd * to_emission)
    boards = boards_of(stock, gravity, emission, np.exp(doubt.DIFFUSIVITY.sd * to_diffusivity), model)
    shift = doubt.METER_BIAS.sd * to_start
    temp, ends = air.ends_at(TIMES, stock.mean_pct)
    history = simulate(
        boards,
        np.clip(profile_of(stock)[None, :] + shift[:, None], 0.5, 29.9),
        TIMES,
        temp,
        np.clip(ends[None, :] + doubt.SORPTION.sd * to_air[:, None], 0.1, None),
        cells=CELLS,
        cells_across=CELLS_ACROSS,
        watch=watch,
    )
    target = goal.in_wood(doubt.SORPTION.sd * to_air)
    ready = ready_days(history, target, goal, stock, since=gone)
    half = _half_time_days(history, ends, stock.mean_pct + shift)

    noise = draws.deviation(doubt.METER_NOISE, stock.mc_readings**-0.5)
    points = [
        draws.deviation(doubt.DIFFUSIVITY) / doubt.DIFFUSIVITY.sd,
        draws.deviation(doubt.EMISSION) / doubt.EMISSION.sd,
        (draws.deviation(doubt.METER_BIAS) + noise) / doubt.METER_BIAS.sd,
        draws.deviation(doubt.SORPTION) / doubt.SORPTION.sd,
    ]

    def drawn(table: Array) -> Array:
        return interpolate((_SPREAD_D, _SPREAD, _SPREAD, _SPREAD), table, points)

    # Days are interpolated as logarithms: a doubled diffusivity halves them.
    days = np.clip(np.exp(drawn(np.log(np.maximum(ready, 0.01)))), gone, HORIZON_DAYS)
    halves = np.minimum(np.exp(drawn(np.log(np.maximum(half, 0.01)))), HORIZON_DAYS)
    central = len(to_air) // 2
    never = ready[central] >= HORIZON_DAYS
    at_target = ready[central] <= gone + 0.01
    unready = _unreadiness(history, target, goal, stock)
    over = _over_day(unready[central], float(ready[central]))
    wait = draws.range(days)
    results: dict[str, Any] = {
        "target_mc_pct": goal.target_pct,
        "air_emc_pct": float(air.at(TIMES[:1])[1][0]),
        "days_to_ready": None if never else wait,
        "ready_between": None if never or start is None else _between(start, wait),
        "ready_until": None if over is None or start is None else _day(start, over),
        "half_time_days": draws.range(halves) if float(halves[0]) < ENDLESS_DAYS else None,
        **_waits(_parts(history, target, stock), goal, central, float(ready[central])),
        "tolerance_points": goal.tolerance_points,
        "core_shell_limit_points": CORE_SHELL_POINTS,
        **({"release_limit_mm": RELEASED_MM} if stock.resawn else {}),
        "milestones": _milestones(history, stock, draws, drawn, central),
    }
    faster = [] if at_target else _faster(stock, air, goal, gravity, model, gone)
    results["faster"] = [
        row for row in faster if row["days"] is not None and row["days"] < float(ready[central])
    ]
    if start is not None and not never:
        ready_on = start + timedelta(days=round(wait.expected))
        soon = "after {wait_days}" if ready_on > today else "by now"
        text = f"Lumber stacked on {{when}} should be ready {soon}: meter core and shell before you mill it."
        check = Note("READY", text, {"when": start.isoformat(), "wait_days": wait})
        results["checks"] = [{"date": ready_on, "check": check}]
    if start is not None and build is not None:
        left = float((build - start).days)
        # Signed, so that straight lines between the nodes cross the middle of the target as the boards do.
        at_build, off, uneven, tilted = (
            drawn(np.array([np.interp(left, TIMES, row) for row in values]))
            for values in (
                history.mean_pct,
                history.mean_pct - target[:, None],
                history.core_pct - history.shell_pct,
                history.top_pct - history.bottom_pct,
            )
        )
        fit = (np.abs(off) <= goal.tolerance_points) & (
            np.maximum(np.abs(uneven), np.abs(tilted)) <= CORE_SHELL_POINTS
        )
        results["mc_at_build_pct"] = draws.range(at_build)
        results["ready_at_build_pct"] = 100.0 * float(np.mean(fit[1:]))
    return UntypedAnswer(
        "acclimate",
        inputs,
        results,
        warnings=(
            *air.notes,
            *_warnings(stock, goal, model, never and gone < HORIZON_DAYS, temp, ends),
            *(() if start is None else stacked_long_ago(start, gone)),
            *(_beyond_horizon(days) if not never else ()),
            *_on_the_day(results, start, build, over, today),
        ),
        cautions=CAUTIONS,
        assumptions=_assumptions(stock, air, goal, model),
        sources=("siau-transport", "nordic-creep", "sonderegger-2011", "simpson-1973", "fpl-gtr-190"),
        columns={"milestones": ("day", "mc_pct", "core_less_shell_points")},
    )


def days_gone(start: date, today: date) -> float:
    """Days from the stacking to today: 0 before it, and no more than lumber is followed for."""
    return min(float(max((today - start).days, 0)), HORIZON_DAYS)


def stacked_long_ago(start: date, gone: float) -> tuple[Warning, ...]:
    """Why no day is told, where lumber has stood for as long as it is followed."""
    if gone < HORIZON_DAYS:
        return ()
    return (
        Warning(
            "STACKED_LONG_AGO",
            "Lumber is followed for {horizon_days}, and this has stood since {when}: when it is ready is not "
            "told. Meter it, and say that it is stacked today.",
            {"horizon_days": HORIZON_DAYS, "when": start},
        ),
    )


def _parts(history: History, target: Array, stock: Stock) -> dict[str, Array]:
    """The measures of readiness, shape (boards, times): two, and a third where a resaw is planned."""
    # A board that dries through one face is uneven too, and cups when it is planed.
    tilt = np.abs(history.top_pct - history.bottom_pct)
    core_less_shell = np.abs(history.core_pct - history.shell_pct)
    mean = np.abs(history.mean_pct - target[:, None])
    parts = {"mean": mean, "core_shell": np.maximum(core_less_shell, tilt)}
    if not stock.resawn:
        return parts
    tangential = float(np.mean([c.tangential for c in stock.wood.coefficients]))
    # A parabola is twice as deep as its core-and-shell difference; resawn at mid-thickness each half
    # bends to 2 C (depth) / thickness, and cups by curvature times width squared over 8.
    cut_mm = stock.width_mm if stock.cut_width_mm is None else min(stock.cut_width_mm, stock.width_mm)
    release = 2.0 * tangential * 2.0 * core_less_shell / stock.thickness_mm * cut_mm**2 / 8.0
    if stock.stacking == "dead":
        release = 0.0 * release  # the gradient is that of the pile, not of a board
    return parts | {"release": release}


def _limits(goal: Goal) -> dict[str, float]:
    return {"mean": goal.tolerance_points, "core_shell": CORE_SHELL_POINTS, "release": RELEASED_MM}


def _waits(parts: dict[str, Array], goal: Goal, board: int, ready: float) -> dict[str, float | None]:
    """Day up to which each measure is missed before the board is ready: what the wait is for."""
    waits: dict[str, float | None] = {}
    limits = _limits(goal)
    for part, measure in parts.items():
        missed = np.flatnonzero((measure[board] > limits[part]) & (ready > TIMES))
        last = min(float(TIMES[missed[-1] + 1]), ready) if len(missed) else 0.0
        waits[f"wait_for_{part}_days"] = None if ready >= HORIZON_DAYS else last
    return waits


def ready_days(
    history: History, target: Array, goal: Goal, stock: Stock, times_days: Array = TIMES, since: float = 0.0
) -> Array:
    """First day on which all measures are met, shape (boards,); the horizon where none is.

    :param target: MC to reach [%], shape (boards,)
    :param times_days: of the history
    :param since: day before which it is not asked for
    """
    return _crossing(_unreadiness(history, target, goal, stock), times_days, since)


def _unreadiness(history: History, target: Array, goal: Goal, stock: Stock) -> Array:
    """The worst of the measures over its limit, shape (boards, times): ready at 1 and below."""
    limits = _limits(goal)
    parts = _parts(history, target, stock)
    return np.maximum.reduce([measure / limits[part] for part, measure in parts.items()])


def _crossing(measure: Array, times_days: Array, since: float) -> Array:
    """First time from a day on at which a measure is 1 or less, by straight lines between the times."""
    later = times_days > since
    on_the_day = [np.interp(since, times_days, row) for row in measure]
    measure = np.column_stack((on_the_day, measure[:, later]))
    times_days = np.concatenate(([since], times_days[later]))
    met = measure <= 1.0
    number = np.where(met.any(axis=1), met.argmax(axis=1), -1)
    days = np.full(len(measure), HORIZON_DAYS)
    for board in np.flatnonzero(number >= 0):
        i = number[board]
        if i == 0:
            days[board] = since
            continue
        before, after = measure[board, i - 1], measure[board, i]
        step = times_days[i] - times_days[i - 1]
        days[board] = times_days[i - 1] + step * (before - 1.0) / (before - after)
    return days


def _half_time_days(history: History, ends: Array, start: Array) -> Array:
    """Day on which half the way to where the air of the first day leads is done, shape (boards,)."""
    way = (start[:, None] - history.mean_pct) / (start - ends[0])[:, None]
    # Boards that start there have no way to go: let them take the mean of the others.
    days = np.array([np.interp(0.5, np.maximum.accumulate(row), TIMES) for row in way])
    moving = np.abs(start - ends[0]) > 0.3
    days[~moving] = np.median(days[moving]) if moving.any() else HORIZON_DAYS
    return days


def _milestones(
    history: History, stock: Stock, draws: Draws, drawn: Any, central: int
) -> list[dict[str, Any]]:
    at = np.array(MILESTONES_DAYS, float)
    means, differences = (
        np.array([np.interp(at, TIMES, row) for row in values])
        for values in (history.mean_pct, history.core_pct - history.shell_pct)
    )
    means, differences = drawn(means).T, drawn(differences).T
    return [
        {
            "day": day,
            "mc_pct": draws.range(mean),
            "core_less_shell_points": draws.range(difference),
        }
        for day, mean, difference in zip(MILESTONES_DAYS, means, differences, strict=True)
    ]


def _faster(
    stock: Stock, air: Air, goal: Goal, gravity: float, model: str, gone: float
) -> list[dict[str, Any]]:
    """What would speed it up, each with its own days, the fastest first."""
    temp, emc = air.at(TIMES)
    drying = stock.mean_pct > goal.target_pct
    tries: list[tuple[str, Stock, Array, Array]] = []
    if stock.stacking != "stickered":
        tries.append(
            ("Sticker it: air to both faces", replace(stock, stacking="stickered", count=1), temp, emc)
        )
    rh = np.interp(TIMES, air.days, air.rh_pct)
    warm = temp + WARMER_C
    tries.append((f"Keep it {WARMER_C:.0f} °C ({WARMER_C * 1.8:.0f} °F) warmer at the same RH", stock, warm,
                  np.asarray(emc_pct(warm, rh))))  # fmt: skip
    if stock.cut_width_mm is not None and stock.cut_width_mm < 0.8 * stock.width_mm:
        strips = replace(stock, width_mm=stock.cut_width_mm)
        tries.append(("Rip it into strips, oversize, and sticker those", strips, temp, emc))
    else:
        thinner = replace(stock, thickness_mm=THINNER * stock.thickness_mm)
        words = f"Plane it to {THINNER:.0%} first, if that leaves enough to flatten"
        tries.append((words, thinner, temp, emc))
    # A little beyond the target, so that the last point does not take for ever.
    beyond = max(goal.target_pct - 1.0, 1.0) if drying else goal.target_pct + 1.0
    setting = float(np.clip(rh_for_mc_pct(float(temp.mean()), beyond), 5.0, 95.0))
    appliance = "dehumidifier" if drying else "humidifier"
    held = np.minimum(rh, setting) if drying else np.maximum(rh, setting)
    tries.append((f"A {appliance} at {setting:.0f} % RH", stock, temp, np.asarray(emc_pct(temp, held))))
    lots = [lot for _, lot, _, _ in tries]
    history = simulate(
        Boards.joined(
            [boards_of(lot, gravity, np.array([STILL_AIR_M_S]), np.ones(1), model) for lot in lots]
        ),
        np.array([profile_of(lot) for lot in lots]),
        TIMES,
        np.array([temps for _, _, temps, _ in tries]),
        np.array([ends_pct(stock.mean_pct, emcs) for _, _, _, emcs in tries]),
        cells=CELLS,
        cells_across=CELLS_ACROSS,
    )
    target = np.full(len(lots), goal.target_pct)
    days = [float(ready_days(history, target, goal, lot, since=gone)[i]) for i, lot in enumerate(lots)]
    rows = [
        {"measure": words, "days": None if wait >= HORIZON_DAYS else wait}
        for (words, *_), wait in zip(tries, days, strict=True)
    ]
    return sorted(rows, key=lambda row: (row["days"] is None, row["days"]))


def _over_day(unready: Array, ready: float) -> float | None:
    """Day on which a board that was ready is so no more, None where it stays ready."""
    later = np.flatnonzero((unready > 1.0) & (ready < TIMES))
    return float(TIMES[later[0]]) if len(later) and ready < HORIZON_DAYS else None


def _between(start: date, wait: Range) -> str:
    low, expected, high = (_day(start, days) for days in (wait.low, wait.expected, wait.high))
    return low if low == high else f"{low} and {high}, about {expected}"


def _day(start: date, days: float) -> str:
    return (start + timedelta(days=round(days))).isoformat()


def _on_the_day(
    results: Mapping[str, Any], start: date | None, build: date | None, over: float | None, today: date
) -> tuple[Warning, ...]:
    notes = []
    if over is not None and start is not None:
        notes.append(
            Warning(
                "READY_FOR_A_TIME",
                "From about {when} on this air takes the lumber out of the target again. Build before, or "
                "wrap it tight when it is ready, or hold the room's humidity.",
                {"when": _day(start, over)},
            )
        )
    if start is None or build is None or build < today:
        return tuple(notes)
    if results["ready_at_build_pct"] < 95.0:
        notes.append(
            Warning(
                "NOT_SURE_ON_THE_DAY",
                "On the day of the build ({when}) the lumber will be at about {mc_at_build_pct}; the chance "
                "that it is ready on that day is {chance}. Meter it.",
                {
                    "when": build.isoformat(),
                    "mc_at_build_pct": results["mc_at_build_pct"],
                    "chance": about_pct(results["ready_at_build_pct"]),
                },
            )
        )
    return tuple(notes)


def about_pct(share_pct: float) -> str:
    """A share in a sentence."""
    return "less than 5 %" if share_pct < 5.0 else f"about {share_pct:.0f} %"


def _beyond_horizon(days: Array) -> tuple[Warning, ...]:
    if float(np.mean(days[1:] >= ENDLESS_DAYS)) < 0.05:
        return ()
    return (
        Warning(
            "MAYBE_NEVER",
            "It may take longer than two years, or never be ready: {horizon_days} is where the count stops.",
            {"horizon_days": HORIZON_DAYS},
        ),
    )


def _warnings(
    stock: Stock, goal: Goal, model: str, never: bool, temp: Array, ends: Array
) -> tuple[Warning, ...]:
    notes = []
    if stock.stacking == "wrapped":
        notes.append(
            Warning("WRAPPED", "In tight wrapping the lumber hardly changes: open it to let it settle.")
        )
    if never:
        reach = float(np.clip(goal.target_pct, ends.min(), ends.max()))
        if abs(reach - goal.target_pct) > goal.tolerance_points:
            holding = float(rh_for_mc_pct(float(temp[0]), goal.target_pct))
            notes.append(
                Warning(
                    "NEVER_READY",
                    "This air never brings the wood to {target_mc_pct}: it ends at {low_pct} to {high_pct}. "
                    "At {temp_c} it would take {rh_pct} RH.",
                    {"target_mc_pct": goal.target_pct, "low_pct": float(ends.min()),
                     "high_pct": float(ends.max()), "temp_c": float(temp[0]), "rh_pct": holding},
                )
            )  # fmt: skip
        else:
            notes.append(
                Warning(
                    "NOT_WITHIN_TWO_YEARS",
                    "Within two years the lumber does not settle evenly enough: work it thinner, sticker it, "
                    "or allow a wider tolerance.",
                )
            )
    used = DIFFUSIVITIES[model]
    checks = (
        (used.valid[0], np.array([stock.core_pct, stock.shell_pct, *ends])),
        (used.valid[1], temp),
        (used.valid[2], np.array([stock.wood.gravity_12 or 0.5])),
    )
    notes += [
        Warning(
            "OUTSIDE_DIFFUSIVITY_RANGE",
            f"{validity.relation}: outside its stated {validity.low:g} to {validity.high:g} {validity.unit}.",
            validity=True,
        )
        for validity, values in checks
        if validity.outside(values)
    ]
    return tuple(notes)


def _assumptions(stock: Stock, air: Air, goal: Goal, model: str) -> tuple[Assumption, ...]:
    used = DIFFUSIVITIES[model]
    halves = "; sawn through, the halves bend less than {release_mm}" if stock.resawn else ""
    return (
        Assumption(
            "READY_MEANS",
            "Ready: mean within {tolerance_points} of the target, core and shell within {limit_points}"
            f"{halves} (common practice).",
            {"tolerance_points": goal.tolerance_points, "limit_points": CORE_SHELL_POINTS}
            | ({"release_mm": RELEASED_MM} if stock.resawn else {}),
        ),
        Assumption("TARGET", "The target is {words}.", {"words": goal.words}),
        Assumption(
            "DIFFUSIVITY",
            "Diffusivity {model} ({remark}); {air}; {stacking}.",
            {
                "model": used.name,
                "remark": used.remark,
                "air": air.words,
                "stacking": f"{stock.count} boards dead-stacked"
                if stock.stacking == "dead"
                else stock.stacking,
            },
        ),
    )


CAUTIONS = (
    Caution(
        "PILES_FALL",
        "Stack on level bearers with each sticker above the one below; a tall pile falls. Lift long boards "
        "in pairs.",
    ),
)
