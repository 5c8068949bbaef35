"""What the slots of a top are, as they are shown."""

from collections.abc import Iterator
from itertools import groupby
from typing import Annotated

from woodmove.extend.api import Check, Note, Range, Shown, Table, Verdict, note, quantity, results
from woodmove.extend.science import held_advice


@results
class Fastener:
    """A screw of the row, and its hole in the rail."""

    position_mm: Annotated[float, Shown("from the front edge", quantity.LENGTH, "key")]
    hole: Annotated[str, Shown("hole", None, "key")]
    cut_length_mm: Annotated[float | None, Shown("slot long", quantity.SLOT, "key")]
    screw_from_end_mm: Annotated[float | None, Shown("screw from inner end", quantity.FINE_LENGTH, "key")]
    slot_width_mm: Annotated[float, Shown("wide", quantity.SLOT, "key")]
    travel_out_mm: Annotated[Range, Shown("travels out", quantity.FINE_LENGTH)]
    travel_in_mm: Annotated[Range, Shown("travels in", quantity.FINE_LENGTH)]
    slot_length_mm: Annotated[Range, Shown("slot long, with its doubt", quantity.FINE_LENGTH)]
    start_mm: Annotated[Range, Shown("screw from inner end of travel", quantity.FINE_LENGTH)]
    cut_start_mm: Annotated[
        float | None, Shown("screw from inner end of travel, as cut", quantity.FINE_LENGTH)
    ]
    washer_od_mm: Annotated[float, Shown("washer", quantity.GAP)]
    screw_length_mm: Annotated[float, Shown("screw long", quantity.LENGTH)]
    pilot_mm: Annotated[float | None, Shown("pilot hole", quantity.BORE)]
    pilot_depth_mm: Annotated[float, Shown("pilot deep", quantity.LENGTH)]


@results
class Slots:
    """The slots of a row of screws."""

    longest_slot_mm: Annotated[float, Shown("longest slot", quantity.SLOT, "headline")]
    screw: Annotated[str, Shown("screw", None, "key")]
    screw_length_mm: Annotated[float, Shown("screw long", quantity.LENGTH, "key")]
    washer: Annotated[str, Shown("washer", None, "key")]
    fixed_mm: Annotated[float, Shown("fixed line, from the front edge", quantity.LENGTH, "key")]
    mc_now_pct: Annotated[float | None, Shown("moisture at assembly", quantity.MOISTURE)]
    mc_low_pct: Annotated[float, Shown("driest air, as moisture", quantity.MOISTURE)]
    mc_high_pct: Annotated[float, Shown("dampest air, as moisture", quantity.MOISTURE)]
    driest_month: Annotated[int | None, Shown("driest month")]
    dampest_month: Annotated[int | None, Shown("dampest month")]
    wood_over_tip_mm: Annotated[float, Shown("wood over the tip", quantity.FINE_LENGTH)]
    thinning_mm: Annotated[Range | None, Shown("thinner at its driest by", quantity.GAP)]
    why_slots: Annotated[Note | None, Shown("why slots")]
    if_held: Annotated[held_advice.Held | None, Shown("if it were held rigidly from today")]
    fasteners: Annotated[tuple[Fastener, ...], Shown("slots in the rail", None, "key")]
    screw_months: Annotated[
        Table | None, Shown("where each sliding screw stands, from the inner end of its travel")
    ]


CUT = note(
    "CUT", "Cut slots {width_mm} wide and up to {length_mm} long; snug the screws, not tight.",
    width_mm=quantity.SLOT, length_mm=quantity.SLOT,
)  # fmt: skip
ONE_ROUND = note("ONE_ROUND", "Only the screw at {at_mm} gets a round hole.", at_mm=quantity.LENGTH)
NONE_ROUND = note(
    "NONE_ROUND", "No screw stands on the fixed line: hold the top there with a peg or a cleat."
)
ALL_ROUND = note("ALL_ROUND", "All screws stand on the fixed line: round holes do.")
SCREW_AND_WASHER = note(
    "SCREW_AND_WASHER", "{screw} x {length_mm} on a {washer}:", screw=None, length_mm=quantity.LENGTH,
    washer=None,
)  # fmt: skip
SLOT_AT = note(
    "SLOT_AT", "at {at_mm}: {length_mm} long, screw {start_mm} from the inner end;", at_mm=quantity.LENGTH,
    length_mm=quantity.SLOT, start_mm=quantity.FINE_LENGTH,
)  # fmt: skip
ROUND_AT = note("ROUND_AT", "at {at_mm}: round hole.", at_mm=quantity.LENGTH)
STUCK = "If one does, take it out and lengthen the slot on that side."
SNUG_DRY = note(
    "SNUG_DRY", "The year's driest: snug each screw again, not tight. None may stand at the inner end of its "
                "slot. " + STUCK,
)  # fmt: skip
FREE_WET = note("FREE_WET", "The year's dampest: no screw may stand at the outer end of its slot. " + STUCK)


def verdict(found: Slots) -> Verdict:
    """What to cut."""
    sliding = [row for row in found.fasteners if row.hole == "slot"]
    fixed = [row.position_mm for row in found.fasteners if row.hole == "round"]
    if not sliding:
        return Verdict("go", (ALL_ROUND(),))
    cut = CUT(width_mm=max(row.slot_width_mm for row in sliding), length_mm=found.longest_slot_mm)
    return Verdict("go", (cut, ONE_ROUND(at_mm=fixed) if fixed else NONE_ROUND()))


def card(found: Slots) -> Iterator[Note]:
    """A line for each size of slot."""
    yield SCREW_AND_WASHER(screw=found.screw, length_mm=found.screw_length_mm, washer=found.washer)

    def size(row: Fastener) -> tuple[float, float]:
        return round(row.cut_length_mm or 0.0, 3), round(row.screw_from_end_mm or 0.0, 3)

    for _, group in groupby(sorted(found.fasteners, key=lambda row: (-size(row)[0], size(row))), key=size):
        rows = list(group)
        places = [row.position_mm for row in rows]
        length, start = rows[0].cut_length_mm, rows[0].screw_from_end_mm
        if length is None or start is None or rows[0].hole == "round":
            yield ROUND_AT(at_mm=places)
        else:
            yield SLOT_AT(at_mm=places, length_mm=length, start_mm=start)


def checks(found: Slots) -> Iterator[Check]:
    """When to look at the screws: as the top lags where that is known, else as its air."""
    if found.driest_month is None or found.dampest_month is None:
        return
    yield Check(SNUG_DRY(), month=found.driest_month)
    yield Check(FREE_WET(), month=found.dampest_month)
