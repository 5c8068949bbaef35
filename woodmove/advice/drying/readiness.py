"""When is the lumber ready to work?"""

from collections.abc import Callable, Mapping
from dataclasses import asdict
from datetime import date, timedelta
from typing import Any

import numpy as np

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.drying.air import HORIZON_DAYS, TIMES, Air
from woodmove.advice.drying.course import course_of
from woodmove.advice.drying.courses import Courses
from woodmove.advice.drying.goal import (
    CORE_SHELL_POINTS,
    PILE_POINTS,
    RELEASED_MM,
    Goal,
    Measures,
    When,
    measures,
    when,
)
from woodmove.advice.drying.sooner import Holding, sooner
from woodmove.advice.drying.stock import Stock
from woodmove.contract.answer import Verdict
from woodmove.contract.notes import Assumption, Caution, Note, Warning, assumption, note, warning
from woodmove.contract.quantity import CHANCE, DAYS, HUMIDITY, LENGTH, MOISTURE, POINTS, SLOT, TEMPERATURE
from woodmove.contract.ranges import Range
from woodmove.contract.untyped import UntypedAnswer
from woodmove.physics.arrays import Array, rows_at
from woodmove.physics.diffusivity import DIFFUSIVITIES
from woodmove.physics.sorption import rh_for_mc_pct

MILESTONES_DAYS = (3, 7, 14, 28, 56)
# Nobody plans on a wait longer than this without asking what would shorten it: a heated room takes two to six
# weeks (status: common practice).
LONG_DAYS = 42.0
# A top whose width nobody said.
USUAL_TOP_MM = 914.4


_KEY = ("target_mc_pct", "half_time_days", "glued_now_mm", "hold_rh_pct", "faster")
_COLUMNS = {
    "milestones": ("day", "mc_pct", "core_less_shell_points"),
    "faster": ("measure", "days", "saves_days", "side_effect"),
}


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
    home: Air | None = None,
    top_width_mm: float | None = None,
    model: str = "synthesis",
    watch: Callable[[int, int, Array], bool] | None = None,
) -> UntypedAnswer:
    """Days from its stacking until nine tenths of a lot are ready to work, and what would speed it up.

    :param today: before which it is not asked for: lumber that was ready and is so no more waits again
    :param start: day on which it is stacked, for dates
    :param build: day on which it must be ready, None where nobody said so
    :param home: the air where the top will live, None where the lumber dries there
    :param top_width_mm: of the top, for what it costs to glue too early
    :param model: name of the diffusivity
    :param watch: told how far the simulation is, see :func:`woodmove.physics.drying.solver.simulate`
    :raises Refusal: density unknown
    """
    gone = 0.0 if start is None else days_gone(start, today)
    courses, points, sorption, room = _courses(stock, air, draws, model, watch)
    mean, core, shell, tilt, follows = (
        courses.at(table, points)
        for table in (courses.mean, courses.core, courses.shell, courses.tilt, courses.follows)
    )
    target = goal.in_wood(sorption, room, _room(draws, doubt.OTHER_ROOM, goal.sd_points))
    found = measures(stock, goal, target, mean, core, shell, tilt, PILE_POINTS * np.abs(follows))
    days = when(found.unready[1:], np.full(draws.draws, 1.0 / draws.draws), TIMES, gone)
    at_goal = days.even is not None and days.even <= gone
    tried = sooner(stock, air, goal, model, gone, home)
    cost_mm = _narrower_mm(stock, top_width_mm, abs(stock.mean_pct - goal.target_pct))
    wait = days_range(days, draws, gone)
    results: dict[str, Any] = {
        "mc_mean_pct": stock.mean_pct,
        "target_mc_pct": goal.target_pct,
        "air_emc_pct": float(air.at(TIMES[:1])[1][0]),
        **({} if wait is None else {"days_to_ready": wait}),
        **dates(days, start),
        "never_ready_pct": days.never_pct,
        "half_time_days": _half_time(stock, mean, courses.ends, draws),
        **_waits(found, days),
        "tolerance_points": goal.tolerance_points,
        "core_shell_limit_points": CORE_SHELL_POINTS,
        **({"release_limit_mm": RELEASED_MM} if stock.resawn else {}),
        "glued_now_mm": None if at_goal else cost_mm,
        **({} if at_goal or tried.hold is None else tried.hold.results()),
        "mc_when_ready_pct": None if days.even is None else _on(days.even, mean, draws),
        "milestones": _milestones(mean, core - shell, draws),
        "course": [asdict(day) | {"mc_pct": day.mc_pct} for day in course_of(mean, draws)],
        "faster": [] if at_goal else tried.rows,
    }
    if start is not None:
        results |= _dated(days, mean, draws, start, today, build)
    return UntypedAnswer(
        "acclimate",
        inputs,
        results,
        warnings=(
            *air.notes,
            *_warnings(stock, model, air, courses.ends),
            *(() if start is None else stacked_long_ago(start, gone)),
            *_too_early(results, stock, goal, days, top_width_mm, gone),
            *on_the_day(results, build, today),
        ),
        cautions=CAUTIONS,
        assumptions=_assumptions(stock, air, goal, model, top_width_mm),
        sources=("siau-transport", "nordic-creep", "sonderegger-2011", "simpson-1973", "fpl-gtr-190"),
        columns=_COLUMNS,
        verdict=None
        if gone >= HORIZON_DAYS
        else _verdict(days, wait, goal, start, gone, tried.hold, tried.home),
        headline="days_to_ready" if wait is not None else "never_ready_pct",
        key=tuple(name for name in _KEY if results.get(name) is not None),
    )


