"""The tables: adhesives, ways of spreading, clamps; each row with how it is known."""

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from woodmove.extend.api import Adhesive, Known, Status

Row = dict[str, str]


@dataclass(frozen=True, slots=True)
class Method:
    """A way of spreading: area that one person covers, one face of each joint [m²/min]."""

    key: str
    name: str
    m2_per_min: float
    known: Known


@dataclass(frozen=True, slots=True)
class Clamp:
    """A clamp, by the force that a hand gives it [kN]."""

    key: str
    name: str
    force_kn: float
    known: Known


def adhesives() -> list[Adhesive]:
    """The adhesives, in the order of the table.

    :raises ValueError: a value outside the bounds of its dataclass, or an unknown status word
    """
    return [_adhesive(row) for row in _rows("adhesives.csv")]


def _adhesive(row: Row) -> Adhesive:
    return Adhesive(
        row["key"],
        row["name"],
        row["sets_by"],
        open_min=float(row["open_min"]),
        assembly_min=float(row["assembly_min"]),
        clamp_h=float(row["clamp_h"]),
        full_h=float(row["full_h"]),
        spread_g_m2=float(row["spread_g_m2"]),
        water_pct=float(row["water_pct"]),
        mc_low_pct=float(row["mc_low_pct"]),
        mc_high_pct=float(row["mc_high_pct"]),
        temp_low_c=float(row["temp_low_c"]),
        gap_mm=float(row["gap_mm"]),
        clamping=row["clamping"],
        practice=row["practice"],
        known=_known(row),
        aliases=tuple(filter(None, row["aliases"].split("|"))),
    )


@cache
def methods() -> dict[str, Method]:
    """The ways of spreading, by key."""
    return {
        row["key"]: Method(row["key"], row["name"], float(row["m2_per_min"]), _known(row))
        for row in _rows("methods.csv")
    }


@cache
def clamps() -> dict[str, Clamp]:
    """The clamps, by key."""
    return {
        row["key"]: Clamp(row["key"], row["name"], float(row["force_kn"]), _known(row))
        for row in _rows("clamps.csv")
    }


def _rows(table: str) -> list[Row]:
    text = files("woodmove_glue").joinpath("tables", table).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def _known(row: Row) -> Known:
    return Known(Status(row["status"]), row["source"], row["remark"])
