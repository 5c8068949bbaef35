"""When is the lumber ready to work?"""

from datetime import date, timedelta
from typing import Annotated, Any

import numpy as np

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.drying.air import HORIZON_DAYS, TIMES, Air
from woodmove.advice.drying.course import CourseDay, course_of
from woodmove.advice.drying.courses import Courses
from woodmove.advice.drying.goal import (
    CORE_SHELL_POINTS,
    PILE_POINTS,
    RELEASED_MM,
    Goal,
    When,
    measures,
    when,
)
from woodmove.advice.drying.measure_next import (
    WEIGHED_AGAIN_DAYS,
    MeasureNext,
    measure_next,
    oven_of,
    said,
    would_show,
)
from woodmove.advice.drying.sooner import Faster, Holding, sooner
from woodmove.advice.drying.stock import Stock
from woodmove.contract.answer import Answer, Verdict, know
from woodmove.contract.notes import Assumption, Caution, Note, Warning, assumption, note, warning
from woodmove.contract.plan import Dated
from woodmove.contract.quantity import (
    CHANCE,
    DAYS,
    FINE_LENGTH,
    HUMIDITY,
    LENGTH,
    MOISTURE,
    POINTS,
    SLOT,
    TEMPERATURE,
    Quantity,
)
from woodmove.contract.ranges import Range
from woodmove.contract.shown import Shown, results
from woodmove.physics.arrays import Array, rows_at
from woodmove.physics.diffusivity import DIFFUSIVITIES
from woodmove.physics.sorption import rh_for_mc_pct

MILESTONES_DAYS = (3, 7, 14, 28, 56)
# Nobody plans on a wait longer than this without asking what would shorten it: a heated room takes two to six
# weeks (status: common practice).
LONG_DAYS = 42.0
# A top whose width nobody said.
USUAL_TOP_MM = 914.4


TO_READY = Quantity("days_to_ready", ("days", 1, 1), ("days", 1, 1))


@results
class Milestone:
    """A day of the drying."""

    day: Annotated[int, Shown("day", None, "key")]
    mc_pct: Annotated[Range, Shown("MC", MOISTURE, "key")]
    core_less_shell_points: Annotated[Range, Shown("core less shell", POINTS, "key")]


@results
class Ready:
    """When lumber is ready: no days where this air never makes it so, no dates where nobody said when it was
    stacked."""

    mc_mean_pct: Annotated[float, Shown("MC mean", MOISTURE)]
    target_mc_pct: Annotated[float, Shown("target MC", MOISTURE, "key")]
    air_emc_pct: Annotated[float, Shown("EMC of the air where it stands", MOISTURE)]
    days_to_ready: Annotated[Range | None, Shown("ready after", TO_READY, "headline")]
    ready_even_on: Annotated[date | None, Shown("ready, as likely as not, on")]
    ready_likely_on: Annotated[date | None, Shown("ready, 8 in 10, on")]
    keeps_until: Annotated[date | None, Shown("keeps until")]
    never_ready_pct: Annotated[float, Shown("chance that this air never makes it ready", CHANCE)]
    wait_for_mean_days: Annotated[float | None, Shown("until the mean is near enough", DAYS)]
    wait_for_core_shell_days: Annotated[float | None, Shown("until core and shell agree", DAYS)]
    wait_for_release_days: Annotated[float | None, Shown("until the halves bend little", DAYS)]
    tolerance_points: Annotated[float, Shown("mean within", POINTS)]
    core_shell_limit_points: Annotated[float, Shown("core and shell within", POINTS)]
    release_limit_mm: Annotated[float | None, Shown("the halves bend less than", FINE_LENGTH)]
    glued_now_mm: Annotated[float | None, Shown("glued now, it ends off by", SLOT, "key")]
    hold_rh_pct: Annotated[float | None, Shown("RH that makes it ready", HUMIDITY, "key")]
    hold_days: Annotated[float | None, Shown("held for", DAYS)]
    measure_next: Annotated[Note | None, Shown("measure next", None, "key")]
    measures: Annotated[tuple[MeasureNext, ...], Shown("what to measure next")]
    mc_when_ready_pct: Annotated[Range | None, Shown("MC on the day on which it is ready", MOISTURE)]
    mc_at_build_pct: Annotated[Range | None, Shown("MC on the build day", MOISTURE)]
    chance_pct: Annotated[float | None, Shown("chance that it is ready then", CHANCE)]
    milestones: Annotated[tuple[Milestone, ...], Shown("milestones")]
    course: Annotated[tuple[CourseDay, ...], Shown("course")]
    faster: Annotated[tuple[Faster, ...], Shown("what would speed it up", None, "key")]
    checks: Annotated[tuple[Dated, ...], Shown("dated checks")]


