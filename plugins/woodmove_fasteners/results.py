"""What the slots of a top are, as they are shown."""

from collections.abc import Iterator
from itertools import groupby
from typing import Annotated

from woodmove.extend.api import Check, Note, Range, Shown, Table, Verdict, note, quantity, results
from woodmove_fasteners.rails import LOOSE_MM, Rails
from woodmove_fasteners.tight import Tight
from woodmove_fasteners.ways import Way


@results
class Fastener:
    """A screw of the row, and its hole in the rail."""

    position_mm: Annotated[float, Shown("from the front edge", quantity.LENGTH)]
    hole: Annotated[str, Shown("hole")]
    cut_length_mm: Annotated[float, Shown("long", quantity.SLOT)]
    slot_width_mm: Annotated[float, Shown("wide", quantity.SLOT)]
    screw_from_end_mm: Annotated[float | None, Shown("screw from its inner end", quantity.FINE_LENGTH)]
    cut_out_mm: Annotated[float, Shown("way out", quantity.LENGTH)]
    cut_in_mm: Annotated[float, Shown("way in", quantity.LENGTH)]
    travel_out_mm: Annotated[Range, Shown("travels out", quantity.FINE_LENGTH)]
    travel_in_mm: Annotated[Range, Shown("travels in", quantity.FINE_LENGTH)]
    travel_mm: Annotated[Range, Shown("travels in all", quantity.FINE_LENGTH)]
    drive: Annotated[int, Shown("drive as number", None)]


@results
class Size:
    """Holes of one size, in the order in which their screws are driven."""

    at_mm: Annotated[tuple[float, ...], Shown("from the front edge", quantity.LENGTH, "key")]
    hole: Annotated[str, Shown("hole", None, "key")]
    cut_length_mm: Annotated[float, Shown("long", quantity.SLOT, "key")]
    slot_width_mm: Annotated[float, Shown("wide", quantity.SLOT)]
    screw_from_end_mm: Annotated[float | None, Shown("screw from its inner end", quantity.FINE_LENGTH, "key")]


def sizes_of(fasteners: tuple[Fastener, ...]) -> tuple[Size, ...]:
    """The holes of a row by their size, from the fixed line outward."""

    def size(row: Fastener) -> tuple[str, float, float, float | None]:
        return row.hole, row.cut_length_mm, row.slot_width_mm, row.screw_from_end_mm

    found: list[Size] = []
    for (hole, length, width, start), rows in groupby(sorted(fasteners, key=lambda row: row.drive), key=size):
        places = tuple(sorted(row.position_mm for row in rows))
        found.append(
            Size(at_mm=places, hole=hole, cut_length_mm=length, slot_width_mm=width, screw_from_end_mm=start)
        )
    return tuple(found)


@results
class Slots:
    """The slots of a row of screws."""

    longest_slot_mm: Annotated[float, Shown("longest slot", quantity.SLOT)]
    screw: Annotated[str, Shown("screw", None, "key")]
    screw_length_mm: Annotated[float, Shown("screw long", quantity.LENGTH, "key")]
    washer: Annotated[str, Shown("washer", None, "key")]
    pilot_mm: Annotated[float | None, Shown("pilot bit", quantity.BORE, "key")]
    pilot_depth_mm: Annotated[float, Shown("pilot deep", quantity.LENGTH)]
    washer_od_mm: Annotated[float, Shown("washer across", quantity.FINE_LENGTH)]
    screws: Annotated[int, Shown("screws in all")]
    fixed_mm: Annotated[float, Shown("fixed line, from the front edge", quantity.LENGTH)]
    mc_now_pct: Annotated[float | None, Shown("moisture at assembly", quantity.MOISTURE)]
    mc_low_pct: Annotated[float, Shown("driest air, as moisture", quantity.MOISTURE)]
    mc_high_pct: Annotated[float, Shown("dampest air, as moisture", quantity.MOISTURE)]
    driest_month: Annotated[int | None, Shown("driest month")]
    dampest_month: Annotated[int | None, Shown("dampest month")]
    wood_over_tip_mm: Annotated[float, Shown("wood over the tip", quantity.FINE_LENGTH)]
    rails: Annotated[Rails, Shown("the base")]
    why_slots: Annotated[Note | None, Shown("why slots")]
    if_held: Annotated[Tight | None, Shown("if it were screwed tight today")]
    sizes: Annotated[tuple[Size, ...], Shown("holes in each rail", None, "key")]
    fasteners: Annotated[tuple[Fastener, ...], Shown("screw by screw")]
    ways: Annotated[tuple[Way, ...], Shown("ways to fix it")]
    screw_months: Annotated[
        Table | None, Shown("where each sliding screw stands, from the inner end of its travel")
    ]


