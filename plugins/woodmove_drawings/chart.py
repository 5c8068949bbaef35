"""A chart: what is drawn against its axes, with labels where things stand."""

import math
from collections.abc import Iterator, Sequence
from datetime import date
from typing import TypeGuard

from woodmove.extend.api import MONTHS, Axis, Band, Box, Drawing, Label, Line, Shape, Words
from woodmove_drawings.elements import (
    LINE,
    WIDE,
    Scale,
    letters,
    number_of,
    path,
    plain,
    text_at,
    wide,
    wrapped,
)

# A bar with what is written over it, in two lines.
HIGH, BAR_HIGH = 240.0, 56.0
# Around the axes, with room for the numbers at the left and for labels at the right, where there are any.
LEFT, BOTTOM, TOP, RIGHT, BARE = 50.0, 36.0, 28.0, 96.0, 14.0
_STEPS = (1.0, 2.0, 5.0)
# Inches are halved, not divided by ten.
_INCH_STEPS = tuple(2.0**power for power in range(-6, 4))


def chart(drawing: Drawing, words: Words) -> tuple[Iterator[str], float]:
    """The elements of a chart, and how high it comes out."""
    assert drawing.y is not None
    xs = [number_of(x) for shape in drawing.shapes for x in _xs(shape)]
    ys = [y for shape in drawing.shapes for y in _ys(shape)]
    ticks = _ticks(drawing.y, min(ys), max(ys), words)
    beside = any(isinstance(one, Band | Line) and one.label and not _is_day(one) for one in drawing.shapes)
    left, right = LEFT if drawing.y.label else BARE, RIGHT if beside else BARE
    across = Scale(min(xs), max(xs) if max(xs) > min(xs) else min(xs) + 1, left, WIDE - right)
    days = _rows(
        [(across.at(number_of(one.x[0])), words.text(one.label)) for one in drawing.shapes if _is_day(one)]
    )
    top = TOP + (LINE * days[-1][2] + 4 if days else 0)
    bars = sum(isinstance(shape, Box) for shape in drawing.shapes)
    high = top + (BAR_HIGH * bars + BOTTOM if bars else HIGH - TOP)
    up = Scale(ticks[0][0], ticks[-1][0], high - BOTTOM, top)
    if bars:
        up = Scale(min(ys), min(ys) + bars, high - BOTTOM, top)
    return _elements(drawing, words, across, up, ticks, days), high


def _elements(
    drawing: Drawing, words: Words, across: Scale, up: Scale, ticks: Sequence[tuple[float, str]],
    days: Sequence[tuple[float, str, int]],
) -> Iterator[str]:  # fmt: skip
    yield from _axes(drawing, words, across, up, ticks)
    for x, text, row in days:
        y = TOP + LINE * (row - 1)
        yield path([(x, up.start), (x, y - 9)], "line now")
        over = _is_over(x, text)
        yield text_at(x - 4 if over else x + 4, y, text, "day", "end" if over else "start")
    labels: list[tuple[float, str]] = []
    for shape in drawing.shapes:
        if isinstance(shape, Band):
            yield from _band(shape, across, up)
            labels.append((up.at(shape.high[-1]), words.text(shape.label)))
        elif isinstance(shape, Line) and len(shape.x) == 1:
            yield from _mark(shape, across, up, words)
        elif isinstance(shape, Line) and not _is_day(shape):
            yield path(_course(shape.x, shape.y, across, up), f"line {shape.role}")
            labels.append((up.at(shape.y[-1]), words.text(shape.label)))
        elif isinstance(shape, Box):
            yield from _bar(shape, across, up, words)
        elif isinstance(shape, Label):
            yield text_at(across.at(number_of(shape.x)), up.at(shape.y), words.text(shape.text))
    yield from _beside(labels, across.end + 7, up)


