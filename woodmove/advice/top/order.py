"""The order of strips in a glue-up, and which way each is turned: a cost, and a solver that is never worse
than the orders that it begins with.

A place in a row is taken by a strip in one of four ways; the whole costs a sum over neighbours, over the
strips themselves and over the two ends. Up to :data:`EXACT` strips every order is covered (dynamic
programming over subsets); beyond, the order in which the strips are listed and orders grown greedily from
every strip are bettered by turning strips, moving them, and reversing runs of them, until none of these
helps; then two runs of the best are swapped at random, and that is bettered, again and again. Only what
lowers the cost is kept.
"""

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from woodmove.physics.arrays import Array

WAYS = 4
EXACT = 9
# How many of the greedy orders are bettered, the longest run that is moved as one, how often runs swap.
STARTS, LONGEST_RUN, SWAPS = 4, 3, 30
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
    listed = WAYS * np.arange(costs.strips)
    starts = itertools.chain([listed], _distinct(greedy(costs)))
    return _swapped(min((_bettered(row, costs) for row in starts), key=costs.of), costs)


def _swapped(row: Order, costs: Costs) -> Order:
    """The best row that is found by swapping neighbouring runs; a pile is put in order alike every time."""
    chance = np.random.default_rng(0)
    for _ in range(SWAPS):
        start, middle, end = np.sort(chance.choice(costs.strips + 1, 3, replace=False))
        swapped = np.concatenate((row[:start], row[middle:end], row[start:middle], row[end:]))
        row = min(row, _bettered(swapped, costs), key=costs.of)
    return row


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


def _joints(row: Order, costs: Costs) -> Array:
    """Cost of a joint between any two places of a row, were they neighbours: shape (strips + 2, strips + 2).
    Place 0 is what lies before the row, the last one what lies after it."""
    joints = np.zeros((len(row) + 2, len(row) + 2))
    joints[1:-1, 1:-1] = costs.pair[row[:, None], row]
    joints[0, 1:-1], joints[1:-1, -1] = costs.first[row], costs.last[row]
    return joints


def _reversed_run(row: Order, costs: Costs) -> Order:
    """The row with the run reversed that gains most by it; the row itself where none gains."""
    joints = _joints(row, costs)
    there = np.diagonal(joints, 1)
    # By first and last place of the run.
    gain = there[:-1, None] + there[None, 1:] - joints[:-2, 1:-1] - joints[1:-1, 2:]
    gain = np.triu(gain, 1)
    start, end = np.unravel_index(int(gain.argmax()), gain.shape)
    if gain[start, end] <= _LEAST_GAIN:
        return row
    return np.concatenate((row[:start], row[start : end + 1][::-1], row[end + 1 :]))


def _moved_run(row: Order, costs: Costs) -> Order:
    """The row with a short run moved to where that gains most; the row itself where nothing gains."""
    joints = _joints(row, costs)
    there = np.diagonal(joints, 1)
    gap = np.arange(len(row) + 1)
    most, found = _LEAST_GAIN, row
    for length in range(1, min(LONGEST_RUN, len(row) - 1) + 1):
        start = np.arange(1, len(row) - length + 2)[:, None]
        end = start + length - 1
        out = there[start - 1] + there[end] - joints[start - 1, end + 1] + there[gap]
        elsewhere = (gap < start - 1) | (gap > end)
        for first, last in ((start, end), (end, start)):
            gain = np.where(elsewhere, out - joints[gap, first] - joints[last, gap + 1], -np.inf)
            number, place = np.unravel_index(int(gain.argmax()), gain.shape)
            if gain[number, place] > most:
                most = float(gain[number, place])
                run = row[number : number + length][:: 1 if first is start else -1]
                rest = np.concatenate((row[:number], row[number + length :]))
                at = place if place <= number else place - length
                found = np.concatenate((rest[:at], run, rest[at:]))
    return found
