"""The tables of screws and washers: complete, sound, in exact millimetres, and found by their names."""

from collections import Counter
from importlib.resources import files
from itertools import pairwise

import pytest
from woodmove_fasteners import loader

from woodmove.extend.manager import Plugin, PluginManager
from woodmove.extend.registry import Registry
from woodmove.extend.slug import slug
from woodmove.sources import SOURCES, Status

SCREWS = loader.screws()
WASHERS = loader.washers()
INCH = 25.4

# Read off the standards' tables by hand, in inches:
# thread, largest shank, root, largest head, clearance (normal series).
PRINTED_SCREWS = {
    "no-5": (0.125, 0.129, None, 0.245, 5 / 32),
    "no-8": (0.164, 0.168, 0.131, 0.322, 0.196),
    "no-8-flat": (0.164, 0.168, 0.131, 0.332, 0.196),
    "no-10": (0.190, 0.194, 0.152, 0.373, 0.221),
    "no-12-flat": (0.216, 0.220, 0.171, 0.438, 0.228),
    "5-16in": (0.3125, None, None, 0.615, 11 / 32),
}
# Hole, outside, thickness.
PRINTED_WASHERS = {
    "no-8-sae": (0.188, 0.438, 0.049),
    "no-10-wide": (0.203, 0.734, 0.063),
    "1-4in-uss": (0.312, 0.734, 0.065),
    "1-4in-wide": (0.281, 1.0, 0.063),
}


def registry(kind, items):
    registry = Registry(kind, kind, f"woodmove {kind}", PluginManager(found=()))
    for item in items:
        registry.add(Plugin("tables", "", "", "loaded"), item.key, item, (item.name, *item.aliases))
    return registry


def test_no_row_is_lost():
    assert Counter(screw.standard for screw in SCREWS) == {
        "ASME B18.6.1": 34,
        "Wood handbook Table 8-9": 1,
        "ASME B18.6.3": 3,
        "DIN 96": 10,
        "DIN 97": 9,
        "DIN 7505 type, trade": 6,
        "ISO 1478, ISO 7049": 8,
        "ASME B18.2.1": 9,
        "DIN 571": 8,
    }
    assert Counter(washer.standard for washer in WASHERS) == {
        "ASME B18.21.1 Type A": 16,
        "ASME B18.21.1 Type B": 27,
        "trade, no dimension table": 7,
        "ISO 7089": 7,
        "ISO 7093-1": 8,
        "ISO 7094": 5,
    }


def test_tables_are_in_the_package():
    names = {file.name for file in (files("woodmove_fasteners") / "tables").iterdir()}
    assert {"screws.csv", "washers.csv"} <= names


def test_sizes_are_the_printed_inches():
    screws = {screw.key: screw for screw in SCREWS}
    body = {row["key"]: row["body_max_mm"] for row in loader._rows("screws.csv")}
    for key, (major, shank, root, head, clearance) in PRINTED_SCREWS.items():
        screw = screws[key]
        for mm, inches in (
            (screw.major_mm, major),
            (float(body[key]) if body[key] else None, shank),
            (screw.root_mm, root),
            (screw.head_mm, head),
            (screw.clearance_mm, clearance),
        ):
            if inches is None:
                assert mm is None
            else:
                assert mm == pytest.approx(inches * INCH, abs=0.00051), key
    washers = {washer.key: washer for washer in WASHERS}
    for key, sizes in PRINTED_WASHERS.items():
        washer = washers[key]
        have = (washer.inside_mm, washer.outside_mm, washer.thickness_mm)
        assert have == pytest.approx([size * INCH for size in sizes], abs=0.00051), key


def gauged():
    return [screw for screw in SCREWS if screw.key.startswith("no-")]


def test_gauges_follow_the_published_rule():
    """Diameter = 0.060 + 0.013 n inches."""
    assert {int(screw.key.split("-")[1]) for screw in gauged()} == {*range(13), 14, 16, 18, 20, 24}
    for screw in gauged():
        gauge = int(screw.key.split("-")[1])
        assert screw.major_mm / INCH == pytest.approx(0.060 + 0.013 * gauge, abs=0.0005), screw.key


def test_every_screw_slides_in_its_clearance_hole():
    rows = list(loader._rows("screws.csv"))
    assert sum(bool(row["body_max_mm"]) for row in rows) == 34
    for row in rows:
        thickest = float(row["body_max_mm"] or row["major_mm"])
        assert float(row["clearance_mm"]) - thickest > 0.2, row["key"]


def test_thicker_screws_have_larger_clearance_holes():
    """A drill chart mixed with a clearance series would give No. 7 a smaller hole than No. 6."""
    series: dict[tuple[str, bool], list] = {}
    for screw in SCREWS:
        family = "gauges" if screw.key.startswith("no-") else screw.standard
        series.setdefault((family, screw.countersunk), []).append(screw)
    for members in series.values():
        members.sort(key=lambda screw: screw.major_mm)
        for thinner, thicker in pairwise(members):
            # The printed hole of No. 12 is 0.16 mm smaller than the one worked out for No. 11.
            assert thicker.clearance_mm > thinner.clearance_mm - 0.2, thicker.key


