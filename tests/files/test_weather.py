"""Weather files: read to the last digit, by the right month, with everything left out told of.

The TMY3 and TMY2 files are those in the wheel of pvlib (NREL, US government work); pvlib's own reader is
the second route.
"""

from functools import cache
from pathlib import Path

import numpy as np
import pytest
from campaigns import fuzz_readers

from woodmove.contract.refusal import Refusal
from woodmove.domain.records import Weather
from woodmove.files.air.weather import climate_of_file, read_weather
from woodmove.physics.sorption import emc_pct

pvlib = pytest.importorskip("pvlib")
DATA = Path(pvlib.__file__).parent / "data"
GREENSBORO, SAND_POINT, MIAMI = (DATA / name for name in ("723170TYA.CSV", "703165TY.csv", "12839.tm2"))


@cache
def weather(path: Path) -> Weather:
    return read_weather(str(path))


@pytest.mark.parametrize("path", [GREENSBORO, SAND_POINT], ids=lambda path: path.stem)
def test_tmy3_is_what_another_reader_reads(path):
    frame, meta = pvlib.iotools.read_tmy3(path, map_variables=False)
    found = weather(path)
    np.testing.assert_array_equal(found.raw_temp_c, frame["Dry-bulb (C)"].to_numpy())
    np.testing.assert_array_equal(found.raw_rh_pct, frame["RHum (%)"].to_numpy())
    assert (found.latitude_deg, found.longitude_deg) == (meta["latitude"], meta["longitude"])
    assert found.station == str(meta["USAF"])
    assert (found.form, found.typical, found.notes) == ("TMY3", True, ())


def test_tmy2_is_what_another_reader_reads():
    frame, meta = pvlib.iotools.read_tmy2(MIAMI)
    found = weather(MIAMI)
    # That reader leaves the dry bulb in tenths.
    np.testing.assert_array_equal(found.raw_temp_c, frame["DryBulb"].to_numpy() / 10)
    np.testing.assert_array_equal(found.raw_rh_pct, frame["RHum"].to_numpy())
    assert found.latitude_deg == pytest.approx(meta["latitude"])
    assert found.longitude_deg == pytest.approx(meta["longitude"])
    assert (found.name, found.region) == ("Miami", "FL")


# Monthly means of the same files, worked out independently (tests of the note: derived).
MONTHS = {
    GREENSBORO: (
        (0.33, 5.03, 11.41, 14.69, 19.03, 23.59, 25.43, 24.76, 20.08, 13.12, 10.82, 4.23),
        (67.8, 64.0, 64.2, 61.5, 68.7, 76.8, 72.9, 74.6, 76.8, 77.7, 64.0, 64.9),
        (13.01, 12.12, 12.06, 11.44, 12.86, 14.83, 13.64, 14.14, 14.97, 15.50, 12.04, 12.32),
    ),
    MIAMI: (
        (19.98, 20.78, 21.59, 24.47, 25.79, 27.30, 27.95, 27.89, 26.90, 25.05, 23.21, 20.64),
        (75.1, 71.2, 68.5, 63.3, 76.1, 71.9, 75.8, 73.9, 78.0, 76.6, 70.0, 69.7),
        (14.49, 13.40, 12.70, 11.49, 14.52, 13.29, 14.33, 13.79, 15.05, 14.72, 13.01, 13.04),
    ),
    SAND_POINT: (
        (0.64, 1.20, 1.65, 2.09, 3.19, 8.06, 11.81, 11.88, 7.91, 4.49, 0.44, -0.59),
        (82.5, 66.4, 75.9, 71.4, 74.7, 77.0, 68.3, 79.7, 73.8, 72.5, 68.0, 70.8),
        (17.46, 12.69, 15.17, 13.91, 14.80, 15.43, 12.97, 16.23, 14.49, 14.17, 13.05, 13.76),
    ),
}


@pytest.mark.parametrize("path", MONTHS, ids=lambda path: path.stem)
def test_monthly_means_are_those_of_the_note(path):
    temp, rh, emc = MONTHS[path]
    found = weather(path).air.monthly()
    # The note has shifted Miami's stamps once more, by pvlib's index, which names the beginning of the
    # hour already: the first hour of a month then counts to the month before. So shifted, all agree.
    slack = 0.014 if path == MIAMI else 0.006
    np.testing.assert_allclose(found.temp_c, temp, atol=slack)
    if path == MIAMI:
        months = np.roll(weather(path).air.months, 1)
        again = np.bincount(months, weights=weather(path).raw_temp_c) / np.bincount(months)
        np.testing.assert_allclose(again, temp, atol=0.0051)
    np.testing.assert_allclose(found.rh_pct, rh, atol=0.051)
    np.testing.assert_allclose(found.emc_pct, emc, atol=0.011)


