"""The top and its base as a craftsman would fix them: the hand counts of fixing.toml, and common sense."""

import re
from itertools import pairwise
from math import isclose
from typing import Any

import pytest
from test_hand_counts_are_sound import read

from woodmove.advice.top.faces import SHOWS_MM, shape_of
from woodmove.advice.top.season import cup_mm
from woodmove.cli.script import ask
from woodmove.domain.top import Rings, Top
from woodmove.extend.catalogue import Catalogue

INCH = 25.4
FEW = "--draws 128"
FIR = "--species douglas-fir-coast"
TOP = f"slots {FIR} --rings 45 --mc-now 8 --mc-low 6 --mc-high 11 --screw '#10' {FEW}"
WAYS = {case["id"]: case for case in read("fixing")["way"]}
STEEL, RAIL, DEEP = read("fixing")["base"]


def farthest(found: dict[str, Any]) -> dict[str, Any]:
    return max(found["fasteners"], key=lambda row: row["travel_mm"]["expected"])


def on_a_step(mm: float, step_mm: float) -> bool:
    return isclose(mm / step_mm, round(mm / step_mm), abs_tol=1e-6)


# One top fixed in three ways


def three_ways(cli, options: str = "") -> dict[str, Any]:
    return cli.results(f"{TOP} --width 30in --thickness 1in --at 2in,15in,28in {options}")


def test_slots_by_hand(cli):
    case = WAYS["slots"]
    found = three_ways(cli)
    row = farthest(found)
    assert row["travel_out_mm"]["expected"] / INCH == pytest.approx(case["travel_out"], abs=1e-4)
    assert row["travel_in_mm"]["expected"] / INCH == pytest.approx(case["travel_in"], abs=1e-4)
    # As cut: never less than by hand, on sixteenths, and no more than a step a part longer than its band.
    assert row["cut_length_mm"] / INCH >= case["slot"]
    for name in ("cut_length_mm", "cut_out_mm", "cut_in_mm", "slot_width_mm"):
        assert on_a_step(row[name], INCH / 16), name
    assert row["slot_width_mm"] / INCH >= case["hole"]
    assert row["cut_in_mm"] - row["travel_in_mm"]["high"] < INCH / 16
    assert row["cut_out_mm"] - row["travel_out_mm"]["high"] < 2 * INCH / 16
    # The hole that is fixed is driven first.
    assert [row["hole"] for row in found["fasteners"] if row["drive"] == 1] == ["round"]


def test_the_other_ways_by_hand(cli):
    """Their travel and their play by hand, the hole and the clearance for the upper end of the band."""
    along = three_ways(cli, "--base 'wood direction=along'")
    ways = {way["way"]: way for way in along["ways"]}
    row = farthest(along)
    out = row["travel_out_mm"]["high"]
    assert all(way["needs_out_mm"] == pytest.approx(out) for way in ways.values())

    holes, by_hand = ways["oversize holes under washers"], WAYS["oversize holes under washers"]
    bit = 2 * holes["allows_out_mm"] + by_hand["shank"] * INCH
    assert on_a_step(bit, INCH / 16)
    assert bit / INCH >= by_hand["bit"]
    assert bit - (by_hand["shank"] * INCH + 2 * out) < INCH / 16
    assert holes["does"]

    buttons, by_hand = ways["buttons in a groove"], WAYS["buttons in a groove"]
    assert buttons["does"]
    assert buttons["allows_out_mm"] / INCH >= by_hand["clearance"] - 1e-9
    # What stays in the groove at the driest: its depth less the clearance, less an eighth.
    assert buttons["allows_in_mm"] == pytest.approx(
        by_hand["groove"] * INCH - buttons["allows_out_mm"] - INCH / 8
    )
    # A groove of 1/4 in leaves too little.
    shallow = three_ways(cli, "--base 'wood direction=along' --hardware groove=1/4in")
    assert not {way["way"]: way for way in shallow["ways"]}["buttons in a groove"]["does"]
    # A plain hole: half of what the clearance is larger than the shank, on the fixed line only.
    plain = ways["plain holes"]
    assert plain["allows_out_mm"] / INCH == pytest.approx((0.221 - 0.190) / 2, abs=1e-4)
    assert not plain["does"]


