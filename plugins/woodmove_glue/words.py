"""What there is to say of a glue-up besides its numbers: practice, warnings, cautions, assumptions."""

from collections.abc import Mapping, Sequence
from typing import Any

from woodmove.extend.api import Assumption, Caution, Request, Warning
from woodmove.extend.science import movement
from woodmove_glue.parameters import GlueUpRequest
from woodmove_glue.water import DAYS

# A go is a glue-up that is closed in time so often (status: judgement).
SURE = 0.9


def against(plan: GlueUpRequest) -> tuple[Warning, ...]:
    """What speaks against gluing at all, however quick the hands are."""
    notes = []
    adhesive, shop = plan.adhesive, plan.shop
    if plan.too_cold:
        notes.append(
            Warning(
                "TOO_COLD",
                "At {temp_c} this type does not hold: it takes {least_c} at the least, of wood, air and "
                "glue, until it has set.",
                {"temp_c": shop.temp_c, "least_c": adhesive.temp_low_c},
            )
        )
    if shop.mc_pct > adhesive.mc_high_pct:
        notes.append(
            Warning(
                "TOO_WET_TO_GLUE",
                "Strips at {mc_pct} are too wet for this type ({high_pct} at most), and will shrink on the "
                "glued joint: let them dry.",
                {"mc_pct": shop.mc_pct, "high_pct": adhesive.mc_high_pct},
            )
        )
    elif plan.joint is not None and plan.joint.soaked:
        notes.append(
            Warning(
                "SOAKED",
                "The water of the glue would wet strips of {strip_mm} by {rise_points}, to fibre saturation: "
                "use an adhesive without water, or thicker strips.",
                {"strip_mm": plan.strip_mm, "rise_points": plan.joint.rise_points},
            )
        )
    return tuple(notes)


def practice(plan: GlueUpRequest) -> tuple[tuple[str, str], ...]:
    """What to do before and after, in the order of the work."""
    adhesive = plan.adhesive
    clamped, cured = (round(each, 1) for each in plan.hours)
    squeeze = (
        "Clamp from the middle out until a thin line squeezes out all along (common practice)."
        if adhesive.clamping == "full"
        else "Draw the clamps up from the middle out until the joints close, and no farther (common "
        "practice)."
    )
    return (
        (
            "the day before",
            "Bring strips, glue and shop to the same warmth. Meter the strips: within 2 points of each "
            "other, better 1 (memory).",
        ),
        (
            "before",
            "Machine the glue faces, flat and bright: within hours of gluing (published), a day at the most "
            "(common practice).",
        ),
        (
            "before",
            "Dry clamp: lay all strips up in their order with all clamps and cauls, time it, and see that "
            "every joint closes by hand pressure (common practice).",
        ),
        ("before", "Let the grain of all show faces run one way for the plane (common practice)."),
        (
            "before",
            "Cauls above and below, waxed or taped; every other clamp over and under (common practice).",
        ),
        ("gluing", adhesive.practice),
        ("gluing", squeeze),
        (
            "after",
            f"In the clamps {clamped:g} h, and unstressed for {cured:g} h before rough machining "
            f"({adhesive.known.status.value}; longer in the cold).",
        ),
        ("after", "Scrape squeeze-out while it is rubbery; hard beads chip knives (common practice)."),
    )


def warnings(
    plan: GlueUpRequest, chance: float, clock: Sequence[Mapping[str, Any]], glue_water: Mapping[str, Any]
) -> tuple[Warning, ...]:
    """What to know before the bottle is opened.

    :param chance: of being in time
    :param clock: what it takes and what the glue allows, open and in all
    :param glue_water: what the water of the glue does
    """
    notes = []
    adhesive, shop = plan.adhesive, plan.shop
    if chance < SURE:
        opened, whole = clock
        tighter = min(opened, whole, key=lambda row: row["margin_min"].expected)
        text = (
            "A joint stays open for {takes_min} and the glue allows {allowed_min}: it may skin over before "
            "it is closed."
            if tighter is opened
            else "It takes {takes_min} in all and the glue allows {allowed_min}: it may set before the "
            "section is closed."
        )
        notes.append(
            Warning("TOO_SLOW", text, {name: tighter[name] for name in ("takes_min", "allowed_min")})
        )
    if shop.mc_pct < adhesive.mc_low_pct:
        remedy = (
            "dampen one face of each joint."
            if adhesive.sets_by == "moisture"
            else "they drink it up, so spread both faces and be quick."
        )
        notes.append(
            Warning(
                "DRY_TO_GLUE",
                "Strips at {mc_pct} are drier than this type likes ({low_pct}): " + remedy,
                {"mc_pct": shop.mc_pct, "low_pct": adhesive.mc_low_pct},
            )
        )
    if plan.service_pct is not None:
        notes += movement.far_from_service(shop.mc_pct, plan.service_pct)
    if "after_a_week_step_mm" in glue_water and "wait_days" not in glue_water:
        notes.append(
            Warning(
                "NEVER_LEVEL",
                "For {most_days} and more the seams stand up by more than was asked for: allow more, or use "
                "an adhesive without water.",
                {"most_days": DAYS[-1]},
            )
        )
    pressure = plan.pressure_mpa
    if pressure is not None:
        # A hair less than what is told is the same pressure.
        if plan.gives_mpa < 0.99 * pressure[0]:
            needed, room = plan.clamps_for(pressure[0], plan.clamp), plan.room_for_clamps
            text = (
                "{clamps} clamps give {gives_mpa} on the joint; {low_mpa} is the least that is told, and "
                "takes {needed}"
            )
            if needed > room:
                text += ", more than fit side by side ({room}): use stronger ones, or a press"
            notes.append(
                Warning(
                    "WEAK_CLAMPING",
                    f"{text}.",
                    {
                        "clamps": plan.work.clamps,
                        "gives_mpa": plan.gives_mpa,
                        "low_mpa": pressure[0],
                        "needed": needed,
                        "room": room,
                    },
                )
            )
        if plan.work.clamps > plan.room_for_clamps:
            notes.append(
                Warning(
                    "CLAMPS_DO_NOT_FIT",
                    "{clamps} clamps stand {spacing_mm} apart, nearer than there is room for: use stronger "
                    "ones, or a press.",
                    {"clamps": plan.work.clamps, "spacing_mm": plan.length_mm / plan.work.clamps},
                )
            )
    return tuple(notes)


