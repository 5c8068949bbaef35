"""Weather files: EPW, TMY3 CSV and TMY2, each a year of hourly weather of one station.

A stamp names the end of its hour: the record of "01:00" stands for the hour from midnight, and that of
"24:00" still belongs to its day. So stamps go back by the length of a record before months are formed.
All three formats keep local standard time, without clock changes.
"""

import csv
import re
from collections.abc import Callable, Iterable, Iterator
from datetime import date
from pathlib import Path
from typing import NamedTuple

import numpy as np

from woodmove.contract.notes import Warning
from woodmove.contract.refusal import Refusal
from woodmove.domain.air import AirSeries
from woodmove.domain.climate import Climate
from woodmove.domain.records import Weather, lines_text
from woodmove.domain.species import Known
from woodmove.files.texts import read_foreign_text
from woodmove.sources import Status

WHAT = "weather file"
# Temperature and humidity from here on mean "missing" (status: memory). EPW writes 99.9 and 999, TMY2
# 9999 (in tenths) and 999, TMY3 -9900; no air comes near any of them.
_MISSING_TEMP_C, _MISSING_RH_PCT, _MISSING_BELOW = 99.0, 999.0, -900.0
# What air of a station can be [°C], and the most that a month of a year without gaps can lack.
_COLDEST_C, _WARMEST_C = -90.0, 60.0
# A year that months of several years make stands in this one.
COMMON_YEAR = 2001
_TMY2_HEAD = re.compile(
    r"\s*(\d{5}) (.{22}) (..)\s+(-?\d+) ([NS])\s*(\d+)\s+(\d+) ([EW])\s*(\d+)\s+(\d+)\s+(-?\d+)\s*$"
)


class _Record(NamedTuple):
    """One line: where it stands, the end of its hour, and what it says."""

    line: int
    year: int
    month: int
    day: int
    hour: float
    temp_c: float
    rh_pct: float


class _Station(NamedTuple):
    """The head of a file."""

    name: str
    region: str
    country: str
    station: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    # Length of a record [h]
    step_h: float = 1.0


def looks_like_weather(path: str) -> bool:
    """True if the first lines of a file are those of a weather file.

    :raises Refusal: what cannot be read
    """
    return _form(read_foreign_text(path, WHAT).split("\n", 3)[:3]) is not None


def read_weather(path: str) -> Weather:
    """Read a weather file; its format is told from its first lines.

    :raises Refusal: not a file, not one of the three formats, or no usable row
    """
    lines = read_foreign_text(path, WHAT).splitlines()
    form = _form(lines[:3])
    if form is None:
        raise Refusal(
            "NOT_WEATHER",
            f"{path} is none of the weather files that are known.",
            "EPW begins with a LOCATION line, TMY3 has Date (MM/DD/YYYY) in its second line, TMY2 begins "
            "with a station number.",
            "A logger's CSV becomes a place with woodmove climate add NAME FILE --place PLACE.",
            file=path,
            line=1,
        )
    head, rows, source = {
        "EPW": (_epw_head, _epw_rows, "epw"),
        "TMY3": (_tmy3_head, _tmy3_rows, "nrel-tmy3"),
        "TMY2": (_tmy2_head, _tmy2_rows, "nrel-tmy2"),
    }[form]
    try:
        station = head(lines)
        if not (abs(station.latitude_deg) <= 90 and abs(station.longitude_deg) <= 180):
            raise ValueError("there is no such place on earth")
    except (ValueError, IndexError, csv.Error) as problem:
        raise Refusal(
            "BAD_HEAD",
            f"{path}: the head of this {form} file cannot be read: {problem}.",
            "Its first line names the station, its latitude and longitude, the time zone and the elevation.",
            "Get the file again from where it came from.",
            file=path,
            line=1,
        ) from None
    records, broken = _collect(rows, lines)
    return _weather(path, form, source, station, records, broken)


def _form(head: list[str]) -> str | None:
    first = head[0].lstrip("\ufeff") if head else ""
    if first.upper().startswith("LOCATION,"):
        return "EPW"
    if len(head) > 1 and head[1].lstrip('"').startswith("Date (MM/DD/YYYY)"):
        return "TMY3"
    return "TMY2" if _TMY2_HEAD.match(first) else None


# Each format: its head, and its rows. A row that cannot be read raises ValueError or IndexError.


