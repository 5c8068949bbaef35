"""woodmove strips: count, sections, milling, and what makes them more or fewer."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from woodmove.advice.top import strips as advice
from woodmove.advice.top.strips import Wish, enough, layout
from woodmove.domain.strip import Batch, balanced, sections_text

INCH = 25.4
FEW = "--draws 512"
TOP = (
    "strips --species douglas-fir-coast --stock 2x8 --pith-depth 1-1/2in --strip-width 3-1/4in "
    f"--length 47in {FEW}"
)
HARD = f"strips --species sugar-maple --service-width 24in --strip-thickness 1in --mc-now 8 {FEW}"


def test_width_and_thickness_are_enough(cli):
    found = cli.results("strips --service-width 30in --strip-thickness 1-3/8in")
    assert found["strip_count"] == math.ceil(30 / 1.375) == 22
    assert found["width_glue_up_mm"] == pytest.approx(22 * 1.375 * INCH)
    assert found["to_trim_mm"] == pytest.approx((22 * 1.375 - 30) * INCH)
    assert [row["strips"] for row in found["counts"]] == [21, 22, 23]
    assert found["thirty_second_mm"] == pytest.approx(22 * INCH / 32)


def test_metric_and_inches_agree(cli):
    one, other = (
        cli.results(f"strips {line}")
        for line in (
            "--service-width 30in --strip-thickness 1.25in",
            "--service-width 762mm --strip-thickness 31.75mm",
        )
    )
    assert one == other


@given(st.integers(1, 400), st.integers(1, 40))
def test_sections_are_few_and_balanced(count, most):
    found = balanced(count, most)
    assert sum(found) == count
    assert max(found) <= most
    assert max(found) - min(found) <= 1
    assert len(found) == math.ceil(count / most)


@given(
    st.floats(40, 3000), st.floats(5, 38), st.floats(100, 600), st.floats(0, 3), st.floats(0, 10)
)  # fmt: skip
def test_the_count_is_enough_and_one_less_is_not(width, thickness, planer, joint_trim, edge_trim):
    strips, wish = Batch(thickness), Wish(width, True, None, planer, joint_trim, edge_trim)
    found = enough(width, strips, wish)
    assert found.trimmed_mm >= width - advice.SHORT_MM - 1e-9
    if found.count > 1:
        fewer = layout(found.count - 1, strips, wish)
        assert fewer.trimmed_mm < width - advice.SHORT_MM or fewer.count * thickness < width - advice.SHORT_MM
    assert all(n * thickness + advice.FEED_MM <= planer + 1e-6 for n in found.sections)


def test_sections_pass_the_planer_and_their_joints_cost_width(cli):
    whole = cli.results("strips --service-width 30in --strip-thickness 1-3/8in")
    cut = cli.results("strips --service-width 30in --strip-thickness 1-3/8in --planer 13in")
    for row in cut["top_sections"]:
        assert row["width_mm"] <= 13 * INCH
        assert row["joints_each"] == row["strips_each"] - 1
    sections = sum(row["sections"] for row in cut["top_sections"])
    assert sum(row["sections"] * row["strips_each"] for row in cut["top_sections"]) == cut["strip_count"]
    assert cut["width_trimmed_mm"]["expected"] == pytest.approx(
        cut["width_glue_up_mm"] - 2 * 0.8 * (sections - 1)
    )
    assert whole["width_trimmed_mm"]["expected"] == pytest.approx(whole["width_glue_up_mm"])


def test_trim_is_taken_off_both_edges(cli):
    found = cli.results("strips --service-width 30in --strip-thickness 1-3/8in --trim edge=1/4in")
    assert found["width_glue_up_mm"] - found["width_trimmed_mm"]["expected"] == pytest.approx(INCH / 2)


def test_a_top_that_will_shrink_is_glued_wider(cli):
    """Coefficient by hand: sugar maple, strips on edge, pure radial; 12 to 8 %."""
    season = "--mc-low 7 --mc-high 9"
    wet = cli.results(f"{HARD} {season}".replace("--mc-now 8", "--mc-now 12"))
    level = cli.results(f"{HARD} {season}")
    coefficient = 0.00165
    assert level["width_needed_mm"] == pytest.approx(24 * INCH)
    # All within 6 to 14 %: the coefficient method (Wood handbook Eq. 13-3).
    change = coefficient * (8 - 12)
    assert wet["width_needed_mm"] == pytest.approx(24 * INCH / (1 + change), rel=1e-6)
    assert wet["width_low_mm"]["expected"] < wet["width_service_mm"]["expected"]
    assert wet["width_service_mm"]["expected"] < wet["width_high_mm"]["expected"]


def test_width_at_the_glue_up_is_taken_as_it_is(cli):
    line = HARD.replace("--service-width", "--width").replace("--mc-now 8", "--mc-now 12")
    found = cli.results(f"{line} --mc-low 7 --mc-high 9")
    assert found["width_needed_mm"] == pytest.approx(24 * INCH)


def test_the_planers_error_is_in_every_strip(cli):
    few, many = (
        cli.results(f"strips --service-width {width} --strip-thickness 1in")["width_trimmed_mm"]
        for width in ("10in", "40in")
    )
    assert (many["high"] - many["low"]) / (few["high"] - few["low"]) == pytest.approx(4.0, rel=0.01)
    # Within 0.2 mm a strip, nine times of ten (by judgement, see woodmove list doubts).
    assert few["high"] - few["low"] == pytest.approx(2 * 10 * 0.2, rel=0.01)


def test_milling_of_a_board(cli):
    found = cli.results(f"{TOP} --service-width 32in --strip-thickness 1-3/8in --thickness 3in --mc-now 9")
    allowance, flat = found["allowance"], found["flattening"]
    assert allowance["takes_mm"] == pytest.approx(INCH / 8)
    assert 0 < allowance["clean_up_chance_pct"] < 100
    parts = [value["expected"] for name, value in flat.items() if name != "all_mm"]
    assert flat["all_mm"]["expected"] == pytest.approx(sum(parts))
    assert found["flat_thickness_mm"]["expected"] == pytest.approx(3.25 * INCH - flat["all_mm"]["expected"])
    assert found["thickness_chance_pct"] > 90


def test_longer_strips_flatten_to_less_and_thinner_ones_clean_up_more(cli):
    def made(length: str, thickness: str):
        line = TOP.replace("--length 47in", f"--length {length}")
        return cli.results(f"{line} --service-width 32in --strip-thickness {thickness} --mc-now 9")

    short, long = made("3ft", "1-3/8in"), made("8ft", "1-3/8in")
    assert long["flat_thickness_mm"]["expected"] < short["flat_thickness_mm"]["expected"]
    assert long["allowance"]["clean_up_chance_pct"] < short["allowance"]["clean_up_chance_pct"]
    thin = made("3ft", "1-1/4in")
    assert thin["allowance"]["clean_up_chance_pct"] > short["allowance"]["clean_up_chance_pct"]
    assert thin["strip_count"] > short["strip_count"]


@pytest.mark.parametrize(("more", "step_mm"), [("", INCH / 16), ("--units mm", 1.0)])
def test_a_thickness_is_proposed_once_with_its_reason(cli, more, step_mm):
    """On a step of the reader's planer, the thickest that planes clean, and the next one beside it."""
    found = cli.json(f"{TOP} --service-width 32in --mc-now 9 {more}")
    thickness = found["results"]["strip_thickness_mm"]
    assert thickness / step_mm == pytest.approx(round(thickness / step_mm))
    assert found["results"]["thickness_proposed"]
    assert [note["code"] for note in found["verdict"]["says"]] == ["PLANE_TO", "KEEP_WHAT_YOU_CHOOSE"]
    assert "THIN_ALLOWANCE" not in codes(found)

    thicker, thinner = (
        cli.json(f"{TOP} --service-width 32in --mc-now 9 --strip-thickness {at}mm {more}")
        for at in (thickness + step_mm, thickness - step_mm)
    )
    assert "THIN_ALLOWANCE" in codes(thicker)
    assert "THIN_ALLOWANCE" not in codes(thinner)
    assert f"{thinner['results']['strip_count']} strips" in found["verdict"]["says"][0]["text"]


