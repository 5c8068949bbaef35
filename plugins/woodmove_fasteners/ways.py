"""Ways to fix a top: what each lets the farthest screw travel, against what it needs."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import sqrt
from typing import Annotated

from woodmove.extend.api import (
    Base,
    Catalogue,
    Note,
    Refusal,
    Screw,
    Shown,
    length_text,
    note,
    quantity,
    results,
)
from woodmove_fasteners.choose import fitting_washers
from woodmove_fasteners.geometry import NEGLIGIBLE_MM, Slot, up_to
from woodmove_fasteners.shop import INCH, Shop

# Of a button's tongue in its groove at the driest, of wood under the rim of a washer, and the deepest groove
# that anybody cuts for buttons (status: common practice).
TONGUE_MM, LAND_MM, DEEPEST_MM = INCH / 8, INCH / 16, 0.75 * INCH
# Sizes where nobody measured his own: a groove 1/2 in deep (common practice), 5/8 in between the two screws
# of a swivel plate, a slot of 1/2 in in an angle (judgement: makers differ).
GROOVE_MM, SWIVEL_MM, ANGLE_SLOT_MM = 0.5 * INCH, 0.625 * INCH, 0.5 * INCH


@results
class Way:
    """A way to fix the top, and whether it would do where the top moves most."""

    way: Annotated[str, Shown("way", None, "key")]
    does: Annotated[bool, Shown("does", None, "key")]
    allows_out_mm: Annotated[float, Shown("allows out", quantity.GAP, "key")]
    needs_out_mm: Annotated[float, Shown("needs out", quantity.GAP, "key")]
    allows_in_mm: Annotated[float, Shown("allows in", quantity.GAP, "key")]
    needs_in_mm: Annotated[float, Shown("needs in", quantity.GAP, "key")]
    how: Annotated[Note, Shown("how", None, "key")]


@dataclass(frozen=True, slots=True)
class Sizes:
    """Fittings as measured [mm]: depth of a groove, screw to screw of a swivel plate, slot of an angle."""

    groove_mm: float = GROOVE_MM
    swivel_mm: float = SWIVEL_MM
    angle_slot_mm: float = ANGLE_SLOT_MM


AS_CUT = note("AS_CUT", "{length_mm} long, as above", length_mm=quantity.SLOT)
BORE = note(
    "BORE", "{bit_mm} bit, screw in the middle, washer {washer_mm} across", bit_mm=quantity.BORE,
    washer_mm=quantity.FINE_LENGTH,
)  # fmt: skip
NO_COVER = note("NO_COVER", "no washer covers {bit_mm}", bit_mm=quantity.BORE)
IN_AND_OUT = note(
    "IN_AND_OUT", "{clear_mm} clear in a {groove_mm} groove; tongue in {dry_mm} at its driest",
    clear_mm=quantity.FINE_LENGTH, groove_mm=quantity.FINE_LENGTH, dry_mm=quantity.GAP,
)  # fmt: skip
SIDEWAYS = note(
    "SIDEWAYS", "in a groove, or mortises {longer_mm} longer than the button", longer_mm=quantity.LENGTH
)
NOT_IN_METAL = note("NOT_IN_METAL", "not in metal")
SWINGS = note(
    "SWINGS", "{apart_mm} between its screws; for tops up to 18 in (460 mm)", apart_mm=quantity.LENGTH
)
ANGLE = note(
    "ANGLE", "slot {slot_mm}, screw {start_mm} from its inner end", slot_mm=quantity.FINE_LENGTH,
    start_mm=quantity.FINE_LENGTH,
)  # fmt: skip
FIXED_ONLY = note("FIXED_ONLY", "only on the fixed line")


def ways_of(
    slot: Slot, screw: Screw, base: Base, sizes: Sizes, shop: Shop, catalogue: Catalogue
) -> tuple[Way, ...]:
    """Each way, measured by the screw that travels farthest.

    :param slot: its slot, whose travels are needed with their bands
    """
    return tuple(_ways(slot, screw, base, sizes, shop, catalogue))


def refuse_shallow(groove_mm: float, slot: Slot) -> None:
    """Refuse a groove out of which any button falls.

    :raises Refusal: it is no deeper than the travel
    """
    travel = slot.travel_out.high + slot.travel_in.high
    deep = up_to(travel + TONGUE_MM, INCH / 16)
    if groove_mm <= travel:
        raise Refusal(
            "GROOVE_TOO_SHALLOW",
            f"A groove {length_text(groove_mm)} deep is shallower than the travel, {length_text(travel)}.",
            "A button must stay in it at the driest and not bottom at the dampest.",
            f"Cut it {length_text(deep)} deep, or leave out groove=."
            if deep <= DEEPEST_MM
            else "No groove is so deep: leave out groove=, and use slots.",
            fields=("groove_mm",),
        )


def _ways(
    slot: Slot, screw: Screw, base: Base, sizes: Sizes, shop: Shop, catalogue: Catalogue
) -> Iterator[Way]:
    out, back = slot.travel_out.high, slot.travel_in.high

    def way(name: str, allows_out: float, allows_in: float, how: Note, *, may: bool = True) -> Way:
        fits = allows_out >= out - 1e-6 and allows_in >= back - 1e-6
        return Way(
            way=name, does=may and fits, allows_out_mm=max(0.0, allows_out), needs_out_mm=out,
            allows_in_mm=max(0.0, allows_in), needs_in_mm=back, how=how,
        )  # fmt: skip

    yield way("slots", slot.cut_out_mm, slot.cut_in_mm, AS_CUT(length_mm=slot.cut_length_mm))

    bit = up_to(screw.major_mm + 2 * max(out, back), shop.step_mm)
    play = (bit - screw.major_mm) / 2
    # The screw hard against one side, its washer still covers the other.
    least = 2 * bit - screw.major_mm + 2 * LAND_MM
    covers = [
        washer.outside_mm
        for washer in fitting_washers(screw, bit, catalogue)
        if least <= washer.outside_mm <= base.width_mm
    ]
    how = BORE(bit_mm=bit, washer_mm=min(covers)) if covers else NO_COVER(bit_mm=bit)
    yield way("oversize holes under washers", play, play, how, may=bool(covers))

    if base.made.metal:
        yield way("buttons in a groove", 0.0, 0.0, NOT_IN_METAL(), may=False)
        yield way("two-part swivel plates", 0.0, 0.0, NOT_IN_METAL(), may=False)
    else:
        yield _buttons(way, slot, base, sizes, shop)
        # Beyond this the plate pulls the top along its rail by more than the screws give (derived).
        swing = sqrt(2 * sizes.swivel_mm * NEGLIGIBLE_MM - NEGLIGIBLE_MM**2)
        yield way("two-part swivel plates", swing, swing, SWINGS(apart_mm=sizes.swivel_mm))
    room = sizes.angle_slot_mm - screw.major_mm
    inward = min(back, max(room, 0.0))
    how = ANGLE(slot_mm=sizes.angle_slot_mm, start_mm=inward + screw.major_mm / 2)
    yield way("slotted angles", room - inward, inward, how)
    plain = (screw.clearance_mm - screw.major_mm) / 2
    yield way("plain holes", plain, plain, FIXED_ONLY(), may=False)


def _buttons(way, slot: Slot, base: Base, sizes: Sizes, shop: Shop) -> Way:
    """Buttons: along a rail that runs across the grain they slide; in one that runs along it they go in and
    out."""
    if base.direction == "across":
        longer = slot.cut_out_mm + slot.cut_in_mm
        return way("buttons in a groove", slot.cut_out_mm, slot.cut_in_mm, SIDEWAYS(longer_mm=longer))
    clear = up_to(slot.travel_out.high, shop.step_mm / 2)
    engaged = sizes.groove_mm - clear
    how = IN_AND_OUT(
        clear_mm=clear, groove_mm=sizes.groove_mm, dry_mm=max(0.0, engaged - slot.travel_in.high)
    )
    return way("buttons in a groove", clear, engaged - TONGUE_MM, how)
