"""A sheet as one page for a browser: self-contained, without script, to read on a phone and to print."""

from functools import partial
from importlib.resources import files

from woodmove.extend.api import Drawing, Grid, Sheet
from woodmove_drawings.needed import libraries
from woodmove_drawings.svg import svg_of

# From so many letters on a cell breaks into lines, which are not too short.
_LONG = 18
_STATES = {"go": "GO", "wait": "WAIT", "stop": "STOP", "know": "NOTE"}


def page(sheet: Sheet) -> bytes:
    """The page of a sheet.

    :raises Refusal: the library is missing
    """
    with libraries("A page"):
        from jinja2 import Environment
        from markupsafe import Markup

    here = files("woodmove_drawings") / "templates"
    make = Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True)

    def svg(drawing: Drawing, name: str) -> str:
        return Markup(svg_of(drawing, sheet.words, name))

    make.filters |= {
        "day": sheet.words.day,
        "kinds": _kinds,
        "state": partial(dict.get, _STATES),
        "svg": svg,
        "text": sheet.words.text,
    }
    template = make.from_string((here / "page.html.jinja").read_text("utf-8"))
    style = Markup((here / "page.css").read_text("utf-8"))
    return template.render(sheet=sheet, style=style).encode()


def _kinds(grid: Grid) -> list[str]:
    """What each column holds: numbers, short words, or sentences."""
    return [
        "n" if numbers else "long" if any(len(row[place]) > _LONG for row in grid.rows) else "short"
        for place, numbers in enumerate(grid.numbers)
    ]
