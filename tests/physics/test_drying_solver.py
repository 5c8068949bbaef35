"""The solver against SciPy through a winter of weather, and what must hold for any board in any air."""

import numpy as np
import pytest
from campaigns import hourly_weather
from hypothesis import given, settings
from hypothesis import strategies as st

from woodmove.physics.diffusivity import DIFFUSIVITIES
from woodmove.physics.drying.boards import Boards, graded_cells
from woodmove.physics.drying.solver import simulate

# Hourly weather.


def test_the_yardstick_no_longer_changes():
    """Twice the nodes and a fiftieth of the tolerance: a hundredth of a percent MC."""
    usual = hourly_weather.by_lines(10, 41, 5e-4)
    assert hourly_weather.by_lines(10, 81, 1e-5) == pytest.approx(usual, abs=0.01)


def test_a_winter_of_hourly_weather():
    """The usual cells, and 0.05 % MC on every day; a whole year is a campaign."""
    assert hourly_weather.farthest(91) < 0.05


# Any board in any air.

steadily = settings(deadline=None, max_examples=200, derandomize=True)
emissions = st.one_of(st.just(0.0), st.floats(-9, -4).map(lambda power: 10.0**power))
percents = st.floats(0, 28)


@st.composite
def boards_in_air(draw, profiles=True):
    """Arguments of `simulate`: one to three boards, in one or two directions, with ends or without."""
    count = draw(st.integers(1, 3))

    def each(values):
        return np.array(draw(st.lists(values, min_size=count, max_size=count)))

    boards = Boards(
        each(st.floats(4, 150)),
        each(st.floats(0.30, 0.80)),
        each(st.floats(10, 300)) if draw(st.booleans()) else np.inf,
        each(st.floats(30, 2000)) if draw(st.booleans()) else np.inf,
        *(each(emissions) for _ in range(4)),
        factor=each(st.floats(0.2, 5.0)),
        model=draw(st.sampled_from(sorted(DIFFUSIVITIES))),
    )
    profile = profiles and draw(st.booleans())
    start = np.array([each(percents) for _ in range(4)]).T if profile else each(percents)
    gaps = draw(st.lists(st.floats(0.01, 30), min_size=3, max_size=8))
    times = np.concatenate(([0.0], np.cumsum(gaps)))
    air = np.array([each(percents) for _ in times]).T
    temp = np.array([each(st.floats(0, 45)) for _ in times]).T
    return boards, start, times, temp, air


def run(case, **more):
    return simulate(*case, **{"cells": 12, "cells_across": 4} | more)


@steadily
@given(boards_in_air())
def test_what_passes_the_faces_is_what_the_board_gains(case):
    found = run(case)
    gained = found.mean_pct - found.mean_pct[:, :1]
    assert found.passed_pct == pytest.approx(gained, abs=1e-9 * max(1.0, found.mean_pct.max()))


@steadily
@given(boards_in_air())
def test_moisture_never_leaves_the_range_of_start_and_air(case):
    _, start, times, _, air = case
    first = np.reshape(start, (len(air), -1))
    low = np.minimum(first.min(axis=1)[:, None], np.minimum.accumulate(air, axis=1))
    high = np.maximum(first.max(axis=1)[:, None], np.maximum.accumulate(air, axis=1))
    found = run(case)
    for values in (found.mean_pct, found.core_pct, found.top_pct, found.bottom_pct):
        assert values.shape == (len(air), len(times))
        assert np.all((values >= low - 1e-9) & (values <= high + 1e-9))
    profile = found.profile_pct
    assert np.all((profile >= low[:, -1:] - 1e-9) & (profile <= high[:, -1:] + 1e-9))


@settings(steadily, max_examples=60)
@given(boards_in_air())
def test_a_batch_is_its_boards_one_by_one(case):
    boards, start, times, temp, air = case
    together = run(case)
    for i in range(boards.count):
        fields = ("thickness_mm", "gravity", "width_mm", "length_mm", "top_m_s", "bottom_m_s", "edge_m_s",
                  "end_m_s", "factor")  # fmt: skip
        one = Boards(**{name: getattr(boards, name)[i] for name in fields}, model=boards.model)
        alone = run((one, start[i : i + 1], times, temp[i], air[i]))
        for name in ("mean_pct", "core_pct", "top_pct", "bottom_pct", "passed_pct", "profile_pct"):
            assert getattr(alone, name)[0] == pytest.approx(getattr(together, name)[i], abs=1e-9)


@settings(steadily, max_examples=60)
@given(boards_in_air(profiles=False))
def test_faces_that_are_alike_stay_alike(case):
    """With the start given as a profile, so that both halves are really computed."""
    boards, start, *air = case
    boards = Boards(
        boards.thickness_mm, boards.gravity, boards.width_mm, boards.length_mm, boards.top_m_s,
        boards.top_m_s, boards.edge_m_s, boards.end_m_s, boards.factor, boards.model,
    )  # fmt: skip
    whole = run((boards, np.repeat(start[:, None], 5, axis=1), *air))
    assert whole.profile_pct == pytest.approx(whole.profile_pct[:, ::-1], abs=1e-9)
    assert whole.top_pct == pytest.approx(whole.bottom_pct, abs=1e-9)
    assert whole.shell_pct == pytest.approx(whole.top_pct, abs=1e-9)
    half = run((boards, start, *air))
    assert half.mean_pct == pytest.approx(whole.mean_pct, abs=1e-9)
    assert half.profile_pct == pytest.approx(whole.profile_pct, abs=1e-9)


