"""How wide will the top be in each season?"""

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

import numpy as np

from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top import season as season_advice
from woodmove.advice.top.movement import (
    assumptions,
    in_service,
    movement,
    needed_mc,
    warnings,
    with_year,
    within_coefficients,
)
from woodmove.advice.top.season import Exposure
from woodmove.contract.answer import Answer
from woodmove.contract.notes import Note
from woodmove.domain.climate import MONTHS
from woodmove.domain.season import Season
from woodmove.domain.top import EdgeStrips, Top
from woodmove.physics.arrays import Array
from woodmove.physics.shrinkage import size_at_mc_mm

SOURCES = ("fpl-gtr-282", "fpl-gtr-190")


def width(
    top: Top,
    season: Season,
    draws: Draws,
    inputs: Mapping[str, Any],
    exposure: Exposure | None = None,
    *,
    today: date | None = None,
) -> Answer:
    """Width, and thickness, of a top through its year.

    :param top: as it is today, its moisture content known
    :param season: the year in service
    :param draws: of the doubt
    :param inputs: as understood, for the answer
    :param stay: how the top stands in its room, for what it does as thick and as finished as it is;
        None leaves that out
    :param today: before which nothing is to be measured any more, None where that is not known
    :raises Refusal: moisture content today unknown
    """
    now = needed_mc(
        top, draws, "A width in another season is told from the width and the moisture content today."
    )
    by_coefficient = within_coefficients(top, season)
    moves = movement(top, draws)

    def size_at(size_mm: float, coefficient: Array, mc_pct: Array) -> Array:
        return np.asarray(
            size_at_mc_mm(
                size_mm, coefficient, now, mc_pct, moves.fibre_saturation_pct, by_coefficient=by_coefficient
            )
        )

    def size(size_mm: float, coefficient: Array, mc_pct: float | Array) -> Array:
        return size_at(size_mm, coefficient, in_service(season, mc_pct, draws))

    low, high = (size(top.width_mm, moves.width, mc) for mc in (season.low_pct, season.high_pct))
    results: dict[str, Any] = {
        "width_now_mm": top.width_mm,
        "width_low_mm": draws.range(low),
        "width_high_mm": draws.range(high),
        "change_low_mm": draws.range(low - top.width_mm),
        "change_high_mm": draws.range(high - top.width_mm),
        "swing_mm": draws.range(high - low),
    }
    if top.thickness_mm is not None:
        thin, thick = (
            size(top.thickness_mm, moves.thickness, mc) for mc in (season.low_pct, season.high_pct)
        )
        results |= {
            "thickness_now_mm": top.thickness_mm,
            "thickness_low_mm": draws.range(thin),
            "thickness_high_mm": draws.range(thick),
            "thickness_change_low_mm": draws.range(thin - top.thickness_mm),
            "thickness_change_high_mm": draws.range(thick - top.thickness_mm),
        }
    results |= {
        "mc_now_pct": top.mc_now_pct,
        "mc_low_pct": season.low_pct,
        "mc_high_pct": season.high_pct,
        "coefficient_per_pct": draws.range(moves.width),
        "method": (
            "coefficients (all moisture contents within 6 to 14 %)"
            if by_coefficient
            else "total shrinkage (some moisture contents outside 6 to 14 %)"
        ),
    }
    if isinstance(top.grain, EdgeStrips):
        results["strips"] = _strips(top.grain, top)
    if season.monthly_pct is not None:
        results["driest_month"] = MONTHS[season.driest_month - 1] if season.driest_month else None
        results["dampest_month"] = MONTHS[season.dampest_month - 1] if season.dampest_month else None
        widths = size(top.width_mm, moves.width, season.monthly_pct)
        results["months"] = [
            {
                "month": month,
                "mc_pct": mc,
                "width_mm": draws.range(row),
                "change_mm": draws.range(row - top.width_mm),
            }
            for month, mc, row in zip(MONTHS, season.monthly_pct, widths, strict=True)
        ]
        if top.thickness_mm is not None:
            thicknesses = size(top.thickness_mm, moves.thickness, season.monthly_pct)
            for entry, row in zip(results["months"], thicknesses, strict=True):
                entry["thickness_mm"] = draws.range(row)
    course = None if exposure is None else exposure.course(top, season, draws)
    if exposure is not None and course is not None:
        lagged = [with_year(season, mc, draws) for mc in (course.low_pct, course.high_pct)]
        narrow, wide = (size_at(top.width_mm, moves.width, mc) for mc in lagged)
        results["season"] = season_advice.results(course, season, draws) | {
            "width_low_lagged_mm": draws.range(narrow),
            "width_high_lagged_mm": draws.range(wide),
            "swing_lagged_mm": draws.range(wide - narrow),
        }
        if not exposure.faces.alike:
            results["season"]["cup_mm"] = season_advice.cup_mm(
                course.typical_upper_less_lower, float(moves.width[0]), top
            )
        if course.start is not None:
            by_month = season_advice.first_months_pct(course, season, now, draws)
            sizes = size_at(top.width_mm, moves.width, by_month)
            results["first_months"] = [
                {
                    "when": when,
                    "mc_pct": draws.range(mc),
                    "width_mm": draws.range(row),
                    "core_less_shell_points": difference,
                }
                for when, mc, row, difference in zip(
                    season_advice.month_names(course),
                    by_month,
                    sizes,
                    course.core_less_shell,
                    strict=True,
                )
            ]
            results["checks"] = _checks(course, today or course.start)
    return Answer(
        "width",
        inputs,
        results,
        warnings=(
            *warnings(top, season),
            *(season_advice.warnings(course, top, season, exposure.model) if exposure and course else ()),
        ),
        assumptions=(
            *assumptions(top, season),
            *(
                season_advice.assumptions(course, exposure.faces, exposure.model)
                if exposure and course
                else ()
            ),
        ),
        sources=(*SOURCES, *(c.known.source for c in top.wood.coefficients), *season.sources),
        columns={
            "months": ("month", "mc_pct", "width_mm", "change_mm"),
            "first_months": ("when", "mc_pct", "width_mm", "core_less_shell_points"),
        },
    )


