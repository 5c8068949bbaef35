"""What a number is: its base unit, and how it is written in either system."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Quantity:
    """A kind of number.

    :param suffix: end of the name of every field that holds one, its base unit: ``_mm``, ``_pct``
    :param inch: unit as printed, step in a table and step in a sentence, in that unit
    :param metric: the same for readers of millimetres
    :param up: True for what binds if it is cut smaller than printed: rounded away from 0
    """

    suffix: str
    inch: tuple[str, float, float]
    metric: tuple[str, float, float]
    up: bool = False


def _both(suffix: str, unit: str, table: float, sentence: float) -> Quantity:
    return Quantity(suffix, (unit, table, sentence), (unit, table, sentence))


# Steps are those of a tape, a slot, a feeler gauge and a fingertip.
LENGTH = Quantity("_mm", ("in", 1 / 16, 1 / 16), ("mm", 1, 1))
FINE_LENGTH = Quantity("_mm", ("in", 1 / 32, 1 / 32), ("mm", 0.5, 0.5))
SLOT = Quantity("_mm", ("in", 1 / 32, 1 / 32), ("mm", 0.5, 0.5), up=True)
BORE = Quantity("_mm", ("in", 1 / 64, 1 / 64), ("mm", 0.1, 0.1), up=True)
GAP = Quantity("_mm", ("in", 1 / 64, 1 / 64), ("mm", 0.1, 0.1))
STEP = Quantity("_mm", ("in", 0.001, 0.001), ("mm", 0.02, 0.02))
MOVEMENT = Quantity("_per_m", ("in a foot", 0.001, 0.001), ("mm a metre", 0.1, 0.1))
TEMPERATURE = Quantity("_c", ("°F", 1, 1), ("°C", 0.5, 0.5))
MOISTURE = _both("_pct", "%", 0.1, 0.5)
HUMIDITY = _both("_pct", "%", 1, 1)
CHANCE = _both("_pct", "%", 5, 5)
# Under the one and over the other a chance is said in words: less than 1 in 20, almost surely.
HARDLY_PCT, SURELY_PCT = 5, 95
SHARE = _both("_pct", "%", 5, 5)
POINTS = _both("_points", "points", 0.1, 0.5)
ANGLE = _both("_deg", "°", 0.5, 0.5)
DAYS = _both("_days", "days", 1, 1)
HOURS = _both("_h", "h", 1, 1)
MINUTES = _both("_min", "min", 0.5, 0.5)
WEIGHT = Quantity("_kg", ("lb", 1, 1), ("kg", 0.5, 0.5))
SCALE = Quantity("_g", ("g", 1, 1), ("g", 1, 1))
# A slice is weighed to a tenth of a gram.
FINE_SCALE = Quantity("_g", ("g", 0.1, 0.1), ("g", 0.1, 0.1))
GLUE = Quantity("_g", ("oz", 1, 1), ("g", 10, 10))
# What is bought binds if it is too little.
VOLUME = Quantity("_ml", ("fl oz", 1, 1), ("ml", 10, 10), up=True)
FORCE = Quantity("_kn", ("lbf", 100, 100), ("kN", 0.5, 0.5))
PRESSURE = Quantity("_mpa", ("psi", 10, 10), ("MPa", 0.05, 0.05))
STIFFNESS = _both("_gpa", "GPa", 0.01, 0.01)
VAPOUR = _both("_kpa", "kPa", 0.01, 0.01)
AREA = Quantity("_m2", ("ft²", 0.1, 0.1), ("m²", 0.01, 0.01))
PER_POINT = _both("_per_pct", "per % MC", 0.00001, 0.00001)
RATIO = _both("_ratio", "", 0.01, 0.01)
RATE = _both("_per_h", "per hour", 0.01, 0.01)
