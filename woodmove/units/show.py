"""Numbers out: shop fractions or millimetres, by the unit at the end of a name."""

import math
import re
from collections.abc import Callable
from datetime import date
from fractions import Fraction

from woodmove.units.parse import GRAMS_PER
from woodmove.units.systems import System


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


def day_text(day: date) -> str:
    """A day as it is said: ``5 December 2026``."""
    return f"{day.day} {day:%B} {day.year}"


def printable(text: str) -> str:
    """Text that a terminal prints and does not obey: control characters become their code."""
    return re.sub(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]", lambda match: f"\\x{ord(match[0]):02x}", text)


def one_line(text: str) -> str:
    """Text as one printable line."""
    return printable(" ".join(text.split(" "))).replace("\n", " ").replace("\t", " ")


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


_PSI_PER_MPA, _LBF_PER_KN, _KG_PER_LB, _ML_PER_FL_OZ = 145.0377, 224.8089, 0.45359237, 29.5735

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
    "_spread_g": {"in": ("oz", lambda g: _fixed(0)(g / GRAMS_PER["oz"])), "mm": ("g", _fixed(0))},
    "_g": {"in": ("g", _fixed(1)), "mm": ("g", _fixed(1))},
    "_ml": {"in": ("fl oz", lambda ml: _fixed(0)(ml / _ML_PER_FL_OZ)), "mm": ("ml", _fixed(0))},
    # What is bought binds if it is too little.
    "_to_buy_ml": {
        "in": ("fl oz", lambda ml: f"{math.ceil(ml / _ML_PER_FL_OZ - 1e-6)}"),
        "mm": ("ml", lambda ml: f"{10 * math.ceil(ml / 10 - 1e-6)}"),
    },
    "_per_h": {"in": ("per hour", _fixed(2)), "mm": ("per hour", _fixed(2))},
    "_per_pct": {"in": ("per % MC", _fixed(5)), "mm": ("per % MC", _fixed(5))},
}


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
    suffix = _suffix(name)
    if suffix:
        return _SHOWN[suffix][system][1](value)
    return str(value) if isinstance(value, int) or math.isclose(value, round(value)) else f"{value:.3g}"


def with_unit(name: str, shown: str, system: System) -> str:
    """A printed number and its unit, joined as the unit is written: ``12 %``, ``30°``, ``1-1/2 in``."""
    unit = unit_of(name, system)
    if not unit or not shown:
        return shown
    unit = "day" if (shown, unit) == ("1", "days") else unit
    return f"{shown}{unit}" if unit == "°" else f"{shown} {unit}"
