"""Moisture meters: corrections that are published, and doubt where none is."""

import sys
from pathlib import Path

import pytest
import woodmove_meters
from hypothesis import given
from hypothesis import strategies as st
from woodmove_meters.commands import MEAN_DEPTH
from woodmove_meters.loader import load

from woodmove.contract.refusal import Refusal
from woodmove.domain.meter import (
    UNKNOWN_PAIR,
    Accuracy,
    Meter,
    SpeciesPair,
    mc_of_weights_pct,
    target_weight_g,
)
from woodmove.domain.species import Known
from woodmove.extend.testkit import check_plugin
from woodmove.sources import Status
from woodmove.units.parse import parse_mass_g

sys.path.insert(0, str(Path(__file__).parents[1] / "reference"))
from reference_cases import read_cases

METERS = {meter.key: meter for meter in load()}
CASES = read_cases("meters-cases.csv", 15)
KNOWN = Known(Status.JUDGEMENT, "")


def test_contract():
    assert check_plugin(woodmove_meters) == []


@pytest.mark.parametrize(
    "case", CASES, ids=lambda c: f"{c['relation']} {c['reading_pct']} {c['wood_temp_c']}"
)
def test_reference(case):
    number = {
        name: float(value) for name, value in case.items() if name.endswith(("_pct", "_c", "_g")) and value
    }
    relation = case["relation"]
    if relation == "temperature":
        found = METERS["pin"].corrected(number["reading_pct"], number["wood_temp_c"]).mc_pct
    elif relation == "moisture":
        found = mc_of_weights_pct(number["weight_g"], number["dry_g"])
    elif relation == "target":
        wet = mc_of_weights_pct(number["weight_g"], number["dry_g"])
        found = target_weight_g(number["weight_g"], wet, number["target_pct"])
    elif relation == "density":
        found = METERS["pinless"].corrected(number["reading_pct"], gravity=0.55, gravity_setting=0.5).mc_pct
    else:
        found = MEAN_DEPTH
    assert found == pytest.approx(float(case["expected"]), abs=float(case["tolerance"]))


def test_the_table():
    assert set(METERS) == {"pin", "pinless", "oven"}
    assert (METERS["pin"].low_pct, METERS["pin"].high_pct) == (6, 30)
    assert (METERS["pinless"].low_pct, METERS["pinless"].high_pct) == (4, 30)
    for meter in METERS.values():
        assert meter.practice
        assert meter.known.source
        for band in meter.accuracy:
            assert band.known.status is Status.MEMORY


def test_one_pair_is_known_and_none_is_invented():
    pin = METERS["pin"]
    assert [pair.species for pair in pin.pairs] == ["douglas-fir-coast"]
    same = pin.corrected(12, species="douglas-fir-coast", setting="douglas-fir-coast")
    assert (same.mc_pct, same.bound_points) == (12, 0)
    unknown = pin.corrected(12, species="northern-red-oak", setting="douglas-fir-coast")
    assert unknown.mc_pct == 12
    assert unknown.bound_points == pytest.approx(12 * UNKNOWN_PAIR)
    assert "nothing translates" in unknown.steps[0]


@given(st.floats(6, 30), st.floats(0.5, 1.5), st.floats(-3, 3))
def test_a_pair_that_a_plugin_brings_translates_there_and_back(mc, slope, offset):
    pairs = (SpeciesPair("fir", 1.0, 0.0, KNOWN), SpeciesPair("oak", slope, offset, KNOWN))
    meter = Meter("m", "m", "pin", 6, 30, (Accuracy(6, 12, 1, KNOWN),), KNOWN, pairs=pairs)
    oak = meter.corrected(mc, species="oak", setting="fir")
    assert oak.bound_points == 0
    if oak.mc_pct > 0:
        assert meter.corrected(oak.mc_pct, species="fir", setting="oak").mc_pct == pytest.approx(mc)


@pytest.mark.parametrize("change", [{"principle": "magic"}, {"low_pct": 40}, {"low_pct": -1}])
def test_what_is_no_meter(change):
    values = {
        "key": "m",
        "name": "m",
        "principle": "pin",
        "low_pct": 6,
        "high_pct": 30,
        "accuracy": (),
        "known": KNOWN,
    }
    with pytest.raises(ValueError, match="m: "):
        Meter(**(values | change))


