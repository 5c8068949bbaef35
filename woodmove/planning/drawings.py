"""What a plan draws beside its parts: how sure its main figures are, and what a measurement takes off."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, cast

from woodmove.contract.answer import Answer
from woodmove.contract.drawing import Axis, Box, Drawing, Line, Shape
from woodmove.contract.notes import Note, note
from woodmove.contract.plan import Part, PlanResults
from woodmove.contract.quantity import SHARE, Quantity
from woodmove.contract.ranges import Range
from woodmove.contract.shown import fields_of

# A bar, as a part of the room between two; over it stands what it is of.
BAR = 0.28
# Figures that are drawn, and where a bar ends.
MOST_DRAWN, MOST_PCT = 6, 400.0

SURE_SAYS = note(
    "DRAWN_SURE", "Bar chart: where each main figure lies in 9 cases of 10. Least sure: {least}.", least=None
)
HOW_SURE = (
    "Each bar holds 9 cases of 10; the stroke in it, at 100 %, is what is expected. The longer a bar, the "
    "less sure its figure. "
)
BEYOND = "A bar at the right edge goes on beyond it."
MEASURES_SAYS = note(
    "DRAWN_MEASURES",
    "Bar chart: what to measure next. {measure} It narrows the numbers by up to {narrows_pct}.",
    measure=None, narrows_pct=SHARE,
)  # fmt: skip


def plan_drawings(found: PlanResults, inputs: Mapping[str, Any]) -> Iterable[Drawing]:
    """How sure the main figures are, and what to measure next."""
    yield from _sure(found)
    yield from _measures(found)


def _sure(found: PlanResults) -> Iterator[Drawing]:
    """The bands of the main figures of the parts, as shares of what is expected, the least sure first."""
    rows = sorted((row for part in found.sections for row in _main_range(part)), key=_part_of_expected)
    rows = rows[: -MOST_DRAWN - 1 : -1]
    if not rows:
        return
    shapes: list[Shape] = [Line((0.0, 0.0), (0.0, float(len(rows))), role="guide")]
    for number, row in enumerate(rows):
        y, one = len(rows) - number - 1.0, row.range
        low, high = 100 * one.low / one.expected, min(100 * one.high / one.expected, MOST_PCT)
        shapes.append(Box(low, y, high - low, BAR, row.said(), "main"))
        shapes.append(Line((100.0, 100.0), (y, y + BAR), role="guide"))
    beyond = any(100 * row.range.high / row.range.expected > MOST_PCT for row in rows)
    yield Drawing(
        "sure", "How sure the main figures are", SURE_SAYS(least=rows[0].said()), tuple(shapes),
        Axis("of what is expected", SHARE), Axis(""), remark=HOW_SURE + (BEYOND if beyond else ""),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _MainRange:
    """The figure of a part that matters most and has a band."""

    label: str
    quantity: Quantity
    range: Range

    def said(self) -> Note:
        """Its label and its number."""
        return note("DRAWN_FIGURE", "{label}: {range}", label=None, range=self.quantity)(
            label=self.label[:1].upper() + self.label[1:], range=self.range
        )


def _part_of_expected(row: _MainRange) -> float:
    return (row.range.high - row.range.low) / row.range.expected


def _main_range(part: Part) -> Iterator[_MainRange]:
    answer = part.answer.answer if part.answer is not None else None
    if not isinstance(answer, Answer):
        return
    found: Any = answer.results
    fields = [field for field in fields_of(cast("type[Any]", type(found))) if field.shown.level != "detail"]
    for field in sorted(fields, key=lambda field: field.shown.level != "headline"):
        value, quantity = getattr(found, field.name), field.shown.quantity
        if (
            quantity is not None
            and isinstance(value, Range)
            and value.low < value.high
            and value.expected > 0
        ):
            yield _MainRange(field.shown.label, quantity, value)
            return


def _measures(found: PlanResults) -> Iterator[Drawing]:
    """What to measure next, as bars: the one that narrows most stands first."""
    measures = found.measurements
    if not measures:
        return
    count = len(measures)
    # The axis begins at nothing taken off, so that the bars are as long as they say.
    shapes: list[Shape] = [Line((0.0, 0.0), (0.0, float(count)), role="guide")]
    shapes += [
        Box(0.0, count - number - 1.0, measure.narrows_pct, BAR, measure.measure, "main")
        for number, measure in enumerate(measures)
    ]
    yield Drawing(
        "measures", "What a measurement takes off the doubt",
        MEASURES_SAYS(measure=measures[0].measure, narrows_pct=measures[0].narrows_pct), tuple(shapes),
        Axis("narrower by up to", SHARE), Axis(""),
    )  # fmt: skip
