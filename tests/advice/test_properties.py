"""What must hold for any input: of EMC, of widths, of slots, of Ranges.

Relations are called directly. Where draws would blur a property that is exact, it is held to the central
values, which take no part in the drawing.
"""

from dataclasses import fields
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, example, given, reject, settings
from hypothesis import strategies as st
from woodmove_fasteners.geometry import travel_mm
from woodmove_fasteners.slots import SLOTS

from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top.width import width
from woodmove.contract.answer import Answer
from woodmove.contract.params import Request
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal
from woodmove.domain.air import MonthlyAir
from woodmove.domain.room import Room
from woodmove.domain.season import Season
from woodmove.domain.top import EdgeStrips, Rings, Top
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import LUMBER
from woodmove.extend.manager import PluginManager, installed
from woodmove.extend.params import read_all
from woodmove.physics.sorption import emc_drying_pct, emc_pct, emc_wetting_pct, rh_for_mc_pct
from woodmove.units.show import shop_fraction

quickly = settings(deadline=None)
with_draws = settings(deadline=None, max_examples=40)
CATALOGUE = Catalogue(lambda: PluginManager(installed()))
FEW = 128  # draws: enough for Ranges of the right order
WOODS = [CATALOGUE.wood(key) for key in ("northern-red-oak", "douglas-fir-coast", "teak", "hem-fir")]

humidities = st.floats(0, 100)
temperatures = st.floats(-1.1, 93.3)
moistures = st.floats(0, 20)
shares = st.floats(0, 1)


# EMC.


@quickly
@given(temperatures, humidities, humidities)
def test_emc_rises_with_humidity(temp_c, one, other):
    dry, damp = sorted((one, other))
    assume(damp - dry > 1e-6)
    assert emc_pct(temp_c, dry) < emc_pct(temp_c, damp)


@quickly
@given(st.floats(10, 93), st.floats(10, 93), st.floats(0.1, 100))
def test_emc_falls_with_temperature_from_10_to_93_degrees(one, other, rh_pct):
    cool, warm = sorted((one, other))
    assume(warm - cool > 1e-3)
    assert emc_pct(warm, rh_pct) < emc_pct(cool, rh_pct)


@quickly
@given(temperatures, humidities)
def test_the_humidity_that_holds_an_emc_is_the_one_that_made_it(temp_c, rh_pct):
    assert rh_for_mc_pct(temp_c, emc_pct(temp_c, rh_pct)) == pytest.approx(rh_pct, abs=0.001)


@quickly
@given(temperatures, humidities)
def test_emc_lies_between_its_two_sides(temp_c, rh_pct):
    middle = emc_pct(temp_c, rh_pct)
    assert emc_wetting_pct(middle) <= middle <= emc_drying_pct(middle)


@quickly
@given(
    st.lists(st.tuples(st.floats(-30, 40), st.floats(1, 100)), min_size=12, max_size=12),
    st.sampled_from(["open", "heated", "conditioned"]),
    st.floats(5, 30),
    st.one_of(st.none(), st.integers(1, 4)),
)
def test_a_room_is_never_damper_than_saturated_and_heat_only_dries(months, indoor, heat_to_c, gain):
    outdoor = MonthlyAir(*np.array(months).T)
    inside, _ = Room(indoor, heat_to_c, gain).air(outdoor)
    assert np.all((inside.rh_pct >= 0) & (inside.rh_pct <= 100))
    if indoor == "heated" and gain is None:
        assert np.all(inside.temp_c >= outdoor.temp_c)
        assert np.all(inside.rh_pct <= outdoor.rh_pct + 1e-9)


# Width.


def grains(thickness_mm: float):
    boards = st.sampled_from([LUMBER.parse(size) for size in ("2x6", "2x10", "1x12")])
    return st.one_of(
        st.floats(0, 90).map(Rings),
        st.just(Rings(90.0, on_edge=True)),
        st.tuples(boards, st.integers(0, 200)).map(lambda cut: EdgeStrips(*cut, thickness_mm)),
    )


@st.composite
def tops(draw, mc_now_pct=moistures) -> Top:
    thickness_mm = draw(st.floats(10, 100))
    return Top(
        draw(st.sampled_from(WOODS)), draw(st.floats(50, 2000)), thickness_mm, draw(grains(thickness_mm)),
        draw(mc_now_pct),
    )  # fmt: skip


def seasons():
    return st.tuples(moistures, moistures).map(lambda pair: Season.between(*sorted(pair)))


def widths(top: Top, season: Season) -> dict[str, Any]:
    found = width(top, season, Draws(FEW)).results
    return {field.name: getattr(found, field.name) for field in fields(found)}


