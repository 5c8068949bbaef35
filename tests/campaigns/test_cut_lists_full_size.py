"""Five hundred cut lists at random, none worse than first fit. Some two minutes."""

import pytest

from campaigns.cut_lists import faults


@pytest.mark.parametrize("seed", range(500))
def test_a_case_at_random(seed):
    assert not faults(seed)
