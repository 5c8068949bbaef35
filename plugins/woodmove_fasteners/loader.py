"""The tables of screws and washers: sizes in millimetres, each row with how it is known."""

import csv
from collections.abc import Iterator
from importlib.resources import files

from woodmove.extend.api import Known, Screw, Status, Washer


def screws() -> list[Screw]:
    """The screws, in the order of the table.

    :raises ValueError: a clearance hole in which the thickest screw of its size would stick
    """
    return [_screw(row) for row in _rows("screws.csv")]


def washers() -> list[Washer]:
    """The washers, in the order of the table."""
    return [
        Washer(
            row["key"],
            row["name"],
            row["standard"],
            float(row["inside_mm"]),
            float(row["outside_mm"]),
            float(row["thickness_mm"]),
            _known(row),
            _aliases(row),
            row["inch"] == "yes",
        )
        for row in _rows("washers.csv")
    ]


def _rows(name: str) -> Iterator[dict[str, str]]:
    table = files("woodmove_fasteners") / "tables" / name
    yield from csv.DictReader(table.read_text(encoding="utf-8").splitlines())


def _screw(row: dict[str, str]) -> Screw:
    thickest, clearance = _number(row["body_max_mm"]), float(row["clearance_mm"])
    # A chart made for driving screws gives holes that some screws of the size do not even enter.
    if thickest is not None and clearance <= thickest:
        raise ValueError(f"{row['key']}: the thickest screw of this size sticks in its clearance hole")
    return Screw(
        row["key"],
        row["name"],
        row["standard"],
        float(row["major_mm"]),
        _number(row["root_mm"]),
        _number(row["head_mm"]),
        row["countersunk"] == "yes",
        clearance,
        _known(row),
        _aliases(row),
        row["inch"] == "yes",
    )


def _known(row: dict[str, str]) -> Known:
    return Known(Status(row["status"]), row["source"], row["remark"])


def _aliases(row: dict[str, str]) -> tuple[str, ...]:
    return tuple(alias for alias in row["aliases"].split(" | ") if alias)


def _number(cell: str) -> float | None:
    """The number in a cell, None where the table is silent."""
    return float(cell) if cell else None
