"""What the questions of core draw: their results as they stand, in plain shapes."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from woodmove.contract.drawing import Axis, Band, Box, Drawing, Label, Line, Shape, band_of, line_of
from woodmove.contract.notes import note
from woodmove.contract.quantity import DAYS, FINE_LENGTH, HUMIDITY, LENGTH, MOISTURE
from woodmove.domain.climate import MONTHS

if TYPE_CHECKING:
    from woodmove.advice.air.climate import AirOfPlace
    from woodmove.advice.drying.course import CourseDay
    from woodmove.advice.drying.forecast import Forecast
    from woodmove.advice.drying.readiness import Ready
    from woodmove.advice.top.strips import StripsOfTop
    from woodmove.advice.top.width import Width

# From one month of a course to the next.
MONTH_DAYS = 365.25 / 12
MOISTURE_AXIS = Axis("moisture", MOISTURE)
DAYS_AXIS = Axis("day")

YEAR_SAYS = note(
    "DRAWN_YEAR",
    "Line chart: the room holds wood between {low_pct} and {high_pct}; the top follows slowly, and ends at "
    "{end_pct}.",
    low_pct=MOISTURE, high_pct=MOISTURE, end_pct=MOISTURE,
)  # fmt: skip
WIDTH_SAYS = note(
    "DRAWN_WIDTH", "Line chart: the width of the top, {now_mm} today, between {low_mm} and {high_mm}.",
    now_mm=LENGTH, low_mm=LENGTH, high_mm=LENGTH,
)  # fmt: skip
AIR_SAYS = note(
    "DRAWN_AIR", "Line chart: humidity by month, outdoors and in the room, where it runs from {low_pct} to "
                 "{high_pct}.",
    low_pct=HUMIDITY, high_pct=HUMIDITY,
)  # fmt: skip
DRYING_SAYS = note(
    "DRAWN_DRYING", "Line chart: the lumber dries from {start_pct} toward {target_pct}.",
    start_pct=MOISTURE, target_pct=MOISTURE,
)  # fmt: skip
ON = note("ON", "{word}: {day}", word=None, day=None)
NINE_IN_TEN = "9 in 10 lie here"


def width_drawings(found: "Width", inputs: Mapping[str, Any]) -> Iterable[Drawing]:
    """The top's moisture beside that of its air, and its width, through the first two years."""
    start = inputs.get("build_date")
    if not found.first_months or not isinstance(start, date):
        return
    days = [start + timedelta(days=MONTH_DAYS * month) for month in range(len(found.first_months))]
    moisture = [month.mc_pct for month in found.first_months]
    widths = [month.width_mm for month in found.first_months]
    in_air, air = _by_month(days, [month.mc_pct for month in found.months])
    built = (days[0], days[0])
    yield Drawing(
        "moisture",
        "The air and the top",
        YEAR_SAYS(low_pct=found.mc_low_pct, high_pct=found.mc_high_pct, end_pct=moisture[-1].expected),
        (
            band_of(days, moisture, NINE_IN_TEN),
            Line(in_air, air, "what the air makes of thin wood", "other"),
            line_of(days, moisture, "the top"),
            Line(built, (0.0, 1.0), "build day", "now"),
        ),
        DAYS_AXIS,
        MOISTURE_AXIS,
    )
    yield Drawing(
        "width",
        "Its width",
        WIDTH_SAYS(
            now_mm=found.width_now_mm, low_mm=found.narrowest_mm.expected, high_mm=found.widest_mm.expected
        ),
        (
            band_of(days, widths, NINE_IN_TEN),
            line_of(days, widths, "expected"),
            Line((days[0], days[-1]), (found.width_now_mm,) * 2, "as built", "limit"),
        ),
        DAYS_AXIS,
        Axis("width", FINE_LENGTH),
    )


