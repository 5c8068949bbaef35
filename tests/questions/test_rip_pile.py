"""woodmove rip PILE.csv: a pile ranked, bad rows named, the rest learned from a first cut; and in a plan."""

import csv
import io
from pathlib import Path

import numpy as np
import pytest

from woodmove.advice.boards import ranking as pile_advice
from woodmove.extend.api import Catalogue, Refusal, Request
from woodmove.files.pieces.pile import PILE_TABLE as TABLE
from woodmove.files.pieces.table import pieces_of_text, read_pieces
from woodmove.questions.rip import RIP

RANK = "rip pile.csv --species hem-fir --draws 256"
PILE = """board,nominal,length,mc_now,pith_depth,crook,bow,slope
calm,2x8,8ft,9,5in,0in,0in,1 in 40
fair,2x8,8ft,12,3in,1/8in,1/4in,
core,2x8,8ft,13,-3/4in,,,
wet,2x8,8ft,22%,3in,,,
"""
BAD = """board,nominal,length,crook
good,2x8,8ft,0in
word,2x8,8ft,bent
size,2x7,8ft,
far,2x8,80ft,
late,2x8,8ft,1/4in,surplus
also good,2x6,8ft,
"""


def write(text: str, name: str = "pile.csv") -> None:
    with open(name, "w", encoding="utf-8") as file:
        file.write(text)


def test_the_calmest_first_and_the_pith_last(cli):
    write(PILE)
    rows = cli.results(RANK)["boards"]
    assert [row["rank"] for row in rows] == [1, 2, 3, 4]
    assert [row["board"] for row in rows] == ["calm", "fair", "core", "wet"]
    assert [row["pith_stays"] for row in rows] == [False, False, True, False]
    assert rows[-1]["do"] == "let it dry"
    for row in rows:
        for mode in ("twist_deg", "lift_mm", "crook_mm", "bow_mm", "cup_mm"):
            assert 0 <= row[mode]["low"] <= row[mode]["expected"] <= row[mode]["high"]


def test_warnings_name_the_boards(cli):
    write(PILE)
    found = {note["code"]: note["text"] for note in cli.json(RANK)["warnings"]}
    assert "core" in found["PITH_ASIDE_UNKNOWN"]
    assert "wet" in found["WET_BOARD"]


def test_a_bad_row_is_named_by_its_line_and_the_rest_is_ranked(cli):
    write(BAD)
    answer = cli.json(RANK)
    assert [row["board"] for row in sorted(answer["results"]["boards"], key=lambda r: r["line"])] == [
        "good", "also good",
    ]  # fmt: skip
    assert [row["line"] for row in answer["results"]["bad_rows"]] == [3, 4, 5, 6]
    texts = " ".join(note["text"] for note in answer["warnings"])
    for words in ("Line 3", "'bent'", "2x7", "80ft", "Line 6"):
        assert words in texts
    page = cli(RANK)
    assert page.code == 0
    assert "Line 4 of pile.csv" in page.out


def test_a_pile_of_bad_rows_only_leaves_the_rest_of_a_plan(cli):
    write("board,nominal\na,2x7\nb,3y4\n")
    write(
        '[wood]\nspecies = "hem-fir"\n[pile]\nboards = "pile.csv"\n[plan]\nsections = ["wood", "pile"]\n',
        "job.toml",
    )
    done = cli("plan job.toml --json")
    assert done.code == 1
    wood, pile = done.json["results"]["sections"]
    assert (wood["status"], pile["status"]) == ("done", "failed")
    for line in (2, 3):
        assert f"pile.csv:{line}" in pile["reason"]
        assert f"pile.csv:{line}: " in cli("check job.toml").err


def test_a_pile_of_bad_rows_only_is_refused_with_all_lines(cli):
    write("board,nominal\na,2x7\nb,3y4\n")
    done = cli(RANK)
    assert done.code == 1
    assert "pile.csv:2" in done.err
    assert "pile.csv:3" in done.err
    assert len(cli(RANK, "--json").json["errors"]) == 2


