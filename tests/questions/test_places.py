"""Places of the user's own, weather files as places, and the room behind a logger's air."""

import shlex
from pathlib import Path

import numpy as np
import pytest

from woodmove.advice.air.fits import fit_room
from woodmove.advice.air.places import completed
from woodmove.contract.params import Request
from woodmove.contract.refusal import Refusal
from woodmove.domain.air import AirSeries, MonthlyAir
from woodmove.extend import groups
from woodmove.extend.catalogue import Catalogue
from woodmove.files.air.places import place_of_file, places_folder, read_place
from woodmove.physics.air import relative_humidity_pct, vapour_pressure_kpa
from woodmove.physics.sorption import emc_pct

pvlib = pytest.importorskip("pvlib")
DATA = Path(pvlib.__file__).parent / "data"
GREENSBORO = str(DATA / "723170TYA.CSV")
MIAMI = str(DATA / "12839.tm2")
TWELVE = (
    "--months "
    "'64F 30, 64F 30, 66F 33, 68F 38, 70F 45, 72F 52, 74F 55, 74F 55, 70F 50, 68F 42, 66F 36, 64F 31'"
)
HOUR = np.timedelta64(3600, "s")
TEAK = "--species teak --rings flat"
LUMBER = "acclimate --species red-alder --stock 2x8 --mc-now 13"


def year(first: str, days: int, *, seed: int = 1) -> AirSeries:
    """Outdoor air by the hour: seasons, days and weather."""
    times = np.datetime64(first, "s") + np.arange(24 * days) * HOUR
    day = (times - times[0].astype("datetime64[Y]")).astype(float) / 86400.0
    dice = np.random.default_rng(seed)
    weather = np.repeat(dice.normal(0, 2.5, days), 24)
    temp = 9.0 - 12.0 * np.cos(2 * np.pi * (day - 20) / 365) + 4.0 * np.sin(2 * np.pi * day) + weather
    rh = np.clip(70 - 12.0 * np.sin(2 * np.pi * day) + np.repeat(dice.normal(0, 8, days), 24), 10, 100)
    return AirSeries(times, temp, rh)


def room_of(outdoor: AirSeries, heat: float, gain: float, changes: float) -> AirSeries:
    """What a well-mixed room makes of it, written out a second time."""
    out = vapour_pressure_kpa(outdoor.temp_c, outdoor.rh_pct) + gain * np.clip(
        (20 - outdoor.temp_c) / 20, 0, 1
    )
    inside = np.empty_like(out)
    inside[0] = out[0]
    for hour in range(1, len(out)):
        inside[hour] = inside[hour - 1] + (1 - np.exp(-changes)) * (out[hour] - inside[hour - 1])
    daily = np.repeat(outdoor.temp_c.reshape(-1, 24).mean(axis=1), 24)
    temp = np.maximum(daily, heat)
    dice = np.random.default_rng(9)
    rh = np.clip(relative_humidity_pct(temp, inside) + dice.normal(0, 1.0, len(temp)), 1, 100)
    return AirSeries(outdoor.times, temp + dice.normal(0, 0.3, len(temp)), rh)


def part(series: AirSeries, first: int, last: int) -> AirSeries:
    """Its days from one to another."""
    return AirSeries(*(v[24 * first : 24 * last] for v in (series.times, series.temp_c, series.rh_pct)))


def save(name: str, series: AirSeries) -> str:
    rows = zip(series.times, series.temp_c, series.rh_pct, strict=True)
    text = "".join(f"{str(t).replace('T', ' ')},{c:.2f},{h:.1f}\n" for t, c, h in rows)
    Path(name).write_text("time,temp_c,rh\n" + text, encoding="utf-8")
    return name


def codes(document: dict, kind: str = "warnings") -> list[str]:
    return [note["code"] for note in document[kind]]


# Weather files wherever a place is accepted.


