"""Parameters and sentences in the words of the shop. The unit of a parameter is at the end of its name."""

import re
from datetime import date
from typing import Any, cast

from woodmove.contract.notes import Note
from woodmove.contract.quantity import Quantity
from woodmove.contract.ranges import Range
from woodmove.report.quantities import extreme_chance, number_text, with_unit
from woodmove.units import show
from woodmove.units.show import day_text, printable, show_number, stem
from woodmove.units.systems import System

# Names of parameters that say too little on their own.
_LABELS = {
    "mc_low_pct": "MC at its driest",
    "mc_high_pct": "MC at its dampest",
    "tolerance_points": "mean within",
    "service_width_mm": "width wanted in service",
    "flat_cup_mm": "flat within",
    "uneven_points": "core less shell",
    "plane_mm": "final pass",
    "joint_wait_days": "joints need",
    "joint_set_days": "joints set in",
    "joined_sections": "sections",
    "hole_diameter_mm": "hole",
    "dog_diameter_mm": "dog",
}
_ABBREVIATIONS = {"emc": "EMC", "mc": "MC", "rh": "RH", "od": "OD", "csv": "CSV", "mee": "MEE"}


def label(name: str) -> str:
    """The name of a parameter as a reader sees it: ``mc_now_pct`` gives ``MC now``."""
    if name in _LABELS:
        return _LABELS[name]
    return " ".join(_ABBREVIATIONS.get(word, word) for word in stem(name).split("_"))


def titled(text: str) -> str:
    """Words with a capital in front."""
    return text[:1].upper() + text[1:]


def _bare(name: str, value: Any, system: System) -> str:
    """A value without its unit."""
    if value is None:
        return ""
    if isinstance(value, Note):
        return sentence(value, system)
    if isinstance(value, Range):
        expected, low, high = (show_number(name, n, system) for n in (value.expected, value.low, value.high))
        return expected if low == high else f"{expected} ({low} to {high})"
    if isinstance(value, bool | int | float):
        return show_number(name, value, system)
    if isinstance(value, list | tuple):
        return ", ".join(_bare(name, item, system) for item in cast("list[Any]", value))
    if isinstance(value, date):
        return day_text(value)
    if isinstance(value, str) and re.fullmatch(r"\d{4}-\d\d-\d\d", value):
        return day_text(date.fromisoformat(value))  # as JSON holds it
    return printable(str(value))


def full(name: str, value: Any, system: System) -> str:
    """A value with its unit."""
    text = _bare(name, value, system)
    if isinstance(value, Range) and "(" in text:
        expected, _, bounds = text.partition(" (")
        return f"{show.with_unit(name, expected, system)} ({bounds}"
    return text if isinstance(value, str | Note | date) else show.with_unit(name, text, system)


def _declared(quantity: Quantity, value: Any, system: System) -> str:
    """A value within a sentence, by its quantity."""
    if value is None:
        return ""
    if isinstance(value, list):
        values = cast("list[float]", value)
        shown = [number_text(quantity, one, system, in_sentence=True) for one in values]
        return with_unit(quantity, ", ".join(shown), system)
    if isinstance(value, Range):
        low, middle, high = (
            number_text(quantity, one, system, in_sentence=True)
            for one in (value.low, value.expected, value.high)
        )
        return with_unit(quantity, middle if low == high else f"{low} to {high}", system)
    if extreme := extreme_chance(quantity, value, in_a_table=True):
        return with_unit(quantity, extreme, system)
    return with_unit(quantity, number_text(quantity, value, system, in_sentence=True), system)


def sentence(note: Note, system: System) -> str:
    """The text of a note with its values filled in."""

    def fill(match: re.Match[str]) -> str:
        name = match[1]
        if name not in note.values:
            return match[0]
        if (quantity := note.quantities.get(name)) is not None:
            return _declared(quantity, note.values[name], system)
        value = note.values[name]
        return day_text(value) if isinstance(value, date) else full(name, value, system)

    return re.sub(r"\{(\w+)\}", fill, note.text).strip()
