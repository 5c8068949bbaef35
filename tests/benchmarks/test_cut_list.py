"""Eighty parts out of sixty boards in under a second, with few kinds of parts or with each its own; ``-s``
prints the seconds."""

import random
import time

import pytest

from woodmove.advice.boards.cutting.choose import choose
from woodmove.domain.cutting import Part, Stock

BOARDS, PARTS, SECONDS, ROUNDS = 60, 80, 1.0, 3


@pytest.mark.parametrize("kinds", [8, 16, 80])
def test_sixty_boards_and_eighty_parts(kinds):
    chance = random.Random(kinds)
    stocks = []
    for n in range(BOARDS):
        width, length = chance.choice((139.7, 184.15, 234.95)), chance.choice((2438.4, 3048.0, 3657.6))
        stocks.append(Stock(f"B{n}", width, (width,), length, length - chance.choice((25.4, 50.8, 254.0))))
    parts = [
        Part(f"p{n}", chance.choice((57.0, 82.0, 88.9)), float(chance.randint(300, 2200)), PARTS // kinds)
        for n in range(kinds)
    ]
    seconds = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        found = choose(stocks, parts, 3.2)
        seconds.append(time.perf_counter() - start)
        assert not any(found.lacks)
    print(f"\n{kinds} kinds: {min(seconds):.2f} s, {len(found.boards)} boards")
    assert min(seconds) < SECONDS
