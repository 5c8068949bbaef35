"""Bench holes through the year: how far a grid of them drifts, and the clearance that keeps a dog free."""

import math
from dataclasses import dataclass
from typing import Annotated

import numpy as np

from woodmove.advice.boards.warp import LENGTHWISE_PER_PCT
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top import movement
from woodmove.contract import quantity
from woodmove.contract.answer import Answer, Verdict
from woodmove.contract.notes import Assumption, Warning, assumption, note, warning
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal
from woodmove.contract.shown import Shown, results
from woodmove.domain.board import in_both
from woodmove.domain.climate import MONTHS
from woodmove.domain.season import Season
from woodmove.domain.top import Top
from woodmove.physics.arrays import Array
from woodmove.physics.warp import skew_deg

SOURCES = ("fpl-gtr-282", "fpl-gtr-190")
# Of a line through the holes, as one to the side and one along.
DIAGONAL_DEG = 45.0
TURN = quantity.Quantity("_deg", ("°", 0.1, 0.1), ("°", 0.1, 0.1))
# A dog that stays free so often is free [%] (status: judgement).
FREE_PCT = 95.0


@results
class Drift:
    """How far the holes have drifted in a season since they were drilled."""

    when: Annotated[str, Shown("when", None, "key")]
    month_number: Annotated[int | None, Shown("month")]
    mc_pct: Annotated[float, Shown("MC", quantity.MOISTURE, "key")]
    pitch_drift_mm: Annotated[Range, Shown("pitch", quantity.STEP, "key")]
    across_drift_mm: Annotated[Range, Shown("all across", quantity.STEP, "key")]
    hole_drift_mm: Annotated[Range, Shown("hole", quantity.STEP)]
    along_drift_mm: Annotated[Range | None, Shown("all along", quantity.STEP)]
    diagonal_deg: Annotated[Range, Shown("diagonal turns", TURN, "key")]


@results
class Holes:
    """A grid of bench holes through the year."""

    rows_across: Annotated[int, Shown("rows across")]
    holes_along: Annotated[int | None, Shown("holes along")]
    across_mm: Annotated[float, Shown("from the first row to the last", quantity.LENGTH)]
    along_mm: Annotated[float | None, Shown("from the first hole to the last", quantity.LENGTH)]
    one_dog_play_mm: Annotated[Range, Shown("play that one dog needs", quantity.STEP)]
    one_dog_bore_mm: Annotated[float, Shown("bore for one dog", quantity.BORE, "headline")]
    stays_free_chance_pct: Annotated[
        float, Shown("chance that a dog stays free in it", quantity.CHANCE, "key")
    ]
    template_play_mm: Annotated[
        Range, Shown("play that a template over all rows needs", quantity.STEP, "key")
    ]
    seasons: Annotated[tuple[Drift, ...], Shown("drift since the drilling", None, "key")]


BORE = note(
    "BORE", "Bore {bore_mm} for a dog of {dog_mm}: off rails and screws, best off seams.",
    bore_mm=quantity.BORE, dog_mm=quantity.BORE,
)  # fmt: skip
BORE_WIDER = note(
    "BORE_WIDER", "Bore {bore_mm}, not {hole_mm}: a dog of {dog_mm} sticks in the dry season.",
    bore_mm=quantity.BORE, hole_mm=quantity.BORE, dog_mm=quantity.BORE,
)  # fmt: skip
KEEP_OFF = note("KEEP_OFF", "Keep holes off the rails and the screws, and off the seams where you can.")

DOG_MAY_STICK = warning(
    "DOG_MAY_STICK",
    "A hole of {hole_mm} may hold a dog of {dog_mm} fast in the dry season (chance {chance_pct}). Where it "
    "is bored already, ream it across the grain.",
    hole_mm=quantity.BORE, dog_mm=quantity.BORE, chance_pct=quantity.CHANCE,
)  # fmt: skip
ROUND_METAL = assumption(
    "ROUND_METAL",
    "Dogs, squares and templates are of metal and do not move. A hole bored today moves as the wood about it "
    "does, and gets oval.",
)
SQUARE_STAYS = assumption(
    "SQUARE_STAYS",
    "Lines of holes along and square to the grain stay square to each other. The diagonal, one hole to the "
    "side for one along, turns: toward across the grain where its angle is positive.",
)
TEMPLATE_FLOATS = assumption(
    "TEMPLATE_FLOATS",
    "The play of a template is what its pins need together over all rows, {across_mm}, where it may float to "
    "the middle. Set by a pin at one end it needs twice as much at the other. Slot its holes across the "
    "grain rather than bore them wider.",
    across_mm=quantity.LENGTH,
)
ALONG_THE_GRAIN = assumption(
    "ALONG_THE_GRAIN",
    "Along the grain normal wood moves by {along} of its length for each point of moisture; wood from near "
    "the pith more.",
    along=None,
)


