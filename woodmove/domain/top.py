"""A glued-up top: its size, its grain, and the strips that it is made of."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from woodmove.contract.refusal import Refusal
from woodmove.domain.board import BoardSize, Lumber, require_pith_within
from woodmove.domain.species import Wood
from woodmove.physics.arrays import Array, FloatOrArray
from woodmove.physics.shrinkage import thickness_tangential_share_about_pith, width_tangential_share
from woodmove.physics.warp import ring_slope_per_m

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


def strips_per_board(board: BoardSize, strip_width_mm: float) -> int:
    """How many strips of a width one board yields, a kerf between each."""
    return math.floor((board.width_mm + KERF_MM) / (strip_width_mm + KERF_MM) + 1e-9)


def lengths_per_board(
    board_length_mm: float, strip_length_mm: float, *, kerf_mm: float = KERF_MM, end_trim_mm: float
) -> int:
    """How many strips one board yields to its length, a kerf between each.

    :param end_trim_mm: cut off each end
    """
    room = board_length_mm - 2.0 * end_trim_mm
    return math.floor((room + kerf_mm) / (strip_length_mm + kerf_mm) + 1e-9)


def boards_for(count: int, lumber: Lumber, strip_width_mm: float, lengths: int = 1) -> tuple[int, ...]:
    """Boards of each size that yield so many strips: one after another, of the size that is most behind its
    share.

    :param lengths: strips to the length of a board
    :raises ValueError: a size that yields no strip
    """
    each = [lengths * strips_per_board(size, strip_width_mm) for size, _ in lumber.shares]
    if min(each) < 1:
        raise ValueError("each size yields a strip")
    for boards in in_shares(lumber):
        if sum(number * strips for number, strips in zip(boards, each, strict=True)) >= count:
            return boards
    raise AssertionError("boards in shares have no end")


def in_shares(lumber: Lumber, have: Mapping[BoardSize, int] | None = None) -> Iterator[tuple[int, ...]]:
    """Boards of each size to add, none at first and then one after another, of the size that is most behind
    its share; without end.

    :param have: boards of a size that are there already, which count in its share
    """
    there = [(have or {}).get(size, 0) for size, _ in lumber.shares]
    boards = [0] * len(there)
    while True:
        yield tuple(boards)
        whole = sum(boards) + sum(there) + 1
        behind = [share * whole - boards[at] - there[at] for at, (_, share) in enumerate(lumber.shares)]
        # Of shares that are behind alike, up to rounding, the first.
        boards[next(at for at, gap in enumerate(behind) if gap > max(behind) - 1e-9)] += 1


@dataclass(frozen=True, slots=True)
class EdgeStrips:
    """Strips ripped from wide boards and turned on edge, so that the top's width runs through the thickness
    of the boards, strip by strip. A place is where in a board, of which size, a strip is cut; those of all
    sizes stand one after another.

    :param parent: the lumber that they are ripped from
    :param pith_depth_mm: depth of the pith below the nearer wide face, at mid-width of the board;
        negative if it lies inside the board
    :param strip_width_mm: width of a strip across the board: the thickness of the top, and a little more
    :raises Refusal: strips that a board cannot yield
    """

    parent: Lumber
    pith_depth_mm: float
    strip_width_mm: float

    def __post_init__(self) -> None:
        for board, _ in self.parent.shares:
            if self.strip_width_mm > board.width_mm:
                raise Refusal(
                    "STRIP_TOO_WIDE",
                    f"A {board} is narrower than the strips that this top needs.",
                    "A strip is as wide as the top is thick.",
                    "Choose a wider board, or a thinner top.",
                    fields=("strips_from", "top_thickness_mm"),
                )
            require_pith_within(self.pith_depth_mm, board.thickness_mm)

    @property
    def strips_per_board(self) -> float:
        """How many strips one board yields, in the mean of the sizes."""
        return sum(share * len(offsets) for _, share, offsets in self._cuts())

    @property
    def weights(self) -> Array:
        """Share of the top's strips that come from each place, shape (places,)."""
        per_board = self.strips_per_board
        return np.concatenate(
            [np.full(len(offsets), share / per_board) for _, share, offsets in self._cuts()]
        )

    @property
    def sizes(self) -> tuple[BoardSize, ...]:
        """Size of the board of each place."""
        return tuple(board for board, _, offsets in self._cuts() for _ in offsets)

    @property
    def offsets_mm(self) -> Array:
        """Centres of the strips from the middle of their board [mm], shape (places,)."""
        return np.concatenate([offsets for _, _, offsets in self._cuts()])

    def _cuts(self) -> list[tuple[BoardSize, float, Array]]:
        """Each size, its share of the boards, and the centres of its strips."""
        pitch = self.strip_width_mm + KERF_MM
        cuts: list[tuple[BoardSize, float, Array]] = []
        for board, share in self.parent.shares:
            count = strips_per_board(board, self.strip_width_mm)
            cuts.append((board, share, (np.arange(count, dtype=float) - (count - 1) / 2) * pitch))
        return cuts

    def strip_shares(self, pith_depth_mm: FloatOrArray | None = None) -> Array:
        """Tangential share of the top's width in a strip from each place, shape (..., places).

        :param pith_depth_mm: pith depths to use instead of the stated one [mm], any shape
        """
        depth = np.asarray(self.pith_depth_mm if pith_depth_mm is None else pith_depth_mm, float)[..., None]
        shares = (
            thickness_tangential_share_about_pith(offsets, self.strip_width_mm, depth, board.thickness_mm)
            for board, _, offsets in self._cuts()
        )
        return np.concatenate([np.asarray(share) for share in shares], axis=-1)

    def slopes_per_m(self) -> Array:
        """Slope of that share over the width of a strip from each place [1/m], shape (places,)."""
        return np.concatenate(
            [
                ring_slope_per_m(offsets, self.strip_width_mm, self.pith_depth_mm, board.thickness_mm)
                for board, _, offsets in self._cuts()
            ]
        )

    def sampled_shares(self, count: int = 16) -> Array:
        """Tangential share of the top's width at evenly spread points of the strips' sections, shape
        (places, count, count)."""
        middles = (np.arange(count) + 0.5) / count
        across = self.offsets_mm[:, None, None] + self.strip_width_mm * (middles[None, :, None] - 0.5)
        thick = np.array([board.thickness_mm for board in self.sizes])[:, None, None]
        through = self.pith_depth_mm + thick * middles[None, None, :]
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
