"""The measurements as tables, each row with its status and source."""

import csv
from pathlib import Path

from woodmove.sources import SOURCES, Status


def read(name: str, count: int) -> list[dict[str, str]]:
    """The rows of a table, all `count` of them.

    A source is a key of the bibliography, or a citation in words.
    """
    with (Path(__file__).parent / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == count, f"{name}.csv has {len(rows)} rows, not {count}"
    for row in rows:
        assert row["status"] in list(Status), row
        assert row["source"] in SOURCES or " " in row["source"], row
    return rows