def test_emc_of_the_monthly_mean_air_lies_below_the_mean_of_the_hours():
    """Why the months are formed first: 0.7 to 1.7 % MC at a station over the year."""
    for path in MONTHS:
        air = weather(path).air
        hourly = np.asarray(emc_pct(air.temp_c, air.rh_pct))
        means = np.bincount(air.months, weights=hourly) / np.bincount(air.months)
        assert 0.6 < float(np.mean(means - air.monthly().emc_pct)) < 1.9


def test_the_hour_that_ends_at_midnight_belongs_to_its_day():
    found = weather(GREENSBORO).air
    assert found.times[0] == np.datetime64("2001-01-01T00:00")
    assert found.times[-1] == np.datetime64("2001-12-31T23:00")
    assert len(found.times) == 8760
    np.testing.assert_array_equal(found.days_in_months(), [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])


# EPW, made from the TMY3 file.


def as_epw(found: Weather, fields: int = 35, *, per_hour: int = 1) -> list[str]:
    """The rows of a weather file as EPW."""
    head = [
        f"LOCATION,{found.name},{found.region},USA,TMY3,{found.station},{found.latitude_deg},"
        f"{found.longitude_deg},-5.0,{found.elevation_m}",
        "DESIGN CONDITIONS,0",
        "TYPICAL/EXTREME PERIODS,0",
        "GROUND TEMPERATURES,0",
        "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
        "COMMENTS 1,made for a test",
        "COMMENTS 2,",
        f"DATA PERIODS,1,{per_hour},Data,Sunday, 1/ 1,12/31",
    ]
    rows = []
    for when, temp, rh in zip(found.air.times.tolist(), found.raw_temp_c, found.raw_rh_pct, strict=True):
        year = 1980 + when.month  # each month of another year
        start = [year, when.month, when.day, when.hour + 1, 60, "?9?9", temp, 5.0, rh, 101325]
        rows.append(",".join(map(str, [*start, *[0] * (fields - 10)])))
    return head + rows


@pytest.fixture(scope="module")
def epw() -> list[str]:
    return as_epw(weather(GREENSBORO))


def read(tmp_path: Path, lines: list[str], *, end: str = "\n", encoding: str = "utf-8") -> Weather:
    path = tmp_path / "made.epw"
    path.write_bytes(end.join([*lines, ""]).encode(encoding))
    return read_weather(str(path))