def _checks(course: season_advice.YearlyMoisture, today: date) -> list[dict[str, Any]]:
    """When to measure in the first year and a half: where the top turns from narrowing to widening, and
    back, for the first time from today on."""
    assert course.start is not None
    means = course.mean_pct[:19, 0]
    days = [course.start + timedelta(days=float(day)) for day in course.days[:19]]
    checks = []
    for word, sign in (("narrowest", 1.0), ("widest", -1.0)):
        path = sign * means
        turns = [m for m in range(1, len(path) - 1) if path[m] <= path[m - 1] and path[m] < path[m + 1]]
        turn = next((m for m in turns if days[m] >= today), None)
        if turn is not None:
            checks.append(
                {
                    "date": days[turn],
                    "check": Note(
                        "MEASURE_WIDTH",
                        f"Measure the width, and read the room's RH: about now the top is at its {word} of "
                        "the season, at some {mc_pct}.",
                        {"mc_pct": float(means[turn])},
                    ),
                }
            )
    return checks


def _strips(grain: EdgeStrips, top: Top) -> list[dict[str, float]]:
    """Each strip of a board: where it was cut, how its rings stand, how it moves."""
    shares = grain.strip_shares()
    coefficients = top.wood.coefficients
    radial = float(np.mean([c.radial for c in coefficients]))
    tangential = float(np.mean([c.tangential for c in coefficients]))
    return [
        {
            "strip": number,
            "offset_from_pith_mm": offset,
            # Angle at which a plane piece would have the same share of tangential movement.
            "ring_angle_deg": float(np.degrees(np.arccos(np.sqrt(share)))),
            "coefficient_per_pct": radial + (tangential - radial) * share,
        }
        for number, (offset, share) in enumerate(zip(grain.offsets_mm, shares, strict=True), start=1)
    ]
