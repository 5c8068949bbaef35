"""Sorption: the moisture content at which wood is in balance with air, and the way back."""

import numpy as np

from woodmove.physics.arrays import Array, FloatOrArray
from woodmove.physics.validity import Validity, require

EMC_TEMP_RANGE = Validity("EMC equation", -1.2, 132.3, "°C", "fpl-gtr-282")
EMC_RH_RANGE = Validity("EMC equation", 5.0, 95.0, "% RH", "fpl-gtr-282")
HYSTERESIS_RH_RANGE = Validity("drying and wetting side of EMC", 20.0, 80.0, "% RH", "skaar-siau")
# The ratio is a room-temperature value; it closes toward 1 between 75 and 100 °C.
HYSTERESIS_TEMP_RANGE = Validity("drying and wetting side of EMC", 0.0, 50.0, "°C", "skaar-siau")

# Where lumber ends against the EMC equation, by the side that it comes from [points]: half-way between a log
# of spruce in its whole loop (source: maas-wittel-2026) and lumber that has been through some cycles (source:
# wengert-storage), both at 65 % RH (status: derived; SD 0.5).
DRYING_ENDS_POINTS, GAINING_ENDS_POINTS = 0.4, -0.8


def emc_pct(temp_c: FloatOrArray, rh_pct: FloatOrArray) -> FloatOrArray:
    """Equilibrium moisture content of wood [%], on a curve between drying and wetting.

    :param temp_c: temperature [°C]; the table behind the equation starts at -1.1 °C
    :param rh_pct: relative humidity [%], 0 to 100; the table covers 5 to 95 %
    :returns: EMC [% of oven-dry mass], shape of the broadcast inputs
    :raises ValueError: RH outside 0 to 100 %
    Source: simpson-1973 on Hailwood and Horrobin (1946), in Celsius as Eq. 4-5 of fpl-gtr-190 and
    fpl-gtr-282. Mainly Sitka spruce: other species differ by about 0.7 to 1 % MC in rooms, more in damp.
    """
    require(
        np.all((np.asarray(rh_pct) >= 0) & (np.asarray(rh_pct) <= 100)),
        "relative humidity lies from 0 to 100 %",
    )
    t = temp_c
    w = 349.0 + 1.29 * t + 0.0135 * t * t
    k = 0.805 + 0.000736 * t - 0.00000273 * t * t
    k1 = 6.27 - 0.00938 * t - 0.000303 * t * t
    k2 = 1.91 + 0.0407 * t - 0.000293 * t * t
    kh = k * (rh_pct / 100.0)
    k1kh = k1 * kh
    k1k2kh2 = k2 * (k1kh * kh)
    return 1800.0 / w * (kh / (1.0 - kh) + (k1kh + 2.0 * k1k2kh2) / (1.0 + k1kh + k1k2kh2))


def rh_for_mc_pct(temp_c: FloatOrArray, mc_pct: FloatOrArray) -> FloatOrArray:
    """Relative humidity [%] that holds wood at a moisture content: the inverse of :func:`emc_pct`.

    :param temp_c: temperature [°C]
    :param mc_pct: moisture content [%], from 0 to the EMC of saturated air at that temperature
    :raises ValueError: an MC that no humidity up to 100 % can hold
    Source: simpson-1973, solved by bisection (EMC rises with RH everywhere in 0 to 100 %).
    """
    mc = np.asarray(mc_pct, float)
    require(np.all(mc >= 0), "moisture content is at least 0 %")
    require(
        np.all(mc <= emc_pct(temp_c, 100.0) + 1e-12),
        "no humidity up to 100 % holds wood at this moisture content",
    )
    low = np.zeros(np.broadcast_shapes(np.shape(temp_c), mc.shape))
    high = np.full_like(low, 100.0)
    for _ in range(60):  # 100 % halved 60 times lies far below the rounding of a double
        middle = 0.5 * (low + high)
        too_dry = emc_pct(temp_c, middle) < mc
        low, high = np.where(too_dry, middle, low), np.where(too_dry, high, middle)
    return (0.5 * (low + high))[()]


def emc_drying_pct(emc: FloatOrArray) -> FloatOrArray:
    """Where lumber ends that dries [%], for an EMC by :func:`emc_pct`; near room temperature, 20 to 80 % RH.

    Derived (sources: maas-wittel-2026, wengert-storage): :data:`DRYING_ENDS_POINTS`.
    """
    return emc + DRYING_ENDS_POINTS


def emc_wetting_pct(emc: FloatOrArray) -> FloatOrArray:
    """Where lumber ends that gains moisture [%], at least 0; see :func:`emc_drying_pct`.

    Derived (sources: maas-wittel-2026, wengert-storage): :data:`GAINING_ENDS_POINTS`.
    """
    return np.maximum(emc + GAINING_ENDS_POINTS, 0.0)


def ends_pct(start_pct: float, emc: Array) -> Array:
    """Where lumber ends [%] in air of changing EMC, on the side of the loop that it comes from.

    Wood that is wetter than all of its air dries, wood that is drier gains. Between, the air turns it round:
    there the equation stands as it is.

    :param start_pct: its moisture today [%]
    :param emc: of its air through time [%], by :func:`emc_pct`
    Derived from :func:`emc_drying_pct` and :func:`emc_wetting_pct`.
    """
    if start_pct > emc.max():
        return np.asarray(emc_drying_pct(emc))
    if start_pct < emc.min():
        return np.asarray(emc_wetting_pct(emc))
    return emc
