"""A glued-up top: its size, its grain, and the strips that it is made of."""

import math
from dataclasses import dataclass

import numpy as np

from woodmove.contract.refusal import Refusal
from woodmove.domain.board import BoardSize, require_pith_within
from woodmove.domain.species import Wood
from woodmove.physics.arrays import Array, FloatOrArray
from woodmove.physics.shrinkage import thickness_tangential_share_about_pith, width_tangential_share

# Width of the groove that a table saw cuts (status: common practice).
KERF_MM = 3.2


@dataclass(frozen=True, slots=True)
class Rings:
    """Grain by the angle between rings and the wide face of the *top*: 0 flat-sawn, 90 quarter-sawn.

    :param on_edge: True for flat-sawn strips turned on edge in the pure case, which makes the angle 90
    """

    angle_deg: float
    on_edge: bool = False

    def width_shares(self, angle_doubt_deg: FloatOrArray = 0.0) -> FloatOrArray:
        """Tangential share of the top's width, for an error of the angle [degrees] of any shape."""
        return width_tangential_share(self.angle_deg + np.asarray(angle_doubt_deg, float))


@dataclass(frozen=True, slots=True)
class EdgeStrips:
    """Strips ripped from a wide board and turned on edge, so that the top's width runs through the
    thickness of the board, strip by strip.

    :param parent: the board that they are ripped from
    :param pith_depth_mm: depth of the pith below the nearer wide face, at mid-width of the board;
        negative if it lies inside the board
    :param strip_width_mm: width of a strip across the board: the thickness of the top, and a little more
    :raises Refusal: strips that the board cannot yield
    """

    parent: BoardSize
    pith_depth_mm: float
    strip_width_mm: float

    def __post_init__(self) -> None:
        if self.strip_width_mm > self.parent.width_mm:
            raise Refusal(
                "STRIP_TOO_WIDE",
                f"A {self.parent} is narrower than the strips that this top needs.",
                "A strip is as wide as the top is thick.",
                "Choose a wider board, or a thinner top.",
                fields=("strips_from", "top_thickness_mm"),
            )
        require_pith_within(self.pith_depth_mm, self.parent.thickness_mm)

    @property
    def strips_per_board(self) -> int:
        """How many strips one board yields, a kerf between each."""
        return math.floor((self.parent.width_mm + KERF_MM) / (self.strip_width_mm + KERF_MM) + 1e-9)

    @property
    def offsets_mm(self) -> Array:
        """Centres of the strips from the middle of the board [mm], shape (strips_per_board,)."""
        count = self.strips_per_board
        return (np.arange(count, dtype=float) - (count - 1) / 2) * (self.strip_width_mm + KERF_MM)

    def strip_shares(self, pith_depth_mm: FloatOrArray | None = None) -> Array:
        """Tangential share of the top's width in each strip, shape (..., strips_per_board).

        :param pith_depth_mm: pith depths to use instead of the stated one [mm], any shape
        """
        depth = np.asarray(self.pith_depth_mm if pith_depth_mm is None else pith_depth_mm, float)
        return np.asarray(
            thickness_tangential_share_about_pith(
                self.offsets_mm, self.strip_width_mm, depth[..., None], self.parent.thickness_mm
            )
        )

    def sampled_shares(self, count: int = 16) -> Array:
        """Tangential share of the top's width at evenly spread points of the strips' sections, shape
        (strips_per_board, count, count)."""
        middles = (np.arange(count) + 0.5) / count
        across = self.offsets_mm[:, None, None] + self.strip_width_mm * (middles[None, :, None] - 0.5)
        through = self.pith_depth_mm + self.parent.thickness_mm * middles[None, None, :]
        return across**2 / np.maximum(across**2 + through**2, 1e-12)


@dataclass(frozen=True, slots=True)
class Top:
    """A top, as it is at `mc_now_pct`.

    :param width_mm: across the grain
    :param thickness_mm: None where nobody asked for it
    :param mc_now_pct: None where nobody measured it
    :param mc_readings: how many meter readings it is the mean of
    :param logs: from how many logs the wood comes, None where nobody knows
    """

    wood: Wood
    width_mm: float
    thickness_mm: float | None
    grain: Rings | EdgeStrips
    mc_now_pct: float | None
    mc_readings: int = 5
    logs: int | None = None
