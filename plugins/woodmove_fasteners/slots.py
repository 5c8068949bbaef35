"""woodmove slots: how long each screw slot must be, where the screw starts, what is held fixed."""

import itertools
import math
from dataclasses import dataclass, replace

import numpy as np

from woodmove.extend.api import (
    LENGTH,
    LENGTHS,
    TEXT,
    Answer,
    Assumption,
    Catalogue,
    Caution,
    CommandSpec,
    Draws,
    Param,
    ParamType,
    Range,
    Refusal,
    Request,
    Screw,
    Season,
    Section,
    Shown,
    Stage,
    Table,
    Top,
    Warning,
    Washer,
    groups,
    length_text,
    parse_length_mm,
    quantity,
)
from woodmove.extend.science import Array, YearlyMoisture, held_advice, movement, season_advice
from woodmove_fasteners.choose import (
    LEAST_RESERVE_MM,
    MM,
    RESERVE_MM,
    WANTED_BEARING_MM,
    Grip,
    grip,
    grip_for,
    pilot_mm,
    screw_for,
    washer_fault,
    washer_for,
)
from woodmove_fasteners.geometry import NEGLIGIBLE_MM, Slot, travel_mm
from woodmove_fasteners.results import Fastener, Slots, card, checks, verdict

# Wood beside a slot, and between its end and the next hole or the end of the rail (status: common
# practice).
WOOD_BESIDE_MM = 0.375 * MM
# End distance of a prebored screw pulled toward the end, in screw diameters (source: nds-c12.1.5.7).
END_DISTANCE_DIAMETERS = 10
# Screws at most this far apart, and the outer ones this far inside the edges, where nobody says where
# they are (status: common practice).
SPACING_MM = 12.0 * MM
INSET_MM = 2.5 * MM
MARK_MM = MM / 16
MOST_SCREWS = 100
# What a slot must grow by to be worth a word: the least that a rule shows.
LEAST_GROWTH_MM = MM / 64


def _fixed(text: str) -> float | str:
    word = text.strip().lower()
    return word if word in ("center", "front", "back") else parse_length_mm(text)


FIXED = ParamType("center|front|back|LENGTH", _fixed, "in")

