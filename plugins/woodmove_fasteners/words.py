"""What there is to say of a row of slots besides its numbers."""

from collections.abc import Iterator
from dataclasses import replace

from woodmove.extend.api import (
    MONTHS,
    Base,
    Note,
    Screw,
    Warning,
    Washer,
    assumption,
    caution,
    quantity,
    warning,
)
from woodmove.extend.science import Exposure
from woodmove_fasteners.choose import (
    LEAST_GRIP_DIAMETERS,
    LEAST_RESERVE_MM,
    RESERVE_MM,
    WANTED_BEARING_MM,
    Grip,
)
from woodmove_fasteners.geometry import Slot
from woodmove_fasteners.rails import JOINT_MM, LOOSE_MM, UNEVEN_MM, Rails
from woodmove_fasteners.shop import Shop
from woodmove_fasteners.travel import Row

# End distance of a prebored screw pulled toward the end, in screw diameters (source: nds-c12.1.5.7).
END_DISTANCE_DIAMETERS = 10

LAG_WOULD_SAVE = warning(
    "LAG_WOULD_SAVE",
    "Counting on its thickness, {lagged_mm} would do. You would give up what a thinner or barer top, or a "
    "longer dry spell, needs.",
    lagged_mm=quantity.SLOT,
)  # fmt: skip
MC_UNKNOWN = warning(
    "MC_UNKNOWN",
    "Nobody metered the top, so each slot holds the whole travel both ways and the screw starts in the "
    "middle. A meter reading shortens the longest by up to {saving_mm}.",
    saving_mm=quantity.SLOT,
)  # fmt: skip
DRY_FIRST = warning(
    "DRY_FIRST",
    "Dry the wood first, or the longest slot grows by {growth_mm}: assembled at {mc_now_pct}, in service "
    "{mc_low_pct} to {mc_high_pct}.",
    growth_mm=quantity.GAP, mc_now_pct=quantity.MOISTURE, mc_low_pct=quantity.MOISTURE,
    mc_high_pct=quantity.MOISTURE,
)  # fmt: skip
SETTLE_FIRST = warning(
    "SETTLE_FIRST",
    "Let the wood settle first, or the longest slot grows by {growth_mm}: assembled at {mc_now_pct}, in "
    "service {mc_low_pct} to {mc_high_pct}.",
    growth_mm=quantity.GAP, mc_now_pct=quantity.MOISTURE, mc_low_pct=quantity.MOISTURE,
    mc_high_pct=quantity.MOISTURE,
)  # fmt: skip
LUMBER_WET = warning(
    "DRY_FIRST",
    "Dry the wood first, or the longest slot grows by {growth_mm}: the lumber is at {lumber_pct} today, and "
    "these slots are for {mc_now_pct} at assembly.",
    growth_mm=quantity.GAP, lumber_pct=quantity.MOISTURE, mc_now_pct=quantity.MOISTURE,
)  # fmt: skip
LONGER_TO_MOVE = warning(
    "LONGER_TO_MOVE",
    "The slots hold for every room that the top moves to: the longest is {cut_mm}, and {alone_mm} would do "
    "if it stayed.",
    cut_mm=quantity.SLOT, alone_mm=quantity.SLOT,
)  # fmt: skip
THIN_OVER_TIP = warning(
    "THIN_OVER_TIP",
    "Only {reserve_mm} of wood stays over the tip of the screw; {wanted_mm} is usual. A dimple may show.",
    reserve_mm=quantity.FINE_LENGTH, wanted_mm=quantity.LENGTH,
)  # fmt: skip
SHORT_GRIP = warning(
    "SHORT_GRIP",
    "The screw reaches only {in_top_mm} into the top, less than six of its diameters. It holds the top down "
    "and no more. Let its head into the rail (counterbore= of --base) for more.",
    in_top_mm=quantity.LENGTH,
)  # fmt: skip
NO_PILOT = warning(
    "NO_PILOT", "No table gives the root of this screw's thread: try the pilot hole in scrap first."
)
HEAD_UNKNOWN = warning("HEAD_UNKNOWN", "No table gives the head of this screw: see that the washer stops it.")
SMALL_WASHER = warning(
    "SMALL_WASHER",
    "The washer bears on less than {bearing_mm} beside the slot: a wider one crushes the rail less.",
    bearing_mm=quantity.FINE_LENGTH,
)  # fmt: skip
NEAR_RAIL_END = warning(
    "NEAR_RAIL_END",
    "At the end of its travel an outer screw stands {nearest_mm} from the end of the rail. {wanted_mm} (ten "
    "diameters, prebored) keeps the rail from splitting.",
    nearest_mm=quantity.LENGTH, wanted_mm=quantity.LENGTH,
)  # fmt: skip
NOTHING_HOLDS = warning(
    "NOTHING_HOLDS",
    "Every screw slides, so the top can walk: put a screw in a round hole {fixed_mm} from the front edge, or "
    "a stop there.",
    fixed_mm=quantity.LENGTH,
)  # fmt: skip
EDGE_NOT_HELD = warning(
    "NOTHING_HOLDS",
    "Every screw slides, so the top can walk: put a stop against the fixed edge, or make the line of an "
    "outer screw the fixed one.",
)
RAILS_LOOSEN = warning(
    "RAILS_LOOSEN",
    "Rails built at {mc_pct} shrink by {shrinks_mm} under the heads, which come loose: snug the screws again "
    "{when}, not tight.",
    shrinks_mm=quantity.GAP, mc_pct=quantity.MOISTURE, when=None,
)  # fmt: skip
RAILS_TIGHTEN = warning(
    "RAILS_TIGHTEN",
    "The rails swell under the heads by {swells_mm} by their dampest: leave the screws a touch loose, or "
    "they lock the top.",
    swells_mm=quantity.GAP,
)  # fmt: skip
METER_THE_RAILS = warning(
    "METER_THE_RAILS",
    "Meter the rails too (mc= of --base): built wet they shrink under the heads and let the top rattle.",
)
WIDE_JOINT = warning(
    "WIDE_JOINT",
    "A glued joint {joint_mm} wide across the grain is over the usual {most_mm}. Split the tenon in two, "
    "glue one half only, or screw the cross piece through slots.",
    joint_mm=quantity.LENGTH, most_mm=quantity.LENGTH,
)  # fmt: skip
UNEVEN = warning(
    "UNEVEN",
    "The rails differ by {uneven_mm}: shim the low one first. A top drawn down on them is bent, and its "
    "screws bind in their slots.",
    uneven_mm=quantity.GAP,
)  # fmt: skip

