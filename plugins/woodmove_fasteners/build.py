"""What cannot be built: rails too thin or too narrow for their slots, slots that meet or run off."""

from woodmove.extend.api import Base, Refusal, Top, length_text
from woodmove_fasteners.geometry import Slot


def refuse_thin(base: Base) -> None:
    """Refuse rails too thin to carry a head, each material by its own rule.

    :raises Refusal: too little is left
    """
    least = base.made.under_head_mm
    if base.under_head_mm < least:
        raise Refusal(
            "RAIL_TOO_THIN",
            f"Only {length_text(max(base.under_head_mm, 0))} of {base.material} is left under the head.",
            f"At least {length_text(least)} of {base.material} carries a screw.",
            "Use a thicker rail."
            if base.counterbore_mm == 0
            else "Use a thicker rail or a shallower counterbore.",
            fields=("rail_thickness_mm", "counterbore_mm"),
        )


def refuse_unbuildable(slots: list[Slot], base: Base, top: Top) -> None:
    """Refuse slots for which the rails have no room.

    :raises Refusal: too little is left beside them, between them or at the ends
    """
    widest = max(slots, key=lambda slot: slot.cut_length_mm)
    beside = base.beside_mm(widest.width_mm)
    across_rail = widest.cut_length_mm if base.direction == "along" else widest.width_mm
    least = across_rail + 2 * beside
    if base.width_mm < least:
        raise Refusal(
            "NO_WOOD_BESIDE_SLOT",
            f"A slot that takes {length_text(across_rail)} of a {length_text(base.width_mm)} rail leaves too "
            f"little {base.material} beside it.",
            f"At least {length_text(beside)} stays on each side: a rail of {length_text(least)} or more.",
            "Use a wider rail, dry the wood first, or fix the top nearer to these screws.",
            fields=("rail_width_mm",),
        )
    if base.direction == "along":
        return
    ends = [slot.ends_mm for slot in slots]
    for (_, back), (front, _), slot in zip(ends, ends[1:], slots[1:], strict=False):
        if front - back < beside:
            raise Refusal(
                "SLOTS_MEET",
                f"The slot of the screw at {length_text(slot.position_mm)} comes too near the one before it.",
                f"At least {length_text(beside)} of rail stays between two slots.",
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