def _axes(
    drawing: Drawing, words: Words, across: Scale, up: Scale, ticks: Sequence[tuple[float, str]]
) -> Iterator[str]:
    assert drawing.x is not None
    assert drawing.y is not None
    if drawing.y.label:
        for value, text in ticks:
            y = up.at(value)
            yield path([(across.start, y), (across.end, y)], "grid")
            yield text_at(across.start - 6, y + 4, text, "tick", "end")
        yield text_at(2, 12, _named(drawing.y, words), "name")
    yield path([(across.start, up.start), (across.end, up.start)], "axis")
    if any(isinstance(x, date) for shape in drawing.shapes for x in _xs(shape)):
        yield from _calendar(across, up)
    else:
        yield from _numbers(drawing.x, across, up, words)


def _named(axis: Axis, words: Words) -> str:
    """The name of an axis with its unit."""
    unit = words.unit(axis.quantity) if axis.quantity else ""
    return f"{axis.label}, {unit}" if unit else axis.label


def _course(
    xs: Sequence[float | date], ys: Sequence[float], across: Scale, up: Scale
) -> list[tuple[float, float]]:
    return [(across.at(number_of(x)), up.at(y)) for x, y in zip(xs, ys, strict=True)]


def _band(band: Band, across: Scale, up: Scale) -> Iterator[str]:
    low, top = _course(band.x, band.low, across, up), _course(band.x, band.high, across, up)
    yield path([*top, *reversed(low)], f"band {band.role}", close=True)
    yield path(top, f"edge {band.role}")
    yield path(low, f"edge {band.role}")


def _mark(mark: Line, across: Scale, up: Scale, words: Words) -> Iterator[str]:
    """A single point, its words on the side that has room."""
    ((x, y),) = _course(mark.x, mark.y, across, up)
    yield f'<circle class="mark {mark.role}" cx="{plain(x)}" cy="{plain(y)}" r="4"/>'
    if label := words.text(mark.label):
        over = x > across.start + 0.6 * (across.end - across.start)
        yield text_at(x - 8 if over else x + 8, y - 7, label, "", "end" if over else "start")


def _bar(bar: Box, across: Scale, up: Scale, words: Words) -> Iterator[str]:
    """A bar of a chart; over it, from the left edge on, what it is of."""
    x, y = across.at(bar.x), up.at(bar.y + bar.height)
    yield (
        f'<rect class="box {bar.role}" x="{plain(x)}" y="{plain(y)}" '
        f'width="{plain(across.at(bar.x + bar.width) - x)}" height="{plain(up.at(bar.y) - y)}"/>'
    )
    lines = wrapped(words.text(bar.label), letters(WIDE - across.start))
    for number, line in enumerate(reversed(lines)):
        yield text_at(across.start, y - 5 - LINE * number, line)


def _is_day(shape: Shape) -> TypeGuard[Line]:
    """True for a line straight up that marks a day; how high it goes is for the chart."""
    return isinstance(shape, Line) and len(shape.x) > 1 and len(set(shape.x)) == 1 and shape.role != "guide"


def _xs(shape: Shape) -> tuple[float | date, ...]:
    if isinstance(shape, Band | Line):
        return shape.x
    return (shape.x, shape.x + shape.width) if isinstance(shape, Box) else (shape.x,)


def _ys(shape: Shape) -> tuple[float, ...]:
    if isinstance(shape, Band):
        return (*shape.low, *shape.high)
    if isinstance(shape, Line):
        return () if _is_day(shape) else shape.y
    return (shape.y, shape.y + shape.height) if isinstance(shape, Box) else (shape.y,)


def _ticks(axis: Axis, low: float, high: float, words: Words) -> list[tuple[float, str]]:
    """Round numbers of the reader's unit about the span, in base units, with their text."""
    factor, offset, finest = words.scale(axis.quantity) if axis.quantity else (1.0, 0.0, 1.0)
    first, last = low * factor + offset, high * factor + offset
    span = max(last - first, finest)
    inches = axis.quantity is not None and words.unit(axis.quantity) == "in"
    steps = _INCH_STEPS if inches else [s * 10.0**p for p in range(-3, 5) for s in _STEPS]
    step = next((s for s in steps if s >= finest * 0.999 and span / s <= 6.01), steps[-1])
    places = range(math.floor(first / step + 1e-6), math.ceil(last / step - 1e-6) + 1)
    shown = [place * step for place in places]
    if len(shown) < 2:
        shown.append(shown[0] + step)
    bases = [(value - offset) / factor for value in shown]
    if axis.quantity is None:
        return [(base, f"{value:g}") for base, value in zip(bases, shown, strict=True)]
    return [
        (base, words.number(axis.quantity, base) if inches else f"{round(value, 6):g}")
        for base, value in zip(bases, shown, strict=True)
    ]