def _on(day: float, mean: Array, draws: Draws) -> Range:
    """The mean moisture content on a day from the stacking on."""
    return draws.range(rows_at(day, TIMES, mean))


def _courses(
    stock: Stock, air: Air, draws: Draws, model: str, watch: Callable[[int, int, Array], bool] | None
) -> tuple[Courses, list[Array], Array, Array]:
    """The boards through time; where among them each draw lies; how far sorption and the room's air are off
    in each [points]."""
    start_sd = float(np.hypot(doubt.METER_BIAS.sd, doubt.METER_NOISE.sd * stock.mc_readings**-0.5))
    air_sd = float(np.hypot(doubt.SORPTION.sd, air.sd_points))
    courses = Courses(stock, air, TIMES, start_sd=start_sd, air_sd=air_sd, model=model, watch=watch)
    noise = draws.deviation(doubt.METER_NOISE, stock.mc_readings**-0.5)
    sorption, room = draws.deviation(doubt.SORPTION), _room(draws, doubt.ROOM, air.sd_points)
    points = [
        draws.deviation(doubt.DIFFUSIVITY) / doubt.DIFFUSIVITY.sd,
        draws.deviation(doubt.EMISSION) / doubt.EMISSION.sd,
        (draws.deviation(doubt.METER_BIAS) + noise) / start_sd,
        (sorption + room) / air_sd,
    ]
    return courses, points, sorption, room


def _half_time(stock: Stock, mean: Array, ends: Array, draws: Draws) -> Range | None:
    """Days in which half of the way is gone, None where there is hardly one."""
    half = np.minimum(_half_time_days(mean, ends, mean[:, 0]), HORIZON_DAYS)
    moves = abs(stock.mean_pct - ends[0]) > 0.3 and half[0] < 0.99 * HORIZON_DAYS
    return draws.range(half) if moves else None


def _dated(
    days: When, mean: Array, draws: Draws, start: date, today: date, build: date | None
) -> dict[str, Any]:
    """What to look at, and on which day; what the lumber is on the day on which it must be ready, and how
    likely it is."""
    found: dict[str, Any] = {}
    if days.even is not None:
        found["checks"] = [_check(start, today, days.even)]
    if build is not None:
        left = float(np.clip((build - start).days, 0.0, HORIZON_DAYS))
        found["mc_at_build_pct"] = _on(left, mean, draws)
        found["chance_pct"] = days.chance_pct(left)
    return found


def _room(draws: Draws, distribution: Any, sd_points: float) -> Array:
    """How far the EMC of a room lies from what is computed [points]."""
    return (
        draws.deviation(distribution, sd_points / distribution.sd) if sd_points else np.zeros(draws.draws + 1)
    )


def days_gone(start: date, today: date) -> float:
    """Days from the stacking to today: 0 before it, and no more than lumber is followed for."""
    return min(float(max((today - start).days, 0)), HORIZON_DAYS)


def days_range(days: When, draws: Draws, gone: float) -> Range | None:
    """Days from the stacking on, as a Range about the day that is an even chance; None where none is."""
    if days.even is None or gone >= HORIZON_DAYS:
        return None
    low, high = np.quantile(days.first, (0.05, 0.95))
    return Range(days.even, min(float(low), days.even), max(float(high), days.even), draws.causes(days.first))


def on_day(start: date | None, day: float | None) -> date | None:
    """The date of a day from the stacking on."""
    return None if start is None or day is None else start + timedelta(days=round(day))


def dates(days: When, start: date | None) -> dict[str, date | None]:
    """The dates that are named, for an Answer; none where nobody said when it was stacked."""
    if start is None:
        return {}
    return {
        "ready_even_on": on_day(start, days.even),
        "ready_likely_on": on_day(start, days.likely),
        "keeps_until": on_day(start, days.until),
    }


