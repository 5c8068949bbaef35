"""What is laid on the work: drawings at 1:1, as a PDF tiled over sheets of paper, or one SVG for a plotter.

A millimetre of a drawing is a millimetre of paper: each tile is an axes whose limits span as many
millimetres as it is wide and high. Every tile carries bars to measure before anything is marked, and crosses
that lie on those of its neighbours.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import Any

from woodmove.extend.api import Band, Box, Drawing, Label, Line, Refusal, Sheet, Words
from woodmove_drawings.needed import libraries

INCH_MM = 25.4
POINT_MM = INCH_MM / 72
# Sheets lie on their side: width and height [mm]. What is drawn fits both, whichever is in the printer.
SHEETS = {"mm": (297.0, 210.0), "in": (279.4, 215.9)}
TILE_MM = (250.0, 145.0)
OVERLAP_MM = 15.0
MARGIN_MM = 14.0
# Check bars, beside those of the field's two units.
BARS = ((100.0, "100 mm"), (4 * INCH_MM, "4 in"))
# Around a drawing; under it lines of words, in two rows where neighbours stand close.
ROOM_MM, WORDS_MM, CLOSE_MM = 8.0, 22.0, 68.0
LINE_MM = 4.2
# Lines: of the work, of what is cut, of the line that does not move, and of what only leads the eye.
_WORK = {"linewidth": 0.6, "edgecolor": "#333333"}
_CUT = {"linewidth": 0.9, "edgecolor": "black"}
_FIXED = {"linewidth": 0.8, "color": "black", "linestyle": (0, (9, 3, 2, 3))}
_GUIDE = {"linewidth": 0.35, "color": "#444444"}
MISSING_SIGN = "□"


def template(sheet: Sheet, ending: str) -> bytes:
    """The drawings of a sheet that are laid on the work, at full size.

    :param ending: ``.pdf`` or ``.svg``
    :raises Refusal: nothing is drawn at full size, or the library is missing
    """
    drawings = [one for leaf in sheet.leaves for one in leaf.drawings if one.full_size]
    if not drawings:
        raise Refusal(
            "NOTHING_AT_FULL_SIZE",
            "There is nothing to draw at full size.",
            "A template is made of what is marked on the work, such as slots.",
            "Say what the slots need (slots, top, wood, room) in the job file.",
        )
    with libraries("A template"):
        import matplotlib

    settings = {
        "svg.fonttype": "none",
        "svg.hashsalt": "woodmove",
        "pdf.fonttype": 42,
        "path.simplify": False,
    }
    with matplotlib.rc_context(settings):  # pyright: ignore[reportArgumentType]
        return (_pdf if ending == ".pdf" else _svg)(drawings, sheet)


@dataclass(frozen=True)
class Window:
    """A part of a drawing: its lower left corner and its size [mm], and where it stands among how many."""

    x: float
    y: float
    width: float
    height: float
    number: int = 1
    count: int = 1


def windows(extent: tuple[float, float, float, float]) -> list[Window]:
    """The tiles over an extent (left, low, right, high) [mm], each overlapping its neighbours."""
    left, low, right, high = extent
    wide, tall = TILE_MM
    across = max(1, math.ceil((right - left - OVERLAP_MM) / (wide - OVERLAP_MM)))
    up = max(1, math.ceil((high - low - OVERLAP_MM) / (tall - OVERLAP_MM)))
    return [
        Window(left + i * (wide - OVERLAP_MM), low + j * (tall - OVERLAP_MM), wide, tall,
               j * across + i + 1, across * up)
        for j in range(up) for i in range(across)
    ]  # fmt: skip


def extent_of(drawing: Drawing) -> tuple[float, float, float, float]:
    """Left, low, right and high of a drawing with the words under it [mm]."""
    boxes = [shape for shape in drawing.shapes if isinstance(shape, Box)]
    rows = [row for _, row in _said(boxes)]
    under = WORDS_MM * (max(rows) + 1) if rows else 0.0
    return (
        min(box.x for box in boxes) - ROOM_MM,
        min(box.y for box in boxes) - ROOM_MM - under,
        max(box.x + box.width for box in boxes) + ROOM_MM,
        max(box.y + box.height for box in boxes) + ROOM_MM,
    )


def _said(boxes: Sequence[Box]) -> list[tuple[Box, int]]:
    """The holes that something is said of, each with the row of its words: the second where it stands close
    to one whose words are in the first."""
    said: list[tuple[Box, int]] = []
    for box in (box for box in boxes if box.says):
        close = bool(said) and said[-1][1] == 0 and box.x - said[-1][0].x < CLOSE_MM
        said.append((box, int(close)))
    return said


def _pdf(drawings: list[Drawing], sheet: Sheet) -> bytes:
    from matplotlib.backends.backend_pdf import PdfPages

    out = BytesIO()
    page = SHEETS[sheet.words.system]
    with PdfPages(out, metadata={"CreationDate": None, "Title": sheet.title}) as book:
        for drawing in drawings:
            for window in windows(extent_of(drawing)):
                book.savefig(_tile(drawing, window, page, sheet))
    return out.getvalue()


def _svg(drawings: list[Drawing], sheet: Sheet) -> bytes:
    from matplotlib.backends.backend_svg import FigureCanvasSVG

    drawing = drawings[0]
    left, low, right, high = extent_of(drawing)
    window = Window(left, low, right - left, high - low)
    page = (max(window.width, TILE_MM[0]) + 2 * MARGIN_MM, window.height + 68.0)
    out = BytesIO()
    FigureCanvasSVG(_tile(drawing, window, page, sheet)).print_svg(out, metadata={"Date": None})
    return out.getvalue()


def _tile(drawing: Drawing, window: Window, page: tuple[float, float], sheet: Sheet) -> Any:
    """A sheet of paper with a part of a drawing."""
    from matplotlib.figure import Figure

    wide, high = page
    figure = Figure(figsize=(wide / INCH_MM, high / INCH_MM))
    low = 24.0
    paper = _axes(figure, page, (0.0, 0.0, wide, high), (0.0, 0.0))
    frame = (MARGIN_MM, low, window.width, window.height)
    _head(paper, drawing, window, page, sheet)
    _bars(paper, page)
    _draw(_axes(figure, page, frame, (window.x, window.y)), drawing, window, sheet.words)
    return figure


def _axes(on: Any, page: tuple[float, float], frame: tuple[float, ...], start: tuple[float, float]) -> Any:
    """An axes at a place of the paper [mm], in millimetres from `start`."""
    left, low, wide, high = frame
    axes = on.add_axes((left / page[0], low / page[1], wide / page[0], high / page[1]))
    axes.set_axis_off()
    axes.set_xlim(start[0], start[0] + wide)
    axes.set_ylim(start[1], start[1] + high)
    return axes


def _head(paper: Any, drawing: Drawing, window: Window, page: tuple[float, float], sheet: Sheet) -> None:
    top = page[1] - MARGIN_MM
    of = f"  Sheet {window.number} of {window.count}." if window.count > 1 else ""
    _write(paper, MARGIN_MM, top - 2, f"{sheet.title}.  {drawing.title}.{of}", size=12)
    _write(
        paper, MARGIN_MM, top - 8.5,
        "Print at 100 %, not fitted to the page. Measure the bars first. Is one off? Throw the sheet away.",
    )  # fmt: skip
    _write(paper, MARGIN_MM, top - 14, "This side up. " + sheet.words.text(drawing.remark))
    if window.count > 1:
        _write(paper, MARGIN_MM, top - 19.5, "Lay cross on cross where two sheets overlap.")


def _bars(paper: Any, page: tuple[float, float]) -> None:
    x = MARGIN_MM
    for length, text in BARS:
        paper.plot([x, x + length], [12.0, 12.0], lw=0.9, c="black", solid_capstyle="butt", gid=f"bar {text}")
        for end in (x, x + length):
            paper.plot([end, end], [9.5, 14.5], lw=0.5, c="black")
        _write(paper, x + length / 2, 14, text, anchor="center")
        x += length + 20.0


def _draw(axes: Any, drawing: Drawing, window: Window, words: Words) -> None:
    boxes = [shape for shape in drawing.shapes if isinstance(shape, Box)]
    rows = {id(box): row for box, row in _said(boxes)}
    floor = min(box.y for box in boxes)
    number = 0
    for shape in drawing.shapes:
        if isinstance(shape, Box):
            number += shape.role == "cut"
            _box(axes, shape, number)
            if shape.says:
                top = floor - ROOM_MM / 2 - WORDS_MM * rows[id(shape)]
                _say(axes, shape, top, number, window, words)
        elif isinstance(shape, Line):
            _line(axes, shape, words)
        elif isinstance(shape, Label):
            assert isinstance(shape.x, int | float)
            _write(axes, shape.x, shape.y, words.text(shape.text), anchor="center")
        else:
            assert isinstance(shape, Band)  # has no size to lay on anything
    _crosses(axes, extent_of(drawing), window)


def _box(axes: Any, box: Box, number: int) -> None:
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    look = _CUT if box.role == "cut" else _WORK
    name = f"{box.role}-{number}" if box.role == "cut" else None
    corners, codes = zip(*_outline(box), strict=True)
    codes = [getattr(Path, code) for code in codes]
    axes.add_patch(PathPatch(Path(corners, codes), fill=False, gid=name, **look))


def _outline(box: Box) -> Iterator[tuple[tuple[float, float], str]]:
    """The course of a rectangle whose corners are quarter circles, each point with the name of its code."""
    r = min(box.corner, box.width / 2, box.height / 2)
    left, low, right, high = box.x, box.y, box.x + box.width, box.y + box.height
    if r == 0:
        for place, corner in enumerate(((left, low), (right, low), (right, high), (left, high))):
            yield corner, "LINETO" if place else "MOVETO"
        yield (left, low), "CLOSEPOLY"
        return
    # A quarter circle as one cubic curve: off by less than 0.03 % of its radius.
    k = r * (1 - 4 / 3 * (math.sqrt(2) - 1))
    yield (left + r, low), "MOVETO"
    for line, first, second, end in (
        ((right - r, low), (right - k, low), (right, low + k), (right, low + r)),
        ((right, high - r), (right, high - k), (right - k, high), (right - r, high)),
        ((left + r, high), (left + k, high), (left, high - k), (left, high - r)),
        ((left, low + r), (left, low + k), (left + k, low), (left + r, low)),
    ):
        yield line, "LINETO"
        yield first, "CURVE4"
        yield second, "CURVE4"
        yield end, "CURVE4"
    yield (left + r, low), "CLOSEPOLY"


def _say(axes: Any, box: Box, top: float, number: int, window: Window, words: Words) -> None:
    """What belongs to a hole, under the work, with a line that leads there; on the side that has room."""
    centre = box.x + box.width / 2
    if not window.x <= centre <= window.x + window.width:
        return
    axes.plot([centre, centre], [box.y, top + 0.5], **_GUIDE)
    right = centre + CLOSE_MM > window.x + window.width
    lines = [f"{number}.  {words.text(box.says[0])}", *(words.text(text) for text in box.says[1:])]
    for line, text in enumerate(lines):
        x, anchor = (centre - 1.5, "right") if right else (centre + 1.5, "left")
        _write(axes, x, top - LINE_MM * (line + 0.75), text, anchor=anchor)


def _line(axes: Any, line: Line, words: Words) -> None:
    if len(line.x) == 1:
        x, y = line.x[0], line.y[0]
        assert isinstance(x, int | float)
        for across, up in ((3.5, 0.0), (0.0, 3.5)):
            axes.plot([x - across, x + across], [y - up, y + up], lw=0.4, c="black")
        return
    axes.plot(line.x, line.y, **(_FIXED if line.role == "limit" else _GUIDE))
    if line.label:
        place = max(range(len(line.y)), key=line.y.__getitem__)
        at = line.x[place]
        assert isinstance(at, int | float)
        _write(axes, at, line.y[place] + 1.5, words.text(line.label), anchor="center")


def _crosses(axes: Any, extent: tuple[float, float, float, float], window: Window) -> None:
    """Marks in the middle of each overlap, where both sheets have them."""
    left, low, right, high = extent
    for x in (window.x + OVERLAP_MM / 2, window.x + window.width - OVERLAP_MM / 2):
        for y in (window.y + OVERLAP_MM / 2, window.y + window.height - OVERLAP_MM / 2):
            shared_x = left + OVERLAP_MM < x < right - OVERLAP_MM / 2 or window.count == 1
            if window.count > 1 and (shared_x or low + OVERLAP_MM < y < high):
                axes.plot([x - 4, x + 4], [y, y], lw=0.4, c="black")
                axes.plot([x, x], [y - 4, y + 4], lw=0.4, c="black")
                axes.plot([x], [y], marker="o", ms=5, mfc="none", mec="black", mew=0.4)


def _write(axes: Any, x: float, y: float, text: str, *, size: float = 8.5, anchor: str = "left") -> None:
    axes.text(x, y, _in_font(text), size=size, ha=anchor, va="baseline", clip_on=True, parse_math=False)


def _in_font(text: str) -> str:
    """Words that the font can write: another sign stands for each that it lacks."""
    from matplotlib.font_manager import FontProperties, findfont, get_font

    known = get_font(findfont(FontProperties())).get_charmap()
    return "".join(sign if ord(sign) in known else MISSING_SIGN for sign in text)
