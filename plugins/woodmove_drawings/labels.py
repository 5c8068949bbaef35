"""Labels for the boards of a pile and the strips of a top: a sheet to print, cut apart and tape on."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from importlib.resources import files

from woodmove.extend.api import Leaf, Refusal, Sheet
from woodmove_drawings.needed import libraries

# What gets a label: the column that names it, and the parts of the plan whose first table has a row for each.
LABELED = {"board": ("pile", "cut_list"), "strip": ("lay-up",)}


@dataclass(frozen=True, slots=True)
class Tag:
    """A label.

    :param kind: of what it names: board or strip
    :param lines: what is said of it, each with its head
    """

    kind: str
    name: str
    lines: list[tuple[str, str]] = field(default_factory=list[tuple[str, str]])


def labels(sheet: Sheet) -> bytes:
    """The labels of a plan.

    :raises Refusal: the plan names no board and no strip, or the library is missing
    """
    tags = [tag for kind in LABELED for tag in _tags(kind, sheet)]
    if not tags:
        raise Refusal(
            "NOTHING_TO_LABEL",
            "This plan names no board and no strip.",
            "A label is made for each of them.",
            "List the boards (pile.boards) or the strips (strips.list) in the job file.",
        )
    with libraries("A sheet of labels"):
        from jinja2 import Environment

    source = (files("woodmove_drawings") / "templates" / "labels.html.jinja").read_text("utf-8")
    make = Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True)
    return make.from_string(source).render(title=sheet.title, tags=tags).encode()


def _tags(kind: str, sheet: Sheet) -> list[Tag]:
    """A label for each board, or each strip, in the order in which the plan first names them. What a later
    part leaves out, such as a board that goes back, has no orders of an earlier one."""
    tags: dict[str, Tag] = {}
    for leaf in (leaf for leaf in sheet.leaves if leaf.key in LABELED[kind]):
        rows = dict(_rows(kind, leaf))
        for name in tags if rows else ():
            if name not in rows:
                tags[name].lines[:] = [(leaf.title, "not in it")]
        for name, lines in rows.items():
            tags.setdefault(name, Tag(kind, name)).lines.extend(lines)
    return list(tags.values())


def _rows(kind: str, leaf: Leaf) -> Iterator[tuple[str, list[tuple[str, str]]]]:
    """Of the first table that has a column of such names: each name, and the rest of its row."""
    grid = next((grid for grid in leaf.grids if kind in grid.heads), None)
    if grid is None:
        return
    place = grid.heads.index(kind)
    for row in grid.rows:
        rest = [pair for number, pair in enumerate(zip(grid.heads, row, strict=True)) if number != place]
        yield row[place], [(head, cell) for head, cell in rest if cell]
