"""Cut lists at random: each fits its boards, adds up, and is never worse than first fit."""

import pytest
from campaigns.cut_lists import faults


@pytest.mark.parametrize("seed", [*range(20), 218, 401])
def test_a_case_at_random(seed):
    assert not faults(seed)
