"""Orders of random piles of strips: the solver against the greedy order, and against every order there is."""

import itertools
from dataclasses import dataclass

import numpy as np

from woodmove.advice.top import layup, order
from woodmove.domain.strip import GRAINS, SIDES, Strip


def pile(rng: np.random.Generator, count: int) -> order.Costs:
    """The costs of a pile as somebody might note it down: with gaps, defects and grain."""
    strips = [
        Strip(
            f"{number}",
            crook_mm=float(rng.normal(0, 1.5)) if rng.random() < 0.8 else None,
            bow_mm=float(rng.normal(0, 3.0)) if rng.random() < 0.8 else None,
            defects=frozenset(side for side in SIDES if rng.random() < 0.15),
            grain=str(rng.choice(GRAINS)) if rng.random() < 0.5 else None,
        )
        for number in range(count)
    ]
    leans = rng.normal(0, 0.1, count)
    return layup.costs_of(strips, rng.normal(0, 0.15, (2, count)), leans, float(rng.choice([1.0, -1.0])))


def brute(costs: order.Costs) -> float:
    """The least cost of all rows: every order of the strips, each turned in the best way."""
    count = costs.strips
    every = np.array(list(itertools.permutations(range(count))), np.intp)
    ways = order.WAYS * every[..., None] + np.arange(order.WAYS)
    cost = costs.own[ways[:, 0]] + costs.first[ways[:, 0]]
    for place in range(1, count):
        step = costs.pair[ways[:, place - 1, :, None], ways[:, place, None, :]]
        cost = (cost[:, :, None] + step).min(axis=1) + costs.own[ways[:, place]]
    return float((cost + costs.last[ways[:, -1]]).min())


@dataclass
class Found:
    """What a campaign found.

    :param worse: piles of which the solver's order was worse than the greedy one, or than the order listed
    :param gain_pct: mean gain over it
    """

    piles: int
    worse: int
    gain_pct: float


def against_greedy(piles: int, most: int, seed: int = 1) -> Found:
    """Random piles of 2 to `most` strips."""
    rng = np.random.default_rng(seed)
    worse, gains = 0, []
    for _ in range(piles):
        costs = pile(rng, int(rng.integers(2, most + 1)))
        row = order.best(costs)
        assert sorted(row // order.WAYS) == list(range(costs.strips)), "a strip is missing or there twice"
        least, greedy = costs.of(row), costs.of(order.greedy(costs)[0])
        listed = costs.of(order.WAYS * np.arange(costs.strips))
        worse += least > min(greedy, listed) + 1e-9
        gains.append(100.0 * (1.0 - least / greedy) if greedy > 0 else 0.0)
    return Found(piles, worse, float(np.mean(gains)))


def excess_over_brute_pct(piles: int, count: int, *, exact: bool, seed: int = 2) -> float:
    """By how much the worst order found exceeds the cheapest there is [%].

    :param exact: True for what is used for so few strips, False for what is used for more
    """
    rng = np.random.default_rng(seed)
    worst = 0.0
    for _ in range(piles):
        costs = pile(rng, count)
        if exact:
            found = costs.of(order.best(costs))
        else:
            starts = (order._bettered(row, costs) for row in order._distinct(order.greedy(costs)))
            found = costs.of(order._swapped(min(starts, key=costs.of), costs))
        worst = max(worst, 100.0 * (found / brute(costs) - 1.0))
    return worst