@dataclass(frozen=True, slots=True)
class Grid:
    """A grid of holes, as drilled today.

    :param pitch_mm: from hole to hole, both ways
    :param across_mm: from the first row to the last, across the grain
    :param along_mm: from the first to the last, along it; None where nobody said how long the top is
    :param hole_mm: diameter; None for the bore that is told
    :param dog_mm: diameter of what must slide in it
    """

    pitch_mm: float
    across_mm: float
    along_mm: float | None
    hole_mm: float | None
    dog_mm: float

    def count(self, span_mm: float) -> int:
        """Holes on a span, its ends counted."""
        return round(span_mm / self.pitch_mm) + 1


def holes(
    top: Top,
    season: Season,
    grid: Grid,
    draws: Draws,
    *,
    length_mm: float | None = None,
) -> Answer[Holes]:
    """Drift of the holes of a top against what is made of metal, and the clearance that a dog needs.

    :param length_mm: of the top, None where nobody said so
    :raises Refusal: a grid that the top does not hold, a dog that does not enter, or moisture not known
    """
    _refuse(top, grid, length_mm)
    now = movement.needed_mc(
        top, draws, "Holes drift by what the wood dries or takes on after they are drilled."
    )
    whole, pitch, hole = (
        movement.movement(top, draws, max(span, 1.0)) for span in (grid.across_mm, grid.pitch_mm, grid.dog_mm)
    )
    saturation = whole.fibre_saturation_pct
    start = np.minimum(now, saturation)
    extremes = (
        ("driest", season.low_pct, season.driest_month),
        ("dampest", season.high_pct, season.dampest_month),
    )
    points = {
        when: np.minimum(mc, saturation) - start
        for (when, _, _), mc in zip(extremes, movement.extremes(season, draws), strict=True)
    }
    # A dog sticks where the hole has shrunk about it.
    shrinks: Array = np.max([-grid.dog_mm * hole.width * each for each in points.values()], axis=0).clip(
        min=0.0
    )
    one = draws.range(shrinks)
    bored = grid.dog_mm + one.high if grid.hole_mm is None else grid.hole_mm
    free = float(np.mean(bored * (1.0 - shrinks[1:] / grid.dog_mm) >= grid.dog_mm - 1e-6))
    # A template floats to the middle; in one season holes drift and shrink, in the other they drift and
    # widen.
    template = np.max(
        [np.abs(grid.across_mm * whole.width * p) - grid.dog_mm * hole.width * p for p in points.values()],
        axis=0,
    ).clip(min=0.0)
    seasons = tuple(
        _drift(when, month, mc, points[when], grid, (whole.width, pitch.width, hole.width), bored, draws)
        for when, mc, month in extremes
    )
    return Answer(
        _verdict(free, grid, grid.dog_mm + one.high),
        Holes(
            rows_across=grid.count(grid.across_mm),
            holes_along=None if grid.along_mm is None else grid.count(grid.along_mm),
            across_mm=grid.across_mm,
            along_mm=grid.along_mm,
            one_dog_play_mm=one,
            one_dog_bore_mm=grid.dog_mm + one.high,
            stays_free_chance_pct=100.0 * free,
            template_play_mm=draws.range(template),
            seasons=seasons,
        ),
        (
            *movement.warnings(top, season),
            *_warnings(free, grid),
            *movement.assumptions(top, season),
            *_assumptions(grid),
        ),
        (*SOURCES, *top.wood.sources, *season.sources),
    )


def _drift(
    when: str,
    month: int | None,
    mc_pct: float,
    points: Array,
    grid: Grid,
    coefficients: tuple[Array, Array, Array],
    bored_mm: float,
    draws: Draws,
) -> Drift:
    """The drift in one season since the drilling."""
    whole, pitch, hole = (coefficient * points for coefficient in coefficients)
    along = LENGTHWISE_PER_PCT * points
    return Drift(
        when=when if month is None else f"{when}, {MONTHS[month - 1]}",
        month_number=month,
        mc_pct=mc_pct,
        pitch_drift_mm=draws.range(grid.pitch_mm * pitch),
        across_drift_mm=draws.range(grid.across_mm * whole),
        hole_drift_mm=draws.range(bored_mm * hole),
        along_drift_mm=None if grid.along_mm is None else draws.range(grid.along_mm * along),
        diagonal_deg=draws.range(np.asarray(skew_deg(whole, along, DIAGONAL_DEG))),
    )


