"""What a top would bear if it were held tight: the reason for its slots."""

from typing import Annotated

import numpy as np

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top import movement
from woodmove.contract.notes import Assumption, Note, note
from woodmove.contract.quantity import POINTS, PRESSURE, SHARE
from woodmove.contract.ranges import Range
from woodmove.contract.shown import Shown, results
from woodmove.domain.season import Season
from woodmove.domain.species import HeldAcross
from woodmove.domain.top import Rings, Top
from woodmove.physics.restraint import blocked_stress_kpa, cracking_drop_points, slanted_stiffness_gpa

# What creep leaves of the elastic stress in months: about half (status: memory, see doubt.RELAXED).
STAYS = 0.5


@results
class Held:
    """What a top would bear if it were held tight.

    From today to its driest where today is known, and from its dampest, after wood that could not swell has
    been crushed.
    """

    stress_mpa: Annotated[Range | None, Shown("stress by its driest", PRESSURE)]
    strength_share_pct: Annotated[Range | None, Shown("of its strength", SHARE)]
    after_creep_share_pct: Annotated[Range | None, Shown("of it, after creep", SHARE)]
    after_damp_share_pct: Annotated[Range, Shown("of it, after a damp season held", SHARE)]
    cracks_after_points: Annotated[Range, Shown("cracks on paper from a fall of", POINTS)]


def held(top: Top, season: Season, draws: Draws) -> Held | None:
    """Stress of a top that is held rigidly, as a share of its strength across the grain.

    :returns: None where no table gives strength and stiffness
    """
    across = _strength_and_stiffness(top)
    if across is None:
        return None
    moves = movement.movement(top, draws)
    strength = across[0] * draws.factor(doubt.TENSION_ACROSS)
    stiffness = across[1] * draws.factor(doubt.STIFFNESS_ACROSS)
    stays = STAYS + draws.deviation(doubt.RELAXED)
    saturation = moves.fibre_saturation_pct
    dry, damp = (
        np.minimum(movement.in_service(season, mc, draws), saturation)
        for mc in (season.low_pct, season.high_pct)
    )
    now = movement.mc_now(top, draws)
    stress = None
    if now is not None:
        drop = np.maximum(np.minimum(now, saturation) - dry, 0.0)
        stress = np.asarray(blocked_stress_kpa(moves.width, drop, stiffness))
    crushed = np.asarray(blocked_stress_kpa(moves.width, np.maximum(damp - dry, 0.0), stiffness))
    return Held(
        stress_mpa=None if stress is None else draws.range(stress / 1000.0),
        strength_share_pct=None if stress is None else draws.range(100.0 * stress / strength),
        after_creep_share_pct=None if stress is None else draws.range(100.0 * stress / strength * stays),
        after_damp_share_pct=draws.range(100.0 * crushed / strength),
        cracks_after_points=draws.range(np.asarray(cracking_drop_points(strength, stiffness, moves.width))),
    )


def cracking_points(top: Top) -> float | None:
    """Fall of moisture [points] at which the width of a top that is held reaches its strength on paper, by
    the directions of its own rings, without doubt; None where no table gives strength and stiffness."""
    across = _strength_and_stiffness(top)
    if across is None:
        return None
    # The central values do not depend on the draws behind them: one will do.
    return float(cracking_drop_points(*across, movement.movement(top, Draws(1)).width[0]))


CRACKS = note("CRACKS", "Screwed tight, it cracks in the winter after a humid summer.")
PULLED = note(
    "PULLED",
    "Screwed tight, it would be pulled at {share_pct} of its strength across the grain by its driest.",
    share_pct=SHARE,
)  # fmt: skip


def why_slots(held: Held) -> Note:
    """It in one line."""
    share = held.after_damp_share_pct.expected
    return CRACKS() if share >= 100.0 else PULLED(share_pct=share)


ELASTIC = Assumption(
    "HELD_ELASTIC",
    "Held wood is reckoned as clear, elastic and held all along, by its stiffness at 12 % MC. Creep leaves "
    "about half of the stress in months (0.3 to 0.7, memory), so that it bears 1.5 to 3 times the fall on "
    "paper; knots and checks make it bear less. Held while it swells, wood is crushed and comes out "
    "narrower: it cracks in the winter after a humid summer, and its screws come loose (memory).",
)
UNKNOWN = Assumption(
    "HELD_UNKNOWN",
    "No table gives this wood's strength and stiffness across the grain, so what it would bear if it were "
    "held is not told. It is no reason to hold it.",
)


def _strength_and_stiffness(top: Top) -> tuple[float, float] | None:
    """Tension strength [kPa] and stiffness [GPa] across the grain of the width of a top: means over the
    species that it may be, None where no table gives them."""
    across = [found for member in top.wood.candidates if (found := member.held_across) is not None]
    if not across:
        return None
    return (
        float(np.mean([wood.tension_kpa for wood in across])),
        float(np.mean([_stiffness_gpa(wood, top) for wood in across])),
    )


def _stiffness_gpa(wood: HeldAcross, top: Top) -> float:
    """Stiffness of the width of a top: its parts lie one behind the other, so their compliances are
    averaged."""
    shares = top.grain.width_shares() if isinstance(top.grain, Rings) else top.grain.sampled_shares()
    parts = slanted_stiffness_gpa(wood.radial_gpa, wood.tangential_gpa, wood.shear_rt_gpa, shares)
    return 1.0 / float(np.mean(1.0 / np.asarray(parts)))
