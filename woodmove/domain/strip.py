"""A strip before it is glued on edge into a top, and the ways in which it can be laid."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from woodmove.contract.refusal import Refusal
from woodmove.domain.board import Lumber, in_both

# Sides of a strip that lies with its marked edge up and its marked end toward the reader.
SIDES = ("up", "down", "left", "right")
# Ways along which a plane leaves a smooth face, from the marked end.
GRAINS = ("away", "toward")
# A top that is narrower than wanted by no more than this has strips enough (status: judgement).
SHORT_MM = 0.4


def strips_for(width_mm: float, thickness_mm: float) -> int:
    """The fewest strips of a thickness that come to a width, or fall short of it by no more than
    :data:`SHORT_MM`."""
    return math.ceil((width_mm - SHORT_MM) / thickness_mm)


def balanced(count: int, most: int) -> tuple[int, ...]:
    """Sections of at most `most` strips, as few as will do, that differ by no more than one strip."""
    number = math.ceil(count / most)
    each, more = divmod(count, number)
    return tuple(each + (place < more) for place in range(number))


def sections_text(sections: Sequence[int]) -> str:
    """``8 + 7 + 7``, and more than four as ``5 × 8 + 2 × 7``."""
    if len(sections) <= 4:
        return " + ".join(map(str, sections))
    alike = [(sections.count(strips), strips) for strips in dict.fromkeys(sections)]
    return " + ".join(f"{number} × {strips}" for number, strips in alike)


@dataclass(frozen=True, slots=True)
class Batch:
    """The strips of a top, on edge, all made alike; None for what nobody said.

    :param thickness_mm: as planed for the glue-up: what each adds to the width of the top
    :param board: that they are ripped from
    :param sawn_mm: width as ripped: what becomes the thickness of the top
    :param length_mm: of a strip
    :param thinner_mm: next choice, where the thickness is only proposed; None where somebody said it
    :raises Refusal: strips that the board cannot yield
    """

    thickness_mm: float
    board: Lumber | None = None
    sawn_mm: float | None = None
    length_mm: float | None = None
    thinner_mm: float | None = None

    @property
    def proposed(self) -> bool:
        """True if nobody said how thick its strips are."""
        return self.thinner_mm is not None

    def planed_to(self, thickness_mm: float) -> "Batch":
        """The same strips of another thickness, which is no proposal."""
        return replace(self, thickness_mm=thickness_mm, thinner_mm=None)

    def __post_init__(self) -> None:
        board = self.board
        if board is not None and self.thickness_mm > board.thickness_mm:
            raise Refusal(
                "THICKER_THAN_STOCK",
                f"A strip of {in_both(self.thickness_mm)} is thicker than a {board}, which is "
                f"{in_both(board.thickness_mm)}.",
                "Planing only takes wood away.",
                "Type a smaller --strip-thickness, or a thicker board.",
                fields=("strip_thickness_mm", "strips_from"),
            )
        if board is not None and self.sawn_mm is not None and self.sawn_mm > board.width_mm:
            raise Refusal(
                "STRIP_WIDER_THAN_BOARD",
                f"Strips of {in_both(self.sawn_mm)} are wider than a {board}, which is "
                f"{in_both(board.width_mm)}.",
                "A strip is at most as wide as the board that it is ripped from.",
                "Rip narrower strips for a thinner top, or take a wider board.",
                fields=("strip_width_mm", "top_thickness_mm", "strips_from"),
            )


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip, as its maker noted it down: on edge, its marked edge up, its marked end toward the maker; None
    for what nobody read.

    :param name: as written on it
    :param species: key of its species, where those of a top are several
    :param mc_pct: by meter
    :param ring_angle_deg: between the rings and its wide faces, which will be glued
    :param pith_depth_mm: of the pith below the nearer wide face, instead
    :param pith_offset_mm: of the pith from the middle of the wide face, positive toward the marked edge
    :param crook_mm: over its length, positive where the marked edge is the hollow one
    :param bow_mm: over its length, positive where the left face is the hollow one
    :param twist_mm: lift of a corner on a flat table, over its length
    :param defects: sides, of :data:`SIDES`, that should not be seen
    :param grain: "away" or "toward": the way to plane the marked edge, from the marked end
    :raises Refusal: a grain told twice
    """

    name: str
    mc_pct: float | None = None
    ring_angle_deg: float | None = None
    pith_depth_mm: float | None = None
    pith_offset_mm: float | None = None
    crook_mm: float | None = None
    bow_mm: float | None = None
    twist_mm: float | None = None
    defects: frozenset[str] = frozenset()
    grain: str | None = None
    species: str | None = None

    def __post_init__(self) -> None:
        if self.ring_angle_deg is not None and self.pith_depth_mm is not None:
            raise Refusal(
                "GRAIN_TWICE",
                f"Strip {self.name} has both a ring angle and a pith.",
                "Each tells how the rings lie.",
                "Leave one of them out.",
            )
        if self.pith_offset_mm is not None and self.pith_depth_mm is None:
            raise Refusal(
                "HALF_A_PITH",
                f"Strip {self.name} has the offset of its pith and not its depth.",
                "A pith is so deep below the wide face, and so far from its middle.",
                "Add pith_depth, or leave pith_offset out.",
            )

    @property
    def out_of_straight_mm(self) -> float:
        """By how much it is a bad outer strip: what clamps take out of it least, crook and twist."""
        return abs(self.crook_mm or 0.0) + (self.twist_mm or 0.0)


@dataclass(frozen=True, slots=True)
class Laid:
    """A strip in its place.

    :param number: of the strip in its list, from 0
    :param mark_up: True if its marked edge is the upper one
    :param turned: True if its bow and its grain point the other way than as noted: its left face is the right
    """

    number: int
    mark_up: bool
    turned: bool

    @property
    def marked_end_near(self) -> bool:
        """True if the marked end points toward the reader. Turning a strip over about its length swaps left
        and right with up and down; turning it end for end swaps left and right alone."""
        return self.turned != self.mark_up