def test_show(cli):
    found = cli.json(["climate", "show", GREENSBORO, "--room", "open"])
    emc = [row["outdoor_emc_pct"] for row in found["results"]["months"]]
    assert emc == pytest.approx(
        [13.01, 12.12, 12.06, 11.44, 12.86, 14.83, 13.64, 14.14, 14.97, 15.50, 12.04, 12.32], abs=0.006
    )
    assert "MEANS_FIRST" in codes(found, "assumptions")
    assert found["results"]["latitude_deg"] == 36.1
    assert "nrel-tmy3" in found["sources"]


@pytest.mark.parametrize(
    "line",
    ["width --species teak --rings flat --width 30in --mc-now 8 --draws 128 --place",
     "acclimate --species red-alder --stock 2x8 --mc-now 13 --from 2026-12-01 --draws 128 --place"],
)  # fmt: skip
def test_a_weather_file_is_a_place(cli, line):
    assert cli.results([*line.split(), MIAMI])


def test_the_solver_gets_the_hours_of_the_file(cli):
    line = "acclimate --species red-alder --stock 2x8 --mc-now 13 --from 2026-12-01 --target-mc 9 --draws 128"
    found = cli.json([*line.split(), "--place", GREENSBORO])
    assert "by the hours of its file" in str(found["assumptions"])
    cli(["climate", "add", "months", GREENSBORO])
    by_months = cli.results([*line.split(), "--place", "months"])
    # The same year, smoothed or not: the first weeks' weather shows, and no more than that.
    ours, theirs = (r["milestones"][3]["mc_pct"]["expected"] for r in (found["results"], by_months))
    assert ours != theirs
    assert ours == pytest.approx(theirs, abs=1.0)


def test_a_job_finds_its_weather_file_beside_it(cli):
    folder = Path("work")
    folder.mkdir()
    (folder / "here.tm2").write_bytes(Path(MIAMI).read_bytes())
    assert cli(f"new {folder}/job.toml --defaults").code == 0
    text = (folder / "job.toml").read_text().replace('"minneapolis"', '"here.tm2"')
    (folder / "job.toml").write_text(text)
    document = cli.json(f"plan {folder}/job.toml --draws 128")
    (air,) = (s for s in document["results"]["sections"] if s["key"] == "air")
    assert air["answer"]["results"]["name"] == "Miami"


def test_what_is_no_place(cli):
    save("short.csv", year("2026-01-01", 40))
    for name, says in (("nothing.epw", "no file"), ("short.csv", "no whole year"), ("./x", "no file")):
        done = cli(["climate", "show", name])
        assert done.code == 1
        assert says in done.err


def test_a_logged_year_is_a_place(cli):
    save("year.csv", year("2025-03-01", 365))
    found = cli.json("climate show year.csv --room open")
    assert len(found["results"]["months"]) == 12
    assert place_of_file("year.csv") is place_of_file("year.csv")  # read once
    assert place_of_file("burlington") is None


@pytest.mark.parametrize(
    "line",
    [f"width {TEAK} --width 30in --mc-now 8",
     f"{LUMBER} --from 2026-12-01", f"{LUMBER} --temp 20C --rh 40",
     f"slots {TEAK} --width 30in --thickness 1in --mc-now 8 --screw no-10",
     f"flatten {TEAK} --width 30in --thickness 1in --mc-now 8",
     "rip --species teak --stock 2x10 --strip-width 3in --mc-now 12"],
)  # fmt: skip
def test_a_place_that_no_room_has_stops_what_hangs_on_it(cli, line):
    """Fractions that were typed into a file as percent: 0.45 % RH holds wood at 0.1 %."""
    places_folder().mkdir(parents=True)
    text = f'name = "Shop"\ntemp_c = {[20.0] * 12}\nrh_pct = {[0.45] * 12}\n'
    (places_folder() / "shop.toml").write_text(text)
    done = cli(f"{line} --place shop --draws 128")
    assert done.code == 1
    # In a house, which is warmer in summer than outdoors.
    assert "0.332 % RH at 25 °C" in done.err
    assert "woodmove climate show shop" in done.err
    # Which is what shows it.
    assert cli("climate show shop").code == 0


