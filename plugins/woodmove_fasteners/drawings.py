"""What the slots look like: the rail at full size, each slot enlarged, and a screw through its years.

Read off the results as they stand. The rail is drawn as it lies under the top, its front edge to the left.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from itertools import groupby
from typing import Any

from woodmove.extend.api import Axis, Box, Drawing, Label, Line, Shape, note, quantity
from woodmove_fasteners.results import Fastener, Slots

MONTH_DAYS = 365.25 / 12
# A piece of a rail that runs along the grain, for one slot, and the gap to the next [mm].
PIECE_MM, GAP_MM = 90.0, 15.0

RAIL_SAYS = note(
    "DRAWN_RAIL",
    "The rail from its front end: {count} holes, the fixed line {fixed_mm} from the front edge.",
    count=None, fixed_mm=quantity.LENGTH,
)  # fmt: skip
SIZE = note(
    "DRAWN_SIZE", "slot {length_mm} long, bit {width_mm}", length_mm=quantity.SLOT, width_mm=quantity.SLOT
)
BORE = note("DRAWN_BORE", "round hole, bit {width_mm}", width_mm=quantity.SLOT)
START = note("DRAWN_START", "screw today {start_mm} from the inner end", start_mm=quantity.FINE_LENGTH)
FROM_LINE = note("DRAWN_FROM_LINE", "{away_mm} from the fixed line", away_mm=quantity.LENGTH)
FROM_FRONT = note("DRAWN_FROM_FRONT", "{at_mm} from the front edge", at_mm=quantity.LENGTH)
PLACE = note("DRAWN_PLACE", "{at_mm}", at_mm=quantity.LENGTH)
SLOTS_SAYS = note("DRAWN_SLOTS", "Each size of slot enlarged: the longest is {length_mm} long.",
                  length_mm=quantity.SLOT)  # fmt: skip
SLOT_AT = note("DRAWN_SLOT_AT", "at {at_mm}: {length_mm} long, screw today {start_mm} from the inner end",
               at_mm=quantity.LENGTH, length_mm=quantity.SLOT, start_mm=quantity.FINE_LENGTH)  # fmt: skip
TRAVEL_SAYS = note(
    "DRAWN_TRAVEL",
    "Line chart: the screw at {at_mm} through two years, {low_mm} to {high_mm} from the inner end of its "
    "travel of {travel_mm}.",
    at_mm=quantity.LENGTH, low_mm=quantity.FINE_LENGTH, high_mm=quantity.FINE_LENGTH,
    travel_mm=quantity.FINE_LENGTH,
)  # fmt: skip


def drawings(found: Slots, inputs: Mapping[str, Any]) -> Iterable[Drawing]:
    """The rail, the slots, and the screw that travels most."""
    wide = found.rails.width_mm
    along = inputs.get("rail_direction") == "along"
    shapes = list(_pieces(found, wide) if along else _rail(found, wide, float(inputs["top_width_mm"])))
    yield Drawing(
        "rail",
        "A piece of the rail for each slot" if along else "The rail, its front end to the left",
        RAIL_SAYS(count=len(found.fasteners), fixed_mm=found.fixed_mm),
        tuple(shapes),
        remark="The arrows point outward, away from the fixed line.",
        full_size=True,
    )
    sliding = [row for row in found.fasteners if row.cut_length_mm is not None and row.hole == "slot"]
    if sliding:
        yield _enlarged(sliding, found.fixed_mm)
    yield from _travel(found, sliding, inputs.get("build_date"))


def _outline(row: Fastener, fixed_mm: float) -> tuple[float, float]:
    """Where a hole begins, from the screw today [mm], and how long it is."""
    if row.hole != "slot" or row.cut_length_mm is None or row.screw_from_end_mm is None:
        return -row.slot_width_mm / 2, row.slot_width_mm
    if row.position_mm >= fixed_mm:
        return -row.screw_from_end_mm, row.cut_length_mm
    return row.screw_from_end_mm - row.cut_length_mm, row.cut_length_mm


def _says(row: Fastener, fixed_mm: float) -> tuple[Any, ...]:
    """What is written beside a hole at full size."""
    away = abs(row.position_mm - fixed_mm)
    places = [FROM_FRONT(at_mm=row.position_mm), FROM_LINE(away_mm=away) if away else "on the fixed line"]
    if row.hole != "slot":
        return (BORE(width_mm=row.slot_width_mm), *places)
    size = SIZE(length_mm=row.cut_length_mm, width_mm=row.slot_width_mm)
    return (size, START(start_mm=row.screw_from_end_mm), *places)


def _rail(found: Slots, wide: float, top: float) -> Iterator[Shape]:
    middle = wide / 2
    yield Box(0.0, 0.0, top, wide)
    yield Line((0.0, top), (middle, middle), role="guide")
    for row in found.fasteners:
        begins, length = _outline(row, found.fixed_mm)
        half, at = row.slot_width_mm / 2, row.position_mm
        says = _says(row, found.fixed_mm)
        yield Box(at + begins, middle - half, length, 2 * half, PLACE(at_mm=at), "cut", half, says)
        yield Line((at,), (middle,), role="now")
        if row.hole == "slot":
            yield _arrow(at, wide * 0.78, 1.0 if at >= found.fixed_mm else -1.0)
    yield Line((found.fixed_mm,) * 2, (0.0, wide), "fixed line", "limit")
    # The words of the fixed line stand in the same row.
    for at, word in ((min(30.0, top / 4), "front"), (max(top - 30.0, 3 * top / 4), "back")):
        if abs(at - found.fixed_mm) > top / 4:
            yield Label(at, wide + 4.0, word)


def _pieces(found: Slots, wide: float) -> Iterator[Shape]:
    """Of rails along the grain: front is down, the screw today stands on the middle of the rail."""
    for number, row in enumerate(found.fasteners):
        left = number * (PIECE_MM + GAP_MM)
        middle = left + PIECE_MM / 2
        begins, length = _outline(row, found.fixed_mm)
        half = row.slot_width_mm / 2
        yield Box(left, 0.0, PIECE_MM, wide)
        yield Line((middle, middle), (0.0, wide), role="guide")
        yield Box(
            middle - half, wide / 2 + begins, 2 * half, length, PLACE(at_mm=row.position_mm), "cut", half,
            _says(row, found.fixed_mm),
        )  # fmt: skip
        yield Line((middle,), (wide / 2,), role="now")


def _arrow(x: float, y: float, way: float) -> Line:
    """Which way is outward."""
    tip = x + 14 * way
    return Line((x, tip, tip - 4 * way, tip, tip - 4 * way), (y, y, y + 2.5, y, y - 2.5), role="guide")


def _enlarged(rows: Sequence[Fastener], fixed_mm: float) -> Drawing:
    """Each size of slot, its inner end to the left, to one scale."""

    def size(row: Fastener) -> tuple[float, float]:
        return round(row.cut_length_mm or 0.0, 3), round(row.screw_from_end_mm or 0.0, 3)

    shapes: list[Shape] = []
    y = 0.0
    for _, group in groupby(sorted(rows, key=lambda row: (-size(row)[0], size(row))), key=size):
        same = list(group)
        row = same[0]
        assert row.cut_length_mm is not None
        assert row.screw_from_end_mm is not None
        wide, start = row.slot_width_mm, row.screw_from_end_mm
        y -= 2.1 * wide
        label = SLOT_AT(at_mm=[one.position_mm for one in same], length_mm=row.cut_length_mm, start_mm=start)
        shapes += [
            Box(0.0, y, row.cut_length_mm, wide, "", "main", wide / 2),
            Line((-wide / 2, row.cut_length_mm + wide / 2), (y + wide / 2,) * 2, role="guide"),
            Line((start, start), (y - 0.15 * wide, y + 1.15 * wide), label, "now"),
            Line((start,), (y + wide / 2,), role="now"),
        ]
    longest = max(row.cut_length_mm or 0.0 for row in rows)
    return Drawing(
        "slots", "The slots, enlarged, the inner end to the left", SLOTS_SAYS(length_mm=longest),
        tuple(shapes), remark="Inner is toward the fixed line. The dot is the screw on the day of assembly.",
    )  # fmt: skip


def _travel(found: Slots, sliding: Sequence[Fastener], built: Any) -> Iterator[Drawing]:
    """Where the screw that travels most stands, month by month."""
    if found.screw_months is None or not sliding or not isinstance(built, date):
        return
    row = max(sliding, key=lambda one: one.cut_length_mm or 0.0)
    name = f"screw_{found.fasteners.index(row) + 1}_mm"
    names = list(found.screw_months.columns)
    if name not in names or row.cut_length_mm is None:
        return
    cells = (month[names.index(name)] for month in found.screw_months.rows)
    places = tuple(float(cell) for cell in cells if isinstance(cell, int | float))
    days = tuple(built + timedelta(days=MONTH_DAYS * month) for month in range(len(places)))
    travel = row.cut_length_mm - row.slot_width_mm
    ends = (days[0], days[-1])
    yield Drawing(
        "travel",
        "Where the outermost screw stands in its slot",
        TRAVEL_SAYS(at_mm=row.position_mm, low_mm=min(places), high_mm=max(places), travel_mm=travel),
        (
            Line(ends, (travel, travel), "outer end", "limit"),
            Line(days, places, "the screw"),
            Line(ends, (0.0, 0.0), "inner end", "limit"),
            Line((built, built), (0.0, travel), "build day", "now"),
        ),
        Axis("day"),
        Axis("from the inner end", quantity.FINE_LENGTH),
        remark="Expected. The room left at both ends is for what is not known: it does in 9 cases of 10.",
    )