def test_a_row_whose_board_is_too_narrow_is_a_bad_row(cli):
    write("board,nominal\nwide,2x10\nnarrow,2x4\n")
    found = cli.results(f"{RANK} --into 2 --strip-width 4in")
    assert [row["board"] for row in found["boards"]] == ["wide"]
    assert "narrow" not in str(found["boards"])
    assert "wider than a 2x4" in found["bad_rows"][0]["wrong"]


def test_a_board_from_which_nothing_can_be_cut_is_named_and_left_out(cli):
    write("board,nominal,length,pith\na,2x8,8ft,well off\nshort,2x8,4ft,\nA,2x8,8ft,in it\n")
    answer = cli.json(f"{RANK} --into 2 --strip-length 5ft")
    assert [row["board"] for row in answer["results"]["boards"]] == ["a"]
    texts = " ".join(note["text"] for note in answer["warnings"] if note["code"] == "BAD_ROW")
    assert "Line 3" in texts
    assert "48 in" in texts
    assert "Line 4" in texts
    assert "listed already" in texts


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "no boards"),
        ("nominal,colour\n2x8,red\n", "'colour'"),
        ("nominal,nominal\n2x8,2x8\n", "two columns"),
    ],
)
def test_a_table_that_is_none(cli, text, words):
    write(text)
    done = cli(RANK)
    assert done.code == 1
    assert words in done.err


def test_a_missing_file(cli):
    assert "no file" in cli("rip lost.csv --species hem-fir").err


def test_cells_left_empty_take_what_the_command_says(cli):
    write("board,mc_now,crook\ndry,,0in\nwet,20,0in\n")
    rows = {r["board"]: r for r in cli.results(f"{RANK} --stock 2x8 --mc-now 8")["boards"]}
    assert rows["dry"]["crook_mm"]["high"] < rows["wet"]["crook_mm"]["high"]


@pytest.mark.parametrize(
    ("own", "shared"),
    [
        ("pith=in-it", "--pith-depth 2in"),
        ("pith=well-off", "--pith-depth 1in"),
        ("pith_depth=3in", "--pith-depth 1in"),
        ("pith_offset=1in", "--pith-depth 1in"),
        ("ring_radius=2in", "--pith-depth 1in"),
        ("nominal=2x6", "--stock '1in x 9in'"),
        ("size=38x140mm", "--stock 2x12"),
        ("mc_now=9", "--mc-now 20"),
        ("mc_core=12 mc_shell=10", "--mc-now 20"),
    ],
)
@pytest.mark.parametrize("kind", ["list", "file", "one board"])
def test_what_a_board_says_of_a_fact_replaces_all_that_is_said_of_all_boards(cli, own, shared, kind):
    """Said for all boards or not: the board is reckoned the same, and one that says nothing takes it."""
    size = "" if own.startswith(("nominal", "size")) else "--stock 2x8"
    keys, cells = zip(*(pair.split("=") for pair in own.split()), strict=True)
    write(f"board,{','.join(keys)}\nA,{','.join(cells)}\nB,{','.join(cells)}\n")
    lists = {"file": "pile.csv", "list": f"'name=A {own}, name=B {own}'", "one board": f"'name=A {own}'"}

    def row(more: str) -> dict[str, object]:
        line = f"rip {lists[kind]} --species hem-fir --draws 256 --into 2 {size} {more}"
        found = cli.results(line)
        return found if kind == "one board" else found["boards"][0]

    assert row(shared) == row("")


def test_a_pith_in_the_board_and_below_it_is_a_bad_row(cli):
    found = cli.results(
        "rip --species hem-fir --stock 2x8 --draws 256 "
        "'name=A pith=in-it pith_depth=2in, name=B pith=in-it pith_depth=-1/2in'"
    )
    assert [row["board"] for row in found["boards"]] == ["B"]
    assert "in the board, and 2 in (50.8 mm) below" in found["bad_rows"][0]["wrong"]


