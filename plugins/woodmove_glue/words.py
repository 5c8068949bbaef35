"""What there is to say of a glue-up besides its numbers: the steps, warnings, cautions, assumptions."""

from woodmove.extend.api import (
    Assumption,
    Note,
    Request,
    Warning,
    assumption,
    caution,
    note,
    quantity,
    warning,
)
from woodmove.extend.science import movement
from woodmove_glue.clock import MIDDLING_GRAVITY, density_taken
from woodmove_glue.parameters import GlueUpRequest
from woodmove_glue.results import Water
from woodmove_glue.water import DAYS

# Each step in one line where it can be, so that all of them stand on the first screen.
WARM = note(
    "WARM",
    "From the day before until it is set: strips, glue and shop at {least_c} at least.",
    least_c=quantity.TEMPERATURE,
)
FACES = note("FACES", "Meter: strips within 2 points of each other. Joint the faces flat the same day.")
DRY_RUN = note("DRY_RUN", "Dry run, strips numbered, all clamps and cauls: joints close by hand. Time it.")
LAY = note("LAY", "Grain of the show faces one way. Cauls waxed or taped, clamps over and under.")
# Resin on a face keeps glue off it (status: common practice).
PITCH = note("PITCH", "Pitchy wood: wipe the faces, or plane them again, just before the glue.")
SPREAD = note("SPREAD", "{practice}", practice=None)
SQUEEZE = note("SQUEEZE", "Clamp from the middle out until a thin line squeezes out all along.")
CONTACT = note("CONTACT", "Draw the clamps up from the middle out until the joints close, and no farther.")
RUNS_OUT = note(
    "RUNS_OUT",
    "If the clock runs out: clamp what is spread, leave the rest dry for another day.",
)
UNCLAMP = note(
    "UNCLAMP",
    "Clamped {clamp_h}. Scrape the squeeze-out while it is rubbery. Machine it after {set_h}.",
    clamp_h=quantity.HOURS, set_h=quantity.HOURS,
)  # fmt: skip
JOIN = note(
    "JOIN",
    "Then joint the edges of the {sections} sections, and glue those the same way.",
    sections=None,
)

DRY_TO_GLUE = warning(
    "DRY_TO_GLUE",
    "Strips at {mc_pct} are drier than this glue likes ({low_pct}): they drink it up. Spread both faces and "
    "be quick.",
    mc_pct=quantity.MOISTURE, low_pct=quantity.MOISTURE,
)  # fmt: skip
DAMPEN = warning(
    "DRY_TO_GLUE",
    "Strips at {mc_pct} are drier than this glue likes ({low_pct}): dampen one face of each joint.",
    mc_pct=quantity.MOISTURE, low_pct=quantity.MOISTURE,
)  # fmt: skip
NEVER_LEVEL = warning(
    "NEVER_LEVEL",
    "The seams stand up by more than a hand feels for {most_days} and more: use a glue without water.",
    most_days=quantity.DAYS,
)
CLAMPS_DO_NOT_FIT = warning(
    "CLAMPS_DO_NOT_FIT",
    "{clamps} clamps stand {spacing_mm} apart, nearer than there is room for: use stronger ones, or a press.",
    clamps=None, spacing_mm=quantity.LENGTH,
)  # fmt: skip

GENERIC_ADHESIVE = assumption(
    "GENERIC_ADHESIVE",
    "{name} is a type, not a product: its times are by {status}. Read the bottle: --bottle "
    "'open=8min whole=15min'.",
    name=None, status=None,
)  # fmt: skip
CLOCK = assumption(
    "CLOCK",
    "One person takes {joint_min} for a joint and {clamp_min} for a clamp, {laid} (judgement; time a dry "
    "run: --pace 'strip=30s clamp=20s', or --pace practised). How air and wood change the times is by "
    "judgement. In time means nine times of ten.",
    joint_min=quantity.MINUTES, clamp_min=quantity.MINUTES, laid=None,
)  # fmt: skip
PRESSURE = assumption(
    "PRESSURE",
    "The pressure is what a maker of glue wants for this kind of wood. At half of the least it is no joint "
    "(judgement). One study of PVA found joints strongest at 150 to 1,200 psi (1 to 8 MPa), one page wants "
    "half.",
)
DENSITY_TAKEN = assumption(
    "DENSITY_TAKEN",
    "No table gives the density of this wood, and the pressure goes by that: a middling {gravity} is taken "
    "(judgement). A dense wood wants more: weigh a piece.",
    gravity=None,
)
CLAMPS_TAKEN = assumption(
    "CLAMPS_TAKEN",
    "No number of clamps is given: {clamps} of the kind {clamp} are assumed, as many as the pressure takes "
    "and find room.",
    clamps=None, clamp=None,
)  # fmt: skip
HANDS_TAKEN = assumption(
    "HANDS_TAKEN", "{hands} people work at it; more get in each other's way (judgement).", hands=None
)
SHOP_TAKEN = assumption("SHOP_TAKEN", "Not given, so assumed: {told}.", told=None)
GLUE_WATER = assumption(
    "GLUE_WATER",
    "A joint takes about {spread} g/m² of glue, {water_pct} of it water, all of which goes into the wood "
    "(memory). A seam stands up as if its wood swelled free of its neighbors, the most it can. A hand feels "
    "0.003 in (common practice): the joints are planed for good under {level_step_mm}. A week is generally "
    "enough in the trade.",
    spread=None, water_pct=quantity.SHARE, level_step_mm=quantity.STEP,
)  # fmt: skip
GLUE_BOUGHT = assumption(
    "GLUE_BOUGHT",
    "The glue to buy is for all glue-ups of the top and half over (judgement); it weighs about 1.1 times as "
    "much as water (memory).",
)