def assumptions(plan: GlueUpRequest, request: Request) -> tuple[Assumption, ...]:
    """What the glue-up takes for granted."""
    laid = (
        "all spread before the first is closed"
        if plan.work.first_all
        else "each strip laid as soon as it is spread"
    )
    notes = [
        Assumption(
            "GENERIC_ADHESIVE",
            "{name} is a type, not a product; its times are by {status}. The bottle comes first: --open-time "
            "and --assembly-time.",
            {"name": plan.adhesive.name, "status": plan.adhesive.known.status.value},
        ),
        Assumption(
            "CLOCK",
            "A joint of {joint_m2} takes {spread_min} to spread"
            + ("" if plan.work.lay_min == 0.0 else " and {lay_min} to lay")
            + ", a clamp {clamp_min}, "
            f"by one person, {laid}. How air and wood change the glue's times is by judgement. In time means "
            "nine times of ten, and the margin is that of the tighter time.",
            {
                "joint_m2": plan.work.joint_m2,
                "spread_min": plan.work.spread_min,
                "lay_min": plan.work.lay_min,
                "clamp_min": plan.work.clamp_min,
            },
        ),
    ]
    if plan.pressure_mpa is not None:
        notes.append(
            Assumption(
                "PRESSURE",
                "Pressure as a maker of adhesives tells it for this kind of wood; below half of the least it "
                "is no go. One study of PVA found joints strongest at 150 to 1,200 psi (1 to 8 MPa), one "
                "page tells half.",
            )
        )
    if not plan.told_clamps:
        notes.append(
            Assumption(
                "CLAMPS_TAKEN",
                "Nobody says how many clamps there are: reckoned with {clamps} of the kind {clamp}, as many "
                "as the pressure takes and find room.",
                {"clamps": plan.work.clamps, "clamp": plan.clamp.name.lower()},
            )
        )
    told = [
        words
        for name, words in (("temp_c", "21 °C (70 °F)"), ("rh_pct", "50 % RH"), ("mc_now_pct", "wood at 8 %"))
        if request[name] is None
    ]
    if told:
        notes.append(Assumption("SHOP_TAKEN", "Not told, so taken: {told}.", {"told": ", ".join(told)}))
    if plan.adhesive.water_pct:
        notes.append(
            Assumption(
                "GLUE_WATER",
                "About {spread} g/m² on a joint in all, on one face or both, {water_pct} of it water, all of "
                "which goes into the wood (memory); it spreads by woodmove's own synthesis of diffusivities. "
                "A seam is taken to stand up as if its wood swelled free of its neighbours, the most it can; "
                "for good it is planed when that is less than {level_step_mm} and the glue has cured. A week "
                "is generally enough in the trade.",
                {
                    "spread": f"{plan.adhesive.spread_g_m2:g}",
                    "water_pct": plan.adhesive.water_pct,
                    "level_step_mm": request["level_step_mm"],
                },
            )
        )
    return tuple(notes)


CAUTIONS = (
    Caution(
        "ADHESIVE",
        "Read the label and the safety sheet of the adhesive: air the shop, wear gloves and eye protection, "
        "keep it off the skin, and keep rags and leftovers as it says.",
    ),
    Caution(
        "CLAMPED",
        "A long clamp under force can slip or fly off: keep fingers out of joints and face out of line. A "
        "clamped section is heavy; move it with helpers. Local rules come first.",
    ),
)