def test_csv_prints_the_boards(cli):
    write(PILE)
    rows = list(csv.DictReader(io.StringIO(cli(RANK, "--csv").out)))
    assert [row["rank"] for row in rows] == ["1", "2", "3", "4"]
    assert {"board", "risk", "twist_deg_low", "good_for"} <= set(rows[0])


def test_the_first_cut_of_one_board_tells_of_the_rest(cli):
    rest = "board,nominal,crook,kerf_closed,kerf_at\nB,2x8,0in,,\nC,2x8,0in,,\n"
    cut = f"{RANK} --into 2 --draws 4096"
    write(rest)
    before = cli.results(cut)
    write(rest + "A,2x8,,1/8in,30in\nD,2x8,,1/8in,30in\nE,2x8,,1/4in,30in\n")
    after = cli.results(cut)
    assert after["learned_from"] == "A, D"
    assert "at most its width" in after["bad_rows"][0]["wrong"]
    assert sorted(row["board"] for row in after["boards"]) == ["B", "C"]
    assert before["boards"][0]["kerf_closes_chance_pct"] is None
    assert after["boards"][0]["kerf_closes_chance_pct"] > 50
    strain = after["edge_strain_millionths"]
    assert strain["after"]["expected"] < strain["before"]["expected"] < 0
    assert (
        strain["after"]["high"] - strain["after"]["low"] < strain["before"]["high"] - strain["before"]["low"]
    )


def test_a_pile_that_has_all_been_cut(cli):
    write("board,nominal,kerf_closed,kerf_at\nA,2x8,1/8in,4ft\nB,2x8,1/8in,4ft\n")
    assert "no rest" in cli(f"{RANK} --into 2").err
    assert "--into" in cli(RANK).err


def test_boards_in_one_text():
    pile = pieces_of_text("name=A pith_depth=1-1/2in, name=B pith=in-it mc_now=bad", "a list", TABLE)
    assert [row.values["name"] for row in pile.rows] == ["A"]
    assert pile.rows[0].values["pith_depth_mm"] == pytest.approx(38.1)
    assert [fault.line for fault in pile.faults] == [2]
    with pytest.raises(Refusal, match="colour"):
        pieces_of_text("name=A colour=red", "a list", TABLE)


def test_a_value_in_one_text_may_have_blanks():
    (row,) = pieces_of_text("slope=1 in 12 right pith=well off name=front left", "a list", TABLE).rows
    assert row.values["slope_deg"] == pytest.approx(-4.76, abs=0.005)
    assert (row.values["pith_place"], row.values["name"]) == ("well-off", "front left")


@pytest.mark.parametrize("kind", ["text", "file"])
def test_one_row_is_told_as_one_board(cli, kind):
    """The strips of one board, not a ranking of one; and the board that says nothing is the one that is told
    by options alone."""
    write("board,kerf_closed,kerf_at\nA,1/16in,4ft\n")
    told = {"text": "'name=A kerf_closed=1/16in kerf_at=4ft'", "file": "pile.csv"}[kind]
    found = cli.results(f"rip {told} --species hem-fir --stock 2x8 --into 2 --draws 256")
    assert len(found["strips"]) == 2
    assert found["kerf"]["closes_chance_pct"] > 0
    rest = "--species hem-fir --stock 2x8 --into 2 --draws 256 --pith-depth 2in"
    assert cli.results(f"rip name=A {rest}") == cli.results(f"rip {rest}")


def test_a_pile_file_is_read_with_blank_lines_and_any_case(tmp_path):
    file = tmp_path / "pile.csv"
    file.write_text("\ufeffBoard, Nominal ,MC now\n\nA,2x8,12%\n", encoding="utf-8")
    (row,) = read_pieces(str(file), TABLE).rows
    assert row.line == 3
    assert row.values["stock_mc_pct"] == 12.0


# In a plan.

JOB = """[job]
name = "shelf"
[wood]
species = "hem-fir"
strips_from = "2x8"
[room]
mc_low = 6
mc_high = 9
[plan]
sections = ["pile"]
"""


