"""What a top would bear if it were screwed tight: the reason for its slots."""

from typing import Any

import numpy as np

from woodmove.advice import doubt, movement
from woodmove.advice.doubt import Draws
from woodmove.physics.arrays import Array
from woodmove.physics.density import density_kg_m3
from woodmove.physics.restraint import (
    blocked_stress_kpa,
    cracking_drop_points,
    held_share,
    slip_modulus_n_mm,
)
from woodmove.shop.answer import Assumption, Note
from woodmove.shop.season import Season
from woodmove.shop.species import HeldAcross
from woodmove.shop.top import Top

# What creep leaves of the elastic stress in months: about half (status: memory, see doubt.RELAXED).
STAYS = 0.5


def held(
    top: Top, season: Season, draws: Draws, *, screws: tuple[float, float, float] | None = None
) -> dict[str, Any] | None:
    """Stress of a top that is held rigidly while it dries to its driest, as a share of its strength.

    :param screws: diameter of the screws [mm], distance between the outer ones across the grain [mm], and
        from one row of screws to the next along it [mm]: then also what is left where only screws hold
    :returns: for an Answer; None where no table gives strength and stiffness, or moisture is not known, or
        the top will not dry
    """
    across = [found for member in top.wood.candidates if (found := member.held_across) is not None]
    now = movement.mc_now(top, draws)
    if not across or now is None or top.mc_now_pct is None or top.mc_now_pct <= season.low_pct:
        return None
    moves = movement.movement(top, draws)
    dry = movement.in_service(season, season.low_pct, draws)
    saturation = moves.fibre_saturation_pct
    drop = np.maximum(np.minimum(now, saturation) - np.minimum(dry, saturation), 0.0)
    wood = _mean(across)
    stiffness = wood.radial_gpa + (wood.tangential_gpa - wood.radial_gpa) * _tangential_share(
        top, moves.width
    )
    stress = np.asarray(blocked_stress_kpa(moves.width, drop, stiffness))
    share = 100.0 * stress / wood.tension_kpa
    stays = STAYS + draws.deviation(doubt.RELAXED)
    results: dict[str, Any] = {
        "stress_mpa": draws.range(stress / 1000.0),
        "strength_share_pct": draws.range(share),
        "after_creep_share_pct": draws.range(share * stays),
        "cracks_after_points": draws.range(
            np.asarray(cracking_drop_points(wood.tension_kpa, stiffness, moves.width))
        ),
    }
    gravity = top.wood.gravity_12
    if screws is not None and gravity is not None and top.thickness_mm is not None:
        diameter, apart, row = screws
        # The strip of top that one row holds, as a spring, and the two outer screws.
        spring = float(stiffness) * 1000.0 * top.thickness_mm * row / apart
        slip = slip_modulus_n_mm(density_kg_m3(gravity, 12.0), diameter)
        results["with_screws_alone_share_pct"] = draws.range(share * float(held_share(spring, slip)))
    return results


def why_slots(results: dict[str, Any]) -> Note:
    """It in one line."""
    return Note(
        "WHY_SLOTS",
        "Held rigidly it would be pulled at {strength_share_pct} of its strength across the grain by its "
        "driest, and "
        "cracks on paper from a fall of {cracks_after_points} (creep lets it bear 1.5 to 3 times that, "
        "knots and "
        "checks less). Tight screws bend and crush their holes first, and work loose.",
        {name: results[name] for name in ("strength_share_pct", "cracks_after_points")},
    )


ELASTIC = Assumption(
    "HELD_ELASTIC",
    "Held wood is reckoned as clear, elastic and held all along, by its stiffness at 12 % MC; creep leaves "
    "about "
    "half of the stress in months (0.3 to 0.7, memory). Held while it swells, wood is crushed and comes out "
    "narrower: it cracks in the winter after a humid summer, and its screws come loose (memory).",
)


def _mean(across: list[HeldAcross]) -> HeldAcross:
    return HeldAcross(
        *(
            float(np.mean([getattr(each, name) for each in across]))
            for name in ("tension_kpa", "tangential_gpa", "radial_gpa")
        )
    )


def _tangential_share(top: Top, coefficient: Array) -> float:
    """Tangential share of the width, from its central coefficient."""
    radial, tangential = (
        float(np.mean([getattr(c, name) for c in top.wood.coefficients])) for name in ("radial", "tangential")
    )
    return (
        0.5
        if tangential == radial
        else float(np.clip((coefficient[0] - radial) / (tangential - radial), 0, 1))
    )
