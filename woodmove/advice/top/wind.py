"""How much wind the twist of its strips leaves in a top."""

from typing import Annotated

import numpy as np

from woodmove.advice.boards.warp import TYPICAL
from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top.movement import FELT_MM
from woodmove.contract import quantity
from woodmove.contract.notes import Note, assumption, warning
from woodmove.contract.ranges import Range
from woodmove.contract.shown import Shown, results
from woodmove.physics.warp import corner_lift_mm, slab_twist_deg, twist_from_lift_deg


@results
class Wind:
    """Wind of a top, as the lift of its free corner while the other three lie flat."""

    one_hand_mm: Annotated[Range, Shown("strips all of one hand", quantity.GAP)]
    mixed_mm: Annotated[Range, Shown("hands mixed", quantity.GAP)]
    no_cauls_mm: Annotated[Range, Shown("all of one hand, glued without flat cauls", quantity.GAP)]
    takes_mm: Annotated[Range, Shown("planing takes, at each of two corners, up to", quantity.GAP)]


ALTERNATE_HANDS = warning(
    "ALTERNATE_HANDS",
    "Strips that all twist one way leave {wind_mm} of wind in the top. Before the glue-up, lay them so that "
    "the hands alternate, and clamp them between flat cauls.",
    wind_mm=quantity.GAP,
)  # fmt: skip
WIND_MEANS = assumption(
    "WIND_MEANS",
    "Wind is counted for strips that lift a corner by {twist_mm} before the glue-up. They are clamped flat "
    "while they are glued. Turning a strip end for end does not undo its twist. Planing takes half of the "
    "wind at each of two corners.",
    twist_mm=quantity.GAP,
)
NO_WIND = assumption(
    "NO_WIND",
    "Turning a strip end for end does not undo its twist, so strips leave some wind in a top. It is not "
    "counted here: say how much a strip lifts and how thick it is (--strip-twist, --strip-thickness), and "
    "sight the top across two straight sticks before the final flattening.",
)


def wind(lift_mm: float, thick_mm: float, deep_mm: float, width_mm: float, draws: Draws) -> Wind:
    """Wind of a top of strips on edge.

    :param lift_mm: of a corner of a strip before the glue-up, on average; at most the width of its wide face
    :param thick_mm: of a strip
    :param deep_mm: thickness of the top
    :param width_mm: of the top
    """
    count = max(1, round(width_mm / thick_mm))
    face = max(thick_mm, deep_mm)
    # What many strips are read at averages out; what one person reads too high or too low does not.
    lift = np.clip(lift_mm + draws.deviation(doubt.TWIST_READING), 0.0, face)
    twist = np.asarray(twist_from_lift_deg(lift, np.full_like(lift, face)))
    # Of strips of either hand, taken as they come, some cancel: the sum of as many signs is about normal.
    lies = np.abs(draws.deviation(doubt.LYING))
    lies[0] = TYPICAL
    left = np.ones_like(lies) if count == 1 else np.minimum(lies * count**-0.5, 1.0)
    slab = np.asarray(slab_twist_deg(np.broadcast_to(twist, (count, twist.size)), thick_mm, deep_mm))
    one_hand = np.asarray(corner_lift_mm(width_mm, slab))
    return Wind(
        one_hand_mm=draws.range(one_hand),
        mixed_mm=draws.range(np.asarray(corner_lift_mm(width_mm, slab * left))),
        no_cauls_mm=draws.range(np.asarray(corner_lift_mm(width_mm, twist))),
        takes_mm=draws.range(one_hand / 2.0),
    )


def wind_notes(found: Wind | None, lift_mm: float | None) -> tuple[Note, ...]:
    """What to do about it, and what it was computed for."""
    if found is None or lift_mm is None:
        return (NO_WIND(),)
    gains = found.one_hand_mm.expected - found.mixed_mm.expected
    felt = (ALTERNATE_HANDS(wind_mm=found.one_hand_mm),) if gains >= FELT_MM else ()
    return (*felt, WIND_MEANS(twist_mm=lift_mm))
