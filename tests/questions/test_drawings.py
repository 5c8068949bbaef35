"""What questions draw is their results as they stand."""

from typing import Any

from woodmove.advice.top.layup import LaidStrip, LayUp
from woodmove.contract.drawing import Box, Drawing, Line
from woodmove.contract.ranges import Range
from woodmove.questions.shared.drawings import layup_drawings


def row(strip: str, mark: str, section: int) -> LaidStrip:
    return LaidStrip(
        place=1, strip=strip, section=section, mark=mark, marked_end="near", mc_pct=8.0, plane="",
        next_step_mm=None, shows="",
    )  # fmt: skip


def drawn(*rows: LaidStrip, **inputs: Any) -> Drawing:
    flat = Range(0.0, 0.0, 0.0)
    found = LayUp(
        worst_step_mm=flat, strip_count=len(rows), strip_thickness_mm=30.0, metered_pct=None, laid=rows,
        orders=(), set_aside=(), bad_rows=(),
    )  # fmt: skip
    (one,) = layup_drawings(found, inputs)
    return one


def test_the_strips_lie_in_their_order_with_a_gap_between_sections() -> None:
    one = drawn(row("b", "up", 1), row("a", "down", 1), row("c", "up", 2), top_thickness_mm=80.0)
    boxes = [shape for shape in one.shapes if isinstance(shape, Box)]
    assert [(box.label, box.x, box.width, box.height) for box in boxes] == [
        ("b", 0.0, 30.0, 80.0),
        ("a", 30.0, 30.0, 80.0),
        ("c", 90.0, 30.0, 80.0),
    ]
    # The tip of each tick lies on the edge that is marked.
    ticks = [shape for shape in one.shapes if isinstance(shape, Line)]
    assert [tick.y[1] for tick in ticks] == [80.0, 0.0, 80.0]
    assert all(0.0 in (y, y - 80.0) or not 0.0 < y < 80.0 for tick in ticks for y in tick.y)
