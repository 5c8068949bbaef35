"""The two systems of units that a reader may have."""

from typing import Literal, TypeAlias

System: TypeAlias = Literal["in", "mm"]
SYSTEM_WORDS: dict[System, str] = {"in": "inches and °F", "mm": "millimetres and °C"}


# What a bare number means to a reader in inches, and to one in millimetres.
TWINS = (("in", "mm"), ("°F", "°C"))


def reader_unit(unit: str, system: System) -> str:
    """The unit of a length or a temperature in a system: "in" gives "mm". Others stay as they are."""
    return next((twins[system == "mm"] for twins in TWINS if unit in twins), unit)
