"""woodmove lay-up: the order of given strips, what is left out, and what it gains."""

import shlex
from pathlib import Path

import numpy as np
import pytest

from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top import layup
from woodmove.domain.season import Season
from woodmove.domain.strip import Laid, Strip
from woodmove.extend.catalogue import Catalogue

FEW = "--draws 512"
BASE = f"lay-up --species douglas-fir-coast --thickness 3in --mc-low 6 --mc-high 10 {FEW}"
MIXED = "name=a mc=7, name=b mc=9, name=c mc=7.2, name=d mc=8.8, name=e mc=7.4, name=f mc=8.5"


def lay(cli, strips: str, *more: str):
    return cli.json([*BASE.split(), strips, *more])


def moved_mm(*strips: Strip) -> np.ndarray:
    """What half a top of 3 in of each strip does between 6 and 10 %, shape (2, strips)."""
    lamination = layup.Lamination(Catalogue().wood("douglas-fir-coast"), 76.2, 38.1)
    mc = np.array([strip.mc_pct for strip in strips])
    season = Season.between(6, 10)
    return 0.5 * 76.2 * layup.swellings(strips, mc, lamination, season, Draws(2)).central


def codes(answer) -> set[str]:
    return {note["code"] for note in answer["warnings"]}


def row_of(answer, words: str):
    return next(row for row in answer["results"]["orders"] if row["order"] == words)


def test_every_strip_once_and_neighbours_alike(cli):
    found = lay(cli, MIXED)
    places = found["results"]["laid"]
    assert sorted(row["strip"] for row in places) == list("abcdef")
    mc = [row["mc_pct"] for row in places]
    assert mc in (sorted(mc), sorted(mc, reverse=True))
    assert (
        row_of(found, "laid up")["worst_step_mm"]["expected"]
        < row_of(found, "as listed")["worst_step_mm"]["expected"]
    )


def test_a_step_by_hand():
    """Two flat-sawn strips on edge, 3 in deep, 1 point apart: the whole step is 76.2 mm times 0.00267
    (Wood handbook Table 13-5, Douglas-fir, tangential) times 1 %; half of it on each face."""
    one, other = moved_mm(Strip("a", 8.0, 0.0), Strip("b", 9.0, 0.0)).T
    assert one - other == pytest.approx([76.2 * 0.00267 * 1.0 / 2] * 2)


def test_the_last_strip_has_no_step(cli):
    (seam, last) = lay(cli, "name=a mc=8 rings=flat, name=b mc=9 rings=flat")["results"]["laid"]
    assert last["next_step_mm"] is None
    # Readings and wood that scatter make it more than that, as often as not.
    assert seam["next_step_mm"]["low"] < seam["next_step_mm"]["expected"] < seam["next_step_mm"]["high"]


def test_grain_alone_makes_a_step():
    """The same wetness, one flat-sawn and one quarter-sawn: from 8 down to 6 %, the difference of the
    coefficients."""
    one, other = moved_mm(Strip("a", 8.0, 0.0), Strip("b", 8.0, 90.0)).T
    assert other - one == pytest.approx(76.2 * (0.00267 - 0.00165) / 2 * np.array([2.0, -2.0]))


def test_a_pith_tells_the_rings():
    flat, under, aside = moved_mm(
        Strip("a", 8.0, 0.0),
        Strip("b", 8.0, pith_depth_mm=50.8, pith_offset_mm=0.0),
        Strip("c", 8.0, pith_depth_mm=50.8, pith_offset_mm=76.2),
    )[1]
    assert abs(under - flat) < abs(aside - flat)


def test_crooks_are_turned_to_cancel(cli):
    found = lay(cli, "name=a mc=8 crook=1/16in, name=b mc=8 crook=1/16in, name=c mc=8 crook=1/16in, "
                     "name=d mc=8 crook=1/16in")  # fmt: skip
    marks = [row["mark"] for row in found["results"]["laid"]]
    assert marks in (["up", "down"] * 2, ["down", "up"] * 2)
    assert row_of(found, "laid up")["crook_left_mm"] == pytest.approx(0)
    assert row_of(found, "as listed")["crook_left_mm"] == pytest.approx(25.4 / 16)


def test_the_best_faces_are_turned_out(cli):
    found = lay(
        cli, "name=a mc=8 defect=up, name=b mc=8 defect=down, name=c mc=8 defect=left+right, name=d mc=8"
    )
    rows = {row["strip"]: row for row in found["results"]["laid"]}
    assert rows["a"]["mark"] == "down"
    assert rows["b"]["mark"] == "up"
    assert rows["c"]["place"] in (2, 3)
    assert not any(row["shows"] for row in rows.values())