def test_a_groove_out_of_which_buttons_fall_is_refused(cli):
    done = cli(f"{TOP} --width 60in --thickness 1in --at 2in,30in,58in --hardware groove=1/8in --json")
    assert (done.code, done.json["error"]["code"]) == (1, "GROOVE_TOO_SHALLOW")


# C18: each base by a rule of its own


def test_steel_base_by_hand(cli):
    line = (
        "slots --species loblolly-pine --rings quarter --width 36in "
        f"--thickness 2-1/2in --mc-now 8 --mc-low 6 --mc-high 12 --at 2in,18in,34in {FEW} "
        "--screw '1/4 x 1-1/2in' --washer 1-4in-uss --base 'steel thickness=3/16in'"
    )
    answer = cli.json(line)
    found = answer["results"]
    row = farthest(found)
    assert row["travel_out_mm"]["expected"] / INCH == pytest.approx(STEEL["travel_out"], abs=1e-4)
    assert row["travel_in_mm"]["expected"] / INCH == pytest.approx(STEEL["travel_in"], abs=1e-4)
    assert row["cut_length_mm"] / INCH >= STEEL["slot"]
    assert found["pilot_depth_mm"] / INCH == pytest.approx(STEEL["in_the_wood"], abs=1e-3)
    assert found["rails"]["under_head_mm"] / INCH == pytest.approx(STEEL["under_head"])
    # Steel neither shrinks nor is metered, and takes no groove.
    assert found["rails"]["shrinks_mm"] is None
    assert not {way["way"]: way for way in found["ways"]}["buttons in a groove"]["does"]
    assert "DRILLING_METAL" in [note["code"] for note in answer["cautions"]]
    assert "METER_THE_RAILS" not in [note["code"] for note in answer["warnings"]]


@pytest.mark.parametrize(
    ("material", "enough", "too_thin"),
    [("steel", "1/8in", "1/32in"), ("aluminium", "1/8in", "1/16in"), ("plywood", "1/2in", "1/4in"),
     ("wood", "3/4in", "3/8in")],
)  # fmt: skip
def test_what_is_left_under_the_head_goes_by_the_material(cli, material, enough, too_thin):
    line = f"{TOP} --width 30in --thickness 2in --json --base"
    assert cli(f"{line} '{material} thickness={enough}'").code == 0
    done = cli(f"{line} '{material} thickness={too_thin}'")
    assert (done.code, done.json["error"]["code"]) == (1, "RAIL_TOO_THIN")


# A base built wet


@pytest.mark.parametrize("case", [RAIL, DEEP], ids=lambda case: case["id"])
def test_rails_built_wet_by_hand(cli, case):
    length, thickness = case["thickness"] + 1.5, case["thickness"]
    top = TOP.replace("'#10'", f"'#10 x {length}in'") + " --width 30in --thickness 3in"
    line = f"{top} --base 'wood mc=13 thickness={thickness}in'"
    answer = cli.json(line)
    shrinks = answer["results"]["rails"]["shrinks_mm"]
    assert [shrinks["low"] / INCH, shrinks["high"] / INCH] == pytest.approx(case["shrinks"], abs=1e-4)
    (loose,) = (note for note in answer["warnings"] if note["code"] == "RAILS_LOOSEN")
    assert "not tight" in loose["text"]
    # A counterbore leaves less under the head to shrink.
    if case is DEEP:
        counterbored = line.replace("5.0in", "3in").replace("mc=13", "mc=13 counterbore=2in")
        bored = cli.results(counterbored)["rails"]["shrinks_mm"]
        assert bored["high"] / INCH == pytest.approx(RAIL["shrinks"][1], abs=1e-4)


