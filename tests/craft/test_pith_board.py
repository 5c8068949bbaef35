"""A board that holds its pith is the last that a craftsman takes from a pile: severe twist is found near the
pith (common practice, and straze-2011 and spruce-studs in the bibliography)."""

import pytest

PILE = "name=B pith=in-it, name=C {own}, name=D"
CUTS = {
    "2x4": "",
    "2x6": "--strip-width 2-1/2in",
    "2x8": "--into 2 --strip-width 3-1/4in",
    "2x10": "--strip-width 3-1/4in",
    "2x12": "--into resaw",
}


def ranked(cli, line: str) -> list[str]:
    return [row["board"] for row in cli.results(line)["boards"]]


@pytest.mark.parametrize("depth", ["", "0in", "1/4in", "3/4in", "2in", "5in"])
@pytest.mark.parametrize("size", CUTS)
def test_one_board_with_the_pith_in_it_and_two_without(cli, size, depth):
    """The same size and moisture, whatever is said of the pith of all boards: the pith board is the last."""
    told = f"--pith-depth {depth}" if depth else ""
    boards = PILE.format(own=f"pith_depth={depth}" if depth else "mc_now=14.5")
    line = f"rip --species douglas-fir-coast --stock {size} {CUTS[size]} {told} --draws 512"
    assert ranked(cli, f"{line} '{boards}'")[-1] == "B"


def test_the_demo_ranks_its_pith_board_last(cli):
    (pile,) = [row for row in cli.results("plan --demo --draws 256")["sections"] if row["key"] == "pile"]
    rows = pile["answer"]["results"]["boards"]
    assert rows[-1]["pith_stays"]
    assert not any(row["pith_stays"] for row in rows[:-1])


def test_the_cut_leaves_the_pith_in_the_waste_where_it_can(cli):
    """A 2x12 of 11-1/4 in, two strips of 3-1/4 in: 4-1/2 in of waste. The pith goes out 4 in off the
    middle, on either side, and in the middle. Of a 2x8 two strips leave 1/2 in: there it stays."""
    places = ("4in", "-4in", "0in")
    boards = ", ".join(
        f"name={number} pith_depth=-3/4in pith_offset={place} nominal={size}"
        for number, (size, place) in enumerate([*(("2x12", p) for p in places), ("2x8", "0in")])
    )
    line = "rip --species douglas-fir-coast --into 2 --strip-width 3-1/4in --draws 512"
    rows = {row["board"]: row for row in cli.results(f"{line} '{boards}'")["boards"]}
    assert [rows[name]["pith_stays"] for name in "0123"] == [False, False, False, True]
    assert "away from the pith" in rows["0"]["cut"]
    assert "away from the pith" in rows["1"]["cut"]
    assert "off each edge" in rows["2"]["cut"]
    assert list(rows)[-1] == "3"