def _epw_head(lines: list[str]) -> _Station:
    cells = next(csv.reader([lines[0]]))
    _, per_hour = _data_periods(lines)
    name, region, country, _, station = (cell.strip() for cell in cells[1:6])
    return _Station(
        name,
        "" if region in ("-", "") else region,
        country,
        station,
        float(cells[6]),
        float(cells[7]),
        float(cells[9]),
        1.0 / per_hour,
    )


def _data_periods(lines: list[str]) -> tuple[int, int]:
    """The last line of the head, and the records an hour that it tells; the head of some files is longer than
    the usual eight lines.

    :raises ValueError: a number of records that no hour has
    """
    for number, line in enumerate(lines[:30]):
        if line.upper().startswith("DATA PERIODS"):
            per_hour = int(line.split(",")[2])
            if not 1 <= per_hour <= 60 or 60 % per_hour:
                raise ValueError(f"{per_hour} records an hour")
            return number, per_hour
    return 7, 1


def _epw_rows(lines: list[str]) -> Iterator[tuple[int, Callable[[], _Record]]]:
    last, per_hour = _data_periods(lines)

    def read(number: int, line: str) -> _Record:
        cells = line.split(",", 9)
        year, month, day, hour, minute = (int(cell) for cell in cells[:5])
        # With one record an hour the minute says nothing: some files write 0, others 60.
        ends = float(hour) if per_hour == 1 else hour - 1 + (minute or 60) / 60.0
        return _Record(number, year, month, day, ends, float(cells[6]), float(cells[8]))

    return _each(lines, last + 1, read)


def _tmy3_head(lines: list[str]) -> _Station:
    cells = [cell.strip() for cell in next(csv.reader([lines[0]]))]
    return _Station(cells[1], cells[2], "US", cells[0], float(cells[4]), float(cells[5]), float(cells[6]))


def _tmy3_rows(lines: list[str]) -> Iterator[tuple[int, Callable[[], _Record]]]:
    headings = [cell.strip() for cell in next(csv.reader([lines[1]]))]
    try:
        temp, rh = headings.index("Dry-bulb (C)"), headings.index("RHum (%)")
    except ValueError:
        temp, rh = 31, 37

    def read(number: int, line: str) -> _Record:
        cells = line.split(",")
        month, day, year = (int(part) for part in cells[0].split("/"))
        hour, minute = cells[1].split(":")
        return _Record(
            number, year, month, day, int(hour) + int(minute) / 60, float(cells[temp]), float(cells[rh])
        )

    return _each(lines, 2, read)


def _tmy2_head(lines: list[str]) -> _Station:
    match = _TMY2_HEAD.match(lines[0])
    if match is None:
        raise ValueError("it is not a station line")
    wban, name, state, _, north, lat, lat_min, east, lon, lon_min, elevation = match.groups()
    return _Station(
        name.strip().title(),
        state,
        "US",
        wban,
        (int(lat) + int(lat_min) / 60) * (1 if north == "N" else -1),
        (int(lon) + int(lon_min) / 60) * (1 if east == "E" else -1),
        float(elevation),
    )


def _tmy2_rows(lines: list[str]) -> Iterator[tuple[int, Callable[[], _Record]]]:
    def read(number: int, line: str) -> _Record:
        # Columns counted from 1: 2-3 year, 4-5 month, 6-7 day, 8-9 hour, 68-71 dry bulb in tenths, 80-82 RH.
        year, month, day, hour = (int(line[i : i + 2]) for i in (1, 3, 5, 7))
        if len(line) < 82:
            raise ValueError("a short row")
        return _Record(
            number, 1900 + year, month, day, float(hour), int(line[67:71]) / 10, float(line[79:82])
        )

    return _each(lines, 1, read)


def _each(
    lines: list[str], first: int, read: Callable[[int, str], _Record]
) -> Iterator[tuple[int, Callable[[], _Record]]]:
    for number, line in enumerate(lines[first:], start=first + 1):
        if line.strip():
            yield number, lambda number=number, line=line: read(number, line)


def _collect(
    rows: Callable[[list[str]], Iterable[tuple[int, Callable[[], _Record]]]], lines: list[str]
) -> tuple[list[_Record], list[int]]:
    records: list[_Record] = []
    broken: list[int] = []
    for number, read in rows(lines):
        try:
            record = read()
            date(record.year if record.year else COMMON_YEAR, record.month, record.day)
            if not 0 < record.hour <= 24 or record.temp_c != record.temp_c or record.rh_pct != record.rh_pct:
                raise ValueError("no such hour, or no number")
        except (ValueError, IndexError, OverflowError):
            broken.append(number)
        else:
            records.append(record)
    return records, broken


# From rows to a year of air.