def test_dry_rails_swell_instead(cli):
    answer = cli.json(f"{TOP} --width 30in --thickness 3in --base 'wood mc=6'")
    assert answer["results"]["rails"]["shrinks_mm"]["high"] == 0
    assert answer["results"]["rails"]["swells_mm"]["high"] / INCH == pytest.approx(
        1.5 * 0.00267 * 5, abs=1e-4
    )


def test_snugging_has_a_date(cli):
    """The plan says when, where it knows the year."""
    line = f"{FIR} --rings 45 --width 30in --thickness 3in --mc-now 9 --place burlington {FEW}"
    answer = cli.json(f"slots {line} --base 'wood mc=13'")
    (loose,) = (note for note in answer["warnings"] if note["code"] == "RAILS_LOOSEN")
    assert any(month in loose["text"] for month in ("February", "March", "April"))


def test_a_wide_glued_joint_across_the_grain(cli):
    """3 in is the usual limit of a glued tenon or cross piece (common practice)."""
    line = f"{TOP} --width 30in --thickness 3in --base 'wood mc=12 joint_width="
    codes = {
        size: [note["code"] for note in cli.json(f"{line}{size}'")["warnings"]] for size in ("3in", "5in")
    }
    assert "WIDE_JOINT" in codes["5in"]
    assert "WIDE_JOINT" not in codes["3in"]
    moves = cli.results(f"{line}5in'")["rails"]["joint_moves_mm"]
    assert moves["high"] / INCH == pytest.approx(5 * 0.00267 * 6, abs=1e-4)


# C16: same wood, same place


def slot(cli, changes: str) -> dict[str, Any]:
    line = f"slots {FIR} --rings 45 --place burlington {FEW} {changes}"
    return farthest(cli.results(line))


WIDER = [f"--width {width}in --thickness 2in --mc-now 8" for width in (20, 30, 40, 60)]
THINNER = ("4in", "3in", "2in", "1in", "3/4in")
WETTER = [f"--width 40in --thickness 2in --mc-now {now}" for now in (8, 10, 12, 14, 16)]


@pytest.mark.parametrize("series", [WIDER, WETTER], ids=["wider", "wetter"])
def test_a_slot_is_never_shorter(cli, series):
    rows = [slot(cli, changes) for changes in series]
    for before, after in pairwise(rows):
        assert after["travel_mm"]["expected"] >= before["travel_mm"]["expected"] - 1e-9
        assert after["cut_length_mm"] >= before["cut_length_mm"] - 1e-9
        if series is WETTER:
            assert after["travel_out_mm"]["expected"] <= before["travel_out_mm"]["expected"]
            assert after["cut_out_mm"] <= before["cut_out_mm"]
    assert rows[-1]["cut_length_mm"] > rows[0]["cut_length_mm"]


def test_what_its_thickness_saves_is_never_more_in_a_thinner_top():
    """The slot that would do for a top which its thickness slows; where nothing is said, that for any air."""
    lengths = []
    for thickness in THINNER:
        answer = ask(
            "slots", species="douglas-fir-coast", rings="45", place="burlington", width="40in",
            thickness=thickness, mc_now="8", draws=128,
        )  # fmt: skip
        saved = [note.values["lagged_mm"] for note in answer.warnings if note.code == "LAG_WOULD_SAVE"]
        lengths.append(saved[0] if saved else max(row.cut_length_mm for row in answer.results.fasteners))
    assert lengths == sorted(lengths)
    assert lengths[-1] > lengths[0]


# What a store sells


def test_a_screw_that_is_easy_to_find_holds_a_thick_top(cli):
    """3 in of No. 12 holds a 3 in top on a 1-1/2 in rail; 4 in is hard to find (common practice)."""
    found = cli.results(f"slots {FIR} --rings 45 --width 30in --thickness 3in --mc-now 8 --mc-low 6 "
                        f"--mc-high 11 {FEW}")  # fmt: skip
    assert found["screw"].startswith("No. 12")
    assert found["screw_length_mm"] / INCH == pytest.approx(3)


