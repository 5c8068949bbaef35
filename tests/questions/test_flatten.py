"""woodmove flatten and woodmove holes: seams, cup, rest and the drift of a grid, by hand and by what must
hold."""

import math
import shlex
from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest

from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top import seams
from woodmove.advice.top.flatten import Flat
from woodmove.cli.script import ask
from woodmove.contract.answer import Answer
from woodmove.domain.board import BoardSize
from woodmove.domain.season import Season
from woodmove.domain.top import EdgeStrips, Rings, Top
from woodmove.extend.catalogue import Catalogue

FEW = "--draws 512"
SLAB = (
    "flatten --species douglas-fir-coast --width 32in --thickness 3in --stock 2x8 "
    f"--pith-depth 1-1/2in --mc-now 8 --mc-low 6 --mc-high 10 {FEW}"
)
PANEL = (
    "flatten --species northern-red-oak --width 36in --thickness 1in --rings flat "
    f"--mc-now 8 --mc-low 6 --mc-high 10 {FEW}"
)
HOLES = (
    "holes --species sugar-maple --width 26in --rings flat --mc-now 8 --mc-low 6 "
    f"--mc-high 11 --pitch 4in --span '24in x 40in' {FEW}"
)
INCH = 25.4


def typed(line: str, **handed: Any) -> Answer[Flat]:
    """The answer to a typed line, with what a plan hands on besides."""
    words = shlex.split(line)[1:]
    said = {
        name.strip("-").replace("-", "_"): text for name, text in zip(words[::2], words[1::2], strict=True)
    }
    return ask("flatten", draws=int(said.pop("draws")), **said, **handed)


def test_the_cup_of_a_shell_that_is_planed_off(cli):
    """Planed flat at once, 1/16 in off one face of a panel whose core is 1.5 points over its shell: the
    parabola is 3 points deep, and 4 C G p / T of curvature over 36 in is the cup."""
    found = cli.results(f"{PANEL} --core-less-shell 1.5 --plane 1/16in")
    deep = (1 + 1 / 16) * INCH
    curvature = 4 * 0.00304 * 3.0 * (INCH / 16 / deep) / deep
    assert found["now_cup_mm"]["expected"] == pytest.approx(curvature * (36 * INCH) ** 2 / 8, rel=0.02)


def test_an_even_top_needs_a_night(cli):
    found = cli.results(f"{PANEL} --core-less-shell 0 --temp 70F --rh 41.9")
    assert found["now_cup_mm"]["expected"] == pytest.approx(0, abs=1e-9)
    assert found["rest_between_days"]["expected"] == 1.0


def test_the_joints_are_waited_for(cli):
    line = f"{PANEL} --core-less-shell 0 --temp 70F --rh 41.9"
    # Nine days from the gluing, of which the joints take one, or three, to set.
    for wait, sets, rest in ((9, 1, 8), (9, 3, 6), (2, 3, 1)):
        found = typed(line, joint_wait_days=wait, joint_set_days=sets).results
        assert found.rest_between_days.expected == rest
    notes = {note["code"]: note["text"] for note in cli.json(line)["assumptions"]}
    assert "woodmove glue-up" in notes["GLUE_WATER_WAITS"]


def test_which_way_it_cups(cli):
    dry_shell, wet_shell = (cli.results(f"{PANEL} --core-less-shell {points}") for points in (1, -1))
    assert dry_shell["planed_face_gets"] == "hollow"
    assert wet_shell["planed_face_gets"] == "round"
    assert dry_shell["now_cup_mm"]["expected"] == pytest.approx(wet_shell["now_cup_mm"]["expected"])