READY = note(
    "READY",
    "Lumber stacked on {when} should be ready: meter the middle and the surface before you plane.",
    when=None,
)
GO = note(
    "READY_NOW",
    "Ready: nine tenths of the boards are within {within_points} of {target_mc_pct}, core and shell too.",
    within_points=POINTS, target_mc_pct=MOISTURE,
)  # fmt: skip
METER_FIRST = note("METER_FIRST", "a reading in the middle and at the surface of three boards")
KEEPS = note("KEEPS", "It keeps until {day}.", day=None)
KEEPS_DAYS = note("KEEPS", "It keeps until day {day}.", day=None)
WAIT = note("WAIT", "Not ready yet: even chance on {even}, 8 in 10 on {likely}.", even=None, likely=None)
WAIT_UNSURE = note(
    "WAIT", "Not ready yet: even chance on {even}; this air does not get to 8 in 10.", even=None
)
WAIT_DAYS = note(
    "WAIT",
    "Not ready yet: even chance in {wait_days}, 8 in 10 in {likely_days}.",
    wait_days=DAYS,
    likely_days=DAYS,
)
WAIT_DAYS_UNSURE = note(
    "WAIT", "Not ready yet: even chance in {wait_days}; this air does not get to 8 in 10.", wait_days=DAYS
)
NEVER = note(
    "NEVER_READY",
    "Waiting does not help: this air does not bring it to {target_mc_pct}.",
    target_mc_pct=MOISTURE,
)
HOLD = note(
    "HOLD", "Hold the air around it at {rh_pct} RH for about {hold_days}.", rh_pct=HUMIDITY, hold_days=DAYS
)
BRING_IN = note(
    "BRING_IN", "Bring it into the room where the top will live: about {home_days}.", home_days=DAYS
)
SMALLER = note(
    "SMALLER", "Sticker it, or rip or plane it thinner first: it is too thick to settle in this air."
)


def _verdict(
    days: When, wait: Range | None, goal: Goal, start: date | None, gone: float, hold: Holding | None,
    home_days: float | None,
) -> Verdict:  # fmt: skip
    if days.even is not None and wait is not None:
        keeps = () if days.until is None else (
            (KEEPS_DAYS(day=round(days.until)) if start is None else KEEPS(day=on_day(start, days.until))),
        )  # fmt: skip
        if days.even <= gone:
            says = (GO(within_points=goal.tolerance_points, target_mc_pct=goal.target_pct), *keeps)
            return Verdict("go", says, (METER_FIRST(),))
        helps = (_helps(hold, home_days),) if days.even - gone > LONG_DAYS else ()
        return Verdict("wait", (_wait(days, start), *keeps, *helps))
    return Verdict("stop", (NEVER(target_mc_pct=goal.target_pct), _helps(hold, home_days)))


def _wait(days: When, start: date | None) -> Note:
    if start is None:
        if days.likely is None:
            return WAIT_DAYS_UNSURE(wait_days=days.even)
        return WAIT_DAYS(wait_days=days.even, likely_days=days.likely)
    if days.likely is None:
        return WAIT_UNSURE(even=on_day(start, days.even))
    return WAIT(even=on_day(start, days.even), likely=on_day(start, days.likely))


def _helps(hold: Holding | None, home_days: float | None) -> Note:
    """What would serve where waiting does not, or not for long."""
    if home_days is not None:
        return BRING_IN(home_days=home_days)
    return SMALLER() if hold is None else HOLD(rh_pct=hold.rh_pct, hold_days=hold.days)


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


def _check(start: date, today: date, even: float) -> dict[str, Any]:
    return {"date": max(on_day(start, even) or today, today), "check": READY(when=start)}


def _narrower_mm(stock: Stock, top_width_mm: float | None, points: float) -> float:
    """What a top loses or gains in width by a change of its moisture, between its ring directions [mm]."""
    by_point = float(np.mean([[c.tangential, c.radial] for c in stock.wood.coefficients]))
    return (top_width_mm or USUAL_TOP_MM) * by_point * points


GLUED_NOW = warning(
    "GLUED_NOW",
    "Glued today, a top {width_mm} wide comes out {glued_now_mm} {way} once it is at {target_mc_pct}.",
    width_mm=LENGTH, glued_now_mm=SLOT, way=None, target_mc_pct=MOISTURE,
)  # fmt: skip


def _too_early(
    results: Mapping[str, Any], stock: Stock, goal: Goal, days: When, top_width_mm: float | None, gone: float
) -> tuple[Warning, ...]:
    """What it costs to glue before it is ready."""
    if (
        results["glued_now_mm"] is None
        or gone >= HORIZON_DAYS
        or abs(stock.mean_pct - goal.target_pct) <= goal.tolerance_points
    ):
        return ()
    way = "narrower" if stock.mean_pct > goal.target_pct else "wider"
    return (
        GLUED_NOW(
            width_mm=top_width_mm or USUAL_TOP_MM, glued_now_mm=results["glued_now_mm"], way=way,
            target_mc_pct=goal.target_pct,
        ),
    )  # fmt: skip


