"""The tables, read into species.

Each row of a table carries the key of its species, and how its values are known. A species without a row
in a table has no such value. Table numbers in the remarks are those of the Wood handbook.

The woods that it lacks were read in several sources, none averaged: the edition of a row is the key of its
source. Of those rows the first lies nearest to the medians of both directions, by the sum of the relative
distances, and the last lies farthest. Of two as near a published one comes first, then the larger tangential
one. Of one row alone the doubt between logs, pieces and yards is about 20 % of its value in a panel of many
boards, which is what its spread was advised to be. Total shrinkage was turned into no coefficient.
"""

import csv
from collections import defaultdict
from importlib.resources import files

from woodmove.extend.api import (
    AcrossGrain,
    Coefficients,
    Known,
    Shrinkage,
    Species,
    SpecificGravity,
    Status,
    StiffnessRatios,
)

Row = dict[str, str]

# Table 5-3b was read in its inch-pound printing, so strength.csv holds psi and million psi as printed.
# The factor is exact by definition: 4.448 221 615 260 5 N to the pound-force, 25.4 mm to the inch.
KPA_PER_PSI = 4.4482216152605 / 0.0254**2 / 1000
GPA_PER_MILLION_PSI = KPA_PER_PSI


def load() -> list[Species]:
    """Species and mixes, in the order of species.csv, and the coefficients of each in that of their table.

    `Species.known` tells how the fibre saturation of a species is known, and the members of a mix.

    :raises ValueError: a value outside the bounds of its dataclass, or an unknown status word
    """
    coefficients = _by_key("coefficients.csv")
    shrinkage = _by_key("shrinkage.csv")
    strength = _by_key("strength.csv")
    ratios = _by_key("stiffness_ratios.csv")
    return [
        Species(
            key := row["key"],
            row["name"],
            row["group"],
            aliases=_aliases(row),
            coefficients=tuple(map(_coefficients, coefficients[key])),
            fibre_saturation_pct=float(row["fibre_saturation_pct"]),
            shrinkage=tuple(map(_shrinkage, shrinkage[key])),
            specific_gravity=tuple(_specific_gravity(r) for r in strength[key] if r["specific_gravity"]),
            across_grain=tuple(
                _across_grain(r) for r in strength[key] if r["tension_psi"] or r["stiffness_million_psi"]
            ),
            stiffness_ratios=next(map(_stiffness_ratios, ratios[key]), None),
            members=tuple(filter(None, row["members"].split("|"))),
            known=_known(row),
        )
        for row in _rows("species.csv")
    ]


def _rows(table: str) -> list[Row]:
    text = files("woodmove_species").joinpath("tables", table).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def _by_key(table: str) -> defaultdict[str, list[Row]]:
    rows: defaultdict[str, list[Row]] = defaultdict(list)
    for row in _rows(table):
        rows[row["key"]].append(row)
    return rows


def _aliases(row: Row) -> tuple[str, ...]:
    # A genus ("Shorea spp.") holds several species: it is no name for one of them.
    botanical = "" if row["botanical"].endswith("spp.") else row["botanical"]
    return tuple(filter(None, [*row["aliases"].split("|"), botanical]))


def _number(text: str, factor: float = 1.0) -> float | None:
    return float(text) * factor if text else None


def _known(row: Row) -> Known:
    return Known(Status(row["status"]), row["source"], row["remark"])


def _coefficients(row: Row) -> Coefficients:
    return Coefficients(row["edition"], float(row["radial"]), float(row["tangential"]), _known(row))


def _shrinkage(row: Row) -> Shrinkage:
    return Shrinkage(
        _number(row["radial_pct"]),
        _number(row["tangential_pct"]),
        _number(row["volumetric_pct"]),
        _known(row),
    )


def _specific_gravity(row: Row) -> SpecificGravity:
    return SpecificGravity(row["condition"], float(row["specific_gravity"]), _known(row))


def _across_grain(row: Row) -> AcrossGrain:
    return AcrossGrain(
        row["condition"],
        _number(row["tension_psi"], KPA_PER_PSI),
        _number(row["stiffness_million_psi"], GPA_PER_MILLION_PSI),
        _known(row),
    )


def _stiffness_ratios(row: Row) -> StiffnessRatios:
    return StiffnessRatios(
        float(row["tangential"]),
        float(row["radial"]),
        _number(row["shear_lr"]),
        _number(row["shear_lt"]),
        _number(row["shear_rt"]),
        _known(row),
    )
