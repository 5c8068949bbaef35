"""What to buy for a top of two sizes of lumber: each in its share. Counted by hand (common practice).

28 strips, 3-1/4 in wide and 60 in long, from boards of 8 ft: one length a board. 5-1/2 in give one strip,
9-1/4 in two (2 x 3-1/4 + 1/8 = 6-5/8).
"""

import pytest

LINE = (
    "buy --species southern-pine --strips 28 --strip-width 3-1/4in --strip-length 60in --board-length 8ft "
    "--draws 512"
)
JOB = """
[wood]
species = "southern-pine"
strips_from = "2x6, 2x10"
pith_depth = "2in"
[pile]
strip_width = "3-1/4in"
[strips]
thickness = "1-1/4in"
[stock]
length = "8ft"
[top]
width = "35in"
length = "60in"
thickness = "3in"
[buy]
prices = "2x6=6, 2x10=13"
[room]
place = "burlington"
kind = "heated"
"""


@pytest.mark.parametrize(
    ("lumber", "least", "most"),
    [
        # As many of each: a third of the strips from 2x6, 28 / 3 = 9.3 boards; two thirds from 2x10,
        # 18.7 / 2 = 9.3 boards. 10 % over: 10.3, so 11 of each; 50 % over: 14 of each.
        ("2x6, 2x10", (11, 11), (14, 14)),
        # One 2x6 and two 2x10 give 1 + 4 = 5 strips: 28 / 5 = 5.6 threes. 10 % over: 6.2 and 12.3, so 7
        # and 13; 50 % over: 8.4 and 16.8, so 9 and 17.
        ("2x6:1, 2x10:2", (7, 13), (9, 17)),
    ],
)
def test_each_size_is_bought_for_its_share(cli, lumber, least, most):
    small, large = cli.results([*LINE.split(), "--stock", lumber])["purchase"]
    assert (small["size"], large["size"]) == ("2x6", "2x10")
    assert least[0] <= small["boards"] <= most[0]
    assert least[1] <= large["boards"] <= most[1]
    # At even chance fewer, and more than if nothing were lost.
    assert 28 < small["boards_even"] + 2 * large["boards_even"] < small["boards"] + 2 * large["boards"]


def test_the_money_of_each_and_in_all(cli):
    found = cli.json([*LINE.split(), "--stock", "2x6,2x10", "--prices", "2x6=6,2x10=13"])
    small, large = found["results"]["purchase"]
    assert (small["board_price"], small["price"]) == (6.0, 6.0 * small["boards"])
    assert (large["board_price"], large["price"]) == (13.0, 13.0 * large["boards"])
    assert found["results"]["cheapest_price"] == pytest.approx(small["price"] + large["price"])
    half = cli.json([*LINE.split(), "--stock", "2x6,2x10", "--prices", "2x6=6"])
    assert half["results"]["cheapest_price"] is None
    assert "NO_TOTAL" in {note["code"] for note in half["warnings"]}


def test_what_is_at_home_counts_in_its_share(cli):
    """Ten 2x6 at home: by equal shares ten 2x10 are bought before the next 2x6. 10 + 2 x 10 = 30 strips are
    7 % over, and 28 x 1.5 = 42 strips 50 %: ten to fifteen 2x10, and 2x6 only to keep pace with them."""
    home = ", ".join(f"name={number} nominal=2x6" for number in range(10))
    lines = cli.results([*LINE.split(), "--stock", "2x6,2x10", home])["purchase"]
    bought = {line["size"]: line["boards"] for line in lines}
    assert 10 <= bought["2x10"] <= 15
    assert bought.get("2x6", 0) in (bought["2x10"] - 10, bought["2x10"] - 9)


def test_the_plan_and_the_single_question_buy_alike(cli, tmp_path):
    """35 in / 1-1/4 in = 28 strips: the first case again."""
    path = tmp_path / "job.toml"
    path.write_text(JOB)
    plan = cli.json(f"plan {path} --today 2026-11-28 --draws 512")["results"]
    (section,) = [part for part in plan["sections"] if part["key"] == "buy"]
    planned = section["answer"]["results"]
    alone = cli.results(f"{LINE} --job {path}")
    assert planned["purchase"] == alone["purchase"]
    assert {line["size"] for line in planned["purchase"]} == {"2x6", "2x10"}
    assert planned["cheapest_price"] == alone["cheapest_price"] > 0
    (yard,) = [line["says"] for line in plan["card"] if line["head"] == "Yard"]
    assert "2x6" in str(yard)
    assert "2x10" in str(yard)
    # What is typed counts before the job.
    other = cli.results(f"{LINE} --job {path} --sizes 2x8 --prices 2x8=9")["purchase"]
    assert [line["size"] for line in other] == ["2x8"]


def test_a_size_that_gives_no_strip_is_refused(cli):
    done = cli([*LINE.split(), "--stock", "2x2, 2x10"])
    assert done.code == 1
    assert "2x2" in done.err
    assert "Traceback" not in done.err
