"""EMC against the printed table, other published values and its own inverse."""

import numpy as np
import pytest
from reference_cases import celsius, read_cases

from woodmove.physics.sorption import emc_pct, rh_for_mc_pct

TABLE = read_cases("fpl-table-4-2.csv", 285)  # 15 temperatures, 19 humidities
CHECKS = read_cases("emc-checks.csv", 13)


def test_every_cell_of_the_printed_table():
    """Wood handbook Table 4-2, the rows that were read: 30 to 200 °F, 5 to 95 % RH."""
    assert {case["temp_f"] for case in TABLE} == {
        str(f) for f in (30, 40, 60, 70, 90, 100, 120, 130, 140, 150, 160, 170, 180, 190, 200)
    }
    assert {int(case["rh_pct"]) for case in TABLE} == set(range(5, 100, 5))
    temp_c = np.array([celsius(case["temp_f"], "F") for case in TABLE])
    rh_pct = np.array([float(case["rh_pct"]) for case in TABLE])
    printed = np.array([float(case["emc_pct"]) for case in TABLE])
    tolerance = np.array([float(case["tolerance"]) for case in TABLE])
    away = np.abs(emc_pct(temp_c, rh_pct) - printed)
    assert not [case for case, far in zip(TABLE, away > tolerance, strict=True) if far]


@pytest.mark.parametrize("case", CHECKS, ids=lambda c: f"{c['temp']}{c['unit']}-{c['rh_pct']}-{c['status']}")
def test_other_values(case):
    emc = emc_pct(celsius(case["temp"], case["unit"]), float(case["rh_pct"]))
    assert emc == pytest.approx(float(case["emc_pct"]), abs=float(case["tolerance"]))


def test_eurocode_reference_climate_gives_its_limit():
    """Service class 1: not above 12 % at 20 °C and 65 % RH."""
    assert emc_pct(20.0, 65.0) == pytest.approx(12.0, abs=0.005)


def test_inverse_gives_the_humidity_back():
    temp_c, rh_pct = np.meshgrid(np.linspace(-1.1, 93.3, 40), np.linspace(1.0, 100.0, 100))
    back = rh_for_mc_pct(temp_c, emc_pct(temp_c, rh_pct))
    assert np.max(np.abs(back - rh_pct)) < 0.001