def test_a_defect_that_cannot_be_hidden_is_told(cli):
    found = lay(cli, "name=a mc=8 defect=up+down, name=b mc=8")
    assert "a defect on the show face" in [row["shows"] for row in found["results"]["laid"]]


@pytest.mark.parametrize(
    "strips",
    [
        "name=a mc=8 grain=away, name=b mc=8 grain=toward, name=c mc=8 grain=away",
        # Strips that nobody read between them, and defects that keep some from being turned over.
        "name=a mc=8 grain=away defect=down, name=b mc=8, name=c mc=8 grain=toward defect=down, name=d mc=8, "
        "name=e mc=8 grain=away defect=down",
    ],
)
def test_the_grain_of_the_show_faces_runs_one_way(cli, strips):
    found = lay(cli, strips)["results"]["laid"]
    assert len({row["plane"] for row in found if row["plane"]}) == 1
    assert not any(row["shows"] for row in found)


def test_strips_from_the_same_side_of_their_pith_are_turned_by_turns(cli):
    """All alike, each with its outer edge up: laid so, the top would cup as its rings do."""
    found = lay(cli, ", ".join(f"name={n} mc=8 pith_depth=1-1/2in pith_offset=1-1/2in" for n in "abcd"))
    marks = [row["mark"] for row in found["results"]["laid"]]
    assert marks in (["up", "down"] * 2, ["down", "up"] * 2)


@pytest.mark.parametrize("mark_up", [True, False])
@pytest.mark.parametrize("turned", [True, False])
def test_a_strip_lies_in_one_of_four_ways(mark_up, turned):
    """Rotations of a block, as matrices: which end is near follows from the other two."""
    x, y, z = np.eye(3)
    about = {"length": np.diag([1, -1, -1]), "height": np.diag([-1, -1, 1]), "across": np.diag([-1, 1, -1])}
    for rotation in (np.eye(3), *about.values()):
        up = (rotation @ z)[2] > 0
        left_is_right = (rotation @ y)[1] < 0
        if (up, left_is_right) == (mark_up, turned):
            assert Laid(0, mark_up, turned).marked_end_near == ((rotation @ x)[0] > 0)


def test_wet_and_crooked_strips_are_left_out(cli):
    found = lay(cli, MIXED + ", name=wet mc=13, name=bent mc=8 crook=1/4in")
    assert [row["strip"] for row in found["results"]["set_aside"]] == ["wet", "bent"]
    assert found["results"]["strip_count"] == 6
    assert "SET_ASIDE" in codes(found)


def test_two_halves_of_a_pile_that_differ_are_told_and_not_left_out(cli):
    found = lay(cli, "name=a mc=7, name=b mc=7, name=c mc=12, name=d mc=12")
    assert not found["results"]["set_aside"]
    assert "PAIR_APART" in codes(found)


def test_two_points_apart_is_allowed(cli):
    assert "PAIR_APART" not in codes(lay(cli, "name=a mc=7, name=b mc=9"))
    assert "PAIR_APART" in codes(lay(cli, "name=a mc=7, name=b mc=9.1"))


def test_strips_far_from_their_service_are_told(cli):
    assert "FAR_FROM_SERVICE" in codes(lay(cli, "name=a mc=12, name=b mc=12"))
    assert "FAR_FROM_SERVICE" not in codes(lay(cli, "name=a mc=8, name=b mc=8"))


def test_sections(cli):
    found = lay(cli, MIXED, "--planer", "5in", "--strip-thickness", "1-1/2in")["results"]["laid"]
    assert [row["section"] for row in found] == [1, 1, 1, 2, 2, 2]


def test_a_file_is_the_list(cli):
    Path("strips.csv").write_text(
        "strip,mc,rings,crook,defect\na,7,flat,1/16in,up\nb,9,30,,\nc,7.5,quarter,-1/16in,none\n",
        encoding="utf-8",
    )
    text = "name=a mc=7 rings=flat crook=1/16in defect=up, name=b mc=9 rings=30, " \
           "name=c mc=7.5 rings=quarter crook=-1/16in"  # fmt: skip
    one = cli.json([*BASE.split(), "strips.csv"])["results"]
    other = lay(cli, text)["results"]
    assert one["laid"] == other["laid"]


def test_bad_rows_are_named_and_left_out(cli):
    Path("strips.csv").write_text(
        "strip,mc,rings,pith_depth\na,7,flat,\nb,wet,,\nc,8,120,\nd,8,,\ne,8,flat,1in\n", encoding="utf-8"
    )
    found = cli.json([*BASE.split(), "strips.csv"])
    assert [row["line"] for row in found["results"]["bad_rows"]] == [3, 4, 6]
    assert found["results"]["strip_count"] == 2


