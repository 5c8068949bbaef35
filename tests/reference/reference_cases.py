"""Reading the reference tables that stand beside the tests."""

import csv
from pathlib import Path

from woodmove.sources import SOURCES, Status


def read_cases(name: str, count: int) -> list[dict[str, str]]:
    """The cases of a table, all `count` of them, each with a tolerance, its reason, a status and a source.

    A source is a key of the bibliography. What the bibliography does not list is cited in words,
    so that a key with a slip in it does not pass for one.
    """
    with (Path(__file__).parent / name).open(encoding="utf-8", newline="") as file:
        cases = list(csv.DictReader(file))
    assert len(cases) == count, f"{name} has {len(cases)} cases, not {count}"
    for case in cases:
        assert float(case["tolerance"]) > 0, case
        assert case["reason"], case
        assert case["status"] in list(Status), case
        assert case["source"] in SOURCES or " " in case["source"], case
    return cases


def celsius(value: str, unit: str) -> float:
    """A temperature in °C. From °F it is exact: printed °C columns are rounded, and EMC feels it."""
    return (float(value) - 32.0) / 1.8 if unit == "F" else float(value)