def test_the_plan_ranks_the_pile_with_its_warnings(cli):
    write(JOB + '[pile]\ninto = 2\nboards = ["name=A pith_depth=3in", "name=B pith=in-it"]\n', "job.toml")
    done = cli("plan job.toml --draws 256 --details")
    assert done.code == 0, done.err
    assert "The pile, before the saw" in done.out
    assert "The pith is in B" in done.out
    (section,) = cli.results("plan job.toml --draws 256")["sections"]
    assert [row["board"] for row in section["answer"]["results"]["boards"]] == ["A", "B"]


def test_a_plan_reads_the_pile_file(cli):
    write(PILE)
    write(JOB + '[pile]\nboards = "pile.csv"\n', "job.toml")
    assert "calm" in cli("plan job.toml --draws 256 --details").out


def test_a_job_without_a_pile_skips_it_with_the_reason(cli):
    write(JOB, "job.toml")
    assert "(pile.boards)" in cli("plan job.toml --draws 256").out


# Many boards.


def test_a_large_pile_gets_fewer_draws_each(tmp_path):
    rng = np.random.default_rng(1)
    file = tmp_path / "pile.csv"
    depths, crooks = rng.normal(2.0, 1.5, 1000).clip(-1.4), rng.integers(0, 9, 1000)
    lines = [f"b{i},2x8,{d:.2f}in,{c}/16in" for i, (d, c) in enumerate(zip(depths, crooks, strict=True))]
    file.write_text("board,nominal,pith_depth,crook\n" + "\n".join(lines) + "\n", encoding="utf-8")
    values = {param.name: param.default for param in RIP.params}
    values |= {"pile_boards": str(file), "species": "hem-fir", "into": 2}
    answer = RIP.run(Request(values), Catalogue())
    assert len(answer.results.boards) == 1000
    assert pile_advice.draws_for(1000, 8192) == 2000
    assert pile_advice.draws_for(10_000, 8192) == 200
    assert pile_advice.draws_for(3, 500) == 500


def test_boards_are_ranked_alike_alone_and_among_others(tmp_path):
    """Blocks and padding change nothing: the same draws give the same Ranges."""

    def ranges(*names: str) -> dict[str, object]:
        boards = {"A": ("2x10", "1in"), "B": ("2x6", "3in"), "C": ("2x8", "-1/2in"), "D": ("2x8", "2in")}
        told = [(name, *boards[name]) for name in (*names, "D")]
        text = ", ".join(f"name={name} nominal={size} pith_depth={depth}" for name, size, depth in told)
        values = {param.name: param.default for param in RIP.params}
        values |= {"pile_boards": text, "species": "hem-fir", "strip_width_mm": 60.0}
        rows = RIP.run(Request(values, 500), Catalogue()).results.boards
        return {row.board: row.twist_deg for row in rows}

    together = ranges("A", "B", "C")
    for name in "ABC":
        assert ranges(name)[name] == together[name]


# A pile of several sizes.

MIXED = "rip --species hem-fir --strip-width 3-1/4in --strip-length 40in --draws 512"
BOARDS = {
    "a": "nominal=2x4 length=8ft pith=well-off",
    "b": "nominal=2x12 length=8ft pith=well-off",
    "c": "nominal=2x6 length=4ft pith_depth=1in",
    "d": "nominal=2x10 length=12ft pith_depth=3in crook=1/4in",
}


def of(cli, *names: str) -> dict[str, dict]:
    """The rows of a pile of these boards and of one that nobody saw."""
    boards = ", ".join(["name=unseen nominal=2x4", *(f"name={name} {BOARDS[name]}" for name in names)])
    return {row["board"]: row for row in cli.results(f"{MIXED} '{boards}'")["boards"]}