@pytest.mark.parametrize(
    ("headings", "hint"),
    [
        ("strip,moisture,crok", "crook for crok"),
        ("strip,frobnication", "Rename it or take it out"),
        ("strip;mc;crook", "commas"),
        ("strip,mc,mc", ""),
        ("strip,mc,", "no comma after the last"),
    ],
)
def test_headings_that_are_none_are_all_named(cli, headings, hint):
    Path("strips.csv").write_text(f"{headings}\na,7,\n", encoding="utf-8")
    error = cli([*BASE.split(), "strips.csv", "--json"]).json["error"]
    assert error["code"] == "UNKNOWN_COLUMN"
    assert hint in error["hint"]
    for heading in {"moisture", "crok", "frobnication"} & set(headings.split(",")):
        assert repr(heading) in error["text"]


def test_rows_tell_on_stderr_what_they_leave_out(cli):
    done = cli([*BASE.split(), "name=a mc=7, name=b mc=8, name=c mc=7, name=d mc=13", "--csv"])
    assert done.code == 0
    assert len(done.out.splitlines()) == 4
    assert "d" in done.err
    assert all(line.startswith("woodmove: ") for line in done.err.splitlines())


def test_strips_alike_are_laid_as_they_come(cli):
    found = lay(cli, "name=a mc=8 rings=flat, name=b mc=8 rings=flat, name=c mc=8 rings=flat")
    assert [row["strip"] for row in found["results"]["laid"]] == ["a", "b", "c"]
    assert [note["code"] for note in found["verdict"]["says"]] == ["AS_THEY_COME"]


@pytest.mark.parametrize(
    ("strips", "said"),
    [
        (MIXED, ["IN_THIS_ORDER"]),
        # A pass of the planer takes such crooks off anyhow, and a hand feels nothing of such leans: no turns.
        ("name=a mc=8 crook=1/64in, name=b mc=8 crook=1/64in", ["AS_THEY_COME"]),
        ("name=a mc=8 pith_depth=3in pith_offset=1in, name=b mc=8 pith_depth=3in pith_offset=1in",
         ["AS_THEY_COME"]),
        # What shows, and what bends the whole, still counts.
        ("name=a mc=8 defect=up, name=b mc=8", ["AS_THEY_COME", "TURN"]),
        ("name=a mc=8 bow=1/8in, name=b mc=8 bow=1/8in", ["AS_THEY_COME", "TURN_ENDS"]),
        ("name=a mc=8 crook=1/8in, name=b mc=8 crook=1/8in", ["AS_THEY_COME", "TURN"]),
    ],
)  # fmt: skip
def test_it_is_said_where_the_order_hardly_matters_and_no_idle_turn_is_asked_for(cli, strips, said):
    assert [note["code"] for note in lay(cli, strips)["verdict"]["says"]] == said


def test_only_the_turn_that_hides_a_defect_is_asked_for(cli):
    """Crooks of 1/64 in are no reason to turn the other two."""
    found = lay(cli, "name=a mc=8 defect=up crook=1/64in, name=b mc=8 crook=1/64in, name=c mc=8 crook=1/64in")
    assert [row["mark"] for row in found["results"]["laid"]] == ["down", "up", "up"]


def test_the_order_counts_from_what_a_hand_feels_on(cli):
    """Flat-sawn strips 3 in deep of 8 and of 8.2 %: 38.1 mm x 0.00267 x 0.2 = 0.02 mm; 0.003 in is 0.076."""
    near = ", ".join(f"name={n} mc={8 + 0.2 * (n % 2)} rings=flat" for n in range(6))
    far = ", ".join(f"name={mc} mc={mc} rings=flat" for mc in (6.5, 9.5, 7.1, 8.9, 7.7, 8.3))
    assert lay(cli, near)["verdict"]["says"][0]["code"] == "AS_THEY_COME"
    assert lay(cli, far)["verdict"]["says"][0]["code"] == "IN_THIS_ORDER"


def test_twist_is_read_keeps_a_strip_from_the_edges_and_is_left_out_beyond_what_clamps_take(cli):
    """3 degrees over a strip 3 in wide lift a corner by 3 in x sin 3 degrees = 0.157 in."""
    alike = "name=a mc=8 twist=1/8in, name=b mc=9.5, name=c mc=8, name=d mc=9.5, name=e mc=8.1"
    found = lay(cli, f"{alike}, name=z mc=8 twist=0.17in")
    assert [row["strip"] for row in found["results"]["set_aside"]] == ["z"]
    assert "twist" in found["results"]["set_aside"][0]["why"]
    laid = [row["strip"] for row in found["results"]["laid"]]
    assert "a" in laid[1:-1]
    assert "TWIST_STAYS" in {note["code"] for note in found["assumptions"]}


