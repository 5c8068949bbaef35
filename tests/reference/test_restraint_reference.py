"""Wood that is held: stress, cracking and slip, against the table of eleven species and Eurocode 5."""

from collections import Counter

import pytest
from reference_cases import read_cases

from woodmove.extend.catalogue import Catalogue
from woodmove.physics.restraint import (
    blocked_stress_kpa,
    cracking_drop_points,
    held_share,
    slip_modulus_n_mm,
)

CASES = read_cases("restraint-cases.csv", 55)
SLIPS = read_cases("slip-cases.csv", 35)
SPECIES = Catalogue().species


def test_cases_by_status():
    assert Counter(case["status"] for case in CASES) == {"derived": 44, "published": 11}
    assert Counter(case["status"] for case in SLIPS) == {"derived": 30, "published": 5}


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


def test_the_smaller_drop_counts():
    drops = [float(c["value"]) for c in CASES if c["species"] == "white-oak" and "crack" in c["quantity"]]
    assert Catalogue().wood("white-oak", "2010").cracking_mc_points == pytest.approx(min(drops), abs=0.06)


@pytest.mark.parametrize(
    "case", SLIPS, ids=lambda c: f"{c['diameter_mm']} {c['density_1_kg_m3']} {c['density_2_kg_m3']}"
)
def test_slip_modulus(case):
    density = (float(case["density_1_kg_m3"]) * float(case["density_2_kg_m3"])) ** 0.5
    found = slip_modulus_n_mm(density, float(case["diameter_mm"]))
    assert found == pytest.approx(float(case["value"]), abs=float(case["tolerance"]))


def test_the_worked_order_of_magnitude():
    """A red oak strip 22 mm thick, 300 mm of its length to one No. 8 screw at each side, 500 mm between the two
    lines, 4 points of drying (derived in the reference apart from the code): free shrinkage 7.4 mm, strip
    14.9 kN/mm, screws of 3.36 kN/mm, linear force 11.1 kN, rigid stress 16.7 MPa against 5.5."""
    coefficient, points, span = 0.00369, 4.0, 500.0
    free = coefficient * points * span
    assert free == pytest.approx(7.4, abs=0.05)
    strip = 1132 * 22 * 300 / span  # MPa mm² / mm
    assert strip == pytest.approx(14_900, abs=50)
    screw = 3360.0
    # Springs in series: the strip and a screw at each end carry one force.
    force = free / (1 / strip + 2 / screw)
    assert force == pytest.approx(11_100, abs=60)
    assert held_share(strip, screw) == pytest.approx(force / strip / free)
    assert blocked_stress_kpa(coefficient, points, 1.132) / 1000 == pytest.approx(16.7, abs=0.05)


def test_limits():
    assert held_share(1.0, 1e12) == pytest.approx(1.0)
    assert held_share(1e12, 1.0) == pytest.approx(0.0, abs=1e-9)
    assert blocked_stress_kpa(0.003, -2.0, 1.0) < 0
