"""Movements that others have measured or printed, against the Ranges for their inputs.

What a source does not state, the column `assumed` fills in, so agreement says no more than that. All are
swings: from the driest to the dampest of the year.
"""

import pytest
from reference_cases import read_cases

from woodmove.extend.api import Catalogue, Draws, Range, Rings, Room, Season, Top
from woodmove.extend.science import sorption, width

CASES = read_cases("published-movements.csv", 6)
TEMP_C = 21.0


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue()


def season_of(case: dict[str, str], catalogue: Catalogue) -> Season:
    if case["place"]:
        room = Room("heated", TEMP_C, int(case["moisture_gain"]))
        return Season.in_room(catalogue.climates.get(case["place"]), room)
    if case["rh_low_pct"]:
        low, high = (
            float(sorption.emc_pct(TEMP_C, float(case[name]))) for name in ("rh_low_pct", "rh_high_pct")
        )
        return Season.between(low, high)
    return Season.between(float(case["mc_low_pct"]), float(case["mc_high_pct"]))


def swing_of(case: dict[str, str], catalogue: Catalogue) -> Range:
    season = season_of(case, catalogue)
    grain = Rings(90.0, on_edge=True) if case["grain"] == "on-edge" else Rings(0.0)
    top = Top(catalogue.wood(case["species"]), float(case["width_mm"]), None, grain, season.low_pct)
    return width(top, season, Draws()).results.swing_mm


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["case"])
def test_movement(case: dict[str, str], catalogue: Catalogue) -> None:
    assert case["stated"]
    assert case["assumed"]
    swing = swing_of(case, catalogue)
    printed, tolerance = float(case["printed_mm"]), float(case["tolerance"])
    verdict, _, why = case["verdict"].partition(": ")
    if verdict == "in":
        assert swing.low - tolerance <= printed <= swing.high + tolerance
    else:
        assert verdict == "below"
        assert why, "a movement outside its Range needs its reason"
        assert printed + tolerance < swing.low


def test_most_of_them_lie_in_their_ranges() -> None:
    assert [case["verdict"].partition(":")[0] for case in CASES] == ["in"] * 5 + ["below"]
