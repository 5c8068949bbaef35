"""What questions draw is their results as they stand."""

import pytest

from woodmove.advice.top.layup import LaidStrip, LayUp
from woodmove.advice.top.layup_drawing import layup_drawings
from woodmove.contract.drawing import Box, Drawing, Line
from woodmove.contract.ranges import Range


def row(strip: str, mark: str = "up", section: int | None = 1, end: str = "near", **read: float) -> LaidStrip:
    rings: dict[str, float | None] = {"ring_angle_deg": None, "pith_depth_mm": None, "pith_offset_mm": None}
    return LaidStrip(
        place=1, strip=strip, section=section, mark=mark, marked_end=end, mc_pct=8.0, plane="",
        next_step_mm=None, shows="", **(rings | read),
    )  # fmt: skip


def drawn(*rows: LaidStrip) -> Drawing:
    flat = Range(0.0, 0.0, 0.0)
    found = LayUp(
        worst_step_mm=flat, strip_count=len(rows), strip_thickness_mm=30.0, metered_pct=None, laid=rows,
        orders=(), set_aside=(), bad_rows=(), strip_twist_mm=None,
    )  # fmt: skip
    (one,) = layup_drawings(found, {"top_thickness_mm": 80.0})
    return one


def lines(one: Drawing, *roles: str) -> list[Line]:
    return [shape for shape in one.shapes if isinstance(shape, Line) and shape.role in roles]


def test_the_strips_lie_in_their_order_a_row_for_each_section() -> None:
    one = drawn(row("b"), row("a", "down", end="far"), row("c", section=2))
    boxes = [shape for shape in one.shapes if isinstance(shape, Box) and shape.role == "wood"]
    assert [(box.label, box.x, box.width, box.height) for box in boxes] == [
        ("b", 0.0, 30.0, 80.0),
        ("a", 30.0, 30.0, 80.0),
        ("c", 0.0, 30.0, 80.0),
    ]
    assert boxes[0].y == boxes[1].y == 0.0
    assert boxes[2].y + boxes[2].height < 0.0
    # The tip of each tick lies on the edge that is marked; beside it a dot or a ring tells which end.
    feet = [box.y for box in boxes]
    assert [tick.y[1] - foot for tick, foot in zip(lines(one, "main"), feet, strict=True)] == [80, 0, 80]
    assert [mark.role for mark in lines(one, "now", "guide")] == ["now", "guide", "now"]


def test_the_rings_of_a_strip_lie_as_they_were_read() -> None:
    assert not lines(drawn(row("a")), "wood")
    # Between the rings and the wide faces, which stand upright: 0 is upright, 90 level.
    for angle, slope in ((0.0, (0.0, 1.0)), (90.0, (1.0, 0.0)), (30.0, (0.5, 0.75**0.5))):
        for ring in lines(drawn(row("a", ring_angle_deg=angle)), "wood"):
            x, y = ring.x[-1] - ring.x[0], ring.y[-1] - ring.y[0]
            long = (x**2 + y**2) ** 0.5
            assert (abs(x) / long, abs(y) / long) == pytest.approx(slope, abs=0.01)
    # About the pith: 20 mm beside the wood, 10 mm from its middle toward the mark.
    for mark, high in (("up", 50.0), ("down", 30.0)):
        rings = lines(drawn(row("a", mark, pith_depth_mm=20.0, pith_offset_mm=10.0)), "wood")
        assert len(rings) >= 5
        for ring in rings:
            away = [(x + 20.0) ** 2 + (y - high) ** 2 for x, y in zip(ring.x, ring.y, strict=True)]
            assert max(away) - min(away) < 1e-6 * max(away)


def test_a_strip_that_holds_the_pith_shows_it() -> None:
    marks = [line for line in lines(drawn(row("a", pith_depth_mm=-15.0)), "main") if len(line.x) == 1]
    assert [(mark.x, mark.y) for mark in marks] == [((15.0,), (40.0,))]
