"""woodmove glue-up: is there time enough, how hard to clamp, and when to plane the joints."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

import numpy as np

from woodmove.extend.api import (
    Adhesive,
    Catalogue,
    CommandSpec,
    Draws,
    Note,
    Range,
    Request,
    Stage,
    UntypedAnswer,
    Warning,
    balanced,
    groups,
    sections_text,
)
from woodmove.extend.science import Array, doubt, movement
from woodmove_glue import water
from woodmove_glue.clock import LEAST_PRESSED, allowed_min, margin_min
from woodmove_glue.loader import clamps
from woodmove_glue.parameters import MOST_HANDS, PARAMS, GlueUpRequest, plan_of, usual_clamps
from woodmove_glue.words import CAUTIONS, SURE, against, assumptions, practice, warnings

# A week is generally enough for the water of a glue to leave its seams (source: woodweb-joints).
WEEK_DAYS = 7.0
# What a shop should be warmer than the adhesive needs: no thermometer is better (status: judgement).
SPARE_C = 2


@dataclass(frozen=True)
class _Tried:
    """A glue-up against the clock, in draws: what it takes, what the glue allows, what is left [min]."""

    plan: GlueUpRequest
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
            reasons.append("too little pressure")
        return reasons

    def of(self, **changes: Any) -> "_Tried":
        """The same with another plan."""
        return replace(self, plan=replace(self.plan, **changes))


def run(request: Request, catalogue: Catalogue) -> UntypedAnswer:
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
        "unstressed_h": plan.hours[1],
        **_water(plan, request, draws),
        "instead": _instead(tried, catalogue) if tried.because else [],
        "before": [{"when": when, "do": what} for when, what in practice(plan)],
    }
    return UntypedAnswer(
        "glue-up",
        _inputs(request, catalogue, plan),
        results,
        warnings=(
            *against(plan),
            *warnings(plan, tried.chance, results["clock"], results["glue_water"]),
            *_too_late(results["glue_water"], request),
        ),
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


def _inputs(request: Request, catalogue: Catalogue, plan: GlueUpRequest) -> dict[str, Any]:
    inputs = groups.inputs_of(request, catalogue)
    for name in ("glue_strips", "joined_sections", "mc_readings", "level_step_mm"):
        inputs.pop(name, None)
    return inputs | {"adhesive": plan.adhesive.key}


def _clamping(plan: GlueUpRequest) -> list[dict[str, Any]]:
    """Pressure, force and clamps: the least and the most that is told, and what there is."""

    def row(words: str, number: int, mpa: float | None) -> dict[str, Any]:
        force = None if mpa is None else mpa * plan.work.joint_m2 * 1000.0
        fit = number <= plan.room_for_clamps
        return {
            "pressure": words if fit else f"{words}, too many to fit",
            "on_joint_mpa": mpa,
            "force_kn": force,
            "clamps": number,
            "spacing_mm": plan.length_mm / number if fit else None,
        }

    if plan.pressure_mpa is None:
        return [row("until the joint closes", plan.work.clamps, None)]
    told = zip(("least told", "most told"), plan.pressure_mpa, strict=True)
    rows = [row(words, plan.clamps_for(mpa, plan.clamp), mpa) for words, mpa in told]
    have = "with what there is" if plan.told_clamps else "reckoned with"
    return [*rows, row(have, plan.work.clamps, plan.gives_mpa)]


def _water(plan: GlueUpRequest, request: Request, draws: Draws) -> dict[str, Any]:
    """What the water of the glue does, and how long the joints wait: for it, and for the glue itself."""
    cured = plan.hours[1] / 24.0
    wait, found, by_joint = np.full(draws.draws + 1, cured), {}, []
    joint = plan.joint
    if plan.adhesive.water_pct == 0.0:
        nothing = Range(0.0, 0.0, 0.0)
        found = {"adds_points": nothing, "wider_mm": nothing}
    elif joint is not None:
        adds = joint.rise_points * plan.work.joints / plan.work.strips * draws.factor(doubt.GLUE_SPREAD)
        if joint.soaked:
            return {"glue_water": {"adds_points": draws.range(adds)}, "checks": []}
        moves = movement.movement(plan.top, draws)
        # A seam stands up by half of what the wood beside it swells through the whole top.
        by_joint = [
            0.5 * plan.deep_mm * moves.thickness[:, None] * water.seam_points(each, draws)
            for each in (joint, plan.section_joint)
            if each is not None
        ]
        steps = by_joint[0]
        wait = np.maximum(water.wait_days(steps, request["level_step_mm"]), cured)
        found = {
            "adds_points": draws.range(adds),
            "wider_mm": draws.range(plan.top.width_mm * moves.width * adds),
            "after_a_day_step_mm": draws.range(water.on_day(steps, 1.0)),
            "after_a_week_step_mm": draws.range(water.on_day(steps, WEEK_DAYS)),
        }
    waits = draws.range(np.ceil(wait))
    if waits.expected >= water.DAYS[-1]:
        return {"glue_water": found, "checks": []}
    found["wait_days"] = waits
    if len(by_joint) > 1:
        found["sections_step_mm"] = draws.range(water.on_day(by_joint[1], waits.expected))
    return {"glue_water": found, "checks": _checks(request, waits)}


def _checks(request: Request, wait: Range) -> list[dict[str, Any]]:
    """When to plane the joints; where only the build is dated, by when to glue the last one. Nothing that is
    too late by now."""
    days, today = timedelta(days=wait.expected), groups.today_of(request)
    if request["glue_date"] is not None:
        day, code = max(request["glue_date"] + days, today), "JOINTS_LEVEL"
        words = "Plane the glued joints for good from {day} on"
    elif request["build_date"] is not None and request["build_date"] - days >= today:
        day, code = request["build_date"] - days, "LAST_JOINT"
        words = "Glue the last joint by {day}"
    else:
        return []
    text = words + ": glue and its water take {wait_days} before the joints may be planed for good."
    return [{"date": day, "check": Note(code, text, {"day": day.isoformat(), "wait_days": wait})}]


def _too_late(glue_water: Mapping[str, Any], request: Request) -> tuple[Warning, ...]:
    build, glued, wait = request["build_date"], request["glue_date"], glue_water.get("wait_days")
    if build is None or wait is None:
        return ()
    today = groups.today_of(request)
    day = max((glued or today) + timedelta(days=wait.expected), today)
    if day <= build:
        return ()
    words = "Glued today, {today}" if glued is None else "Glued on {glued}"
    text = words + ", the joints may be planed for good from {day} on, and not by {build}."
    values = {"glued": glued, "today": today, "day": day, "build": build}
    return (Warning("LEVEL_TOO_LATE", text, values),)


def _instead(tried: _Tried, catalogue: Catalogue) -> list[dict[str, Any]]:
    """What would make it a go, each with its margin; two things together where no one of them does, but for
    another adhesive."""
    others = [_with(tried, adhesive) for adhesive in _adhesives(tried, catalogue)]
    laid = [("each strip laid as soon as it is spread", _worked(tried, first_all=False))]
    clamped, warmer = list(_clamps(tried)), _temperatures(tried)
    first = [
        laid if tried.plan.work.first_all else [],
        _smaller(tried),
        _more_hands(tried),
        *([way] for way in clamped),
    ]
    before, swapped, after = (
        [row for way in ways for row in _first_go(way)]
        for ways in (first, [[way] for way in others], [warmer])
    )
    found = [*before, *swapped, *after]
    if before or after:
        return found
    # Two things together, another adhesive among them only where none helps alone. Of the temperatures only
    # what warms a shop that is too cold: cooler by a degree helps little.
    pairs = [*clamped, *([] if swapped else others), *(warmer if tried.plan.too_cold else [])]
    both = [
        [(f"{name}, {words}", more) for words, more in changed(other)]
        for name, other in pairs
        for changed in (_more_hands, _smaller, _clamps)
    ]
    return [*(row for way in both for row in _first_go(way)), *found]


_Ways = Sequence[tuple[str, _Tried]]


def _first_go(ways: _Ways) -> Iterator[dict[str, Any]]:
    for words, other in ways:
        if not other.because:
            chance = 100.0 * other.chance
            yield {"instead": words, "margin_min": float(other.margin[0]), "in_time_chance_pct": chance}
            return


def _worked(tried: _Tried, **changes: Any) -> _Tried:
    return tried.of(work=replace(tried.plan.work, **changes))


def _smaller(tried: _Tried) -> _Ways:
    strips = tried.plan.work.strips
    return [
        (f"sections of {sections_text(balanced(strips, count))} strips", _worked(tried, strips=count))
        for count in range(strips - 1, 1, -1)
    ]


def _more_hands(tried: _Tried) -> _Ways:
    return [
        (f"{people} people", _worked(tried, hands=people))
        for people in range(tried.plan.work.hands + 1, MOST_HANDS + 1)
    ]


def _clamps(tried: _Tried) -> Iterator[tuple[str, _Tried]]:
    """The least pressure by each kind of clamp, where so many fit."""
    plan = tried.plan
    if plan.pressure_mpa is None:
        return
    for clamp in clamps().values():
        number = plan.clamps_for(plan.pressure_mpa[0], clamp)
        if number <= plan.room_for_clamps:
            yield f"{number} × {clamp.name}", _worked(tried, clamps=number).of(clamp=clamp)


def _adhesives(tried: _Tried, catalogue: Catalogue) -> list[Adhesive]:
    """All other types, the fastest first."""
    others = [adhesive for _, adhesive in catalogue.adhesives if adhesive.key != tried.plan.adhesive.key]
    return sorted(others, key=lambda adhesive: adhesive.assembly_min)


def _with(tried: _Tried, adhesive: Adhesive) -> tuple[str, _Tried]:
    other = tried.of(adhesive=adhesive)
    return adhesive.name, other if tried.plan.told_clamps else _worked(other, clamps=usual_clamps(other.plan))


def _temperatures(tried: _Tried) -> _Ways:
    """Cooler by whole degrees down to a little above the least that the glue bears; up to there where the
    shop is too cold."""
    shop, least = tried.plan.shop, math.ceil(tried.plan.adhesive.temp_low_c) + SPARE_C
    cooler = range(math.ceil(shop.temp_c) - 1, least - 1, -1)
    return [
        (
            f"the shop at {temp} °C ({temp * 1.8 + 32:.0f} °F)",
            tried.of(shop=replace(shop, temp_c=float(temp))),
        )
        for temp in ([least] if tried.plan.too_cold else cooler)
    ]


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
    line="Is it closed in time, and pressed enough?",
    stage=Stage.GLUE,
)