@with_draws
@given(tops())
def test_no_change_of_moisture_is_no_change_of_width(top):
    found = widths(top, Season.between(top.mc_now_pct, top.mc_now_pct))
    for name in ("change_low_mm", "change_high_mm", "thickness_change_low_mm", "thickness_change_high_mm"):
        assert found[name].expected == pytest.approx(0, abs=1e-9)
    assert found["width_low_mm"].expected == pytest.approx(top.width_mm)


@with_draws
@given(tops(), seasons(), st.floats(0.1, 0.9))
def test_the_parts_of_a_top_add_up_to_the_top(top, season, share):
    whole = widths(top, season)
    parts = [
        widths(Top(top.wood, part * top.width_mm, top.thickness_mm, top.grain, top.mc_now_pct), season)
        for part in (share, 1 - share)
    ]
    for name in ("change_low_mm", "change_high_mm", "width_low_mm", "width_high_mm"):
        assert sum(part[name].expected for part in parts) == pytest.approx(whole[name].expected, abs=1e-9)


@with_draws
@given(tops(), seasons())
def test_the_damp_extreme_is_the_wider_one_and_changes_are_signed(top, season):
    found = widths(top, season)
    assert found["width_low_mm"].expected <= found["width_high_mm"].expected
    for name, mc_pct in (("low", season.low_pct), ("high", season.high_pct)):
        change = found[f"change_{name}_mm"].expected
        assert change == pytest.approx(found[f"width_{name}_mm"].expected - top.width_mm, abs=1e-9)
        # Above fibre saturation nothing moves; no wood here has it below 20 %.
        assert np.sign(round(change, 9)) in (0, np.sign(mc_pct - top.mc_now_pct))


# Slots: the relation.

reaches = st.tuples(st.floats(0, 1000), st.floats(0.0005, 0.005))


@quickly
@given(reaches, moistures, moistures, shares)
def test_travel_does_not_depend_on_assembly_between_the_extremes(reach, one, other, share):
    dry, wet = sorted((one, other))
    now = min(max(dry + share * (wet - dry), dry), wet)
    out, back = travel_mm(*reach, now, dry, wet)
    assert out >= 0
    assert back >= 0
    assert out + back == pytest.approx(reach[0] * reach[1] * (wet - dry), abs=1e-9)


@quickly
@given(reaches, moistures, moistures, st.floats(0, 10), st.floats(0, 10), st.booleans())
def test_travel_never_shrinks_when_assembly_leaves_the_extremes(reach, one, other, beyond, more, damp):
    dry, wet = sorted((one, other))
    edge, step = (wet, 1) if damp else (dry, -1)
    totals = [sum(travel_mm(*reach, edge + step * by, dry, wet)) for by in (0.0, beyond, beyond + more)]
    assert totals[0] <= totals[1] + 1e-9
    assert totals[1] <= totals[2] + 1e-9


# Slots: the command.

DEFAULTS = {
    "--species": "northern-red-oak", "--rings": "flat", "--width": "30in", "--thickness": "1in",
    "--mc-now": "8", "--mc-low": "6", "--mc-high": "11", "--base": "wood",
}  # fmt: skip
# What may stand in the way of a slot, and is no concern of the properties here.
UNBUILDABLE = {"NO_WOOD_BESIDE_SLOT", "SLOTS_MEET", "SLOT_OFF_RAIL", "FIXED_OFF_TOP", "NO_WASHER"}


def as_dict(row: Any) -> dict[str, Any]:
    return {field.name: getattr(row, field.name) for field in fields(row)}


def slots(texts: dict[str, str]) -> Answer:
    """The answer of the command for options as typed; what is not given is as in DEFAULTS."""
    names = {param.option: param.name for param in SLOTS.params}
    typed = {names[option]: text for option, text in (DEFAULTS | texts).items() if text}
    values, faults = read_all(SLOTS.params, typed)
    assert not faults, faults
    try:
        return SLOTS.run(Request(values, FEW, 1), CATALOGUE)
    except Refusal as fault:
        if fault.code not in UNBUILDABLE:
            raise
        reject()


def central(answer: Answer) -> list[dict[str, Any]]:
    """The fasteners, each Range as its central value."""
    return [
        {name: value.expected if isinstance(value, Range) else value for name, value in as_dict(row).items()}
        for row in answer.results.fasteners
    ]