def _refuse(top: Top, grid: Grid, length_mm: float | None) -> None:
    hole = grid.dog_mm if grid.hole_mm is None else grid.hole_mm
    if hole < grid.dog_mm - 1e-6:  # an inch and its millimetres differ in the last digit
        raise Refusal(
            "DOG_TOO_THICK",
            f"A dog of {in_both(grid.dog_mm)} does not enter a hole of {in_both(hole)}.",
            "A hole is at least as wide as what slides in it.",
            "Type a wider --hole, or a thinner --dog.",
            fields=("hole_diameter_mm", "dog_diameter_mm"),
        )
    if grid.pitch_mm <= hole:
        raise Refusal(
            "HOLES_MEET",
            f"Holes of {in_both(hole)}, {in_both(grid.pitch_mm)} from middle to middle, run into each other.",
            "The pitch is wider than a hole.",
            "Type --pitch 4in, for example.",
            fields=("pitch_mm", "hole_diameter_mm"),
        )
    if grid.pitch_mm + hole > top.width_mm:
        raise Refusal(
            "PITCH_WIDER_THAN_TOP",
            f"Two rows {in_both(grid.pitch_mm)} apart do not fit on a top of {in_both(top.width_mm)}.",
            "A grid has at least two rows across the grain.",
            "Type a smaller --pitch.",
            fields=("pitch_mm", "top_width_mm"),
        )
    for span, room, name in ((grid.across_mm, top.width_mm, "across"), (grid.along_mm, length_mm, "along")):
        if span is not None and room is not None and span + hole > room:
            raise Refusal(
                "GRID_OFF_TOP",
                f"Holes {in_both(span)} apart do not fit on {in_both(room)} of top.",
                "The outer holes lie within the edges.",
                "Type a smaller --span, or a smaller --pitch.",
                fields=(f"{name}_mm",),
            )
    if grid.pitch_mm > grid.across_mm:
        raise Refusal(
            "PITCH_WIDER_THAN_GRID",
            f"Rows {in_both(grid.pitch_mm)} apart do not fit into {in_both(grid.across_mm)}.",
            "The pitch is at most the whole grid.",
            "Type a smaller --pitch, or a greater --span.",
            fields=("pitch_mm", "across_mm"),
        )


def _sticks(free: float, grid: Grid) -> bool:
    """True if a hole that somebody asked for holds the dog fast too often."""
    return grid.hole_mm is not None and 100.0 * free < FREE_PCT


def _verdict(free: float, grid: Grid, bore_mm: float) -> Verdict:
    """What to bore, and where not: in one sentence, since a card holds the first only."""
    if _sticks(free, grid):
        bore = BORE_WIDER(bore_mm=bore_mm, hole_mm=grid.hole_mm, dog_mm=grid.dog_mm)
        return Verdict("stop", (bore, KEEP_OFF()))
    bored = bore_mm if grid.hole_mm is None else grid.hole_mm
    return Verdict("go", (BORE(bore_mm=bored, dog_mm=grid.dog_mm),))


def _warnings(free: float, grid: Grid) -> tuple[Warning, ...]:
    if not _sticks(free, grid):
        return ()
    chance = 100.0 * (1.0 - free)
    return (DOG_MAY_STICK(hole_mm=grid.hole_mm, dog_mm=grid.dog_mm, chance_pct=chance),)


def _assumptions(grid: Grid) -> tuple[Assumption, ...]:
    return (
        ROUND_METAL(),
        SQUARE_STAYS(),
        TEMPLATE_FLOATS(across_mm=grid.across_mm),
        ALONG_THE_GRAIN(along=f"{100 * LENGTHWISE_PER_PCT:g} %"),
    )


def default_span_mm(room_mm: float, pitch_mm: float, hole_mm: float) -> float:
    """From the first hole to the last where nobody said so: as many pitches as leave one pitch's worth of
    edge at both sides together."""
    return pitch_mm * max(1, math.floor((room_mm - hole_mm) / pitch_mm + 1e-9) - 1)
