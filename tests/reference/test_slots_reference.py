"""Slot travel against the worked cases, and where in its slot a screw starts in each season."""

from collections import Counter

import pytest
from reference_cases import celsius, read_cases
from woodmove_fasteners.geometry import Slot, travel_mm

from woodmove.contract.ranges import Range
from woodmove.physics.sorption import emc_pct

CASES = read_cases("slots-cases.csv", 18)


def test_cases_by_status():
    assert Counter(case["status"] for case in CASES) == {"derived": 12, "published": 6}


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case['case']} {case['quantity']}")
def test_travel(case):
    # The relation is the same for any unit of length.
    names = ("distance", "coefficient", "mc_now_pct", "mc_dry_pct", "mc_wet_pct")
    out, back = travel_mm(*(float(case[name]) for name in names))
    found = {"travel_out": out, "travel_in": back, "travel": out + back}
    if case["clearance"]:
        found["length"] = float(case["clearance"]) + out + back
    assert found[case["quantity"]] == pytest.approx(float(case["value"]), abs=float(case["tolerance"]))


def test_the_air_of_the_published_shop_gives_the_moisture_of_its_case():
    (case,) = (c for c in CASES if c["case"].startswith("shop of") and c["quantity"] == "travel_in")
    dry, wet = (emc_pct(celsius("70", "F"), rh) for rh in (25.0, 65.0))
    assert (dry, wet) == pytest.approx((float(case["mc_dry_pct"]), float(case["mc_wet_pct"])), abs=0.005)
    assert float(case["mc_now_pct"]) == pytest.approx((dry + wet) / 2, abs=0.005)


# Where the screw starts. It stands in the top and moves with it; the slot is in the base.

DRY, WET, COEFFICIENT, CLEARANCE_MM = 6.0, 11.0, 0.00369, 5.0
# So fine a step that rounding does not show.
STEP_MM = 1e-4
WHOLE_MM = 400.0 * COEFFICIENT * (WET - DRY)


def slot(mc_now_pct: float, distance_mm: float = 400.0) -> Slot:
    out, back = travel_mm(distance_mm, COEFFICIENT, mc_now_pct, DRY, WET)
    exact = [Range(mm, mm, mm) for mm in (out, back, out + back)]
    return Slot(500.0 + distance_mm, distance_mm, *exact, CLEARANCE_MM, STEP_MM)


def test_in_the_dry_season_the_screw_is_at_the_inner_end():
    assert slot(DRY).cut_in_mm == 0
    assert slot(DRY).ends_mm == pytest.approx((897.5, 902.5 + WHOLE_MM), abs=2 * STEP_MM)


def test_in_the_humid_season_the_screw_is_at_the_outer_end():
    assert slot(WET).cut_in_mm == pytest.approx(WHOLE_MM, abs=STEP_MM)
    assert slot(WET).ends_mm == pytest.approx((897.5 - WHOLE_MM, 902.5), abs=2 * STEP_MM)


def test_between_the_seasons_it_stands_as_far_from_the_inner_end_as_it_will_shrink():
    found = slot(8.0)
    assert found.cut_in_mm == pytest.approx(400.0 * COEFFICIENT * 2.0, abs=STEP_MM)
    assert found.cut_out_mm == pytest.approx(400.0 * COEFFICIENT * 3.0, abs=2 * STEP_MM)
    assert found.cut_length_mm == pytest.approx(CLEARANCE_MM + found.cut_in_mm + found.cut_out_mm)


@pytest.mark.parametrize("mc_now_pct", [4.0, DRY, 8.0, WET, 13.0])
def test_before_the_fixed_line_the_slot_is_the_mirror_image(mc_now_pct):
    """The inner end is always the one toward the fixed line, here at 500 mm."""
    behind, before = slot(mc_now_pct), slot(mc_now_pct, -400.0)
    assert before.cut_in_mm == behind.cut_in_mm
    assert before.ends_mm == pytest.approx(tuple(1000.0 - end for end in reversed(behind.ends_mm)))


def test_the_season_of_assembly_moves_the_start_and_not_the_length():
    for mc in (DRY, 7.0, 9.5, WET):
        assert slot(mc).cut_length_mm == pytest.approx(CLEARANCE_MM + WHOLE_MM, abs=2 * STEP_MM)


def test_one_edge_fixed_takes_twice_the_slot_of_the_middle_fixed():
    half, whole = slot(8.0, 400.0), slot(8.0, 800.0)
    assert whole.cut_length_mm - CLEARANCE_MM == pytest.approx(
        2 * (half.cut_length_mm - CLEARANCE_MM), abs=4 * STEP_MM
    )


def test_at_the_fixed_line_a_round_hole_will_do():
    found = slot(8.0, 0.0)
    assert not found.slides
    assert (found.cut_length_mm, found.cut_in_mm) == (CLEARANCE_MM, 0)
    assert found.ends_mm == (497.5, 502.5)


# As cut: on the step of the shop, outward.


@pytest.mark.parametrize("step_mm", [25.4 / 16, 1.0])
@pytest.mark.parametrize(("out", "back"), [(2.14, 1.43), (0.0, 5.0), (25.4 / 16, 3.0), (0.3, 0.1)])
def test_a_slot_is_cut_outward_on_the_step_of_the_shop(step_mm, out, back):
    exact = [Range(0.8 * mm, 0.5 * mm, mm) for mm in (out, back, out + back)]
    found = Slot(500.0, 100.0, *exact, 4 * step_mm, step_mm)
    for cut, travel, spare in ((found.cut_out_mm, out, 2), (found.cut_in_mm, back, 1)):
        assert travel - 1e-5 <= cut < travel + spare * step_mm + 1e-9
        assert cut / step_mm == pytest.approx(round(cut / step_mm))
    assert found.cut_length_mm == pytest.approx(found.width_mm + found.cut_out_mm + found.cut_in_mm)
    assert found.screw_from_end_mm == found.cut_in_mm + found.width_mm / 2