def test_no_place_that_is_shipped_is_one_that_no_room_has():
    catalogue = Catalogue()
    for kind in ("open", "heated", "conditioned"):
        for key, _ in catalogue.climates:
            values = {param.name: param.default for param in groups.ROOM} | {"place": key, "room": kind}
            assert 2 < groups.room_year_of(Request(values), catalogue).mean_pct < 25


def test_rows_left_out_of_a_file_are_told_wherever_it_is_a_place(cli):
    air = year("2025-03-01", 365)
    save("year.csv", air)
    text = Path("year.csv").read_text().splitlines()
    text[100] = "a hand on the button"
    Path("year.csv").write_text("\n".join(text))
    for line in ("climate show", f"{LUMBER} --from 2026-12-01 --draws 128 --place",
                 f"width {TEAK} --width 30in --mc-now 8 --draws 128 --place"):  # fmt: skip
        found = cli.json([*line.split(), "year.csv"])
        assert codes(found).count("ROWS_LEFT_OUT") == 1
        assert "line 101" in str(found["warnings"])


# climate add.


def test_add_twelve_numbers(cli):
    done = cli.results(f"climate add 'My shop' {TWELVE}")
    assert done["key"] == "my-shop"
    path = Path(done["written"])
    assert path.parent == places_folder()
    place = read_place(str(path))
    assert place.rh_pct[0] == 30
    assert place.temp_c[0] == pytest.approx((64 - 32) / 1.8, abs=1e-4)
    shown = cli.results("climate show my-shop --room open")
    assert shown["months"][7]["indoor_rh_pct"] == pytest.approx(55)
    rows = {row["key"]: row["provider"] for row in cli.results("list places")["places"]}
    assert rows["my-shop"] == "your own places"
    assert (
        cli("width --species teak --rings flat --width 30in --mc-now 8 --place my-shop --draws 128").code == 0
    )


def test_a_place_is_never_replaced_unasked(cli):
    assert cli(f"climate add shop {TWELVE}").code == 0
    again = cli(f"climate add shop {TWELVE}")
    assert again.code == 1
    assert "--force" in again.err
    assert cli(f"climate add shop {TWELVE.replace('64F', '60F')} --force").code == 0
    assert cli.results("climate show shop")["months"][0]["indoor_c"] == pytest.approx(
        (60 - 32) / 1.8, abs=1e-4
    )
    assert [path.name for path in places_folder().iterdir()] == ["shop.toml"]


def test_a_full_disk_leaves_the_old_place(cli, monkeypatch):
    assert cli(f"climate add shop {TWELVE}").code == 0
    before = (places_folder() / "shop.toml").read_bytes()

    def full(descriptor):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("woodmove.files.air.places.os.fsync", full)
    done = cli(f"climate add shop {TWELVE.replace('64F', '60F')} --force")
    assert done.code == 1
    assert "No space left" in done.err
    assert [path.name for path in places_folder().iterdir()] == ["shop.toml"]
    assert (places_folder() / "shop.toml").read_bytes() == before


def test_names_hold_no_escape_codes(cli):
    done = cli(["climate", "add", 'a"b\\c', *shlex.split(TWELVE)])
    assert done.code == 0, done.err
    assert read_place(str(next(places_folder().iterdir()))).name == 'a"b\\c'


@pytest.mark.parametrize(
    "text",
    ["name =", 'name = "x"\n', 'name = "x"\ntemp_c = [1]\nrh_pct = [2]\n', "\x00",
     'name = 3\ntemp_c = []\nrh_pct = []\n',
     f'name = "x"\ntemp_c = {[20.0] * 12}\nrh_pct = {[40.0] * 12}\nindoors = "yes"\n',
     f'name = "x"\ntemp_c = {[10] * 12}\nrh_pct = {[50] * 12}\nlatitude_deg = "44"\n'],
)  # fmt: skip
def test_a_broken_place_is_told_and_harms_no_other(cli, text):
    places_folder().mkdir(parents=True)
    (places_folder() / "bad.toml").write_text(text)
    done = cli("climate show burlington")
    assert done.code == 0
    assert "your own place bad was left out" in done.err