@with_draws
@given(
    width_in=st.integers(8, 120),
    thickness_in=st.sampled_from([1.0, 1.5, 2.0, 3.0]),
    moistures=st.tuples(st.integers(3, 20), st.integers(3, 20), st.one_of(st.none(), st.integers(3, 20))),
    fixed=st.sampled_from(["center", "front", "back", "5in"]),
)
def test_the_start_lies_inside_the_slot(width_in, thickness_in, moistures, fixed):
    *extremes, now = moistures
    low, high = sorted(extremes)
    typed = {
        "--width": f"{width_in}in", "--thickness": f"{thickness_in}in", "--fixed": fixed,
        "--mc-now": "" if now is None else str(now), "--mc-low": str(low), "--mc-high": str(high),
    }  # fmt: skip
    answer = slots(typed)
    for row in map(as_dict, answer.results.fasteners):
        out, back, both = (row[name] for name in ("travel_out_mm", "travel_in_mm", "travel_mm"))
        assert both.expected == pytest.approx(out.expected + back.expected)
        assert row["cut_length_mm"] == pytest.approx(
            row["slot_width_mm"] + row["cut_out_mm"] + row["cut_in_mm"]
        )
        assert min(out.low, back.low) >= 0
        if row["hole"] == "slot":  # what is cut covers both ways with their bands
            assert row["cut_out_mm"] >= out.high - 1e-5
            assert row["cut_in_mm"] >= back.high - 1e-5
            assert row["screw_from_end_mm"] == row["cut_in_mm"] + row["slot_width_mm"] / 2
    if now is not None and low <= now <= high:
        lengths = [row["travel_mm"] for row in central(answer)]
        from_dry = central(slots(typed | {"--mc-now": str(low)}))
        assert [row["travel_mm"] for row in from_dry] == pytest.approx(lengths)


def both_systems(option: str, parts: int) -> tuple[dict[str, str], dict[str, str]]:
    """The same length typed in inches and in millimetres."""
    return {option: f"{shop_fraction(parts / 64)}in"}, {option: f"{parts / 64 * 25.4:.7f}mm"}


def same(one: list[dict[str, Any]], other: list[dict[str, Any]]) -> None:
    assert len(one) == len(other)
    for left, right in zip(one, other, strict=True):
        assert left == {
            name: pytest.approx(value, rel=1e-6, abs=1e-9) if isinstance(value, float) else value
            for name, value in right.items()
        }


@with_draws
@given(
    width=st.integers(8 * 64, 120 * 64),
    at=st.integers(2 * 64, 6 * 64),
    rail=st.integers(64, 4 * 64),
    fixed=st.integers(0, 8 * 64),
)
def test_inches_and_millimetres_give_the_same_slot(width, at, rail, fixed):
    lengths = (("--width", width), ("--at", at), ("--base", rail), ("--fixed", fixed))
    pairs = [both_systems(option, parts) for option, parts in lengths]
    inches, millimetres = ({k: v for pair in pairs for k, v in pair[side].items()} for side in (0, 1))
    for typed in (inches, millimetres):
        typed["--base"] = f"wood width={typed['--base']}"
    same(central(slots(inches)), central(slots(millimetres)))


@with_draws
@example(width_in=29)
@given(width_in=st.integers(8, 120))
def test_inches_and_millimetres_give_the_same_screws(width_in):
    inches, millimetres = both_systems("--width", 64 * width_in)
    same(central(slots(inches)), central(slots(millimetres)))


@with_draws
@given(st.integers(31, 60))
def test_wood_above_fibre_saturation_travels_no_farther_than_from_there(mc_now_pct):
    at = {"--at": "12in,18in"}
    from_saturation = central(slots(at | {"--mc-now": "30"}))
    # The slot to cut covers the doubt of the meter too, which is cut off at fibre saturation.
    ours, theirs = (
        [{name: row[name] for name in row if not name.startswith(("cut_", "screw_from"))} for row in rows]
        for rows in (central(slots(at | {"--mc-now": str(mc_now_pct)})), from_saturation)
    )
    same(ours, theirs)


# Ranges.


@quickly
@given(st.lists(st.floats(-1e6, 1e6), min_size=FEW + 1, max_size=FEW + 1))
def test_a_range_of_draws_is_in_order(values):
    found = Draws(FEW).range(np.array(values))
    assert found.low <= found.expected <= found.high
    assert found.expected == values[0]


@quickly
@given(st.lists(st.floats(), min_size=3, max_size=3))
def test_a_range_out_of_order_or_not_finite_is_no_range(values):
    low, expected, high = values
    if np.all(np.isfinite(values)) and low <= expected <= high:
        assert Range(expected, low, high).low == low
    else:
        with pytest.raises(ValueError, match=r"Range needs|finite"):
            Range(expected, low, high)


@with_draws
@given(tops(), seasons(), st.integers(0, 1000))
def test_every_range_of_an_answer_holds_its_central_value(top, season, seed):
    ranges = list(width(top, season, Draws(FEW, seed)).ranges())
    assert ranges
    again = list(width(top, season, Draws(FEW, seed + 1)).ranges())
    for one, other in zip(ranges, again, strict=True):
        assert one.low <= one.expected <= one.high
        assert one.expected == other.expected  # the seed moves the bounds only
