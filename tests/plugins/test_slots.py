"""woodmove slots: the travel at each screw, and what cannot be built."""

from typing import Any

import pytest

INCH = 25.4

OAK = "--species northern-red-oak --rings flat"
OAK_PER_PCT = 0.00304  # tangential, Wood handbook Table 13-5 (2021)
FEW = "--draws 128"  # enough where no more than the central values, or the order of a Range, is asked for
SLOTS = f"slots {OAK} --top-width 36in --top-thickness 1in --mc-low 6 --mc-high 11 {FEW}"


def codes(answer: dict[str, Any], kind: str = "warnings") -> list[str]:
    return [note["code"] for note in answer[kind]]


def text_of(answer: dict[str, Any], code: str, kind: str = "warnings") -> str:
    (note,) = (note for note in answer[kind] if note["code"] == code)
    return note["text"]


# slots

FIELDS = {
    "position_mm", "travel_out_mm", "travel_in_mm", "slot_length_mm", "slot_width_mm", "start_mm",
    "washer_od_mm", "screw_length_mm", "pilot_mm",
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
        assert row["washer_od_mm"] > row["slot_width_mm"] > 0
        assert row["start_mm"] == row["travel_in_mm"]
    # 16 in from the middle, 3 points up and 2 down, with the screw that the command chooses.
    reach = 16 * INCH * OAK_PER_PCT
    assert front["travel_out_mm"]["expected"] == pytest.approx(3 * reach)
    assert front["travel_in_mm"]["expected"] == pytest.approx(2 * reach)
    assert front["slot_length_mm"]["expected"] == pytest.approx(front["slot_width_mm"] + 5 * reach, abs=0.02)
    assert back["slot_length_mm"]["expected"] == pytest.approx(front["slot_length_mm"]["expected"])
    assert (middle["hole"], middle["travel_out_mm"]["high"]) == ("round", 0)
    assert codes(found, "cautions")[0] == "SNUG_NOT_TIGHT"


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
    growth = row["slot_length_mm"]["expected"] - dried["slot_length_mm"]["expected"]
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
    assert row["start_mm"]["expected"] == pytest.approx(
        (row["slot_length_mm"]["expected"] - row["slot_width_mm"]) / 2
    )
    assert f"up to {full:.1f} mm" in text_of(found, "MC_UNKNOWN")


def test_the_line_that_is_fixed(cli):
    def lengths(fixed: str) -> list[float]:
        rows = cli.results(f"{SLOTS} --mc-now 8 --at 2in,34in --fixed {fixed}")["fasteners"]
        return [row["slot_length_mm"]["expected"] - row["slot_width_mm"] for row in rows]

    front, back, center = lengths("front"), lengths("back"), lengths("center")
    assert front == pytest.approx(back[::-1])
    assert front[1] == pytest.approx(2 * center[1] * 17 / 16)
    assert lengths("18in") == pytest.approx(center)


def test_a_rail_along_the_grain_is_crossed_by_the_slot(cli):
    line = f"{SLOTS} --mc-now 8 --at 2in,34in --rail-width"
    (row, _) = cli.results(f"{line} 3in --rail-direction along")["fasteners"]
    enough_in = (row["cut_length_mm"] + 2 * 0.375 * INCH) / INCH
    assert cli(f"{line} {enough_in + 0.01:.3f}in --rail-direction along").code == 0
    done = cli(f"{line} {enough_in - 0.01:.3f}in --rail-direction along --json")
    assert (done.code, done.json["error"]["code"]) == (1, "NO_WOOD_BESIDE_SLOT")
    # Lengthwise in the rail, only the width of the slot counts.
    assert cli(f"{line} {enough_in - 0.01:.3f}in --rail-direction across").code == 0


@pytest.mark.parametrize(
    ("options", "code", "says"),
    [
        ("--rail-width 3/4in", "NO_WOOD_BESIDE_SLOT", "wider rail"),
        ("--screw '#10' --washer no-6-sae", "WASHER_DOES_NOT_COVER", "too small for the screw"),
        ("--screw '#10' --washer 1-2in-wide", "WASHER_DOES_NOT_COVER", "slips through"),
        ("--screw '#6' --washer no-5-narrow", "WASHER_DOES_NOT_COVER", "does not cover a slot"),
        ("--screw '#10 flat'", "COUNTERSUNK_SLIDES", "round or pan head"),
        ("--screw '#10' --screw-length 3in", "TIP_THROUGH", "comes through the show face"),
        ("--screw '#10' --screw-length 2-1/2in", "TIP_THROUGH", "too near the show face"),
        ("--screw '#10' --screw-length 1in", "SCREW_TOO_SHORT", "does not reach the top"),
        ("--top-thickness 1/8in", "NO_SCREW_LENGTH", "Counterbore the rail"),
        ("--at 2in,2-1/4in", "SLOTS_MEET", "farther apart"),
        ("--at 1/16in,34in", "SLOT_OFF_RAIL", "Move the outer screws inward"),
        ("--at 2in,36in", "SCREW_OFF_TOP", "between the edges"),
        ("--fixed 40in", "FIXED_OFF_TOP", "beyond the back edge"),
        ("--counterbore 1-1/4in", "RAIL_TOO_THIN", "shallower counterbore"),
        ("--rail-width 1in --top-thickness 3in --screw 3/8in", "NO_WOOD_BESIDE_SLOT", "3/8 in"),
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
    line = f"{SLOTS} --mc-now 8 --screw '#10' --screw-length"
    usual, thin = cli.json(f"{line} 2-1/4in"), cli.json(f"{line} 2-3/8in")
    assert usual["results"]["wood_over_tip_mm"] >= 0.25 * INCH
    assert "THIN_OVER_TIP" not in codes(usual)
    assert 0.125 * INCH <= thin["results"]["wood_over_tip_mm"] < 0.25 * INCH
    assert "THIN_OVER_TIP" in codes(thin)
    # What is chosen leaves 1/4 in.
    for thickness in ("3/4in", "1in", "1-1/2in", "3in"):
        chosen = cli.results(f"{SLOTS} --mc-now 8 --top-thickness {thickness}")
        assert chosen["wood_over_tip_mm"] >= 0.25 * INCH - 1e-9


def test_a_screw_and_a_washer_by_name(cli):
    found = cli.results(
        f"{SLOTS} --mc-now 8 --screw '5 mm' --washer m5-iso-7093 --screw-length 55mm --counterbore 5mm"
    )
    assert "5 mm" in found["screw"]
    assert {row["screw_length_mm"] for row in found["fasteners"]} == {55}
    assert {row["washer_od_mm"] for row in found["fasteners"]} == {15}
