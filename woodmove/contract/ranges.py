"""A number with its doubt, and what the doubt comes from."""

import math
from dataclasses import dataclass
from typing import Any

from woodmove.sources import Status


@dataclass(frozen=True, slots=True)
class Cause:
    """An input, by name, and its share of the variance of a result, 0 to 1."""

    input: str
    share: float


@dataclass(frozen=True, slots=True)
class Range:
    """A number with its doubt.

    :param expected: the result at the central inputs (not the mean of the draws)
    :param low: bound of the central 90 % of the draws, at most `expected`
    :param high: the other bound, at least `expected`
    :param causes: what the doubt comes from, largest first; inputs with small shares are left out
    :raises ValueError: a bound that is not finite, or out of order
    """

    expected: float
    low: float
    high: float
    causes: tuple[Cause, ...] = ()

    def __post_init__(self) -> None:
        for name in ("expected", "low", "high"):
            object.__setattr__(self, name, finite(getattr(self, name)))
        if not self.low <= self.expected <= self.high:
            raise ValueError(f"a Range needs low <= expected <= high, not {self}")


@dataclass(frozen=True, slots=True)
class Measurement:
    """What a maker can do to know an input better.

    :param code: stable, in capitals
    :param options: what takes it afterwards, an option or a column of a list of boards; empty where none does
    :param guessed: of what is guessed until then: it comes first
    """

    code: str
    text: str
    options: tuple[str, ...] = ()
    guessed: bool = False


@dataclass(frozen=True, slots=True)
class Distribution:
    """How far an input may lie from its central value: a normal distribution about it, unless it is `picked`.

    :param name: stable; also the seed of its draws
    :param sd: standard deviation, in `unit`
    :param unit: of the deviation: "% MC", "°", or "of the value" for a relative one
    :param meaning: what it stands for, in a few words
    :param status: word of :class:`woodmove.sources.Status`
    :param source: key of :mod:`woodmove.sources`, empty for a judgement
    :param measure: what lessens it, None for nothing
    :param picked: True for one of several, whose `sd` is the chance of the odd one, 0 where all are alike
    """

    name: str
    sd: float
    unit: str
    meaning: str
    status: Status
    source: str = ""
    measure: Measurement | None = None
    picked: bool = False


def finite(value: Any) -> float:
    number = float(value)
    if not math.isfinite(number):
        raise ValueError("an answer holds finite numbers only")
    return number
