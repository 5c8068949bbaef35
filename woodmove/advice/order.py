"""The order of strips in a glue-up, and which way each is turned: a cost, and a solver that is never worse
than the greedy order that it begins with.

A place in a row is taken by a strip in one of four ways; the whole costs a sum over neighbours, over the
strips themselves and over the two ends. Up to :data:`EXACT` strips every order is covered (dynamic
programming over subsets); beyond, orders grown greedily from every strip are bettered by turning strips,
moving them, and reversing runs of them, until none of these helps. Only what lowers the cost is kept.
"""

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from woodmove.physics.arrays import Array

WAYS = 4
EXACT = 9
# How many of the greedy orders are bettered, and the longest run that is moved as one.
STARTS, LONGEST_RUN = 4, 3
_LEAST_GAIN = 1e-12

Order = NDArray[np.intp]


@dataclass(frozen=True)
class Costs:
    """What a row of strips costs [any unit]. A state is 4 x number of the strip + number of the way.

    :param pair: of neighbours, symmetric, shape (states, states)
    :param own: of a strip in a way, wherever it lies, shape (states,)
    :param first: besides, if it lies first, shape (states,)
    :param last: besides, if it lies last, shape (states,)
    """

    pair: Array
    own: Array
    first: Array
    last: Array

    @property
    def strips(self) -> int:
        """How many."""
        return len(self.own) // WAYS

    def of(self, states: Order) -> float:
        """Cost of a row, given as the states in it."""
        inside = self.own[states].sum() + self.pair[states[:-1], states[1:]].sum()
        return float(inside + self.first[states[0]] + self.last[states[-1]])


def greedy(costs: Costs) -> list[Order]:
    """The rows that begin with each state and go on with the cheapest next one, the cheapest row first."""
    states = WAYS * costs.strips
    rows = np.empty((states, costs.strips), np.intp)
    rows[:, 0] = np.arange(states)
    free = np.ones((states, states), bool)
    every = np.arange(states)
    for place in range(costs.strips):
        if place:
            step = np.where(free, costs.pair[rows[:, place - 1]] + costs.own, np.inf)
            if place == costs.strips - 1:
                step = step + costs.last
            rows[:, place] = step.argmin(axis=1)
        taken = rows[:, place] // WAYS
        for way in range(WAYS):
            free[every, WAYS * taken + way] = False
    return sorted(rows, key=costs.of)


def best(costs: Costs) -> Order:
    """The best row that is found: states, first to last. The cheapest of all up to :data:`EXACT` strips."""
    if costs.strips <= EXACT:
        return _exact(costs)
    return min((_bettered(row, costs) for row in _distinct(greedy(costs))), key=costs.of)


def _distinct(rows: list[Order]) -> Iterator[Order]:
    """The first few rows that differ in more than the way round."""
    seen: set[bytes] = set()
    for row in rows:
        strips = row // WAYS
        key = min(strips.tobytes(), strips[::-1].tobytes())
        if key not in seen:
            seen.add(key)
            yield row
        if len(seen) == STARTS:
            return


