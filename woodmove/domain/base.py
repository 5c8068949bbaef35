"""The base that a top stands on: its rails, and what they are made of."""

from dataclasses import dataclass
from typing import Literal

from woodmove.domain.species import Wood

MaterialName = Literal["wood", "plywood", "steel", "aluminium"]


@dataclass(frozen=True, slots=True)
class Material:
    """What a rail of a material must keep where a screw slides in it.

    :param under_head_mm: least left under a head
    :param beside_mm: least on each side of a slot, between two slots, and at the end of the rail
    :param beside_widths: the same in widths of the slot; the larger of the two counts
    :param width_mm: of a rail where nobody tells it
    :param thickness_mm: the same
    :param metal: True for what is drilled and filed, crushes under no washer and does not move
    """

    under_head_mm: float
    beside_mm: float
    beside_widths: float
    width_mm: float
    thickness_mm: float
    metal: bool = False


# Wood: 1/2 in under a head (memory), 3/8 in beside a slot (common practice). Plywood does not split: 3/8 in
# both ways (judgement). Steel from 1/16 in, aluminium from 1/8 in (judgement), the axis of a slot at least
# 1-1/2 of its widths from an edge (EN 1993-1-8 Table 3.3, memory). Usual sections: common practice.
MATERIALS: dict[MaterialName, Material] = {
    "wood": Material(12.7, 9.525, 0.0, 88.9, 38.1),
    "plywood": Material(9.525, 9.525, 0.0, 88.9, 19.05),
    "steel": Material(1.5, 0.0, 1.0, 50.8, 3.175, metal=True),
    "aluminium": Material(3.0, 0.0, 1.0, 50.8, 4.7625, metal=True),
}


def read_material(text: str) -> str:
    """What rails are made of, as it is told: a material, or the name of a species for wood of it.

    :raises ValueError: nothing
    """
    word = text.strip()
    if not word:
        raise ValueError("there is nothing in it")
    return {"aluminum": "aluminium"}.get(word.lower(), word.lower() if word.lower() in MATERIALS else word)


@dataclass(frozen=True, slots=True)
class Base:
    """The rails under a top, all alike.

    :param direction: "across" the grain of the top, or "along" it
    :param width_mm: of a rail's face under the top
    :param thickness_mm: what a screw passes
    :param counterbore_mm: depth to which a head is let in
    :param rails: how many carry the top
    :param wood: of wooden rails, None for any other
    :param mc_pct: moisture content of wooden rails today [%], None where nobody measured it
    :param joint_mm: widest glued joint across the grain of one of its parts, None where there is none
    :param uneven_mm: how much lower the lowest rail stands than the highest
    :param told: False where nobody said what it is made of
    """

    material: MaterialName
    direction: str
    width_mm: float
    thickness_mm: float
    counterbore_mm: float = 0.0
    rails: int = 2
    wood: Wood | None = None
    mc_pct: float | None = None
    joint_mm: float | None = None
    uneven_mm: float = 0.0
    told: bool = True

    @property
    def made(self) -> Material:
        """What its material asks for."""
        return MATERIALS[self.material]

    @property
    def under_head_mm(self) -> float:
        """What is left between the washer and the top."""
        return self.thickness_mm - self.counterbore_mm

    def beside_mm(self, wide_mm: float) -> float:
        """What must stay beside a slot so wide."""
        return max(self.made.beside_mm, self.made.beside_widths * wide_mm)
