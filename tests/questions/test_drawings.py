"""What questions draw is their results as they stand."""

from typing import Any

from woodmove.contract.drawing import Box, Drawing, Line
from woodmove.questions.shared.drawings import layup_drawings


def row(strip: str, mark: str, section: int) -> dict[str, Any]:
    return {"strip": strip, "mark": mark, "section": section}


def drawn(*rows: dict[str, Any], **inputs: Any) -> Drawing:
    (one,) = layup_drawings({"laid": list(rows)}, inputs)
    return one


def test_the_strips_lie_in_their_order_with_a_gap_between_sections() -> None:
    inputs = {"strip_thickness_mm": 30.0, "top_thickness_mm": 80.0}
    one = drawn(row("b", "up", 1), row("a", "down", 1), row("c", "up", 2), **inputs)
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


def test_without_strips_there_is_nothing_to_draw() -> None:
    assert list(layup_drawings({"laid": []}, {})) == []
