"""Specific gravity and density at a moisture content."""

import numpy as np

from woodmove.physics.arrays import FloatOrArray
from woodmove.physics.shrinkage import FIBRE_SATURATION_PCT
from woodmove.physics.validity import require

WATER_KG_M3 = 1000.0


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


def green_gravity(
    gravity: FloatOrArray, mc_pct: FloatOrArray, fibre_saturation_pct: FloatOrArray = FIBRE_SATURATION_PCT
) -> FloatOrArray:
    """Oven-dry mass over green volume, from oven-dry mass over volume at `mc_pct` [%].

    :param gravity: specific gravity at `mc_pct`, 0.05 to 1.5
    :param mc_pct: 0 up; above fibre saturation the volume is the green one
    Source: fpl-gtr-190 chapter 4, the relation of :func:`gravity_at_mc` turned round.
    """
    dryness = np.maximum(1.0 - np.asarray(mc_pct, float) / fibre_saturation_pct, 0.0)
    return gravity / (1.0 + 0.265 * dryness * gravity)


def density_kg_m3(
    gravity_12: FloatOrArray,
    mc_pct: FloatOrArray,
    fibre_saturation_pct: FloatOrArray = FIBRE_SATURATION_PCT,
) -> FloatOrArray:
    """Mass of wood with its water over its volume, both at `mc_pct` [kg/m³].

    :param gravity_12: oven-dry mass over volume at 12 % MC, 0.05 to 1.5
    :param mc_pct: 0 up
    Source: fpl-gtr-190 chapter 4: water's density times G_x (1 + x/100). Within a species it scatters by
    about 10 % (a meter manual).
    """
    mc = np.asarray(mc_pct, float)
    green = green_gravity(gravity_12, 12.0, fibre_saturation_pct)
    at_mc = gravity_at_mc(green, np.minimum(mc, fibre_saturation_pct), fibre_saturation_pct)
    return WATER_KG_M3 * at_mc * (1.0 + mc / 100.0)
