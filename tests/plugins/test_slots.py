"""woodmove slots: the travel at each screw, and what cannot be built."""

import math
from typing import Any

import pytest

INCH = 25.4

OAK = "--species northern-red-oak --rings flat"
OAK_PER_PCT = 0.00304  # tangential, Wood handbook Table 13-5 (2021)
FEW = "--draws 128"  # enough where no more than the central values, or the order of a Range, is asked for
SLOTS = f"slots {OAK} --width 36in --thickness 1in --mc-low 6 --mc-high 11 {FEW}"


def codes(answer: dict[str, Any], kind: str = "warnings") -> list[str]:
    return [note["code"] for note in answer[kind]]


def text_of(answer: dict[str, Any], code: str, kind: str = "warnings") -> str:
    (note,) = (note for note in answer[kind] if note["code"] == code)
    return note["text"]


# slots

FIELDS = {
    "position_mm", "hole", "cut_length_mm", "slot_width_mm", "screw_from_end_mm", "cut_out_mm", "cut_in_mm",
    "travel_out_mm", "travel_in_mm", "travel_mm", "drive",
}  # fmt: skip


def test_slots(cli):
    found = cli.json(SLOTS + " --mc-now 8 --at 2in,18in,34in")
    assert found["results"]["fixed_mm"] == 18 * INCH
    front, middle, back = found["results"]["fasteners"]
    assert [row["position_mm"] for row in (front, middle, back)] == [2 * INCH, 18 * INCH, 34 * INCH]
    for row in (front, middle, back):
        assert set(row) >= FIELDS
        for name in ("travel_out_mm", "travel_in_mm"):
            assert 0 <= row[name]["low"] <= row[name]["expected"] <= row[name]["high"]
        assert found["results"]["washer_od_mm"] > row["slot_width_mm"] > 0
    # 16 in from the middle, 3 points up and 2 down, with the screw that the command chooses.
    reach = 16 * INCH * OAK_PER_PCT
    assert front["travel_out_mm"]["expected"] == pytest.approx(3 * reach)
    assert front["travel_in_mm"]["expected"] == pytest.approx(2 * reach)
    assert front["travel_mm"]["expected"] == pytest.approx(5 * reach, abs=0.02)
    assert back["travel_mm"]["expected"] == pytest.approx(front["travel_mm"]["expected"])
    assert (middle["hole"], middle["travel_out_mm"]["high"]) == ("round", 0)
    assert any("snug, not tight" in note["text"] for note in found["verdict"]["says"])


def test_wood_fastened_wetter_than_it_will_ever_be_again(cli):
    """The commonest real case, and the one that splits tops: 13 % for a room of 5 to 9 %."""
    line = f"{SLOTS} --mc-low 5 --mc-high 9 --at 2in,34in --units mm"
    wet = cli.json(f"{line} --mc-now 13")
    (row, _) = wet["results"]["fasteners"]
    reach = 16 * INCH * OAK_PER_PCT
    assert row["travel_out_mm"]["expected"] == 0
    assert row["travel_in_mm"]["expected"] == pytest.approx(reach * (13 - 5))
    assert f"grows by {reach * (13 - 9):.1f} mm" in text_of(wet, "DRY_FIRST")
    (dried, _) = cli.results(f"{line} --mc-now 9")["fasteners"]
    growth = row["travel_mm"]["expected"] - dried["travel_mm"]["expected"]
    assert growth == pytest.approx(reach * (13 - 9))
    dry = cli.json(f"{line} --mc-now 3")
    assert "SETTLE_FIRST" in codes(dry)
    assert dry["results"]["fasteners"][0]["travel_out_mm"]["expected"] == pytest.approx(reach * (9 - 3))
    assert not {"DRY_FIRST", "SETTLE_FIRST"} & set(codes(cli.json(f"{line} --mc-now 7")))