def test_strips_are_as_thick_as_planed(cli):
    found = lay(cli, MIXED, "--strip-thickness", "1-3/8in")
    assert found["results"]["strip_thickness_mm"] == pytest.approx(1.375 * 25.4)


@pytest.mark.parametrize(
    ("arguments", "code", "says"),
    [
        ([], 2, "NO_STRIPS"),
        (["name=a mc=8"], 1, "TOO_FEW_STRIPS"),
        (["name=a mc=8 colour=red, name=b"], 1, "UNKNOWN_COLUMN"),
        (["missing.csv"], 1, "NO_FILE"),
        ([", ".join(f"name={n} mc=8" for n in range(201))], 1, "TOO_MANY_STRIPS"),
        (["name=a mc=8, name=b mc=8", "--planer", "2in"], 1, "PLANER_TOO_NARROW"),
        (["name=a mc=bad, name=b mc=worse"], 1, "BAD_ROW"),
        (["name=a mc=bad, name=b mc=8"], 1, "BAD_ROW"),
        (["name=a mc=7, name=b mc=8, name=a mc=8"], 1, "SAME_NAME"),
    ],
)
def test_what_cannot_be_is_refused(cli, arguments, code, says):
    done = cli([*BASE.split(), *arguments, "--json"])
    assert (done.code, done.json["error"]["code"]) == (code, says)


@pytest.mark.parametrize("seed", [2**32 - 1, 2**32 - 2, 0])
def test_any_seed_does(cli, seed):
    assert cli([*BASE.split(), "name=a mc=9, name=b mc=8", "--seed", str(seed)]).code == 0


@pytest.mark.parametrize(
    ("rows", "line", "wrong"),
    [
        ("strip,name,mc\na,b,7\nc,,8\n,d,8\n", 2, "another column says it already"),
        ('strip,mc\na,7\n"b,8\nc,9\n', 4, "begins a quotation that ends lines below"),
    ],
)
def test_cells_that_contradict_or_run_on_are_bad_rows(cli, rows, line, wrong):
    Path("strips.csv").write_text(rows + "e,7\nf,8\n" * ('"' not in rows), encoding="utf-8")
    done = cli([*BASE.split(), "strips.csv", "--json"])
    found = done.json
    told = str(found.get("error") or found["results"]["bad_rows"])
    assert wrong in told


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ("--stock 2x8 --strip-thickness 3in", "THICKER_THAN_STOCK"),
        ("--stock 2x2", "STRIP_WIDER_THAN_BOARD"),
        ("'name=a mc=7 mc=8, name=b'", "SAID_TWICE"),
    ],
)
def test_what_the_board_cannot_yield_and_what_is_said_twice(cli, more, code):
    Path("strips.csv").write_text("strip,mc\na,7\nb,8\n", encoding="utf-8")
    file = [] if "'name" in more else ["strips.csv"]
    done = cli([*BASE.split(), *file, *shlex.split(more), "--json"])
    assert done.json["error"]["code"] == code


def test_what_is_taken_for_granted_is_told(cli):
    def notes(answer):
        return {note["code"] for note in answer["assumptions"]}

    alike = lay(cli, "name=a mc=8 rings=flat, name=b mc=8 rings=flat, name=c mc=8 rings=flat")
    assert "THICKNESS_TAKEN" in notes(alike)
    assert "THICKNESS_TAKEN" not in notes(lay(cli, MIXED, "--strip-thickness", "1-3/8in"))


def test_a_column_that_holds_something_else_is_suspected(cli):
    found = lay(cli, "name=a mc=55 rings=8.5, name=b mc=62 rings=9, name=c mc=70 rings=8.8")
    (told,) = (note["text"] for note in found["warnings"] if note["code"] == "ABOVE_SATURATION")
    assert "a, b, c" in told
    assert "ABOVE_SATURATION" not in codes(lay(cli, MIXED))


@pytest.mark.parametrize(
    ("strips", "bare"),
    [
        ("name=a mc=8 crook=1/16, name=b mc=8", True),
        ("name=a mc=8 crook=1.5mm, name=b mc=8 crook=1/16in", False),
        ("name=a mc=8 crook=0 rings=20, name=b mc=8", False),
    ],
)
def test_lengths_without_a_unit_are_told(cli, strips, bare):
    assert ("BARE_LENGTHS" in {note["code"] for note in lay(cli, strips)["assumptions"]}) == bare


def test_headings_alone_ask_for_a_row(cli):
    Path("strips.csv").write_text("strip,mc\n", encoding="utf-8")
    done = cli([*BASE.split(), "strips.csv"])
    assert done.code == 1
    assert "Write the first strip under its headings." in done.err
    Path("strips.csv").write_text("", encoding="utf-8")
    assert "in its first line" in cli([*BASE.split(), "strips.csv"]).err
