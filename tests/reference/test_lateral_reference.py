"""Lateral values and slip of wood screws against the printed table and printed examples."""

from collections import Counter

import pytest
from reference_cases import read_cases
from woodmove_fasteners.lateral import INCH, N_PER_LBF, slip_modulus_n_mm, table_value_n

CASES = read_cases("nds-lateral-cases.csv", 170)


def test_cases_by_status():
    assert Counter(case["status"] for case in CASES) == {"memory": 170}


def test_table_values():
    """Cells of the table as recalled; of the equations three round to the pound beside."""
    off = []
    for case in CASES:
        sizes = (INCH * float(case[name]) for name in ("diameter_in", "root_in", "side_in"))
        found = table_value_n(*sizes, float(case["gravity"])) / N_PER_LBF
        assert found == pytest.approx(float(case["value"]), abs=float(case["tolerance"])), case
        off.append(abs(found - float(case["value"])) > 0.51)
    assert sum(off) == 3


def test_a_denser_rail_holds_a_screw_better():
    values = [table_value_n(5.486, 4.343, 12.7, 0.42, side) for side in (0.36, 0.42, 0.55, 0.67)]
    assert values == sorted(values)
    assert values[1] == table_value_n(5.486, 4.343, 12.7, 0.42)


@pytest.mark.parametrize(
    ("diameter_mm", "density", "slip"),
    [(9.525, 500, 4630), (4.1656, (500 * 550) ** 0.5, 2175), (6.35, 500, 3087), (9.525, 450, 3953),
     (9.525, 600, 6086)],
)  # fmt: skip
def test_slip(diameter_mm, density, slip):
    """Eurocode 5 Table 7.1, worked examples of others (read in public repositories)."""
    assert slip_modulus_n_mm(diameter_mm, density) == pytest.approx(slip, abs=1)