@pytest.mark.parametrize(
    ("line", "says"),
    [("climate add", "NAME is missing"), ("climate add shop", "Nothing says what the air"),
     ("climate add shop --months '20C 30, 20C 30'", "2 months"),
     ("climate add shop --months 20C", "its temperature and its RH"),
     (f"climate add burlington {TWELVE}", "plugin woodmove_climates"),
     (f"climate add --- {TWELVE}", "No such option"), (f"climate add ! {TWELVE}", "no name for a place"),
     ("climate add shop none.csv", "no file"), (f"climate add shop a.csv {TWELVE}", "twice"),
     (f"climate add shop {GREENSBORO},{MIAMI}", "More than one weather file"),
     ("climate add shop short.csv", "lack"), ("climate log short.csv --dates first", "one of day-first"),
     ("climate add shop short.csv --place atlantis", "no place"),
     ("climate fit few.csv --place few.csv", "days"),
     ("climate add shop few.csv --place fargo", "at least 14 days"),
     ("climate add shop few.csv --place fargo --outdoors", "At least 7 days"),
     ("climate add shop short.csv --place fargo --outdoors --room garage", "no room is to be made"),
     ("climate add shop short.csv --room heated", "no room is to be made"),
     (f"climate add shop {TWELVE} --room 'moisture_gain=2'", "no room is to be made"),
     (f"climate add shop {MIAMI} --room heated --place fargo", "no room is to be made"),
     (f"climate add shop {MIAMI},short.csv --outdoors", "weather file"),
     ("climate add shop short.csv", "--place burlington"),
     ("climate add shop short.csv --place room", "the air of a room"),
     ("climate fit short.csv --place room", "the air of a room"),
     ("width --species teak --rings flat --width 30in --mc-now 8 --place short.csv", "climate add")],
)  # fmt: skip
def test_refusals(cli, line, says):
    save("short.csv", year("2026-01-01", 40))
    save("few.csv", year("2026-01-01", 4))
    assert cli(f"climate add room {TWELVE}").code == 0
    done = cli(line)
    assert done.code in (1, 2)
    assert says in done.err
    assert "Traceback" not in done.err


# A partial year.


def test_a_partial_year_takes_the_seasons_of_its_shape():
    whole = year("2026-01-01", 365)
    months = whole.monthly()
    moved = AirSeries(whole.times, whole.temp_c + 2.0, whole.rh_pct)
    logged = part(moved, 0, 120)
    made = completed(logged, months, "it")
    assert made.logged == (True,) * 4 + (False,) * 8
    assert made.temp_offset_c == pytest.approx(2.0, abs=0.3)
    np.testing.assert_allclose(made.air.temp_c[4:], months.temp_c[4:] + 2.0, atol=0.3)
    np.testing.assert_array_equal(made.air.temp_c[:4], logged.monthly().temp_c[:4])
    assert made.notes[0].code == "COMPLETED"
    assert "May" in made.notes[0].values["months"]


def test_a_shape_of_its_own_gives_itself_back():
    whole = year("2026-01-01", 365)
    made = completed(part(whole, 60, 200), whole.monthly(), "itself")
    np.testing.assert_allclose(made.air.temp_c, whole.monthly().temp_c, atol=0.7)
    np.testing.assert_allclose(made.air.rh_pct, whole.monthly().rh_pct, atol=6.0)


def test_completed_humidity_stays_possible():
    damp = AirSeries(year("2026-01-01", 30).times, np.full(720, 15.0), np.full(720, 99.0))
    shape = MonthlyAir(np.linspace(-20, 5, 12), np.full(12, 90.0))
    made = completed(damp, shape, "cold")
    assert made.air.rh_pct.max() <= 100
    dry = completed(AirSeries(damp.times, damp.temp_c, np.full(720, 2.0)), shape, "cold")
    assert dry.air.rh_pct[1:].min() >= 5


def test_add_from_a_logger(cli):
    save("garage.csv", year("2026-01-01", 120))
    found = cli.json("climate add garage garage.csv --place burlington")
    assert "COMPLETED" in codes(found, "assumptions")
    results = found["results"]
    assert results["understood"].startswith("2880 readings")
    assert results["dropped"] == "0 of 2880 rows; no gaps"
    assert results["why"] == "nothing to drop"
    assert [row["known_by"] for row in results["months"]] == ["logged"] * 4 + ["completed"] * 8
    assert cli.results("climate show garage")["status"] == "derived"


