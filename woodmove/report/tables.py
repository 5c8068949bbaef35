"""Rows as text that fits the page."""

import textwrap
from dataclasses import replace
from datetime import date

from woodmove.contract.notes import Note
from woodmove.report.figures import Figure, Rows
from woodmove.report.words import titled
from woodmove.units.show import printable
from woodmove.units.systems import System

LEAST_COLUMN = 16


def table_text(rows: Rows, system: System, width: int, title: str = "", most: int | None = None) -> str:
    """A table with its title; a column that says one thing says it once, remarks stand below.

    :param width: of the page
    :param most: rows that are shown, all where it is None
    """
    columns = [c for c in rows.columns if any(value not in (None, "") for value in c.value)]
    remarks = next((c for c in columns if c.name == "remark"), None)
    columns = [c for c in columns if c is not remarks]
    note = ""
    if rows.count > 1 and len(columns) > 2:
        same = [c for c in columns[1:] if all(value == c.value[0] for value in c.value)]
        if same and len(columns) - len(same) > 1:
            columns = [c for c in columns if c not in same]
            alike = [f"{titled(c.label)}: {replace(c, value=c.value[0]).full(system)}" for c in same]
            words = " ".join(one if one.endswith(".") else f"{one}." for one in alike).replace("\n", " ")
            of = "both" if rows.count == 2 else f"all {rows.count}"
            note = textwrap.fill(printable(f"The same for {of}. {words}"), width)
    shown = rows.count if most is None else min(most, rows.count)
    if shown < rows.count:
        note = "\n".join(part for part in (f"... and {rows.count - shown} more", note) if part)
    below = []
    if remarks is not None:
        first = columns[0]
        below = [
            textwrap.fill(printable(f"- {first.bare(one, system)}: {remarks.bare(remark, system)}"), width,
                          subsequent_indent="  ")
            for one, remark in zip(first.value[:shown], remarks.value[:shown], strict=True)
            if remark
        ]  # fmt: skip
    columns = [replace(c, value=c.value[:shown]) for c in columns]
    return "\n".join(part for part in (title, _fitting(columns, system, width), note, *below) if part)


def _fitting(columns: list[Figure], system: System, width: int) -> str:
    """The table as wide as the page; one that no narrowing makes so goes on below, its first column again."""
    if len(columns) == 1:
        # Its title says what it holds.
        items = [f"- {columns[0].bare(value, system)}" for value in columns[0].value]
        return "\n".join(textwrap.fill(one, width, subsequent_indent="  ") for one in items)
    text = _grid(columns, system, narrow=False)
    if _wide(text) > width:
        text = _grid(columns, system, narrow=True)
    if _wide(text) > width:
        text = _grid(columns, system, narrow=True, excess=_wide(text) - width)
    if _wide(text) > width:
        text = _grid(columns, system, narrow=True, tall=True)
    if _wide(text) <= width or len(columns) < 3:
        return text
    fits = len(columns) - 1
    while fits > 2 and _wide(_grid(columns[:fits], system, narrow=True)) > width:
        fits -= 1
    there = _grid(columns[:fits], system, narrow=True)
    return there + "\n\n" + _fitting([columns[0], *columns[fits:]], system, width)


def _wide(text: str) -> int:
    return max(map(len, text.splitlines()))


def _grid(columns: list[Figure], system: System, *, narrow: bool, excess: int = 0, tall: bool = False) -> str:
    """The table, its columns of words narrowed by `excess` in all, the widest first."""
    from tabulate import tabulate

    heads = [_head(column, system) for column in columns]
    heads = [head.replace(" ", "\n") for head in heads] if tall else heads
    body = [[c.bare(value, system, narrow=narrow) for value in c.value] for c in columns]
    words = [all(isinstance(value, str | date | None | Note) for value in c.value) for c in columns]
    wide = [max(map(len, texts), default=0) if word else 0 for word, texts in zip(words, body, strict=True)]
    full = list(wide)
    while excess > 0 and max(wide) > LEAST_COLUMN:
        wide[wide.index(max(wide))] -= 1
        excess -= 1
    limits = [now if now < before else None for now, before in zip(wide, full, strict=True)]
    return tabulate(
        list(zip(*body, strict=True)),
        headers=heads,
        tablefmt="simple",
        disable_numparse=True,
        colalign=["left" if word else "right" for word in words],
        maxcolwidths=limits,
    )


def _head(column: Figure, system: System) -> str:
    return printable(column.heading(system))