def test_moisture_unknown_takes_the_full_travel_on_both_sides(cli):
    found = cli.json(SLOTS + " --at 2in,34in --units mm")
    (row, _) = found["results"]["fasteners"]
    full = 16 * INCH * OAK_PER_PCT * (11 - 6)
    assert row["travel_out_mm"]["expected"] == row["travel_in_mm"]["expected"] == pytest.approx(full)
    assert row["cut_in_mm"] == row["cut_out_mm"] == (row["cut_length_mm"] - row["slot_width_mm"]) / 2
    assert f"up to {math.ceil(2 * full) / 2:g} mm" in text_of(found, "MC_UNKNOWN")


def test_the_line_that_is_fixed(cli):
    def lengths(fixed: str) -> list[float]:
        rows = cli.results(f"{SLOTS} --mc-now 8 --at 2in,34in --fixed {fixed}")["fasteners"]
        return [row["travel_mm"]["expected"] for row in rows]

    front, back, center = lengths("front"), lengths("back"), lengths("center")
    assert front == pytest.approx(back[::-1])
    assert front[1] == pytest.approx(2 * center[1] * 17 / 16)
    assert lengths("18in") == pytest.approx(center)


def test_a_rail_along_the_grain_is_crossed_by_the_slot(cli):
    def line(width_in: float, direction: str) -> str:
        base = f"wood width={width_in:.3f}in direction={direction}"
        return f"{SLOTS} --mc-now 8 --at 2in,34in --base '{base}' --json"

    (row, _) = cli(line(3, "along")).json["results"]["fasteners"]
    enough_in = (row["cut_length_mm"] + 2 * 0.375 * INCH) / INCH
    assert cli(line(enough_in + 0.01, "along")).code == 0
    done = cli(line(enough_in - 0.01, "along"))
    assert (done.code, done.json["error"]["code"]) == (1, "NO_WOOD_BESIDE_SLOT")
    # Lengthwise in the rail, only the width of the slot counts.
    assert cli(line(enough_in - 0.01, "across")).code == 0


@pytest.mark.parametrize(
    ("options", "code", "says"),
    [
        ("--base 'wood width=3/4in'", "NO_WOOD_BESIDE_SLOT", "wider rail"),
        ("--screw '#10' --washer no-6-sae", "WASHER_DOES_NOT_COVER", "too small for the screw"),
        ("--screw '#10' --washer 1-2in-wide", "WASHER_DOES_NOT_COVER", "slips through"),
        ("--screw '#6' --washer no-5-narrow", "WASHER_DOES_NOT_COVER", "does not cover a slot"),
        ("--screw '#10 flat'", "COUNTERSUNK_SLIDES", "round or pan head"),
        ("--screw '#10 x 3in'", "TIP_THROUGH", "comes through the show face"),
        ("--screw '#10 x 2-1/2in'", "TIP_THROUGH", "too near the show face"),
        ("--screw '#10 x 1in'", "SCREW_TOO_SHORT", "does not reach the top"),
        ("--thickness 1/8in", "NO_SCREW_LENGTH", "Counterbore the rail"),
        ("--at 2in,2-1/4in", "SLOTS_MEET", "farther apart"),
        ("--at 1/16in,34in", "SLOT_OFF_RAIL", "Move the outer screws inward"),
        ("--at 2in,36in", "SCREW_OFF_TOP", "between the edges"),
        ("--fixed 40in", "FIXED_OFF_TOP", "beyond the back edge"),
        ("--base 'wood counterbore=1-1/4in'", "RAIL_TOO_THIN", "shallower counterbore"),
        ("--base 'wood width=1in' --thickness 3in --screw 3/8in", "NO_WOOD_BESIDE_SLOT",
         "3/8 in"),
    ],
)  # fmt: skip
def test_what_cannot_be_built_is_refused_with_what_to_change(cli, options, code, says):
    done = cli(f"{SLOTS} --mc-now 8 {options} --json")
    assert (done.code, done.json["error"]["code"]) == (1, code)
    assert says in f"{done.json['error']['text']} {done.json['error']['hint']}"
    assert done.json["error"]["hint"]


def test_a_flat_head_may_hold_where_nothing_slides(cli):
    assert cli(f"{SLOTS} --mc-now 8 --screw '#10 flat' --at 18in").code == 0


