"""Boards and their pieces as arrays: what a pile has in common with a single board."""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from woodmove.advice.doubt import inputs as doubt
from woodmove.domain.stock import Cut, SawnBoard
from woodmove.physics import warp
from woodmove.physics.arrays import Array


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
    left_mm: Array
    right_mm: Array
    low_mm: Array
    high_mm: Array
    kerf_mm: float
    resaw: bool
    # Ends of the first strip, start of the rest: parts of the width, -1 to 1, NaN where nothing is ripped.
    first: Array

    @classmethod
    def of(cls, boards: Sequence[SawnBoard], cut: Cut) -> "BoardArrays":
        """Boards, all cut in one way.

        :raises Refusal: pieces that a board does not yield
        """
        by_size = {board.size: cut.pieces(board.size) for board in {b.size: b for b in boards}.values()}
        most = max(map(len, by_size.values()))

        def each(value) -> Array:
            return np.array([np.nan if (v := value(b)) is None else float(v) for b in boards])

        def ends(name: str) -> Array:
            rows = {size: [getattr(p, name) for p in row] for size, row in by_size.items()}
            padded = {size: row + row[-1:] * (most - len(row)) for size, row in rows.items()}
            return np.array([padded[board.size] for board in boards])

        length, thickness = each(lambda b: b.length_mm), each(lambda b: b.size.thickness_mm)
        width = each(lambda b: b.size.width_mm)
        left, right = ends("left_mm"), ends("right_mm")
        rip = cut.into != "resaw" and not cut.whole
        first = np.full((len(boards), 3), np.nan)
        if rip:
            start = right[:, 0] + cut.kerf_mm
            first = np.stack((left[:, 0], right[:, 0], np.minimum(start, width / 2)), axis=1)
        at = each(lambda b: b.first_cut and b.first_cut.kerf_at_mm)
        prong = each(lambda b: b.prong and b.prong.length_mm)
        # The outer quarter of a P2 profile has the slope 4.5 times its edge value over the thickness.
        to_set = -warp.prong_curvature_per_m(1.0, prong) * thickness / 4500.0
        return cls(
            thickness,
            width,
            length,
            each(lambda b: b.mc_now_pct),
            each(lambda b: b.core_less_shell_points),
            each(lambda b: b.pith.depth_mm),
            each(lambda b: b.pith.offset_mm),
            np.array([board.pith.inside for board in boards]),
            each(lambda b: b.pith.ring_radius_mm),
            each(lambda b: b.slope_deg),
            np.asarray(warp.curvature_per_m(each(lambda b: b.crook_mm), length)),
            np.asarray(warp.curvature_per_m(each(lambda b: b.bow_mm), length)),
            to_set * each(lambda b: b.prong and b.prong.inward_mm),
            np.abs(to_set) * doubt.PRONG_READING.sd,
            # Sides that curl to each other by k come together by k x² / 2.
            2e3 * each(lambda b: b.first_cut and b.first_cut.kerf_closed_mm) / at**2,
            2e3 * doubt.KERF_READING.sd / at**2,
            np.asarray(
                warp.curvature_per_m(each(lambda b: b.first_cut and b.first_cut.strip_crook_mm), length)
            ),
            left,
            right,
            ends("low_mm"),
            ends("high_mm"),
            cut.kerf_mm,
            cut.into == "resaw",
            first * 2.0 / width[:, None],
        )

    @property
    def boards(self) -> int:
        """How many."""
        return len(self.width_mm)

    @property
    def string_per_m(self) -> Array:
        """Error of a curvature that was read against a string over the length [1/m], shape (boards,)."""
        return 8e3 * doubt.STRING_READING.sd / self.length_mm**2

    def part(self, which: slice) -> "BoardArrays":
        """Some of the boards."""
        values = {field.name: getattr(self, field.name) for field in fields(self)}
        arrays: dict[str, Any] = {n: v[which] for n, v in values.items() if isinstance(v, np.ndarray)}
        return replace(self, **arrays)
