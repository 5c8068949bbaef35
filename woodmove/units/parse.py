"""The edge: text with units in, shop fractions or millimetres out.

Inside, everything is millimetres, degrees Celsius, percent and degrees, and each name ends with its
unit. Here, and only here, other units come in and go out.
"""

import re
import unicodedata
from datetime import date
from fractions import Fraction

from woodmove.units.systems import TWINS, System, reader_unit

_MM_PER = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, '"': 25.4, "ft": 304.8, "'": 304.8}
_UNIT_WORDS = {
    "inch": "in", "inches": "in", "ins": "in", "''": '"', "foot": "ft", "feet": "ft",
    "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
}  # fmt: skip
# A whole number, a decimal, a fraction, or a whole number and a fraction joined by a hyphen or a blank.
_NUMBER = r"(?:\d+[ -]\d+/\d+|\d+/\d+|\d+\.\d*|\.\d+|\d+)"
_PART = re.compile(rf"\s*({_NUMBER})\s*([a-z]+|''|[\"'])?\s*", re.IGNORECASE)
_TYPOGRAPHY = str.maketrans({"″": '"', "”": '"', "“": '"', "′": "'", "’": "'", "‘": "'", "−": "-", "–": "-",
                             "⁄": "/", "℉": "F", "℃": "C", "％": "%",
                             "\u00a0": " ", "\u2009": " ", "\u202f": " "})  # fmt: skip


def _tidy(text: str) -> str:
    # Only vulgar fractions are unfolded, with a blank before them so that "1½" is not one number. Anything
    # else that Unicode would unfold, a raised digit say, is no part of a length.
    spread = re.sub(r"[¼½¾⅐-⅞]", lambda sign: f" {unicodedata.normalize('NFKC', sign[0])}", text.strip())
    return re.sub(r"(?<=-) (?=\d)| (?= )", "", spread.translate(_TYPOGRAPHY)).strip()


def _number(text: str) -> float:
    whole, fraction = 0, text
    if "/" in text and ("-" in text or " " in text):
        first, fraction = re.split(r"[ -]", text, maxsplit=1)
        whole = int(first)
    try:
        return whole + float(Fraction(fraction))
    except ZeroDivisionError:
        raise ValueError(f"{text!r} divides by zero") from None
    except OverflowError:
        raise ValueError("it is too long a number") from None


def parse_length_mm(text: str) -> float:
    """Length [mm] from text: ``1-1/2in``, ``1 1/2"``, ``6ft 3in``, ``38mm``, ``3.8cm``, ``1½ in``.

    A bare number is none, but for 0: :func:`with_unit_given` gives it the reader's unit first. A leading
    minus is allowed.

    :raises ValueError: what is not a length
    """
    tidy = _tidy(text)
    negative = tidy.startswith("-")
    rest = tidy.removeprefix("-").lower()
    total, position, parts = 0.0, 0, []
    while position < len(rest):
        match = _PART.match(rest, position)
        if not match or match.end() == position:
            raise ValueError(f"{text!r} is not a length")
        unit = match[2] or ""
        unit = _UNIT_WORDS.get(unit, unit)
        if unit and unit not in _MM_PER:
            raise ValueError(f"{text!r} is not a length: {match[2]!r} is not a unit of length")
        parts.append(unit)
        total += _number(match[1]) * _MM_PER[unit or "mm"]
        position = match.end()
    if parts == [""] and total:
        raise ValueError(_no_unit(text, "in", "mm"))
    if not parts or (len(parts) > 1 and parts not in (["ft", "in"], ["'", '"'], ["ft", '"'], ["'", "in"])):
        raise ValueError(f"{text!r} is not a length")
    return -total if negative else total


def _no_unit(text: str, *units: str) -> str:
    return f"{text!r} has no unit: write {' or '.join(text.strip() + unit for unit in units)}"


def parse_temperature_c(text: str) -> float:
    """Temperature [°C] from text: ``21C``, ``70F``, ``-4 °F``. A bare number is none, as of a length.

    :raises ValueError: what is not a temperature
    """
    match = re.fullmatch(r"([+-]?(?:\d+\.?\d*|\.\d+))\s*(?:°|deg)?\s*([cf]?)", _tidy(text), re.IGNORECASE)
    if not match:
        raise ValueError(f"{text!r} is not a temperature")
    if not match[2]:
        raise ValueError(_no_unit(text, "F", "C"))
    value = float(match[1])
    return (value - 32.0) / 1.8 if match[2].lower() == "f" else value