def acclimate(
    stock: Stock,
    air: Air,
    goal: Goal,
    draws: Draws,
    *,
    today: date,
    start: date | None = None,
    build: date | None = None,
    home: Air | None = None,
    top_width_mm: float | None = None,
    model: str = "synthesis",
) -> Answer[Ready]:
    """Days from its stacking until nine tenths of a lot are ready to work, and what would speed it up.

    :param today: before which it is not asked for: lumber that was ready and is so no more waits again
    :param start: day on which it is stacked, for dates
    :param build: day on which it must be ready, None where nobody said so
    :param home: the air where the top will live, None where the lumber dries there
    :param top_width_mm: of the top, for what it costs to glue too early
    :param model: name of the diffusivity
    :raises Refusal: density unknown
    """
    gone = 0.0 if start is None else days_gone(start, today)
    courses, points, sorption, room = _courses(stock, air, draws, model)
    mean, core, shell, tilt, follows = (
        courses.at(table, points)
        for table in (courses.mean, courses.core, courses.shell, courses.tilt, courses.follows)
    )
    target = goal.in_wood(sorption, room, _room(draws, doubt.OTHER_ROOM, goal.sd_points))
    found = measures(stock, goal, target, mean, core, shell, tilt, PILE_POINTS * np.abs(follows))
    days = when(found.unready[1:], np.full(draws.draws, 1.0 / draws.draws), TIMES, gone)
    at_goal = days.even is not None and days.even <= gone
    tried = sooner(stock, air, goal, model, gone, home)
    wait = days_range(days, draws, gone)
    hold = None if at_goal else tried.hold
    left = None if start is None or build is None else _left(build, start)
    worth = () if at_goal or wait is None else _measures(days.first, mean, sorption + room, gone, air)
    ready = Ready(
        mc_mean_pct=stock.mean_pct,
        target_mc_pct=goal.target_pct,
        air_emc_pct=float(air.at(TIMES[:1])[1][0]),
        days_to_ready=wait,
        ready_even_on=on_day(start, days.even),
        ready_likely_on=on_day(start, days.likely),
        keeps_until=on_day(start, days.until),
        never_ready_pct=days.never_pct,
        wait_for_mean_days=_missed_until(found.mean, days),
        wait_for_core_shell_days=_missed_until(found.core_shell, days),
        wait_for_release_days=None if found.release is None else _missed_until(found.release, days),
        tolerance_points=goal.tolerance_points,
        core_shell_limit_points=CORE_SHELL_POINTS,
        release_limit_mm=RELEASED_MM if stock.resawn else None,
        glued_now_mm=None if at_goal else _glued_now_mm(stock, goal, top_width_mm),
        hold_rh_pct=hold and hold.rh_pct,
        hold_days=hold and hold.days,
        measure_next=said(worth),
        measures=worth,
        mc_when_ready_pct=None if days.even is None else _on(days.even, mean, draws),
        mc_at_build_pct=None if left is None else _on(left, mean, draws),
        chance_pct=None if left is None else days.chance_pct(left),
        milestones=_milestones(mean, core - shell, draws),
        course=course_of(mean, draws),
        faster=() if at_goal else tried.rows,
        checks=_checks(days, start, today),
    )
    return Answer(
        _verdict(days, wait, goal, start, gone, tried.hold, tried.home),
        ready,
        (
            *air.notes,
            *_warnings(stock, model, air, courses.ends),
            *(() if start is None else stacked_long_ago(start, gone)),
            *_too_early(ready.glued_now_mm, stock, goal, top_width_mm, gone),
            *on_the_day(ready.chance_pct, ready.mc_at_build_pct, build, today),
            *CAUTIONS,
            *oven_of(worth),
            *_assumptions(stock, air, goal, model, top_width_mm),
        ),
        ("siau-transport", "nordic-creep", "sonderegger-2011", "simpson-1973", "fpl-gtr-190"),
    )


def _on(day: float, mean: Array, draws: Draws) -> Range:
    """The mean moisture content on a day from the stacking on."""
    return draws.range(rows_at(day, TIMES, mean))


def _courses(stock: Stock, air: Air, draws: Draws, model: str) -> tuple[Courses, list[Array], Array, Array]:
    """The boards through time; where among them each draw lies; how far sorption and the room's air are off
    in each [points]."""
    start_sd = float(np.hypot(doubt.METER_BIAS.sd, doubt.METER_NOISE.sd * stock.mc_readings**-0.5))
    air_sd = float(np.hypot(doubt.SORPTION.sd, air.sd_points))
    courses = Courses(stock, air, TIMES, start_sd=start_sd, air_sd=air_sd, model=model)
    noise = draws.deviation(doubt.METER_NOISE, stock.mc_readings**-0.5)
    sorption, room = draws.deviation(doubt.SORPTION), _room(draws, doubt.ROOM, air.sd_points)
    points = [
        draws.deviation(doubt.DIFFUSIVITY) / doubt.DIFFUSIVITY.sd,
        draws.deviation(doubt.EMISSION) / doubt.EMISSION.sd,
        (draws.deviation(doubt.METER_BIAS) + noise) / start_sd,
        (sorption + room) / air_sd,
    ]
    return courses, points, sorption, room


