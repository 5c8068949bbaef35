"""Types of what a plugin answers: a word out of a few, and a tuple of unlike things."""

from typing import Any

from woodmove.contract.answer import Verdict
from woodmove.contract.notes import Note
from woodmove.contract.quantity import DAYS, Quantity
from woodmove.contract.untyped import UntypedAnswer
from woodmove.extend.typed import wrong_types


def answered(verdict: Verdict) -> list[str]:
    return list(wrong_types(UntypedAnswer("a", {}, {}, verdict=verdict), UntypedAnswer))


def test_a_verdict_is_checked():
    wait = Note("WAIT", "Wait {wait_days}.", {"wait_days": 3.0}, {"wait_days": DAYS})
    assert answered(Verdict("go", (wait,))) == []
    going: Any = "going"
    assert answered(Verdict(going, (wait,))) == [
        "verdict.state is 'going' (expected: 'go' or 'wait' or 'stop' or 'know')"
    ]


def test_every_place_of_a_tuple_has_its_own_type():
    assert list(wrong_types(DAYS, Quantity)) == []
    turned: Any = (1.0, "days", 1.0)
    assert list(wrong_types(Quantity("_days", turned, DAYS.metric), Quantity)) == [
        "inch[0] is 1.0 (expected: text)",
        "inch[1] is 'days' (expected: finite number)",
    ]
