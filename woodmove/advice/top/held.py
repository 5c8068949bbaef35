"""Strength and stiffness of a top across its grain: what holding it comes up against."""

import numpy as np

from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top import movement
from woodmove.domain.species import HeldAcross
from woodmove.domain.top import Rings, Top
from woodmove.physics.restraint import cracking_drop_points, slanted_stiffness_gpa


def cracking_points(top: Top) -> float | None:
    """Fall of moisture [points] at which the width of a top that is held reaches its strength on paper, by
    the directions of its own rings, without doubt; None where no table gives strength and stiffness."""
    across = strength_and_stiffness(top)
    if across is None:
        return None
    # The central values do not depend on the draws behind them: one will do.
    return float(cracking_drop_points(*across, movement.movement(top, Draws(1)).width[0]))


def strength_and_stiffness(top: Top) -> tuple[float, float] | None:
    """Tension strength [kPa] and stiffness [GPa] across the grain of the width of a top: means over the
    species that it may be, None where no table gives them. Of a top of several woods the weakest cracks
    first, and their strips lie one behind the other."""
    strengths, compliances = list[float](), list[float]()
    for part, share in top.wood.parts:
        across = [found for member in part.candidates if (found := member.held_across) is not None]
        if not across:
            return None
        strengths.append(float(np.mean([wood.tension_kpa for wood in across])))
        compliances.append(share / float(np.mean([_stiffness_gpa(wood, top) for wood in across])))
    return min(strengths), 1.0 / sum(compliances)


def _stiffness_gpa(wood: HeldAcross, top: Top) -> float:
    """Stiffness of the width of a top: its parts lie one behind the other, so their compliances are
    averaged."""
    shares = top.grain.width_shares() if isinstance(top.grain, Rings) else top.grain.sampled_shares()
    parts = slanted_stiffness_gpa(wood.radial_gpa, wood.tangential_gpa, wood.shear_rt_gpa, shares)
    compliances = 1.0 / np.asarray(parts)
    if isinstance(top.grain, Rings):
        return 1.0 / float(compliances)
    return 1.0 / float(np.average(compliances.mean(axis=(1, 2)), weights=top.grain.weights))
