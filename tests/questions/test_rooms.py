"""Rooms in a row: where lumber dries, and in which order."""

from datetime import date
from pathlib import Path

import numpy as np
import pytest

from woodmove.advice.drying.air import CARRIED_DAYS, Air
from woodmove.physics.sorption import emc_pct

FIR = "acclimate --species douglas-fir-coast --stock 2x8 --mc-now 15 --draws 256 --today 2026-10-01"
HERE = "--place burlington"


def days_and_notes(cli, *more: str):
    found = cli.json([*FIR.split(), *HERE.split(), *more])
    days = (found["results"]["days_to_ready"] or {}).get("expected")
    return days, {note["code"]: note["text"] for note in found["warnings"]}


def test_airs_in_turn():
    """Each from its day on, carried over within the hour."""
    damp, dry = Air.steady(10.0, 80.0), Air.steady(20.0, 30.0)
    both = Air.in_turn([damp, dry], [0.0, 40.0])
    temp, emc = both.at(np.array([0.0, 39.9, 40.0 - CARRIED_DAYS, 40.0, 500.0]))
    assert temp == pytest.approx([10.0, 10.0, 10.0, 20.0, 20.0])
    assert emc == pytest.approx(emc_pct(temp, np.array([80.0, 80.0, 80.0, 30.0, 30.0])))
    # What was over before the stacking is left out.
    assert Air.in_turn([damp, dry], [0.0, -3.0]).at(np.zeros(1))[0] == pytest.approx([20.0])


def test_a_room_twice_is_the_room(cli):
    once, _ = days_and_notes(cli, "--from", "2026-10-01")
    twice, notes = days_and_notes(cli, "--dries-in", "house from=2026-10-01, house from=2026-10-20")
    assert twice == pytest.approx(once, abs=1.0)
    assert "where the top will live" in notes["DRIES_IN"]


def test_it_dries_in_the_house_once_it_is_there(cli):
    """Damp in the garage of an autumn, ready some weeks after it came in; both rooms are named."""
    weeks, notes = days_and_notes(cli, "--dries-in", "garage from=2026-10-01, house from=2026-12-01")
    moved = (date(2026, 12, 1) - date(2026, 10, 1)).days
    assert moved + 5 <= weeks <= moved + 42
    assert notes["DRIES_IN"].startswith("It dries in the garage, then the house (from 1 December 2026)")
    never, notes = days_and_notes(cli, "--dries-in", "garage")
    assert never is None or never > weeks
    assert notes["DRIES_ELSEWHERE"] == "It dries in the garage; the top will live in the house."
    _, notes = days_and_notes(cli, "--dries-in", "basement place=boston")
    assert "basement in Boston; the top will live in the house in Burlington" in notes["DRIES_ELSEWHERE"]
    assert "BASEMENT_HELD" in notes


ROW = """
[[stock.room]]
kind = "garage"
place = "boston"
from = 2026-10-01
[[stock.room]]
kind = "house"
from = 2026-12-01
"""
JOB = """[wood]
species = "douglas-fir-coast"
strips_from = "2x8"
[stock]
mc_now = "15%"
length = "8ft"
{}
[room]
place = "burlington"
"""


def test_a_job_lists_them_as_tables(cli):
    Path("job.toml").write_text(JOB.format(ROW), encoding="utf-8")
    plan = cli.results("plan job.toml --draws 256 --today 2026-10-01")
    (part,) = (part for part in plan["sections"] if part["key"] == "lumber")
    typed, _ = days_and_notes(
        cli,
        "--dries-in",
        "kind=garage place=boston from=2026-10-01, house from=2026-12-01",
        "--board-length",
        "8ft",
    )
    assert part["answer"]["results"]["days_to_ready"]["expected"] == pytest.approx(typed, abs=1.0)


@pytest.mark.parametrize(
    ("was", "now", "words"),
    [
        ('"garage"', '"attic"', "kind cannot be attic"),
        ('kind = "garage"', 'kid = "garage"', "'kid=garage' is none of kind="),
        ('"boston"', '"bostun"', "no place 'bostun'"),
        ("from = 2026-12-01", "", "each room after the first says from=DATE"),
        ("2026-12-01", "2026-09-01", "do not rise"),
    ],
)
def test_what_is_wrong_in_a_row_is_told_with_its_line(cli, was, now, words):
    Path("job.toml").write_text(JOB.format(ROW.replace(was, now)), encoding="utf-8")
    done = cli("check job.toml")
    assert done.code == 1
    assert words in done.err
    assert "job.toml:8:" in done.err


def test_no_garage_is_made_of_the_air_of_a_room(cli):
    """A logged room is used as it is; a garage beside it needs a place outdoors."""
    cli.json(["climate", "add", "my-room", "--months", ", ".join(["20C 40"] * 12)])
    line = f"{FIR} --place my-room --from 2026-10-01 --dries-in"
    refused = cli([*line.split(), "garage"])
    assert refused.code == 2
    assert "A garage is made of air outdoors" in refused.err
    assert cli([*line.split(), "garage place=burlington"]).code == 0
    # And the other way: it dries in the logged room, for a top in a house.
    _, notes = days_and_notes(cli, "--dries-in", "place=my-room")
    assert "logged room in my-room" in notes["DRIES_ELSEWHERE"]


def test_a_log_is_a_room_and_a_kind_that_is_told_for_it_changes_nothing(cli):
    """`--outdoors` alone makes outdoor air of it, and then --room names the room made of that."""
    months = ["--months", ", ".join(["5C 80"] * 12)]
    cli.json(["climate", "add", "porch", *months])
    cli.json(["climate", "add", "outside", *months, "--outdoors"])

    def codes(line: str) -> list[str]:
        return [note["code"] for note in cli.json(line)["warnings"]]

    width = "width --species hem-fir --width 30in --rings flat --mc-now 8 --draws 256"
    for line in ("climate show porch", f"{width} --place porch"):
        assert "LOGGED_ROOM" in codes(f"{line} --room garage")
        assert "LOGGED_ROOM" not in codes(line)
        assert "LOGGED_ROOM" not in codes(f"{line} --room 'dehumidify_to=50'")
    assert "LOGGED_ROOM" not in codes("climate show outside --room garage")
    (row, *_) = cli.results("climate show outside --room garage")["months"]
    assert (row["outdoor_c"], row["indoor_c"]) == pytest.approx((5.0, 8.0))
