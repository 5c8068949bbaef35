"""A logger's CSV, from whatever program exported it.

What a file leaves open is decided from its rows and told, or asked for; a row that is not used is told
with its reason and its line. Rows in are rows used and rows told of: none is lost in silence.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from woodmove.contract.notes import Warning
from woodmove.contract.refusal import Refusal
from woodmove.domain.air import AirSeries
from woodmove.domain.records import LoggedAir
from woodmove.files.air.cells import Cells, Letters, numbers, read_cells
from woodmove.files.air.headings import DELIMITERS, Headings, NoHeadings, find_headings, split
from woodmove.files.air.humidity import in_percent
from woodmove.files.air.stamps import AmbiguousDates, Stamps, read_stamps
from woodmove.files.texts import read_foreign_text
from woodmove.physics.arrays import Array

WHAT = "logger's CSV"
SAMPLE = 200
# Bounds of what a logger in air can have read.
COLDEST_C, WARMEST_C = -60.0, 85.0
# Air that wood is worked in is no warmer, in °C: a file whose median is above this is in °F, and a row
# above it in a file that is not is a reading in °F (status: judgement).
WARMEST_AIR_C = 45.0
# A reading that lies so far from the median of itself, two before and two after is a spike: breath,
# a hand, a bad contact (status: judgement).
SPIKE_C, SPIKE_RH = 10.0, 25.0
SPIKE_WITHIN_S = 7200.0
# A pause between readings is a gap if it is so many times as long as usual.
GAP = 2.5
# Stamps that go back by about an hour: a clock change.
HOUR_S = 3600.0

NO_TIME = "no time"
NO_NUMBER = "no number"
TOO_LONG = "more cells than headings"
IMPOSSIBLE = "a value that no air has"
UNLIKE = "not in the unit of the other rows"
DUPLICATE = "written twice"
SAME_TIME = "another reading at the same time"
CLOCK_CHANGE = "the hour that a clock change repeats"
SPIKE = "a spike"


@dataclass(frozen=True)
class Hints:
    """What somebody has said of a file.

    :param order: "day first" or "month first", empty if nobody said so
    :param temp_unit: "C" or "F", empty if nobody said so
    """

    order: str = ""
    temp_unit: str = ""


@dataclass
class _Table:
    """The three columns of a file, row by row, and which rows are out."""

    headings: Headings
    stamps: Letters
    temp: Array
    rh: Array
    lines: NDArray[np.int64]
    reason: NDArray[np.int8]
    reasons: list[str] = field(default_factory=lambda: [""])

    def drop(self, rows: NDArray[Any], reason: str) -> None:
        """Take rows out, those that are still in; `rows` is a mask or indices."""
        places = np.flatnonzero(rows) if rows.dtype == bool else rows
        places = places[self.reason[places] == 0]
        if len(places):
            if reason not in self.reasons:
                self.reasons.append(reason)
            self.reason[places] = self.reasons.index(reason)


def read_logger(path: str, hints: Hints | None = None) -> LoggedAir:
    """Read a logger's CSV.

    :raises Refusal: no file, no headings that name time, temperature and humidity, dates or units that
        nothing decides, or no usable row
    """
    hints = hints or Hints()
    text = read_foreign_text(path, WHAT).rstrip()
    if "\r" in text:
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    headings = _headings(text, path)
    table, decimal = _table(text, headings, path)
    stamps = _stamps(table, hints, path)
    table.drop(np.isnat(stamps.times), NO_TIME)
    table.drop(~(np.isfinite(table.temp) & np.isfinite(table.rh)), NO_NUMBER)
    temp_words, notes = _temperatures(table, hints)
    rh_words = _humidities(table)
    _bounds(table)
    kept = _in_time(table, stamps.times)
    _spikes(table, stamps.times, kept)
    kept = kept[table.reason[kept] == 0]
    if not len(kept):
        raise _no_rows(path, headings, _lines(table))
    times = stamps.times[kept]
    steps = np.diff(times).astype(np.int64)
    interval = float(np.median(steps)) if len(steps) else 0.0
    gaps = np.flatnonzero(steps > GAP * interval)
    names = headings.names
    return LoggedAir(
        Path(path).name,
        AirSeries(times, table.temp[kept], table.rh[kept]),
        len(table.temp),
        _lines(table),
        {
            "delimiter": DELIMITERS[headings.delimiter],
            "decimal": "comma" if decimal == "," else "point",
            "heading_line": headings.line,
            "time_column": " and ".join(names[i] for i in headings.stamp),
            "temperature_column": names[headings.temp],
            "humidity_column": names[headings.rh],
            "temperature_unit": temp_words,
            "humidity_unit": rh_words,
            "dates": f"{stamps.order} ({stamps.why})" if stamps.why else stamps.order,
        },
        interval,
        tuple((times[i], times[i + 1]) for i in gaps),
        notes,
    )


def _headings(text: str, path: str) -> Headings:
    head = text[:20_000].split("\n", 80)[:80]
    try:
        return find_headings(head)
    except NoHeadings as fault:
        raise Refusal(
            "NO_HEADINGS",
            f"{path}: no line of headings names time, temperature and humidity once each: "
            + (
                f"{fault.missing} in {fault.found!r}." if "twice" in fault.missing else f"no {fault.missing}."
            ),
            "English, German and French headings are known, such as Time, Temperature (°C), Humidity (%).",
            "Write a first line such as time,temp_c,rh_pct over the columns that count.",
            file=path,
            line=fault.line,
        ) from None


def _table(text: str, headings: Headings, path: str) -> tuple[_Table, str]:
    """The three columns, and the decimal sign."""
    lines = text.split("\n", headings.first_row + SAMPLE)
    sample = [
        split(line, headings.delimiter) for line in lines[headings.first_row : headings.first_row + SAMPLE]
    ]
    decimal = _decimal(sample, headings)
    if not headings.temp_unit:
        headings = replace(headings, temp_unit=_unit_in_cells(sample, headings.temp))
    start = sum(len(line) + 1 for line in lines[: headings.first_row])
    if start >= len(text):
        raise _no_rows(path, headings)
    body = text[start:].replace("\u2212", "-")
    cells = read_cells(body, headings.delimiter, headings.first_row + 1, len(headings.names))
    stamps = np.vstack([part for i in headings.stamp for part in (cells.column(i), _blank(cells))])
    temp, rh = (numbers(cells.column(i), decimal) for i in (headings.temp, headings.rh))
    table = _Table(
        headings, stamps, temp, rh, cells.first_line + np.arange(len(cells)), np.zeros(len(cells), np.int8)
    )
    beyond = np.flatnonzero(cells.counts > len(headings.names))
    # Delimiters behind the last cell do no harm.
    full = np.zeros(len(beyond), bool)
    for number in range(len(headings.names), int(cells.counts.max(initial=0))):
        full |= (cells.column(number)[:, beyond] != ord(" ")).any(axis=0)
        if number > len(headings.names) + 5:
            break
    beyond = beyond[full]
    if 2 * len(beyond) > len(cells):
        raise Refusal(
            "DECIMAL_COMMAS",
            f"{path}: most rows have more cells than there are headings.",
            "Numbers with decimal commas need semicolons or tabs between them, or quotation marks around.",
            "Export it again with semicolons or with decimal points.",
            file=path,
            line=headings.first_row + 1,
        )
    table.drop(beyond, TOO_LONG)
    return table, decimal


def _blank(cells: Cells) -> NDArray[np.uint8]:
    return np.full((1, len(cells)), ord(" "), np.uint8)


def _decimal(sample: Iterable[list[str]], headings: Headings) -> str:
    cells = [row[i] for row in sample for i in (headings.temp, headings.rh) if i < len(row)]
    commas = sum(bool(re.match(r"[+-]?\d+,\d+\b(?!,)", cell)) for cell in cells)
    points = sum(bool(re.match(r"[+-]?\d+\.\d+\b", cell)) for cell in cells)
    return "," if commas > points else "."


def _unit_in_cells(sample: Iterable[list[str]], temp: int) -> str:
    units = {
        match[1]
        for row in sample
        if temp < len(row) and (match := re.search(r"\d\s*°?\s*([CF])$", row[temp]))
    }
    return units.pop() if len(units) == 1 else ""


def _stamps(table: _Table, hints: Hints, path: str) -> Stamps:
    try:
        return read_stamps(table.stamps, hints.order)
    except AmbiguousDates as fault:
        if fault.mixed:
            wrong = f"{path}: {fault.example} has its day first and {fault.mixed} its month."
        else:
            wrong = f"{path}: {fault.example} can be read with its day or its month first."
        raise Refusal(
            "AMBIGUOUS_DATES",
            wrong,
            "A date counts if its rows, or you, say which number is the day.",
            "Add --dates day-first or --dates month-first.",
            file=path,
            line=table.headings.first_row + 1,
        ) from None


def _temperatures(table: _Table, hints: Hints) -> tuple[str, tuple[Warning, ...]]:
    """Bring the temperatures to °C; which unit it was and how that is known."""
    values = table.temp[table.reason == 0]
    unit, why = hints.temp_unit, "as told"
    notes: tuple[Warning, ...] = ()
    if not unit:
        unit, why = table.headings.temp_unit, "as the file says"
    if not unit and len(values) and float(np.median(values)) > WARMEST_AIR_C:
        unit, why = "F", "such air would be too hot in °C"
    if not unit:
        unit, why = "C", "assumed"
        table.drop(table.temp > WARMEST_AIR_C, UNLIKE)
        notes = (
            Warning(
                "UNIT_ASSUMED",
                "The heading {heading} names no unit, and its values could be air in either: they are read "
                "as °C. Type --temp-unit F if they are °F.",
                {"heading": table.headings.names[table.headings.temp]},
            ),
        )
    if unit == "F":
        table.temp = (table.temp - 32.0) / 1.8
    return f"°{unit} ({why})", notes


def _humidities(table: _Table) -> str:
    """Bring the humidities to percent; what they were."""
    # Whatever the heading says: some programs write % over fractions.
    table.rh, fractions, unlike = in_percent(np.where(table.reason == 0, table.rh, np.nan))
    table.drop(unlike, UNLIKE)
    if fractions:
        return "fraction (by most of its values)"
    return "percent (as the file says)" if table.headings.rh_percent else "percent (by its values)"


def _bounds(table: _Table) -> None:
    with np.errstate(invalid="ignore"):
        good = (table.temp >= COLDEST_C) & (table.temp <= WARMEST_C) & (table.rh > 0) & (table.rh <= 100)
    table.drop(~good, IMPOSSIBLE)


def _in_time(table: _Table, times: NDArray[np.datetime64]) -> NDArray[np.intp]:
    """Rows that are left, in the order of time; rows whose time was there before are dropped."""
    rows = np.flatnonzero(table.reason == 0)
    seconds = times[rows].astype(np.int64)
    if len(rows) > 1 and np.median(np.diff(seconds)) < 0:
        rows, seconds = rows[::-1], seconds[::-1]  # newest first
    steps = np.diff(seconds)
    if np.all(steps > 0):
        return rows
    back = np.flatnonzero(steps < 0) + 1
    usual = float(np.median(steps[steps > 0])) if (steps > 0).any() else 0.0
    highest = np.maximum.accumulate(seconds)
    repeated = np.zeros(len(rows), bool)
    for start in back if len(back) <= 20 else ():
        # The clock shows the hour before the change again; until it is past what it showed, rows repeat.
        if abs(usual - steps[start - 1] - HOUR_S) <= max(usual, 60.0):
            past = np.flatnonzero(seconds[start:] > highest[start - 1])
            end = start + (past[0] if len(past) else len(rows) - start)
            if seconds[end - 1] - seconds[start] <= HOUR_S:
                repeated[start:end] = True
    order = np.argsort(seconds, kind="stable")
    same = np.concatenate(([False], np.diff(seconds[order]) == 0))
    values = np.column_stack([table.temp[rows[order]], table.rh[rows[order]]])
    # A row that says what the one before said of the same time, word for word.
    alike = same & np.concatenate(([False], np.all(values[1:] == values[:-1], axis=1)))
    table.drop(rows[order[alike]], DUPLICATE)
    table.drop(rows[repeated], CLOCK_CHANGE)
    kept = order[(table.reason[rows[order]] == 0)]
    late = np.concatenate(([False], np.diff(seconds[kept]) == 0))
    table.drop(rows[kept[late]], SAME_TIME)
    return rows[kept[~late]]


def _spikes(table: _Table, times: NDArray[np.datetime64], kept: NDArray[np.intp]) -> None:
    """Drop readings far from those about them."""
    if len(kept) < 5:
        return
    seconds = times[kept].astype(np.int64)
    near = (seconds[4:] - seconds[:-4]) <= 2 * SPIKE_WITHIN_S
    wild = np.zeros(len(kept) - 4, bool)
    for values, limit in ((table.temp[kept], SPIKE_C), (table.rh[kept], SPIKE_RH)):
        jumps = np.abs(np.diff(values)) > limit / 2
        suspects = np.flatnonzero((jumps[1:-2] | jumps[2:-1]) & near)
        windows = values[suspects[:, None] + np.arange(5)]
        wild[suspects] |= np.abs(windows[:, 2] - np.median(windows, axis=1)) > limit
    table.drop(kept[2:-2][wild], SPIKE)


def _lines(table: _Table) -> dict[str, tuple[int, ...]]:
    return {
        reason: tuple(table.lines[table.reason == number].tolist())
        for number, reason in enumerate(table.reasons)
        if number
    }


def _no_rows(path: str, headings: Headings, dropped: dict[str, tuple[int, ...]] | None = None) -> Refusal:
    why = "; ".join(f"{len(lines)} rows: {reason}" for reason, lines in (dropped or {}).items())
    return Refusal(
        "NO_ROWS",
        f"{path} has no usable row under its headings{': ' + why if why else ''}.",
        "Each row holds a time, a temperature and a humidity.",
        "Export it again, or mend the rows.",
        file=path,
        line=headings.first_row + 1,
    )