# A log is a room.


def a_room(first: str = "2025-01-01", days: int = 365) -> AirSeries:
    """A room of 21 °C that swings from 35 % RH in winter to 55 % in summer."""
    air = year(first, days)
    season = -np.cos(2 * np.pi * (np.arange(len(air.times)) / 24 - 20) / 365)
    return AirSeries(air.times, np.full(len(air.times), 21.0), 45 + 10 * season)


def emc_of(series: AirSeries) -> np.ndarray:
    """EMC of the monthly means, by the equation alone."""
    months = series.times.astype("datetime64[M]").astype(int) % 12
    means = [(series.temp_c[months == m].mean(), series.rh_pct[months == m].mean()) for m in range(12)]
    return np.array([float(emc_pct(temp, rh)) for temp, rh in means])


@pytest.fixture(params=["a file", "a place of one's own"])
def room(cli, request) -> str:
    """What is typed after --place for the logged room."""
    save("room.csv", a_room())
    if request.param == "a file":
        return "room.csv"
    assert cli("climate add room room.csv").code == 0
    return "room"


@pytest.mark.parametrize("heating", ["", "--room 'heated heat_to=25C'", "--room open", "--room conditioned"])
def test_the_air_of_a_logged_room_is_used_as_it_is(cli, room, heating):
    """A room at 21 °C and 35 % RH in winter that were heated from the air outdoors again would stay there by
    its temperature, but gain 0.27 kPa of vapour below 0 °C; one told to be at 25 °C would dry to 27 %."""
    expected = emc_of(a_room())
    found = cli.json(f"climate show {room} {heating}")
    assert [row["indoor_emc_pct"] for row in found["results"]["months"]] == pytest.approx(expected, abs=0.02)
    assert all(row["outdoor_c"] is None for row in found["results"]["months"])
    assert "ROOM_AS_IT_IS" in codes(found, "assumptions")
    # Nothing is said to have been done to it.
    assert {"heat_to_c", "moisture_gain"}.isdisjoint(found["inputs"])
    moved = cli.json(f"width {TEAK} --width 30in --mc-now 8 --draws 128 --place {room} {heating}")
    assert [row["mc_pct"] for row in moved["results"]["months"]] == pytest.approx(expected, abs=0.02)
    assert "ROOM_AS_IT_IS" in codes(moved, "assumptions")
    assert {"heat_to_c", "moisture_gain"}.isdisjoint(moved["inputs"])
    dried = cli.json(f"{LUMBER} --from 2026-12-20 --draws 128 --place {room} {heating}")
    assert dried["results"]["target_mc_pct"] == pytest.approx(expected.mean(), abs=0.02)
    assert dried["results"]["air_emc_pct"] == pytest.approx(expected[[11, 0]].mean(), abs=0.25)
    assert "the air of room as it is, from 2026-12-20" in str(dried["assumptions"])


def test_a_machine_that_is_asked_for_works_in_a_logged_room_too(cli, room):
    found = cli.results(f"climate show {room} --room 'humidify_to=42'")
    assert min(row["indoor_rh_pct"] for row in found["months"]) == 42
    assert max(row["indoor_rh_pct"] for row in found["months"]) == pytest.approx(55, abs=0.5)


def test_a_plan_in_a_logged_room(cli):
    save("room.csv", a_room())
    assert cli("new job.toml --defaults").code == 0
    text = Path("job.toml").read_text().replace('"minneapolis"', '"room.csv"')
    Path("job.toml").write_text(text)
    found = cli.json("plan job.toml --draws 128")
    (air,) = (s["answer"]["results"] for s in found["results"]["sections"] if s["key"] == "air")
    assert [row["indoor_emc_pct"] for row in air["months"]] == pytest.approx(emc_of(a_room()), abs=0.02)
    assert codes(found, "assumptions").count("ROOM_AS_IT_IS") == 1