def test_strips_laid_one_way_up_cup_by_their_rings(cli):
    """A sum worked out apart from the code, for strips of a 2x8 with its pith 1-1/2 in below, outer edges all
    up: 0.15 in over 32 in for 4.64 points, 0.03 in if they are turned anyhow."""
    found = cli.results(SLAB.replace("--mc-low 6 --mc-high 10", "--mc-low 7 --mc-high 12.64"))["by_its_rings"]
    assert found["one_way_up_cup_mm"]["expected"] / INCH == pytest.approx(0.15, abs=0.015)
    assert found["turned_anyhow_cup_mm"]["expected"] / INCH == pytest.approx(0.03 * 0.6745, abs=0.006)


def test_more_gradient_thinner_and_wider_rest_longer(cli):
    def rest(*changes: tuple[str, str]) -> float:
        line = f"{PANEL} --core-less-shell 1 --temp 68F --rh 44"
        for old, new in changes:
            assert old in line
            line = line.replace(old, new)
        return cli.results(line)["rest_between_days"]["expected"]

    usual = rest()
    assert rest(("--core-less-shell 1 ", "--core-less-shell 2 ")) > usual
    assert rest(("--width 36in", "--width 18in")) < usual
    assert rest(("--rh 44", "--rh 44 --flat-within 1/8in")) < usual
    assert rest(("--rh 44", "--rh 44 --plane 1/32in")) < usual


def test_the_cup_dies_away(cli):
    rows = cli.results(f"{PANEL} --core-less-shell 1.5 --temp 68F --rh 44")["by_day"]
    cups = [row["planed_cup_mm"]["expected"] for row in rows]
    assert cups == sorted(cups, reverse=True)
    assert cups[-1] < 0.1 * cups[0]


def test_cup_for_a_point_between_the_faces(cli):
    """C / T of curvature for each point: 0.00304 per % over 25.4 mm, width 36 in."""
    found = cli.results(PANEL)["per_point_cup_mm"]["expected"]
    assert found == pytest.approx(0.00304 / INCH * (36 * INCH) ** 2 / 8, rel=0.01)


def test_air_far_from_the_wood_is_told(cli):
    codes = {note["code"] for note in cli.json(f"{SLAB} --temp 70F --rh 20")["warnings"]}
    assert "FAR_FROM_AIR" in codes
    codes = {note["code"] for note in cli.json(f"{SLAB} --temp 70F --rh 43")["warnings"]}
    assert "FAR_FROM_AIR" not in codes


def test_both_flattenings_are_dated_from_today_on(cli):
    line = f"{PANEL} --core-less-shell 1.5 --today 2026-12-01"
    found = cli.results(line)
    rest = timedelta(days=found["rest_between_days"]["expected"])
    assert not found["checks"]
    (final,) = cli.results(f"{line} --from 2027-01-10")["checks"]
    assert final["date"] == f"{date(2027, 1, 10) + rest}"
    assert "Flatten the top finally:" in final["check"]
    for option, first in (
        ("--build-date 2027-01-10", date(2026, 12, 1)),
        ("--on 2026-12-20", date(2026, 12, 20)),
    ):
        rough, final = cli.results(f"{line} {option}")["checks"]
        assert rough["date"] == f"{first}"
        assert "Flatten the top roughly," in rough["check"]
        assert final["date"] > rough["date"]
    # Sections that are joined later than the strips are glued, and set for two days.
    glued = {"joint_wait_days": 9, "joint_set_days": 2, "ready_date": date(2026, 12, 22)}
    rough, final = typed(f"{line} --on 2026-12-20", **glued).results.checks
    assert (rough.date, final.date) == (date(2026, 12, 24), date(2026, 12, 31))


# Seams


def top(grain, mc: float | None = 8.0) -> Top:
    return Top(Catalogue().wood("douglas-fir-coast", "2021"), 800.0, 76.2, grain, mc, mc_readings=50)


STRIPS = EdgeStrips(BoardSize("2x8", 38.1, 184.15), 38.1, 80.0)


