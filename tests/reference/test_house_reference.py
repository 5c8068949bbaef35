"""A house of the rule in plain NumPy, beside ours: psychrometrics by Buck (1996), the EMC by the equation of
Hailwood and Horrobin in the Wood Handbook (fpl-gtr-282, chapter 4)."""

import numpy as np
import pytest

from woodmove.domain.air import MonthlyAir
from woodmove.domain.room import Room
from woodmove.domain.season import Season
from woodmove.extend.catalogue import Catalogue

# Norwich (Marham), 1991-2020: °C and % RH.
TEMP = np.array([4.2, 4.6, 6.6, 9.2, 12.3, 15.2, 17.5, 17.3, 14.6, 11.1, 7.1, 4.4])
RH = np.array([89.4, 84.6, 79.3, 73.7, 74.3, 75.3, 73.9, 74.3, 78.7, 84.8, 90.6, 91.8])


def saturation_pa(temp_c):
    return 611.21 * np.exp((18.678 - temp_c / 234.5) * temp_c / (257.14 + temp_c))


def emc_pct(temp_c, rh_pct):
    w = 349.0 + 1.29 * temp_c + 0.0135 * temp_c**2
    k = 0.805 + 0.000736 * temp_c - 0.00000273 * temp_c**2
    k1 = 6.27 - 0.00938 * temp_c - 0.000303 * temp_c**2
    k2 = 1.91 + 0.0407 * temp_c - 0.000293 * temp_c**2
    kh = k * rh_pct / 100.0
    dissolved = kh / (1.0 - kh)
    hydrated = (k1 * kh + 2.0 * k1 * k2 * kh**2) / (1.0 + k1 * kh + k1 * k2 * kh**2)
    return 1800.0 / w * (dissolved + hydrated)


def by_the_rule(winter_c, temp_c, rh_pct):
    """As warm as in winter up to 10 °C outdoors, rising to 25 °C at 20, and 2.5 over outdoors at least;
    vapour of 0.8 of the line of class 2, which falls from 540 Pa at 0 °C to nothing at 20."""
    inside = winter_c + (25.0 - winter_c) * np.clip((temp_c - 10.0) / 10.0, 0.0, 1.0)
    inside = np.maximum(inside, temp_c + 2.5)
    gain = 0.8 * 540.0 * np.clip((20.0 - temp_c) / 20.0, 0.0, 1.0)
    vapour = saturation_pa(temp_c) * rh_pct / 100.0 + gain
    return emc_pct(inside, 100.0 * vapour / saturation_pa(inside))


@pytest.mark.parametrize(("winter_c", "mean"), [(21.5, 8.6), (19.0, 9.6), (16.5, 10.8)])
def test_a_house_in_norwich(winter_c, mean):
    """However cool its winter, the rule has it at 25 °C by 20 outdoors. One that stays as much cooler in
    summer as in winter (4 °C over its winter by then) would come to 8.6, 9.8 and 11.6."""
    found = Room("house", winter_c).air(MonthlyAir(TEMP, RH))[0].emc_pct
    assert found == pytest.approx(by_the_rule(winter_c, TEMP, RH), abs=0.05)
    assert found.mean() == pytest.approx(mean, abs=0.05)


@pytest.mark.parametrize(
    ("place", "winter_c"),
    [
        ("norwich", 19.0),
        ("minneapolis", 22.0),
        ("chicago", 22.0),
        ("burlington", 22.0),
        ("boston", 22.0),
        ("seattle", 22.0),
        ("helsinki", 22.0),
    ],
)
def test_houses_where_none_is_cooled(place, winter_c):
    """22 °C in North America and the Nordic countries, 19 °C elsewhere, where nobody is asked."""
    climate = Catalogue().climates.get(place)
    by_hand = by_the_rule(winter_c, np.array(climate.temp_c), np.array(climate.rh_pct))
    assert Season.in_room(climate, Room("house")).monthly_pct == pytest.approx(by_hand, abs=0.05)
