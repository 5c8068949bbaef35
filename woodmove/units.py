"""The edge: text with units in, shop fractions or millimetres out.

Inside, everything is millimetres, degrees Celsius, percent and degrees, and each name ends with its
unit. Here, and only here, other units come in and go out.
"""

import math
import re
import unicodedata
from collections.abc import Callable
from datetime import date
from fractions import Fraction
from typing import Literal, TypeAlias

System: TypeAlias = Literal["in", "mm"]
SYSTEM_WORDS: dict[System, str] = {"in": "inches and °F", "mm": "millimetres and °C"}

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


def parse_angle_deg(text: str) -> float:
    """Angle [degrees] from text: ``30``, ``30deg``, ``30°``.

    :raises ValueError: what is not an angle
    """
    return parse_number(re.sub(r"\s*(°|degrees?|deg)$", "", _tidy(text), flags=re.IGNORECASE))


# What a bare number means to a reader in inches, and to one in millimetres.
_TWINS = (("in", "mm"), ("°F", "°C"))
_BARE = re.compile(rf"[-+]?\s*{_NUMBER}\s*(?:°|deg)?", re.IGNORECASE)
# What parts two lengths that belong together.
_BETWEEN = re.compile(r"(\s*(?:[x×]|\brise\b)\s*)", re.IGNORECASE)
# A section as sold, such as 2x8 or 2-1/2 x 10, is a name and no length.
_AS_SOLD = re.compile(r"\s*\d(?:-1/2)?\s*[x×]\s*\d\d?(?:-1/2)?\s*", re.IGNORECASE)


def reader_unit(unit: str, system: System) -> str:
    """The unit of a length or a temperature in a system: "in" gives "mm". Others stay as they are."""
    return next((twins[system == "mm"] for twins in _TWINS if unit in twins), unit)


def with_unit_given(text: str, unit: str, system: System) -> str:
    """Text with the reader's unit behind each bare length or temperature: ``38 x 184`` gives
    ``38mm x 184mm``.

    What has a unit keeps it. A length of 0 needs none, and a size as sold has none.

    :param unit: of what the text holds, in either system; other units than those of lengths and temperatures
        give none
    """
    given = reader_unit(unit, system).removeprefix("°")
    if not any(unit in twins for twins in _TWINS) or _AS_SOLD.fullmatch(text):
        return text
    parts = _BETWEEN.split(text)
    parts[::2] = [f"{part}{given}" if _is_bare(part, given) else part for part in parts[::2]]
    return "".join(parts)


def _is_bare(text: str, unit: str) -> bool:
    tidy = _tidy(text)
    nothing = unit in _MM_PER and not re.search("[1-9]", tidy)
    return _BARE.fullmatch(tidy) is not None and not nothing


_MINUTES_PER = {"s": 1 / 60, "sec": 1 / 60, "min": 1.0, "h": 60.0}


