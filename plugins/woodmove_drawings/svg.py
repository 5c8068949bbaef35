"""A drawing as inline SVG: a chart with its axes, or a view to scale.

Colours, line widths and patterns are those of the page, by the role of a shape: a drawing must read in grey,
so every role differs in more than its colour. Whatever can be labelled is labelled where it stands.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from html import escape
from typing import TypeGuard

from woodmove.extend.api import MONTHS, Axis, Band, Box, Drawing, Label, Line, Shape, Words

# User units of all drawings: a narrow phone shows 320 of its pixels for these, and the letters stay legible.
WIDE = 460.0
CHART_HIGH = 250.0
_VIEW_HIGH = 240.0
_FONT = 12.5
_LINE = 14.5
# An average letter, as a share of the height of the letters.
_LETTER = 0.53
# Letters in a line as wide as a drawing.
_WHOLE_LINE = int((WIDE - 8) / (_FONT * _LETTER))
_LEFT, _BOTTOM, _TOP, _RIGHT = 52.0, 36.0, 26.0, 112.0
_STEPS = (1.0, 2.0, 5.0)
# Inches are halved, not divided by ten.
_INCH_STEPS = tuple(2.0**power for power in range(-6, 4))


def svg_of(drawing: Drawing, words: Words, name: str) -> str:
    """The SVG element of a drawing, its words and numbers as its reader reads them.

    :param name: its own on the page
    """
    says = words.text(drawing.says)
    body, high = (
        _chart(drawing, words) if drawing.x is not None and drawing.y is not None else _view(drawing, words)
    )
    return (
        f'<svg class="drawing" viewBox="0 0 {WIDE:g} {_n(high)}" role="img" aria-labelledby="{name}">'
        f'<title id="{name}">{escape(says)}</title>{"".join(body)}</svg>'
    )


def wrapped(text: str, letters: int) -> list[str]:
    """Words in lines of at most so many letters, where they have gaps."""
    lines: list[str] = []
    for word in text.split():
        if lines and len(lines[-1]) + len(word) < letters:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


# Elements


def _n(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _path(points: Iterable[tuple[float, float]], kind: str, *, close: bool = False) -> str:
    course = " ".join(f"{_n(x)},{_n(y)}" for x, y in points)
    return f'<{"polygon" if close else "polyline"} class="{kind}" points="{course}"/>'


def _text(x: float, y: float, text: str, kind: str = "", anchor: str = "start") -> str:
    return (
        f'<text class="{kind or "label"}" x="{_n(x)}" y="{_n(y)}" text-anchor="{anchor}">'
        f"{escape(text, quote=False)}</text>"
    )


def _wide(text: str) -> float:
    return len(text) * _FONT * _LETTER


# Charts


@dataclass(frozen=True)
class _Scale:
    """From numbers of an axis to places on the page."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)


def _number(value: float | date) -> float:
    return float(value.toordinal()) if isinstance(value, date) else value


def _chart(drawing: Drawing, words: Words) -> tuple[Iterator[str], float]:
    assert drawing.x is not None
    assert drawing.y is not None
    xs = [_number(x) for shape in drawing.shapes for x in _xs(shape)]
    ys = [y for shape in drawing.shapes for y in _ys(shape)]
    ticks = _ticks(drawing.y, min(ys), max(ys), words)
    across = _Scale(min(xs), max(xs) if max(xs) > min(xs) else min(xs) + 1, _LEFT, WIDE - _RIGHT)
    days = _rows(
        [(across.at(_number(one.x[0])), words.text(one.label)) for one in drawing.shapes if _is_day(one)]
    )
    top = _TOP + (_LINE * days[-1][2] + 4 if days else 0)
    high = top + CHART_HIGH - _TOP
    up = _Scale(ticks[0][0], ticks[-1][0], high - _BOTTOM, top)
    return _chart_body(drawing, words, across, up, ticks, days), high


