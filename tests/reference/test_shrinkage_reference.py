"""Shrinkage against the Wood handbook: Table 13-5 through Eq. 13-2, and the cases of chapter 13."""

import csv
from pathlib import Path

import pytest

from woodmove.physics import shrinkage
from woodmove.sources import SOURCES, Status

HERE = Path(__file__).parent


def rows(name: str) -> list[dict[str, str]]:
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


TABLE = rows("fpl-table-13-5-vs-4-3.csv")
CASES = rows("fpl-chapter-13-cases.csv")
AGREEING = [row for row in TABLE if not row["exception"]]
EXCEPTIONS = [row for row in TABLE if row["exception"]]


def name_of(row: dict[str, str]) -> str:
    return " ".join((row.get("species") or row["case"], row.get("direction") or row["quantity"]))


def from_total_shrinkage(row: dict[str, str]) -> float:
    return float(
        shrinkage.coefficient_per_pct(float(row["total_shrinkage_pct"]), float(row["fibre_saturation_pct"]))
    )


def test_no_case_drops_out() -> None:
    assert len(TABLE) == 180  # 90 species of the 2010 edition with a partner in Table 4-3, two directions
    assert len(AGREEING) == 171
    assert len(EXCEPTIONS) == 9
    assert len({(row["species"], row["direction"]) for row in TABLE}) == 180
    assert len(CASES) == 9


def test_table_cases_by_status() -> None:
    by_status = [row["status"] for row in TABLE]
    assert by_status.count("published") == 97  # 48 species whole, and the radial value of black willow
    assert by_status.count("memory") == 83


@pytest.mark.parametrize("row", TABLE + CASES, ids=name_of)
def test_status_and_source_are_known(row: dict[str, str]) -> None:
    assert row["status"] in set(Status)
    assert row["source"] in SOURCES
    assert row["reason"]
    if "shrinkage_status" in row:
        assert row["shrinkage_status"] in set(Status)
        assert row["shrinkage_source"] in SOURCES


@pytest.mark.parametrize("row", AGREEING, ids=name_of)
def test_table_13_5_follows_from_table_4_3(row: dict[str, str]) -> None:
    assert from_total_shrinkage(row) == pytest.approx(
        float(row["printed_per_pct"]), rel=0, abs=float(row["tolerance"])
    )


@pytest.mark.parametrize("row", EXCEPTIONS, ids=name_of)
def test_rows_of_a_sister_species_do_differ(row: dict[str, str]) -> None:
    assert abs(from_total_shrinkage(row) - float(row["printed_per_pct"])) > float(row["tolerance"])


@pytest.mark.parametrize("row", EXCEPTIONS, ids=name_of)
def test_the_sister_has_that_very_value(row: dict[str, str]) -> None:
    sister = {
        "Ash, green": "Ash, white",
        "Birch, sweet": "Birch, yellow",
        "Elm, cedar": "Elm, winged",
        "Maple, black": "Maple, sugar",
        "Pine, pond": "Pine, loblolly",
    }[row["species"]]
    (own,) = (r for r in AGREEING if (r["species"], r["direction"]) == (sister, row["direction"]))
    assert own["printed_per_pct"] == row["printed_per_pct"]


@pytest.mark.parametrize("row", CASES, ids=name_of)
def test_chapter_13_case(row: dict[str, str]) -> None:
    coefficient = float(row["coefficient"]) if row["coefficient"] else from_total_shrinkage(row)
    size, start, end = (float(row[name]) for name in ("size", "mc_from_pct", "mc_to_pct"))
    fibre_saturation = float(row["fibre_saturation_pct"])
    if row["method"] == "coefficient":
        change = size * shrinkage.relative_change(coefficient, start, end)
    else:
        change = size * shrinkage.relative_change_from_total(coefficient, start, end, fibre_saturation)
    # The relation is the same for any unit of length.
    after = shrinkage.size_at_mc_mm(
        size, coefficient, start, end, fibre_saturation, by_coefficient=row["method"] == "coefficient"
    )
    assert after - size == pytest.approx(change, rel=1e-9)
    result = {"change": change, "size": after}[row["quantity"]]
    assert result == pytest.approx(float(row["printed"]), rel=0, abs=float(row["tolerance"]))
