"""What a measurement would leave of a wait, against the arithmetic of a normal number."""

import numpy as np
import pytest
from scipy.stats import norm

from woodmove.advice.drying.measure_next import DRY_A_SLICE, WEIGH_A_BOARD, Sight, measure_next

COUNT = 4000
DICE = np.random.default_rng(5)
# Two unknowns of standard deviation 1 point, of each of which a point is worth 10 days.
START, SPEED = (DICE.permutation(norm.ppf((np.arange(COUNT) + 0.5) / COUNT)) for _ in range(2))
DAYS = 60.0 + 10.0 * START + 10.0 * SPEED
EVEN = np.full(COUNT, 1.0 / COUNT)


def left(*seen: Sight) -> dict[str, float]:
    """Standard deviation of the days, by the measurement."""
    return {row.code: (row.days.high - row.days.low) / 3.29 for row in measure_next(DAYS, EVEN, seen)}


def test_what_is_left_is_what_the_normal_law_leaves():
    """Of 1 point read to 0.5 points there is left 0.5 / sqrt(1.25) = 0.447, of 1 point read to 1 there is
    0.707. Of the days that leaves sqrt(0.447² + 1), sqrt(0.707² + 1), and by both sqrt(0.447² + 0.707²), each
    ten times."""
    slices, weighed = Sight(DRY_A_SLICE(), START, 0.0, 0.5), Sight(WEIGH_A_BOARD(), SPEED, 0.0, 1.0)
    found = left(weighed, slices)
    assert list(found) == ["DRY_A_SLICE", "WEIGH_A_BOARD", "ALL_OF_THESE"]
    assert list(found.values()) == pytest.approx([10.95, 12.25, 8.37], rel=0.05)


def test_what_narrows_nothing_is_not_named():
    assert left(Sight(DRY_A_SLICE(), START, 0.0, 5.0)) == {}


def test_the_page_names_the_best_with_its_band_and_says_how_an_oven_is_used(cli):
    line = "acclimate --species white-oak --stock '2in x 6in' --mc-now 12 --place minneapolis"
    found = cli.json(f"{line} --today 2027-01-10 --draws 1024")
    rows = found["results"]["measures"]
    wait = found["results"]["days_to_ready"]
    widths = [row["days"]["high"] - row["days"]["low"] for row in rows]
    assert rows[-1]["code"] == "ALL_OF_THESE"
    assert widths[-1] == min(widths)
    assert widths[:-1] == sorted(widths[:-1])
    assert all(width <= 0.9 * (wait["high"] - wait["low"]) for width in widths)
    assert "OVEN" in [caution["code"] for caution in found["cautions"]]
    page = cli(f"{line} --today 2027-01-10 --draws 1024").out
    assert f"{rows[0]['days']['low']:.0f} to" in page
    assert "becomes" in page
    assert "Never leave wood in an oven alone" in " ".join(page.split())
