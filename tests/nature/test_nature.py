"""How often our bands hold what others measured, and the table of it in the README."""

import os
import re
from math import comb

import documents
import pytest

from .coverage import ENOUGH_UNITS, HELD, Tried, Unit, chance, holds, pooled
from .table import sets, table

TABLE = re.compile(r"^\| set .*?(?=\n\n)", re.MULTILINE | re.DOTALL)


def test_units_are_counted_and_not_readings():
    assert {tried.name.split(":")[0]: len(tried.units) for tried in sets()} == {
        "a log of spruce": 1,
        "houses in Finland": 4,
        "a pine dowel outdoors": 17,
        "drying that was timed": 4,
        "meters in cold and warm wood": 5,
        "finishes": 23,
        "warp of planks and studs": 4,
    }


def test_all_sets_hold_together():
    assert holds(*pooled(sets()))


def test_large_sets_hold_by_themselves():
    assert [tried.name for tried in sets() if len(tried.units) >= ENOUGH_UNITS and not _held(tried)] == []


def _held(tried: Tried) -> bool:
    return holds(tried.inside, len(tried.units))


def test_a_set_that_misses_says_why():
    for tried in sets():
        assert bool(tried.why) or all(unit.share >= 0.5 for unit in tried.units), tried.name


def test_the_table_stands_in_the_readme():
    made = table(sets())
    if os.environ.get("WOODMOVE_UPDATE_README"):
        text = TABLE.sub(lambda _: made, documents.read("README.md"))
        (documents.ROOT / "README.md").write_text(text, encoding="utf-8")
        return
    assert TABLE.findall(documents.read("README.md")) == [made]


# The count itself.


def test_a_unit_counts_by_the_share_of_its_readings():
    units = (Unit("read once", (True,)), Unit("read four times", (True, True, True, False)))
    assert pooled([Tried("one", units), Tried("other", units[:1])]) == (2.75, 3)


@pytest.mark.parametrize(("inside", "units"), [(40, 58), (24, 30), (22, 30), (29, 30), (88, 100)])
def test_the_binomial_test_by_its_sum(inside, units):
    """Two-sided: all counts that are no likelier than the one found."""
    likely = [comb(units, k) * HELD**k * (1 - HELD) ** (units - k) for k in range(units + 1)]
    expected = sum(p for p in likely if p <= likely[inside] * (1 + 1e-7))
    assert chance(inside, units) == pytest.approx(expected)


def test_bands_too_narrow_and_bands_too_wide_are_found_out():
    assert holds(27, 30)
    assert not holds(22, 30)
    assert not holds(58, 58)  # 90 % bands that hold everything are too wide