@pytest.mark.parametrize(
    ("screw", "species", "bit"),
    [("#8", "douglas-fir-coast", "3/32"), ("#10", "douglas-fir-coast", "3/32"),
     ("#12", "douglas-fir-coast", "7/64"), ("#10", "northern-red-oak", "1/8"),
     ("5mm", "douglas-fir-coast", None)],
)  # fmt: skip
def test_pilot_bits_agree_with_the_table(cli, screw, species, bit):
    """70 % of the root in light wood, 90 % in dense (Wood handbook chapter 8). The trade table: No. 10 in
    hardwood 1/8, in softwood 3/32, No. 12 in softwood 7/64."""
    top = f"slots --species {species} --rings 45 --width 20in --thickness 2in"
    found = cli.results(f"{top} --mc-now 8 --mc-low 6 --mc-high 9 --screw '{screw}' {FEW}")
    if bit is None:
        # Of a metric screw to an inch reader: 70 % of 3.5 mm, the bit at or under it.
        assert 2.2 < found["pilot_mm"] <= 2.52
    else:
        top, bottom = map(int, bit.split("/"))
        assert found["pilot_mm"] / INCH == pytest.approx(top / bottom)


def test_a_metric_reader_gets_metric_screws_on_whole_millimetres(cli):
    answer = cli.json(f"slots --units mm {FIR} --rings 45 --width 760 --thickness 60 --mc-now 9 "
                      f"--mc-low 6 --mc-high 12 {FEW}")  # fmt: skip
    found = answer["results"]
    assert found["screw"].startswith("6 mm")
    assert found["screw_length_mm"] in (70, 80, 90)
    assert found["washer"].startswith("M6")
    for row in found["fasteners"]:
        assert all(on_a_step(row[name], 1.0) for name in ("cut_length_mm", "cut_out_mm", "cut_in_mm"))
    # 2.94 mm by the rule: the next bit is 3.
    assert found["pilot_mm"] == 3.0


def test_the_plan_of_a_metric_job_is_metric_too(cli, tmp_path):
    job = tmp_path / "job.toml"
    job.write_text(
        '[job]\nunits = "mm"\n[wood]\nspecies = "douglas-fir-coast"\nrings = 45\nmc_now = 9\n'
        '[top]\nwidth = 760\nthickness = 60\n[room]\nmc_low = 6\nmc_high = 12\n[base]\nmaterial = "wood"\n',
        encoding="utf-8",
    )
    sections = cli.results(f"plan {job} {FEW}")["sections"]
    (slots,) = (part for part in sections if part["key"] == "slots")
    assert slots["answer"]["results"]["screw"].startswith("6 mm")


# What is printed adds up


def test_the_printed_parts_add_up(cli):
    """slot = bit + way out + way in; screw from the end = way in + half the bit."""
    for now in (6, 7, 8.3, 9.1, 11, 14):
        found = cli.results(f"{TOP} --mc-now {now} --width 44in --thickness 2in".replace(
            "--mc-now 8 ", ""))  # fmt: skip
        for row in found["fasteners"]:
            if row["hole"] == "slot":
                parts = [row[name] / INCH for name in ("slot_width_mm", "cut_out_mm", "cut_in_mm")]
                assert all(on_a_step(part, 1 / 16) for part in parts)
                assert row["cut_length_mm"] / INCH == pytest.approx(sum(parts))
                assert on_a_step(row["screw_from_end_mm"] / INCH, 1 / 32)


def test_the_page_is_short(cli):
    for line in (
        f"{TOP} --width 30in --thickness 3in",
        f"slots {FIR} --rings 45 --width 60in --thickness 2in --mc-now 14 --place burlington {FEW} "
        "--base 'wood mc=13'",
        f"{TOP} --width 30in --thickness 3in --base steel --units mm",
    ):
        lines = cli(line).out.splitlines()
        assert lines[0].startswith("GO")
        assert len(lines) <= 30, cli(line).out
        assert max(map(len, lines)) <= 88