def _chart_body(
    drawing: Drawing, words: Words, across: _Scale, up: _Scale, ticks: Sequence[tuple[float, str]],
    days: Sequence[tuple[float, str, int]],
) -> Iterator[str]:  # fmt: skip
    assert drawing.x is not None
    assert drawing.y is not None
    for value, text in ticks if drawing.y.label else ():
        y = up.at(value)
        yield _path([(across.start, y), (across.end, y)], "grid")
        yield _text(across.start - 6, y + 4, text, "tick", "end")
    yield _path([(across.start, up.start), (across.end, up.start)], "axis")
    unit = words.unit(drawing.y.quantity) if drawing.y.quantity else ""
    if drawing.y.label:
        yield _text(2, 12, f"{drawing.y.label}, {unit}" if unit else drawing.y.label, "name")
    if any(isinstance(x, date) for shape in drawing.shapes for x in _xs(shape)):
        yield from _calendar(across, up)
    else:
        yield from _numbers(drawing.x, across, up, words)
    labels: list[tuple[float, str]] = []
    for x, text, row in days:
        y = _TOP + _LINE * (row - 1)
        yield _path([(x, up.start), (x, y - 9)], "line now")
        over = x + 4 + _wide(text) > WIDE
        yield _text(x - 4 if over else x + 4, y, text, "day", "end" if over else "start")
    for shape in drawing.shapes:
        if isinstance(shape, Band):
            low = [(across.at(_number(x)), up.at(y)) for x, y in zip(shape.x, shape.low, strict=True)]
            top = [(across.at(_number(x)), up.at(y)) for x, y in zip(shape.x, shape.high, strict=True)]
            yield _path([*top, *reversed(low)], f"band {shape.role}", close=True)
            yield _path(top, f"edge {shape.role}")
            yield _path(low, f"edge {shape.role}")
            if shape.label:
                labels.append((top[-1][1], words.text(shape.label)))
        elif isinstance(shape, Line) and not _is_day(shape):
            points = [(across.at(_number(x)), up.at(y)) for x, y in zip(shape.x, shape.y, strict=True)]
            label = words.text(shape.label)
            if len(points) == 1:
                (x, y) = points[0]
                yield f'<circle class="mark {shape.role}" cx="{_n(x)}" cy="{_n(y)}" r="4"/>'
                if label:
                    over = x > across.start + 0.6 * (across.end - across.start)
                    yield _text(x - 8 if over else x + 8, y - 7, label, "", "end" if over else "start")
                continue
            yield _path(points, f"line {shape.role}")
            if label:
                labels.append((points[-1][1], label))
        elif isinstance(shape, Box):
            yield from _bar(shape, across, up, words)
        elif isinstance(shape, Label):
            yield _text(across.at(_number(shape.x)), up.at(shape.y), words.text(shape.text))
    yield from _beside(labels, across.end + 7, up)


def _bar(bar: Box, across: _Scale, up: _Scale, words: Words) -> Iterator[str]:
    """A bar of a chart, what it is of over it."""
    x, y = across.at(bar.x), up.at(bar.y + bar.height)
    yield (
        f'<rect class="box {bar.role}" x="{_n(x)}" y="{_n(y)}" '
        f'width="{_n(across.at(bar.x + bar.width) - x)}" height="{_n(up.at(bar.y) - y)}"/>'
    )
    lines = wrapped(words.text(bar.label), int((WIDE - x) / (_FONT * _LETTER)))
    for number, line in enumerate(reversed(lines)):
        yield _text(x, y - 5 - _LINE * number, line)


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


def _numbers(axis: Axis, across: _Scale, up: _Scale, words: Words) -> Iterator[str]:
    named = [(float(number), name) for number, name in enumerate(axis.names, start=1)]
    for value, text in named or _ticks(axis, across.low, across.high, words):
        if across.low - 1e-9 <= value <= across.high + 1e-9:
            x = across.at(value)
            yield _path([(x, up.start), (x, up.start + 4)], "axis")
            yield _text(x, up.start + 17, text, "tick", "middle")
    unit = words.unit(axis.quantity) if axis.quantity else ""
    name = f"{axis.label}, {unit}" if unit else axis.label
    yield _text(across.end, up.start + 31, name, "name", "end")


def _calendar(across: _Scale, up: _Scale) -> Iterator[str]:
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
        yield _path([(x, up.start), (x, up.start + 4)], "axis")
        if number % every == 0:
            yield _text(x, up.start + 16, MONTHS[day.month - 1][:3], "tick", "middle")
            if day.year != year:
                yield _text(x, up.start + 30, str(day.year), "tick", "middle")
                year = day.year
    if len(begins) < 2:
        for day in {first, last}:
            x, anchor = across.at(day.toordinal()), "start" if day == first else "end"
            yield _text(x, up.start + 30, f"{day.day} {MONTHS[day.month - 1][:3]}", "tick", anchor)


