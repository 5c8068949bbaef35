"""The climates plugin: every place is there, is what the source prints, and is found by its names."""

import re
import tomllib
from importlib.resources import files
from pathlib import Path

import pytest
import woodmove_climates

from woodmove.contract.refusal import Refusal
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.manager import Candidate, PluginManager
from woodmove.extend.slug import slug
from woodmove.sources import SOURCES, Status

PLACES = {place.key: place for place in woodmove_climates.woodmove_climates()}

# A file each; the rest are rows of world.csv.
US = {key: place for key, place in PLACES.items() if place.known.source != "wmo-normals"}
WORLD = {key: place for key, place in PLACES.items() if key not in US}

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
    assert {file.name.removesuffix(".toml") for file in package_files()} == set(US)


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


# WMO Climatological Standard Normals 1991-2020: temperature [°C] and RH [%], read in the file of the station.
NORMALS = {
    "london": {1: (5.1, 84.1), 7: (18.4, 67.4), 12: (5.5, 86.3)},
    "birmingham": {1: (4.3, 87.6), 6: (14.4, 75.5)},
    "edinburgh": {2: (4.3, 81.5), 8: (14.9, 79.0)},
    "aarhus": {1: (1.3, 89.6), 4: (6.9, 77.9)},
    "adelaide": {1: (22.7, 48.5), 7: (11.3, 74.0)},
    "a-coruna": {1: (11.1, 75.9), 12: (11.8, 75.7)},
}


def test_places_of_the_world_have_the_printed_normals():
    for key, months in NORMALS.items():
        for month, (temp_c, rh_pct) in months.items():
            assert (PLACES[key].temp_c[month - 1], PLACES[key].rh_pct[month - 1]) == (temp_c, rh_pct), key


def test_places_of_the_world_lie_where_their_seasons_say():
    """Beyond the tropics the warm half of the year is May to October in the north, and the other half in the
    south (geography); a mean of the year below 35 °C and above -25 °C (the range of inhabited places)."""
    assert len(WORLD) == 224
    assert len({place.country for place in WORLD.values()}) == 72
    for place in WORLD.values():
        mean = sum(place.temp_c) / 12
        assert -25 < mean < 35, place.key
        if abs(place.latitude_deg) > 25:
            north = sum(place.temp_c[4:10]) > sum(place.temp_c[:4] + place.temp_c[10:])
            assert north == (place.latitude_deg > 0), place.key


def test_humidity_that_was_reckoned_says_so():
    words = {place.known.status for place in WORLD.values()}
    assert words == {Status.PUBLISHED, Status.DERIVED}
    doubtful = [place for place in WORLD.values() if place.notes]
    assert len(doubtful) == 12
    assert all(place.known.status is Status.DERIVED and min(place.temp_c) <= -5 for place in doubtful)


def offered(registry, name: str) -> set[str]:
    """Places that are offered for a name that is none."""
    with pytest.raises(Refusal) as refused:
        registry.get(name)
    return set(refused.value.allowed.removeprefix("The closest known: ").rstrip(".").split(", "))


def test_a_country_offers_its_places(registry):
    assert {"berlin", "munich", "hamburg"} <= offered(registry, "Germany")
    assert registry.get("Paris, France").key == "paris"


def test_every_place_says_how_it_is_known():
    for place in US.values():
        assert place.known.source in SOURCES
        assert place.known.status is Status.PUBLISHED
        assert "mean of two readings" in place.known.remark
        assert re.fullmatch(r"\d{5}", place.station)
        assert re.fullmatch(
            r"temperature 1981-2010 normal; humidity \d{4}-\d\d to 2018-\d\d", place.period
        ), place.period


def test_readings_of_the_western_zones_are_said_to_be_low():
    low = {key for key, place in US.items() if "2 % RH below" in place.known.remark}
    assert {"denver", "phoenix", "el-paso", "seattle", "boise", "reno"} <= low
    assert not low & {"minneapolis", "dallas", "new-york", "anchorage", "honolulu", "guam"}


def test_no_station_and_no_name_belongs_to_two_places():
    assert len({place.station for place in US.values()}) == len(US)
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
    assert {"portland-me", "portland-or"} <= offered(registry, "portland")


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


def test_the_tropics_are_not_heated_and_a_house_there_may_be_open(cli):
    """Singapore lies at 1° N, its coldest month at 27 °C (geography; the normals): nobody heats a house
    there, and one that is not air conditioned is as damp as outdoors."""
    found = cli.json("climate show singapore")
    assert [note["code"] for note in found["warnings"]] == ["TAKEN_AS_COOLED"]
    assert found["verdict"]["says"][0]["code"] == "STAYS_NEAR"
    assert not any("winter" in note["text"] for note in found["assumptions"] if "heat-to" in note["text"])
    codes = [note["code"] for note in cli.json("climate show singapore --room shed")["warnings"]]
    assert "TAKEN_AS_COOLED" not in codes
    assert "TAKEN_AS_COOLED" not in [note["code"] for note in cli.json("climate show phoenix")["warnings"]]
