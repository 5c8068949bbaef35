"""Where bands do not hold what they promise, by what others measured."""

import pytest
from nature.coverage import holds
from nature.table import sets


@pytest.mark.parametrize(
    "name",
    [
        pytest.param(name, marks=pytest.mark.xfail(strict=True, raises=AssertionError, reason=reason))
        for name, reason in (
            (
                "a pine dowel outdoors",
                "10.9 of 17: the sun, and the weather of the day, have no doubt of their own",
            ),
        )
    ],
)
def test_a_set_alone(name):
    (tried,) = (tried for tried in sets() if tried.name.startswith(name))
    assert holds(tried.inside, len(tried.units))