ADHESIVE = caution(
    "ADHESIVE",
    "Read the label and the safety sheet of the glue: air the shop, wear gloves and eye protection, keep it "
    "off the skin.",
)
CLAMPED = caution(
    "CLAMPED",
    "A long clamp under force can slip or fly off: keep fingers out of joints and your face out of line. A "
    "clamped section is heavy; move it with helpers. Local rules come first.",
)
CAUTIONS = (ADHESIVE(), CLAMPED())


def steps(plan: GlueUpRequest) -> tuple[Note, ...]:
    """What to do, in the order of the work."""
    adhesive, (clamp_h, set_h) = plan.adhesive, plan.hours
    return (
        WARM(least_c=adhesive.temp_low_c),
        FACES(),
        DRY_RUN(),
        LAY(),
        PITCH(),
        SPREAD(practice=adhesive.practice),
        SQUEEZE() if adhesive.clamping == "full" else CONTACT(),
        RUNS_OUT(),
        UNCLAMP(clamp_h=clamp_h, set_h=set_h),
        *(() if plan.joined is None else (JOIN(sections=plan.sections),)),
    )


def warnings(plan: GlueUpRequest, glue_water: Water) -> tuple[Warning, ...]:
    """What to know before the bottle is opened, besides what the verdict says.

    :param glue_water: what the water of the glue does
    """
    notes: list[Warning] = []
    adhesive, shop = plan.adhesive, plan.shop
    if shop.mc_pct < adhesive.mc_low_pct:
        dry = DAMPEN if adhesive.sets_by == "moisture" else DRY_TO_GLUE
        notes.append(dry(mc_pct=shop.mc_pct, low_pct=adhesive.mc_low_pct))
    if plan.service_pct is not None:
        notes += movement.far_from_service(shop.mc_pct, plan.service_pct)
    if glue_water.after_a_week_step_mm is not None and glue_water.wait_days is None:
        notes.append(NEVER_LEVEL(most_days=DAYS[-1]))
    if plan.pressure_mpa is not None and plan.work.clamps > plan.room_for_clamps:
        notes.append(CLAMPS_DO_NOT_FIT(clamps=plan.work.clamps, spacing_mm=plan.length_mm / plan.work.clamps))
    return tuple(notes)


def assumptions(plan: GlueUpRequest, request: Request) -> tuple[Assumption, ...]:
    """What was assumed of the glue-up."""
    work, adhesive = plan.work, plan.adhesive
    laid = (
        "all spread before the first is closed"
        if work.first_all
        else "each strip laid as soon as it is spread"
    )
    notes = [
        GENERIC_ADHESIVE(name=adhesive.name, status=adhesive.known.status.value),
        CLOCK(joint_min=work.spread_min + work.lay_min, clamp_min=work.clamp_min, laid=laid),
    ]
    if plan.pressure_mpa is not None:
        notes.append(PRESSURE())
        if density_taken(plan.top.wood):
            notes.append(DENSITY_TAKEN(gravity=MIDDLING_GRAVITY))
    if not plan.told_clamps:
        notes.append(CLAMPS_TAKEN(clamps=work.clamps, clamp=plan.clamp.name.lower()))
    if request["people"] > work.hands:
        notes.append(HANDS_TAKEN(hands=work.hands))
    told = [
        words
        for name, words in (("temp_c", "21 °C (70 °F)"), ("rh_pct", "50 % RH"), ("mc_now_pct", "wood at 8 %"))
        if request[name] is None
    ]
    if told:
        notes.append(SHOP_TAKEN(told=", ".join(told)))
    notes.append(GLUE_BOUGHT())
    if adhesive.water_pct:
        notes.append(
            GLUE_WATER(
                spread=f"{adhesive.spread_g_m2:g}",
                water_pct=adhesive.water_pct,
                level_step_mm=movement.FELT_MM,
            )
        )
    return tuple(notes)