@pytest.mark.parametrize(("weight", "dry"), [(100, 0), (99, 100), (100, -1)])
def test_weights_that_cannot_be(weight, dry):
    with pytest.raises(Refusal):
        mc_of_weights_pct(weight, dry)


@pytest.mark.parametrize(
    ("text", "grams"),
    [("1234", 1234), ("1.5kg", 1500), ("3lb 4oz", 3 * 453.59237 + 4 * 28.349523125),
     ("20 oz", 20 * 28.349523125),
     ("2lbs", 907.18474), (".5 kg", 500)],
)  # fmt: skip
def test_weights(text, grams):
    assert parse_mass_g(text) == pytest.approx(grams)


@pytest.mark.parametrize("text", ["", "heavy", "3 stone", "-5g", "4oz 3lb", "1 2", "1kg 2kg", "1e3"])
def test_what_is_no_weight(text):
    with pytest.raises(ValueError, match="not a weight"):
        parse_mass_g(text)


# The commands.


def test_read(cli):
    found = cli.json("meter read 12 --wood-temp 45F --species northern-red-oak --thickness 1-1/2in")
    results = found["results"]
    assert results["mc_pct"]["expected"] == pytest.approx(12 + 0.0893 * (21.1 - 65 / 9), abs=1e-6)
    assert results["mean_depth_mm"] == pytest.approx(0.211 * 38.1)
    assert results["core_depth_mm"] == pytest.approx(19.05)


def test_read_with_a_wrong_setting_is_wider_and_says_so(cli):
    right = cli.json("meter read 10 --species teak --wood-temp 70F")
    wrong = cli.json("meter read 10 --species teak --wood-temp 70F --meter 'pin set_to=douglas-fir-coast'")
    width = [r["results"]["mc_pct"]["high"] - r["results"]["mc_pct"]["low"] for r in (right, wrong)]
    assert width[1] > 1.5 * width[0]
    assert "UNKNOWN_PAIR" in [note["code"] for note in wrong["warnings"]]


@pytest.mark.parametrize(
    ("line", "code"),
    [("meter read 3 --wood-temp 70F", "OUTSIDE_METER_RANGE"),
     ("meter read 25 --wood-temp 70F", "ACCURACY_UNKNOWN"), ("meter read 12", "NO_WOOD_TEMPERATURE")],
)  # fmt: skip
def test_warnings(cli, line, code):
    assert code in [note["code"] for note in cli.json(line)["warnings"]]


def test_pinless_by_density(cli):
    unknown = cli.results("meter read 9 --meter pinless")["mc_pct"]
    known = cli.results("meter read 9 --meter 'pinless set_to=0.5' --gravity 0.5")["mc_pct"]
    assert known["high"] - known["low"] < unknown["high"] - unknown["low"]
    dense = cli.results("meter read 9 --meter 'pinless set_to=0.5' --gravity 0.6")["mc_pct"]
    assert dense["expected"] == pytest.approx(7.5)


def test_dry_carries_the_caution_of_the_oven(cli):
    found = cli.json("meter dry 136g 100g --target-mc 8")
    assert found["results"] == pytest.approx({"mc_pct": 36, "dry_weight_g": 100, "target_weight_g": 108})
    assert [note["code"] for note in found["cautions"]] == ["OVEN"]


@pytest.mark.parametrize(
    ("line", "says"),
    [("meter dry 136g", "how wet"), ("meter dry 136g 100g --mc 9", "twice"),
     ("meter dry 90g 100g", "cannot be 100 g"), ("meter read 12 --meter oven", "no reading"),
     ("meter read 12 --meter radar", "no meter"), ("meter read 12 --gravity heavy", "specific gravity"),
     ("meter dry heavy --mc 8", "not a weight")],
)  # fmt: skip
def test_refusals(cli, line, says):
    done = cli(line)
    assert done.code in (1, 2)
    assert says in done.err


def test_a_meter_that_is_none_is_answered_with_one_that_is(cli):
    done = cli("meter read 12 --meter 'pin set=oak' --species teak")
    assert (done.code, "takes text such as pin" in done.err, "METER" in done.err) == (2, True, False)
