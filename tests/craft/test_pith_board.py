"""A board that holds its pith is the last that a craftsman takes from a pile: severe twist is found near the
pith (common practice, and straze-2011 and spruce-studs in the bibliography)."""

import pytest

PILE = "name=B pith_inside=yes, name=C {own}, name=D"
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
    line = f"rip --species douglas-fir-coast --nominal {size} {CUTS[size]} {told} --draws 512"
    assert ranked(cli, f"{line} --boards '{boards}'")[-1] == "B"


def test_the_demo_ranks_its_pith_board_last(cli):
    (pile,) = [row for row in cli.results("plan --demo --draws 256")["sections"] if row["key"] == "pile"]
    rows = pile["answer"]["results"]["boards"]
    assert [row["board"] for row in rows] == ["A", "D", "B", "C"]
    assert "pith in it" in rows[-1]["good_for"]


def test_a_pith_that_falls_into_the_waste_does_not_count(cli):
    """A 2x12 of 11-1/4 in, two strips of 3-1/4 in off one edge, 6-5/8 in with the kerfs. The pith lies 4 in
    past the middle, in what is left; in the other board it lies in the first strip."""
    boards = (
        "name=strip pith_depth=-3/4in pith_offset=-4in, name=waste pith_depth=-3/4in pith_offset=4in, "
        "name=wet mc_now=18 pith_depth=1in"
    )
    line = "rip --species douglas-fir-coast --nominal 2x12 --into 2 --strip-width 3-1/4in --draws 512"
    assert ranked(cli, f"{line} --boards '{boards}'")[0] == "waste"
    assert ranked(cli, f"{line} --boards '{boards}'")[-1] == "strip"
