"""woodmove glue-up: is there time enough, how hard to clamp, and when to plane the joints."""

import math
from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta
from typing import Any

import numpy as np

from woodmove.extend.api import (
    Adhesive,
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
    movement,
)
from woodmove_glue import water
from woodmove_glue.asked import MOST_HANDS, PARAMS, Plan, plan_of
from woodmove_glue.clock import GlueUp, Shop, allowed_min, margin_min, pressure_mpa
from woodmove_glue.loader import clamps
from woodmove_glue.words import CAUTIONS, SURE, against, assumptions, practice, warnings

# A day at least in any case (status: common practice); a week is generally enough (source: woodweb-joints).
LEAST_DAYS, USUAL_DAYS = 1.0, 7.0


def no_glue_up(job: Mapping[str, Any]) -> str:
    """Why a job has no glue-up, empty if it has one."""
    if "strip_thickness_mm" not in job or "top_length_mm" not in job:
        return "the job has no [strips] thickness and no [top] length"
    if not any(name in job for name in ("glue_strips", "top_width_mm")):
        return "the job has neither [glue] strips nor a [top] width"
    return ""


def run(request: Request, catalogue: Catalogue) -> Answer:
    """Go or no go, with its margin; clamps; the water of the glue."""
    draws = Draws(request.draws, request.seed)
    plan = plan_of(request, catalogue)
    time, hands = (np.exp(draws.deviation(each)) for each in (doubt.ADHESIVE_TIME, doubt.HANDS))
    allowed = allowed_min(plan.adhesive, plan.shop, plan.saturation_pct)
    margin = margin_min(plan.work, allowed, time, hands)
    chance = float(np.mean(margin[1:] > 0))
    speaks_against = against(plan)
    go = chance >= SURE and not speaks_against
    clamping = _clamping(plan, request)
    results: dict[str, Any] = {
        "verdict": "go" if go else "no go",
        "strip_count": plan.work.strips,
        "joint_count": plan.work.joints,
        "glued_m2": plan.work.glued_m2,
        "open_takes_min": draws.range(plan.work.open_min * hands),
        "open_allowed_min": draws.range(allowed[0] * time),
        "takes_min": draws.range(plan.work.whole_min * hands),
        "allowed_min": draws.range(allowed[1] * time),
        "margin_min": draws.range(margin),
        "in_time_chance_pct": 100.0 * chance,
        "glue_to_spread_g": draws.range(
            plan.work.glued_m2 * plan.adhesive.spread_g_m2 * draws.factor(doubt.GLUE_SPREAD)
        ),
        "clamping": clamping,
        **_water(plan, request, draws),
        "instead": [] if go else _instead(plan, catalogue, time, hands),
        "before": [{"when": when, "do": what} for when, what in practice(plan)],
    }
    return Answer(
        "glue-up",
        _inputs(request, plan),
        results,
        warnings=(*speaks_against, *warnings(plan, results, request)),
        cautions=CAUTIONS,
        assumptions=assumptions(plan, request),
        sources=(plan.adhesive.known.source, "clamp-pressure", "woodweb-joints", "wengert-gaps",
                 "fpl-gtr-190", *(() if plan.adhesive.water_pct == 0 else ("siau-transport",))),
        columns={"instead": ("instead", "margin_min", "in_time_chance_pct")},
    )  # fmt: skip


def _inputs(request: Request, plan: Plan) -> dict[str, Any]:
    inputs = request.inputs()
    for name in ("glue_strips", "mc_readings", "level_mm"):
        inputs.pop(name, None)
    return inputs | {"adhesive": plan.adhesive.key}


def _clamping(plan: Plan, request: Request) -> dict[str, Any]:
    clamp = clamps()[request["clamp"]]
    low, high = pressure_mpa(plan.top.wood)
    area = plan.work.joint_m2 * 1000.0
    middle = (low + high) / 2.0
    found: dict[str, Any] = {
        "pressure_mpa": Range(middle, low, high),
        "force_kn": Range(middle * area, low * area, high * area),
        "clamps": plan.work.clamps,
        "one_gives_kn": clamp.force_kn,
        "spacing_mm": plan.length_mm / plan.work.clamps,
    }
    if request["clamps"] is not None:
        found["they_give_mpa"] = plan.work.clamps * clamp.force_kn / area
    return found


