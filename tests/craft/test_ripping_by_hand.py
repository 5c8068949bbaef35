"""The hand counts of which board to rip first, asked of woodmove."""

import tomllib
from pathlib import Path

import pytest

CASES = {
    case["id"]: case
    for case in tomllib.loads((Path(__file__).parent / "ripping.toml").read_text(encoding="utf-8"))["case"]
}
SPECIES = {
    "southern pine": "southern-pine", "Douglas-fir": "douglas-fir-coast", "hem-fir": "hem-fir",
    "Norway spruce": "norway-spruce",
}  # fmt: skip
PITHS = {
    "well off": "pith=well-off", "in it": "pith=in-it", "under the face": "pith=under-the-face",
    "in it, middle of the width": "pith=in-it pith_offset=0in",
    "1 in under the face": "pith_depth=1in", "3 in under the face": "pith_depth=3in",
    "over 6 in off, rings flat": "pith_depth=6in",
}  # fmt: skip


def told(board: dict, unit: str, *, looked: bool) -> str | None:
    """A board as it is typed; None for what no column takes: wane, and splits at the ends."""
    if "wane" in board or "split" in board:
        return None
    words = [f"name={board['id']}"]
    words.append(
        f"nominal={board['label']}" if unit == "in" else f"size={board['label'].replace('x', 'mmx')}mm"
    )
    words += [f"length={board['length']}{unit}", f"mc_now={board['moisture']}"]
    # What is not named was looked for and is not there.
    words += [f"{name}={board.get(name, 0)}{unit}" for name in ("crook", "bow", "twist") if looked]
    words += ["reaction=yes"] if board.get("dark_edge") else []
    pith = board.get("pith")
    if pith is not None and pith.endswith("in from an edge"):
        edge = float(pith.split(",")[1].split()[0])
        words.append(f"pith=in-it pith_offset={edge - board['width'] / 2}in")
    elif pith is not None:
        words.append(PITHS[pith])
    return " ".join(words)


def ask(cli, case: dict) -> dict:
    unit, strip = case["units"], case["strip"]
    boards = [text for board in case["boards"] if (text := told(board, unit, looked=case["id"] != "C5"))]
    # A board is ripped into as many strips as it gives.
    return cli.json(
        f"rip --species {SPECIES[case['wood']]} --strip-width {strip['width']}{unit} "
        f"--strip-length {strip['length']}{unit} --draws 2048 '{', '.join(boards)}'"
    )


@pytest.mark.parametrize("name", [name for name in CASES if CASES[name]["order"]])
def test_the_order_in_which_a_joiner_rips_them(cli, name):
    case = CASES[name]
    found = [row["board"] for row in ask(cli, case)["results"]["boards"]]
    for group in case["order"]:
        group = [board for board in group if board in found]
        assert set(found[: len(group)]) == set(group), found
        found = found[len(group) :]


@pytest.mark.parametrize("name", [name for name in CASES if "leave" in CASES[name]])
def test_what_stays_at_the_yard(cli, name):
    case = CASES[name]
    rows = ask(cli, case)["results"]["boards"]
    left = {row["board"] for row in rows if row["do"] in ("leave", "let it dry")}
    assert left == set(case["leave"]) & {row["board"] for row in rows}


@pytest.mark.parametrize(
    ("name", "board", "words"),
    [
        ("pith-thrown-out", "A", "One strip off each edge"),
        ("pith-thrown-out", "D", "off the edge away from the pith"),
        ("at-the-yard", "F", "One strip off each edge"),
    ],
)
def test_the_cut_that_matters(cli, name, board, words):
    (row,) = [row for row in ask(cli, CASES[name])["results"]["boards"] if row["board"] == board]
    assert words in row["cut"]
    assert not row["pith_stays"]


def test_nothing_seen_but_moisture(cli):
    """C5: no word, no rank, and what to look at."""
    answer = ask(cli, CASES["C5"])
    for row in answer["results"]["boards"]:
        assert row["rank"] is None
        assert row["risk"] is None
        assert row["do"] == "look at the end grain"
    assert answer["verdict"]["state"] == "wait"
    assert "look at the end grain" in answer["verdict"]["says"][0]["text"]


@pytest.mark.parametrize("name", ["same-crook-short-strips", "metric-crook"])
def test_a_crooked_board_is_crosscut_first(cli, name):
    notes = {note["code"]: note["text"] for note in ask(cli, CASES[name])["warnings"]}
    crooked = "B" if name == "same-crook-short-strips" else "A"
    assert f"Crosscut {crooked} before" in notes["CROSSCUT_FIRST"]


def test_a_dark_edge_wants_wedges_and_a_second_look(cli):
    answer = ask(cli, CASES["straight-but-dark-on-one-edge"])
    assert answer["verdict"]["needs"][0]["code"] == "WEDGES_READY"
