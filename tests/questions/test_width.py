"""woodmove width: the top by season and by month."""

from typing import Any

import pytest

from woodmove.domain.climate import MONTHS

INCH = 25.4

OAK = "--species northern-red-oak --rings flat"
OAK_PER_PCT = 0.00304  # tangential, Wood handbook Table 13-5 (2021)
FEW = "--draws 128"  # enough where no more than the central values, or the order of a Range, is asked for
BOARDS = f"width --species northern-red-oak --width 30in --mc-now 8 --mc-low 6 --mc-high 11 {FEW}"
WIDTH = f"width {OAK} --width 36in --mc-now 8 --mc-low 6 --mc-high 11 {FEW}"


def text_of(answer: dict[str, Any], code: str, kind: str = "warnings") -> str:
    (note,) = (note for note in answer[kind] if note["code"] == code)
    return note["text"]


# width


def test_width(cli):
    found = cli.results(WIDTH + " --thickness 1in")
    width_mm = 36 * INCH
    assert found["width_now_mm"] == width_mm
    assert found["change_low_mm"]["expected"] == pytest.approx(-width_mm * OAK_PER_PCT * 2)
    assert found["change_high_mm"]["expected"] == pytest.approx(width_mm * OAK_PER_PCT * 3)
    for name in ("width", "thickness"):
        for season in ("low", "high"):
            after, change = (
                found[f"{name}_{season}_mm"],
                found[f"{name}_change_{season}_mm".replace("width_", "")],
            )
            assert after["low"] < after["expected"] < after["high"]
            assert after["expected"] == pytest.approx(found[f"{name}_now_mm"] + change["expected"])
    assert "coefficient" in found["method"]
    assert not found["months"]  # nobody said where


def test_width_by_month(cli):
    found = cli.results(f"width {OAK} --width 36in --thickness 1in --mc-now 8 --place burlington")
    assert [row["month"] for row in found["months"]] == list(MONTHS)
    wide = [row["width_mm"]["expected"] for row in found["months"]]
    assert min(wide) == pytest.approx(found["width_low_mm"]["expected"])
    assert max(wide) == pytest.approx(found["width_high_mm"]["expected"])
    assert found["months"][wide.index(min(wide))]["month"] == found["driest_month"]
    assert all({"mc_pct", "change_mm", "thickness_mm"} <= set(row) for row in found["months"])


@pytest.mark.parametrize(
    ("moisture", "method"),
    [("--mc-now 8 --mc-low 6 --mc-high 14", "coefficient"),
     ("--mc-now 8 --mc-low 5 --mc-high 14", "total shrinkage"),
     ("--mc-now 15 --mc-low 6 --mc-high 14", "total shrinkage")],
)  # fmt: skip
def test_the_method_goes_with_the_moisture(cli, moisture, method):
    assert cli.results(f"width {OAK} --width 36in {moisture}")["method"].startswith(method)


def test_rings_on_edge_are_the_radial_case_and_say_so(cli):
    line = "width --species northern-red-oak --width 36in --mc-now 8 --mc-low 6 --mc-high 11"
    on_edge = cli.json(f"{line} --rings on-edge")
    radial = cli.results("show species northern-red-oak")["coefficients"][0]["radial_per_pct"]
    assert on_edge["results"]["coefficient_per_pct"]["expected"] == pytest.approx(radial)
    quarter = cli.results(f"{line} --rings quarter")["change_low_mm"]["expected"]
    assert on_edge["results"]["change_low_mm"]["expected"] == pytest.approx(quarter)
    assert "radial" in text_of(on_edge, "ON_EDGE_PURE", "assumptions")
    flat, degrees = (
        cli.results(f"{line} --rings {rings}")["change_low_mm"]["expected"] for rings in ("flat", "0°")
    )
    assert flat == degrees < quarter < 0


def test_the_outer_strips_of_a_wide_board_move_nearly_twice_as_much(cli):
    found = cli.json(f"{BOARDS} --thickness 1/2in --stock 2x10 --pith-depth 1in")
    strips = found["results"]["strips"]
    coefficients = [strip["coefficient_per_pct"] for strip in strips]
    at_pith = min(strips, key=lambda strip: abs(strip["offset_from_pith_mm"]))
    assert 1.8 < coefficients[0] / at_pith["coefficient_per_pct"] < 2.2
    assert coefficients[0] == pytest.approx(coefficients[-1])
    assert at_pith["ring_angle_deg"] > 75 > 30 > strips[0]["ring_angle_deg"]
    # The top is the sum of its unlike strips.
    mean = sum(coefficients) / len(coefficients)
    assert found["results"]["coefficient_per_pct"]["expected"] == pytest.approx(mean)
    assert "2x10" in text_of(found, "STRIPS_EVENLY", "assumptions")


def test_a_measured_board_is_as_good_as_one_by_name(cli):
    line = f"{BOARDS} --thickness 3in --pith-depth 1in"
    sold, measured = (
        cli.results([*line.split(), "--stock", size])["strips"] for size in ("2x8", "1-1/2in x 7-1/4in")
    )
    assert [row | {"size": ""} for row in sold] == [row | {"size": ""} for row in measured]