def _water(plan: Plan, request: Request, draws: Draws) -> dict[str, Any]:
    """What the water of the glue does; nothing for one without."""
    kg_m2 = plan.adhesive.spread_g_m2 * plan.adhesive.water_pct / 100.0 / 1000.0
    gravity = plan.top.wood.gravity_12
    if gravity is None:
        return {}
    if kg_m2 == 0.0:
        still, day = Range(0.0, 0.0, 0.0), Range(LEAST_DAYS, LEAST_DAYS, LEAST_DAYS)
        return {
            "glue_water": {"adds_points": still, "wider_mm": still, "wait_days": day},
            "checks": _checks(request, day),
        }
    dry = float(density.density_kg_m3(gravity, plan.shop.mc_pct, plan.saturation_pct)) / (
        1.0 + plan.shop.mc_pct / 100.0
    )
    joint = water.Joint(plan.strip_mm, dry, gravity, plan.shop.mc_pct, kg_m2, plan.shop.temp_c)
    spread = draws.factor(doubt.GLUE_SPREAD)
    moves = movement.movement(plan.top, draws)
    over = water.seam_points(joint, draws)
    # A seam stands up by half of what the wood beside it swells through the whole top.
    steps = 0.5 * plan.deep_mm * moves.thickness[:, None] * over
    wait = np.maximum(water.wait_days(steps, request["level_mm"]), LEAST_DAYS)
    waits = draws.range(wait)
    joints = plan.work.joints / plan.work.strips
    adds = joint.rise_points * joints * spread
    return {
        "glue_water": {
            "adds_points": draws.range(adds),
            "wider_mm": draws.range(plan.top.width_mm * moves.width * adds),
            "seam_after_a_day_step_mm": draws.range(water.on_day(steps, 1.0)),
            "seam_after_a_week_step_mm": draws.range(water.on_day(steps, USUAL_DAYS)),
            "wait_days": waits,
        },
        "checks": _checks(request, waits),
    }


def _checks(request: Request, wait: Range) -> list[dict[str, Any]]:
    if request["build_date"] is None:
        return []
    return [
        {
            "date": request["build_date"] + timedelta(days=math.ceil(wait.expected)),
            "check": Note(
                "JOINTS_LEVEL",
                "Plane the glued joints no sooner: the water of the glue takes {wait_days} to leave the "
                "seams.",
                {"wait_days": wait},
            ),
        }
    ]


def _instead(plan: Plan, catalogue: Catalogue, time: Array, hands: Array) -> list[dict[str, Any]]:
    """What would make it a go, each with its margin; only what does."""

    def tried(words: str, work: GlueUp, adhesive: Adhesive, shop: Shop) -> dict[str, Any] | None:
        other = replace(plan, work=work, adhesive=adhesive, shop=shop)
        margin = margin_min(work, allowed_min(adhesive, shop, plan.saturation_pct), time, hands)
        chance = float(np.mean(margin[1:] > 0))
        if chance < SURE or against(other):
            return None
        return {"instead": words, "margin_min": float(margin[0]), "in_time_chance_pct": 100.0 * chance}

    work, shop = plan.work, plan.shop
    found: list[dict[str, Any] | None] = []
    fewer = (
        tried(
            f"{math.ceil(work.strips / count)} sections of at most {count} strips",
            work.of(count),
            plan.adhesive,
            shop,
        )
        for count in range(work.strips - 1, 1, -1)
    )
    found.append(next((row for row in fewer if row), None))
    for _, other in sorted(catalogue.adhesives, key=lambda item: item[1].assembly_min):
        if other.assembly_min > plan.adhesive.assembly_min or against(plan):
            found.append(tried(f"{other.name}", work, other, shop))
    colder = (
        tried(
            f"a shop at {temp:.0f} °C ({temp * 1.8 + 32:.0f} °F)",
            work,
            plan.adhesive,
            replace(shop, temp_c=temp),
        )
        for temp in np.arange(math.ceil(shop.temp_c) - 1.0, plan.adhesive.temp_low_c - 0.5, -1.0).tolist()
    )
    found.append(next((row for row in colder if row), None))
    more = (
        tried(f"{people} people", replace(work, hands=people), plan.adhesive, shop)
        for people in range(work.hands + 1, MOST_HANDS + 1)
    )
    found.append(next((row for row in more if row), None))
    return [row for row in found if row]


GLUE_UP = CommandSpec(
    "glue-up",
    "Whether a glue-up is closed before the glue sets, how hard to clamp it, and when its joints may be "
    "planed.",
    (
        "woodmove glue-up --species douglas-fir-coast --strips 8 --strip-thickness 1-3/8in --strip-width "
        "3-1/4in "
        "--length 47in --mc-now 8 --temp 66F --rh 40",
        "woodmove glue-up --species sugar-maple --strips 6 --strip-thickness 1-1/2in --strip-width 1in "
        "--length 30in "
        "--adhesive pva-slow --people 2 --clamps 5 --spread roller",
    ),
    PARAMS,
    run,
    table="instead",
)