def test_typical_steps_of_unlike_strips_by_their_scatter():
    """What makes neighbours differ, drawn strip by strip apart from the code: shrinkage of the piece (15 %),
    its moisture (1 point), its place in the board."""
    season = Season.between(6.0, 10.0)
    found = seams.typical_step_mm(top(STRIPS), 76.2, 6.0, season, Draws(8192, 1))
    rng = np.random.default_rng(1)
    shares = 1.0 - STRIPS.strip_shares()
    count = 40_000
    mean = 0.00165 + (0.00267 - 0.00165) * shares[rng.integers(0, len(shares), (2, count))]
    coefficient = mean * (1 + 0.15 * rng.normal(size=(2, count)))
    moved = coefficient * (6.0 - (8.0 + rng.normal(size=(2, count))))
    steps = 76.2 * np.abs(moved[0] - moved[1])
    for part in (0.5, 0.9):
        assert np.quantile(found[1:], part) == pytest.approx(np.quantile(steps, part), rel=0.08)
    assert found[0] == pytest.approx(np.median(found[1:]))


def test_steps_grow_with_the_depth_and_with_the_way_to_go():
    season, draws = Season.between(4.0, 12.0), Draws(1024, 1)

    def step(depth: float, mc: float) -> float:
        return float(seams.typical_step_mm(top(STRIPS), depth, mc, season, draws)[0])

    assert step(152.4, 6.0) == pytest.approx(2 * step(76.2, 6.0))
    assert step(76.2, 4.0) > step(76.2, 8.0)


def test_by_season(cli):
    rows = cli.results(SLAB)["seams"]
    assert [row["when"] for row in rows] == ["driest", "dampest"]
    both = seams.typical_step_mm(top(STRIPS), 76.2, 6.0, Season.between(6, 10), Draws(512, 1))
    one = seams.by_season(top(STRIPS), Season.between(6, 10), Draws(512, 1))[0].each_face_step_mm
    assert one.expected == pytest.approx(both[0] / 2)


def test_rings_of_a_panel_step_little():
    season, draws = Season.between(6.0, 10.0), Draws(1024, 1)
    # A flat-sawn panel is thick in the radial direction: it steps less than a quarter-sawn one.
    flat, quarter = (
        seams.typical_step_mm(top(Rings(angle)), 25.4, 6.0, season, draws)[0] for angle in (0.0, 90.0)
    )
    assert flat < quarter


# Holes


def test_drift_by_hand(cli):
    """Sugar maple, flat-sawn: 0.00353 per % MC (Wood handbook Table 13-5); 3 points up over 24 in."""
    rows = {row["when"]: row for row in cli.results(f"{HOLES} --hole 3/4in")["seasons"]}
    wet, dry = rows["dampest"], rows["driest"]
    assert wet["across_drift_mm"]["expected"] == pytest.approx(24 * INCH * 0.00353 * 3)
    assert dry["across_drift_mm"]["expected"] == pytest.approx(-24 * INCH * 0.00353 * 2)
    assert wet["pitch_drift_mm"]["expected"] == pytest.approx(4 * INCH * 0.00353 * 3)
    assert dry["hole_drift_mm"]["expected"] == pytest.approx(-0.75 * INCH * 0.00353 * 2)
    # Along the grain 0.15 % over 30 points, the mean of normal wood (Wood handbook chapter 4).
    assert wet["along_drift_mm"]["expected"] == pytest.approx(40 * INCH * 5e-5 * 3)
    # A 1 to 1 diagonal turns by half of the difference, to first order.
    assert wet["diagonal_deg"]["expected"] == pytest.approx(math.degrees((0.00353 - 5e-5) * 3 / 2), rel=0.02)