@pytest.mark.parametrize(
    "more", ["--mc-now 9", "--mc-now 14", "--mc-now 9 --length 96in", "--mc-now 9 --service-width 20in"]
)
def test_a_thickness_that_was_said_is_kept(cli, more):
    line = TOP.replace("--length 47in", "") if "--length" in more else TOP
    width = "" if "--service-width" in more else "--service-width 32in"
    found = cli.json(f"{line} {width} --strip-thickness 1-7/16in {more}")
    assert found["results"]["strip_thickness_mm"] == pytest.approx(1.4375 * INCH)
    assert not found["results"]["thickness_proposed"]
    # Planing takes a pass of 1/32 in off each face, and so much leaves no cup: it is told.
    assert "THIN_ALLOWANCE" in codes(found)


def test_too_thin_an_allowance_and_too_narrow_strips_are_told(cli):
    found = cli.json(
        f"{TOP} --service-width 32in --strip-thickness 1-15/32in --thickness 3-7/32in --mc-now 9"
    )
    codes = {note["code"] for note in found["warnings"]}
    assert {"THIN_ALLOWANCE", "TOO_LITTLE_TO_FLATTEN"} <= codes


def test_no_width_left_to_straighten_is_told(cli):
    line = "strips --service-width 27-1/2in --strip-thickness 1-3/8in"
    assert "NOTHING_TO_TRIM" in {note["code"] for note in cli.json(line)["warnings"]}
    assert not cli.json(f"{line} --trim edge=1/8in")["warnings"]