TURNING_A_TOP = caution(
    "TURNING_A_TOP",
    "Turn a heavy top with helpers or a hoist, and clamp it before you drill up into it. Local rules come "
    "first.",
)
DEPTH_STOP = caution("DEPTH_STOP", "Wear eye protection, drill with a depth stop, and measure each screw.")
DRILLING_METAL = caution(
    "DRILLING_METAL",
    "Clamp metal before you drill it: a bit that grabs spins it. Center-punch, go slowly, and wear eye "
    "protection, no gloves at the spindle. File the edges smooth: burrs cut hands and catch the screw.",
)

SLOT_IN_BASE = assumption(
    "SLOT_IN_BASE",
    "The screws stand in the top, the slots in rails of {material} that run {direction} its grain, "
    "{width_mm} wide and {thickness_mm} thick. Each slot lies across the grain of the top; its inner end is "
    "the one nearest the fixed line.",
    material=None, direction=None, width_mm=quantity.LENGTH, thickness_mm=quantity.LENGTH,
)  # fmt: skip
BASE_ASSUMED = assumption(
    "BASE_ASSUMED", "Nothing says what the base is made of: wood, of the species of the top."
)
METAL_CUT = assumption(
    "METAL_CUT",
    "In metal, drill both ends of a slot and saw or file out between them. A wood screw from below does, or "
    "a machine screw into a threaded insert: --screw 1/4in.",
)
CUT_COVERS_DOUBT = assumption(
    "CUT_COVERS_DOUBT",
    "Ways are rounded up to {step_mm} at the upper end of their bands, with a step to spare: a screw stays "
    "inside each 19 times in 20. The slot is as wide as the next bit.",
    step_mm=quantity.LENGTH,
)  # fmt: skip
POSITIONS_CHOSEN = assumption(
    "POSITIONS_CHOSEN",
    "Screws are put {inset_mm} inside the edges, on the fixed line, and at most {spacing_mm} apart.",
    inset_mm=quantity.LENGTH, spacing_mm=quantity.LENGTH,
)  # fmt: skip
RAIL_ENDS = assumption("RAIL_ENDS", "The rail is taken to end with the edges of the top.")


def of_moisture(row: Row, slot: Slot, lumber_pct: float | None) -> Iterator[Note]:
    """What the moisture of assembly costs.

    :param slot: the one farthest from the fixed line
    :param lumber_pct: of the lumber today, None where it is the top's
    """
    top, season = row.top, row.season
    total = slot.travel_out.expected + slot.travel_in.expected
    now = top.mc_now_pct
    if now is None:
        yield MC_UNKNOWN(saving_mm=total / 2)
        return
    beyond = max(now - season.high_pct, season.low_pct - now)
    span = max(now, season.high_pct) - min(now, season.low_pct)
    # What no slot grows by is not worth a word.
    if beyond > 0 and total * beyond / span >= row.step_mm / 4:
        told = DRY_FIRST if now > season.high_pct else SETTLE_FIRST
        yield told(
            growth_mm=total * beyond / span, mc_now_pct=now, mc_low_pct=season.low_pct,
            mc_high_pct=season.high_pct,
        )  # fmt: skip
    if lumber_pct is not None and lumber_pct > max(season.high_pct, now):
        growth = row.assembled_at(lumber_pct).farthest().cut_length_mm - slot.cut_length_mm
        if growth > 0:
            yield LUMBER_WET(growth_mm=growth, lumber_pct=lumber_pct, mc_now_pct=now)


