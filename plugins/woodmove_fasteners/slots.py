"""woodmove slots: how long each screw slot must be, where the screw starts, what is held fixed."""

from woodmove.extend.api import (
    LENGTH,
    LENGTHS,
    TEXT,
    Answer,
    Catalogue,
    CommandSpec,
    Draws,
    Param,
    Request,
    Screw,
    Season,
    Section,
    Shown,
    Stage,
    Table,
    Washer,
    groups,
    noun,
    quantity,
    sized,
)
from woodmove.extend.science import YearlyMoisture, faces_advice, movement, season_advice
from woodmove_fasteners import tight, words
from woodmove_fasteners.build import refuse_thin, refuse_unbuildable
from woodmove_fasteners.choose import Grip, grip, grip_for, pilot_mm, refuse_locking, screw_for, washer_of
from woodmove_fasteners.drawings import drawings
from woodmove_fasteners.geometry import Slot, up_to
from woodmove_fasteners.layout import FIXED, fixed_line_mm, positions_mm
from woodmove_fasteners.rails import rails_of
from woodmove_fasteners.results import Fastener, Slots, card, checks, sizes_of, verdict
from woodmove_fasteners.shop import shop_of
from woodmove_fasteners.travel import Row
from woodmove_fasteners.ways import ANGLE_SLOT_MM, GROOVE_MM, SWIVEL_MM, Sizes, refuse_shallow, ways_of

_SCREW = {
    "screw": Param("screw", "", TEXT, "Screw", "no-10", registry="screws"),
    "length": Param("screw_length_mm", "", LENGTH, "Length of the screw", "2-1/2in", low=1, high=400),
}
_HARDWARE = {
    "groove": Param("groove_mm", "", LENGTH, "Depth of the groove for buttons", "1/2in", low=1, high=100),
    "swivel": Param("swivel_mm", "", LENGTH, "Screw to screw of a swivel plate", "5/8in", low=5, high=100),
    "angle_slot": Param("angle_slot_mm", "", LENGTH, "Slot in an angle", "1/2in", low=3, high=200),
}


PARAMS = (
    *groups.WOOD,
    groups.TOP_WIDTH,
    groups.TOP_THICKNESS.replace(required=True),
    groups.MC_NOW,
    groups.MC_READINGS,
    # Of a job whose lumber is still to dry first: nobody types it here.
    groups.STOCK_MC.replace(option=""),
    *groups.SERVICE,
    *groups.EXPOSURE,
    Param("fixed", "--fixed", FIXED,
          "Line of the top that does not move: center, front, back, or its distance from the front edge",
          "center", "slots.fixed", default="center", low=0, high=5000),
    Param("at_mm", "--at", LENGTHS, "Distances of the screws from the front edge", "2in,15in,28in",
          "slots.at", low=0, high=5000),
    *groups.BASE,
    Param("screw", "--screw", sized("SCREW x LENGTH", _SCREW),
          "Screw, and its length: no-10, 'no-10 x 2-1/2in', '5mm x 60mm'; chosen if not told", "no-10",
          "slots.screw", example_mm="5mm"),
    _SCREW["length"],
    Param("hardware", "--hardware", noun("HARDWARE", _HARDWARE),
          "Other ways to fix the top, as yours measure: depth of a groove for buttons, screw to screw of a "
          "two-part swivel plate, slot of an angle", "groove=1/2in swivel=5/8in angle_slot=1/2in",
          "slots.hardware", example_mm="groove=12mm swivel=16mm angle_slot=12mm"),
    *_HARDWARE.values(),
    Param("washer", "--washer", TEXT, "Washer, such as no-10-wide; chosen if not told", "no-10-wide",
          "slots.washer", registry="washers"),
)  # fmt: skip