def _measures(first: Array, mean: Array, off: Array, gone: float, air: Air) -> tuple[MeasureNext, ...]:
    """What to measure next, a week being left to weigh again.

    :param off: how far the wood ends from the EMC equation in this air [points]
    """
    now, later = (rows_at(day, TIMES, mean) for day in (gone, gone + WEIGHED_AGAIN_DAYS))
    seen = would_show(mean_now=now, mean_later=later, off=off, logged=not air.sd_points)
    return measure_next(first, np.full(len(first), 1.0 / len(first)), tuple(seen))


def _left(build: date, start: date) -> float:
    """Days from the stacking to the build, as far as lumber is followed."""
    return float(np.clip((build - start).days, 0.0, HORIZON_DAYS))


def _checks(days: When, start: date | None, today: date) -> tuple[Dated, ...]:
    """What to look at, and on which day."""
    even = on_day(start, days.even)
    return () if even is None else (Dated(date=max(even, today), check=READY(when=start)),)


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
METER_AGAIN = note("METER_AGAIN", "Meter it, and say that it is stacked today.")
SMALLER = note(
    "SMALLER", "Sticker it, or rip or plane it thinner first: it is too thick to settle in this air."
)


# Lumber that has stood for longer than it is followed.
FOLLOWED_NO_MORE = know(METER_AGAIN())


def _verdict(
    days: When, wait: Range | None, goal: Goal, start: date | None, gone: float, hold: Holding | None,
    home_days: float | None,
) -> Verdict:  # fmt: skip
    if gone >= HORIZON_DAYS:
        return FOLLOWED_NO_MORE
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
            "told.",
            {"horizon_days": HORIZON_DAYS, "when": start},
        ),
    )


def _glued_now_mm(stock: Stock, goal: Goal, top_width_mm: float | None) -> float:
    return _narrower_mm(stock, top_width_mm, abs(stock.mean_pct - goal.target_pct))


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
    glued_now_mm: float | None, stock: Stock, goal: Goal, top_width_mm: float | None, gone: float
) -> tuple[Warning, ...]:
    """What it costs to glue before it is ready."""
    if (
        glued_now_mm is None
        or gone >= HORIZON_DAYS
        or abs(stock.mean_pct - goal.target_pct) <= goal.tolerance_points
    ):
        return ()
    way = "narrower" if stock.mean_pct > goal.target_pct else "wider"
    return (
        GLUED_NOW(
            width_mm=top_width_mm or USUAL_TOP_MM, glued_now_mm=glued_now_mm, way=way,
            target_mc_pct=goal.target_pct,
        ),
    )  # fmt: skip


TOO_EARLY = warning(
    "NOT_SURE_ON_THE_DAY",
    "On {day} the chance is {chance_pct}: it will be at about {mc_pct}. Meter it before you glue.",
    day=None, chance_pct=CHANCE, mc_pct=MOISTURE,
)  # fmt: skip


def on_the_day(
    chance_pct: float | None, mc_pct: Range | None, build: date | None, today: date
) -> tuple[Warning, ...]:
    """What to know of a day that is asked for, where it is not nearly sure."""
    if build is None or build < today or chance_pct is None or mc_pct is None or chance_pct >= 80.0:
        return ()
    return (TOO_EARLY(day=build, chance_pct=chance_pct, mc_pct=mc_pct.expected),)


def _missed_until(measure: Array, days: When) -> float | None:
    """Day up to which a measure is missed before the lot is ready, at the central inputs."""
    if days.even is None:
        return None
    missed = np.flatnonzero((measure[0] > 1.0) & (days.even > TIMES))
    last = float(TIMES[missed[-1] + 1]) if len(missed) else 0.0
    return min(last, days.even)


def _milestones(mean: Array, uneven: Array, draws: Draws) -> tuple[Milestone, ...]:
    at = np.searchsorted(TIMES, MILESTONES_DAYS)
    return tuple(
        Milestone(
            day=day,
            mc_pct=draws.range(mean[:, place]),
            core_less_shell_points=draws.range(uneven[:, place]),
        )
        for day, place in zip(MILESTONES_DAYS, at, strict=True)
    )


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
