"""What the rails do: wood shrinks under the heads, and moves in the joints of its own base."""

from typing import Annotated

from woodmove.extend.api import Base, Range, Season, Shown, Wood, quantity, results
from woodmove_fasteners.shop import INCH

# Widest glued joint across the grain that keeps (status: common practice).
JOINT_MM = 3.0 * INCH
# What a driver feels: a head so much looser no longer holds (status: judgement).
LOOSE_MM = 0.1
# Rails that differ by more bend the top that is drawn down on them (status: judgement).
UNEVEN_MM = INCH / 64


@results
class Rails:
    """What the base does, by what it is made of."""

    material: Annotated[str, Shown("rails of")]
    width_mm: Annotated[float, Shown("rails wide", quantity.LENGTH)]
    under_head_mm: Annotated[float, Shown("left under the head", quantity.LENGTH)]
    shrinks_mm: Annotated[Range | None, Shown("shrinks under the head by", quantity.GAP)]
    swells_mm: Annotated[Range | None, Shown("swells under the head by", quantity.GAP)]
    joint_moves_mm: Annotated[Range | None, Shown("its widest glued joint moves by", quantity.GAP)]
    driest_pct: Annotated[float | None, Shown("rails at their driest", quantity.MOISTURE)]


def rails_of(base: Base, season: Season) -> Rails:
    """What the rails of a base do from today on.

    How the rings lie in them nobody says: from radial to tangential, and half-way between.
    """
    shrinks = swells = joint = None
    if base.wood is not None and base.mc_pct is not None:
        down, up = max(0.0, base.mc_pct - season.low_pct), max(0.0, season.high_pct - base.mc_pct)
        shrinks = across_mm(base.wood, base.under_head_mm, down)
        swells = across_mm(base.wood, base.under_head_mm, up)
        if base.joint_mm is not None:
            joint = across_mm(base.wood, base.joint_mm, max(down, up, season.high_pct - season.low_pct))
    return Rails(
        material=base.material,
        width_mm=base.width_mm,
        under_head_mm=base.under_head_mm,
        shrinks_mm=shrinks,
        swells_mm=swells,
        joint_moves_mm=joint,
        driest_pct=season.low_pct if base.wood is not None else None,
    )


def across_mm(wood: Wood, size_mm: float, points: float) -> Range:
    """What a size across the grain changes by over some points of moisture [mm], the rings lying anyhow: the
    smallest radial to the largest tangential coefficient.

    Derived: size x C x points, within 6 to 14 % MC.
    """
    saturation = min(member.fibre_saturation_pct for member in wood.candidates)
    points = min(points, saturation)
    low = size_mm * points * min(c.radial for c in wood.coefficients)
    high = size_mm * points * max(c.tangential for c in wood.coefficients)
    return Range((low + high) / 2, low, high)
