"""Types of what a plugin answers: a word out of a few, and a tuple of unlike things."""

from typing import Any

from woodmove.contract.answer import Table, Verdict
from woodmove.contract.notes import Note
from woodmove.contract.quantity import DAYS, Quantity
from woodmove.contract.shown import Shown
from woodmove.extend.typed import wrong_types


def answered(verdict: Verdict) -> list[str]:
    return list(wrong_types(verdict, Verdict))


def test_a_verdict_is_checked():
    wait = Note("WAIT", "Wait {wait_days}.", {"wait_days": 3.0}, {"wait_days": DAYS})
    assert answered(Verdict("go", (wait,))) == []
    going: Any = "going"
    assert answered(Verdict(going, (wait,))) == [
        "state is 'going' (expected: 'go' or 'wait' or 'stop' or 'know')"
    ]


def test_every_place_of_a_tuple_has_its_own_type():
    assert list(wrong_types(DAYS, Quantity)) == []
    turned: Any = (1.0, "days", 1.0)
    assert list(wrong_types(Quantity("_days", turned, DAYS.metric), Quantity)) == [
        "inch[0] is 1.0 (expected: text)",
        "inch[1] is 'days' (expected: finite number)",
    ]


def test_every_cell_of_a_table_is_one_that_can_be_printed():
    columns = {"a": Shown("a")}
    assert list(wrong_types(Table(columns, ((1.5,), ("oak",), (None,))), Table)) == []
    for cell in (float("nan"), {"a": 1}, [1]):
        (fault,) = wrong_types(Table(columns, ((cell,),)), Table)  # type: ignore[arg-type]
        assert fault.startswith("rows[0][0] is ")
