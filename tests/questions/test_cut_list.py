"""woodmove cut-list: files and lists, both systems, what is wrong named, and the plan."""

import csv
import io
import json
from itertools import combinations
from pathlib import Path

import pytest

from woodmove.questions.cut_list import CUT_LIST

PILE = """name,nominal,length,pith,twist,crook,bad_ends
A,2x8,8ft,well off,,1/8in,2in
B,2x8,8ft,well off,,0in,1in
C,2x8,10ft,in it,,,
D,2x8,8ft,,1-1/2in,,
E,2x4,8ft,,,,
F,2x4,10ft,,,1/4in,8in
"""
PARTS = """part,width,length,count
strip,3-1/4in,46in,6
leg,3-1/2in,33in,4
rail,3-1/2in,55in,2
block,2in,9in,6
"""
ASK = "cut-list pile.csv --parts parts.csv"
LEGS = "--parts 'name=leg width=3in length=30in count=2'"


@pytest.fixture
def files():
    Path("pile.csv").write_text(PILE, encoding="utf-8")
    Path("parts.csv").write_text(PARTS, encoding="utf-8")


def test_what_comes_out_and_what_goes_back(cli, files):
    answer = cli.json(ASK)
    found = answer["results"]
    assert answer["verdict"]["state"] == "go"
    assert (found["boards_cut"], found["parts_out"], found["lacks"]) == (4, 18, [])
    assert {"C", "D"} == set(found["back"])
    assert not found["outer_strips"]  # nobody looked at the others


def test_the_straightest_go_outside_where_all_were_sighted(cli):
    boards = "name=A nominal=2x4 crook=1/4in, name=B nominal=2x4 crook=0in, name=C nominal=2x4 crook=1/8in"
    line = f"cut-list '{boards}' --parts 'name=strip width=3-1/4in length=90in count=3'"
    assert cli.results(line)["outer_strips"] == ["B", "C"]


def test_the_pieces_lie_in_their_boards_and_beside_one_another(cli, files):
    found = cli.results(ASK)
    size = {row["board"]: row for row in found["boards"]}
    assert len(found["pieces"]) == 18
    for piece in found["pieces"]:
        board = size[piece["board"]]
        assert piece["along_mm"] + piece["length_mm"] <= board["usable_mm"] + 0.01
        assert -0.01 <= piece["across_mm"] <= board["width_mm"] - piece["width_mm"] + 0.01
    for one, other in combinations(found["pieces"], 2):
        along = abs(one["along_mm"] - other["along_mm"])
        across = abs(one["across_mm"] - other["across_mm"])
        first = min(one, other, key=lambda piece: piece["along_mm"])
        near = min(one, other, key=lambda piece: piece["across_mm"])
        assert (
            one["board"] != other["board"]
            or along >= first["length_mm"] + 3
            or across >= near["width_mm"] + 3
        )


def test_the_order_of_the_cuts(cli, files):
    page = cli(ASK).out
    assert "2 of 46 in: rip 2 at 3-1/4 in" in page
    assert "2 of 55 in" in page
    assert len(page.splitlines()) <= 30


def test_csv_is_a_row_a_part(cli, files):
    rows = list(csv.DictReader(io.StringIO(cli(f"{ASK} --csv").out)))
    assert len(rows) == 18
    assert {row["part"] for row in rows} == {"strip", "leg", "rail", "block"}


def test_millimetres(cli):
    found = cli.results(
        "cut-list --units mm --kerf 3 "
        "'name=A size=45mmx145mm length=3600, name=B size=45mmx145mm length=3600' "
        "--parts 'name=rail width=145 length=1650 count=2, name=leg width=145 length=700 count=4'"
    )
    assert found["boards_cut"] == 2
    assert found["longest_left_mm"] == pytest.approx(3600 - 25.4 - 4 * 703, abs=0.1)


def test_a_bad_row_is_named_and_the_rest_is_answered(cli, files):
    Path("pile.csv").write_text(PILE + "G,2x4,8ft,,,,bent\na,2x4,8ft,,,,\n", encoding="utf-8")
    Path("parts.csv").write_text(PARTS + "nil,2in,9in,0\nshort,2in,,1\n", encoding="utf-8")
    answer = cli.json(ASK)
    wrong = " ".join(note["text"] for note in answer["warnings"] if note["code"].endswith("BAD_ROWS"))
    named = " ".join(note["text"] for note in answer["warnings"] if note["code"] == "BAD_ROW")
    assert "Line 8 of pile.csv" in named
    assert "bent" in named
    assert "1 more rows" in wrong
    assert answer["results"]["parts_out"] == 18


def test_what_lacks_and_what_to_buy(cli, files):
    answer = cli.json("cut-list pile.csv --parts 'name=beam width=3in length=100in count=3'")
    assert answer["verdict"]["state"] == "wait"
    assert answer["results"]["lacks"][0]["count"] == 2
    assert "Buy 1 more" in answer["verdict"]["says"][1]["text"]


def test_longer_than_any_board(cli, files):
    answer = cli.json("cut-list pile.csv --parts 'name=beam width=3in length=14ft'")
    assert answer["verdict"]["state"] == "stop"
    assert "169 in long" in answer["verdict"]["says"][1]["text"]


@pytest.mark.parametrize(
    ("line", "code"),
    [
        (f"cut-list {LEGS}", "NO_BOARDS"),
        ("cut-list 'name=A nominal=2x4'", "NO_PARTS"),
        ("cut-list 'name=A nominal=2x4' --parts 'name=leg width=3lb length=30in'", "BAD_ROW"),
        (
            "cut-list 'name=A nominal=2x4' --parts 'name=leg width=3in length=30in count=0'",
            "BAD_ROW",
        ),
        (f"cut-list 'name=A' {LEGS}", "BAD_ROW"),
    ],
)
def test_what_cannot_be_answered(cli, line, code):
    assert json.loads(cli(f"{line} --json").out)["error"]["code"] == code


def test_the_plan_takes_the_strips_and_the_parts(cli):
    Path("parts.csv").write_text("part,width,length,count\nleg,3-1/2in,33in,4\n", encoding="utf-8")
    Path("job.toml").write_text(
        '[job]\nname = "Bench"\nunits = "in"\n[wood]\nspecies = "hem-fir"\n'
        'strips_from = "2x8"\npith_depth = "2in"\n[room]\nmc_low = 6\nmc_high = 11\n'
        '[pile]\nstrip_width = "3-1/4in"\nboards = ["name=A", "name=B", "name=C", "name=D", "name=E"]\n'
        '[strips]\nthickness = "1-3/8in"\n[top]\nwidth = "11in"\nlength = "46in"\nthickness = "3in"\n'
        '[cut_list]\nparts = "parts.csv"\n',
        encoding="utf-8",
    )
    parts = cli.results("plan job.toml")["sections"]
    found = next(part for part in parts if part["key"] == "cut_list")
    assert found["status"] == "done"
    assert {piece["part"] for piece in found["answer"]["results"]["pieces"]} == {"strip", "leg"}


def test_boards_are_drawn_to_scale_with_their_parts():
    from woodmove.extend.api import Catalogue, Request

    values = {param.name: param.default for param in CUT_LIST.params} | {
        "pile_boards": "name=A nominal=2x4",
        "parts": "name=leg width=3-1/2in length=30in count=3",
    }
    results = CUT_LIST.run(Request(values), Catalogue()).results
    (drawing,) = CUT_LIST.draw(results, {})
    assert drawing.x is None
    assert [shape.label for shape in drawing.shapes if getattr(shape, "role", "") == "wood"] == ["leg"] * 3
