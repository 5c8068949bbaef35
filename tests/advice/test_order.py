"""The order of strips: a small case of the campaign, and what each turn is for."""

import numpy as np
import pytest
from campaigns import order_piles
from hypothesis import given, settings
from hypothesis import strategies as st

from woodmove.advice.top import order
from woodmove.domain.strip import Laid, Strip

# A step between faces that a hand feels (common practice).
FELT_MM = 0.003 * 25.4


def turned(strips: list[Strip], sections: list[int] | None = None) -> list[Laid]:
    row = np.arange(len(strips))
    return order.turned(row, strips, sections or [1] * len(strips), np.zeros(len(strips)))


def test_no_order_has_a_worst_step_that_a_hand_could_tell_from_it():
    assert order_piles.excesses_mm(40, 24).max() < FELT_MM


@settings(max_examples=30, deadline=None)
@given(st.integers(2, 30), st.integers(0, 10**6))
def test_every_strip_is_laid_once_and_never_worse_than_listed(count, seed):
    rng = np.random.default_rng(seed)
    strips, moved = order_piles.pile(rng, count), rng.normal(0, 0.15, (2, count))
    row = order.sorted_row(strips, moved)
    assert sorted(row) == list(range(count))
    listed = order.worst_step_mm(np.arange(count), moved)
    assert order.worst_step_mm(row, moved) <= max(listed, FELT_MM) + 1e-12


def test_the_straightest_and_clearest_of_like_strips_lie_outermost():
    strips = [
        Strip("bent", crook_mm=2.0),
        Strip("straight", crook_mm=0.1),
        Strip("marred", crook_mm=0.0, defects=frozenset({"left", "right"})),
        Strip("clear", crook_mm=0.0),
        Strip("worst", crook_mm=-3.0),
    ]
    row = order.sorted_row(strips, np.zeros((2, 5)))
    assert {strips[row[0]].name, strips[row[-1]].name} == {"clear", "straight"}


def test_what_moves_otherwise_stays_where_the_sort_puts_it():
    """The straight one is the wettest by far: at the other end, or in the middle, it would step."""
    strips = [Strip("a", crook_mm=2.0), Strip("b", crook_mm=2.0), Strip("straight", crook_mm=0.0)]
    row = order.sorted_row(strips, np.array([[0.0, 0.5, 1.0], [0.0, 0.5, 1.0]]))
    assert list(row) in ([0, 1, 2], [2, 1, 0])


@settings(max_examples=50, deadline=None)
@given(st.lists(st.floats(-3, 3), min_size=2, max_size=20))
def test_crooks_cancel_but_for_less_than_one_strips(crooks):
    """A sum that each crook goes against never grows beyond the greatest of them."""
    strips = [Strip(f"{number}", crook_mm=crook) for number, crook in enumerate(crooks)]
    left = order_piles.crook_left_mm(strips, turned(strips))
    assert left <= max(abs(crook) for crook in crooks) / len(crooks) + 1e-12


def test_each_section_is_made_straight_by_itself():
    strips = [Strip(name, crook_mm=1.0) for name in "abc"] + [Strip("d", crook_mm=1.0)]
    assert [one.mark_up for one in turned(strips, [1, 1, 2, 2])] == [True, False, True, False]


def test_a_clear_face_comes_before_a_crook():
    strips = [Strip("a", crook_mm=1.0), Strip("b", crook_mm=1.0, defects=frozenset({"down"}))]
    assert [one.mark_up for one in turned(strips)] == [True, True]


def test_bows_are_laid_against_each_other_where_nobody_read_the_grain():
    assert [one.turned for one in turned([Strip(name, bow_mm=1.0) for name in "abcd"])] == [
        False, True, False, True,
    ]  # fmt: skip


@pytest.mark.parametrize(("defect", "is_turned"), [("left", True), ("right", False)])
def test_an_outer_strip_turns_its_clear_side_out_and_the_rest_plane_as_it_does(defect, is_turned):
    strips = [
        Strip("outer", defects=frozenset({defect}), grain="away"),
        Strip("b", grain="away"),
        Strip("c", grain="toward"),
        Strip("last"),
    ]
    assert [one.turned for one in turned(strips)] == [is_turned, is_turned, not is_turned, False]