def ask(request: Request, catalogue: Catalogue) -> Answer[Slots]:
    """The slots of a top, the screws and washers in them, and when to look at them again."""
    top, season = groups.top_of(request, catalogue), groups.season_of(request, catalogue)
    base = groups.base_of(request, catalogue)
    draws, shop = Draws(request.draws, request.seed), shop_of(request)
    assert top.thickness_mm is not None
    refuse_thin(base)
    fixed_mm = fixed_line_mm(request["fixed"], top)
    named = request["screw"]
    screw = catalogue.screws.get(named) if named else screw_for(top.thickness_mm, shop, catalogue)
    exposure = groups.exposure_of(request, catalogue)
    row = Row(
        top,
        season,
        exposure.course(top, season, draws),
        draws,
        fixed_mm,
        tuple(positions_mm(request["at_mm"], fixed_mm, top, shop)),
        up_to(screw.clearance_mm, shop.step_mm),
        shop.step_mm,
    )
    slots = row.slots()
    if any(slot.slides for slot in slots):
        refuse_locking(screw)
    refuse_unbuildable(slots, base, top)
    washer = washer_of(request["washer"], screw, row.width_mm, base, catalogue)
    through_mm = base.under_head_mm + washer.thickness_mm
    bite = _bite(request, screw, through_mm, top.thickness_mm)
    pilot = pilot_mm(screw, top.wood.gravity_12, shop)
    held = tight.tight(top, season, draws, screw, base, row.positions_mm[-1] - row.positions_mm[0])
    most = max(slots, key=lambda slot: abs(slot.distance_mm))
    width_per_pct = movement.movement(top, draws).width
    _, unlike = faces_advice.unlike(row.course, exposure.faces, top, width_per_pct, draws)
    driest, dampest = _months(season, row.course)
    rails = rails_of(base, season)
    fasteners = tuple(_rows(slots))
    found = Slots(
        longest_slot_mm=max((slot.cut_length_mm for slot in slots if slot.slides), default=0.0),
        screw=screw.name,
        screw_length_mm=bite.length_mm,
        washer=washer.name,
        pilot_mm=pilot,
        pilot_depth_mm=bite.in_top_mm,
        washer_od_mm=washer.outside_mm,
        screws=len(slots) * (base.rails if base.direction == "across" else 1),
        fixed_mm=fixed_mm,
        mc_now_pct=top.mc_now_pct,
        mc_low_pct=season.low_pct,
        mc_high_pct=season.high_pct,
        driest_month=driest,
        dampest_month=dampest,
        wood_over_tip_mm=bite.reserve_mm,
        rails=rails,
        why_slots=None if held is None else tight.why_slots(held),
        if_held=held,
        ways=ways_of(most, screw, base, _sizes(request, most), shop, catalogue) if most.slides else (),
        sizes=sizes_of(fasteners),
        fasteners=fasteners,
        screw_months=_through_the_years(slots, row),
    )
    return Answer(
        verdict(found),
        found,
        (
            # How wet the wood is against the year, the slots say in their own words.
            *(note for note in movement.warnings(top, season) if not note.code.endswith("_THAN_SERVICE")),
            *words.of_moisture(row, most, request["stock_mc_pct"]),
            *words.of_moves(row, exposure),
            *words.of_lag(row),
            *words.of_screws(bite, screw, pilot, washer, slots, row, base),
            *words.of_base(base, rails, driest),
            *unlike,
            *movement.assumptions(top, season),
            *(season_advice.assumptions(row.course, exposure.faces, exposure.model) if row.course else ()),
            *words.standing(base, shop, chosen=request["at_mm"] is None),
            tight.UNKNOWN() if held is None else tight.HELD_BY(),
        ),
        _sources(row, screw, washer),
    )


def _sources(row: Row, screw: Screw, washer: Washer) -> tuple[str, ...]:
    return (
        "fpl-gtr-282",
        "fpl-gtr-190",
        *row.top.wood.sources,
        *row.season.sources,
        screw.known.source,
        washer.known.source,
        "wood-screw-pilots",
        "nds-c12.1.5.7",
    )


def _bite(request: Request, screw: Screw, through_mm: float, top_mm: float) -> Grip:
    """How the screw stands in the top: as long as is told, else as is sold."""
    length = request["screw_length_mm"]
    return grip_for(screw, through_mm, top_mm) if length is None else grip(length, through_mm, top_mm)


