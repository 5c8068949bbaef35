"""Lifting by hand: the revised lifting equation of NIOSH.

Two hands, standing on a floor that does not slip, a stable load, at most one lift in five minutes and no
longer than an hour. Two people who share a load are an approximation: the equation was made for one.
"""

import numpy as np

from woodmove.physics.arrays import FloatOrArray
from woodmove.physics.validity import require

LOAD_CONSTANT_KG = 23.0
GRIPS = ("good", "fair", "poor")
# Height of the knuckles, at which lifting is easiest [mm].
KNUCKLES_MM = 750.0


def reach_multiplier(reach_mm: FloatOrArray) -> FloatOrArray:
    """Multiplier of the distance of the hands from the ankles: 1 up to 250 mm, 0 beyond 630 mm.

    :param reach_mm: horizontal [mm], above 0
    Source: niosh-94-110.
    """
    reach = np.asarray(reach_mm, float)
    return np.where(reach > 630.0, 0.0, np.minimum(250.0 / np.maximum(reach, 1e-9), 1.0))[()]


def height_multiplier(height_mm: FloatOrArray) -> FloatOrArray:
    """Multiplier of the height of the hands at the start: 1 at 750 mm, 0 above 1750 mm.

    :param height_mm: over the floor [mm], 0 up
    :raises ValueError: below the floor
    Source: niosh-94-110.
    """
    height = np.asarray(height_mm, float)
    require(bool(np.all(height >= 0)), "hands are above the floor")
    return np.where(height > 1750.0, 0.0, 1.0 - 0.0003 * np.abs(height - KNUCKLES_MM))[()]


def raise_multiplier(raise_mm: FloatOrArray) -> FloatOrArray:
    """Multiplier of how far the load goes up or down: 1 up to 250 mm, 0 beyond 1750 mm.

    :param raise_mm: vertical travel, either way [mm]
    Source: niosh-94-110.
    """
    travel = np.maximum(np.abs(np.asarray(raise_mm, float)), 250.0)
    return np.where(travel > 1750.0, 0.0, 0.82 + 45.0 / travel)[()]


def turn_multiplier(turn_deg: FloatOrArray) -> FloatOrArray:
    """Multiplier of how far the body turns: 1 straight ahead, 0 beyond 135°.

    :param turn_deg: from straight ahead, either way [°]
    Source: niosh-94-110.
    """
    turn = np.abs(np.asarray(turn_deg, float))
    return np.where(turn > 135.0, 0.0, 1.0 - 0.0032 * turn)[()]


def grip_multiplier(grip: str, height_mm: float) -> float:
    """Multiplier of the grip.

    :param grip: one of :data:`GRIPS`
    :param height_mm: of the hands over the floor [mm]; a fair grip counts as a good one from 750 mm up
    :raises ValueError: another word
    Source: niosh-94-110 (status: memory).
    """
    require(grip in GRIPS, f"a grip is one of {', '.join(GRIPS)}")
    if grip == "fair":
        return 0.95 if height_mm < KNUCKLES_MM else 1.0
    return {"good": 1.0, "poor": 0.9}[grip]


def recommended_limit_kg(
    reach_mm: float, height_mm: float, raise_mm: float = 0.0, turn_deg: float = 0.0, grip: str = "good"
) -> float:
    """Recommended weight limit for one person and a rare lift [kg]; 0 where nobody should lift so: the hands
    start or end beyond reach.

    :param reach_mm: hands from ankles [mm]
    :param height_mm: of the hands at the start [mm]
    :param raise_mm: vertical travel [mm]
    :param turn_deg: of the body [°]
    :param grip: one of :data:`GRIPS`
    :raises ValueError: hands that start or end below the floor
    Source: niosh-94-110. The lifting index is load over limit: above 1 the risk grows, from 3 it is high.
    """
    # Where it ends the equation has no multiplier, but the same bounds.
    if height_multiplier(height_mm + raise_mm) <= 0:
        return 0.0
    return float(
        LOAD_CONSTANT_KG
        * reach_multiplier(reach_mm)
        * height_multiplier(height_mm)
        * raise_multiplier(raise_mm)
        * turn_multiplier(turn_deg)
        * grip_multiplier(grip, height_mm)
    )
