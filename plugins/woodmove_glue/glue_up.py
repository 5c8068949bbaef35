"""woodmove glue-up: is there time enough, how hard to clamp, and when to plane the joints."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

import numpy as np

from woodmove.extend.api import (
    Answer,
    Array,
    Catalogue,
    CommandSpec,
    Draws,
    Note,
    Range,
    Request,
    density,
    doubt,
    groups,
    movement,
)
from woodmove_glue import water
from woodmove_glue.asked import MOST_HANDS, PARAMS, Plan, plan_of, usual_clamps
from woodmove_glue.clock import LEAST_PRESSED, allowed_min, hours, margin_min
from woodmove_glue.loader import clamps
from woodmove_glue.words import CAUTIONS, SURE, against, assumptions, practice, warnings

# A week is generally enough for the water of a glue to leave its seams (source: woodweb-joints).
WEEK_DAYS = 7.0


def no_glue_up(job: Mapping[str, Any]) -> str:
    """Why a job has no glue-up, empty if it has one."""
    if "strip_thickness_mm" not in job:
        return "the job has no [strips] thickness, and no section of strips that tells it"
    if "top_length_mm" not in job:
        return "the job has no [top] length"
    if not {"strip_width_mm", "top_thickness_mm"} & set(job):
        return "the job has neither [pile] strip_width nor a [top] thickness"
    if not {"glue_strips", "top_width_mm"} & set(job):
        return "the job has neither [glue] strips nor a [top] width"
    return ""


@dataclass(frozen=True)
class _Tried:
    """A glue-up against the clock, in draws: what it takes, what the glue allows, what is left [min]."""

    plan: Plan
    time: Array
    hands: Array

    @property
    def allowed(self) -> tuple[float, float]:
        return allowed_min(self.plan.adhesive, self.plan.shop, self.plan.saturation_pct)

    @property
    def margin(self) -> Array:
        return margin_min(self.plan.work, self.allowed, self.time, self.hands)

    @property
    def chance(self) -> float:
        """Of being in time."""
        return float(np.mean(self.margin[1:] > 0))

    @property
    def because(self) -> list[str]:
        """Why it is no go, in a few words each; nothing for a go."""
        reasons = [
            note.code.replace("_", " ").lower().removesuffix(" to glue") for note in against(self.plan)
        ]
        if self.chance < SURE:
            reasons.append("too slow")
        pressure = self.plan.pressure_mpa
        if pressure is not None and self.plan.gives_mpa < LEAST_PRESSED * pressure[0]:
            reasons.append("too few clamps")
        return reasons

    def of(self, **changes: Any) -> "_Tried":
        """The same with another plan."""
        return replace(self, plan=replace(self.plan, **changes))


def run(request: Request, catalogue: Catalogue) -> Answer:
    """Go or no go, with its margin; clamps; the water of the glue."""
    draws = Draws(request.draws, request.seed)
    plan = plan_of(request, catalogue)
    time, hands = (np.exp(draws.deviation(each)) for each in (doubt.ADHESIVE_TIME, doubt.HANDS))
    tried = _Tried(plan, time, hands)
    opened, whole = tried.allowed
    results: dict[str, Any] = {
        "verdict": "no go" if tried.because else "go",
        "because": ", ".join(tried.because) or None,
        "strip_count": plan.work.strips,
        "joint_count": plan.work.joints,
        "glued_m2": plan.work.glued_m2,
        "margin_min": draws.range(tried.margin),
        "in_time_chance_pct": 100.0 * tried.chance,
        "glue_to_spread_g": draws.range(
            plan.work.glued_m2 * plan.adhesive.spread_g_m2 * draws.factor(doubt.GLUE_SPREAD)
        ),
        "clock": [
            {
                "time": words,
                "takes_min": draws.range(takes * hands),
                "allowed_min": draws.range(allowed * time),
                "margin_min": draws.range(allowed * time - takes * hands),
            }
            for words, takes, allowed in (
                ("open: a joint from its spreading to its closing", plan.work.open_min, opened),
                ("in all: from the first spreading to the last clamp", plan.work.whole_min, whole),
            )
        ],
        "clamping": _clamping(plan),
        **_water(plan, request, draws),
        "instead": list(_instead(tried, catalogue)) if tried.because else [],
        "before": [{"when": when, "do": what} for when, what in practice(plan)],
    }
    return Answer(
        "glue-up",
        _inputs(request, plan),
        results,
        warnings=(*against(plan), *warnings(plan, tried.chance, results["clock"][1])),
        cautions=CAUTIONS,
        assumptions=assumptions(plan, request),
        sources=(
            plan.adhesive.known.source,
            "clamp-pressure",
            "woodweb-joints",
            "wengert-gaps",
            "fpl-gtr-190",
            *(() if plan.adhesive.water_pct == 0 else ("siau-transport", "nordic-creep")),
        ),
        columns={
            "instead": ("instead", "margin_min", "in_time_chance_pct"),
            "clock": ("time", "takes_min", "allowed_min", "margin_min"),
        },
    )


def _inputs(request: Request, plan: Plan) -> dict[str, Any]:
    inputs = groups.inputs_of(request)
    for name in ("glue_strips", "mc_readings", "level_step_mm"):
        inputs.pop(name, None)
    return inputs | {"adhesive": plan.adhesive.key}


def _clamping(plan: Plan) -> list[dict[str, Any]]:
    """Pressure, force and clamps: the least and the most that is told, and what there is."""

    def row(words: str, number: int, mpa: float | None) -> dict[str, Any]:
        force = None if mpa is None else mpa * plan.work.joint_m2 * 1000.0
        return {
            "pressure": words,
            "on_joint_mpa": mpa,
            "force_kn": force,
            "clamps": number,
            "spacing_mm": plan.length_mm / number,
        }

    if plan.pressure_mpa is None:
        return [row("until the joint closes", plan.work.clamps, None)]
    told = zip(("least told", "most told"), plan.pressure_mpa, strict=True)
    rows = [row(words, plan.clamps_for(mpa, plan.clamp), mpa) for words, mpa in told]
    have = "with what there is" if plan.told_clamps else "reckoned with"
    return [*rows, row(have, plan.work.clamps, plan.gives_mpa)]


def _water(plan: Plan, request: Request, draws: Draws) -> dict[str, Any]:
    """What the water of the glue does, and how long the joints wait: for it, and for the glue itself."""
    cured = hours(plan.adhesive, plan.shop.temp_c)[1] / 24.0
    wait, found = np.full(draws.draws + 1, cured), {}
    gravity = plan.top.wood.gravity_12
    kg_m2 = plan.adhesive.spread_g_m2 * plan.adhesive.water_pct / 100.0 / 1000.0
    if kg_m2 == 0.0:
        nothing = Range(0.0, 0.0, 0.0)
        found = {"adds_points": nothing, "wider_mm": nothing}
    elif gravity is not None:
        mc = plan.shop.mc_pct
        dry = float(density.density_kg_m3(gravity, mc, plan.saturation_pct)) / (1.0 + mc / 100.0)
        joint = water.Joint(plan.strip_mm, dry, gravity, mc, kg_m2, plan.shop.temp_c)
        moves = movement.movement(plan.top, draws)
        # A seam stands up by half of what the wood beside it swells through the whole top.
        steps = 0.5 * plan.deep_mm * moves.thickness[:, None] * water.seam_points(joint, draws)
        wait = np.maximum(water.wait_days(steps, request["level_step_mm"]), cured)
        adds = joint.rise_points * plan.work.joints / plan.work.strips * draws.factor(doubt.GLUE_SPREAD)
        found = {
            "adds_points": draws.range(adds),
            "wider_mm": draws.range(plan.top.width_mm * moves.width * adds),
            "after_a_day_step_mm": draws.range(water.on_day(steps, 1.0)),
            "after_a_week_step_mm": draws.range(water.on_day(steps, WEEK_DAYS)),
        }
    waits = draws.range(wait)
    return {"glue_water": {**found, "wait_days": waits}, "checks": _checks(request, waits)}


def _checks(request: Request, wait: Range) -> list[dict[str, Any]]:
    days = timedelta(days=math.ceil(wait.expected))
    if request["glue_date"] is not None:
        day, words = request["glue_date"] + days, "Plane the glued joints for good from {day} on"
    elif request["build_date"] is not None:
        day, words = request["build_date"] - days, "Glue the last joint by {day}"
    else:
        return []
    text = words + ": glue and its water take {wait_days} before the joints may be planed for good."
    note = Note("JOINTS_LEVEL", text, {"day": day.isoformat(), "wait_days": wait})
    return [{"date": day, "check": note}]


def _instead(tried: _Tried, catalogue: Catalogue) -> Iterator[dict[str, Any]]:
    """What would make it a go, each with its margin; only what does."""
    plan, work, shop = tried.plan, tried.plan.work, tried.plan.shop

    def first(changed: Iterator[tuple[str, _Tried]]) -> Iterator[dict[str, Any]]:
        for words, other in changed:
            if not other.because:
                chance = 100.0 * other.chance
                yield {"instead": words, "margin_min": float(other.margin[0]), "in_time_chance_pct": chance}
                return

    def worked(words: str, **changes: Any) -> tuple[str, _Tried]:
        return words, tried.of(work=replace(work, **changes))

    if work.first_all:
        yield from first(iter([worked("each strip laid as soon as it is spread", first_all=False)]))
    yield from first(
        worked(f"sections of {_sections(work.strips, count)} strips", strips=count)
        for count in range(work.strips - 1, 1, -1)
    )
    yield from first(
        worked(f"{people} people", hands=people) for people in range(work.hands + 1, MOST_HANDS + 1)
    )
    pressure = plan.pressure_mpa
    if pressure is not None:
        for clamp in clamps().values():
            number = plan.clamps_for(pressure[0], clamp)
            other = tried.of(clamp=clamp, work=replace(work, clamps=number))
            yield from first(iter([(f"{clamp.name}s: {number}", other)]))
    for _, adhesive in sorted(catalogue.adhesives, key=lambda item: item[1].assembly_min):
        if adhesive.key != plan.adhesive.key:
            other = tried.of(adhesive=adhesive)
            if not plan.told_clamps:
                other = other.of(work=replace(work, clamps=usual_clamps(other.plan)))
            yield from first(iter([(adhesive.name, other)]))
    yield from first(
        (f"the shop at {temp:.0f} °C ({temp * 1.8 + 32:.0f} °F)", tried.of(shop=replace(shop, temp_c=temp)))
        for temp in _temperatures(shop.temp_c, plan.adhesive.temp_low_c)
    )


def _sections(strips: int, most: int) -> str:
    """Sections of at most so many strips, as few as will do and as alike: ``7 + 7 + 6``."""
    number = math.ceil(strips / most)
    each, more = divmod(strips, number)
    return " + ".join(str(each + (place < more)) for place in range(number))


def _temperatures(temp_c: float, least_c: float) -> list[float]:
    """Cooler by whole degrees down to the least that the glue bears; up to it where the shop is colder."""
    if temp_c < least_c:
        return [math.ceil(least_c)]
    return [float(temp) for temp in range(math.ceil(temp_c) - 1, math.ceil(least_c) - 1, -1)]


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
    run,
    table="clock",
)
