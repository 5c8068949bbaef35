"""Wood that is held: stress and cracking, against the table of eleven species."""

from collections import Counter

import numpy as np
import pytest
from reference_cases import read_cases

from woodmove.extend.catalogue import Catalogue
from woodmove.physics.restraint import blocked_stress_kpa, cracking_drop_points, slanted_stiffness_gpa

CASES = read_cases("restraint-cases.csv", 55)
SPECIES = Catalogue().species


def test_cases_by_status():
    assert Counter(case["status"] for case in CASES) == {"derived": 44, "published": 11}


@pytest.mark.parametrize("case", CASES, ids=lambda c: f"{c['species']} {c['quantity']}")
def test_held_wood(case):
    species = SPECIES.get(case["species"])
    wood, coefficients = species.held_across, species.coefficients_of("2010")
    assert wood is not None
    found = {
        "stiffness_mpa": 1000 * wood.tangential_gpa,
        "strength_mpa": wood.tension_kpa / 1000,
        "stress_mpa_per_point": blocked_stress_kpa(coefficients.tangential, 1.0, wood.tangential_gpa) / 1000,
        "crack_tangential_points": cracking_drop_points(
            wood.tension_kpa, wood.tangential_gpa, coefficients.tangential
        ),
        "crack_radial_points": cracking_drop_points(wood.tension_kpa, wood.radial_gpa, coefficients.radial),
    }[case["quantity"]]
    assert float(found) == pytest.approx(float(case["value"]), abs=float(case["tolerance"]))


@pytest.mark.parametrize(("angle_deg", "stiffness"), [(15, 0.70), (30, 0.43), (45, 0.36)])
def test_wood_rolls_in_shear_between_the_two_directions(angle_deg, stiffness):
    """Douglas-fir, off-axis compliance worked out apart from the code: E_R 0.068, E_T 0.050,
    G_RT 0.007 of 1.1 times 13.4 GPa (Wood handbook Tables 5-1 and 5-3b), Poisson's ratio 0.39."""
    wood = SPECIES.get("douglas-fir-coast").held_across
    assert wood is not None
    share = np.sin(np.radians(angle_deg)) ** 2
    found = slanted_stiffness_gpa(wood.radial_gpa, wood.tangential_gpa, wood.shear_rt_gpa, share)
    assert found == pytest.approx(stiffness, abs=0.006)


def test_in_the_two_directions_it_is_the_one_and_the_other():
    for shear in (0.1, None):
        assert slanted_stiffness_gpa(1.0, 0.7, shear, 0.0) == pytest.approx(1.0)
        assert slanted_stiffness_gpa(1.0, 0.7, shear, 1.0) == pytest.approx(0.7)
    assert slanted_stiffness_gpa(1.0, 0.7, None, 0.5) == pytest.approx(0.85)


def test_wood_that_wets_is_pushed():
    assert blocked_stress_kpa(0.003, -2.0, 1.0) < 0