TOO_EARLY = warning(
    "NOT_SURE_ON_THE_DAY",
    "On {day} the chance is {chance_pct}: it will be at about {mc_pct}. Meter it before you glue.",
    day=None, chance_pct=CHANCE, mc_pct=MOISTURE,
)  # fmt: skip


def on_the_day(results: Mapping[str, Any], build: date | None, today: date) -> tuple[Warning, ...]:
    """What to know of a day that is asked for, where it is not nearly sure."""
    if build is None or build < today or results.get("chance_pct", 100.0) >= 80.0:
        return ()
    mc = results["mc_at_build_pct"]
    return (TOO_EARLY(day=build, chance_pct=results["chance_pct"], mc_pct=mc.expected),)


def _waits(found: Measures, days: When) -> dict[str, float | None]:
    """Day up to which each measure is missed before the lot is ready, at the central inputs."""
    parts = {"mean": found.mean, "core_shell": found.core_shell}
    if found.release is not None:
        parts["release"] = found.release
    waits: dict[str, float | None] = {}
    for part, measure in parts.items():
        missed = np.flatnonzero((measure[0] > 1.0) & ((days.even or 0.0) > TIMES))
        last = float(TIMES[missed[-1] + 1]) if len(missed) else 0.0
        waits[f"wait_for_{part}_days"] = None if days.even is None else min(last, days.even)
    return waits


def _half_time_days(mean: Array, ends: Array, start: Array) -> Array:
    """Day on which half the way to where the air of the first day leads is done, shape (draws,)."""
    way = (start[:, None] - mean) / np.where(np.abs(start - ends[0]) > 0.3, start - ends[0], 1.0)[:, None]
    return np.array([np.interp(0.5, np.maximum.accumulate(row), TIMES) for row in way])


def _milestones(mean: Array, uneven: Array, draws: Draws) -> list[dict[str, Any]]:
    at = np.searchsorted(TIMES, MILESTONES_DAYS)
    return [
        {
            "day": day,
            "mc_pct": draws.range(mean[:, place]),
            "core_less_shell_points": draws.range(uneven[:, place]),
        }
        for day, place in zip(MILESTONES_DAYS, at, strict=True)
    ]


WRAPPED = warning("WRAPPED", "In tight wrapping the lumber hardly changes. Open it to let it settle.")


def _warnings(stock: Stock, model: str, air: Air, ends: Array) -> tuple[Warning, ...]:
    notes = [WRAPPED()] if stock.stacking == "wrapped" else []
    used = DIFFUSIVITIES[model]
    checks = (
        (used.valid[0], np.array([stock.core_pct, stock.shell_pct, *ends])),
        (used.valid[1], air.at(TIMES)[0]),
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


READY_MEANS = assumption(
    "READY_MEANS",
    "Ready: nine tenths of the boards within {within_points} of the goal, core and shell within "
    "{limit_points}{sawn} (common practice).",
    within_points=POINTS, limit_points=POINTS, sawn=None,
)  # fmt: skip
TOLERANCE_COSTS = assumption(
    "TOLERANCE_COSTS",
    "The {within_points} cost about {cost_mm} more slot on a top {width_mm} wide.",
    within_points=POINTS, cost_mm=SLOT, width_mm=LENGTH,
)  # fmt: skip
KEEP_AT = assumption(
    "KEEP_AT", "To keep it ready, hold {rh_pct} RH at {temp_c}.", rh_pct=HUMIDITY, temp_c=TEMPERATURE
)


def _assumptions(
    stock: Stock, air: Air, goal: Goal, model: str, top_width_mm: float | None
) -> tuple[Assumption, ...]:
    used = DIFFUSIVITIES[model]
    temp_c = float(air.at(TIMES[:1])[0][0])
    return (
        READY_MEANS(
            within_points=goal.tolerance_points,
            limit_points=CORE_SHELL_POINTS,
            sawn="; sawn through, the halves bend less than half a millimetre (1/64 in)"
            if stock.resawn
            else "",
        ),
        TOLERANCE_COSTS(
            within_points=goal.tolerance_points,
            cost_mm=_narrower_mm(stock, top_width_mm, goal.tolerance_points),
            width_mm=top_width_mm or USUAL_TOP_MM,
        ),
        KEEP_AT(rh_pct=float(rh_for_mc_pct(temp_c, goal.target_pct)), temp_c=temp_c),
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