def _by_month(days: Sequence[date], values: Sequence[float]) -> tuple[tuple[date, ...], tuple[float, ...]]:
    """Values of a year at the middle of each month between two days."""
    first, last = days[0], days[-1]
    middles = [date(first.year + n // 12, n % 12 + 1, 15) for n in range(12 * (last.year - first.year + 1))]
    middles = [day for day in middles if first <= day <= last]
    return tuple(middles), tuple(values[day.month - 1] for day in middles)


def air_drawings(found: "AirOfPlace", inputs: Mapping[str, Any]) -> Iterable[Drawing]:
    """The humidity of a place, outdoors and in the room, by month."""
    numbers = tuple(range(1, len(MONTHS) + 1))
    room = tuple(month.indoor_rh_pct for month in found.months)
    outdoors = tuple(month.outdoor_rh_pct for month in found.months if month.outdoor_rh_pct is not None)
    shapes: list[Shape] = [Line(numbers, room, "in the room")]
    if len(outdoors) == len(room):
        shapes.insert(0, Line(numbers, outdoors, "outdoors", "other"))
    yield Drawing(
        "humidity", "Humidity by month", AIR_SAYS(low_pct=min(room), high_pct=max(room)), tuple(shapes),
        Axis("month", names=tuple(month[:3] for month in MONTHS)), Axis("relative humidity", HUMIDITY),
    )  # fmt: skip


def lumber_drawings(found: "Ready | Forecast", inputs: Mapping[str, Any]) -> Iterable[Drawing]:
    """How lumber dries: where its moisture lies, and the days on which it is ready."""
    from woodmove.advice.drying.readiness import Ready

    if not isinstance(found, Ready):
        return
    days, start = _until_ready(found), found.mc_mean_pct
    stacked = inputs.get("from_date")
    begun = date.fromisoformat(stacked) if isinstance(stacked, str) else stacked
    places: list[float | date] = [
        day if begun is None else begun + timedelta(days=day) for day in (float(row.day) for row in days)
    ]
    course = [row.mc_pct for row in days]
    target, within = found.target_mc_pct, found.tolerance_points
    ends = (places[0], places[-1])
    shapes: list[Shape] = [
        Band(ends, (target - within,) * 2, (target + within,) * 2, "ready", "limit"),
        band_of(places, course, NINE_IN_TEN),
        line_of(places, course, "expected"),
    ]
    for day, word in ((found.ready_even_on, "even chance"), (found.ready_likely_on, "8 in 10")):
        if day is not None and begun is not None and 0 <= (day - begun).days <= days[-1].day:
            shapes.append(Line((day, day), (0.0, 1.0), ON(word=word, day=day), "now"))
    yield Drawing(
        "drying", "How it dries", DRYING_SAYS(start_pct=start, target_pct=target), tuple(shapes),
        DAYS_AXIS if begun is not None else Axis("days from the stacking", DAYS), MOISTURE_AXIS,
    )  # fmt: skip


# How much of a course is drawn: so many days, and longer where it is ready later.
DRAWN_DAYS, BEYOND_DAYS = 56, 14


def _until_ready(found: "Ready") -> "Sequence[CourseDay]":
    """The days of a course until some time after it is ready."""
    ready = found.days_to_ready
    last = DRAWN_DAYS if ready is None else max(DRAWN_DAYS, ready.expected + BEYOND_DAYS)
    return [row for row in found.course if row.day <= last]


STRIPS_SAYS = note("DRAWN_STRIPS", "The end of the top: {strips} strips in {sections}.", strips=None,
                   sections=None)  # fmt: skip


def strips_drawings(found: "StripsOfTop", inputs: Mapping[str, Any]) -> Iterable[Drawing]:
    """The end of the top: its strips, section by section."""
    thick, high = found.strip_thickness_mm, inputs.get("strip_width_mm")
    if not high:
        return
    counts = [row.strips_each for row in found.top_sections for _ in range(row.sections)]
    shapes: list[Shape] = []
    gap, x = 1.5 * thick, 0.0
    for count in counts:
        shapes += [Box(x + n * thick, 0.0, thick, high) for n in range(count)]
        shapes.append(Box(x, 0.0, count * thick, high, role="cut"))
        shapes.append(Label(x + count * thick / 2, -0.6 * high, f"{count} strips"))
        x += count * thick + gap
    yield Drawing(
        "sections", "Its sections, end on",
        STRIPS_SAYS(strips=sum(counts), sections=" + ".join(map(str, counts))), tuple(shapes),
    )  # fmt: skip
