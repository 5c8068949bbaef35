"""Boards and their pieces as arrays: what a pile has in common with a single board."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from woodmove.advice.doubt import inputs as doubt
from woodmove.domain.stock import Cut, FirstCut, Piece, SawnBoard
from woodmove.physics import warp
from woodmove.physics.arrays import Array

# Depth of a pith that nobody looked for (status: judgement).
PITH_DEPTH_MM = 50.0
# The waste is moved only for strips whose middle is this near to the pith (source: spruce-studs).
SEVERE_TWIST_WITHIN_MM = 75.0


@dataclass(frozen=True)
class BoardArrays:
    """Boards and their pieces as arrays: one value per board, NaN for what nobody read; the pieces have shape
    (boards, pieces). A board with fewer pieces than another repeats its last."""

    thickness_mm: Array
    width_mm: Array
    length_mm: Array
    mc_now_pct: Array
    core_less_shell: Array
    pith_depth_mm: Array
    pith_sd_mm: Array
    pith_offset_mm: Array
    pith_inside: Array
    ring_radius_mm: Array
    slope_deg: Array
    crook_per_m: Array
    bow_per_m: Array
    set_strain: Array
    set_sd: Array
    closing_per_m: Array
    closing_sd: Array
    first_strip_per_m: Array
    twist_deg: Array
    twist_sd_deg: Array
    reaction: NDArray[np.bool_]
    dried_free: NDArray[np.bool_]
    # Number of the way to cut, of those of `Cut.layouts`.
    layout: NDArray[np.intp]
    # How many pieces each gives.
    pieces: NDArray[np.intp]
    left_mm: Array
    right_mm: Array
    low_mm: Array
    high_mm: Array
    kerf_mm: float
    resaw: bool
    # Ends of the first strip, and of the rest: parts of the width, -1 to 1, NaN where nothing is ripped.
    first: Array

    @classmethod
    def of(cls, boards: Sequence[SawnBoard], cut: Cut) -> "BoardArrays":
        """Boards, all cut into the same strips, the waste of each where it keeps them farthest from the pith.

        :raises Refusal: pieces that a board does not yield
        """
        layouts = {board.size: cut.layouts(board.size) for board in {b.size: b for b in boards}.values()}
        most = max(len(ways[0]) for ways in layouts.values())

        def each(value: Callable[[SawnBoard], float | None]) -> Array:
            return np.array([np.nan if (v := value(b)) is None else float(v) for b in boards])

        def of_cut(value: Callable[[FirstCut], float | None]) -> Array:
            return each(lambda b: None if b.first_cut is None else value(b.first_cut))

        length, thickness = each(lambda b: b.length_mm), each(lambda b: b.size.thickness_mm)
        width = each(lambda b: b.size.width_mm)
        layout = np.array([calmest(board, layouts[board.size]) for board in boards])
        tables = {
            (size, number): [
                [getattr(p, end) for p in (*way, *way[-1:] * (most - len(way)))] for end in _ENDS
            ]
            for size, ways in layouts.items()
            for number, way in enumerate(ways)
        }
        places = np.array([tables[board.size, way] for board, way in zip(boards, layout, strict=True)])
        left, right, low, high = np.moveaxis(places, 1, 0)
        first = np.full((len(boards), 4), np.nan)
        if cut.into != "resaw" and not cut.whole:
            near = left[:, 0] < 0
            rest = np.where(near, np.minimum(right[:, 0] + cut.kerf_mm, width / 2), -width / 2)
            end = np.where(near, width / 2, np.maximum(left[:, 0] - cut.kerf_mm, -width / 2))
            first = np.stack((left[:, 0], right[:, 0], rest, end), axis=1)
        lift = each(lambda b: b.twist_mm)
        at = of_cut(lambda first: first.kerf_at_mm)
        prong = each(lambda b: None if b.prong is None else b.prong.length_mm)
        # The outer quarter of a P2 profile has the slope 4.5 times its edge value over the thickness.
        to_set = -warp.prong_curvature_per_m(1.0, prong) * thickness / 4500.0
        return cls(
            thickness,
            width,
            length,
            each(lambda b: b.mc_now_pct),
            each(lambda b: b.core_less_shell_points),
            each(lambda b: b.pith.depth_mm),
            each(lambda b: doubt.PITH_DEPTH.sd if b.pith.depth_sd_mm is None else b.pith.depth_sd_mm),
            each(lambda b: b.pith.offset_mm),
            np.array([board.pith.inside for board in boards]),
            each(lambda b: b.pith.ring_radius_mm),
            each(lambda b: b.slope_deg),
            np.asarray(warp.curvature_per_m(each(lambda b: b.crook_mm), length)),
            np.asarray(warp.curvature_per_m(each(lambda b: b.bow_mm), length)),
            to_set * each(lambda b: None if b.prong is None else b.prong.inward_mm),
            np.abs(to_set) * doubt.PRONG_READING.sd,
            # Sides that curl to each other by k come together by k x² / 2.
            2e3 * of_cut(lambda first: first.kerf_closed_mm) / at**2,
            2e3 * doubt.KERF_READING.sd / at**2,
            np.asarray(warp.curvature_per_m(of_cut(lambda first: first.strip_crook_mm), length)),
            np.asarray(warp.twist_from_lift_deg(lift, width)),
            np.degrees(doubt.TWIST_READING.sd / width),
            np.array([bool(board.reaction) for board in boards]),
            np.array([board.dried == "free" for board in boards]),
            layout,
            np.array([len(layouts[board.size][0]) for board in boards]),
            left,
            right,
            low,
            high,
            cut.kerf_mm,
            cut.into == "resaw",
            first * 2.0 / width[:, None],
        )

    @property
    def boards(self) -> int:
        """How many."""
        return len(self.width_mm)

    @property
    def own(self) -> NDArray[np.bool_]:
        """True for the pieces that a board gives, False where its last stands again; (boards, pieces)."""
        places = np.arange(int(self.left_mm.shape[1]), dtype=np.intp)
        return np.less(places, self.pieces[:, None])

    @property
    def string_per_m(self) -> Array:
        """Error of a curvature that was read against a string over the length [1/m], shape (boards,)."""
        return 8e3 * doubt.STRING_READING.sd / self.length_mm**2

    def part(self, which: slice) -> "BoardArrays":
        """Some of the boards."""
        values = {field.name: getattr(self, field.name) for field in fields(self)}
        arrays: dict[str, Any] = {n: v[which] for n, v in values.items() if isinstance(v, np.ndarray)}
        return replace(self, **arrays)


_ENDS = ("left_mm", "right_mm", "low_mm", "high_mm")


def calmest(board: SawnBoard, layouts: Sequence[Sequence[Piece]]) -> int:
    """Number of the way to cut that keeps the strip nearest to the pith farthest from it, by where the
    pith is read or else by where it is taken to lie; the first way where none is near, or none gains."""
    # What a first cut did is told of a strip off the near edge.
    ways = layouts[:-1] if board.first_cut is not None and len(layouts) > 1 else layouts
    if len(ways) == 1:
        return 0
    pith, half = board.pith, board.size.thickness_mm / 2.0
    aside = pith.offset_mm or 0.0
    below = 0.0 if pith.inside else half + (PITH_DEPTH_MM if pith.depth_mm is None else pith.depth_mm)
    if pith.ring_radius_mm is not None and pith.depth_mm is None and not pith.inside:
        below = max(pith.ring_radius_mm**2 - aside**2, 0.0) ** 0.5
    nearest = [
        min(math.hypot((piece.left_mm + piece.right_mm) / 2.0 - aside, below) for piece in way)
        for way in ways
    ]
    if nearest[0] >= SEVERE_TWIST_WITHIN_MM:
        return 0
    return max(range(len(ways)), key=lambda way: round(nearest[way], 3))