def test_a_hole_in_which_screws_stick_is_refused(monkeypatch):
    row = next(row for row in loader._rows("screws.csv") if row["key"] == "no-16")
    snug = f"{17 / 64 * INCH:.3f}"  # the drill that trade charts print for No. 16
    monkeypatch.setattr(loader, "_rows", lambda name: [{**row, "clearance_mm": snug}])
    with pytest.raises(ValueError, match="no-16"):
        loader.screws()


def test_roots_and_heads():
    for screw in SCREWS:
        assert screw.root_mm is None or 0.5 * screw.major_mm < screw.root_mm < screw.major_mm, screw.key
        assert screw.head_mm is None or screw.head_mm > 1.4 * screw.major_mm, screw.key
        # Without a head a countersunk screw would not be in the table; of some gauges no pan is listed.
        assert screw.head_mm or not screw.countersunk, screw.key
    assert {screw.key for screw in SCREWS if screw.head_mm is None} == {
        "no-7", "no-9", "no-11", "no-14", "no-16", "no-18", "no-20", "no-24",
    }  # fmt: skip


@pytest.mark.parametrize("items", [SCREWS, WASHERS], ids=["screws", "washers"])
def test_each_is_of_the_system_that_its_size_is_told_in(items):
    """Gauges and fractions of an inch, or M and millimetres: lengths and washers go by it, whatever standard
    or handbook gives the sizes."""
    assert {item.inch for item in items} == {True, False}
    for item in items:
        assert item.inch == ("No. " in item.name or " in " in item.name), item.key


def test_washers_are_rings():
    for washer in WASHERS:
        assert washer.inside_mm < washer.outside_mm
        assert 0 < washer.thickness_mm < washer.outside_mm - washer.inside_mm


@pytest.mark.parametrize("items", [SCREWS, WASHERS], ids=["screws", "washers"])
def test_a_name_belongs_to_one_item_and_a_key_is_its_own_slug(items):
    assert len({item.key for item in items}) == len(items)
    owner: dict[str, str] = {}
    for item in items:
        assert slug(item.key) == item.key
        for name in (item.key, item.name, *item.aliases):
            assert owner.setdefault(slug(name), item.key) == item.key, name


@pytest.mark.parametrize("item", SCREWS + WASHERS, ids=lambda item: item.key)
def test_every_item_says_how_it_is_known(item):
    known = item.known
    # What no standard gives carries a citation in words.
    assert known.source in SOURCES or (known.source.startswith("Trade ") and known.status is Status.MEMORY)
    assert (known.status is Status.MEMORY) == ("from memory" in known.remark or "fender" in item.key)
    if known.status is Status.DERIVED:
        assert "worked out" in known.remark or "by analogy" in known.remark
    if known.status is Status.PUBLISHED:
        assert "worked out" not in known.remark


def test_counts_by_status():
    assert Counter(screw.known.status for screw in SCREWS) == {"published": 15, "derived": 27, "memory": 46}
    assert Counter(washer.known.status for washer in WASHERS) == {"published": 63, "memory": 7}


@pytest.mark.parametrize(
    ("asked", "key"),
    [
        ("#8", "no-8"),
        ("8", "no-8"),
        ("No. 8", "no-8"),
        ("no 8", "no-8"),
        ("#8 pan", "no-8"),
        ("#8 round", "no-8"),
        ("#8 flat", "no-8-flat"),
        ("No. 8 countersunk", "no-8-flat"),
        ("4 mm", "4mm"),
        ("4.5mm", "4.5mm"),
        ("4.5 mm flat", "4.5mm-flat"),
        ("4 mm chipboard", "4mm-chipboard"),
        ("ST4.2", "st4.2"),
        ("1/4", "1-4in"),
        ("1/4 in", "1-4in"),
        ("1/4in pan", "1-4in"),
        ("lag 1/4in", "lag-1-4in"),
        ("1/4 in lag", "lag-1-4in"),
        ("coach 6 mm", "coach-6mm"),
        ("6 mm coach", "coach-6mm"),
    ],
)
def test_screws_are_found_by_the_names_people_use(asked, key):
    assert registry("screw", SCREWS).get(asked).key == key


@pytest.mark.parametrize(
    ("asked", "key"),
    [
        ("#10 wide", "no-10-wide"),
        ("1/4 in fender 1 in", "1-4in-fender-1in"),
        ("1/4 fender 1-1/4", "1-4in-fender-1-1-4in"),
        ("1/4 USS", "1-4in-uss"),
        ("#8 fender", "no-8-fender-3-4in"),
        ("M5 ISO 7093", "m5-iso-7093"),
        ("m6 extra large", "m6-iso-7094"),
    ],
)
def test_washers_are_found_by_the_names_people_use(asked, key):
    assert registry("washer", WASHERS).get(asked).key == key
