"""Stability: how far the ends of the Ranges move when nothing but the seed changes."""

import json
from collections.abc import Iterator
from contextlib import redirect_stdout
from dataclasses import dataclass
from io import StringIO
from typing import Any

from few_draws import run

MOST_PCT = 5.0


@dataclass(frozen=True)
class Move:
    """How far one end of a Range moved [% of the width of the Range] between two seeds."""

    where: str
    end: str
    seeds: tuple[int, int]
    of_width_pct: float


def worst(pairs: int, command: str = "plan --demo --json") -> list[Move]:
    """The largest move of each end of each Range over so many pairs of seeds, the worst first.

    :raises AssertionError: the two runs do not hold the same Ranges, or there is none
    """
    largest: dict[tuple[str, str], Move] = {}
    for number in range(pairs):
        seeds = 2 * number + 1, 2 * number + 2
        one, other = (dict(_ranges(_answer(f"{command} --seed {seed}"), "")) for seed in seeds)
        assert one, "an answer without Ranges"
        assert one.keys() == other.keys()
        for where in one:
            width = max(each[where]["high"] - each[where]["low"] for each in (one, other))
            for end in ("low", "high"):
                distance = abs(one[where][end] - other[where][end])
                if _whole(one[where]) and _whole(other[where]):
                    # Of days that are told as whole ones the next day is no move: it is the rounding.
                    distance = max(distance - 1.0, 0.0)
                move = Move(where, end, seeds, 100.0 * distance / width if width else 0.0)
                before = largest.get((where, end))
                if before is None or move.of_width_pct > before.of_width_pct:
                    largest[where, end] = move
    return sorted(largest.values(), key=lambda move: -move.of_width_pct)


def _whole(found: dict[str, float]) -> bool:
    return all(float(found[end]).is_integer() for end in ("expected", "low", "high"))


def _answer(command: str) -> Any:
    printed = StringIO()
    with redirect_stdout(printed):
        code = run(command.split())
    assert code == 0, command
    return json.loads(printed.getvalue())


def _ranges(value: Any, where: str) -> Iterator[tuple[str, dict[str, float]]]:
    """Every Range of a JSON document with its path."""
    if isinstance(value, dict):
        if {"expected", "low", "high"} <= value.keys():
            yield where, value
        else:
            for key, item in value.items():
                yield from _ranges(item, f"{where}.{key}")
    elif isinstance(value, list):
        for number, item in enumerate(value):
            # Boards that do alike may change places: each is followed by its name.
            name = item.get("board", number) if isinstance(item, dict) else number
            yield from _ranges(item, f"{where}[{name}]")