def parse_percent(text: str) -> float:
    """Percent from text: ``50`` or ``50%``. ``0.5`` is half a percent.

    :raises ValueError: what is not a number
    """
    return parse_number(_tidy(text).removesuffix("%").rstrip())


class TwoReadingsError(ValueError):
    """A number that may be a percentage or a fraction of 1.

    :param meant_pct: the percentage that it is as a fraction, which is the likelier
    """

    def __init__(self, text: str, value: float):
        self.meant_pct = float(f"{100.0 * value:g}")
        whole = f"{self.meant_pct:g}"
        say = f"say {whole}, or {value:g}%" if self.meant_pct <= 100.0 else f"say {value:g}% if you mean it"
        super().__init__(f"{text} is {value:g} %, or {whole} % as a fraction of 1: {say}")


def parse_moisture_pct(text: str) -> float:
    """Moisture content in percent from text, as :func:`parse_percent`; a bare number under 1 may be a
    fraction of 1 as well, and is refused.

    :raises ValueError: what is not a number, or might be two
    """
    value = parse_percent(text)
    if 0.0 < value < 1.0 and not _tidy(text).endswith("%"):
        raise TwoReadingsError(text, value)
    return value


def parse_humidity_pct(text: str) -> float:
    """Relative humidity in percent from text, as :func:`parse_moisture_pct`; a bare number up to 1.5 is
    refused: no air that wood is worked in is so dry, and a fraction may come out over 1.

    :raises ValueError: what is not a number, or might be two
    """
    value = parse_moisture_pct(text)
    if 0.0 < value <= 1.5 and not _tidy(text).endswith("%"):
        raise TwoReadingsError(text, value)
    return value


def parse_angle_deg(text: str) -> float:
    """Angle [degrees] from text: ``30``, ``30deg``, ``30°``.

    :raises ValueError: what is not an angle
    """
    return parse_number(re.sub(r"\s*(°|degrees?|deg)$", "", _tidy(text), flags=re.IGNORECASE))


_BARE = re.compile(rf"[-+]?\s*{_NUMBER}\s*(?:°|deg)?", re.IGNORECASE)
# What parts two lengths that belong together.
_BETWEEN = re.compile(r"(\s*(?:[x×]|\brise\b)\s*)", re.IGNORECASE)
# A section as sold, such as 2x8 or 2-1/2 x 10, is a name and no length.
_AS_SOLD = re.compile(r"\s*\d(?:-1/2)?\s*[x×]\s*\d\d?(?:-1/2)?\s*", re.IGNORECASE)


def with_unit_given(text: str, unit: str, system: System) -> str:
    """Text with the reader's unit behind each bare length or temperature: ``38 x 184`` gives
    ``38mm x 184mm``.

    What has a unit keeps it. A length of 0 needs none, and a size as sold has none.

    :param unit: of what the text holds, in either system; other units than those of lengths and temperatures
        give none
    """
    given = reader_unit(unit, system).removeprefix("°")
    if not any(unit in twins for twins in TWINS):
        return text
    # A size of a mix carries its share of the boards.
    text, colon, share = text.partition(":")
    if _AS_SOLD.fullmatch(text):
        return f"{text}{colon}{share}"
    parts = _BETWEEN.split(text)
    parts[::2] = [f"{part}{given}" if _is_bare(part, given) else part for part in parts[::2]]
    return "".join((*parts, colon, share))


def _is_bare(text: str, unit: str) -> bool:
    tidy = _tidy(text)
    nothing = unit in _MM_PER and not re.search("[1-9]", tidy)
    return _BARE.fullmatch(tidy) is not None and not nothing


_MINUTES_PER = {"s": 1 / 60, "sec": 1 / 60, "min": 1.0, "h": 60.0}


def parse_time_min(text: str) -> float:
    """A span of time [min] from text: ``30s``, ``5min``, ``1.5h``, ``2min 30s``.
    A leading minus is read, for bounds to refuse.

    :raises ValueError: what is not a span of time
    """
    tidy = text.strip().lower()
    sign = -1.0 if tidy.startswith("-") else 1.0
    tidy = tidy.removeprefix("-")
    parts = re.findall(r"(\d+\.?\d*|\.\d+)\s*(sec|min|s|h)?", tidy)
    given = [unit for _, unit in parts]
    if (
        not parts
        or "".join(n + u for n, u in parts) != re.sub(r"\s", "", tidy)
        or (len(given) > 1 and given not in (["min", "s"], ["h", "min"], ["min", "sec"]))
    ):
        raise ValueError(f"{text!r} is not a span of time")
    if not all(given):
        raise ValueError(f"{text!r} has no unit: write {tidy}min or {tidy}s")
    return sign * sum(float(number) * _MINUTES_PER[unit] for number, unit in parts)