def test_clearance(cli):
    """A dog sticks at the driest; a template that floats drifts most at the dampest, when the holes are
    wider."""
    found = cli.results(f"{HOLES} --hole 3/4in")
    assert found["one_dog_play_mm"]["expected"] == pytest.approx(0.75 * INCH * 0.00353 * 2)
    assert found["template_play_mm"]["expected"] == pytest.approx((24 - 0.75) * INCH * 0.00353 * 3)
    assert found["one_dog_bore_mm"] == pytest.approx(0.75 * INCH + found["one_dog_play_mm"]["high"])
    assert found["stays_free_chance_pct"] < 1
    assert (found["rows_across"], found["holes_along"]) == (7, 11)


def test_the_told_bore_stays_free(cli):
    found = cli.json(HOLES)
    assert found["results"]["stays_free_chance_pct"] >= 94
    assert not found["warnings"]
    assert "DOG_MAY_STICK" in {note["code"] for note in cli.json(f"{HOLES} --hole 3/4in")["warnings"]}


def test_what_to_bore_and_where_not(cli):
    """A dog of the size of its hole sticks; the bore that is told is free."""
    tight, free = (cli.json(f"{HOLES} {hole}")["verdict"] for hole in ("--hole 3/4in", "--hole 49/64in"))
    assert [note["code"] for note in tight["says"]] == ["BORE_WIDER", "KEEP_OFF"]
    assert [note["code"] for note in free["says"]] == ["BORE"]
    for verdict in (tight, free):
        words = " ".join(note["text"] for note in verdict["says"])
        assert all(place in words for place in ("rails", "screws", "seams"))
    assert (tight["state"], free["state"]) == ("stop", "go")
    assert "49/64 in" in tight["says"][0]["text"]


def test_wood_drilled_at_its_driest_never_holds_a_dog(cli):
    found = cli.results(HOLES.replace("--mc-now 8", "--mc-now 6") + " --mc-readings 10000")
    assert found["one_dog_play_mm"]["expected"] == 0


def test_the_grid_is_what_fits_where_nobody_says(cli):
    line = HOLES.replace("--span '24in x 40in'", "--length 46in")
    given = cli.results(line)
    assert given["across_mm"] == pytest.approx(20 * INCH)
    assert given["along_mm"] == pytest.approx(40 * INCH)


@pytest.mark.parametrize(
    ("line", "code"),
    [
        (f"{HOLES} --span 26in", "GRID_OFF_TOP"),
        (f"{HOLES} --span '24in x 60in' --length 50in", "GRID_OFF_TOP"),
        (f"{HOLES} --pitch 50in", "PITCH_WIDER_THAN_TOP"),
        (f"{HOLES} --pitch 10in --span 8in", "PITCH_WIDER_THAN_GRID"),
        (f"{HOLES} --pitch 1/2in", "HOLES_MEET"),
        (f"{HOLES} --hole 1/2in", "DOG_TOO_THICK"),
        (f"{PANEL} --plane 3/4in", "PLANED_AWAY"),
        (f"{PANEL} --core-less-shell 12", "TOO_FAR_APART"),
        (f"{PANEL} --core-less-shell -15", "TOO_FAR_APART"),
        (f"{PANEL} --core-less-shell 5".replace("--mc-now 8", "--mc-now 40"), "TOO_FAR_APART"),
        (f"{PANEL} --temp 70F", "HALF_AN_AIR"),
    ],
)
def test_what_cannot_be_is_refused(cli, line, code):
    done = cli(f"{line} --json")
    assert done.code in (1, 2)
    assert done.json["error"]["code"] == code


def test_what_is_evened_out_is_the_wood_and_not_the_seasons(cli):
    """A top near the yearly mean of its room rests in the air of the day, not through the year to come."""
    line = (
        "flatten --species douglas-fir-coast --rings on-edge --width 32in --thickness 3in "
        f"--place burlington {FEW}"
    )
    cups = {}
    for mc, day in ((6, "2027-01-15"), (8, "2027-01-15"), (8, "2027-04-15"), (8, "2027-10-15")):
        found = cli.results(f"{line} --mc-now {mc} --build-date {day} --today 2026-11-27")
        cups[mc, day] = [row["planed_cup_mm"]["expected"] for row in found["by_day"]]
    for course in (cups[6, "2027-01-15"], cups[8, "2027-04-15"], cups[8, "2027-10-15"]):
        assert course == sorted(course, reverse=True)
    # In air that is far too dry for it the faces run ahead first.
    assert max(cups[8, "2027-01-15"]) > 1.5 * cups[8, "2027-01-15"][0] > cups[8, "2027-01-15"][-1]