PARAMS = (
    *groups.WOOD,
    groups.TOP_WIDTH,
    groups.TOP_THICKNESS.replace(required=True),
    groups.MC_NOW,
    groups.MC_READINGS,
    groups.STOCK_MC.replace(
        option="--mc-lumber", help="Moisture content of the lumber today, if it is still to dry first"
    ),
    *groups.SERVICE,
    *groups.EXPOSURE,
    Param("bound", "--bound", TEXT,
          "What the slots are sized for: a top as wet and dry as its air, or one lagged by its thickness",
          "air", "slots.bound", choices=("air", "lagged"), default="air"),
    Param("fixed", "--fixed", FIXED,
          "Line of the top that does not move: center, front, back, or its distance from the front edge",
          "center", "slots.fixed", default="center", low=0, high=5000),
    Param("at_mm", "--at", LENGTHS, "Distances of the screws from the front edge", "2in,15in,28in",
          "slots.at", low=0, high=5000),
    Param("rail_direction", "--rail-direction", TEXT,
          "How the rail runs: across the grain of the top, or along it", "across", "slots.rail_direction",
          choices=("across", "along"), default="across"),
    Param("rail_width_mm", "--rail-width", LENGTH, "Width of the rail's face under the top", "3-1/2in",
          "slots.rail_width", default=3.5 * MM, low=1, high=1000),
    Param("rail_thickness_mm", "--rail-thickness", LENGTH, "Thickness of the rail that the screw passes",
          "1-1/2in", "slots.rail_thickness", default=1.5 * MM, low=1, high=500),
    Param("counterbore_mm", "--counterbore", LENGTH, "Depth to which the head is let into the rail", "1/2in",
          "slots.counterbore", default=0.0, low=0, high=500),
    Param("screw", "--screw", TEXT, "Screw, such as no-10 or 5mm; chosen if not told", "no-10", "slots.screw",
          registry="screws"),
    Param("screw_length_mm", "--screw-length", LENGTH, "Length of the screw; chosen if not told", "2-1/2in",
          "slots.screw_length", low=1, high=400),
    Param("washer", "--washer", TEXT, "Washer, such as no-10-wide; chosen if not told", "no-10-wide",
          "slots.washer", registry="washers"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Rail:
    """The rail of the base: "across" or "along" the grain of the top, and its sizes [mm]."""

    direction: str
    width_mm: float
    thickness_mm: float
    counterbore_mm: float

    @property
    def under_head_mm(self) -> float:
        """Wood between the washer and the top."""
        return self.thickness_mm - self.counterbore_mm


def ask(request: Request, catalogue: Catalogue) -> Answer[Slots]:
    """The slots of a top, the screws and washers in them, and when to look at them again."""
    top = groups.top_of(request, catalogue)
    season = groups.season_of(request, catalogue)
    draws = Draws(request.draws, request.seed)
    assert top.thickness_mm is not None
    fixed_mm = _fixed_mm(request["fixed"], top)
    positions, spread = _positions(request["at_mm"], fixed_mm, top)
    rail = _rail(request)
    screw = (
        catalogue.screws.get(request["screw"]) if request["screw"] else screw_for(top.thickness_mm, catalogue)
    )
    exposure = groups.exposure_of(request, catalogue)
    course = exposure.course(top, season, draws)
    bounds = _bounds(request["bound"], season, course, draws)
    slots = [_slot(position, fixed_mm, top, bounds, draws, screw) for position in positions]
    _refuse_locking(screw, slots)
    _refuse_unbuildable(slots, rail, top)
    washer = _washer(request, screw, slots, rail, catalogue)
    through_mm = rail.under_head_mm + washer.thickness_mm
    bite = (
        grip(request["screw_length_mm"], through_mm, top.thickness_mm)
        if request["screw_length_mm"] is not None
        else grip_for(screw, through_mm, top.thickness_mm)
    )
    pilot = pilot_mm(screw, top.wood.gravity_12)
    thinning = _thinning(top, season, draws)
    held = held_advice.held(top, season, draws)
    driest, dampest = _months(season, course)
    sliding = [slot.cut_length_mm for slot in slots if slot.slides]
    found = Slots(
        longest_slot_mm=max(sliding, default=0.0),
        screw=screw.name,
        screw_length_mm=bite.length_mm,
        washer=washer.name,
        fixed_mm=fixed_mm,
        mc_now_pct=top.mc_now_pct,
        mc_low_pct=season.low_pct,
        mc_high_pct=season.high_pct,
        driest_month=driest,
        dampest_month=dampest,
        wood_over_tip_mm=bite.reserve_mm,
        thinning_mm=thinning,
        why_slots=None if held is None else held_advice.why_slots(held),
        if_held=held,
        fasteners=tuple(_row(slot, screw, washer, bite, pilot) for slot in slots),
        screw_months=_through_the_years(slots, top, course, draws),
    )
    return Answer(
        verdict(found),
        found,
        (
            # How wet the wood is against the year, the slots say in their own words.
            *(note for note in movement.warnings(top, season) if not note.code.endswith("_THAN_SERVICE")),
            *_moisture_warnings(top, season, slots),
            *_lumber_warnings(request["stock_mc_pct"], slots, top, season, bounds, draws, screw),
            *_lag_warnings(request["bound"], slots, top, season, course, draws, screw),
            *_screw_warnings(bite, screw, pilot, washer, slots),
            *_end_warnings(slots, rail, screw, top),
            *_hold_warnings(slots, fixed_mm, top.width_mm),
            *CAUTIONS,
            *movement.assumptions(top, season),
            *(season_advice.assumptions(course, exposure.faces, exposure.model) if course else ()),
            *_assumptions(request, spread, rail),
            held_advice.UNKNOWN if held is None else held_advice.ELASTIC,
        ),
        (
            "fpl-gtr-282",
            "fpl-gtr-190",
            *(c.known.source for c in top.wood.coefficients),
            *season.sources,
            screw.known.source,
            washer.known.source,
            "wood-screw-pilots",
            "nds-c12.1.5.7",
        ),
    )


def _fixed_mm(fixed: float | str, top: Top) -> float:
    named = {"center": top.width_mm / 2, "front": 0.0, "back": top.width_mm}
    place = named[fixed] if isinstance(fixed, str) else fixed
    if place > top.width_mm:
        raise Refusal(
            "FIXED_OFF_TOP",
            f"The fixed line at {length_text(place)} lies beyond the back edge.",
            f"The top is {length_text(top.width_mm)} wide.",
            "Type --fixed center, front or back, or a distance from the front edge.",
            fields=("fixed",),
        )
    return place


def _spread(fixed_mm: float, top: Top) -> list[float]:
    """Screws inside both edges, one of them at the fixed line where that is not too near an edge."""
    inset = min(INSET_MM, top.width_mm / 4)
    stops = [inset, top.width_mm - inset]
    if inset < fixed_mm < top.width_mm - inset:
        stops.insert(1, fixed_mm)
    positions = stops[:1]
    for start, end in itertools.pairwise(stops):
        # A hair less, so that a width typed in millimetres gives as many as the same one in inches.
        gaps = max(1, math.ceil((end - start) / SPACING_MM - 1e-6))
        steps = [start + i * (end - start) / gaps for i in range(1, gaps)]
        # Between the ends any place will do: one that a tape measure shows.
        positions += [MARK_MM * round(step / MARK_MM) for step in steps]
        positions.append(end)
    return positions


def _positions(at_mm: tuple[float, ...] | None, fixed_mm: float, top: Top) -> tuple[list[float], bool]:
    """Where the screws are, and whether we chose it."""
    if at_mm is None:
        return _spread(fixed_mm, top), True
    if len(set(at_mm)) > MOST_SCREWS:
        raise Refusal(
            "TOO_MANY_SCREWS",
            f"{len(set(at_mm))} screws stand in one row.",
            f"A row across a top holds at most {MOST_SCREWS}.",
            "Give the distances of one row, such as --at 2in,15in,28in.",
            fields=("at_mm",),
        )
    off = [position for position in at_mm if not 0 < position < top.width_mm]
    if off:
        raise Refusal(
            "SCREW_OFF_TOP",
            f"A screw at {length_text(off[0])} is not under the top.",
            f"Screws lie between the edges, 0 and {length_text(top.width_mm)}.",
            "Measure from the front edge and type --at 2in,15in,28in, for example.",
            fields=("at_mm",),
        )
    return sorted(set(at_mm)), False


def _rail(request: Request) -> Rail:
    rail = Rail(
        request["rail_direction"],
        request["rail_width_mm"],
        request["rail_thickness_mm"],
        request["counterbore_mm"],
    )
    if rail.under_head_mm < WOOD_BESIDE_MM:
        raise Refusal(
            "RAIL_TOO_THIN",
            f"Only {length_text(max(rail.under_head_mm, 0))} of rail is left under the head.",
            f"At least {length_text(WOOD_BESIDE_MM)} carries the screw.",
            "Use a thicker rail or a shallower counterbore.",
            fields=("rail_thickness_mm", "counterbore_mm"),
        )
    return rail


def _bounds(bound: str, season: Season, course: YearlyMoisture | None, draws: Draws) -> tuple[Array, Array]:
    """Driest and dampest moisture content in service [%] that the slots are sized for, in draws."""
    if bound == "air":
        low, high = (movement.in_service(season, mc, draws) for mc in (season.low_pct, season.high_pct))
        return low, high
    if course is None:
        raise Refusal(
            "NO_LAG",
            "How far the top lags behind its air is not known.",
            "The lag needs a place, and a species whose density is known.",
            "Leave out --bound lagged, or give --place burlington --indoor heated instead of the extremes.",
            fields=("bound",),
        )
    low, high = (movement.with_year(season, mc, draws) for mc in (course.low_pct, course.high_pct))
    return low, high


def _slot(
    position_mm: float, fixed_mm: float, top: Top, bounds: tuple[Array, Array], draws: Draws, screw: Screw
) -> Slot:
    distance = position_mm - fixed_mm
    moves = movement.movement(top, draws, max(abs(distance), 1.0))
    # Above fibre saturation nothing moves.
    dry, wet = (np.minimum(mc, moves.fibre_saturation_pct) for mc in bounds)
    now = movement.mc_now(top, draws)
    if now is None:
        # Nobody knows where in the slot the screw stands: the whole travel must fit on either side.
        out, _ = travel_mm(distance, moves.width, dry, dry, wet)
        back = out
    else:
        now = np.minimum(now, moves.fibre_saturation_pct)
        out, back = travel_mm(distance, moves.width, now, dry, wet)
    return Slot(
        position_mm,
        distance,
        draws.range(out),
        draws.range(back),
        draws.range(screw.clearance_mm + out + back),
        screw.clearance_mm,
    )


def _row(slot: Slot, screw: Screw, washer: Washer, bite: Grip, pilot: float | None) -> Fastener:
    return Fastener(
        position_mm=slot.position_mm,
        hole="slot" if slot.slides else "round",
        travel_out_mm=slot.travel_out,
        travel_in_mm=slot.travel_in,
        slot_length_mm=slot.length,
        slot_width_mm=slot.width_mm,
        start_mm=slot.travel_in,
        cut_length_mm=slot.cut_length_mm,
        cut_start_mm=slot.cut_start_mm,
        screw_from_end_mm=slot.cut_start_mm + slot.width_mm / 2.0 if slot.slides else None,
        washer_od_mm=washer.outside_mm,
        screw_length_mm=bite.length_mm,
        pilot_mm=pilot,
        pilot_depth_mm=bite.in_top_mm,
    )


def _refuse_locking(screw: Screw, slots: list[Slot]) -> None:
    if screw.countersunk and any(slot.slides for slot in slots):
        raise Refusal(
            "COUNTERSUNK_SLIDES",
            f"A {screw.name} does not slide: its cone centres itself in the slot and locks.",
            "A screw that slides has a flat underside: a round, pan, washer or hex head on a washer.",
            "Choose a round or pan head, such as --screw '#10'.",
            fields=("screw",),
        )


def _refuse_unbuildable(slots: list[Slot], rail: Rail, top: Top) -> None:
    widest = max(slots, key=lambda slot: slot.cut_length_mm)
    across_rail = widest.cut_length_mm if rail.direction == "along" else widest.width_mm
    least = across_rail + 2 * WOOD_BESIDE_MM
    if rail.width_mm < least:
        raise Refusal(
            "NO_WOOD_BESIDE_SLOT",
            f"A slot that takes {length_text(across_rail)} of a {length_text(rail.width_mm)} rail leaves too "
            "little wood beside it.",
            f"At least {length_text(WOOD_BESIDE_MM)} stays on each side (common practice): a rail of "
            f"{length_text(least)} or more.",
            "Use a wider rail, dry the wood first, or fix the top nearer to these screws.",
            fields=("rail_width_mm",),
        )
    if rail.direction == "along":
        return
    ends = [slot.ends_mm for slot in slots]
    for (_, back), (front, _), slot in zip(ends, ends[1:], slots[1:], strict=False):
        if front - back < WOOD_BESIDE_MM:
            raise Refusal(
                "SLOTS_MEET",
                f"The slot of the screw at {length_text(slot.position_mm)} comes too near the one before it.",
                f"At least {length_text(WOOD_BESIDE_MM)} of rail stays between two slots (common practice).",
                "Put the screws farther apart.",
                fields=("at_mm",),
            )
    if ends[0][0] <= 0 or ends[-1][1] >= top.width_mm:
        raise Refusal(
            "SLOT_OFF_RAIL",
            "The slot of an outer screw runs off the end of the rail.",
            "The rail is taken to end with the top.",
            "Move the outer screws inward.",
            fields=("at_mm",),
        )


def _washer(request: Request, screw: Screw, slots: list[Slot], rail: Rail, catalogue: Catalogue) -> Washer:
    width = slots[0].width_mm
    if request["washer"] is None:
        return washer_for(screw, width, rail.width_mm, catalogue)
    washer = catalogue.washers.get(request["washer"])
    fault = washer_fault(washer, screw, width)
    if fault:
        raise Refusal(
            "WASHER_DOES_NOT_COVER",
            fault[0],
            fault[1],
            "Leave out --washer to have one chosen.",
            fields=("washer",),
        )
    return washer


def _thinning(top: Top, season: Season, draws: Draws) -> Range | None:
    """How much thinner the top gets from today to its driest [mm]: what loosens a screw."""
    now = movement.mc_now(top, draws)
    if now is None or top.thickness_mm is None:
        return None
    moves = movement.movement(top, draws)
    dry = movement.in_service(season, season.low_pct, draws)
    dry, now = (np.minimum(mc, moves.fibre_saturation_pct) for mc in (dry, now))
    return draws.range(top.thickness_mm * moves.thickness * (now - dry).clip(min=0.0))


def _months(season: Season, course: YearlyMoisture | None) -> tuple[int | None, int | None]:
    """The driest and the dampest month of the top: as it lags where that is known, else as its air."""
    if season.driest_month is None or season.dampest_month is None or course is None:
        return season.driest_month, season.dampest_month
    dry, wet = (season_advice.month_of(day) for day in (course.low_day, course.high_day))
    return dry, wet


def _through_the_years(
    slots: list[Slot], top: Top, course: YearlyMoisture | None, draws: Draws
) -> Table | None:
    """Where each sliding screw stands by month, from the inner end of its travel [mm], in the first two
    years."""
    if course is None or course.start is None or top.mc_now_pct is None:
        return None
    numbered = [(number, slot) for number, slot in enumerate(slots, start=1) if slot.slides]
    coefficients = [
        float(movement.movement(top, draws, max(abs(slot.distance_mm), 1.0)).width[0]) for _, slot in numbered
    ]
    columns = {"when": Shown("when"), "mc_pct": Shown("MC", quantity.MOISTURE)} | {
        f"screw_{number}_mm": Shown(f"screw {number}", quantity.FINE_LENGTH) for number, _ in numbered
    }
    rows = []
    for when, mc in zip(season_advice.month_names(course), course.mean_pct[:, 0], strict=True):
        stands = [
            float(slot.cut_start_mm + abs(slot.distance_mm) * coefficient * (mc - top.mc_now_pct))
            for (_, slot), coefficient in zip(numbered, coefficients, strict=True)
        ]
        rows.append((when, float(mc), *stands))
    return Table(columns, tuple(rows))


def _lag_warnings(
    bound: str,
    slots: list[Slot],
    top: Top,
    season: Season,
    course: YearlyMoisture | None,
    draws: Draws,
    screw: Screw,
) -> list[Warning]:
    """What the lag of a thick top would save, or what leaving it out of the slots risks."""
    if course is None:
        return []
    farthest = max(slots, key=lambda slot: abs(slot.distance_mm))
    other = _bounds("lagged" if bound == "air" else "air", season, course, draws)
    fixed_mm = farthest.position_mm - farthest.distance_mm
    otherwise = _slot(farthest.position_mm, fixed_mm, top, other, draws, screw)
    difference = abs(farthest.cut_length_mm - otherwise.cut_length_mm)
    if difference < NEGLIGIBLE_MM:
        return []
    if bound == "air":
        return [
            Warning(
                "LAG_WOULD_SAVE",
                "The slots hold what the air could make of the top in time. As thick and as finished as it "
                "is, the longest could be {saving_mm} shorter: --bound lagged (bound of [slots] in a "
                "job file).",
                {"saving_mm": difference},
            )
        ]
    return [
        Warning(
            "SIZED_FOR_LAG",
            "The slots count on the thickness and the finish of the top to slow it. Thinned, left bare or in "
            "a longer dry spell, the longest would need {more_mm} more.",
            {"more_mm": difference},
        )
    ]


def _moisture_warnings(top: Top, season: Season, slots: list[Slot]) -> list[Warning]:
    farthest = max(slots, key=lambda slot: abs(slot.distance_mm))
    total = farthest.travel_out.expected + farthest.travel_in.expected
    if top.mc_now_pct is None:
        return [
            Warning(
                "MC_UNKNOWN",
                "The moisture content at assembly is not known, so each slot holds the whole travel on both "
                "sides and the screw starts in the middle. A meter reading would shorten the longest slot by "
                "up to {saving_mm}.",
                {"saving_mm": total / 2},
            )
        ]
    beyond = max(top.mc_now_pct - season.high_pct, season.low_pct - top.mc_now_pct)
    if beyond <= 0:
        return []
    span = max(top.mc_now_pct, season.high_pct) - min(top.mc_now_pct, season.low_pct)
    growth = total * beyond / span
    if growth < LEAST_GROWTH_MM:
        return []
    verb = "Dry the wood first" if top.mc_now_pct > season.high_pct else "Let the wood settle first"
    return [
        Warning(
            "DRY_FIRST" if top.mc_now_pct > season.high_pct else "SETTLE_FIRST",
            f"{verb}, or the longest slot grows by {{growth_mm}}: assembled at {{mc_now_pct}}, in service "
            "{mc_low_pct} to {mc_high_pct}.",
            {
                "growth_mm": growth,
                "mc_now_pct": top.mc_now_pct,
                "mc_low_pct": season.low_pct,
                "mc_high_pct": season.high_pct,
            },
        )
    ]


def _lumber_warnings(
    lumber_pct: float | None,
    slots: list[Slot],
    top: Top,
    season: Season,
    bounds: tuple[Array, Array],
    draws: Draws,
    screw: Screw,
) -> list[Warning]:
    """What it would cost to assemble the lumber as wet as it is today."""
    if lumber_pct is None or top.mc_now_pct is None or lumber_pct <= max(season.high_pct, top.mc_now_pct):
        return []
    farthest = max(slots, key=lambda slot: abs(slot.distance_mm))
    fixed_mm = farthest.position_mm - farthest.distance_mm
    wet = _slot(farthest.position_mm, fixed_mm, replace(top, mc_now_pct=lumber_pct), bounds, draws, screw)
    growth = wet.cut_length_mm - farthest.cut_length_mm
    if growth < LEAST_GROWTH_MM:
        return []
    return [
        Warning(
            "DRY_FIRST",
            "Dry the wood first, or the longest slot grows by {growth_mm}: the lumber is at {lumber_pct} "
            "today, and these slots are for {mc_now_pct} at assembly.",
            {
                "growth_mm": growth,
                "lumber_pct": lumber_pct,
                "mc_now_pct": top.mc_now_pct,
            },
        )
    ]


def _screw_warnings(
    bite: Grip, screw: Screw, pilot: float | None, washer: Washer, slots: list[Slot]
) -> list[Warning]:
    notes = []
    if LEAST_RESERVE_MM <= bite.reserve_mm < RESERVE_MM:
        notes.append(
            Warning(
                "THIN_OVER_TIP",
                "Only {reserve_mm} of wood stays over the tip of the screw; {wanted_mm} is usual. "
                "A dimple may show.",
                {"reserve_mm": bite.reserve_mm, "wanted_mm": RESERVE_MM},
            )
        )
    if bite.in_top_mm < 6 * screw.major_mm:
        notes.append(
            Warning(
                "SHORT_GRIP",
                "The screw reaches only {in_top_mm} into the top, less than six of its diameters: it holds "
                "the top down, but do not count on it for strength.",
                {"in_top_mm": bite.in_top_mm},
            )
        )
    if pilot is None:
        notes.append(
            Warning(
                "NO_PILOT",
                "No table gives the root of this screw's thread: try the pilot hole in scrap first.",
            )
        )
    if screw.head_mm is None:
        notes.append(
            Warning(
                "HEAD_UNKNOWN",
                "No table gives the head of this screw: see that the washer stops it.",
            )
        )
    if washer.outside_mm < slots[0].width_mm + 2 * WANTED_BEARING_MM:
        notes.append(
            Warning(
                "SMALL_WASHER",
                "The washer bears on less than {bearing_mm} of wood on each side of the slot: "
                "a wider one crushes the rail less.",
                {"bearing_mm": WANTED_BEARING_MM},
            )
        )
    return notes


def _end_warnings(slots: list[Slot], rail: Rail, screw: Screw, top: Top) -> list[Warning]:
    if rail.direction == "along":
        return []
    half = slots[0].width_mm / 2
    nearest = min(slots[0].ends_mm[0] + half, top.width_mm - slots[-1].ends_mm[1] + half)
    wanted = END_DISTANCE_DIAMETERS * screw.major_mm
    if nearest >= wanted:
        return []
    return [
        Warning(
            "NEAR_RAIL_END",
            "At the end of its travel an outer screw stands {nearest_mm} from the end of the rail; "
            "{wanted_mm} (ten diameters, prebored) keeps the rail from splitting.",
            {"nearest_mm": nearest, "wanted_mm": wanted},
        )
    ]


def _hold_warnings(slots: list[Slot], fixed_mm: float, top_mm: float) -> list[Warning]:
    if not all(slot.slides for slot in slots):
        return []
    # No screw stands on an edge.
    remedy = (
        "put a screw in a round hole {fixed_mm} from the front edge, or a stop there."
        if 0.0 < fixed_mm < top_mm
        else "put a stop against that edge, or let the line of an outer screw be the fixed one."
    )
    return [
        Warning(
            "NOTHING_HOLDS",
            "Every screw slides, so nothing holds the fixed line and the top can walk: " + remedy,
            {"fixed_mm": fixed_mm},
        )
    ]


def _assumptions(request: Request, spread: bool, rail: Rail) -> list[Assumption]:
    notes = [
        Assumption(
            "SLOT_IN_BASE",
            "The screws stand in the top and the slots are in a rigid rail that runs {direction} the grain "
            "of the top, {rail_width_mm} wide and {rail_thickness_mm} thick; the long axis of each slot lies "
            "across the grain of the top. Starts are measured from the end nearest the fixed line.",
            {
                "direction": rail.direction,
                "rail_width_mm": rail.width_mm,
                "rail_thickness_mm": rail.thickness_mm,
            },
        ),
        Assumption(
            "CUT_COVERS_DOUBT",
            "The slot to cut covers both travels with their doubt (90 %); the travels are beside it.",
        ),
    ]
    if spread:
        notes.append(
            Assumption(
                "POSITIONS_CHOSEN",
                "Screws are put {inset_mm} inside the edges, on the fixed line, and at most {spacing_mm} "
                "apart.",
                {"inset_mm": INSET_MM, "spacing_mm": SPACING_MM},
            )
        )
    if rail.direction == "across":
        notes.append(Assumption("RAIL_ENDS", "The rail is taken to end with the edges of the top."))
    return notes


CAUTIONS = (
    Caution(
        "SNUG_NOT_TIGHT",
        "Drive sliding screws snug, not tight: a top that cannot slide splits, or lifts its base.",
    ),
    Caution(
        "TURNING_A_TOP",
        "A thick top is heavy: turn it over with helpers or a hoist, clamp it before you drill upward "
        "into it, and wear eye protection. Local rules come first.",
    ),
    Caution("DEPTH_STOP", "Drill with a depth stop, and measure the screw before you drive it."),
)

SLOTS = CommandSpec(
    "slots",
    "How long each screw slot in the base must be, where its screw starts, and which screw and washer.",
    (
        "woodmove slots --species northern-red-oak --top-width 36in --top-thickness 1in --rings flat "
        "--mc-now 8 --mc-low 6 --mc-high 11",
        "woodmove slots --species douglas-fir-coast --top-width 30in --top-thickness 3in --rings on-edge "
        "--mc-now 13 --place burlington --indoor heated --at 2in,15in,28in",
    ),
    PARAMS,
    ask,
    table="fasteners",
    line="How long each screw slot must be",
    stage=Stage.FIX,
)

SECTION = Section(
    "slots", "The screw slots", SLOTS, Stage.FIX, "Fix", card=card, checks=checks, day=groups.BUILD_DATE
)
