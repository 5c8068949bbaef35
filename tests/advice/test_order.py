"""The order of strips: a small case of the campaign, and what no order may change."""

import numpy as np
import pytest
from campaigns import order_piles
from hypothesis import given, settings
from hypothesis import strategies as st

from woodmove.advice.top import order


def test_no_order_is_worse_than_the_greedy_one():
    found = order_piles.against_greedy(60, 16)
    assert found.worse == 0
    assert found.gain_pct > 2.0


def test_no_order_is_worse_than_the_one_listed():
    """Even a listed order that much searching has found."""
    rng = np.random.default_rng(3)
    for _ in range(4):
        costs = order_piles.pile(rng, 14)
        row = order.best(costs)
        for _ in range(120):
            row = min(row, order._bettered(rng.permutation(row), costs), key=costs.of)
        listed = np.concatenate([order.WAYS * (state // order.WAYS) + np.arange(order.WAYS) for state in row])
        again = order.Costs(
            costs.pair[np.ix_(listed, listed)], costs.own[listed], costs.first[listed], costs.last[listed]
        )
        assert again.of(order.best(again)) <= costs.of(row) + 1e-9


@pytest.mark.parametrize("count", range(2, 9))
def test_up_to_eight_strips_it_is_the_best_there_is(count):
    assert order_piles.excess_over_brute_pct(6 if count < 7 else 2, count, exact=True) < 1e-9


def test_what_is_used_for_more_strips_comes_near_to_the_best():
    assert order_piles.excess_over_brute_pct(8, 7, exact=False) < 10.0


@settings(max_examples=30, deadline=None)
@given(st.integers(2, 14), st.integers(0, 10**6))
def test_every_strip_is_laid_once(count, seed):
    costs = order_piles.pile(np.random.default_rng(seed), count)
    for row in (order.best(costs), *order.greedy(costs)[:3]):
        assert sorted(row // order.WAYS) == list(range(count))


def test_the_same_pile_seen_from_the_other_end_costs_the_same():
    costs = order_piles.pile(np.random.default_rng(5), 7)
    other = order.Costs(costs.pair, costs.own, costs.last, costs.first)
    assert costs.of(order.best(costs)) == pytest.approx(other.of(order.best(other)))


def test_the_steps_it_takes_do_what_they_say():
    """Each betters the row that it is given, or leaves it."""
    rng = np.random.default_rng(9)
    for count in (2, 3, 6, 15):
        costs = order_piles.pile(rng, count)
        row = order.WAYS * rng.permutation(count) + rng.integers(0, order.WAYS, count)
        for step in (order._turned, order._reversed_run, order._moved_run, order._bettered):
            found = step(row, costs)
            assert sorted(found // order.WAYS) == list(range(count))
            assert costs.of(found) <= costs.of(row) + 1e-9
        assert (order._turned(row, costs) // order.WAYS == row // order.WAYS).all()
