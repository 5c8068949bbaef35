"""Headings of a logger's table in English, German and French: which column is which, and in what unit."""

import csv
import re
import unicodedata
from dataclasses import dataclass

DELIMITERS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}
# The headings stand within so many lines; loggers put their name and settings above them.
MOST_PREAMBLE = 60

_TEMP = r"temp|temperature|temperatur|lufttemperatur|raumtemperatur|t|dry bulb|ta"
_RH = (
    r"rh|hum|humidity|relative humidity|rel humidity|r h|r f|rf|hr|h r|feuchte|luftfeuchte|luftfeuchtigkeit|"
    r"feuchtigkeit|rel feuchte|relative feuchte|relative luftfeuchte|relative luftfeuchtigkeit|"
    r"humidite|humidite relative"
)
_STAMP = (
    r"date time|datetime|timestamp|time stamp|date and time|datum uhrzeit|datum zeit|zeitstempel|"
    r"date heure|date et heure|horodatage|time|zeit|date|datum|uhrzeit|heure|unixtime|unix time|epoch"
)
# Columns that speak of temperature or humidity and are neither.
_OTHERS = re.compile(
    r"\b(dew|tau|taupunkt|taupunkttemperatur|rosee|wet bulb|feuchtkugel|heat index|hitzeindex|feels|gefuhlt|"
    r"ressenti\w*|absolute|absolut|abs|absolue|mixing|setpoint|soll|consigne|alarm|vpd|humidex)\b"
)


@dataclass(frozen=True)
class Headings:
    """Where what stands in a table.

    :param line: number of the heading line in the file, from 1
    :param names: all headings
    :param stamp: columns of the time; two where date and clock stand apart, the date first
    :param temp_unit: "C" or "F", empty where the heading does not say
    :param rh_percent: True where the heading says so
    """

    line: int
    delimiter: str
    names: tuple[str, ...]
    stamp: tuple[int, ...]
    temp: int
    rh: int
    temp_unit: str
    rh_percent: bool
    first_row: int


class NoHeadings(ValueError):
    """No line names a time, a temperature and a humidity. `found` is the one that comes closest."""

    def __init__(self, found: str, missing: str, line: int) -> None:
        super().__init__(missing)
        self.found = found
        self.missing = missing
        self.line = line


def find_headings(lines: list[str]) -> Headings:
    """The headings of a table.

    :param lines: the first lines of the file
    :raises NoHeadings: no line that names all three, or one that names a thing twice
    """
    best: NoHeadings | None = None
    for number, line in enumerate(lines[:MOST_PREAMBLE]):
        for delimiter in DELIMITERS:
            if delimiter not in line:
                continue
            names = split(line, delimiter)
            following = lines[number + 1] if number + 1 < len(lines) else ""
            try:
                return _columns(names, number, delimiter, split(following, delimiter))
            except NoHeadings as fault:
                if best is None or len(fault.missing) < len(best.missing):
                    best = fault
    raise best or NoHeadings("", "time, temperature and humidity", 1)


def split(line: str, delimiter: str) -> list[str]:
    """The cells of a line."""
    try:
        return [cell.strip() for cell in next(csv.reader([line], delimiter=delimiter), [])]
    except csv.Error:  # a line without end, say
        return [line]


def _columns(names: list[str], number: int, delimiter: str, following: list[str]) -> Headings:
    plain = [_plain(name) for name in names]
    temp = _matching(plain, _TEMP)
    rh = _matching(plain, _RH)
    stamp = [i for i, name in enumerate(plain) if re.search(rf"(^|\b)({_STAMP})(\b|$)", name)]
    stamp = [i for i in stamp if i not in (*temp, *rh)]
    # "Time zone", "running time" and their like: where there is a better one, it is that.
    exact = [
        i
        for i in stamp
        if re.fullmatch(_STAMP, re.sub(r"\b(local|utc|gmt|std|no|hh mm( ss)?)\b", "", plain[i]).strip())
    ]
    stamp = (exact or stamp)[:2]
    missing = [
        what
        for what, found in (("time", stamp), ("temperature", temp), ("humidity", rh))
        if not found or (what != "time" and len(found) > 1)
    ]
    if missing:
        twice = [names[i] for found in (temp, rh) if len(found) > 1 for i in found]
        raise NoHeadings(", ".join(names), ("twice: " + ", ".join(twice)) if twice and len(missing) == 1
                         else " and ".join(missing), number + 1)  # fmt: skip
    if len(stamp) == 2 and re.search(r"\b(time|zeit|uhrzeit|heure)\b", plain[stamp[0]]):
        both = re.search(r"\b(date|datum)\b", plain[stamp[0]])
        stamp = stamp[:1] if both else stamp[::-1]
    units = names[temp[0]], names[rh[0]]
    first_row = number + 1
    if _is_unit_line(following, temp[0], rh[0]):
        units = (f"{units[0]} {following[temp[0]]}", f"{units[1]} {following[rh[0]]}")
        first_row += 1
    return Headings(
        number + 1,
        delimiter,
        tuple(names),
        tuple(stamp),
        temp[0],
        rh[0],
        _temp_unit(units[0]),
        "%" in units[1] or bool(re.search(r"percent|prozent|pour ?cent|pct", units[1].lower())),
        first_row,
    )


def _plain(name: str) -> str:
    """A heading without accents, signs and units."""
    low = unicodedata.normalize("NFKD", name.lower())
    low = "".join(c for c in low if not unicodedata.combining(c))
    low = re.sub(r"[(\[{].*?[)\]}]", " ", low)
    low = re.sub(r"°\s*[cf]\b|\bdeg(rees)?\s*[cf]\b|\b(celsius|fahrenheit|percent|prozent|pct)\b|%", " ", low)
    low = re.sub(r"[^a-z0-9]+", " ", low).strip()
    return re.sub(r"\b(temp|temperature|t) [cf]$", r"\1", low)


def _matching(plain: list[str], words: str) -> list[int]:
    """Columns whose whole heading is one of the words; else those that hold one."""
    own = [i for i, name in enumerate(plain) if not _OTHERS.search(name)]
    whole = [i for i in own if re.fullmatch(words, plain[i])]
    return whole or [i for i in own if re.search(rf"\b({words})\b", plain[i])]


def _temp_unit(text: str) -> str:
    low = text.lower()
    fahrenheit = re.search(r"°\s*f|℉|fahrenheit|deg\.?\s*f|[_ (\[]f\b", low)
    celsius = re.search(r"°\s*c|℃|celsius|deg\.?\s*c|[_ (\[]c\b|º\s*c", low)
    if bool(fahrenheit) == bool(celsius):
        return ""
    return "F" if fahrenheit else "C"


def _is_unit_line(cells: list[str], temp: int, rh: int) -> bool:
    if len(cells) <= max(temp, rh):
        return False
    return bool(
        re.fullmatch(r"[(\[]?(°|º|deg)?\s*([CcFf]|Celsius|Fahrenheit)[)\]]?|℃|℉", cells[temp])
        and re.fullmatch(r"[(\[]?%?\s*(rh|rf|hr|r\.?f\.?|r\.?h\.?)?[)\]]?", cells[rh], re.IGNORECASE)
    )