CUT = note(
    "CUT", "Cut slots {width_mm} wide and up to {length_mm} long, across the grain of the top.",
    width_mm=quantity.SLOT, length_mm=quantity.SLOT,
)  # fmt: skip
FIXED_FIRST = note(
    "FIXED_FIRST",
    "Drive the screw at {at_mm} first, in the only round hole. Then work outward, snug, not tight.",
    at_mm=quantity.LENGTH,
)  # fmt: skip
NONE_ROUND = note(
    "NONE_ROUND",
    "No screw stands on the fixed line: peg or cleat the top there first. Then drive outward, snug, not "
    "tight.",
)
WOULD_DO = note("WOULD_DO", "Would do too: {ways}.", ways=None)
NO_OTHER = note("NO_OTHER", "No other usual way allows so much.")
ALL_ROUND = note("ALL_ROUND", "All screws stand on the fixed line: round holes do.")
SCREW_AND_WASHER = note(
    "SCREW_AND_WASHER", "{screw}, {length_mm} long, washer {washer_mm} across, slots {width_mm} wide:",
    screw=None, length_mm=quantity.LENGTH, washer_mm=quantity.FINE_LENGTH, width_mm=quantity.SLOT,
)  # fmt: skip
SLOT_AT = note(
    "SLOT_AT", "at {at_mm}: {length_mm} long, screw {start_mm} from the inner end;", at_mm=quantity.LENGTH,
    length_mm=quantity.SLOT, start_mm=quantity.FINE_LENGTH,
)  # fmt: skip
LAST_SLOT_AT = note(
    "SLOT_AT", "at {at_mm}: {length_mm} long, screw {start_mm} from the inner end.", at_mm=quantity.LENGTH,
    length_mm=quantity.SLOT, start_mm=quantity.FINE_LENGTH,
)  # fmt: skip
ROUND_AT = note("ROUND_AT", "at {at_mm}: round hole, drive it first;", at_mm=quantity.LENGTH)
ONLY_ROUND_AT = note("ROUND_AT", "at {at_mm}: round hole.", at_mm=quantity.LENGTH)
STUCK = "If one does, take it out and lengthen the slot on that side."
SNUG_DRY = note(
    "SNUG_DRY",
    "The year's driest: snug each screw again, not tight. None may stand at the inner end of its slot. "
    + STUCK,
)
SNUG_RAILS = note(
    "SNUG_RAILS",
    "The rails are at their driest, {shrinks_mm} thinner under the heads: snug each screw, not tight. None "
    "may stand at the inner end of its slot. " + STUCK,
    shrinks_mm=quantity.GAP,
)  # fmt: skip
FREE_WET = note("FREE_WET", "The year's dampest: no screw may stand at the outer end of its slot. " + STUCK)


def verdict(found: Slots) -> Verdict:
    """What to cut, and what to drive first."""
    sliding = [row for row in found.fasteners if row.hole == "slot"]
    fixed = [row.position_mm for row in found.fasteners if row.hole == "round"]
    if not sliding:
        return Verdict("go", (ALL_ROUND(),))
    cut = CUT(width_mm=sliding[0].slot_width_mm, length_mm=found.longest_slot_mm)
    others = [way.way for way in found.ways[1:] if way.does]
    return Verdict(
        "go",
        (
            cut,
            FIXED_FIRST(at_mm=fixed) if fixed else NONE_ROUND(),
            WOULD_DO(ways=others) if others else NO_OTHER(),
        ),
    )


def card(found: Slots) -> Iterator[Note]:
    """A line for each size of slot, in the order in which their screws are driven."""
    yield SCREW_AND_WASHER(
        screw=found.screw, length_mm=found.screw_length_mm, washer_mm=found.washer_od_mm,
        width_mm=found.sizes[0].slot_width_mm,
    )  # fmt: skip
    for number, size in enumerate(found.sizes, start=1):
        last = number == len(found.sizes)
        if size.screw_from_end_mm is None:
            yield (ONLY_ROUND_AT if last else ROUND_AT)(at_mm=size.at_mm)
        else:
            yield (LAST_SLOT_AT if last else SLOT_AT)(
                at_mm=size.at_mm, length_mm=size.cut_length_mm, start_mm=size.screw_from_end_mm
            )


def checks(found: Slots) -> Iterator[Check]:
    """When to look at the screws: as the top lags where that is known, else as its air."""
    if found.driest_month is None or found.dampest_month is None:
        return
    shrinks = found.rails.shrinks_mm
    loose = shrinks is not None and shrinks.high >= LOOSE_MM
    yield Check(SNUG_RAILS(shrinks_mm=shrinks) if loose else SNUG_DRY(), month=found.driest_month)
    yield Check(FREE_WET(), month=found.dampest_month)