GRAMS_PER = {"g": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237}


def parse_mass_g(text: str) -> float:
    """Weight on a scale [g] from text: ``1234``, ``1.2kg``, ``3lb 4.5oz``, ``20 oz``. A bare number is grams.

    :raises ValueError: what is not a weight
    """
    tidy = text.strip().lower().replace("lbs", "lb")
    parts = re.findall(r"(\d+\.?\d*|\.\d+)\s*(kg|g|lb|oz)?", tidy)
    units = [unit for _, unit in parts]
    if "".join(number + unit for number, unit in parts) != re.sub(r"\s", "", tidy) or not (
        len(units) == 1 or units == ["lb", "oz"]
    ):
        raise ValueError(f"{text!r} is not a weight")
    return sum(float(number) * GRAMS_PER[unit or "g"] for number, unit in parts)


def parse_number(text: str) -> float:
    """A plain decimal number, finite.

    :raises ValueError: anything else
    """
    if not re.fullmatch(r"[+-]?(?:\d+\.?\d*|\.\d+)", text.strip()):
        raise ValueError(f"{text!r} is not a number")
    return float(text)


def parse_whole(text: str) -> int:
    """A whole number.

    :raises ValueError: anything else
    """
    if not re.fullmatch(r"[+-]?\d+", text.strip()):
        raise ValueError(f"{text!r} is not a whole number")
    return int(text)


_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_DAY_FIRST = re.compile(r"(\d{1,2})\.? ([a-z]{3,9})\.?,? (\d{4})", re.IGNORECASE)
_MONTH_FIRST = re.compile(r"([a-z]{3,9})\.? (\d{1,2}),? (\d{4})", re.IGNORECASE)
_NUMBERS = re.compile(r"(\d{1,2})[/.](\d{1,2})[/.](\d{4})")


def parse_date(text: str) -> date:
    """A date, from the year 1900 to 2199: ``2027-01-15``, ``15 Jan 2027``, ``Jan 15 2027``.

    :raises ValueError: anything else; of numbers alone both readings are named
    """
    tidy = " ".join(text.split())
    found = None
    try:
        if numbers := _NUMBERS.fullmatch(tidy):
            raise ValueError(_two_days(text, *map(int, numbers.groups())))
        if named := _DAY_FIRST.fullmatch(tidy):
            found = date(int(named[3]), _month(named[2]), int(named[1]))
        elif named := _MONTH_FIRST.fullmatch(tidy):
            found = date(int(named[3]), _month(named[1]), int(named[2]))
        else:
            found = date.fromisoformat(tidy)
    except ValueError as problem:
        if "one reading" in str(problem):
            raise
    # Checks are dated months and years later, and the calendar ends with the year 9999.
    if found is None or not 1900 <= found.year < 2200:
        raise ValueError(f"{text!r} is not a date such as 2027-01-15 or 15 Jan 2027")
    return found


def _month(name: str) -> int:
    return _MONTHS.index(name[:3].lower()) + 1


def _two_days(text: str, one: int, other: int, year: int) -> str:
    readings = [
        date(year, month, day).isoformat()
        for month, day in ((one, other), (other, one))
        if (1 <= month <= 12 and 1 <= day <= 28) or (1 <= month <= 12 and day <= 31 and month != 2)
    ]
    if not readings:
        return f"{text!r} is not a date such as 2027-01-15"
    return f"{text!r} is not a date with one reading: write {' or '.join(dict.fromkeys(readings))}"


def in_millimetres(text: str) -> str:
    """Text with the inches, feet and °F in it as millimetres and °C, rounded as one would type them: for
    examples."""

    def length(match: re.Match[str]) -> str:
        mm = parse_length_mm(match[0])
        return f"{mm:.1g}mm" if mm < 1 else f"{round(mm, -1 if mm > 100 else 0):.0f}mm"

    metric = re.sub(rf"{_NUMBER}(?:in|ft)\b", length, text)
    return re.sub(r"(-?\d+)F\b", lambda match: f"{parse_temperature_c(match[0]):.0f}C", metric)
