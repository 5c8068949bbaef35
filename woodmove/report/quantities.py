"""Numbers of a Quantity as text: its unit and its step in either system."""

import math

from woodmove.contract.quantity import CHANCE, HARDLY_PCT, SURELY_PCT, Quantity
from woodmove.units.show import shop_fraction
from woodmove.units.systems import System

# Base unit and unit as printed -> factor and offset.
_FROM_BASE = {
    ("_mm", "in"): (1 / 25.4, 0.0),
    ("_per_m", "in a foot"): (0.012, 0.0),
    ("_c", "°F"): (1.8, 32.0),
    ("_kg", "lb"): (1 / 0.45359237, 0.0),
    ("_g", "oz"): (1 / 28.349523125, 0.0),
    ("_ml", "fl oz"): (1 / 29.5735295625, 0.0),
    ("_kn", "lbf"): (224.8089, 0.0),
    ("_mpa", "psi"): (145.0377, 0.0),
    ("_m2", "ft²"): (1 / 0.3048**2, 0.0),
}


def number_text(quantity: Quantity, value: float, system: System, *, in_sentence: bool) -> str:
    """A number without its unit, rounded to the step of its quantity."""
    unit, _, within = quantity.inch if system == "in" else quantity.metric
    factor, offset, in_table = scale_of(quantity, system)
    shown, step = value * factor + offset, within if in_sentence else in_table
    steps = shown / step
    # A hair above a step is rounding of the computer's, and no reason to cut a step more.
    whole = math.copysign(math.ceil(abs(steps) - 1e-6), steps) if quantity.up else float(round(steps))
    if unit == "in" and step >= 1 / 64:
        return shop_fraction(whole * step)
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    text = f"{whole * step:.{decimals}f}"
    text = text.removesuffix(".0") if step == 0.5 else text
    return text.removeprefix("-") if float(text) == 0 else text


def extreme_chance(quantity: Quantity, value: float, *, in_a_table: bool) -> str:
    """Words for a chance that is next to none, or next to all; empty for any other number.

    :param in_a_table: True for a cell whose heading has the unit
    """
    if quantity is not CHANCE or HARDLY_PCT <= value <= SURELY_PCT:
        return ""
    if value > SURELY_PCT:
        return f"over {SURELY_PCT}" if in_a_table else "almost surely"
    return f"under {HARDLY_PCT}" if in_a_table else "less than 1 in 20"


def scale_of(quantity: Quantity, system: System) -> tuple[float, float, float]:
    """Factor and offset from its base unit to the printed one, and the step of a table in that."""
    unit, in_table, _ = quantity.inch if system == "in" else quantity.metric
    return *_FROM_BASE.get((quantity.suffix, unit), (1.0, 0.0)), in_table


def unit_text(quantity: Quantity, system: System) -> str:
    """Its unit as printed; empty for none."""
    return (quantity.inch if system == "in" else quantity.metric)[0]


def with_unit(quantity: Quantity, number: str, system: System) -> str:
    """A printed number and its unit, joined as the unit is written: ``12 %``, ``30°``, ``1-1/2 in``."""
    unit = unit_text(quantity, system)
    unit = "day" if (number, unit) == ("1", "days") else unit
    return number + unit if unit == "°" else f"{number} {unit}".rstrip()
