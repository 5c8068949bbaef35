"""What there is to say of a glue-up besides its numbers: practice, warnings, cautions, assumptions."""

from collections.abc import Mapping
from typing import Any

from woodmove.extend.api import Assumption, Caution, Request, Warning
from woodmove_glue.asked import Plan

# A go is a glue-up that is closed in time so often (status: judgement).
SURE = 0.9


def against(plan: Plan) -> tuple[Warning, ...]:
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


def practice(plan: Plan) -> tuple[tuple[str, str], ...]:
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


def warnings(plan: Plan, results: Mapping[str, Any], request: Request) -> tuple[Warning, ...]:
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


def assumptions(plan: Plan, request: Request) -> tuple[Assumption, ...]:
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
