"""A CSV with a temperature and a humidity column."""

import io
import re
import sys
import warnings

import numpy as np

from woodmove.contract.notes import Warning
from woodmove.contract.refusal import Refusal, Refusals
from woodmove.domain.climate import AirTable
from woodmove.domain.records import lines_text
from woodmove.files.air.humidity import in_percent
from woodmove.files.texts import read_text

MOST_FAULTS = 20


def read_air_table(path: str) -> AirTable:
    """Read a CSV that has one column of temperatures and one of relative humidities.

    The temperature heading says its unit (``temp_f``, ``Temperature (°C)``); without one it is °C, with
    a warning. Humidities are fractions if most of them are; a row of the other kind is left out, with a
    warning.

    :param path: path of the file, or ``-`` for standard input
    :raises Refusal: no such columns, or not a table
    :raises Refusals: rows that cannot be read, each with its line
    """
    import pandas as pd

    name = "standard input" if path == "-" else path
    text = (sys.stdin.read() if path == "-" else read_text(path, "CSV file")).rstrip() + "\n"
    try:
        with warnings.catch_warnings():
            # Cells beyond the headings would be dropped with no more than a warning.
            warnings.simplefilter("error", pd.errors.ParserWarning)
            # Blank lines are kept, so that row i of the frame is line i + 2 of the file.
            frame = pd.read_csv(
                io.StringIO(text), dtype=str, keep_default_na=False, skip_blank_lines=False, index_col=False
            )
    except (pd.errors.ParserError, pd.errors.EmptyDataError, pd.errors.ParserWarning, ValueError) as problem:
        where = re.search(r"line (\d+)", str(problem))
        raise Refusal(
            "NOT_CSV", f"{name} is not a table with commas between its columns.",
            "A table has a line of headings and the same number of columns in each row.",
            "Export it again as CSV.", file=name, line=int(where[1]) if where else 1,
        ) from None  # fmt: skip
    frame = frame[(frame != "").any(axis=1)] if len(frame.columns) else frame
    columns = [str(column) for column in frame.columns]
    temp = _column(
        columns, r"(^|[^a-z])(t|temp|temperature|temperatur|dry.?bulb)([^a-z]|$)", "temperature", name
    )
    humidity = _column(
        columns, r"(^|[^a-z])(rh|humidity|hum|rel.*hum.*)([^a-z]|$)", "relative humidity", name
    )
    if temp == humidity:
        raise Refusal(
            "ONE_COLUMN", f"The heading {temp!r} of {name} names both temperature and humidity.",
            "Columns have commas between them.", "Export it again with commas.", file=name, line=1,
        )  # fmt: skip
    lines = [int(row) + 2 for row in frame.index]
    temp_c, temp_faults = _numbers(frame[temp].tolist(), lines, temp, name)
    rh_pct, rh_faults = _numbers(frame[humidity].tolist(), lines, humidity, name)
    unit, told = _unit(temp)
    if unit == "f":
        temp_c = (temp_c - 32.0) / 1.8
    rh_pct, fractions, unlike = in_percent(rh_pct)
    rh_pct[unlike] = np.nan
    faults = temp_faults + rh_faults
    faults += _bounds(temp_c, lines, -60, 150, f"{temp}: a temperature lies from -60 to 150 °C", name)
    faults += _bounds(rh_pct, lines, 0, 100, f"{humidity}: relative humidity lies from 0 to 100 %", name)
    if faults:
        faults.sort(key=lambda fault: fault.line or 0)
        more = len(faults) - MOST_FAULTS
        if more > 0:
            faults[MOST_FAULTS:] = [
                Refusal("MORE_FAULTS", f"{name}: {more} more faults like these.", file=name)
            ]
        raise Refusals(faults)
    if not len(frame):
        raise Refusal(
            "NO_ROWS", f"{name} has no rows.", "A table has at least one reading.",
            "Export it again.", file=name, line=1,
        )  # fmt: skip
    rows = [
        dict(zip(columns, row, strict=True))
        for row, odd in zip(frame.itertuples(index=False, name=None), unlike, strict=True)
        if not odd
    ]
    told += _humidity_notes(humidity, fractions, [lines[row] for row in np.flatnonzero(unlike)])
    return AirTable(rows, temp_c[~unlike], rh_pct[~unlike], told)


def _humidity_notes(heading: str, fractions: bool, unlike: list[int]) -> tuple[Warning, ...]:
    notes = []
    if fractions:
        text = "The values under {heading} are read as fractions of 1, as most of them can only be."
        notes.append(Warning("FRACTIONS", text, {"heading": heading}))
    if unlike:
        text = "{count} rows are left out: their humidity is not in the unit of the others ({lines})."
        notes.append(Warning("ROWS_LEFT_OUT", text, {"count": len(unlike), "lines": lines_text(unlike)}))
    return tuple(notes)


def _column(columns: list[str], pattern: str, what: str, file: str) -> str:
    fitting = [column for column in columns if re.search(pattern, column.lower().replace("_", " "))]
    if len(fitting) == 1:
        return fitting[0]
    raise Refusal(
        "NO_COLUMN" if not fitting else "TWO_COLUMNS",
        f"{file} has {'no' if not fitting else 'more than one'} {what} column.",
        f"Its headings are: {', '.join(columns)}. One names the temperature (temp_c, temp_f), one the "
        "humidity (rh).",
        "Rename the headings to temp_c and rh_pct.",
        file=file,
        line=1,
    )


def _unit(heading: str) -> tuple[str, tuple[Warning, ...]]:
    low = heading.lower()
    if re.search(r"°\s*f|[_ (\[]f\b|fahrenheit|degf", low):
        return "f", ()
    if re.search(r"°\s*c|[_ (\[]c\b|celsius|degc", low):
        return "c", ()
    return "c", (
        Warning(
            "UNIT_ASSUMED",
            "The heading {heading} names no unit: its values are read as °C. Call it temp_f for °F.",
            {"heading": heading},
        ),
    )


def _numbers(texts: list[str], lines: list[int], column: str, file: str) -> tuple[np.ndarray, list[Refusal]]:
    values, faults = np.full(len(texts), np.nan), []
    for row, text in enumerate(texts):
        if re.fullmatch(r"\s*[+-]?(\d+\.?\d*|\.\d+)\s*%?\s*", text):
            values[row] = float(text.strip().rstrip("%"))
        else:
            faults.append(
                Refusal(
                    "BAD_ROW",
                    f"{column}: {text.strip()!r} is not a number.",
                    "Each row holds a reading.",
                    "Fix or delete the row.",
                    file=file,
                    line=lines[row],
                )
            )
    return values, faults


def _bounds(
    values: np.ndarray, lines: list[int], low: float, high: float, rule: str, file: str
) -> list[Refusal]:
    with np.errstate(invalid="ignore"):
        wrong = np.flatnonzero((values < low) | (values > high))
    return [
        Refusal(
            "OUT_OF_BOUNDS", f"{rule}, not {values[row]:.4g}.", "",
            "Fix or delete the row.", file=file, line=lines[row],
        )
        for row in wrong
    ]  # fmt: skip