def test_outdoors_alone_says_that_a_log_is_outdoor_air(cli):
    outdoor = year("2025-01-01", 365)
    save("out.csv", outdoor)
    assert cli("climate add out out.csv --outdoors").code == 0
    found = cli.results("climate show out --room 'heated heat_to=20C'")
    assert [row["outdoor_c"] for row in found["months"]] == pytest.approx(outdoor.monthly().temp_c, abs=0.01)
    assert min(row["indoor_c"] for row in found["months"]) == 20
    assert cli("climate add in out.csv").code == 0
    as_room = cli.json("climate show in --room 'heated heat_to=20C'")
    assert [row["indoor_c"] for row in as_room["results"]["months"]] == pytest.approx(
        outdoor.monthly().temp_c, abs=0.01
    )
    # Which is below freezing in winter: it is asked whether it is a room.
    assert "FREEZING_ROOM" in codes(as_room)
    assert "--outdoors" in str(as_room["warnings"])


def test_twelve_numbers_are_a_room_too_unless_they_are_outdoors(cli):
    for options, coldest in (("", (64 - 32) / 1.8), ("--outdoors", 20.0)):
        assert cli(f"climate add shop {TWELVE} --force {options}").code == 0
        rows = cli.results("climate show shop --room 'heated heat_to=20C'")["months"]
        assert min(row["indoor_c"] for row in rows) == pytest.approx(coldest, abs=0.01)


def test_months_that_were_not_logged_are_those_of_the_room(cli):
    """A room written out a second time, logged for its first four months; its other months are known."""
    outdoor = year("2025-01-01", 365)
    whole = room_of(outdoor, 20.0, 0.4, 0.6)
    save("out.csv", outdoor)
    save("room.csv", part(whole, 0, 120))
    assert cli("climate add out out.csv --outdoors").code == 0
    found = cli.json("climate add room room.csv --place out")
    rows = found["results"]["months"]
    assert [row["known_by"] for row in rows] == ["logged"] * 4 + ["completed"] * 8
    assert "COMPLETED" in codes(found, "assumptions")
    assert "--room 'heated heat_to=20" in str(found["assumptions"])
    truth = whole.monthly()
    assert [row["temp_c"] for row in rows] == pytest.approx(truth.temp_c, abs=1.0)
    # The emc of its warm months, which were not logged, as near as a room is known by such a fit.
    assert [row["emc_pct"] for row in rows] == pytest.approx(truth.emc_pct, abs=1.0)
    # Outdoors, December is near freezing and 5 points damper.
    assert outdoor.monthly().emc_pct[11] - truth.emc_pct[11] > 4


@pytest.mark.parametrize("kind", ["open", "heated"])
def test_a_room_that_was_only_logged_in_summer_is_not_left_cold_in_winter(cli, kind):
    """Nothing in such a log says whether and how the room is heated: it is asked for."""
    outdoor = year("2025-01-01", 365)
    save("out.csv", outdoor)
    save("room.csv", part(outdoor if kind == "open" else room_of(outdoor, 22.0, 0.4, 0.6), 160, 230))
    assert cli("climate add out out.csv --outdoors").code == 0
    done = cli("climate add room room.csv --place out")
    assert done.code == 1
    assert "--room 'heated heat_to=68F'" in done.err
    rows = cli.results("climate add room room.csv --place out --room 'heated heat_to=20C'")["months"]
    assert rows[0]["temp_c"] > 18


def test_an_unheated_room_that_was_logged_in_winter_stays_unheated(cli):
    outdoor = year("2025-01-01", 365)
    save("out.csv", outdoor)
    save("shed.csv", part(outdoor, 0, 90))
    assert cli("climate add out out.csv --outdoors").code == 0
    rows = cli.results("climate add shed shed.csv --place out")["months"]
    assert [row["temp_c"] for row in rows] == pytest.approx(outdoor.monthly().temp_c, abs=1.0)


