"""What to look for in the yard, and how many boards to meter."""

import math
from typing import Annotated, Literal

from woodmove.advice.doubt import inputs as doubt
from woodmove.contract.notes import Note, note
from woodmove.contract.quantity import LENGTH
from woodmove.contract.shown import Shown, results

# A meter check should tell the mean of the purchase within so much, nine times of ten (status: judgement).
METER_WITHIN_POINTS = 2.0
METER_SHARE = 0.10  # at least this part of the pieces (source: fpl-gtr-282, note to Table 13-2)
# A crook that one sees along an edge (status: judgement).
LEAVE_CROOK_MM = 9.525

STAMP = note("STAMP", "Take KD-HT, KD or S-DRY (19 % at most), better KD15 or MC15 (15 %). Leave S-GRN.")
KILN_DRIED = note("KILN_DRIED", "Take kiln-dried: 19 % at most, better 15 %. Leave what is sold green.")
METER_THEM = note("METER_THEM", "Meter {meter}, the heavy ones among them. Leave any above 19 %.", meter=None)
SIGHT_THE_EDGE = note(
    "SIGHT_THE_EDGE", "Sight along it. Leave more crook than {crook_mm} over a strip.", crook_mm=LENGTH
)
# What to leave besides, as one sees it.
LOOKS = (
    ("face", note("FACE", "Sight along it. Leave a bow that you cannot press flat by hand.")),
    ("twist", note("TWIST", "Lay it flat. Leave it if the ends are more than 3 degrees apart over a strip.")),
    (
        "compression wood",
        note("COMPRESSION_WOOD", "Leave a dark, dull, hard edge or face: it moves when it is ripped."),
    ),
    ("slope of grain", note("SLOPE", "Leave more than 1 in 12, by a scribe line on the flat face.")),
    (
        "knots",
        note(
            "KNOTS",
            "Leave edge knots where a cut will run. Small tight ones in the middle do no harm.",
        ),
    ),
    ("wane", note("WANE", "Leave bark or missing wood where a strip will be.")),
)
ENDS = note("ENDS", "Leave the pith, unless one strip off each edge throws it out. Take flat wide arcs.")
SPLITS = note("SPLITS", "Leave splits longer than what you trim off.")


@results
class Look:
    """Where to look in the yard, and what to take or leave."""

    look_at: Annotated[str, Shown("look at", None, "key")]
    take_or_leave: Annotated[Note, Shown("take or leave", None, "key")]


def meter_boards(boards: int) -> int:
    """How many boards of a purchase to meter.

    Derived: as many as tell the mean within :data:`METER_WITHIN_POINTS` nine times of ten, from the spread
    between bought boards and the noise of a reading; and at least a tenth of the boards.
    """
    spread = math.hypot(doubt.MC_UNMETERED.sd, doubt.METER_NOISE.sd)
    tell = math.ceil((doubt.BOUND_90 * spread / METER_WITHIN_POINTS) ** 2)
    return min(boards, max(tell, math.ceil(METER_SHARE * boards)))


def checklist(meter: int, prints: Literal["in", "mm"]) -> tuple[Look, ...]:
    """What to leave in the yard, in the order in which one sees it.

    :param meter: how many boards to meter
    :param prints: units of the reader; grade stamps of North America are told to those of inches
    """
    looks = (
        ("stamp", STAMP()) if prints == "in" else ("drying", KILN_DRIED()),
        ("moisture", METER_THEM(meter=meter)),
        ("ends", ENDS()),
        ("split ends", SPLITS()),
        ("edge", SIGHT_THE_EDGE(crook_mm=LEAVE_CROOK_MM)),
        *((look, words()) for look, words in LOOKS),
    )
    return tuple(Look(look_at=look, take_or_leave=words) for look, words in looks)
