"""What milling takes from the strips of a top: planed clean before they are glued, flattened after."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from woodmove.advice.boards import allowance as budget
from woodmove.advice.boards import warp as warping
from woodmove.advice.boards.arrays import BoardArrays
from woodmove.advice.boards.warp import Pile
from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top import movement, seams
from woodmove.contract.notes import Note, Warning, assumption, warning
from woodmove.contract.quantity import CHANCE, FINE_LENGTH, FORCE, LENGTH
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal
from woodmove.contract.shown import Shown, results
from woodmove.domain.board import BoardSize, in_both
from woodmove.domain.season import Season
from woodmove.domain.stock import Cut, Pith, SawnBoard
from woodmove.domain.strip import Batch
from woodmove.domain.top import EdgeStrips, Top
from woodmove.physics.arrays import Array
from woodmove.physics.warp import closing_force_kn

# In such steps a planer is set, in inches and in millimetres (status: common practice).
SETTING_INCH_MM, SETTING_METRIC_MM = 25.4 / 16, 1.0
# Thinner than this nobody planes a strip.
LEAST_MM = 6.0
# So many strips should clean up, and so sure should the thickness be (status: judgement).
SURE = 0.9


# Turns by this fall evenly, however many there are (derived: the golden section).
GOLDEN = (5.0**0.5 - 1.0) / 2.0


@results
class Allowance:
    """What planing takes of the thickness of a strip, and whether it cleans up."""

    stock_mm: Annotated[float, Shown("board as bought", FINE_LENGTH)]
    takes_mm: Annotated[float, Shown("planing takes", FINE_LENGTH)]
    expected_mm: Annotated[Range | None, Shown("planing needs", FINE_LENGTH)] = None
    clean_up_chance_pct: Annotated[float | None, Shown("chance that a strip cleans up", CHANCE)] = None
    to_close_kn: Annotated[Range | None, Shown("closing the bow of a strip takes", FORCE)] = None


@results
class Flattening:
    """What flattening both faces of the top takes of the width of its strips, by its causes."""

    crook_of_the_slab_mm: Annotated[Range, Shown("crook of the slab", FINE_LENGTH)]
    strips_out_of_line_mm: Annotated[Range, Shown("strips out of line", FINE_LENGTH)]
    strips_evening_out_mm: Annotated[Range, Shown("strips evening out", FINE_LENGTH)]
    a_pass_on_each_face_mm: Annotated[Range, Shown("a pass on each face", FINE_LENGTH)]
    all_mm: Annotated[Range, Shown("in all", FINE_LENGTH)]


@dataclass(frozen=True, slots=True)
class Flat:
    """The top when it is flat.

    :param chance_pct: of the thickness that is wanted, None where nobody said so
    """

    flattening: Flattening
    thickness_mm: Range
    chance_pct: float | None


BOW_CLOSES = assumption(
    "BOW_CLOSES",
    "The bow of a strip closes in the clamps (it takes about {to_close_kn}). So planing need only take its "
    "cup and a pass of {pass_mm} on each face.",
    to_close_kn=FORCE, pass_mm=FINE_LENGTH,
)  # fmt: skip
CROOK_AVERAGES = assumption(
    "CROOK_AVERAGES",
    "The edges of the strips are not jointed. Glued side by side they take on the mean of their crooks, each "
    "turned as it comes. Laid out to cancel (woodmove lay-up) they leave less.",
)
TOO_LITTLE_TO_FLATTEN = warning(
    "TOO_LITTLE_TO_FLATTEN",
    "Strips of {sawn_mm} leave {spare_mm} to flatten a top of {thickness_mm}, and it may take {all_mm}. Rip "
    "them wider.",
    sawn_mm=LENGTH, spare_mm=FINE_LENGTH, thickness_mm=LENGTH, all_mm=FINE_LENGTH,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Strips:
    """The strips of a batch when they are glued.

    :param batch: with its board and its length
    :param warped: over their length, the places of each size one after another, shape (places, draws + 1)
    :param weights: share of the strips from each place, shape (places,)
    :param stiffness_gpa: None where no table gives it
    """

    batch: Batch
    top: Top
    draws: Draws
    warped: budget.Warped
    sawn: budget.Sawn
    weights: Array
    stiffness_gpa: float | None

    @classmethod
    def of(
        cls, batch: Batch, wanted_mm: float | None, top: Top, season: Season | None, draws: Draws
    ) -> "Strips":
        """The strips of a batch with its board and its length, the pieces of a board one after another.

        :param wanted_mm: thickness of the top when it is flat, None where nobody said so
        """
        assert batch.board is not None
        assert batch.length_mm is not None
        now = movement.mc_now(top, draws)
        if now is None:
            mean = warping.MC_BOUGHT_PCT if season is None else season.mean_pct
            now = np.full(draws.draws + 1, mean)
        sawn = batch.sawn_mm or wanted_mm or batch.board.width_mm
        kinds = [
            (wood, size, part * share) for wood, part in top.wood.parts for size, share in batch.board.shares
        ]
        of_sizes = [_of_size(size, batch.length_mm, sawn, replace(top, wood=wood), now, draws)
                    for wood, size, _ in kinds]  # fmt: skip
        weights = np.concatenate(
            [np.full(len(warped.bow_mm), share)
             for (warped, _), (*_, share) in zip(of_sizes, kinds, strict=True)]
        )  # fmt: skip
        return cls(
            batch, top, draws,
            budget.Warped(*_places([_arrays(warped) for warped, _ in of_sizes])),
            budget.Sawn(*_places([_arrays(pieces) for _, pieces in of_sizes])),
            weights / weights.sum(),
            budget.stiffness_gpa(top.wood),
        )  # fmt: skip

    def allowance(self) -> Allowance:
        """What planing takes."""
        assert self.batch.board is not None
        thickness = self.batch.thickness_mm
        return Allowance(
            stock_mm=self.batch.board.thickness_mm,
            takes_mm=self.batch.board.thickness_mm - thickness,
            expected_mm=self._pooled(self._takes_mm(thickness)),
            clean_up_chance_pct=100.0 * self.clean_up_chance(thickness),
            to_close_kn=self._closing_kn(),
        )

    def clean_up_chance(self, finished_mm: float) -> float:
        """Of a strip: by the one rule for it. What its width leaves to flatten the top is another
        question."""
        return self._share(self._asked(finished_mm).cleans_up(self.warped, self.sawn))

    def planes_clean(self, finished_mm: float) -> bool:
        """True if nine strips of ten can be planed clean to a thickness, whatever else spoils them."""
        assert self.batch.board is not None
        spare = self.batch.board.thickness_mm - finished_mm
        return self._share(self._takes_mm(finished_mm) <= spare) >= SURE

    def clean_mm(self, step_mm: float) -> float | None:
        """The greatest thickness that planes clean [mm], on a step of the shop; None where none does."""
        assert self.batch.board is not None
        steps = range(
            math.floor(self.batch.board.thickness_mm / step_mm), math.ceil(LEAST_MM / step_mm) - 1, -1
        )
        return next((step * step_mm for step in steps if self.planes_clean(step * step_mm)), None)

    def _share(self, true: NDArray[np.bool_]) -> float:
        """Share of the strips of which something is true, shape (places, draws + 1)."""
        return float(true[:, 1:].mean(axis=1) @ self.weights)

    def _pooled(self, values: Array) -> Range:
        """The Range of one strip, taken from anywhere, shape (places, draws + 1)."""
        count = self.draws.draws
        # Places by turns, each as often as its share of the strips.
        turns: Array = (np.arange(count) * GOLDEN) % 1.0
        places = np.asarray(np.searchsorted(np.cumsum(self.weights)[:-1], turns, side="right"))
        drawn = values[places, 1 + np.arange(count)]
        return self.draws.range(np.concatenate(([values[:, 0] @ self.weights], drawn)))

    def _takes_mm(self, finished_mm: float) -> Array:
        """Thickness that planing takes [mm], shape (pieces, draws + 1)."""
        return self._asked(finished_mm).takes_thickness_mm(self.warped, self.sawn)

    def _asked(self, finished_mm: float) -> budget.Asked:
        return budget.Asked("lamination", None, finished_mm, self.stiffness_gpa)

    def _closing_kn(self) -> Range | None:
        """Force that pulls the bow out of a strip, None where no table gives the stiffness."""
        batch = self.batch
        wide = batch.sawn_mm or self.top.thickness_mm
        if self.stiffness_gpa is None or wide is None or batch.length_mm is None:
            return None
        section = (wide, batch.thickness_mm, batch.length_mm)
        forces = closing_force_kn(*section, self.warped.bow_mm, self.stiffness_gpa)
        return self._pooled(np.asarray(forces))

    def flat(self, wanted_mm: float | None, sections: Sequence[int]) -> Flat | None:
        """What is left of their top when it is flat; None where nobody says how wide they are ripped.

        :param sections: strips of each section
        :raises Refusal: nothing would be left
        """
        sawn_mm, draws = self.batch.sawn_mm, self.draws
        if sawn_mm is None:
            return None
        causes = _flattening_mm(
            sawn_mm, sections, self.top, self.warped.crook_mm**2 * self.weights[:, None], draws
        )
        whole: Array = np.sum(causes, axis=0)
        thickness = sawn_mm - whole
        if thickness[0] < LEAST_MM:
            raise Refusal(
                "NOTHING_LEFT",
                f"Of strips {in_both(sawn_mm)} wide nothing would be left: flattening their top takes "
                f"{in_both(float(whole[0]))}.",
                "What crooks and steps must be less than what there is to plane away.",
                "Rip them wider (--strip-width), or use shorter strips.",
                fields=("strip_width_mm", "top_length_mm"),
            )
        crook, line, even, passes = (draws.range(values) for values in causes)
        reached = None if wanted_mm is None else 100.0 * float(np.mean(thickness[1:] >= wanted_mm))
        return Flat(
            Flattening(
                crook_of_the_slab_mm=crook,
                strips_out_of_line_mm=line,
                strips_evening_out_mm=even,
                a_pass_on_each_face_mm=passes,
                all_mm=draws.range(whole),
            ),
            draws.range(thickness),
            reached,
        )


def _of_size(
    size: BoardSize, length_mm: float, sawn_mm: float, top: Top, now_pct: Array, draws: Draws
) -> tuple[budget.Warped, budget.Sawn]:
    """The strips of a board of one size, as warped and as sawn, place by place."""
    pith = Pith(top.grain.pith_depth_mm) if isinstance(top.grain, EdgeStrips) else Pith()
    cut = Cut(None, min(sawn_mm, size.width_mm))
    lot = BoardArrays.of([SawnBoard("", size, length_mm, pith=pith)], cut)
    found = warping.warps(lot, top.wood, now_pct, Pile(draws), states=("in_service",))
    modes = {mode: values["in_service"][0] for mode, values in found.modes.items()}
    return budget.Warped.of(modes), budget.Sawn.of(lot, lot.length_mm, cut.edges).of_board(0)


def _arrays(value: budget.Warped | budget.Sawn) -> list[Array]:
    return [getattr(value, each.name) for each in fields(value)]


def _places(of_sizes: Sequence[Sequence[Array]]) -> list[Array]:
    """Arrays of each size, place by place, one after another."""
    places = [np.broadcast_shapes(*(array.shape for array in arrays))[0] for arrays in of_sizes]
    return [
        np.concatenate(
            [np.broadcast_to(array, (count, array.shape[-1]))
             for array, count in zip(alike, places, strict=True)]
        )
        for alike in zip(*of_sizes, strict=True)
    ]  # fmt: skip


def notes(strips: Strips, allowance: Allowance, flat: Flat | None, wanted_mm: float | None) -> list[Note]:
    """What to say of planing and flattening.

    :param wanted_mm: thickness of the top when it is flat, None where nobody said so
    """
    told: list[Note] = []
    if allowance.to_close_kn is not None:
        told.append(BOW_CLOSES(to_close_kn=allowance.to_close_kn, pass_mm=budget.CLEAN_UP_MM))
    if flat is not None:
        sawn_mm = strips.batch.sawn_mm
        assert sawn_mm is not None
        if wanted_mm is not None and flat.chance_pct is not None and flat.chance_pct < 100.0 * SURE:
            told.append(
                TOO_LITTLE_TO_FLATTEN(
                    sawn_mm=sawn_mm, spare_mm=sawn_mm - wanted_mm, thickness_mm=wanted_mm,
                    all_mm=flat.flattening.all_mm,
                )
            )  # fmt: skip
        told.append(CROOK_AVERAGES())
    return told


def thin_allowance(allowance: Allowance, count: int, clean_mm: float | None) -> Warning:
    """What to say of strips that cannot be planed clean to the thickness that was said.

    :param clean_mm: to which nine of ten can be, None for none
    """
    chance_pct = allowance.clean_up_chance_pct or 0.0
    text = "Planing {takes_mm} off the board cleans up {clean_up_chance_pct} of the strips."
    if chance_pct >= 50.0:
        text += " Make {make} to have {count} of them."
    if clean_mm is not None:
        text += " At {clean_mm}, nine in ten plane clean."
    values = {
        "takes_mm": allowance.takes_mm,
        "clean_up_chance_pct": chance_pct,
        "make": math.ceil(100.0 * count / max(chance_pct, 50.0)),
        "count": count,
        "clean_mm": clean_mm,
    }
    return Warning("THIN_ALLOWANCE", text, values, {"takes_mm": FINE_LENGTH, "clean_up_chance_pct": CHANCE,
                                                    "clean_mm": FINE_LENGTH})  # fmt: skip


def _flattening_mm(
    sawn_mm: float, sections: Sequence[int], top: Top, crook_squared_mm2: Array, draws: Draws
) -> tuple[Array, Array, Array, Array]:
    """What flattening both faces takes [mm]: for the crook of the slab, strips out of line, strips that even
    out, and a pass on each face.

    :param crook_squared_mm2: at each place, times its share of the strips, shape (places, draws + 1)
    """
    # Strips that are glued side by side take on the mean of their crooks; turned at random these cancel as
    # the root of their number, least in the smallest section.
    crook = np.sqrt(crook_squared_mm2.sum(axis=0))
    lies = np.abs(draws.deviation(doubt.LYING))
    lies[0] = warping.TYPICAL
    # The worst of the strips sticks out on one face, another on the other.
    line = 2.0 * np.abs(doubt.OUT_OF_LINE.sd * warping.TYPICAL + draws.deviation(doubt.OUT_OF_LINE))
    even = movement.mc_now(top, draws)
    if even is None:
        even = np.full(draws.draws + 1, warping.MC_BOUGHT_PCT)
    return (
        crook * lies / math.sqrt(min(sections)),
        line,
        seams.step_mm(top, sawn_mm, even, even, draws),
        np.full(draws.draws + 1, 2.0 * budget.CLEAN_UP_MM),
    )
