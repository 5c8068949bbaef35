"""Meters in cold and warm wood: our correction against what others measured or print.

A pin meter; the accuracy of its table is the band (its reading corrected, as a 90 % bound).
"""

from woodmove.extend.catalogue import Catalogue

from .coverage import Tried, Unit
from .evidence import read


def tried() -> Tried:
    """Others' corrections against ours."""
    meter = Catalogue().meters.get("pin")
    used = [row for row in read("meters", 25) if row["used"] == "yes"]
    inside: dict[str, list[bool]] = {}
    for row in used:
        reading = float(row["reading_pct"])
        ours = meter.corrected(reading, wood_temp_c=float(row["wood_c"])).mc_pct
        within = meter.within_points(reading)
        assert within is not None
        inside.setdefault(row["unit"], []).append(abs(ours - float(row["corrected_pct"])) <= within)
    return Tried(
        "meters in cold and warm wood",
        tuple(Unit(name, tuple(each)) for name, each in inside.items()),
        "one maker corrects by two thirds more",
    )
