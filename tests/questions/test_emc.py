"""woodmove emc: of air, the other way round, as a grid, for a table of readings."""

import csv
import io
import re
from pathlib import Path
from typing import Any

import pytest

from woodmove.physics.sorption import emc_pct


def codes(answer: dict[str, Any], kind: str = "warnings") -> list[str]:
    return [note["code"] for note in answer[kind]]


def text_of(answer: dict[str, Any], code: str, kind: str = "warnings") -> str:
    (note,) = (note for note in answer[kind] if note["code"] == code)
    return note["text"]


def rows_of(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


# emc


def test_emc_of_air(cli):
    found = cli.results("emc --temp 70F --rh 50")
    assert found["emc_pct"] == pytest.approx(9.2, abs=0.05)  # Wood handbook Table 4-2
    # 0.4 above and 0.8 below: tests/nature/spruce.py.
    assert found["emc_drying_pct"] - found["emc_pct"] == pytest.approx(0.4)
    assert found["emc_wetting_pct"] - found["emc_pct"] == pytest.approx(-0.8)
    assert found["board_mc_pct"]["expected"] == found["emc_pct"]


@pytest.mark.parametrize("option", ["--dew-point 10C", "--wet-bulb 14C"])
def test_emc_of_another_measure_of_the_same_humidity(cli, option):
    found = cli.results(f"emc --temp 20C {option}")
    assert 50 < found["rh_pct"] < 55
    again = cli.results(f"emc --temp 20C --rh {found['rh_pct']:.9f}")
    assert again["emc_pct"] == pytest.approx(found["emc_pct"], abs=1e-6)


@pytest.mark.parametrize("option", ["--dew-point 20C", "--wet-bulb 20C", "--rh 100"])
def test_emc_of_saturated_air(cli, option):
    assert cli.results(f"emc --temp 20C {option}")["rh_pct"] == pytest.approx(100)


def test_the_humidity_that_holds_a_moisture_content(cli):
    found = cli.results("emc --temp 70F --mc 8")
    assert found["rh_drying_pct"] < found["rh_pct"] < found["rh_wetting_pct"]
    assert cli.results(f"emc --temp 70F --rh {found['rh_pct']}")["emc_pct"] == pytest.approx(8)
    # Wood on its way up that is nearly as wet as saturated air would make it: no humidity does that.
    assert cli.results("emc --temp 70F --mc 28")["rh_wetting_pct"] is None


def test_the_grid(cli):
    rows = cli.results("emc --grid")["grid"]
    assert len(rows) == 9
    for row in rows:
        for name in set(row) - {"temp_c"}:
            rh_pct = float(re.sub(r"\D", "", name))
            assert row[name] == pytest.approx(emc_pct(row["temp_c"], rh_pct))
    assert "temperature    20    30    40" in cli("emc --grid").out


def test_the_grid_as_csv(cli):
    done = cli("emc --grid --csv")
    assert done.code == 0
    assert len(rows_of(done.out)) == 9


def test_abbreviations_keep_their_capitals_in_a_heading(cli):
    assert "EMC at each temperature and RH" in cli("emc --grid").out


AIR = "time,Temperature (°F),Relative Humidity (%),note\nMonday,70,50,quiet\nTuesday,68,45%,\n"


@pytest.mark.parametrize("way", ["file", "standard input"])
def test_a_table_of_readings_gets_an_emc_column(cli, way):
    Path("air.csv").write_text(AIR, encoding="utf-8")
    name, stdin = ("air.csv", "") if way == "file" else ("-", AIR)
    found = cli.results(["emc", name], stdin=stdin)
    assert found["row_count"] == 2
    assert [row["emc_pct"] for row in found["rows"]] == pytest.approx(
        [emc_pct(190 / 9, 50.0), emc_pct(20.0, 45.0)]
    )
    done = cli(["emc", name, "--csv"], stdin=stdin)
    assert (done.code, done.err) == (0, "")
    for given, got in zip(rows_of(AIR), rows_of(done.out), strict=True):
        assert {name: got[name] for name in given} == given
        assert 8 < float(got["emc_pct"]) < 10
    assert "Monday" in cli(["emc", name], stdin=stdin).out


def test_a_heading_without_a_unit_is_celsius_and_says_so(cli):
    found = cli.json("emc -", stdin="temp,rh\n20,50\n")
    assert codes(found) == ["UNIT_ASSUMED"]
    assert "temp" in text_of(found, "UNIT_ASSUMED")
    assert found["results"]["rows"][0]["emc_pct"] == pytest.approx(emc_pct(20.0, 50.0))


def test_humidities_that_are_fractions_are_read_as_such_and_said(cli):
    """One above 1 among them is left out and named; it does not turn the others into 0.45 % RH."""
    rows = "temp_c,rh\n" + "20,0.45\n" * 5 + "20,1.01\n" + "20,0.45\n" * 5
    found = cli.json("emc -", stdin=rows)
    assert [row["emc_pct"] for row in found["results"]["rows"]] == pytest.approx([emc_pct(20.0, 45.0)] * 10)
    assert codes(found) == ["FRACTIONS", "ROWS_LEFT_OUT"]
    assert "line 7" in text_of(found, "ROWS_LEFT_OUT")
    found = cli.json("emc -", stdin="temp_c,rh\n20,45\n20,0.45\n20,45\n")
    assert codes(found) == ["ROWS_LEFT_OUT"]
    assert found["results"]["row_count"] == 2


def test_the_columns_of_a_table_keep_their_headings(cli):
    out = cli("emc -", stdin="temp_c,rh\n20,50\n").out
    assert "°F" not in out or "68" in out


def test_a_table_with_semicolons_is_not_misread(cli):
    done = cli("emc - --json", stdin="temp_c;rh\n20,5;50\n21,5;50\n")
    assert (done.code, "error" in done.json) == (1, True)


def test_a_row_longer_than_the_headings_is_refused(cli, recwarn):
    done = cli("emc -", stdin="temp_c,rh\n20,50,60\n21,50,60\n")
    assert done.code == 1, done.out
    assert not recwarn.list
