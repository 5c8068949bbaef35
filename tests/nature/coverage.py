"""What is counted of a set of measurements, and the test of a count."""

from collections.abc import Iterable
from dataclasses import dataclass

from scipy.stats import binomtest

HELD = 0.9  # share of the units that a 90 % band is to hold
LEVEL = 0.05  # of the two-sided binomial test
ENOUGH_UNITS = 30  # for a set to be tested by itself


@dataclass(frozen=True, slots=True)
class Unit:
    """What stands by itself: a log, a house, a dry spell, a product.

    :param inside: of each of its readings, whether it lies in our 90 % band
    """

    name: str
    inside: tuple[bool, ...]

    @property
    def share(self) -> float:
        """Of its readings, inside."""
        return sum(self.inside) / len(self.inside)


@dataclass(frozen=True, slots=True)
class Tried:
    """A set of measurements, tried.

    :param why: what lies outside, and why; empty where nothing to speak of does
    """

    name: str
    units: tuple[Unit, ...]
    why: str = ""

    @property
    def inside(self) -> float:
        """Units inside, a unit that was read many times by the share of its readings."""
        return sum(unit.share for unit in self.units)


def chance(inside: float, units: int) -> float:
    """Chance of a count as far off as this one, or farther, where bands hold what they promise."""
    return float(binomtest(round(inside), units, HELD).pvalue)


def pooled(sets: Iterable[Tried]) -> tuple[float, int]:
    """Units inside and units, over all sets."""
    sets = list(sets)
    return sum(tried.inside for tried in sets), sum(len(tried.units) for tried in sets)


def holds(inside: float, units: int) -> bool:
    """True where a count does not speak against the bands."""
    return chance(inside, units) >= LEVEL
