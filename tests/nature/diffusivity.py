"""Level and band of the default diffusivity, from the evidence: ``python -m tests.nature.diffusivity``.

Each row of ``evidence/diffusivity.csv`` tells a level as a factor on one form, that of
:func:`woodmove.physics.diffusivity.synthesis_m2_s` with 1.3e-10 m²/s at 20 °C, 12 % and a specific gravity of
0.40.

- Rows of one unit (one experiment, one body of observations) are averaged first.
- A unit weighs 1 where its specimen is named and its value published or derived, else a half: it is then
  recalled, second-hand, nominal, or told in words.
- The level is the mean of whole pieces that dry and of transient measurements, by weight, as a logarithm.
- The band is the scatter of all units about that level, cups and models of the steady flow too, where these
  widen it: variance times (n + 1) / (n - 1) for a piece that is yet to come, n being the effective number of
  units; 90 % of a normal distribution.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from functools import cache
from math import exp, log

from woodmove.advice.doubt.inputs import BOUND_90
from woodmove.physics.diffusivity import synthesis_m2_s
from woodmove.sources import Status

from .evidence import read

BASE_M2_S = 1.3e-10
KINDS = {"whole": "whole pieces that dry", "transient": "transient measurements", "cup": "cups and models"}


@dataclass(frozen=True, slots=True)
class Unit:
    """What one body of observations says of the level.

    :param level: logarithm of the factor
    """

    name: str
    kind: str
    level: float
    weight: float


@dataclass(frozen=True, slots=True)
class Found:
    """A level as a factor on the base, and its band as a factor either way."""

    factor: float
    either_way: float

    @property
    def ours(self) -> float:
        """The level as a factor on what ships."""
        return self.factor * BASE_M2_S / float(synthesis_m2_s(12.0, 20.0, 0.40))

    @property
    def sd(self) -> float:
        """Of the natural logarithm."""
        return log(self.either_way) / BOUND_90


@cache
def rows() -> tuple[dict[str, str], ...]:
    """The evidence."""
    return tuple(read("diffusivity", 15))


@cache
def units() -> tuple[Unit, ...]:
    """The evidence that is used, by unit."""
    used = [row for row in rows() if row["used"] == "yes"]
    found = []
    for name in dict.fromkeys(row["unit"] for row in used):
        own = [row for row in used if row["unit"] == name]
        weights = [_weight(row) for row in own]
        level = sum(w * log(float(row["factor"])) for w, row in zip(weights, own, strict=True)) / sum(weights)
        found.append(Unit(name, own[0]["kind"], level, max(weights)))
    return tuple(found)


def _weight(row: dict[str, str]) -> float:
    measured = row["specimen"] and row["status"] in (Status.PUBLISHED, Status.DERIVED)
    return 1.0 if measured else 0.5


def of_kinds(*kinds: str) -> Found:
    """Level and band of the units of some kinds alone."""
    own = [unit for unit in units() if unit.kind in kinds]
    level = _mean(own)
    return Found(exp(level), _either_way(own, level))


def default(without: Collection[str] = ()) -> Found:
    """Level and band of the default.

    :param without: names of units that are left out: those that the band is to be tried on
    """
    left = [unit for unit in units() if unit.name not in without]
    setting = [unit for unit in left if unit.kind != "cup"]
    level = _mean(setting)
    return Found(exp(level), max(_either_way(setting, level), _either_way(left, level)))


def _mean(own: Iterable[Unit]) -> float:
    own = list(own)
    return sum(unit.weight * unit.level for unit in own) / sum(unit.weight for unit in own)


def _either_way(own: Iterable[Unit], level: float) -> float:
    own = list(own)
    weight = sum(unit.weight for unit in own)
    number = weight**2 / sum(unit.weight**2 for unit in own)
    variance = sum(unit.weight * (unit.level - level) ** 2 for unit in own) / weight
    return exp(BOUND_90 * (variance * (number + 1.0) / (number - 1.0)) ** 0.5)


def main() -> None:
    """Print the evidence, and what it comes to."""
    print(f"Factor on {BASE_M2_S:.1e} m2/s (20 °C, 12 %, specific gravity 0.40)\n")
    for kind, words in KINDS.items():
        found = of_kinds(kind)
        print(f"{words}: {found.factor:.2f}, within a factor {found.either_way:.1f} either way")
        for unit in units():
            if unit.kind == kind:
                print(f"  {exp(unit.level):.2f}  weight {unit.weight:.1f}  {unit.name}")
    together = of_kinds(*KINDS)
    print(f"\nall together: {together.factor:.2f}, within a factor {together.either_way:.1f}")
    found = default()
    print(
        f"default, by whole pieces and transients, widened by the rest: {found.factor:.2f}, within a factor "
        f"{found.either_way:.1f}\nwhich is {found.factor * BASE_M2_S:.1e} m2/s"
    )


if __name__ == "__main__":
    main()
