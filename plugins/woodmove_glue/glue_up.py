"""woodmove glue-up: go, go with what, or stop; how hard to clamp, and when to plane the joints."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from woodmove.extend.api import (
    Answer,
    Catalogue,
    CommandSpec,
    Dated,
    Draws,
    Range,
    Request,
    Stage,
    Warning,
    groups,
    note,
    quantity,
    warning,
)
from woodmove.extend.science import doubt, movement
from woodmove_glue import water
from woodmove_glue.clock import KG_PER_LITRE
from woodmove_glue.parameters import PARAMS, GlueUpRequest, plan_of
from woodmove_glue.results import GlueUp, OneOf, Pressing, Step, Time, Water
from woodmove_glue.tried import FAULTS, Tried, instead
from woodmove_glue.verdict import verdict
from woodmove_glue.words import CAUTIONS, assumptions, steps, warnings

# A week is generally enough for the water of a glue to leave its seams (source: woodweb-joints).
WEEK_DAYS = 7.0
# Glue to buy for what goes onto the joints: what squeezes out, and what stays in bottle and brush (status:
# judgement).
BUY = 1.5

GLUE = note("GLUE", "Glue the strips. Meter them first.")
JOIN = note("JOIN", "Join the {sections} sections: the glue in them is hard.", sections=None)
NO_WATER = Water(
    adds_points=None, wider_mm=None, after_a_day_step_mm=None, after_a_week_step_mm=None, wait_days=None
)
JOINTS_LEVEL = note(
    "JOINTS_LEVEL",
    "Plane the glued joints for good: glue and its water take about {wait_days}.",
    wait_days=quantity.DAYS,
)
LEVEL_TOO_LATE = warning(
    "LEVEL_TOO_LATE",
    "Glued on {glued}, the joints may be planed for good from {day} on, and not by {build}.",
    glued=None, day=None, build=None,
)  # fmt: skip


@groups.of_one_species
def ask(request: Request, catalogue: Catalogue) -> Answer[GlueUp]:
    """Go, go with, or stop, with the margin; clamps, glue to buy, and the water of the glue."""
    request = groups.as_glued(request)
    draws = Draws(request.draws, request.seed)
    plan = plan_of(request, catalogue)
    time, hands = (np.exp(draws.deviation(each)) for each in (doubt.ADHESIVE_TIME, doubt.HANDS))
    glue_ups = [(Tried(each, time, hands), times) for each, times in plan.glue_ups]
    tries = [tried for tried, _ in glue_ups]
    worst = min(tries, key=lambda each: (not each.because, not each.faults, each.chance))
    ways = instead(worst, catalogue) if worst.faults else []
    because = list(dict.fromkeys(fault for each in tries for fault in each.because))
    helped = worst.helped if worst.slow else None
    spread = draws.range(
        sum(times * each.plan.work.glued_m2 for each, times in glue_ups)
        * plan.adhesive.spread_g_m2
        * draws.factor(doubt.GLUE_SPREAD)
    )
    glue_water, wait = _water(plan, request, draws)
    found = GlueUp(
        because=", ".join(FAULTS[fault] for fault in because) or None,
        strip_count=plan.work.strips,
        joint_count=plan.work.joints,
        glued_m2=plan.work.glued_m2,
        margin_min=draws.range(worst.margin),
        in_time_chance_pct=100.0 * worst.chance,
        needs_met_chance_pct=None if because or helped is None else 100.0 * helped.chance,
        hands=plan.work.hands if helped is None else helped.plan.work.hands,
        clamp_count=plan.work.clamps,
        more_clamps=plan.more_clamps,
        temp_least_c=plan.adhesive.temp_low_c,
        glue_to_spread_g=spread,
        glue_to_buy_ml=BUY * spread.expected / KG_PER_LITRE,
        # What stops has no steps: it says what to do instead.
        steps=() if because else tuple(Step(step=n, do=do) for n, do in enumerate(steps(plan), start=1)),
        glue_ups=tuple(_glue_up(each, times, draws) for each, times in glue_ups),
        clock=_clock(tries[0], draws),
        clamping=tuple(_clamping(plan)),
        unstressed_h=plan.hours[1],
        set_days=plan.set_days,
        glued_on=_glued(plan, request),
        joined_on=_joined(plan, request),
        glue_water=glue_water,
        checks=() if wait is None else tuple(_checks(plan, request, wait)),
        instead=tuple(ways),
    )
    return Answer(
        verdict(tries, ways, None if wait is None else wait.expected),
        found,
        (
            *warnings(plan, glue_water),
            *_too_late(wait, plan, request),
            *CAUTIONS,
            *assumptions(plan, request),
        ),
        (
            plan.adhesive.known.source,
            "clamp-pressure",
            "woodweb-joints",
            "wengert-gaps",
            "fpl-gtr-190",
            *(() if plan.adhesive.water_pct == 0 else ("siau-transport", "nordic-creep")),
        ),
    )


def _clock(tried: Tried, draws: Draws) -> tuple[Time, ...]:
    """The two times of a glue-up: what they take, what the glue allows, and what is left."""
    work, (opened, whole) = tried.plan.work, tried.allowed
    return tuple(
        Time(
            time=words,
            takes_min=draws.range(takes * tried.hands),
            allowed_min=draws.range(allowed * tried.time),
            margin_min=draws.range(allowed * tried.time - takes * tried.hands),
        )
        for words, takes, allowed in (
            ("open: a joint from its spreading to its closing", work.open_min, opened),
            ("in all: from the first spreading to the last clamp", work.whole_min, whole),
        )
    )


def _glue_up(tried: Tried, times: int, draws: Draws) -> OneOf:
    """One glue-up of the top, as a row: what is glued, how often, and its clock."""
    work = tried.plan.work
    return OneOf(
        what=f"{work.strips} {'sections joined' if tried.plan.joining else 'strips'}",
        times=times,
        joints=work.joints,
        takes_min=draws.range(work.whole_min * tried.hands),
        in_time_chance_pct=100.0 * tried.chance,
    )


def _clamping(plan: GlueUpRequest) -> list[Pressing]:
    """Pressure, force and clamps: the least and the most that a maker wants, and what there is."""

    def row(words: str, number: int, mpa: float | None) -> Pressing:
        force = None if mpa is None else mpa * plan.work.joint_m2 * 1000.0
        fit = number <= plan.room_for_clamps
        return Pressing(
            pressure=words if fit else f"{words}, too many to fit",
            on_joint_mpa=mpa,
            force_kn=force,
            clamps=number,
            spacing_mm=plan.length_mm / number if fit else None,
        )

    if plan.pressure_mpa is None:
        return [row("until the joint closes", plan.work.clamps, None)]
    wanted = zip(("maker wants at least", "maker wants at most"), plan.pressure_mpa, strict=True)
    rows = [row(words, plan.clamps_for(mpa, plan.clamp), mpa) for words, mpa in wanted]
    have = "your clamps give" if plan.told_clamps else "as many as usual give"
    return [*rows, row(have, plan.work.clamps, plan.gives_mpa)]


def _water(plan: GlueUpRequest, request: Request, draws: Draws) -> tuple[Water, Range | None]:
    """What the water of the glue does, and how long the joints wait for it and for the glue itself; None
    where they never lie level. The joints between sections wait by the same rule, and are the last."""
    cured = plan.hours[1] / 24.0
    wait, found = np.full(draws.draws + 1, cured), NO_WATER
    joint = plan.joint
    if plan.adhesive.water_pct == 0.0:
        nothing = Range(0.0, 0.0, 0.0)
        found = replace(found, adds_points=nothing, wider_mm=nothing)
    elif joint is not None:
        adds = joint.rise_points * plan.work.joints / plan.work.strips * draws.factor(doubt.GLUE_SPREAD)
        if joint.soaked:
            return replace(found, adds_points=draws.range(adds)), None
        moves = movement.movement(plan.top, draws)
        found = replace(
            found,
            adds_points=draws.range(adds),
            wider_mm=draws.range(plan.top.width_mm * moves.width * adds),
        )
        for glue_up, _ in plan.glue_ups:
            assert glue_up.joint is not None
            # A seam stands up by half of what the wood beside it swells through the whole top.
            steps_mm = 0.5 * plan.deep_mm * moves.thickness[:, None] * water.seam_points(glue_up.joint, draws)
            wait = np.maximum(wait, water.wait_days(steps_mm, movement.FELT_MM))
            # Those of the last glue-up count.
            found = replace(
                found,
                after_a_day_step_mm=draws.range(water.on_day(steps_mm, 1.0)),
                after_a_week_step_mm=draws.range(water.on_day(steps_mm, WEEK_DAYS)),
            )
    waits = draws.range(np.ceil(wait))
    if waits.expected >= water.DAYS[-1]:
        return found, None
    return replace(found, wait_days=waits), waits


def _glued(plan: GlueUpRequest, request: Request) -> date | None:
    """The day of the glue-up: as told, else the first on which the strips may be glued; None where they are
    too wet for it. What is glued already was dry enough for somebody."""
    told, today = request["glue_date"], groups.today_of(request)
    if plan.too_wet and (told is None or told > today):
        return None
    return told or max(request["ready_date"] or today, today)


def _joined(plan: GlueUpRequest, request: Request) -> date | None:
    """The day of the last glue-up: sections are joined when the glue in them is hard."""
    days = 0 if plan.joined is None else plan.set_days
    glued = _glued(plan, request)
    return None if glued is None else glued + timedelta(days=days)


def _checks(plan: GlueUpRequest, request: Request, wait: Range) -> Iterator[Dated]:
    """When to glue, to join and to plane the joints, from today on; nothing where no day is known."""
    if not any(request[name] for name in ("glue_date", "ready_date", "build_date")):
        return
    today, glued, joined = groups.today_of(request), _glued(plan, request), _joined(plan, request)
    if glued is None or joined is None:
        return
    day = max(joined + timedelta(days=wait.expected), today)
    if request["glue_date"] is None:
        yield Dated(date=glued, check=GLUE())
    if plan.joined is not None and joined >= today:
        yield Dated(date=joined, check=JOIN(sections=plan.sections))
    yield Dated(date=day, check=JOINTS_LEVEL(wait_days=wait.expected))


def _too_late(wait: Range | None, plan: GlueUpRequest, request: Request) -> tuple[Warning, ...]:
    build = request["build_date"]
    if build is None or wait is None:
        return ()
    glued = _joined(plan, request)
    if glued is None:
        return ()
    day = max(glued + timedelta(days=wait.expected), groups.today_of(request))
    return () if day <= build else (LEVEL_TOO_LATE(glued=glued, day=day, build=build),)


GLUE_UP = CommandSpec(
    "glue-up",
    "Whether a glue-up is closed before the glue sets, how hard to clamp it, and when its joints may be "
    "planed.",
    (
        "woodmove glue-up --species douglas-fir-coast --strips 8 --strip-thickness 1-3/8in "
        "--strip-width 3-1/4in --length 47in --mc-now 8 --temp 66F --rh 40 --clamps 16",
        "woodmove glue-up --species sugar-maple --strips 6 --strip-thickness 1-1/2in --strip-width 1in "
        "--length 30in --adhesive pva-slow --people 2 --clamps 5 --spread roller",
    ),
    PARAMS,
    ask,
    table="clock",
    line="Is it closed in time, and pressed enough?",
    stage=Stage.GLUE,
)
