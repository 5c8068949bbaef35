"""A yard had some good 2x6 and some good 2x10: each board counts by its own width (common practice)."""

from datetime import date

PILE = (
    "rip --species southern-pine --into 2 --strip-width 3-1/4in --strip-length 60in --draws 256 "
    "'name=A nominal=2x10 pith_depth=4in, name=B nominal=2x6 pith_depth=4in, name=C nominal=2x2'"
)
WET = """
[job]
people = 2
build_date = 2027-02-20
[wood]
species = "southern-pine"
strips_from = "2x10"
pith_depth = "2in"
[stock]
mc_now = "15%"
from = 2026-11-28
length = "8ft"
[pile]
strip_width = "3-1/4in"
[strips]
width = "24in"
thickness = "1-1/4in"
planer = "13in"
[glue]
clamps = 14
[top]
length = "85in"
thickness = "3in"
[room]
place = "atlanta"
kind = "garage"
[base]
material = "steel"
"""


def test_a_narrower_board_gives_what_its_width_gives(cli):
    """3-1/4 in and a kerf: 9-1/4 in give two, 5-1/2 in one, 1-1/2 in none."""
    found = cli.json(PILE)
    assert {row["board"]: row["strips"] for row in found["results"]["boards"]} == {"A": 2, "B": 1}
    assert [row["line"] for row in found["results"]["bad_rows"]] == [3]
    one = cli("rip --species southern-pine --stock 2x6 --into 2 --strip-width 3-1/4in")
    assert (one.code, "yields 1 of them" in one.err) == (1, True)


def test_a_glue_up_that_is_forbidden_has_no_day(cli, tmp_path):
    """Ready within 2 points of 10 % is 12 %, and the glue takes 11 % at most: no day to glue is named."""
    path = tmp_path / "job.toml"
    path.write_text(WET)
    found = cli.json(f"plan {path} --today 2026-11-28 --draws 256")
    assert found["verdict"]["state"] == "stop"
    assert "Do not glue strips" in found["verdict"]["says"][0]["text"]
    dated = [row for row in found["results"]["checks"] if row["date"] and date.fromisoformat(row["date"])]
    assert not [row for row in dated if row["key"].startswith(("glue-up", "flatten"))]
    assert "NO_DAY_KNOWN" in {note["code"] for note in found["warnings"]}
    heads = [line["head"] for line in found["results"]["card"]]
    assert "Flat" not in heads
    assert "Fix" in heads
