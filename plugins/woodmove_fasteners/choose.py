"""Choosing a screw, its length, its pilot hole and its washer."""

from dataclasses import dataclass

from woodmove.extend.api import Base, Catalogue, Refusal, Screw, Status, Washer, length_text
from woodmove_fasteners.lateral import oven_dry_gravity
from woodmove_fasteners.shop import INCH, Shop, lengths_sold_mm

# Wood left under the show face: a tip nearer raises a dimple (status: common practice).
RESERVE_MM = 0.25 * INCH
LEAST_RESERVE_MM = 0.125 * INCH
# Diameters of thread that hold a top down (source: nds-c12.1.5.7, the least for a lateral load).
LEAST_GRIP_DIAMETERS = 6

# Share of the root diameter to drill, and the specific gravity (oven-dry basis) from which the wood is
# dense (source: wood-screw-pilots).
PILOT_SHARE, DENSE_PILOT_SHARE, DENSE_GRAVITY = 0.7, 0.9, 0.6
# What two drills of one size differ by (status: common practice).
DRILL_TOLERANCE_MM = 0.06

# Flat of the washer on the rail, on each side of the slot, that it must have and that we look for
# (status: judgement; bearing exists only beside the slot).
LEAST_BEARING_MM = 1.5
WANTED_BEARING_MM = 5.0


@dataclass(frozen=True, slots=True)
class Grip:
    """A screw length and what it leaves.

    :param length_mm: of the screw
    :param in_top_mm: depth of the thread in the top
    :param reserve_mm: wood between the tip and the show face
    """

    length_mm: float
    in_top_mm: float
    reserve_mm: float


def screw_for(thickness_mm: float, shop: Shop, catalogue: Catalogue) -> Screw:
    """The usual screw for a top of this thickness."""
    return catalogue.screws.get(next(key for limit, key in shop.screws if thickness_mm < limit))


def refuse_locking(screw: Screw) -> None:
    """Refuse a flat head where a screw slides.

    :raises Refusal: it is one
    """
    if screw.countersunk:
        raise Refusal(
            "COUNTERSUNK_SLIDES",
            f"A {screw.name} does not slide: its cone centres itself in the slot and locks.",
            "A screw that slides has a flat underside: a round, pan, washer or hex head on a washer.",
            "Choose a round or pan head, such as --screw '#10' or --screw 5mm.",
            fields=("screw",),
        )


def washer_of(
    key: str | None, screw: Screw, slot_width_mm: float, base: Base, catalogue: Catalogue
) -> Washer:
    """The washer that is asked for, else the smallest that bears well beside the slot.

    :raises Refusal: it does not fit, or none does
    """
    if key is None:
        return _smallest(screw, slot_width_mm, base.width_mm, catalogue)
    washer = catalogue.washers.get(key)
    fault = washer_fault(washer, screw, slot_width_mm)
    if fault:
        raise Refusal(
            "WASHER_DOES_NOT_COVER",
            fault[0],
            fault[1],
            "Leave out --washer to have one chosen.",
            fields=("washer",),
        )
    return washer


def _smallest(screw: Screw, slot_width_mm: float, room_mm: float, catalogue: Catalogue) -> Washer:
    """The smallest washer that the screw passes, its head does not, and that bears well beside the slot.

    :param room_mm: width of the rail, which the washer must not overhang
    :raises Refusal: no such washer
    """
    fitting = [
        washer
        for washer in fitting_washers(screw, slot_width_mm, catalogue)
        if washer.outside_mm <= room_mm
        # A trade washer without a standard may have any size: not for us to choose.
        and washer.known.status is Status.PUBLISHED
    ]
    if not fitting:
        raise Refusal(
            "NO_WASHER",
            f"No washer of the tables fits a {screw.name} in a slot of {length_text(slot_width_mm)}.",
            "A washer passes the screw, stops its head, bears on both sides of the slot, stays on the rail.",
            "Choose another screw, such as --screw '#10', or a wider rail.",
            fields=("screw",),
        )
    good = [w for w in fitting if w.outside_mm >= slot_width_mm + 2 * WANTED_BEARING_MM]
    if good:
        return min(good, key=lambda washer: (washer.outside_mm, washer.inside_mm))
    return max(fitting, key=lambda washer: (washer.outside_mm, -washer.inside_mm))


