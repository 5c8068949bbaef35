"""Weight of wood, and the lifting equation, against printed tables."""

from collections import Counter

import pytest
from reference_cases import read_cases

from woodmove.physics import lifting
from woodmove.physics.density import density_kg_m3, gravity_at_mc, green_gravity

WEIGHTS = read_cases("weight-cases.csv", 35)
LIFTS = read_cases("lifting-cases.csv", 28)
LB_FT3 = 62.428 / 1000.0  # per kg/m³
CUBIC_FEET_OF_TOP = 36 * 72 * 1 / 1728


def test_cases_by_status():
    assert Counter(case["status"] for case in WEIGHTS) == {"derived": 27, "published": 8}
    assert Counter(case["status"] for case in LIFTS) == {"published": 20, "memory": 6, "derived": 2}


@pytest.mark.parametrize("case", WEIGHTS, ids=lambda c: f"{c['wood']} {c['basis']} {c['mc_pct']} {c['unit']}")
def test_weight(case):
    gravity, mc = float(case["gravity"]), float(case["mc_pct"])
    if case["basis"] == "oven-dry":
        gravity = float(gravity_at_mc(green_gravity(gravity, 0.0), 12.0))
    found = float(density_kg_m3(gravity, mc))
    found *= {"kg/m3": 1.0, "lb/ft3": LB_FT3}.get(case["unit"], LB_FT3 * CUBIC_FEET_OF_TOP)
    assert found == pytest.approx(float(case["value"]), abs=float(case["tolerance"]))


def test_the_three_bases_of_one_oak():
    """Basic 0.56, 0.615 at 12 %, 0.658 oven-dry: derived in the same handbook relation; never mixed."""
    assert gravity_at_mc(0.56, 12.0) == pytest.approx(0.615, abs=0.0006)
    assert gravity_at_mc(0.56, 0.0) == pytest.approx(0.658, abs=0.0006)
    for mc in (0.0, 6.0, 12.0, 30.0, 60.0):
        assert green_gravity(gravity_at_mc(0.56, min(mc, 30.0)), mc) == pytest.approx(0.56)


def test_wood_above_fibre_saturation_only_gains_water():
    assert density_kg_m3(0.48, 60.0) / density_kg_m3(0.48, 30.0) == pytest.approx(1.6 / 1.3)


@pytest.mark.parametrize("case", LIFTS, ids=lambda c: f"{c['quantity']} {c['input']}")
def test_lifting(case):
    quantity, given = case["quantity"], case["input"].split()
    if quantity == "limit":
        reach, height, travel, turn = (float(word) for word in given[:4])
        found = lifting.recommended_limit_kg(10 * reach, 10 * height, 10 * travel, turn, given[4])
    elif quantity == "grip":
        found = lifting.grip_multiplier(given[0], 10 * float(given[1]))
    else:
        multiplier = getattr(lifting, f"{quantity}_multiplier")
        found = float(multiplier(float(given[0]) * (10.0 if case["unit"] == "cm" else 1.0)))
    assert found == pytest.approx(float(case["value"]), abs=float(case["tolerance"]))


def test_nobody_lifts_out_of_reach():
    assert lifting.recommended_limit_kg(631, 750) == 0
    assert lifting.recommended_limit_kg(400, 1751) == 0
    assert lifting.recommended_limit_kg(400, 750, 1751) == 0
    assert lifting.recommended_limit_kg(400, 750, 0, 136) == 0
    assert lifting.recommended_limit_kg(200, 750) == lifting.LOAD_CONSTANT_KG


def test_what_cannot_be_is_refused():
    with pytest.raises(ValueError, match="above the floor"):
        lifting.height_multiplier(-1.0)
    with pytest.raises(ValueError, match="good, fair, poor"):
        lifting.grip_multiplier("firm", 800)
