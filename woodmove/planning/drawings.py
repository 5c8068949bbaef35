"""What a plan draws beside its parts: what each measurement would take off its Ranges."""

from collections.abc import Iterable, Mapping
from typing import Any

from woodmove.contract.drawing import Axis, Box, Drawing, Line, Shape
from woodmove.contract.notes import note
from woodmove.contract.plan import PlanResults
from woodmove.contract.quantity import SHARE

# A bar, as a part of the room between two; over it stands what it is of.
BAR = 0.28

MEASURES_SAYS = note(
    "DRAWN_MEASURES",
    "Bar chart: what to measure next. {measure} It narrows the numbers by up to {narrows_pct}.",
    measure=None, narrows_pct=SHARE,
)  # fmt: skip


def plan_drawings(found: PlanResults, inputs: Mapping[str, Any]) -> Iterable[Drawing]:
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