def test_it_is_flat_enough_on_the_day_that_is_told(cli):
    for within in ("0.0055in", "0.0075in", "0.01in"):
        found = cli.results(SLAB + f" --core-less-shell 3 --flat-within {within}")
        assert found["rest_between_days"]["expected"] > 1
        limit = cli.json(SLAB + f" --core-less-shell 3 --flat-within {within}")["inputs"]["flat_cup_mm"]
        # In whole days: a little flatter than it must be, and flat enough for so much and no less.
        rested = found["rested_cup_mm"]["expected"]
        assert 0.9 * limit < rested <= limit
        days = [
            cli.results(SLAB + f" --core-less-shell 3 --flat-within {share * rested}mm")["rest_between_days"]
            for share in (1.0001, 0.9999)
        ]
        assert days[0]["expected"] == found["rest_between_days"]["expected"] == days[1]["expected"] - 1


def test_what_no_rest_of_weeks_does_both_faces_do(cli):
    """As much off both faces cups a top by nothing: nobody rests it for months instead."""
    found = cli.json(f"{SLAB} --core-less-shell 3 --flat-within 0.004in")
    assert found["results"]["one_face_rest_days"]["expected"] > 28
    assert found["results"]["rest_between_days"]["expected"] == 1
    assert found["verdict"]["state"] == "go"
    assert {"BOTH_FACES", "NO_LONG_REST"} <= {note["code"] for note in found["verdict"]["says"]}


def test_a_top_far_from_its_room_comes_nearer_first(cli):
    wet = cli.json(SLAB.replace("--mc-now 8", "--mc-now 18"))["verdict"]
    assert (wet["state"], wet["says"][0]["code"]) == ("wait", "ROOM_FIRST")
    assert cli.json(SLAB)["verdict"]["state"] == "go"


def test_what_is_usual_fits_thin_and_wet_tops(cli):
    thin = SLAB.replace("--thickness 3in", "--thickness 3mm")
    means = cli.json(f"{thin} --units mm")["assumptions"]
    assert any("then, 0.8 mm off" in note["text"] for note in means)
    assert cli.results(thin)["by_day"][0]["core_less_shell_points"] == pytest.approx(1, abs=0.05)
    wet = cli.results(SLAB.replace("--mc-now 8", "--mc-now 29.6"))["by_day"][0]
    assert 0 <= wet["core_less_shell_points"] < 0.5
    asked = cli.results(f"{SLAB} --core-less-shell 2")["by_day"][0]
    assert asked["core_less_shell_points"] == pytest.approx(2, abs=0.05)


def test_a_build_before_the_final_flattening_is_told(cli):
    line = f"{SLAB} --from 2027-02-03 --today 2027-02-01"
    found = typed(f"{line} --build-date 2027-02-08", joint_wait_days=10)
    (check,) = found.results.checks
    (told,) = (note for note in found.warnings if note.code == "FLAT_TOO_LATE")
    assert check.date == told.values["day"] == date(2027, 2, 12)
    # Without the glue's water it is planed the next day, and told on the page as in the document.
    found = cli.json(f"{line} --build-date 2027-02-03")
    (check,) = found["results"]["checks"]
    (told,) = (note["text"] for note in found["warnings"] if note["code"] == "FLAT_TOO_LATE")
    assert check["date"] == "2027-02-04"
    assert "4 February 2027" in told
    later = cli.json(f"{line} --build-date 2028-02-08")
    assert "FLAT_TOO_LATE" not in {note["code"] for note in later["warnings"]}
    assert "4 February 2027" in cli(f"{line} --details").out.split("Dated checks")[1]