# C17: one face finished, a closed underside, a mat


FACES = read("fixing")["face"]
WATCHED = f"{FIR} --rings flat --mc-now 9 --place burlington {FEW}"


@pytest.mark.parametrize("case", FACES, ids=lambda case: case["id"])
def test_the_cup_of_unlike_faces_by_hand(case):
    """Points are face to face; the quarters of a straight line lie three quarters of that apart."""
    top = Top(
        Catalogue().wood("douglas-fir-coast"),
        case["width"] * INCH,
        case["thickness"] * INCH,
        Rings(0.0),
        None,
    )
    cup = float(cup_mm(0.75 * case["points"], case["c"], top)) / INCH
    assert cup == pytest.approx(case["cup"], rel=0.01)
    assert shape_of(cup).startswith({"crowned": "crowned", "hollow up": "hollow"}[case["shape"]])
    band = [float(cup_mm(0.75 * points, case["c"], top)) / INCH for points in case["points_band"]]
    assert sorted(band) == pytest.approx(case["cup_band"], rel=0.01)
    assert (max(map(abs, band)) * INCH > SHOWS_MM) == case["finish_both"]


def test_one_face_finished_is_a_stop_with_its_cup(cli):
    line = f"width {WATCHED} --width 30in --thickness 2in --finish 'polyurethane-varnish-2"
    one, both = cli.json(f"{line} faces=top'"), cli.json(f"{line}'")
    assert one["verdict"]["state"] == "stop"
    assert one["verdict"]["says"][0]["text"].startswith("Finish both faces")
    cup = one["results"]["unlike"]["cup_mm"]
    assert 0 < cup["low"] < cup["expected"] < cup["high"]
    assert (both["verdict"]["state"], both["results"]["unlike"]) == ("know", None)


def test_the_dry_side_is_the_hollow_one(cli):
    """In the dry winter the bare underside dries first and is the short one: crowned. In the damp summer it
    is the long one: hollow on top. A wood that is brought in damp dries through its bare side too."""
    line = f"width {FIR} --rings flat --width 30in --thickness 2in --place burlington {FEW}"
    unlike = cli.results(f"{line} --mc-now 9 --finish 'two-part-epoxy-2 faces=top'")["unlike"]
    winter = unlike["month"] in ("December", "January", "February", "March", "April")
    assert unlike["shape"].startswith("crowned" if winter else "hollow")
    damp = f"{line} --mc-now 12 --build-date 2027-01-15 --finish 'two-part-epoxy-2 faces=top'"
    assert cli.results(damp)["unlike"]["shape"].startswith("crowned")


@pytest.mark.parametrize("faces", ["underside=closed", "covered"])
def test_a_closed_underside_and_a_mat_cup_the_top_too(cli, faces):
    line = f"width {WATCHED} --width 30in --thickness 2in"
    answer = cli.json(f"{line} --finish {faces}")
    assert {"LET_BREATHE", "WATCH_CUP"} & {note["code"] for note in answer["warnings"]}
    # Closed on both sides, it is alike again.
    assert cli.results(f"{line} --finish 'none underside=closed covered'")["unlike"] is None


def test_the_slots_of_a_top_with_one_face_finished_say_so(cli):
    line = f"slots {WATCHED} --width 30in --thickness 2in --finish 'polyurethane-varnish-2"
    one, both = (
        [note["code"] for note in cli.json(f"{line} {faces}'")["warnings"]] for faces in ("faces=top", "")
    )
    assert "FINISH_BOTH" in one
    assert "FINISH_BOTH" not in both


def test_the_year_in_one_sentence(cli):
    says = cli.json(f"width {WATCHED} --width 30in --thickness 2in")["verdict"]["says"]
    assert len(says) == 1
    # This top is at its widest today: it shrinks, and comes back no wider.
    months = r"^Narrowest in \w+, [\d/ -]+ in under today; by \w+ [\d/ -]+ in wider again, and no wider"
    assert re.match(months, says[0]["text"]), says[0]["text"]
