"""What milling takes from the strips of a top: planed clean before they are glued, flattened after."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from woodmove.advice.boards import allowance as budget
from woodmove.advice.boards import warp as warping
from woodmove.advice.boards.arrays import BoardArrays
from woodmove.advice.boards.warp import Pile
from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top import movement, seams
from woodmove.contract.notes import Assumption, Warning
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal
from woodmove.domain.board import in_both
from woodmove.domain.season import Season
from woodmove.domain.stock import Cut, Pith, SawnBoard
from woodmove.domain.strip import Batch
from woodmove.domain.top import EdgeStrips, Top
from woodmove.physics.arrays import Array
from woodmove.physics.warp import closing_force_kn

# A setting of the planer is read to this (status: common practice).
SETTING_MM = 25.4 / 64
# Thinner than this nobody planes a strip.
LEAST_MM = 6.0
# So many strips should clean up, and so sure should the thickness be (status: judgement).
SURE = 0.9


@dataclass(frozen=True, slots=True)
class Milled:
    """What milling does, for an Answer."""

    results: Mapping[str, Any]
    warnings: tuple[Warning, ...]
    assumptions: tuple[Assumption, ...]


def milled(
    batch: Batch,
    wanted_mm: float | None,
    sections: Sequence[int],
    top: Top,
    season: Season | None,
    draws: Draws,
) -> Milled:
    """What planing the strips of a batch takes, and flattening the top that they make.

    :param batch: with its board and its length
    :param wanted_mm: thickness of the top when it is flat, None where nobody said so
    :param sections: strips of each section
    """
    assert batch.board is not None
    strips = _strips(batch, wanted_mm, top, season, draws)
    warps = strips.warped
    needed = strips.takes_mm(batch.thickness_mm)
    spare = batch.board.thickness_mm - batch.thickness_mm
    chance = strips.clean_up_chance(batch.thickness_mm)
    closing = _closing_kn(batch, top, warps.bow_mm, draws)
    results: dict[str, Any] = {
        "allowance": {
            "stock_mm": batch.board.thickness_mm,
            "takes_mm": spare,
            "expected_mm": _pooled(needed, draws),
            "clean_up_chance_pct": 100.0 * chance,
            "to_close_kn": closing,
        }
    }
    warnings: list[Warning] = []
    assumptions: list[Assumption] = []
    if float(np.mean(needed[:, 1:] <= spare)) < SURE:  # planed thicker, more of them clean up
        warnings.append(_thin_allowance(batch, needed, chance, sum(sections)))
    if closing is not None:
        assumptions.append(
            Assumption(
                "BOW_CLOSES",
                "The bow of a strip closes in the clamps (it takes about {to_close_kn}), so that planing "
                "need only take its cup and a pass of {pass_mm} on each face.",
                {"to_close_kn": closing, "pass_mm": budget.CLEAN_UP_MM},
            )
        )
    if batch.sawn_mm is not None:
        flat = _flattening_mm(batch.sawn_mm, sections, top, warps, draws)
        whole: Array = np.sum(list(flat.values()), axis=0)
        thickness = batch.sawn_mm - whole
        if thickness[0] < LEAST_MM:
            raise Refusal(
                "NOTHING_LEFT",
                f"Of strips {in_both(batch.sawn_mm)} wide nothing would be left: flattening their top takes "
                f"{in_both(float(whole[0]))}.",
                "What crooks and steps must be less than what there is to plane away.",
                "Rip them wider (--strip-width), or use shorter strips.",
                fields=("strip_width_mm", "top_length_mm"),
            )
        results["flattening"] = {f"{name}_mm": draws.range(values) for name, values in flat.items()} | {
            "all_mm": draws.range(whole)
        }
        results["flat_thickness_mm"] = draws.range(thickness)
        if wanted_mm is not None:
            reached = float(np.mean(thickness[1:] >= wanted_mm))
            results["thickness_chance_pct"] = 100.0 * reached
            if reached < SURE:
                warnings.append(_too_little(batch.sawn_mm, wanted_mm, results["flattening"]["all_mm"]))
        assumptions.append(
            Assumption(
                "CROOK_AVERAGES",
                "The edges of the strips are not jointed: glued side by side they take on the mean of their "
                "crooks, each turned as it comes. Laid out to cancel (woodmove lay-up) they leave less.",
            )
        )
    return Milled(results, tuple(warnings), tuple(assumptions))


def _thin_allowance(batch: Batch, needed: Array, chance: float, count: int) -> Warning:
    assert batch.board is not None
    clean = _clean_mm(batch.board.thickness_mm, needed)
    text = "Planing {takes_mm} off the board cleans up {clean_up_chance_pct} of the strips."
    if chance >= 0.5:
        text += " Make {make} to have {count} of them."
    if clean >= LEAST_MM:
        text += " Planed to {clean_mm}, nine of ten clean up."
    values = {
        "takes_mm": batch.board.thickness_mm - batch.thickness_mm,
        "clean_up_chance_pct": 100.0 * chance,
        "make": math.ceil(count / max(chance, 0.5)),
        "count": count,
        "clean_mm": clean,
    }
    return Warning("THIN_ALLOWANCE", text, values)


def _too_little(sawn_mm: float, wanted_mm: float, takes: Range) -> Warning:
    return Warning(
        "TOO_LITTLE_TO_FLATTEN",
        "Strips of {sawn_mm} leave {spare_mm} to flatten a top of {thickness_mm}, and it may take {all_mm}: "
        "rip them wider.",
        {"sawn_mm": sawn_mm, "spare_mm": sawn_mm - wanted_mm, "thickness_mm": wanted_mm, "all_mm": takes},
    )


def clean_thickness_mm(
    batch: Batch, wanted_mm: float | None, top: Top, season: Season | None, draws: Draws
) -> float:
    """Thickness [mm] to which nine strips of ten of a batch can be planed clean, to 1/64 in.

    :param batch: with its board and its length; its thickness does not count
    :param wanted_mm: thickness of the top, None where nobody said so
    :raises Refusal: nothing would be left
    """
    assert batch.board is not None
    strips = _strips(batch, wanted_mm, top, season, draws)
    needed = strips.takes_mm(batch.board.thickness_mm - budget.SPARE_MM)
    thickness = _clean_mm(batch.board.thickness_mm, needed)
    if thickness < LEAST_MM:
        raise Refusal(
            "NOTHING_LEFT",
            f"Of a {batch.board} nothing would be left: strips of that length take all of its "
            f"{in_both(batch.board.thickness_mm)} to plane clean.",
            "What warps must be less than what there is to plane away.",
            "Use shorter strips, or say --strip-thickness.",
            fields=("strip_thickness_mm", "top_length_mm"),
        )
    return thickness


def _clean_mm(board_mm: float, needed: Array) -> float:
    """Thickness to which nine strips of ten can be planed clean [mm], as a planer is set."""
    return SETTING_MM * math.floor((board_mm - float(np.quantile(needed[:, 1:], SURE))) / SETTING_MM)


@dataclass(frozen=True, slots=True)
class _Strips:
    """The strips of a board when they are glued.

    :param warped: over their length, shape (pieces, draws + 1)
    """

    warped: budget.Warped
    sawn: budget.Sawn
    stiffness_gpa: float | None

    def takes_mm(self, finished_mm: float) -> Array:
        """Thickness that planing takes [mm], shape (pieces, draws + 1)."""
        return self._asked(finished_mm).takes_thickness_mm(self.warped, self.sawn)

    def clean_up_chance(self, finished_mm: float) -> float:
        """Of a strip: by the one rule for it. What its width leaves to flatten the top is another
        question."""
        return float(np.mean(self._asked(finished_mm).cleans_up(self.warped, self.sawn)[:, 1:]))

    def _asked(self, finished_mm: float) -> budget.Asked:
        return budget.Asked("lamination", None, finished_mm, self.stiffness_gpa)


def _strips(batch: Batch, wanted_mm: float | None, top: Top, season: Season | None, draws: Draws) -> _Strips:
    """The strips of a batch when they are glued, the pieces of a board one after another."""
    assert batch.board is not None
    assert batch.length_mm is not None
    sawn = batch.sawn_mm or wanted_mm or batch.board.width_mm
    pith = Pith(top.grain.pith_depth_mm) if isinstance(top.grain, EdgeStrips) else Pith()
    board = SawnBoard("", batch.board, batch.length_mm, pith=pith)
    cut = Cut(None, min(sawn, batch.board.width_mm))
    lot = BoardArrays.of([board], cut)
    now = movement.mc_now(top, draws)
    if now is None:
        mean = warping.MC_BOUGHT_PCT if season is None else season.mean_pct
        now = np.full(draws.draws + 1, mean)
    found = warping.warps(lot, top.wood, now, Pile(draws), states=("in_service",))
    modes = {mode: values["in_service"][0] for mode, values in found.modes.items()}
    pieces = budget.Sawn.of(lot, lot.length_mm, cut.edges).of_board(0)
    return _Strips(budget.Warped.of(modes), pieces, budget.stiffness_gpa(top.wood))


def _flattening_mm(
    sawn_mm: float, sections: Sequence[int], top: Top, warps: budget.Warped, draws: Draws
) -> dict[str, Array]:
    """What flattening both faces takes [mm], by its causes."""
    # Strips that are glued side by side take on the mean of their crooks; turned at random these cancel as
    # the root of their number, least in the smallest section.
    crook = np.sqrt(np.mean(warps.crook_mm**2, axis=0))
    lies = np.abs(draws.deviation(doubt.LYING))
    lies[0] = warping.TYPICAL
    # The worst of the strips sticks out on one face, another on the other.
    line = 2.0 * np.abs(doubt.OUT_OF_LINE.sd * warping.TYPICAL + draws.deviation(doubt.OUT_OF_LINE))
    even = movement.mc_now(top, draws)
    if even is None:
        even = np.full(draws.draws + 1, warping.MC_BOUGHT_PCT)
    return {
        "crook_of_the_slab": crook * lies / math.sqrt(min(sections)),
        "strips_out_of_line": line,
        "strips_evening_out": seams.step_mm(top, sawn_mm, even, even, draws),
        "a_pass_on_each_face": np.full(draws.draws + 1, 2.0 * budget.CLEAN_UP_MM),
    }


def _pooled(values: Array, draws: Draws) -> Range:
    """The Range of one strip, taken from anywhere in its board."""
    count = draws.draws
    pieces = np.arange(count) % len(values)
    return draws.range(np.concatenate(([values[:, 0].mean()], values[pieces, 1 + np.arange(count)])))


def _closing_kn(batch: Batch, top: Top, bow_mm: Array, draws: Draws) -> Range | None:
    """Force that pulls the bow out of a strip, None where no table gives the stiffness."""
    stiffness = budget.stiffness_gpa(top.wood)
    wide = batch.sawn_mm or top.thickness_mm
    if stiffness is None or wide is None or batch.length_mm is None:
        return None
    section = (wide, batch.thickness_mm, batch.length_mm)
    forces = closing_force_kn(*section, bow_mm, stiffness)
    return _pooled(np.asarray(forces), draws)