def _exact(costs: Costs) -> Order:
    """Cheapest of all rows: for each set of strips and each last state the cheapest row of the set."""
    count, states = costs.strips, WAYS * costs.strips
    strip = np.arange(states) // WAYS
    cost = np.full((1 << count, states), np.inf)
    before = np.full((1 << count, states), -1, np.intp)
    cost[1 << strip, np.arange(states)] = costs.own + costs.first
    for subset in range(1, 1 << count):
        inside = (subset >> strip) & 1 == 1
        if subset & (subset - 1) == 0:
            continue
        for member in range(count):
            if not subset >> member & 1:
                continue
            rest = subset & ~(1 << member)
            come = np.flatnonzero(inside & (strip != member))
            own = slice(WAYS * member, WAYS * (member + 1))
            ways = cost[rest, come][:, None] + costs.pair[come, own]
            pick = ways.argmin(axis=0)
            cost[subset, own] = ways[pick, np.arange(WAYS)] + costs.own[own]
            before[subset, own] = come[pick]
    subset = (1 << count) - 1
    state = int((cost[subset] + costs.last).argmin())
    row = [state]
    while (came := int(before[subset, state])) >= 0:
        subset &= ~(1 << (state // WAYS))
        state = came
        row.append(state)
    return np.array(row[::-1], np.intp)


def _bettered(row: Order, costs: Costs) -> Order:
    """A row that no turn, move or reversal betters any more."""
    row = _turned(row, costs)
    value = costs.of(row)
    while True:
        better = min((_reversed_run(row, costs), _moved_run(row, costs)), key=costs.of)
        better = _turned(better, costs)
        found = costs.of(better)
        if found >= value - _LEAST_GAIN:
            return row
        row, value = better, found


def _turned(row: Order, costs: Costs) -> Order:
    """The same strips in the same order, each turned in the best way (dynamic programming along the row)."""
    ways = WAYS * (row[:, None] // WAYS) + np.arange(WAYS)
    cost = costs.own[ways[0]] + costs.first[ways[0]]
    came = []
    for before, now in itertools.pairwise(ways):
        step = cost[:, None] + costs.pair[before[:, None], now]
        came.append(step.argmin(axis=0))
        cost = step.min(axis=0) + costs.own[now]
    way = int((cost + costs.last[ways[-1]]).argmin())
    picked = [way]
    for back in reversed(came):
        way = int(back[way])
        picked.append(way)
    return ways[np.arange(len(row)), picked[::-1]]


def _reversed_run(row: Order, costs: Costs) -> Order:
    """The row with the run reversed that gains most by it; the row itself where none gains."""
    count = len(row)
    # Cost of the joint before a place and after one; beyond the ends that of the ends.
    left, right = _edges(row, costs)
    old = left[:, None] + right[None, :]
    enter = np.full((count, count), 0.0)
    enter[1:, :] = costs.pair[row[:-1, None], row[None, :]]
    enter[0, :] = costs.first[row]
    leave = np.full((count, count), 0.0)
    leave[:, :-1] = costs.pair[row[:, None], row[None, 1:]]
    leave[:, -1] = costs.last[row]
    gain = np.triu(old - enter - leave, 1)
    start, end = np.unravel_index(int(gain.argmax()), gain.shape)
    if gain[start, end] <= _LEAST_GAIN:
        return row
    return np.concatenate((row[:start], row[start : end + 1][::-1], row[end + 1 :]))


def _edges(row: Order, costs: Costs) -> tuple[Array, Array]:
    joints = costs.pair[row[:-1], row[1:]]
    return np.concatenate(([costs.first[row[0]]], joints)), np.concatenate((joints, [costs.last[row[-1]]]))


def _moved_run(row: Order, costs: Costs) -> Order:
    """The row with a short run moved to where that gains most; the row itself where nothing gains."""
    best_row, least = row, costs.of(row)
    for length in range(1, min(LONGEST_RUN, len(row) - 1) + 1):
        for start in range(len(row) - length + 1):
            run = row[start : start + length]
            rest = np.concatenate((row[:start], row[start + length :]))
            left, right = _edges(rest, costs)
            base = costs.own[row].sum() + left.sum() + costs.last[rest[-1]]
            base += costs.pair[run[:-1], run[1:]].sum()
            # The joint that opens at each place of the rest, before its first to after its last.
            opened = np.concatenate((left, right[-1:]))
            for way in (run, run[::-1]):
                enter = np.concatenate(([costs.first[way[0]]], costs.pair[rest, way[0]]))
                leave = np.concatenate((costs.pair[way[-1], rest], [costs.last[way[-1]]]))
                value = base - opened + enter + leave
                place = int(value.argmin())
                if value[place] < least - _LEAST_GAIN:
                    least = float(value[place])
                    best_row = np.concatenate((rest[:place], way, rest[place:]))
    return best_row