def test_each_board_of_a_mixed_pile_gives_the_strips_of_its_own_size(cli):
    """3-1/4 in across: one of 3-1/2 and of 5-1/2 in, two of 9-1/4 in, three of 11-1/4 in. 40 in along: two
    of 8 ft, one of 4 ft, three of 12 ft."""
    rows = of(cli, *BOARDS)
    assert {name: rows[name]["strips"] for name in BOARDS} == {"a": 2, "b": 6, "c": 1, "d": 6}
    boards = ", ".join(f"name={name} {told}" for name, told in BOARDS.items())
    assert cli.results(f"{MIXED} '{boards}'")["strips_expected"] <= 2 + 6 + 1 + 6
    # Calm boards of which nearly every strip cleans up: no more than there are, and hardly fewer.
    calm = f"{MIXED} 'name=a {BOARDS['a']}, name=b {BOARDS['b']}'"
    assert cli.results(calm)["strips_expected"] in (7, 8)


@pytest.mark.parametrize("others", ["a", "b", "abc"])
def test_a_board_is_the_same_among_boards_of_other_sizes(cli, others):
    for name in BOARDS:
        alone, among = of(cli, name)[name], of(cli, *dict.fromkeys((*others, name)))[name]
        for key in alone.keys() - {"rank", "line"}:
            if isinstance(alone[key], dict):
                sizes = ("low", "expected", "high")
                assert [among[key][size] for size in sizes] == pytest.approx([alone[key][s] for s in sizes])
            else:
                assert among[key] == alone[key]


def test_the_narrowest_strip_of_a_pile_wants_its_push_stick(cli):
    """Halves of a 2x14 are over 6 in wide, those of a 2x4 are not: whichever stands first."""
    boards = ["name=a nominal=2x14", "name=b nominal=2x4"]
    for order in (boards, boards[::-1]):
        found = cli.json(f"rip --species hem-fir --into 2 --draws 256 '{', '.join(order)}'")
        assert "PUSH_STICK" in {note["code"] for note in found["cautions"]}


def test_what_all_boards_have_alike_is_said_as_a_foreman_says_it(cli):
    boards = ", ".join(f"name={name} nominal=2x8 pith=well-off" for name in "abc")
    page = cli(f"{RANK.replace('pile.csv', '')} --into 2 --strip-length 40in '{boards}'").out
    assert "The same for all 3. Strips: 4. Risk: low. Do: rip." in " ".join(page.split())
    assert "Of all" not in page


def test_a_pith_that_no_cut_throws_out_is_called_no_waste(cli):
    """Two strips of 3-1/4 in leave 1/2 in of a 2x8: the pith in its middle stays. In a 2x12 it goes out."""
    told = "pith_depth=-3/4in pith_offset=0in"
    line = f"{MIXED} --into 2 'name=stays nominal=2x8 {told}, name=goes nominal=2x12 {told}'"
    answer = cli.json(line)
    rows = {row["board"]: row for row in answer["results"]["boards"]}
    assert rows["stays"]["pith_stays"]
    assert "waste" not in rows["stays"]["cut"]
    assert "The pith stays in a strip." in rows["stays"]["cut"]
    assert not rows["goes"]["pith_stays"]
    assert "The middle is waste." in rows["goes"]["cut"]
    (text,) = [note["text"] for note in answer["warnings"] if note["code"] == "PITH_INSIDE"]
    assert "stays" in text
    assert "goes" not in text
    for size, words in (("2x8", "twist most"), ("2x12", "leaves it in the waste")):
        alone = cli.results(f"{MIXED} --into 2 'nominal={size} {told}'")
        assert words in str(alone["reasons"])
        assert ("waste" in str(alone["cut"])) == (size == "2x12")


def test_a_board_that_is_left_out_is_told_before_the_saw_starts(cli):
    Path("pile.csv").write_text(
        'name,nominal,mc_now,pith\nA,2x8,13,well-off\nB,2x8,"14,5",well-off\n', encoding="utf-8"
    )
    needs = cli.json("rip pile.csv --species hem-fir --into 2 --draws 128")["verdict"]["needs"]
    assert "line 3 of the pile mended" in needs[-1]["text"]
    typed = cli("rip 'name=A mc_now=14,5' --species hem-fir --stock 2x8 --into 2")
    assert "is that a decimal comma?" in typed.err
    assert cli("rip 'name=A pith=well-of, name=B' --species hem-fir --stock 2x8 --into 2").code == 1