def _beside(labels: Sequence[tuple[float, str]], x: float, up: _Scale) -> Iterator[str]:
    """Labels at the right end of what they name, pushed apart where they would touch."""
    room = int((WIDE - x) / (_FONT * _LETTER))
    blocks = [(y, lines) for y, text in sorted(labels) if (lines := wrapped(text, room))]
    places = [y for y, _ in blocks]
    heights = [_LINE * len(lines) for _, lines in blocks]
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
            yield _text(x, place - height / 2 + _LINE * (line + 0.75), text)


def _rows(labels: Sequence[tuple[float, str]]) -> list[tuple[float, str, int]]:
    """Labels of days over the chart: place, words and row from the top. Each begins at its day; the later one
    stands lower where they would touch, so that no line of a day crosses words."""
    placed: list[tuple[float, str, int]] = []
    for x, text in sorted(labels):
        before = placed[-1] if placed else None
        free = before is None or before[0] + _wide(before[1]) + 10 < x
        placed.append((x, text, 1 if before is None else before[2] + (not free)))
    return placed


# Views to scale


def _view(drawing: Drawing, words: Words) -> tuple[Iterator[str], float]:
    xs = [_number(x) for shape in drawing.shapes for x in _xs(shape)]
    ys = [y for shape in drawing.shapes for y in _ys(shape)]
    left, right, low, high = min(xs), max(xs), min(ys), max(ys)
    margin = 12.0
    factor = min((WIDE - 2 * margin) / max(right - left, 1e-9), _VIEW_HIGH / max(high - low, 1e-9))
    start = (WIDE - factor * (right - left)) / 2
    said = [words.text(shape.label) for shape in drawing.shapes if isinstance(shape, Line)]
    lines = max(len(wrapped(text, _WHOLE_LINE)) for text in ("", *said))
    top, bottom = max(1, lines) * _LINE + 10, _LINE + 4
    tall = factor * (high - low) + top + bottom
    across = _Scale(left, right, start, start + factor * (right - left))
    up = _Scale(low, high, tall - bottom, top)
    return _view_body(drawing, words, across, up, factor), tall


def _view_body(drawing: Drawing, words: Words, across: _Scale, up: _Scale, factor: float) -> Iterator[str]:
    for shape in drawing.shapes:
        if isinstance(shape, Box):
            x, y = across.at(shape.x), up.at(shape.y + shape.height)
            wide, high = shape.width * factor, shape.height * factor
            round_ = f' rx="{_n(shape.corner * factor)}"' if shape.corner else ""
            yield (
                f'<rect class="box {shape.role}" x="{_n(x)}" y="{_n(y)}" width="{_n(wide)}" '
                f'height="{_n(high)}"{round_}/>'
            )
            if label := words.text(shape.label):
                inside = _wide(label) < wide - 2 and high > _LINE
                # Strips stand close: a name that has no room is in the table.
                if not inside and shape.role == "wood":
                    continue
                at = y + high / 2 + 4 if inside else y + high + _LINE
                yield _text(x + wide / 2, at, label, "inside" if inside else "label", "middle")
        elif isinstance(shape, Line):
            points = [(across.at(_number(x)), up.at(y)) for x, y in zip(shape.x, shape.y, strict=True)]
            if len(points) == 1:
                (x, y) = points[0]
                yield f'<circle class="mark {shape.role}" cx="{_n(x)}" cy="{_n(y)}" r="3"/>'
            else:
                yield _path(points, f"line {shape.role}")
            if label := words.text(shape.label):
                x, y = max(points, key=lambda point: -point[1])
                lines = wrapped(label, _WHOLE_LINE)
                for number, line in enumerate(lines):
                    half = _wide(line) / 2
                    at = min(max(x, half + 2), WIDE - half - 2)
                    yield _text(at, y - 6 - _LINE * (len(lines) - 1 - number), line, "label", "middle")
        elif isinstance(shape, Label):
            yield _text(across.at(_number(shape.x)), up.at(shape.y), words.text(shape.text), "", "middle")
