"""Where the screws stand in a row across a top, and which line of it does not move."""

import itertools
import math

from woodmove.extend.api import ParamType, Refusal, Top, length_text, parse_length_mm
from woodmove_fasteners.shop import Shop

MOST_SCREWS = 100


def _fixed(text: str) -> float | str:
    word = text.strip().lower()
    if "," in word:
        raise ValueError("a top has one fixed line; held along two it cannot move, and cracks")
    return word if word in ("center", "front", "back") else parse_length_mm(text)


FIXED = ParamType("center|front|back|LENGTH", _fixed, "in")


def fixed_line_mm(fixed: float | str, top: Top) -> float:
    """The line that does not move, from the front edge [mm].

    :raises Refusal: it lies beyond the top
    """
    named = {"center": top.width_mm / 2, "front": 0.0, "back": top.width_mm}
    place = named[fixed] if isinstance(fixed, str) else fixed
    if place > top.width_mm:
        raise Refusal(
            "FIXED_OFF_TOP",
            f"The fixed line at {length_text(place)} lies beyond the back edge.",
            f"The top is {length_text(top.width_mm)} wide.",
            "Type --fixed center, front or back, or a distance from the front edge.",
            fields=("fixed",),
        )
    return place


def positions_mm(at_mm: tuple[float, ...] | None, fixed_mm: float, top: Top, shop: Shop) -> list[float]:
    """Distances of the screws from the front edge, as told or as usual.

    :raises Refusal: too many, or one that is not under the top
    """
    if at_mm is None:
        return _spread(fixed_mm, top, shop)
    if len(set(at_mm)) > MOST_SCREWS:
        raise Refusal(
            "TOO_MANY_SCREWS",
            f"{len(set(at_mm))} screws stand in one row.",
            f"A row across a top holds at most {MOST_SCREWS}.",
            "Give the distances of one row, such as --at 2in,15in,28in.",
            fields=("at_mm",),
        )
    off = [position for position in at_mm if not 0 < position < top.width_mm]
    if off:
        raise Refusal(
            "SCREW_OFF_TOP",
            f"A screw at {length_text(off[0])} is not under the top.",
            f"Screws lie between the edges, 0 and {length_text(top.width_mm)}.",
            "Measure from the front edge and type --at 2in,15in,28in, for example.",
            fields=("at_mm",),
        )
    return sorted(set(at_mm))


def _spread(fixed_mm: float, top: Top, shop: Shop) -> list[float]:
    """Screws inside both edges, one of them at the fixed line where that is not too near an edge."""
    inset = min(shop.inset_mm, top.width_mm / 4)
    stops = [inset, top.width_mm - inset]
    if inset < fixed_mm < top.width_mm - inset:
        stops.insert(1, fixed_mm)
    positions = stops[:1]
    for start, end in itertools.pairwise(stops):
        # A hair less, so that a width typed in millimetres gives as many as the same one in inches.
        gaps = max(1, math.ceil((end - start) / shop.spacing_mm - 1e-6))
        steps = [start + i * (end - start) / gaps for i in range(1, gaps)]
        # Between the ends any place will do: one that a tape measure shows.
        positions += [shop.step_mm * round(step / shop.step_mm) for step in steps]
        positions.append(end)
    return positions