def fitting_washers(screw: Screw, hole_mm: float, catalogue: Catalogue) -> list[Washer]:
    """The washers made for this screw, not those that rattle about it, that cover a hole so wide."""
    return [
        washer
        for _, washer in catalogue.washers
        if washer_fault(washer, screw, hole_mm) is None
        and washer.inch == screw.inch
        and washer.inside_mm <= screw.major_mm + 2.0
    ]


def washer_fault(washer: Washer, screw: Screw, slot_width_mm: float) -> tuple[str, str] | None:
    """What is wrong with a washer on this screw and slot, and what would be right; None if nothing."""
    if washer.inside_mm < screw.major_mm:
        return (
            f"The hole of washer {washer.name} ({length_text(washer.inside_mm)}) is too small for the screw.",
            f"Its hole is at least {length_text(screw.major_mm)}.",
        )
    if screw.head_mm is not None and washer.inside_mm >= screw.head_mm:
        return (
            f"The head of the screw ({length_text(screw.head_mm)}) slips through washer {washer.name}.",
            f"Its hole is less than {length_text(screw.head_mm)}.",
        )
    if washer.outside_mm < slot_width_mm + 2 * LEAST_BEARING_MM:
        return (
            f"Washer {washer.name} ({length_text(washer.outside_mm)}) does not cover a slot of "
            f"{length_text(slot_width_mm)}.",
            f"It bears on both sides: at least {length_text(slot_width_mm + 2 * LEAST_BEARING_MM)} wide.",
        )
    return None


def grip(length_mm: float, through_mm: float, top_mm: float) -> Grip:
    """What a screw of a length does.

    :param through_mm: rail and washer that it passes before it reaches the top
    :raises Refusal: it does not reach the top, or comes too near its face
    """
    in_top = length_mm - through_mm
    reserve = top_mm - in_top
    if in_top <= 0:
        raise Refusal(
            "SCREW_TOO_SHORT",
            "The screw does not reach the top.",
            f"Rail and washer take {length_text(through_mm)} of it.",
            "Use a longer screw, a thinner rail, or let its head into the rail (counterbore= in --base).",
            fields=("screw_length_mm", "rail_thickness_mm"),
        )
    if reserve < LEAST_RESERVE_MM:
        raise Refusal(
            "TIP_THROUGH",
            "The screw comes through the show face."
            if reserve <= 0
            else "The tip of the screw comes too near the show face.",
            "At least 1/8 in (3 mm) of wood stays over the tip, better 1/4 in (6 mm).",
            f"Use a screw of at most {length_text(through_mm + top_mm - RESERVE_MM)}.",
            fields=("screw_length_mm", "top_thickness_mm"),
        )
    return Grip(length_mm, in_top, reserve)


def grip_for(screw: Screw, through_mm: float, top_mm: float) -> Grip:
    """The shortest length that stores stock with six diameters in the top, else the longest that fits.

    :raises Refusal: none fits
    """
    sold = lengths_sold_mm(screw.major_mm, screw.inch)
    longest = through_mm + top_mm - RESERVE_MM
    fitting = [length for length in sold if through_mm < length <= longest]
    if not fitting:
        raise Refusal(
            "NO_SCREW_LENGTH",
            "No length of this screw that is easy to find reaches the top and stays 1/4 in (6 mm) under its "
            "face.",
            f"Rail and washer take {length_text(through_mm)}, the top is {length_text(top_mm)} thick, and "
            f"stores stock up to {length_text(sold[-1])}.",
            "Counterbore the rail (counterbore= in --base), or use a thinner rail.",
            fields=("rail_thickness_mm", "top_thickness_mm"),
        )
    enough = [length for length in fitting if length - through_mm >= LEAST_GRIP_DIAMETERS * screw.major_mm]
    return grip(enough[0] if enough else fitting[-1], through_mm, top_mm)


def pilot_mm(screw: Screw, gravity_12: float | None, shop: Shop) -> float | None:
    """Bit for the thread [mm]: the largest that is no larger than the hole of the rule; None where no table
    gives the root of the thread.

    :param gravity_12: of the wood at 12 % MC; unknown wood is taken as dense, whose larger hole splits less
    """
    if screw.root_mm is None:
        return None
    dense = gravity_12 is None or oven_dry_gravity(gravity_12) >= DENSE_GRAVITY
    hole = screw.root_mm * (DENSE_PILOT_SHARE if dense else PILOT_SHARE)
    return shop.bit_mm * ((hole + DRILL_TOLERANCE_MM) // shop.bit_mm)
