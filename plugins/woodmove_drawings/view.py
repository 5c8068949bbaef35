"""A view to scale: boards, rails and slots as they lie, with their names."""

from collections.abc import Iterator, Sequence

from woodmove.extend.api import Band, Box, Drawing, Label, Line, Words
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

MOST_HIGH, MARGIN = 640.0, 12.0
# Of names beside a view: the most that they take of its width.
BESIDE = 0.2


def view(drawing: Drawing, words: Words) -> tuple[Iterator[str], float]:
    """The elements of a view, and how high it comes out."""
    left, right, low, high = _extent(drawing)
    beside = min(max([MARGIN, *_names_beside(drawing, words)]), BESIDE * WIDE)
    room = WIDE - MARGIN - beside
    factor = min(room / max(right - left, 1e-9), MOST_HIGH / max(high - low, 1e-9))
    start = MARGIN + (room - factor * (right - left)) / 2
    said = [words.text(shape.label) for shape in drawing.shapes if isinstance(shape, Line)]
    lines = max(len(wrapped(text, letters(WIDE))) for text in ("", *said))
    top, bottom = max(1, lines) * LINE + 10, LINE + 4
    tall = factor * (high - low) + top + bottom
    across = Scale(left, right, start, start + factor * (right - left))
    up = Scale(low, high, tall - bottom, top)
    return _elements(drawing, words, across, up), tall


def _extent(drawing: Drawing) -> tuple[float, float, float, float]:
    """Left, right, low and high of all shapes."""
    xs: list[float] = []
    ys: list[float] = []
    for shape in drawing.shapes:
        if isinstance(shape, Box):
            xs += (shape.x, shape.x + shape.width)
            ys += (shape.y, shape.y + shape.height)
        elif isinstance(shape, Line):
            xs += map(number_of, shape.x)
            ys += shape.y
        elif isinstance(shape, Label):
            xs.append(number_of(shape.x))
            ys.append(shape.y)
        else:
            assert isinstance(shape, Band)  # is of a chart
    return min(xs), max(xs), min(ys), max(ys)


def _names_beside(drawing: Drawing, words: Words) -> list[float]:
    """How wide the words are that stand to the right of all else."""
    return [
        wide(words.text(shape.text))
        for shape in drawing.shapes
        if isinstance(shape, Label) and _is_beside(shape, drawing)
    ]


def _is_beside(label: Label, drawing: Drawing) -> bool:
    """True for words to the right of all boxes: they begin at their place."""
    edges = [shape.x + shape.width for shape in drawing.shapes if isinstance(shape, Box)]
    return bool(edges) and number_of(label.x) > max(edges)


def _elements(drawing: Drawing, words: Words, across: Scale, up: Scale) -> Iterator[str]:
    """The shapes, and over all of them what is written."""
    for shape in drawing.shapes:
        if isinstance(shape, Box):
            yield _box(shape, across, up)
        elif isinstance(shape, Line):
            yield _line(shape, across, up)
    yield from _words(drawing, words, across, up)


def _box(box: Box, across: Scale, up: Scale) -> str:
    x, y = across.at(box.x), up.at(box.y + box.height)
    width, height = across.at(box.x + box.width) - x, up.at(box.y) - y
    rounded = f' rx="{plain(box.corner * width / box.width)}"' if box.corner and box.width else ""
    return (
        f'<rect class="box {box.role}" x="{plain(x)}" y="{plain(y)}" width="{plain(width)}" '
        f'height="{plain(height)}"{rounded}/>'
    )


def _line(line: Line, across: Scale, up: Scale) -> str:
    points = _points(line, across, up)
    if len(points) > 1:
        return path(points, f"line {line.role}")
    ((x, y),) = points
    return f'<circle class="mark {line.role}" cx="{plain(x)}" cy="{plain(y)}" r="3"/>'


def _points(line: Line, across: Scale, up: Scale) -> Sequence[tuple[float, float]]:
    return [(across.at(number_of(x)), up.at(y)) for x, y in zip(line.x, line.y, strict=True)]


def _words(drawing: Drawing, words: Words, across: Scale, up: Scale) -> Iterator[str]:
    taken: list[tuple[float, float, float]] = []
    for shape in drawing.shapes:
        if isinstance(shape, Line) and (label := words.text(shape.label)):
            x, y = min(_points(shape, across, up), key=lambda point: point[1])
            yield from _over(label, x, y)
        elif isinstance(shape, Label):
            x, y = across.at(number_of(shape.x)), up.at(shape.y)
            beside = _is_beside(shape, drawing)
            room = WIDE - x - 2 if beside else _room(shape, drawing, across)
            yield text_at(x, y, _cut(words.text(shape.text), room), "", "start" if beside else "middle")
    for shape in drawing.shapes:
        if isinstance(shape, Box) and (label := words.text(shape.label)):
            yield from _name(shape, label, drawing, across, up, taken)


def _over(label: str, x: float, y: float) -> Iterator[str]:
    """Words over a line, in as many lines as they take."""
    lines = wrapped(label, letters(WIDE))
    for number, line in enumerate(lines):
        half = wide(line) / 2
        at = min(max(x, half + 2), WIDE - half - 2)
        yield text_at(at, y - 6 - LINE * (len(lines) - 1 - number), line, "label", "middle")


def _room(label: Label, drawing: Drawing, across: Scale) -> float:
    """How wide words may come out: to the words beside them, or to the edge."""
    x = across.at(number_of(label.x))
    beside = [
        abs(across.at(number_of(other.x)) - x)
        for other in drawing.shapes
        if isinstance(other, Label) and other.y == label.y and other.x != label.x
    ]
    return min([*beside, 2 * min(x, WIDE - x)]) - 4


def _name(
    box: Box, label: str, drawing: Drawing, across: Scale, up: Scale,
    taken: list[tuple[float, float, float]],
) -> Iterator[str]:  # fmt: skip
    """The name of a box, in it or under it; one that has no room there is in the table.

    :param taken: where names stand already: left, right and height
    """
    x, y = across.at(box.x + box.width / 2), up.at(box.y)
    width, height = across.at(box.x + box.width) - across.at(box.x), y - up.at(box.y + box.height)
    half = wide(label) / 2
    if 2 * half < width - 2 and height > LINE:
        yield text_at(x, y - height / 2 + 4, label, "inside", "middle")
        return
    # Strips and parts stand close.
    if box.role == "wood" or not half < x < WIDE - half:
        return
    at = _under(box, drawing, up) + LINE
    if all(x + half < left or right < x - half or at != other for left, right, other in taken):
        taken.append((x - half, x + half, at))
        yield text_at(x, at, label, "label", "middle")


def _under(box: Box, drawing: Drawing, up: Scale) -> float:
    """The lower edge of a box, or that of the box around it where no words have room between the two."""
    around = [
        other.y
        for other in drawing.shapes
        if isinstance(other, Box) and other.x <= box.x < other.x + other.width and other.y < box.y
    ]
    edges = [up.at(y) for y in around if up.at(y) - up.at(box.y) < LINE + 5]
    return max([up.at(box.y), *edges])


def _cut(text: str, room: float) -> str:
    """As much of words as has room."""
    most = letters(room)
    return text if len(text) <= most else f"{text[: max(1, most - 3)]}…"
