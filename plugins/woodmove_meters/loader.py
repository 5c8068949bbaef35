"""The tables, read into meters. What was recalled and not read again is marked so in its row."""

import csv
from importlib.resources import files

from woodmove.extend.api import Accuracy, Known, Meter, SpeciesPair, Status

Row = dict[str, str]


def load() -> list[Meter]:
    """The meters, in the order of the table.

    :raises ValueError: a value outside the bounds of its dataclass, or an unknown status word
    """
    accuracy, pairs = _rows("accuracy.csv"), _rows("pairs.csv")
    return [
        Meter(
            row["key"],
            row["name"],
            row["principle"],
            float(row["low_pct"]),
            float(row["high_pct"]),
            tuple(_accuracy(band) for band in accuracy if band["key"] == row["key"]),
            _known(row),
            float(row["calibrated_c"]) if row["calibrated_c"] else None,
            float(row["points_per_c"]),
            tuple(_pair(pair) for pair in pairs if pair["key"] == row["key"]),
            tuple(filter(None, row["aliases"].split("|"))),
            row["practice"],
        )
        for row in _rows("meters.csv")
    ]


def _rows(table: str) -> list[Row]:
    text = files("woodmove_meters").joinpath("tables", table).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def _known(row: Row) -> Known:
    return Known(Status(row["status"]), row["source"], row["remark"])


def _accuracy(row: Row) -> Accuracy:
    return Accuracy(float(row["low_pct"]), float(row["high_pct"]), float(row["points"]), _known(row))


def _pair(row: Row) -> SpeciesPair:
    return SpeciesPair(row["species"], float(row["slope"]), float(row["offset"]), _known(row))