def _sizes(request: Request, most: Slot) -> Sizes:
    """Fittings as told, else as usual.

    :raises Refusal: a groove out of which any button falls
    """
    if request["groove_mm"] is not None:
        refuse_shallow(request["groove_mm"], most)
    return Sizes(
        request["groove_mm"] or GROOVE_MM,
        request["swivel_mm"] or SWIVEL_MM,
        request["angle_slot_mm"] or ANGLE_SLOT_MM,
    )


def _rows(slots: list[Slot]) -> list[Fastener]:
    """The rows of the table, numbered from the fixed line outward, front and back by turns."""
    # Pairs are as far off as each other, but for rounding: the steps end where no rule has a mark.
    outward = sorted(slots, key=lambda slot: (round(abs(slot.distance_mm) + 0.013, 1), slot.distance_mm))
    return [
        Fastener(
            position_mm=slot.position_mm,
            hole="slot" if slot.slides else "round",
            cut_length_mm=slot.cut_length_mm,
            slot_width_mm=slot.width_mm,
            screw_from_end_mm=slot.screw_from_end_mm if slot.slides else None,
            cut_out_mm=slot.cut_out_mm,
            cut_in_mm=slot.cut_in_mm,
            travel_out_mm=slot.travel_out,
            travel_in_mm=slot.travel_in,
            travel_mm=slot.travel,
            drive=outward.index(slot) + 1,
        )
        for slot in slots
    ]


def _months(season: Season, course: YearlyMoisture | None) -> tuple[int | None, int | None]:
    """The driest and the dampest month of the top: as it lags where that is known, else as its air."""
    if season.driest_month is None or season.dampest_month is None or course is None:
        return season.driest_month, season.dampest_month
    dry, wet = (season_advice.month_of(day) for day in (course.low_day, course.high_day))
    return dry, wet


def _through_the_years(slots: list[Slot], row: Row) -> Table | None:
    """Where each sliding screw stands by month, from the inner end of its travel [mm], in the first two
    years."""
    top, course = row.top, row.course
    if course is None or course.start is None or top.mc_now_pct is None:
        return None
    numbered = [(number, slot) for number, slot in enumerate(slots, start=1) if slot.slides]
    coefficients = [
        float(movement.movement(top, row.draws, max(abs(slot.distance_mm), 1.0)).width[0])
        for _, slot in numbered
    ]
    columns = {"when": Shown("when"), "mc_pct": Shown("MC", quantity.MOISTURE)} | {
        f"screw_{number}_mm": Shown(f"screw {number}", quantity.FINE_LENGTH) for number, _ in numbered
    }
    rows = []
    for when, mc in zip(season_advice.month_names(course), course.mean_pct[:, 0], strict=True):
        stands = [
            float(slot.cut_in_mm + abs(slot.distance_mm) * coefficient * (mc - top.mc_now_pct))
            for (_, slot), coefficient in zip(numbered, coefficients, strict=True)
        ]
        rows.append((when, float(mc), *stands))
    return Table(columns, tuple(rows))


SLOTS = CommandSpec(
    "slots",
    "How long each screw slot in the base must be, where its screw starts, and which screw and washer.",
    (
        "woodmove slots --species northern-red-oak --width 36in --thickness 1in --rings flat "
        "--mc-now 8 --mc-low 6 --mc-high 11",
        "woodmove slots --species douglas-fir-coast --width 30in --thickness 3in --rings on-edge "
        "--mc-now 13 --place burlington --room heated --at 2in,15in,28in --base 'wood mc=12'",
    ),
    PARAMS,
    ask,
    table="fasteners",
    line="How long each screw slot must be",
    stage=Stage.FIX,
    draw=drawings,
)

SECTION = Section(
    "slots", "The screw slots", SLOTS, Stage.FIX, "Fix", card=card, checks=checks, day=groups.BUILD_DATE
)