def test_wood_over_the_tip(cli):
    line = f"{SLOTS} --mc-now 8 --screw"
    usual, thin = cli.json(f"{line} '#10 x 2-1/4in'"), cli.json(f"{line} '#10 x 2-3/8in'")
    assert usual["results"]["wood_over_tip_mm"] >= 0.25 * INCH
    assert "THIN_OVER_TIP" not in codes(usual)
    assert 0.125 * INCH <= thin["results"]["wood_over_tip_mm"] < 0.25 * INCH
    assert "THIN_OVER_TIP" in codes(thin)
    # What is chosen leaves 1/4 in.
    for thickness in ("3/4in", "1in", "1-1/2in", "3in"):
        chosen = cli.results(f"{SLOTS} --mc-now 8 --thickness {thickness}")
        assert chosen["wood_over_tip_mm"] >= 0.25 * INCH - 1e-9


def test_a_screw_and_a_washer_by_name(cli):
    found = cli.results(
        f"{SLOTS} --mc-now 8 --screw '5 mm x 55mm' --washer m5-iso-7093 --base 'wood counterbore=5mm'"
    )
    assert "5 mm" in found["screw"]
    assert (found["screw_length_mm"], found["washer_od_mm"]) == (55, 15)


# Screwed tight: what gives first

TIGHT = (
    "slots --species northern-red-oak --rings flat --thickness 7/8in --width 24.69in "
    "--at 2.5in,22.19in --screw '#8' --base 'wood thickness=3/4in' --mc-now 10 --mc-low 6 "
    f"--mc-high 10 {FEW}"
)


def test_the_screws_of_a_tight_top_by_hand(cli):
    """A strip of red oak 300 mm long and 7/8 in thick between screws 500 mm apart: 14.9 kN/mm by 22 mm,
    two No. 8 in series at 3.36 kN/mm each, free movement 1.85 mm a point at 0.369 %. So it pulls with
    2.77 kN a point, half of it after creep (reference, worked order of magnitude); by the newer 0.304 %
    with 2.28. A No. 8 bears 120 lb through 3/4 in (NDS Table 12L, G 0.67) and gives between 2 and 5 times
    that, 1690 N in the middle: after 1.5 points."""
    held = cli.results(TIGHT)["if_held"]
    assert held["gives_first"] == "the screws"
    assert held["screw_kn"]["low"] == pytest.approx(2 * 0.534, rel=0.03)
    assert held["screw_kn"]["high"] == pytest.approx(5 * 0.534, rel=0.03)
    assert held["gives_after_points"]["expected"] == pytest.approx(10**0.5 * 0.534 / (2.28 / 2), rel=0.04)
    # Checked wood at 0.6 MPa (EN 338, hardwood), a sound glue line at 5.52 MPa (Wood handbook).
    assert held["end_check_kn"] == pytest.approx(0.0006 * 300 * 22.225, rel=0.01)
    assert held["glue_line_kn"]["expected"] == pytest.approx(0.00552 * 300 * 22.225, rel=0.01)


def test_a_thin_top_on_thick_screws_opens_at_a_check(cli):
    line = TIGHT.replace("7/8in", "3/8in").replace("3/4in", "1/2in").replace("'#8'", "'#14 x 3/4in'")
    found = cli.results(line)
    assert found["if_held"]["gives_first"] == "an end check"
    assert "end check" in found["why_slots"]


def test_blocked_swelling_takes_a_set(cli):
    """More than a point over a season: one sentence with one figure."""
    found = cli.results(TIGHT.replace("--mc-now 10", "--mc-now 7"))
    assert "takes a set" in found["why_slots"]
    assert "3 points" in found["why_slots"]
    assert found["if_held"]["falls_points"] == 4
    little = cli.results(TIGHT.replace("--mc-now 10", "--mc-now 9.5"))
    assert "takes a set" not in little["why_slots"]


def test_no_percentage_of_a_strength(cli):
    assert "of its strength" not in cli(f"{TIGHT} --details").out


def test_a_wood_without_strength_in_the_tables(cli):
    found = cli.json(TIGHT.replace("northern-red-oak", "teak"))
    assert found["results"]["if_held"] is None
    assert "HELD_UNKNOWN" in codes(found, "assumptions")