def parse_time_min(text: str) -> float:
    """A span of time [min] from text: ``30s``, ``5min``, ``1.5h``, ``2min 30s``. A bare number is minutes.
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
    return sign * sum(float(number) * _MINUTES_PER[unit or "min"] for number, unit in parts)


_GRAMS_PER = {"g": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237}


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
    return sum(float(number) * _GRAMS_PER[unit or "g"] for number, unit in parts)


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


def parse_date(text: str) -> date:
    """A date as ISO 8601 writes it: ``2027-01-15``, from the year 1900 to 2199.

    :raises ValueError: anything else
    """
    try:
        found = date.fromisoformat(text.strip())
    except ValueError:
        found = None
    # Checks are dated months and years later, and the calendar ends with the year 9999.
    if found is None or not 1900 <= found.year < 2200:
        raise ValueError(f"{text!r} is not a date such as 2027-01-15")
    return found


def shop_fraction(inches: float, denominator: int = 64, *, up: bool = False) -> str:
    """Inches as a shop fraction to 1/`denominator`: ``1-1/2``, ``3/64``, ``0``, ``-5/8``.

    :param up: True to round away from 0, for what must not come out too small
    """
    exact = abs(inches) * denominator
    parts = math.ceil(exact - 1e-6) if up else round(exact)
    whole, rest = divmod(parts, denominator)
    if parts == 0:
        return "0"
    sign = "-" if inches < 0 else ""
    fraction = Fraction(rest, denominator)
    if rest == 0:
        return f"{sign}{whole}"
    return f"{sign}{whole}-{fraction}" if whole else f"{sign}{fraction}"


def printable(text: str) -> str:
    """Text that a terminal prints and does not obey: control characters become their code."""
    return re.sub(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]", lambda match: f"\\x{ord(match[0]):02x}", text)


def in_millimetres(text: str) -> str:
    """Text with the inches, feet and °F in it as millimetres and °C, rounded as one would type them: for
    examples."""

    def length(match: re.Match[str]) -> str:
        mm = parse_length_mm(match[0])
        return f"{mm:.1g}mm" if mm < 1 else f"{round(mm, -1 if mm > 100 else 0):.0f}mm"

    metric = re.sub(rf"{_NUMBER}(?:in|ft)\b", length, text)
    return re.sub(r"(-?\d+)F\b", lambda match: f"{parse_temperature_c(match[0]):.0f}C", metric)


def length_text(mm: float) -> str:
    """A length in both systems, for messages that are written before anyone asked for one:
    ``1-1/2 in (38.1 mm)``."""
    return f"{shop_fraction(mm / 25.4)} in ({_fixed(1)(mm).removesuffix('.0')} mm)"


def _fixed(decimals: int) -> Callable[[float], str]:
    def show(value: float) -> str:
        text = f"{value:.{decimals}f}"
        return text[1:] if text.startswith("-") and float(text) == 0 else text

    return show


def _three_digits(value: float) -> str:
    return f"{value:#.3g}" if abs(value) < 100 else f"{value:.0f}"


def _three_figures(value: float) -> str:
    return f"{float(f'{value:.3g}'):.0f}"


def _minutes(minutes: float) -> str:
    return _fixed(2 if abs(minutes) < 1 else 1)(minutes).removesuffix(".0")


_PSI_PER_MPA, _LBF_PER_KN, _KG_PER_LB = 145.0377, 224.8089, 0.45359237

# Suffix of a field name -> unit as printed and how, by system. The longest matching suffix counts.
_SHOWN: dict[str, dict[str, tuple[str, Callable[[float], str]]]] = {
    "_mm": {"in": ("in", lambda mm: shop_fraction(mm / 25.4)), "mm": ("mm", _fixed(1))},
    # What a finger feels at a seam is told in thousandths.
    **{
        suffix: {"in": ("in", lambda mm: _fixed(3)(mm / 25.4)), "mm": ("mm", _fixed(2))}
        for suffix in ("_step_mm", "_drift_mm", "_play_mm", "_cup_mm", "_diameter_mm")
    },
    # What is bored binds if it is smaller than it should be.
    "_bore_mm": {
        "in": ("in", lambda mm: shop_fraction(mm / 25.4, 64, up=True)),
        "mm": ("mm", lambda mm: f"{math.ceil(10 * mm - 1e-6) / 10:.1f}"),
    },
    "_c": {"in": ("°F", lambda c: _fixed(0)(c * 1.8 + 32.0)), "mm": ("°C", _fixed(1))},
    "_pct": {"in": ("%", _fixed(1)), "mm": ("%", _fixed(1))},
    "_chance_pct": {"in": ("%", _fixed(0)), "mm": ("%", _fixed(0))},
    "_share_pct": {"in": ("%", _fixed(0)), "mm": ("%", _fixed(0))},
    "_ratio": {"in": ("", _fixed(2)), "mm": ("", _fixed(2))},
    "_index": {"in": ("", _fixed(1)), "mm": ("", _fixed(1))},
    "_points": {"in": ("points", _fixed(1)), "mm": ("points", _fixed(1))},
    "_deg": {system: ("°", lambda deg: _fixed(1)(deg).removesuffix(".0")) for system in ("in", "mm")},
    "_days": {"in": ("days", _fixed(0)), "mm": ("days", _fixed(0))},
    "_kpa": {"in": ("kPa", _three_digits), "mm": ("kPa", _three_digits)},
    "_gpa": {"in": ("GPa", _fixed(2)), "mm": ("GPa", _fixed(2))},
    "_mpa": {
        "in": ("psi", lambda mpa: _fixed(0)(mpa * _PSI_PER_MPA)),
        "mm": ("MPa", _fixed(2)),
    },
    "_kn": {"in": ("lbf", lambda kn: _three_figures(kn * _LBF_PER_KN)), "mm": ("kN", _three_digits)},
    "_kg": {"in": ("lb", lambda kg: _fixed(0)(kg / _KG_PER_LB)), "mm": ("kg", _fixed(1))},
    "_m2": {"in": ("ft²", lambda m2: _fixed(1)(m2 / 0.3048**2)), "mm": ("m²", _fixed(2))},
    "_min": dict.fromkeys(("in", "mm"), ("min", _minutes)),
    "_h": {system: ("h", lambda hours: f"{hours:.3g}") for system in ("in", "mm")},
    "_spread_g": {"in": ("oz", lambda g: _fixed(0)(g / _GRAMS_PER["oz"])), "mm": ("g", _fixed(0))},
    "_g": {"in": ("g", _fixed(1)), "mm": ("g", _fixed(1))},
    "_per_h": {"in": ("per hour", _fixed(2)), "mm": ("per hour", _fixed(2))},
    "_per_pct": {"in": ("per % MC", _fixed(5)), "mm": ("per % MC", _fixed(5))},
}


# What is cut to the printed number, and binds if that is smaller than it should be.
_NOT_TOO_SMALL = {"cut_length_mm", "slot_width_mm"}
# Names whose unit is not at their end.
_WHOLE_NAMES = {"days": "_days", "days_to_ready": "_days"}


def _suffix(name: str) -> str | None:
    if name in _WHOLE_NAMES:
        return _WHOLE_NAMES[name]
    fitting = [suffix for suffix in _SHOWN if name.endswith(suffix)]
    return max(fitting, key=len) if fitting else None


def unit_of(name: str, system: System) -> str:
    """The unit in which a field is printed, from the end of its name; empty for none."""
    suffix = _suffix(name)
    return _SHOWN[suffix][system][0] if suffix else ""


def stem(name: str) -> str:
    """A field name without its unit: ``slot_length_mm`` gives ``slot_length``."""
    suffix = _suffix(name)
    return name.removesuffix(suffix) if suffix else name


def show_number(name: str, value: float, system: System) -> str:
    """A number as printed, without its unit, by the unit at the end of its name."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if name in _NOT_TOO_SMALL:
        if system == "in":
            return shop_fraction(value / 25.4, 32, up=True)
        return f"{math.ceil(10 * value - 1e-6) / 10:.1f}"
    suffix = _suffix(name)
    if suffix:
        return _SHOWN[suffix][system][1](value)
    return str(value) if isinstance(value, int) or math.isclose(value, round(value)) else f"{value:.4g}"


def with_unit(name: str, shown: str, system: System) -> str:
    """A printed number and its unit, joined as the unit is written: ``12 %``, ``30°``, ``1-1/2 in``."""
    unit = unit_of(name, system)
    if not unit or not shown:
        return shown
    unit = "day" if (shown, unit) == ("1", "days") else unit
    return f"{shown}{unit}" if unit == "°" else f"{shown} {unit}"