# Wind.

STRIPS_ON_EDGE = SLAB.replace("32in", "30in")


def test_the_wind_of_24_strips_by_hand(cli):
    """24 strips of 1-1/4 x 3 in that lift 1/16 in over their 3 in: without cauls the top of 30 in lifts ten
    times that, 5/8 in. Torsion constants (a b^3 (1/3 - 0.21 b/a (1 - b^4 / 12 a^4))): of a strip 1.442 in^4,
    of the slab 253.0 in^4. Clamped flat, 24 x 1.442 / 253.0 = 0.1368 of it is left: 0.0855 in. Of mixed
    hands half of the tops have less than 0.6745 / sqrt(24) of that: 0.0118 in."""
    found = cli.results(f"{STRIPS_ON_EDGE} --strip-thickness 1-1/4in --strip-twist 1/16in")["wind"]
    assert found["no_cauls_mm"]["expected"] == pytest.approx(0.625 * INCH, rel=0.002)
    assert found["one_hand_mm"]["expected"] == pytest.approx(0.0855 * INCH, rel=0.005)
    assert found["mixed_mm"]["expected"] == pytest.approx(0.0118 * INCH, rel=0.01)
    assert found["takes_mm"]["expected"] == pytest.approx(0.0855 * INCH / 2, rel=0.005)
    for one in found.values():
        assert one["low"] < one["expected"] < one["high"]


def test_straight_strips_leave_no_wind_and_a_slab_of_one_has_its_own(cli):
    line = f"{STRIPS_ON_EDGE} --strip-thickness 1-1/4in"
    assert cli.results(f"{line} --strip-twist 0in")["wind"]["one_hand_mm"]["expected"] == 0
    one = cli.results(f"{line.replace('30in', '1-1/4in')} --strip-twist 1/16in")["wind"]
    # Over 1-1/4 in of width a corner lifts as far as the strip's own of 3 in does, in proportion.
    for name in ("one_hand_mm", "mixed_mm", "no_cauls_mm"):
        assert one[name]["expected"] == pytest.approx(INCH / 16 * 1.25 / 3, rel=0.002)


def test_alternating_the_hands_is_advised_where_it_is_felt(cli):
    line = f"{STRIPS_ON_EDGE} --strip-thickness 1-1/4in"
    page = " ".join(cli(f"{line} --strip-twist 1/16in").out.split())
    assert "the hands alternate" in page
    assert "the hands alternate" not in cli(f"{line} --strip-twist 0in").out
    notes = {note["code"]: note["text"] for note in cli.json(line)["assumptions"]}
    assert "--strip-twist" in notes["NO_WIND"]


def test_the_twist_of_the_strips_comes_from_their_list(cli, tmp_path):
    path = tmp_path / "job.toml"
    path.write_text(
        '[job]\nunits = "in"\n[wood]\nspecies = "douglas-fir-coast"\nrings = "flat"\nmc_now = "8%"\n'
        '[top]\nwidth = 30\nthickness = 3\n[room]\nmc_low = "6%"\nmc_high = "10%"\n'
        "[strips]\nthickness = 1.25\n"
        'list = ["name=1 twist=1/16in", "name=2 twist=1/16in", "name=3"]\n'
        '[plan]\nsections = ["lay-up", "flatten"]\n'
    )
    plan = cli.results(f"plan {path} {FEW}")
    parts = {part["key"]: part["answer"]["results"] for part in plan["sections"]}
    assert parts["lay-up"]["strip_twist_mm"] == pytest.approx(INCH / 16)
    assert parts["flatten"]["wind"]["one_hand_mm"]["expected"] == pytest.approx(0.0855 * INCH, rel=0.005)