@settings(steadily, max_examples=60)
@given(boards_in_air())
def test_a_sealed_board_keeps_its_moisture(case):
    boards, *rest = case
    sealed = Boards(
        boards.thickness_mm, boards.gravity, boards.width_mm, np.inf, 0.0, 0.0, 0.0, 0.0, boards.factor,
        boards.model,
    )  # fmt: skip
    found = run((sealed, *rest))
    assert found.mean_pct == pytest.approx(found.mean_pct[:, :1] + np.zeros_like(found.mean_pct), abs=1e-9)
    assert not found.passed_pct.any()


# Starts.

SEALED = {"top_m_s": 0.0, "bottom_m_s": 0.0}
DAYS = np.linspace(0.0, 50.0, 26)


def test_a_profile_starts_as_it_is_told_and_evens_out():
    boards = Boards([25.4, 12.7], 0.40, **SEALED)
    found = simulate(boards, [[8.0, 16.0], [14.0, 14.0]], DAYS, 20.0, 12.0)
    assert found.mean_pct[:, 0] == pytest.approx([12.0, 14.0])
    # An outer quarter holds 1/8 of the way, as far as the cells divide there.
    assert found.top_pct[0, 0] == pytest.approx(9.0, abs=0.15)
    assert found.bottom_pct[0, 0] == pytest.approx(15.0, abs=0.15)
    assert found.core_pct[0, 0] == pytest.approx(12.0)
    assert np.all(np.diff(found.bottom_pct[0] - found.top_pct[0]) < 0)
    assert found.profile_pct[0] == pytest.approx(np.full(32, 12.0), abs=0.05)
    assert found.depth.shape == found.weight.shape == (32,)


def test_a_flat_profile_is_the_number():
    boards = Boards(38.1, 0.50, top_m_s=1e-7, bottom_m_s=3e-8)
    one, other = (simulate(boards, start, DAYS, 20.0, 6.0) for start in (12.0, [[12.0, 12.0, 12.0]]))
    assert one.mean_pct == pytest.approx(other.mean_pct, abs=1e-12)


def test_the_core_follows_the_shell():
    found = simulate(Boards(38.1, 0.50), 12.0, DAYS, 20.0, 6.0)
    assert np.all(found.shell_pct[:, 1:] < found.core_pct[:, 1:])
    assert found.mean_pct == pytest.approx(0.5 * (found.shell_pct + found.core_pct), abs=0.05)


# Edges, ends, stacks.


def final(**more):
    return simulate(Boards(25.4, 0.40, **more), 12.0, DAYS[:8], 20.0, 7.0).mean_pct[0, -1]


def test_every_open_side_dries():
    faces = final()
    assert final(width_mm=60.0) < faces
    assert final(length_mm=200.0) < faces
    assert final(width_mm=60.0, length_mm=200.0) < min(final(width_mm=60.0), final(length_mm=200.0))
    assert final(width_mm=60.0, edge_m_s=0.0) == pytest.approx(faces)
    assert final(length_mm=200.0, end_m_s=0.0) == pytest.approx(faces)
    assert final(bottom_m_s=0.0) > faces


def test_one_sealed_face_is_half_of_a_board_twice_as_thick():
    """To the cells, which are graded to both faces, and to a first step that one takes in halves alone."""
    one = simulate(Boards(25.4, 0.40, bottom_m_s=0.0), 12.0, DAYS, 20.0, 7.0).mean_pct
    double = simulate(Boards(50.8, 0.40), 12.0, DAYS, 20.0, 7.0).mean_pct
    assert one == pytest.approx(double, abs=0.02)


def test_a_batch_of_narrow_and_endless_boards_is_its_boards_one_by_one():
    boards = Boards(25.4, 0.40, [60.0, np.inf])
    found = simulate(boards, 12.0, DAYS[:8], 20.0, 7.0).mean_pct[:, -1]
    assert found == pytest.approx([final(width_mm=60.0), final()], abs=1e-9)


def test_a_batch_of_sealed_ends_is_its_boards_one_by_one():
    boards = Boards(25.4, 0.40, length_mm=[200.0, np.inf], end_m_s=0.0)
    found = simulate(boards, 12.0, DAYS[:8], 20.0, 7.0).mean_pct[:, -1]
    assert found == pytest.approx([final(), final()], abs=1e-9)


# What is refused.


@pytest.mark.parametrize(
    "wrong",
    [
        {"thickness_mm": 0.0},
        {"thickness_mm": float("nan")},
        {"gravity": -0.4},
        {"width_mm": 0.0},
        {"length_mm": -1.0},
        {"factor": 0.0},
        {"top_m_s": -1e-7},
        {"top_m_s": np.inf},
        {"end_m_s": float("nan")},
        {"model": "none such"},
    ],
    ids=str,
)
def test_impossible_boards(wrong):
    with pytest.raises(ValueError, match=r"of a board|diffusivity|< 0"):
        Boards(**{"thickness_mm": 25.4, "gravity": 0.4} | wrong)


@pytest.mark.parametrize(
    ("start", "times", "air"),
    [
        (31.0, DAYS, 7.0),
        (-1.0, DAYS, 7.0),
        (float("nan"), DAYS, 7.0),
        (12.0, DAYS[:1], 7.0),
        (12.0, DAYS[::-1], 7.0),
        (12.0, [0.0, 1.0, 1.0], 7.0),
        (12.0, DAYS, float("nan")),
    ],
    ids=str,
)
def test_impossible_air_and_starts(start, times, air):
    with pytest.raises(ValueError, match=r"start|times|gaps"):
        simulate(Boards(25.4, 0.4), start, np.asarray(times), 20.0, air)


# The run itself.


@pytest.mark.parametrize("count", [8, 16, 32, 64])
def test_cells_fill_the_thickness_finer_toward_the_faces(count):
    cells = graded_cells(count)
    assert cells.sum() == pytest.approx(1.0)
    assert cells == pytest.approx(cells[::-1])
    assert np.all(np.diff(cells[: count // 2]) > 0)