def of_moves(row: Row, exposure: Exposure) -> Iterator[Warning]:
    """What the rooms that the top moves to cost: the slot beside that of a top that stays."""
    if not row.season.rooms:
        return
    first = row.season.staying()
    alone = replace(row, season=first, course=exposure.course(row.top, first, row.draws))
    both, one = (each.farthest().cut_length_mm for each in (row, alone))
    if both > one:
        yield LONGER_TO_MOVE(cut_mm=both, alone_mm=one)


def of_lag(row: Row) -> Iterator[Warning]:
    """The slot of a top which its thickness slows, where it is shorter than that for any air."""
    lagged = row.farthest_lagged()
    if lagged is not None and row.farthest().cut_length_mm > lagged.cut_length_mm:
        yield LAG_WOULD_SAVE(lagged_mm=lagged.cut_length_mm)


def of_screws(
    bite: Grip, screw: Screw, pilot: float | None, washer: Washer, slots: list[Slot], row: Row, base: Base
) -> Iterator[Warning]:
    """What to know of the screws, their washers and where they stand."""
    if LEAST_RESERVE_MM <= bite.reserve_mm < RESERVE_MM - 1e-6:
        yield THIN_OVER_TIP(reserve_mm=bite.reserve_mm, wanted_mm=RESERVE_MM)
    if bite.in_top_mm < LEAST_GRIP_DIAMETERS * screw.major_mm:
        yield SHORT_GRIP(in_top_mm=bite.in_top_mm)
    if pilot is None:
        yield NO_PILOT()
    if screw.head_mm is None:
        yield HEAD_UNKNOWN()
    if washer.outside_mm < row.width_mm + 2 * WANTED_BEARING_MM and not base.made.metal:
        yield SMALL_WASHER(bearing_mm=WANTED_BEARING_MM)
    if base.direction == "across" and base.material == "wood":
        half = row.width_mm / 2
        nearest = min(slots[0].ends_mm[0] + half, row.top.width_mm - slots[-1].ends_mm[1] + half)
        wanted = END_DISTANCE_DIAMETERS * screw.major_mm
        if nearest < wanted:
            yield NEAR_RAIL_END(nearest_mm=nearest, wanted_mm=wanted)
    if all(slot.slides for slot in slots):
        # No screw stands on an edge.
        inside = 0.0 < row.fixed_mm < row.top.width_mm
        yield NOTHING_HOLDS(fixed_mm=row.fixed_mm) if inside else EDGE_NOT_HELD()


def of_base(base: Base, rails: Rails, driest_month: int | None) -> Iterator[Warning]:
    """What the base does to the top."""
    if rails.shrinks_mm is not None and rails.shrinks_mm.high >= LOOSE_MM:
        when = f"in {MONTHS[driest_month - 1]}" if driest_month else "after the first dry season"
        yield RAILS_LOOSEN(shrinks_mm=rails.shrinks_mm, mc_pct=base.mc_pct, when=when)
    if rails.swells_mm is not None and rails.swells_mm.high >= LOOSE_MM:
        yield RAILS_TIGHTEN(swells_mm=rails.swells_mm)
    if base.told and base.wood is not None and base.mc_pct is None:
        yield METER_THE_RAILS()
    if base.joint_mm is not None and base.joint_mm > JOINT_MM:
        yield WIDE_JOINT(joint_mm=base.joint_mm, most_mm=JOINT_MM)
    if base.uneven_mm > UNEVEN_MM:
        yield UNEVEN(uneven_mm=base.uneven_mm)


def standing(base: Base, shop: Shop, *, chosen: bool) -> Iterator[Note]:
    """Cautions, and what is taken for granted.

    :param chosen: True where nobody said where the screws are
    """
    yield from (TURNING_A_TOP(), DEPTH_STOP())
    if base.made.metal:
        yield DRILLING_METAL()
        yield METAL_CUT()
    if not base.told:
        yield BASE_ASSUMED()
    yield SLOT_IN_BASE(
        material=base.material, direction=base.direction, width_mm=base.width_mm,
        thickness_mm=base.thickness_mm,
    )  # fmt: skip
    yield CUT_COVERS_DOUBT(step_mm=shop.step_mm)
    if chosen:
        yield POSITIONS_CHOSEN(inset_mm=shop.inset_mm, spacing_mm=shop.spacing_mm)
    if base.direction == "across":
        yield RAIL_ENDS()
