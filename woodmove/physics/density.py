"""Specific gravity at a moisture content, from that on green volume."""

import numpy as np

from woodmove.physics.arrays import FloatOrArray
from woodmove.physics.shrinkage import FIBRE_SATURATION_PCT
from woodmove.physics.validity import require


def gravity_at_mc(
    green_gravity: FloatOrArray,
    mc_pct: FloatOrArray,
    fibre_saturation_pct: FloatOrArray = FIBRE_SATURATION_PCT,
) -> FloatOrArray:
    """Oven-dry mass over volume at `mc_pct` [%], from oven-dry mass over green volume.

    :param green_gravity: basic specific gravity, 0.05 to 1.5
    :param mc_pct: 0 to fibre saturation
    :raises ValueError: moisture above fibre saturation
    Source: fpl-gtr-190 chapter 4: G / (1 - S_x), with volumetric shrinkage 0.265 G (1 - x/FSP).
    """
    dryness = 1.0 - mc_pct / fibre_saturation_pct
    require(bool(np.all(np.asarray(dryness) >= 0)), "above fibre saturation")
    return green_gravity / (1.0 - 0.265 * dryness * green_gravity)
