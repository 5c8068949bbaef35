"""The climates plugin: every place is there, is what the source prints, and is found by its names."""

import re
import tomllib
from importlib.resources import files
from pathlib import Path

import pytest
import woodmove_climates

from woodmove.extend.catalogue import Catalogue
from woodmove.extend.manager import Candidate, PluginManager
from woodmove.extend.slug import slug
from woodmove.sources import SOURCES, Status

PLACES = {place.key: place for place in woodmove_climates.woodmove_climates()}

# Copied by hand from the source's table: months, mean temperature [°C], morning and afternoon RH [%].
BY_HAND = {
    "minneapolis": ("14922", {1: (-9.11, 77, 68), 5: (15.06, 75, 51), 12: (-6.83, 79, 71)}),
    "phoenix": ("23183", {1: (13.56, 60, 33), 6: (32.67, 28, 12), 12: (13.00, 59, 34)}),
    "anchorage": ("26451", {1: (-8.28, 75, 74), 5: (8.78, 64, 50), 12: (-7.22, 78, 77)}),
    "mobile": ("13894", {1: (10.11, 83, 60), 8: (27.83, 91, 60), 12: (11.44, 85, 61)}),
    "denver": ("23062", {1: (-0.72, 53, 54), 7: (23.44, 46, 35), 12: (-1.11, 53, 55)}),
    "guam": ("41415", {1: (26.78, 81, 73), 9: (27.44, 87, 80), 12: (27.33, 80, 76)}),
    "washington-dc": ("13743", {1: (2.22, 71, 55), 7: (26.56, 76, 53)}),
}  # fmt: skip


@pytest.fixture(scope="module")
def registry():
    candidate = Candidate("woodmove_climates", "woodmove", "", lambda: woodmove_climates)
    said: list[str] = []
    catalogue = Catalogue(lambda: PluginManager(found=[candidate], say=said.append))
    yield catalogue.climates
    assert said == []


def package_files():
    return [f for f in (files("woodmove_climates") / "places").iterdir() if f.name.endswith(".toml")]


def test_every_file_of_the_package_is_a_place():
    assert len(package_files()) == 59
    assert {file.name.removesuffix(".toml") for file in package_files()} == set(PLACES)


def test_places_have_the_printed_numbers():
    assert sum(len(months) for _, months in BY_HAND.values()) == 20
    for key, (station, months) in BY_HAND.items():
        place = PLACES[key]
        assert place.station == station
        for month, (temp_c, morning, afternoon) in months.items():
            assert place.temp_c[month - 1] == pytest.approx(temp_c, abs=1e-9), (key, month)
            assert place.rh_pct[month - 1] == pytest.approx((morning + afternoon) / 2, abs=1e-9), (key, month)


@pytest.mark.parametrize("file", package_files(), ids=lambda file: file.name)
def test_humidity_is_the_mean_of_the_two_readings(file):
    place = tomllib.loads(file.read_text(encoding="utf-8"))
    readings = zip(place["rh_morning_pct"], place["rh_afternoon_pct"], strict=True)
    assert place["rh_pct"] == [(morning + afternoon) / 2 for morning, afternoon in readings]
    assert len(place["rh_pct"]) == len(place["temp_c"]) == 12


def test_every_place_says_how_it_is_known():
    for place in PLACES.values():
        assert place.known.source in SOURCES
        assert place.known.status is Status.PUBLISHED
        assert "mean of two readings" in place.known.remark
        assert re.fullmatch(r"\d{5}", place.station)
        assert re.fullmatch(
            r"temperature 1981-2010 normal; humidity \d{4}-\d\d to 2018-\d\d", place.period
        ), place.period


def test_readings_of_the_western_zones_are_said_to_be_low():
    low = {key for key, place in PLACES.items() if "2 % RH below" in place.known.remark}
    assert {"denver", "phoenix", "el-paso", "seattle", "boise", "reno"} <= low
    assert not low & {"minneapolis", "dallas", "new-york", "anchorage", "honolulu", "guam"}


def test_no_station_and_no_name_belongs_to_two_places():
    assert len({place.station for place in PLACES.values()}) == len(PLACES)
    owner: dict[str, str] = {}
    for place in PLACES.values():
        assert slug(place.key) == place.key
        names = {slug(name) for name in (place.key, place.name, *place.aliases)}
        for name in names:
            assert owner.setdefault(name, place.key) == place.key, name


@pytest.mark.parametrize(
    ("asked", "key"),
    [
        ("minneapolis", "minneapolis"),
        ("Minneapolis-St. Paul", "minneapolis"),
        ("minneapolis-st-paul", "minneapolis"),
        ("St Paul", "minneapolis"),
        ("St. Paul", "minneapolis"),
        ("Minneapolis, MN", "minneapolis"),
        ("nyc", "new-york"),
        ("New York", "new-york"),
        ("dc", "washington-dc"),
        ("Washington D.C.", "washington-dc"),
        ("St. Louis", "st-louis"),
        ("Portland, Oregon", "portland-or"),
        ("Portland ME", "portland-me"),
        ("Charleston WV", "charleston-wv"),
    ],
)
def test_places_are_found_by_the_names_people_use(registry, asked, key):
    assert registry.get(asked).key == key


def test_a_name_that_fits_two_places_finds_neither_but_names_both(registry):
    assert {"portland-me", "portland-or"} <= set(registry.closest("portland"))


GOOD = (files("woodmove_climates") / "places" / "fargo.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (lambda text: text + "\nfog_days = 3\n", "no fog_days"),
        (lambda text: text.replace("temp_c = [", "temp_c = [[", 1), "at line"),
        (lambda text: re.sub(r"temp_c = \[[^,]*, ", "temp_c = [", text), "temp_c has twelve months.* not 11"),
        (lambda text: re.sub(r"(?m)^rh_pct = .*$", "", text), "rh_pct is missing"),
        (lambda text: re.sub(r"temp_c = \[[^,]*,", 'temp_c = ["cold",', text), "temp_c is a list of numbers"),
        (lambda text: re.sub(r"temp_c = \[[^,]*,", "temp_c = [true,", text), "temp_c is a list of numbers"),
        (lambda text: re.sub(r"rh_pct = \[[^,]*,", "rh_pct = [120,", text, count=1), "0 to 100 % RH"),
        (lambda text: text.replace('status = "published"', 'status = "surely"'), "surely"),
        (lambda text: text.replace('station = "14914"', "station = 14914"), "station is text"),
        (lambda text: re.sub(r"aliases = .*", 'aliases = "fargo"', text), "aliases is a list"),
    ],
)
def test_a_bad_file_is_refused_by_its_name(tmp_path: Path, change, message):
    assert change(GOOD) != GOOD
    file = tmp_path / "fargo-like.toml"
    file.write_text(change(GOOD), encoding="utf-8")
    with pytest.raises(ValueError, match=rf"fargo-like\.toml.*{message}|{message}.*fargo-like"):
        woodmove_climates.read_place(file)
