"""Writing one and the same air in many styles, as loggers' programs do."""

import csv
import io
from dataclasses import dataclass
from datetime import datetime

HEADINGS = {
    "en": ("Date Time", "Date", "Time", "Temperature", "Relative Humidity"),
    "de": ("Datum/Uhrzeit", "Datum", "Uhrzeit", "Temperatur", "rel. Feuchte"),
    "fr": ("Date et heure", "Date", "Heure", "Température", "Humidité relative"),
}
DATES = (
    "%Y-%m-%d %H:%M:%S", "%Y-%m-%dT%H:%M", "%d.%m.%Y %H:%M", "%d/%m/%Y %H:%M:%S", "%m/%d/%Y %I:%M:%S %p",
    "%m/%d/%y %H:%M", "%d %b %Y %H:%M:%S", "%Y%m%dT%H%M%S",
)  # fmt: skip


@dataclass(frozen=True)
class Style:
    """How a file is written."""

    delimiter: str = ","
    comma: bool = False
    language: str = "en"
    date: str = DATES[0]
    split_date: bool = False
    fahrenheit: bool = False
    fraction: bool = False
    units_in_cells: bool = False
    quote_all: bool = False
    preamble: int = 0
    newest_first: bool = False
    other_columns: bool = False
    crlf: bool = False
    encoding: str = "utf-8"


def write(times: list[datetime], temp_c: list[float], rh_pct: list[float], style: Style) -> bytes:
    """A file in a style; values to the last digit that Python prints."""
    both, day, clock, temp, rh = HEADINGS[style.language]
    unit = "°F" if style.fahrenheit else "°C"
    stamp = [day, clock] if style.split_date else [both]
    names = [*stamp, f"{temp} ({unit})", rh if style.fraction else f"{rh} (%)"]
    if style.other_columns:
        names = ["No.", *names, "Dew point (°C)", "Battery"]

    def number(value: float, cell_unit: str) -> str:
        text = format(value, ".12f").rstrip("0")
        text = text + "0" if text.endswith(".") else text
        text = text.replace(".", ",") if style.comma else text
        return f"{text} {cell_unit}" if style.units_in_cells else text

    rows = []
    for count, (when, t, h) in enumerate(zip(times, temp_c, rh_pct, strict=True)):
        written = when.strftime(style.date)
        stamps = written.replace("T", " ").split(" ", 1) if style.split_date else [written]
        row = [
            *stamps,
            number(t * 1.8 + 32.0 if style.fahrenheit else t, unit),
            number(h / 100 if style.fraction else h, "" if style.fraction else "%"),
        ]
        rows.append([str(count + 1), *row, "3.5", "ok"] if style.other_columns else row)
    out = io.StringIO()
    end = "\r\n" if style.crlf else "\n"
    for number_of_line in range(style.preamble):
        out.write(f"Setting {number_of_line}: value{end}")
    quoting = csv.QUOTE_ALL if style.quote_all else csv.QUOTE_MINIMAL
    writer = csv.writer(out, delimiter=style.delimiter, lineterminator=end, quoting=quoting)
    writer.writerow(names)
    writer.writerows(reversed(rows) if style.newest_first else rows)
    return out.getvalue().encode(style.encoding)
