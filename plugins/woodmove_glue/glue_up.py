"""woodmove glue-up: is there time enough, how hard to clamp, and when to plane the joints."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

import numpy as np

from woodmove.extend.api import (
    FLAG,
    LENGTH,
    TEXT,
    TIME,
    WHOLE,
    Adhesive,
    Answer,
    Array,
    Assumption,
    Catalogue,
    Caution,
    CommandSpec,
    Draws,
    Note,
    Param,
    Range,
    Refusal,
    Request,
    Top,
    Warning,
    density,
    doubt,
    groups,
    length_text,
    movement,
)
from woodmove_glue import water
from woodmove_glue.clock import (
    CLAMP_MIN,
    LAY_MIN,
    MC_PCT,
    RH_PCT,
    TEMP_C,
    GlueUp,
    Shop,
    allowed_min,
    margin_min,
    needed_clamps,
    pressure_mpa,
)
from woodmove_glue.loader import clamps, methods

# A go is a glue-up that is closed in time so often (status: judgement).
SURE = 0.9
# What stands over its strip by more is felt and shows under a finish (status: judgement).
LEVEL_MM = 0.025
# A day at least in any case (status: common practice); a week is generally enough (source: woodweb-joints).
LEAST_DAYS, USUAL_DAYS = 1.0, 7.0
MOST_HANDS = 6

PARAMS = (
    *(param.but(required=param.name == "species") for param in groups.WOOD),
    Param("glue_strips", "--strips", WHOLE, "Strips that are glued at once; else as many as make the "
                                            "width", "12",
          "glue.strips", low=2, high=2000),
    groups.TOP_WIDTH.but(required=False, help="Width that is glued at once, instead"),
    groups.STRIP_THICKNESS.but(help="Thickness of a strip as glued"),
    groups.STRIP_WIDTH,
    groups.TOP_THICKNESS.but(help="Width of the joints, where --strip-width is not told"),
    groups.TOP_LENGTH.but(help="Length of the strips"),
    groups.MC_NOW.but(help="Moisture content of the strips, by meter"),
    groups.MC_READINGS,
    groups.SHOP_TEMP.but(help="Temperature of shop, wood and glue"),
    groups.SHOP_RH.but(help="Relative humidity of the shop"),
    Param("adhesive", "--adhesive", TEXT, "Type of adhesive", "pva", "glue.adhesive", default="pva",
          shelf="adhesives"),
    Param("open_time_min", "--open-time", TIME, "Open time on the bottle, instead of the table's", "8min",
          "glue.open_time", low=0.1, high=1440),
    Param("assembly_time_min", "--assembly-time", TIME,
          "Whole assembly time on the bottle, open and closed "
          "together", "15min", "glue.assembly_time", low=0.1,
          high=1440),
    Param("spread_with", "--spread", TEXT, "How the glue is spread", "roller", "glue.spread",
          choices=tuple(methods()), default="brush"),
    Param("both_faces", "--both-faces", FLAG, "Glue on both faces of each joint", "true",
          "glue.both_faces"),
    Param("all_first", "--all-first", FLAG, "All strips are spread before the first joint is closed", "true",
          "glue.all_first"),
    Param("hands", "--people", WHOLE, "People who spread, lay and "
                                      "clamp", "2", "glue.people", default=1, low=1,
          high=MOST_HANDS),
    Param("clamp", "--clamp", TEXT, "Kind of clamp", "pipe", "glue.clamp", choices=tuple(clamps()),
          default="pipe"),
    Param("clamps", "--clamps", WHOLE, "How many clamps there are; else as many as the pressure takes", "8",
          "glue.clamps", low=1, high=1000),
    Param("strip_time_min", "--strip-time", TIME, "Time to spread and lay one strip, as timed in a dry "
                                                  "run", "30s",
          "glue.strip_time", low=0.02, high=60),
    Param("clamp_time_min", "--clamp-time", TIME, "Time to set one clamp, as timed in a dry run", "20s",
          "glue.clamp_time", default=CLAMP_MIN, low=0.02, high=60),
    Param("level_mm", "--level", LENGTH, "How far a seam may stand up when the joint is planed", "0.001in",
          "glue.level", default=LEVEL_MM, low=0.002, high=5),
    groups.BUILD_DATE.but(help="Day of the glue-up"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Plan:
    """One glue-up as asked for.

    :param top: what is glued, as one piece
    :param strip_mm: thickness of a strip
    :param deep_mm: width of a joint
    :param length_mm: of the strips
    """

    top: Top
    work: GlueUp
    shop: Shop
    adhesive: Adhesive
    strip_mm: float
    deep_mm: float
    length_mm: float
    saturation_pct: float


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
    plan = _plan(request, catalogue)
    time, hands = (np.exp(draws.deviation(each)) for each in (doubt.ADHESIVE_TIME, doubt.HANDS))
    allowed = allowed_min(plan.adhesive, plan.shop, plan.saturation_pct)
    margin = margin_min(plan.work, allowed, time, hands)
    chance = float(np.mean(margin[1:] > 0))
    against = _against(plan)
    go = chance >= SURE and not against
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
        "before": [{"when": when, "do": what} for when, what in _practice(plan)],
    }
    return Answer(
        "glue-up",
        _inputs(request, plan),
        results,
        warnings=(*against, *_warnings(plan, results, request)),
        cautions=CAUTIONS,
        assumptions=_assumptions(plan, request),
        sources=(plan.adhesive.known.source, "clamp-pressure", "woodweb-joints", "wengert-gaps",
                 "fpl-gtr-190", *(() if plan.adhesive.water_pct == 0 else ("siau-transport",))),
        columns={"instead": ("instead", "margin_min", "in_time_chance_pct")},
    )  # fmt: skip


def _inputs(request: Request, plan: Plan) -> dict[str, Any]:
    inputs = request.inputs()
    for name in ("glue_strips", "mc_readings", "level_mm"):
        inputs.pop(name, None)
    return inputs | {"adhesive": plan.adhesive.key}


def _plan(request: Request, catalogue: Catalogue) -> Plan:
    strip, length = request["strip_thickness_mm"], request["top_length_mm"]
    deep = request["strip_width_mm"] if request["strip_width_mm"] is not None else request["top_thickness_mm"]
    missing = [
        (name, option, example)
        for name, option, example, value in (
            ("strip_thickness_mm", "--strip-thickness", "1-3/8in", strip),
            ("strip_width_mm", "--strip-width", "3-1/4in", deep),
            ("top_length_mm", "--length", "47in", length),
        )
        if value is None
    ]
    if missing:
        raise Refusal(
            "NO_STRIP_SIZE",
            "The size of a strip is not known.",
            "The area of a joint is the width of a strip times its length.",
            "Add " + " ".join(f"{option} {example}" for _, option, example in missing) + ", for example.",
            fields=tuple(name for name, _, _ in missing),
            exit_code=2,
        )
    count = _count(request, strip)
    adhesive = _as_on_the_bottle(catalogue.adhesives.get(request["adhesive"]), request)
    shop = Shop(
        TEMP_C if request["temp_c"] is None else request["temp_c"],
        RH_PCT if request["rh_pct"] is None else request["rh_pct"],
        MC_PCT if request["mc_now_pct"] is None else request["mc_now_pct"],
    )
    top = groups.strips_top_of(request, catalogue, count * strip)
    saturation = min(member.fibre_saturation_pct for member in top.wood.candidates)
    joint_m2 = deep * length * 1e-6
    faces = 2 if request["both_faces"] else 1
    if request["strip_time_min"] is not None:
        spread, lay = request["strip_time_min"], 0.0
    else:
        spread, lay = faces * joint_m2 / methods()[request["spread_with"]].m2_per_min, LAY_MIN
    middle = sum(pressure_mpa(top.wood)) / 2.0
    force_kn = middle * joint_m2 * 1000.0
    number = request["clamps"] or needed_clamps(force_kn, clamps()[request["clamp"]].force_kn)
    work = GlueUp(
        count,
        joint_m2,
        spread,
        lay,
        number,
        request["clamp_time_min"],
        request["hands"],
        request["all_first"],
    )
    return Plan(top, work, shop, adhesive, strip, deep, length, saturation)


def _count(request: Request, strip_mm: float) -> int:
    if request["glue_strips"] is not None:
        return request["glue_strips"]
    width = request["top_width_mm"]
    if width is None:
        raise Refusal(
            "NO_STRIP_COUNT",
            "Nothing says how many strips are glued at once.",
            "A glue-up is so many strips, or a width.",
            "Type --strips 12, or --top-width 30in.",
            fields=("glue_strips", "top_width_mm"),
            exit_code=2,
        )
    count = round(width / strip_mm)
    if count < 2:
        raise Refusal(
            "TARGET_NARROWER",
            f"A width of {length_text(width)} is no two strips of {length_text(strip_mm)}.",
            "A glue-up takes at least two strips.",
            "Type a greater --top-width, or thinner strips.",
            fields=("top_width_mm", "strip_thickness_mm"),
        )
    return count


def _as_on_the_bottle(adhesive: Adhesive, request: Request) -> Adhesive:
    """The adhesive with the times that its maker gives."""
    opened, whole = request["open_time_min"], request["assembly_time_min"]
    if opened is None:
        opened = adhesive.open_min if whole is None else min(adhesive.open_min, whole)
    if whole is None:
        whole = max(adhesive.assembly_min, opened)
    if opened > whole:
        raise Refusal(
            "OPEN_LONGER_THAN_ALL",
            "The open time is longer than the whole assembly time.",
            "Assembly time is open and closed time together.",
            "Type --open-time 8min --assembly-time 15min, for example.",
            fields=("open_time_min", "assembly_time_min"),
        )
    return replace(adhesive, open_min=opened, assembly_min=whole)


def _against(plan: Plan) -> tuple[Warning, ...]:
    """What speaks against gluing at all, however quick the hands are."""
    notes = []
    adhesive, shop = plan.adhesive, plan.shop
    if shop.temp_c < adhesive.temp_low_c:
        notes.append(
            Warning(
                "TOO_COLD",
                "At {temp_c} this type does not hold: it takes {least_c} at the least, of wood, air and "
                "glue, until "
                "it has set.",
                {"temp_c": shop.temp_c, "least_c": adhesive.temp_low_c},
            )
        )
    if shop.mc_pct > adhesive.mc_high_pct:
        notes.append(
            Warning(
                "TOO_WET_TO_GLUE",
                "Strips at {mc_pct} are too wet for this type ({high_pct} at most), and will shrink on the "
                "glued "
                "joint: let them dry.",
                {"mc_pct": shop.mc_pct, "high_pct": adhesive.mc_high_pct},
            )
        )
    return tuple(notes)


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
        if chance < SURE or _against(other):
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
        if other.assembly_min > plan.adhesive.assembly_min or _against(plan):
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


def _practice(plan: Plan) -> tuple[tuple[str, str], ...]:
    """What to do before and after, in the order of the work."""
    adhesive = plan.adhesive
    return (
        ("the day before", "Machine the glue faces within a day of gluing, flat and bright (common "
                           "practice)."),
        ("the day before", "Bring strips, glue and shop to the same warmth, and meter the strips."),
        ("before", "Dry clamp: lay all strips up in their order with all clamps and cauls, time it, and "
                   "see that "
                   "every joint closes by hand pressure (common practice)."),
        ("before", "Let the grain of all show faces run one way for the plane (common practice)."),
        ("before", "Cauls above and below, waxed or taped, every other clamp over and under (common "
                   "practice)."),
        ("gluing", adhesive.practice),
        ("gluing", "Clamp from the middle out until a thin line squeezes out all along; a starved joint "
                   "squeezed "
                   "too hard is as weak as a dry one (common practice)."),
        ("after", f"In the clamps {adhesive.clamp_h:g} h, and unstressed for {adhesive.full_h:g} h before "
                  f"machining "
                  f"({adhesive.known.status.value})."),
        ("after", "Scrape squeeze-out while it is rubbery; hard beads chip knives (common practice)."),
    )  # fmt: skip


def _warnings(plan: Plan, results: Mapping[str, Any], request: Request) -> tuple[Warning, ...]:
    notes = []
    adhesive, shop = plan.adhesive, plan.shop
    if results["in_time_chance_pct"] < 100.0 * SURE:
        notes.append(
            Warning(
                "TOO_SLOW",
                "It takes {takes_min} and the glue allows {allowed_min}: it may set before the section is "
                "closed.",
                {"takes_min": results["takes_min"], "allowed_min": results["allowed_min"]},
            )
        )
    if shop.mc_pct < adhesive.mc_low_pct:
        notes.append(
            Warning(
                "DRY_TO_GLUE",
                "Strips at {mc_pct} are drier than this type likes ({low_pct}): "
                + (
                    "dampen one face of each joint."
                    if adhesive.sets_by == "moisture"
                    else "they drink it up, so spread both faces and be quick."
                ),
                {"mc_pct": shop.mc_pct, "low_pct": adhesive.mc_low_pct},
            )
        )
    gives = results["clamping"].get("they_give_mpa")
    if gives is not None and gives < results["clamping"]["pressure_mpa"].low:
        notes.append(
            Warning(
                "WEAK_CLAMPING",
                "So many clamps give {gives_mpa} on the joint, where {wanted_mpa} is told. Many a joint "
                "holds with "
                "less if its faces fit; see that all of it closes.",
                {"gives_mpa": gives, "wanted_mpa": results["clamping"]["pressure_mpa"]},
            )
        )
    return tuple(notes)


def _assumptions(plan: Plan, request: Request) -> tuple[Assumption, ...]:
    notes = [
        Assumption(
            "GENERIC_ADHESIVE",
            "{name} is a type, not a product; its times are by {status}. The bottle comes first: "
            "--open-time and "
            "--assembly-time.",
            {"name": plan.adhesive.name, "status": plan.adhesive.known.status.value},
        ),
        Assumption(
            "CLOCK",
            "A joint of {joint_m2} takes {spread_min} to spread and {lay_min} to lay, a clamp {clamp_min}, "
            "by one "
            "person{each}; how air and wood change the glue's times is by judgement. A go is in time nine "
            "times of ten.",
            {
                "joint_m2": plan.work.joint_m2,
                "spread_min": plan.work.spread_min,
                "lay_min": plan.work.lay_min,
                "clamp_min": plan.work.clamp_min,
                "each": ", all spread before the first is closed" if plan.work.first_all else
                ", each strip laid as soon as it is spread",
            },
        ),
        Assumption(
            "PRESSURE",
            "Pressure as a maker of adhesives tells it; a study of PVA found joints strongest at 150 to "
            "1,200 psi "
            "(1 to 8 MPa), and some makers use half of what is told here.",
        ),
    ]  # fmt: skip
    told = [
        words
        for name, words in (("temp_c", "21 °C (70 °F)"), ("rh_pct", "50 % RH"), ("mc_now_pct", "wood at 8 %"))
        if request[name] is None
        for words in [words]
    ]
    if told:
        notes.append(Assumption("SHOP_TAKEN", "Not told, so taken: {told}.", {"told": ", ".join(told)}))
    if plan.adhesive.water_pct:
        notes.append(
            Assumption(
                "GLUE_WATER",
                "About {spread} g/m² on a joint, {water_pct} of it water, all of which goes into the wood. "
                "The "
                "seam stands up as if its wood swelled free of its neighbours, the most it can, and may be "
                "planed "
                "when that is less than {level_step_mm}; a day at least. A week is generally enough in the "
                "trade.",
                {
                    "spread": f"{plan.adhesive.spread_g_m2:g}",
                    "water_pct": plan.adhesive.water_pct,
                    "level_step_mm": request["level_mm"],
                },
            )
        )
    return tuple(notes)


CAUTIONS = (
    Caution(
        "ADHESIVE",
        "Read the label and the safety sheet of the adhesive: air the shop, wear gloves and eye "
        "protection, keep "
        "it off the skin, and keep rags and leftovers as it says.",
    ),
    Caution(
        "CLAMPED",
        "A long clamp under force can slip or fly off: keep fingers out of joints and face out of line. A "
        "clamped "
        "section is heavy; move it with a helper. Local rules come first.",
    ),
)

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
