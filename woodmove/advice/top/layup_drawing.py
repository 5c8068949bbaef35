"""The strips in the order in which they are glued, drawn end on."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any

from woodmove.advice.top.layup import LaidStrip, LayUp
from woodmove.contract.drawing import Box, Drawing, Label, Line, Shape
from woodmove.contract.notes import note
from woodmove.domain.end_grain import EndGrain, far_pith

# Strips to a row, rows to a drawing, and rings to a strip.
ACROSS, ROWS, ARCS = 12, 5, 5
# Between two rows, and down to the words there, as parts of the height of a strip.
BETWEEN, UNDER = 0.32, 0.2
# The top, where nobody says how high.
USUAL_TOP_MM = 76.2

LAID_SAYS = note(
    "DRAWN_LAID",
    "The end of the top: strips {order}, from left to right. {turned} lie with their mark down, {ends} with "
    "the marked end away from you.",
    order=None, turned=None, ends=None,
)  # fmt: skip
ROW = note("DRAWN_ROW", "section {section}, places {first} to {last}", section=None, first=None, last=None)
PLACES = note("DRAWN_PLACES", "places {first} to {last}", first=None, last=None)
HOW_IT_LIES = (
    "The tick stands at the marked edge. A dot: the marked end is toward you; a ring: away from you. "
)
RINGS = "Rings as you noted them. They may lie mirrored: the list does not say toward which face."


def layup_drawings(found: LayUp, inputs: Mapping[str, Any]) -> Iterable[Drawing]:
    """The strips in their order, end on: names, rings, marks and sections, a row for each section."""
    high = inputs.get("top_thickness_mm") or USUAL_TOP_MM
    read = any(strip.ring_angle_deg is not None or strip.pith_depth_mm is not None for strip in found.laid)
    rows = list(_rows(found.laid))
    # A sheet of paper holds no more rows.
    for first in range(0, len(rows), ROWS):
        drawn = rows[first : first + ROWS]
        laid = [strip for row in drawn for strip in row]
        shapes: list[Shape] = []
        for number, row in enumerate(drawn):
            shapes += _row(row, -number * (1.0 + BETWEEN) * high, found.strip_thickness_mm, high)
        yield Drawing(
            f"order-{first // ROWS + 1}", "The order, end on",
            LAID_SAYS(
                order=" ".join(strip.strip for strip in laid),
                turned=sum(strip.mark != "up" for strip in laid),
                ends=sum(strip.marked_end != "near" for strip in laid),
            ),
            tuple(shapes), remark=HOW_IT_LIES + (RINGS if read else ""),
        )  # fmt: skip


def _rows(laid: Sequence[LaidStrip]) -> Iterator[Sequence[LaidStrip]]:
    """The strips of each section, in rows that are not too long."""
    for _, group in groupby(laid, lambda row: row.section):
        section = list(group)
        yield from (section[first : first + ACROSS] for first in range(0, len(section), ACROSS))


def _row(row: Sequence[LaidStrip], foot: float, thick: float, high: float) -> Iterator[Shape]:
    """A row of strips.

    :param foot: its lower face
    """
    for number, strip in enumerate(row):
        yield from _strip(strip, number * thick, foot, thick, high)
    yield Box(0.0, foot, len(row) * thick, high, role="cut")
    ends = {"first": row[0].place, "last": row[-1].place}
    text = PLACES(**ends) if row[0].section is None else ROW(section=row[0].section, **ends)
    yield Label(len(row) * thick / 2, foot - UNDER * high, text)


def _strip(strip: LaidStrip, x: float, foot: float, thick: float, high: float) -> Iterator[Shape]:
    up = strip.mark == "up"
    yield Box(x, foot, thick, high, strip.strip)
    pith = _pith(strip, x, foot, thick, high)
    if pith is not None:
        grain = EndGrain(x, foot, thick, high, *pith)
        yield from (Line(xs, ys, role="wood") for xs, ys in grain.rings(ARCS))
        if grain.holds_pith:
            yield Line((pith[0],), (pith[1],))
    edge, way = (foot + high, -1.0) if up else (foot, 1.0)
    middle, tip = x + thick / 2, edge + way * 0.25 * thick
    yield Line((middle - 0.2 * thick, middle, middle + 0.2 * thick), (tip, edge, tip))
    near = strip.marked_end == "near"
    yield Line((middle,), (edge + way * 0.5 * thick,), role="now" if near else "guide")


def _pith(strip: LaidStrip, x: float, foot: float, thick: float, high: float) -> tuple[float, float] | None:
    """Where the pith lies, to the left of the strip or within; None where nobody read the rings."""
    middle = foot + high / 2
    if strip.pith_depth_mm is not None:
        toward = strip.pith_offset_mm or 0.0
        return x - strip.pith_depth_mm, middle + (toward if strip.mark == "up" else -toward)
    if strip.ring_angle_deg is not None:
        return far_pith(x + thick / 2, middle, high, strip.ring_angle_deg)
    return None