def _numbers(axis: Axis, across: Scale, up: Scale, words: Words) -> Iterator[str]:
    named = [(float(number), name) for number, name in enumerate(axis.names, start=1)]
    if named:
        widest = max(wide(name) for _, name in named) + 4
        named = named[:: math.ceil(widest * (len(named) - 1) / (across.end - across.start))]
    for value, text in named or _ticks(axis, across.low, across.high, words):
        if across.low - 1e-9 <= value <= across.high + 1e-9:
            x = across.at(value)
            yield path([(x, up.start), (x, up.start + 4)], "axis")
            yield text_at(x, up.start + 17, text, "tick", "middle")
    yield text_at(across.end, up.start + 32, _named(axis, words), "name", "end")


def _calendar(across: Scale, up: Scale) -> Iterator[str]:
    """Months, as many as have room for their names; the year where it begins."""
    first, last = date.fromordinal(int(across.low)), date.fromordinal(int(across.high))
    count = 12 * (last.year - first.year) + last.month - first.month
    begins = [
        date(first.year + (first.month - 1 + n) // 12, (first.month - 1 + n) % 12 + 1, 1)
        for n in range(count + 2)
    ]
    every = max(1, math.ceil(count / 8))
    begins = [day for day in begins if across.low <= day.toordinal() <= across.high]
    year = None
    for number, day in enumerate(begins):
        x = across.at(day.toordinal())
        yield path([(x, up.start), (x, up.start + 4)], "axis")
        if number % every == 0:
            yield text_at(x, up.start + 16, MONTHS[day.month - 1][:3], "tick", "middle")
            if day.year != year:
                yield text_at(x, up.start + 30, str(day.year), "tick", "middle")
                year = day.year
    if len(begins) < 2:
        for day in {first, last}:
            x, anchor = across.at(day.toordinal()), "start" if day == first else "end"
            yield text_at(x, up.start + 30, f"{day.day} {MONTHS[day.month - 1][:3]}", "tick", anchor)


def _beside(labels: Sequence[tuple[float, str]], x: float, up: Scale) -> Iterator[str]:
    """Labels at the right end of what they name, pushed apart where they would touch."""
    blocks = [(y, lines) for y, text in sorted(labels) if (lines := wrapped(text, letters(WIDE - x)))]
    places = [y for y, _ in blocks]
    heights = [LINE * len(lines) for _, lines in blocks]
    for number in range(1, len(blocks)):
        least = places[number - 1] + (heights[number - 1] + heights[number]) / 2 + 3
        places[number] = max(places[number], least)
    if blocks and (over := places[-1] + heights[-1] / 2 - up.start) > 0:
        places[-1] -= over
        for number in reversed(range(len(blocks) - 1)):
            most = places[number + 1] - (heights[number + 1] + heights[number]) / 2 - 3
            places[number] = min(places[number], most)
    for (_, lines), place, height in zip(blocks, places, heights, strict=True):
        for line, text in enumerate(lines):
            yield text_at(x, place - height / 2 + LINE * (line + 0.75), text)


def _rows(labels: Sequence[tuple[float, str]]) -> list[tuple[float, str, int]]:
    """Labels of days over the chart: place, words and row from the top. Each begins at its day, or ends there
    where it would leave the drawing; the later one stands lower where they would touch, so that no line of a
    day crosses words."""
    placed: list[tuple[float, str, int]] = []
    for x, text in sorted(labels):
        before = placed[-1] if placed else None
        free = before is None or (before[0] + wide(before[1]) + 10 < x and not _is_over(x, text))
        placed.append((x, text, 1 if before is None else before[2] + (not free)))
    return placed


def _is_over(x: float, text: str) -> bool:
    """True where words that begin at a day would leave the drawing."""
    return x + 4 + wide(text) > WIDE
