"""The Ranges hold what they promise: a small case of each campaign of ``tests/campaigns``."""

from dataclasses import replace
from functools import cache

import pytest
from campaigns import coverage, shares, stability

from woodmove.advice.doubt import inputs as doubt

TOPS, TRUTHS = 100, 10


@cache
def cases(family: str) -> list[coverage.Case]:
    return coverage.cases(family, TOPS)


@pytest.mark.parametrize("family", coverage.FAMILIES)
def test_ninety_per_cent_of_the_truths_lie_in_the_ranges(family: str) -> None:
    found = coverage.covered(cases(family), truths=TRUTHS)
    assert not coverage.missed(found, TOPS * TRUTHS), found


# The check must be able to fail.


def test_truths_that_scatter_more_than_the_ranges_assume_are_found_out() -> None:
    found = coverage.covered(cases("flat panel"), coverage.PIECES_DOUBLED, TRUTHS)
    assert "slot travel" in coverage.missed(found, TOPS * TRUTHS)


def test_ranges_without_the_bias_of_the_meter_are_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(doubt, "METER_BIAS", replace(doubt.METER_BIAS, sd=0.0))
    found = coverage.covered(coverage.cases("on edge", TOPS), truths=TRUTHS)
    assert set(coverage.missed(found, TOPS * TRUTHS)) >= {"change low", "change high"}


def test_another_seed_moves_no_end_of_a_range_far() -> None:
    worst = stability.worst(1)[0]
    assert worst.of_width_pct < stability.MOST_PCT, worst


def test_variance_shares_are_those_that_can_be_worked_out() -> None:
    assert shares.worst(4) < 0.02