@pytest.mark.parametrize("fields", [32, 35], ids=["older, shorter rows", "full rows"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_an_epw_made_from_the_tmy3_says_the_same(tmp_path, fields, encoding):
    found = read(tmp_path, as_epw(weather(GREENSBORO), fields), end="\r\n", encoding=encoding)
    one = weather(GREENSBORO)
    np.testing.assert_array_equal(found.raw_temp_c, one.raw_temp_c)
    np.testing.assert_array_equal(found.raw_rh_pct, one.raw_rh_pct)
    np.testing.assert_array_equal(found.air.times, one.air.times)
    np.testing.assert_array_equal(found.air.temp_c, one.air.temp_c)
    assert (found.form, found.typical, found.years) == ("EPW", True, (1981, 1992))
    assert (found.name, found.station, found.latitude_deg) == (one.name, one.station, one.latitude_deg)


def test_missing_values_are_left_out_and_told(tmp_path, epw):
    lines = list(epw)
    for row, (field, code) in {20: (6, "99.9"), 21: (8, "999"), 22: (6, "99.9")}.items():
        cells = lines[row].split(",")
        cells[field] = code
        lines[row] = ",".join(cells)
    found = read(tmp_path, lines)
    assert [(n.code, n.values["count"]) for n in found.notes] == [("VALUES_MISSING", 3)]
    assert len(found.air.times) == 8757
    assert int(np.isnan(found.raw_temp_c).sum()) == 2
    assert int(np.isnan(found.raw_rh_pct).sum()) == 1


def test_missing_values_of_the_older_formats(tmp_path):
    text = GREENSBORO.read_text()
    lines = text.splitlines()
    cells = lines[10].split(",")
    cells[31] = "-9900"
    lines[10] = ",".join(cells)
    (tmp_path / "a.csv").write_text("\n".join(lines))
    assert len(read_weather(str(tmp_path / "a.csv")).air.times) == 8759
    rows = MIAMI.read_text().splitlines()
    rows[5] = rows[5][:67] + "9999" + rows[5][71:]
    rows[6] = rows[6][:79] + "999" + rows[6][82:]
    (tmp_path / "a.tm2").write_text("\r\n".join(rows))
    found = read_weather(str(tmp_path / "a.tm2"))
    assert len(found.air.times) == 8758
    assert [note.code for note in found.notes] == ["VALUES_MISSING"]


@pytest.mark.parametrize(
    ("row", "code"),
    [("1988,1,1,1,60,?9", "ROWS_BROKEN"), ("1988,1,1,1,60,?9,warm,5.0,50", "ROWS_BROKEN"),
     ("x", "ROWS_BROKEN"),
     ("1988,2,30,1,60,?9,5,5.0,50", "ROWS_BROKEN"), ("1988,1,1,25,60,?9,5,5.0,50", "ROWS_BROKEN"),
     ("1988,1,1,1,60,?9,nan,5.0,50", "ROWS_BROKEN"), ("1988,1,1,1,60,?9,5,5.0,108", "VALUES_IMPOSSIBLE"),
     ("1988,1,1,1,60,?9,75,5.0,50", "VALUES_IMPOSSIBLE"), ("1981,1,2,1,60,?9,5,5.0,50", "HOURS_TWICE")],
)  # fmt: skip
def test_a_bad_row_is_left_out_and_told(tmp_path, epw, row, code):
    found = read(tmp_path, [*epw[:15], row, *epw[15:]])
    assert [note.code for note in found.notes] == [code]
    assert len(found.air.times) == 8760
    if code != "HOURS_TWICE":
        assert found.notes[0].values.get("lines") == "line 16"


def test_two_records_an_hour(tmp_path):
    lines = as_epw(weather(GREENSBORO), per_hour=2)
    twice = lines[:8]
    for row in lines[8:]:
        cells = row.split(",")
        twice += [",".join([*cells[:4], minute, *cells[5:]]) for minute in ("30", "60")]
    found = read(tmp_path, twice)
    assert len(found.air.times) == 2 * 8760
    np.testing.assert_allclose(found.air.monthly().temp_c, weather(GREENSBORO).air.monthly().temp_c)


def test_one_real_year_keeps_its_dates(tmp_path, epw):
    lines = epw[:8] + [f"2024{row[4:]}" for row in epw[8:]]
    leap = [row.replace("2024,2,28", "2024,2,29", 1) for row in lines if row.startswith("2024,2,28,")]
    found = read(tmp_path, [*lines, *leap])
    assert not found.typical
    assert found.years == (2024, 2024)
    assert found.air.times[0] == np.datetime64("2024-01-01")
    assert found.air.days_in_months()[1] == 29


# Refusals.


@pytest.mark.parametrize(
    ("text", "code"),
    [("", "NOT_WEATHER"), ("time,temp_c,rh\n", "NOT_WEATHER"), ("LOCATION,here\n", "BAD_HEAD"),
     ("LOCATION,a,b,c,d,1,north,2,3,4\n" + "x\n" * 7, "BAD_HEAD"),
     ("LOCATION,a,b,c,d,1,nan,2,3,4\n", "BAD_HEAD"), ("LOCATION,a,b,c,d,1,91,2,3,4\n", "BAD_HEAD"),
     ("LOCATION,a,b,c,d,1,1,2,3,4\nDATA PERIODS,1,7\n", "BAD_HEAD"),
     ("LOCATION,a,b,c,d,1,1,2,3,4\n" + "x\n" * 8 + "DATA PERIODS\n", "BAD_HEAD"),
     ("LOCATION,a,b,c,d,1,1,2,3,4\n" + "x\n" * 7 + "junk\n", "NO_ROWS"),
     ('1,"a"\nDate (MM/DD/YYYY),Time (HH:MM)\n', "BAD_HEAD"), ("LOCATION\x00", "BINARY")],
)  # fmt: skip
def test_what_is_no_weather_file(tmp_path, text, code):
    path = tmp_path / "bad.epw"
    path.write_text(text)
    with pytest.raises(Refusal) as fault:
        read_weather(str(path))
    assert fault.value.code == code
    assert fault.value.instead


def test_half_a_year_is_no_place(tmp_path, epw):
    path = tmp_path / "half.epw"
    path.write_text("\n".join(epw[:4000]))
    with pytest.raises(Refusal, match="fewer than 20 days") as fault:
        climate_of_file(str(path))
    assert "climate add" in fault.value.instead


def test_mangled_files_are_read_or_refused(tmp_path, epw):
    found = fuzz_readers.fuzz_weather(tmp_path, "\n".join(epw[:60]).encode(), 300)
    assert found.read > 0