def _weather(
    path: str, form: str, source: str, station: _Station, records: list[_Record], broken: list[int]
) -> Weather:
    temp = np.array([record.temp_c for record in records], float)
    rh = np.array([record.rh_pct for record in records], float)
    lost = (
        (temp >= _MISSING_TEMP_C)
        | (rh >= _MISSING_RH_PCT)
        | (temp <= _MISSING_BELOW)
        | (rh <= _MISSING_BELOW)
    )
    impossible = ~lost & ((temp < _COLDEST_C) | (temp > _WARMEST_C) | (rh < 0) | (rh > 100))
    if not len(records) or bool(np.all(lost | impossible)):
        raise Refusal(
            "NO_ROWS",
            f"{path} has no usable row under its head.",
            f"A {form} file has a row of at least temperature and humidity for each hour.",
            "Get the file again from where it came from.",
            file=path,
            line=broken[0] if broken else 1,
        )
    years = sorted({record.year for record in records})
    # A year that runs into the next at its last hour is still one year.
    typical = len({(record.year, record.month) for record in records}) <= 12 and len(years) > 1
    times = _times(records, station.step_h, COMMON_YEAR if typical else None)
    good = np.flatnonzero(~(lost | impossible))
    order = good[np.argsort(times[good], kind="stable")]
    rising = np.concatenate(([True], np.diff(times[order]) > np.timedelta64(0, "s")))
    twice = int((~rising).sum())
    order = order[rising]
    return Weather(
        form,
        station.name,
        station.region,
        station.country,
        station.station,
        station.latitude_deg,
        station.longitude_deg,
        station.elevation_m,
        AirSeries(times[order], temp[order], rh[order]),
        typical,
        (years[0], years[-1]),
        np.where(lost & ((temp >= _MISSING_TEMP_C) | (temp <= _MISSING_BELOW)), np.nan, temp),
        np.where(lost & ((rh >= _MISSING_RH_PCT) | (rh <= _MISSING_BELOW)), np.nan, rh),
        Known(
            Status.PUBLISHED if source.startswith("nrel") else Status.DERIVED,
            source,
            "One year of a station, as the file has it.",
        ),
        _notes(broken, int(lost.sum()), [records[i].line for i in np.flatnonzero(impossible)], twice),
    )


def _times(records: list[_Record], step_h: float, year: int | None) -> np.ndarray:
    """Beginning of each record's hour. Only the day is put into a common year, so that 29 February of a
    leap year among the months goes to 1 March."""
    days = np.array(
        [
            np.datetime64(f"{year or record.year or COMMON_YEAR:04d}-{record.month:02d}-01", "D")
            + np.timedelta64(record.day - 1, "D")
            for record in records
        ],
        dtype="datetime64[s]",
    )
    seconds = np.array([round((record.hour - step_h) * 3600) for record in records])
    return days + seconds.astype("timedelta64[s]")


def _notes(broken: list[int], lost: int, impossible: list[int], twice: int) -> tuple[Warning, ...]:
    notes = []
    if broken:
        notes.append(
            Warning(
                "ROWS_BROKEN",
                "{count} rows are too short or hold no number and were left out: {lines}.",
                {"count": len(broken), "lines": lines_text(broken)},
            )
        )
    if lost:
        notes.append(
            Warning(
                "VALUES_MISSING",
                "{count} hours are marked as missing in the file and were left out.",
                {"count": lost},
            )
        )
    if impossible:
        notes.append(
            Warning(
                "VALUES_IMPOSSIBLE",
                "{count} hours hold a temperature or a humidity that no air has and were left out: {lines}.",
                {"count": len(impossible), "lines": lines_text(impossible)},
            )
        )
    if twice:
        notes.append(
            Warning(
                "HOURS_TWICE", "{count} hours stand in the file twice; the first counts.", {"count": twice}
            )
        )
    return tuple(notes)


def climate_of_file(path: str) -> Climate:
    """The place that a weather file holds, by its monthly means.

    :raises Refusal: what :func:`read_weather` refuses, or a file with months that lack days
    """
    weather = read_weather(path)
    key = re.sub(r"[^a-z0-9]+", "-", Path(path).stem.lower()).strip("-") or "weather-file"
    try:
        return weather.climate(key)
    except ValueError as problem:
        raise Refusal(
            "NOT_A_YEAR",
            f"{path} is no whole year: {problem}.",
            "A place needs all twelve months.",
            "Complete it from a place like it: woodmove climate add NAME "
            f"{path} --place burlington, for example.",
            file=path,
        ) from None
