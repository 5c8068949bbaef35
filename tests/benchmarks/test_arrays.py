"""A relation that is written as its printed equation keeps up with compiled array code."""

import numexpr
import numpy as np
import pytest

from woodmove.physics.arrays import in_blocks
from woodmove.physics.sorption import emc_pct

POINTS = 10_000_000
K = "(0.805 + 0.000736*t - 0.00000273*t*t)"
K1 = "(6.27 - 0.00938*t - 0.000303*t*t)"
K2 = "(1.91 + 0.0407*t - 0.000293*t*t)"
KH = f"({K} * (rh/100.0))"
EMC = (
    f"1800.0 / (349.0 + 1.29*t + 0.0135*t*t)"
    f" * ({KH} / (1.0 - {KH})"
    f" + ({K1}*{KH} + 2.0*{K1}*{K2}*{KH}*{KH}) / (1.0 + {K1}*{KH} + {K1}*{K2}*{KH}*{KH}))"
)


@pytest.fixture
def one_thread():
    before = numexpr.set_num_threads(1)
    yield
    numexpr.set_num_threads(before)


def test_emc_of_ten_million_points(race, one_thread):
    draw = np.random.default_rng(1)
    t, rh = draw.uniform(0.0, 40.0, POINTS), draw.uniform(10.0, 90.0, POINTS)

    def yardstick():
        return numexpr.evaluate(EMC, {"t": t, "rh": rh})

    np.testing.assert_allclose(in_blocks(emc_pct, t, rh), yardstick(), rtol=1e-12)
    ours = lambda: in_blocks(emc_pct, t, rh)  # noqa: E731
    race("EMC of ten million points", ours, ("numexpr, one thread", yardstick), 2.0, 11)
