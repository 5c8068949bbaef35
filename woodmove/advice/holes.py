"""Bench holes through the year: how far a grid of them drifts, and the clearance that keeps a dog free."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from woodmove.advice import movement
from woodmove.advice.doubt import Draws
from woodmove.advice.warping import LENGTHWISE_PER_PCT
from woodmove.physics.warp import skew_deg
from woodmove.shop.answer import Answer, Assumption, Refusal, Warning
from woodmove.shop.season import Season
from woodmove.shop.top import Top

SOURCES = ("fpl-gtr-282", "fpl-gtr-190")
# Of a line through the holes, as one to the side and one along.
DIAGONAL_DEG = 45.0


@dataclass(frozen=True, slots=True)
class Grid:
    """A grid of holes, as drilled today.

    :param pitch_mm: from hole to hole, both ways
    :param across_mm: from the first row to the last, across the grain
    :param along_mm: from the first to the last, along it
    :param hole_mm: diameter
    :param dog_mm: diameter of what must slide in it
    """

    pitch_mm: float
    across_mm: float
    along_mm: float
    hole_mm: float
    dog_mm: float


def holes(top: Top, season: Season, grid: Grid, draws: Draws, inputs: Mapping[str, Any]) -> Answer:
    """Drift of the holes of a top against what is made of metal, and the clearance that a dog needs.

    :raises Refusal: a grid that the top does not hold, a dog that does not enter, or moisture not known
    """
    _refuse(top, grid)
    now = movement.mc_now(top, draws)
    if now is None:
        raise Refusal(
            "NO_MC_NOW",
            "The moisture content on the day of drilling is not known.",
            "Holes drift by what the wood dries or takes on after it.",
            "Meter it and type --mc-now 8, for example.",
            fields=("mc_now_pct",),
            exit_code=2,
        )
    whole, pitch, hole = (
        movement.movement(top, draws, max(span, 1.0))
        for span in (grid.across_mm, grid.pitch_mm, grid.hole_mm)
    )
    saturation = whole.fibre_saturation_pct
    start = np.minimum(now, saturation)
    rows = []
    least = np.full(draws.draws + 1, np.inf)
    drift = np.zeros(draws.draws + 1)
    for when, mc, month in (
        ("driest", season.low_pct, season.driest_month),
        ("dampest", season.high_pct, season.dampest_month),
    ):
        points = np.minimum(movement.in_service(season, mc, draws), saturation) - start
        across, along = whole.width * points, LENGTHWISE_PER_PCT * points
        width = grid.hole_mm * (1.0 + hole.width * points)
        least = np.minimum(least, width)
        drift = np.maximum(drift, np.abs(grid.across_mm * across))
        rows.append(
            {
                "when": when,
                "month_number": month,
                "mc_pct": mc,
                "pitch_drift_mm": draws.range(grid.pitch_mm * pitch.width * points),
                "across_drift_mm": draws.range(grid.across_mm * across),
                "along_drift_mm": draws.range(grid.along_mm * along),
                "hole_drift_mm": draws.range(width - grid.hole_mm),
                "diagonal_deg": draws.range(np.asarray(skew_deg(across, along, DIAGONAL_DEG))),
            }
        )
    shrinks = np.maximum(grid.hole_mm - least, 0.0)
    one, several = draws.range(grid.dog_mm + shrinks), draws.range(grid.dog_mm + shrinks + drift)
    free = float(np.mean(least[1:] >= grid.dog_mm))
    return Answer(
        "holes",
        inputs,
        {
            "one_dog_play_mm": draws.range(shrinks),
            "one_dog_bore_mm": one.high,
            "template_play_mm": draws.range(shrinks + drift),
            "template_bore_mm": several.high,
            "stays_free_chance_pct": 100.0 * free,
            "seasons": rows,
        },
        warnings=(*movement.warnings(top, season), *_warnings(free, grid, one.high)),
        assumptions=(*movement.assumptions(top, season), *_assumptions(grid)),
        sources=(*SOURCES, *(c.known.source for c in top.wood.coefficients), *season.sources),
        columns={"seasons": ("when", "mc_pct", "pitch_drift_mm", "across_drift_mm", "along_drift_mm",
                             "hole_drift_mm", "diagonal_deg")},
    )  # fmt: skip


def _refuse(top: Top, grid: Grid) -> None:
    if grid.across_mm + grid.hole_mm > top.width_mm:
        raise Refusal(
            "GRID_WIDER_THAN_TOP",
            f"Rows {grid.across_mm:.0f} mm apart do not fit on a top of {top.width_mm:.0f} mm.",
            "The outer holes lie within the edges.",
            "Type a smaller --across, or leave it out.",
            fields=("across_mm", "top_width_mm"),
        )
    if grid.pitch_mm > max(grid.across_mm, grid.along_mm):
        raise Refusal(
            "PITCH_WIDER_THAN_GRID",
            f"Holes {grid.pitch_mm:.0f} mm apart do not fit into the grid.",
            "The pitch is at most the whole grid.",
            "Type a smaller --pitch.",
            fields=("pitch_mm",),
        )
    if grid.hole_mm < grid.dog_mm:
        raise Refusal(
            "DOG_TOO_THICK",
            f"A dog of {grid.dog_mm:.2f} mm does not enter a hole of {grid.hole_mm:.2f} mm.",
            "A hole is at least as wide as what slides in it.",
            "Type a wider --hole, or a thinner --dog.",
            fields=("hole_mm", "dog_mm"),
        )


def _warnings(free: float, grid: Grid, drill_mm: float) -> tuple[Warning, ...]:
    if free >= 0.95:
        return ()
    return (
        Warning(
            "DOG_MAY_STICK",
            "A hole of {hole_bore_mm} may hold a dog of {dog_bore_mm} fast in the dry season (chance "
            "{chance}): "
            "drill {drill_bore_mm}, or ream the holes across the grain when they are tight.",
            {
                "hole_bore_mm": grid.hole_mm,
                "dog_bore_mm": grid.dog_mm,
                "drill_bore_mm": drill_mm,
                "chance": f"{100 * (1 - free):.0f} %",
            },
        ),
    )


def _assumptions(grid: Grid) -> tuple[Assumption, ...]:
    return (
        Assumption(
            "ROUND_METAL",
            "Dogs, squares and templates are of metal and do not move; a hole of {hole_mm} drilled today "
            "moves "
            "as the wood about it does, and gets oval.",
            {"hole_mm": grid.hole_mm},
        ),
        Assumption(
            "SQUARE_STAYS",
            "Lines of holes along and square to the grain stay square to each other; a line through one hole "
            "to the side for one along turns by the angle that is told, toward across the grain where it is "
            "positive.",
        ),
        Assumption(
            "TEMPLATE_SPANS",
            "The play of a template is for one that spans all rows, {across_mm}, and is set by its middle "
            "or by either end.",
            {"across_mm": grid.across_mm},
        ),
        Assumption(
            "ALONG_THE_GRAIN",
            "Along the grain normal wood moves by {along} of its length for each point of moisture; wood "
            "from "
            "near the pith more.",
            {"along": f"{100 * LENGTHWISE_PER_PCT:g} %"},
        ),
    )


def default_span_mm(room_mm: float, pitch_mm: float, hole_mm: float) -> float:
    """From the first hole to the last where nobody said so: as many pitches as leave one pitch's worth of
    edge at both sides together."""
    return pitch_mm * max(1, math.floor((room_mm - hole_mm) / pitch_mm + 1e-9) - 1)
