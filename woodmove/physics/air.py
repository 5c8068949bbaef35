"""Moist air: saturation pressure, humidity ratio, dew point, wet bulb.

Two conventions for humidity below freezing live side by side and must not be mixed. Physics of
frost, and psychrometric tables, take saturation over ice. Weather services, weather files and
electronic hygrometers give relative humidity over supercooled liquid water also below 0 °C
(source: wmo-8), and so does everything here that speaks of relative humidity.
"""

import numpy as np

from woodmove.physics.arrays import FloatOrArray
from woodmove.physics.validity import Validity, require

STANDARD_PRESSURE_KPA = 101.325
# Ratio of the molar masses of water and dry air (source: ashrae-fundamentals).
_WATER_TO_AIR = 0.621945

SATURATION_RANGE = Validity("saturation pressure", -100.0, 200.0, "°C", "hyland-wexler")
WATER_BELOW_ZERO_RANGE = Validity("saturation pressure over liquid water", -45.0, 60.0, "°C", "wmo-8")


def _over_ice_kpa(temp_k: FloatOrArray) -> FloatOrArray:
    return (
        np.exp(
            -5.6745359e3 / temp_k
            + 6.3925247
            - 9.677843e-3 * temp_k
            + 6.2215701e-7 * temp_k**2
            + 2.0747825e-9 * temp_k**3
            - 9.484024e-13 * temp_k**4
            + 4.1635019 * np.log(temp_k)
        )
        / 1000.0
    )


def _over_water_kpa(temp_k: FloatOrArray) -> FloatOrArray:
    return (
        np.exp(
            -5.8002206e3 / temp_k
            + 1.3914993
            - 4.8640239e-2 * temp_k
            + 4.1764768e-5 * temp_k**2
            - 1.4452093e-8 * temp_k**3
            + 6.5459673 * np.log(temp_k)
        )
        / 1000.0
    )


def saturation_pressure_kpa(temp_c: FloatOrArray) -> FloatOrArray:
    """Saturation vapour pressure [kPa]: over ice below 0 °C, over liquid water from 0 °C up.

    :param temp_c: temperature [°C], -100 to 200, float or array of any shape
    :raises ValueError: below absolute zero
    Source: hyland-wexler.
    """
    temp_k = np.asarray(temp_c, float) + 273.15
    require(np.all(temp_k > 0), "temperature lies below absolute zero")
    return np.where(temp_k < 273.15, _over_ice_kpa(temp_k), _over_water_kpa(temp_k))[()]


def saturation_pressure_over_water_kpa(temp_c: FloatOrArray) -> FloatOrArray:
    """Saturation vapour pressure over liquid water [kPa], supercooled below 0 °C.

    This is the reference of relative humidity in weather data and in hygrometers.

    :param temp_c: temperature [°C], -45 to 200, float or array of any shape
    :raises ValueError: at or below -243 °C, where the relation has a pole
    Source: hyland-wexler from 0 °C up; wmo-8 (Magnus form, status: memory) below.
    """
    celsius = np.asarray(temp_c, float)
    require(np.all(celsius > -243.0), "temperature lies below the range of the relation")
    cold = np.minimum(celsius, 0.0)
    magnus = 0.6112 * np.exp(17.62 * cold / (243.12 + cold))
    return np.where(celsius < 0.0, magnus, _over_water_kpa(np.maximum(celsius, 0.0) + 273.15))[()]


def vapour_pressure_kpa(temp_c: FloatOrArray, rh_pct: FloatOrArray) -> FloatOrArray:
    """Vapour pressure [kPa] of air at `temp_c` [°C] and `rh_pct` [%] (over liquid water).

    :raises ValueError: RH outside 0 to 100 %
    Source: wmo-8 (the convention), hyland-wexler.
    """
    require(
        np.all((np.asarray(rh_pct) >= 0) & (np.asarray(rh_pct) <= 100)),
        "relative humidity lies from 0 to 100 %",
    )
    return rh_pct / 100.0 * saturation_pressure_over_water_kpa(temp_c)


def relative_humidity_pct(temp_c: FloatOrArray, vapour_kpa: FloatOrArray) -> FloatOrArray:
    """Relative humidity [%] over liquid water; above 100 where the air cannot hold the vapour.

    :param temp_c: temperature [°C], -45 to 200
    :param vapour_kpa: vapour pressure [kPa], at least 0
    Source: wmo-8 (the convention), hyland-wexler.
    """
    return 100.0 * vapour_kpa / saturation_pressure_over_water_kpa(temp_c)


def humidity_ratio(vapour_kpa: FloatOrArray, pressure_kpa: float = STANDARD_PRESSURE_KPA) -> FloatOrArray:
    """Humidity ratio [kg water per kg dry air].

    :param vapour_kpa: vapour pressure [kPa], below the total pressure
    :param pressure_kpa: total pressure [kPa]
    :raises ValueError: vapour pressure at or above the total pressure
    Source: ashrae-fundamentals.
    """
    require(np.all(np.asarray(vapour_kpa) < pressure_kpa), "vapour pressure reaches the total pressure")
    return _WATER_TO_AIR * vapour_kpa / (pressure_kpa - vapour_kpa)


def rh_from_dew_point_pct(temp_c: FloatOrArray, dew_point_c: FloatOrArray) -> FloatOrArray:
    """Relative humidity [%] from temperature and dew point [°C], both over liquid water.

    :raises ValueError: dew point above the temperature
    Source: wmo-8, hyland-wexler.
    """
    require(np.all(np.asarray(dew_point_c) <= np.asarray(temp_c)), "the dew point lies above the temperature")
    return relative_humidity_pct(temp_c, saturation_pressure_over_water_kpa(dew_point_c))


def rh_from_wet_bulb_pct(
    temp_c: FloatOrArray, wet_bulb_c: FloatOrArray, pressure_kpa: float = STANDARD_PRESSURE_KPA
) -> FloatOrArray:
    """Relative humidity [%] from dry and wet bulb [°C] of a ventilated psychrometer.

    :param wet_bulb_c: wet bulb [°C]; below 0 °C the wick is taken as iced
    :param pressure_kpa: total pressure [kPa]
    :raises ValueError: wet bulb above the dry bulb, or so far below it that no water is left in the air
    Source: ashrae-fundamentals.
    """
    dry, wet = np.asarray(temp_c, float), np.asarray(wet_bulb_c, float)
    require(np.all(wet <= dry), "the wet bulb lies above the dry bulb")
    saturated = humidity_ratio(saturation_pressure_kpa(wet), pressure_kpa)
    over_water = ((2501.0 - 2.326 * wet) * saturated - 1.006 * (dry - wet)) / (
        2501.0 + 1.86 * dry - 4.186 * wet
    )
    over_ice = ((2830.0 - 0.24 * wet) * saturated - 1.006 * (dry - wet)) / (2830.0 + 1.86 * dry - 2.1 * wet)
    ratio = np.where(wet < 0.0, over_ice, over_water)
    require(np.all(ratio >= 0.0), "the wet bulb is lower than even bone-dry air could make it")
    # A wet bulb at the dry bulb is saturated air; rounding must not push it beyond 100 %.
    rh = relative_humidity_pct(temp_c, pressure_kpa * ratio / (_WATER_TO_AIR + ratio))
    return np.minimum(rh, 100.0)