def test_a_weather_file_is_outdoor_air(cli):
    assert "indoors" not in Path(cli.results(f"climate add town {GREENSBORO}")["written"]).read_text()
    for place in ("town", GREENSBORO):
        found = cli.json(["climate", "show", place, "--room", "heat_to=20C"])
        assert min(row["indoor_c"] for row in found["results"]["months"]) == 20
        assert "ROOM_AS_IT_IS" not in codes(found, "assumptions")


# The room behind the air.


def test_the_room_is_found_again():
    outdoor = year("2026-01-01", 120)
    for heat, gain, changes in ((19.0, 0.4, 0.6), (15.0, 0.1, 0.2)):
        fit = fit_room(room_of(outdoor, heat, gain, changes), outdoor)
        assert fit.indoor == "heated"
        assert fit.heat_to_c == pytest.approx(heat, abs=0.3)
        assert fit.gain_kpa == pytest.approx(gain, abs=0.05)
        assert fit.changes_per_h is not None
        assert fit.changes_per_h.low <= 1.15 * changes
        assert fit.changes_per_h.high >= changes / 1.15
        assert fit.errors["emc_error_points"] < 0.6


def test_a_room_that_is_open_and_one_that_is_held():
    outdoor = year("2026-05-01", 120)
    dice = np.random.default_rng(2)
    open_room = AirSeries(
        outdoor.times, outdoor.temp_c + dice.normal(0, 0.2, len(outdoor.times)), outdoor.rh_pct
    )
    assert fit_room(open_room, outdoor).indoor == "open"
    held = AirSeries(outdoor.times, np.full(len(outdoor.times), 21.0), np.full(len(outdoor.times), 45.0))
    found = fit_room(held, outdoor)
    assert found.heat_to_c == pytest.approx(21.0, abs=0.2)


def test_normals_cannot_tell_the_air_change():
    outdoor = year("2026-01-01", 365)
    indoor = room_of(outdoor, 19.0, 0.4, 0.6)
    fit = fit_room(indoor, outdoor.monthly())
    assert fit.changes_per_h is None
    assert fit.heat_to_c == pytest.approx(19.0, abs=1.0)
    assert fit.gain_kpa == pytest.approx(0.4, abs=0.1)
    assert fit.errors["emc_error_points"] < 1.0


def test_fit_and_add_with_both(cli):
    outdoor = year("2026-01-01", 120)
    save("out.csv", outdoor)
    save("in.csv", room_of(outdoor, 19.0, 0.4, 0.6))
    fit = cli.results("climate fit in.csv --place out.csv")
    assert fit["room"].startswith("--room 'heated heat_to=19")
    assert fit["air_change_per_h"]["low"] <= 0.65
    both = cli.json(f"climate add town {GREENSBORO},in.csv")
    assert both["results"]["heat_to_c"] == pytest.approx(19.0, abs=0.5)
    assert "emc_error_points" in both["results"]
    assert cli(["climate", "fit", "in.csv", "--place", "town"]).code == 0


def test_too_few_days_say_nothing():
    with pytest.raises(Refusal, match="days of air"):
        fit_room(year("2026-01-01", 5), year("2026-01-01", 5))


# climate log.


def test_log(cli):
    file = Path(__file__).parents[1] / "files" / "loggers" / "11-with-faults.csv"
    found = cli.results(["climate", "log", str(file)])
    assert found["rows_in"] == found["rows_used"] + found["rows_dropped"] == 57
    assert "'Temperature(F)' in °F" in found["understood"]
    assert found["dropped"].startswith("5 of 57 rows; 1 gap")
    assert "1 a spike (line 32)" in found["why"]
    assert len(found["gaps"]) == 1


def test_log_asks_for_the_order_of_dates(cli):
    Path("us.csv").write_text("time,temp_f,rh\n" + "".join(f"3/4/2026 {h}:00,68,40\n" for h in range(20)))
    done = cli("climate log us.csv")
    assert done.code == 1
    assert "--dates day-first or --dates month-first" in done.err
    assert cli.results("climate log us.csv --dates month-first")["months"][0]["month"] == "March"
    assert cli.results("climate log us.csv --dates day-first")["months"][0]["month"] == "April"
