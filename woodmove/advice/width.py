"""How wide will the top be in each season?"""

from collections.abc import Mapping
from typing import Any

import numpy as np

from woodmove.advice.doubt import Draws
from woodmove.advice.movement import assumptions, in_service, mc_now, movement, warnings
from woodmove.physics.arrays import Array
from woodmove.physics.shrinkage import COEFFICIENT_RANGE, size_at_mc_mm
from woodmove.shop.answer import Answer, Refusal
from woodmove.shop.climate import MONTHS
from woodmove.shop.season import Season
from woodmove.shop.top import EdgeStrips, Top

SOURCES = ("fpl-gtr-282", "fpl-gtr-190")


def width(top: Top, season: Season, draws: Draws, inputs: Mapping[str, Any]) -> Answer:
    """Width, and thickness, of a top through its year.

    :param top: as it is today, its moisture content known
    :param season: the year in service
    :param draws: of the doubt
    :param inputs: as understood, for the answer
    :raises Refusal: moisture content today unknown
    """
    now = mc_now(top, draws)
    if now is None:
        raise Refusal(
            "NO_MC_NOW",
            "The moisture content of the wood today is not known.",
            "A width in another season is told from the width and the moisture content today.",
            "Measure it and add the moisture content today, such as --mc-now 12.",
            fields=("mc_now_pct",),
            exit_code=2,
        )
    central = [top.mc_now_pct, season.low_pct, season.high_pct]
    by_coefficient = not COEFFICIENT_RANGE.outside(np.array(central, float))
    moves = movement(top, draws)

    def size(size_mm: float, coefficient: Array, mc_pct: float | Array) -> Array:
        return np.asarray(
            size_at_mc_mm(
                size_mm,
                coefficient,
                now,
                in_service(season, mc_pct, draws),
                moves.fibre_saturation_pct,
                by_coefficient=by_coefficient,
            )
        )

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
    return Answer(
        "width",
        inputs,
        results,
        warnings=warnings(top, season),
        assumptions=assumptions(top, season),
        sources=(*SOURCES, *(c.known.source for c in top.wood.coefficients)),
        columns={"months": ("month", "mc_pct", "width_mm", "change_mm")},
    )


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