@pytest.mark.parametrize(
    ("line", "code", "says"),
    [
        ("--service-width 30in --strip-thickness 1-3/8in --planer 2in", 1, ("PLANER_TOO_NARROW",)),
        ("--service-width 1in --strip-thickness 1-3/8in", 1, ("TARGET_NARROWER", "--service-width")),
        (
            "--service-width 30in --strip-thickness 1-3/8in --have 20", 1,
            ("TOO_FEW_STRIPS", "2 more", "27.5 in"),
        ),
        ("--service-width 30in --strip-thickness 1-5/8in --stock 2x8", 1, ("THICKER_THAN_STOCK", "2x8")),
        ("--service-width 30in --strip-thickness 1in --stock 2x4 --strip-width 4in", 1, ("STRIP_WIDER",)),
        (
            "--service-width 30in --strip-thickness 1in --strip-width 3in --thickness 3-1/4in", 1,
            ("TOP_THICKER_THAN_STRIPS",),
        ),
        (
            "--service-width 30in --strip-thickness 1-1/2in --have 1 --trim edge=2in", 1,
            ("TOO_FEW_STRIPS", "1 strip comes to 0 in"),
        ),
        (
            "--service-width 30in --strip-thickness 1-3/8in --stock 2x8 --species douglas-fir-coast "
            "--pith-depth 1in --strip-width 3mm --length 3m", 1, ("NOTHING_LEFT", "--strip-width"),
        ),
        ("--service-width 30in", 2, ("NO_STRIP_THICKNESS", "--strip-thickness 1-3/8in")),
        ("--strip-thickness 1in", 2, ("NO_WIDTH", "--service-width 30in")),
        ("--service-width 30in --width 31in --strip-thickness 1in", 2, ("WIDTH_TWICE", "--width")),
        (
            "--service-width 5000mm --strip-thickness 3mm --trim joint=40mm --planer 10mm", 1,
            ("TOO_MANY_STRIPS",),
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(cli, line, code, says):
    done = cli(f"strips {line} --json")
    assert done.code == code
    error = done.json["error"]
    assert error["code"].startswith(says[0])
    for words in says[1:]:
        assert words in error["text"] + error["hint"]


def test_strips_that_are_there_are_enough(cli):
    found = cli.results("strips --service-width 30in --strip-thickness 1-3/8in --have 24")
    assert (found["strip_count"], found["left_over_strips"]) == (22, 2)
    assert [row["strips"] for row in found["counts"] if row["chosen"]] == [22]
    assert cli.results("strips --service-width 30in --strip-thickness 1-3/8in")["left_over_strips"] is None


def test_strips_far_from_their_service_are_told(cli):
    line = f"{HARD.replace('--mc-now 8', '--mc-now')}"
    told = {mc: codes(cli.json(f"{line.replace('--mc-now', f'--mc-now {mc}')} --mc-low 6 --mc-high 10"))
            for mc in (10.5, 9.5)}  # fmt: skip
    assert "FAR_FROM_SERVICE" in told[10.5]
    assert "FAR_FROM_SERVICE" not in told[9.5]


def test_nobody_says_how_wide_strips_are_ripped(cli):
    line = "strips --species douglas-fir-coast --service-width 30in --stock 2x8 --strip-thickness 1-1/4in"
    found = cli.json(f"{line} --thickness 3in {FEW}")
    assert "NO_SAWN_WIDTH" in {note["code"] for note in found["assumptions"]}
    assert found["results"]["flat_thickness_mm"] is None


def codes(answer) -> set[str]:
    return {note["code"] for note in answer["warnings"]}


def test_too_few_strips_are_told_in_the_width_that_was_asked_for(cli):
    """Strips glued wet come to less in service than at the glue-up."""
    line = f"strips --service-width 15in --strip-thickness 1in --species douglas-fir-coast --mc-now 16 {FEW}"
    hint = cli(f"{line} --mc-low 6 --mc-high 8 --have 15 --json").json["error"]["hint"]
    told = float(re.search(r"width of ([\d.]+) in", hint)[1])
    found = cli.results(f"{line} --mc-low 6 --mc-high 8 --have 20")
    row = next(row for row in found["counts"] if row["strips"] == 15)
    assert told == pytest.approx(row["width_service_mm"]["expected"] / INCH, abs=0.02)
    assert told < 15


def test_sections_in_words():
    assert sections_text(balanced(22, 8)) == "8 + 7 + 7"
    assert sections_text(balanced(54, 8)) == "5 × 8 + 2 × 7"
    assert sections_text(balanced(40, 8)) == "5 × 8"


@pytest.mark.parametrize(
    ("lumber", "says"),
    [
        ("2x6:1, 2x10", "a share of some sizes and not of others"),
        ("2x6, 2x6", "names a size twice"),
        ("2x6:0, 2x10:2", "'0' is no share"),
        ("2x6:some, 2x10:2", "'some' is no share"),
    ],
)
def test_a_mix_that_is_none_is_refused(cli, lumber, says):
    done = cli(["strips", "--service-width", "30in", "--strip-thickness", "1in", "--stock", lumber, "--json"])
    assert done.code == 2
    assert says in done.json["error"]["text"]


def test_the_narrowest_of_a_mix_must_yield_a_strip(cli):
    line = ["strips", "--service-width", "30in", "--strip-thickness", "1in", "--strip-width", "4in"]
    assert cli([*line, "--stock", "2x4, 2x10", "--json"]).json["error"]["code"] == "STRIP_WIDER_THAN_BOARD"


def test_a_mix_in_millimetres_needs_no_unit_of_a_reader_in_millimetres(cli):
    line = [
        "strips",
        "--units",
        "mm",
        "--service-width",
        "900",
        "--strip-thickness",
        "30",
        "--strip-width",
        "80",
    ]
    found = cli.results([*line, "--stock", "38 x 140:1, 38 x 235:2"])
    # 143.2 / 83.2 = 1 strip, 238.2 / 83.2 = 2 strips.
    assert [row["strips_per_board"] for row in found["from_sizes"]] == [1, 2]


def test_a_mix_plans_its_planing_between_those_of_its_sizes(cli):
    """Wide boards yield strips from far beside their pith, which warp otherwise than those above it."""
    line = (
        TOP.replace("--stock 2x8", "--stock") + " --service-width 32in --strip-thickness 1-5/16in --mc-now 9"
    )
    narrow, wide, mix = (
        cli.results([*line.replace("--stock", "").split(), "--stock", lumber])["allowance"]
        for lumber in ("2x6", "2x10", "2x6:2, 2x10:1")
    )
    low, high = sorted((narrow["clean_up_chance_pct"], wide["clean_up_chance_pct"]))
    # Two boards with one strip each, one with two: half of the strips from each.
    assert mix["clean_up_chance_pct"] == pytest.approx((low + high) / 2, abs=0.5)
