"""Tables of pieces as somebody noted them down: a row a piece, cells that may be empty; or the same in one
text. What the columns are, and how their texts are read, is the caller's."""

import csv
import difflib
import io
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from woodmove.contract.notes import Assumption
from woodmove.contract.refusal import Refusal
from woodmove.files.texts import read_text
from woodmove.units.parse import with_unit_given
from woodmove.units.systems import System

# Column -> name of the value in base units, and how its text is read (raising ValueError).
Columns = Mapping[str, tuple[str, Callable[[str], Any]]]
NAMELESS = "row"
# How the names of values end that are lengths, or sizes made of two.
_LENGTHS = ("_mm", "_size", "_from")


@dataclass(frozen=True, slots=True)
class PieceTable:
    """What a table of pieces is, for its reader and for messages.

    :param noun: one piece, such as "board"
    :param kind: the table, such as "pile"
    :param example: headings that do
    :param pairs: a piece in one text that does
    :param field: name of the parameter that holds them
    :param facts: names of values that tell of one fact between them, such as where the pith lies
    """

    noun: str
    kind: str
    columns: Columns
    example: str
    pairs: str
    field: str
    facts: tuple[tuple[str, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class PieceRow:
    """A piece: its values in base units, and the line that it stands on."""

    values: Mapping[str, Any]
    line: int

    def over(self, shared: Mapping[str, Any], table: PieceTable) -> dict[str, Any]:
        """Its values, and behind them those that are said of all pieces. A piece that says anything of a fact
        takes nothing of it from the others: half of each would be true of none."""
        own = (fact for fact in table.facts if not self.values.keys().isdisjoint(fact))
        return {**shared, **dict.fromkeys(name for fact in own for name in fact), **self.values}


@dataclass(frozen=True, slots=True)
class Pieces:
    """The pieces of a table, and the rows that could not be read.

    :param bare: the units in which lengths without one are read, None if there are no such lengths
    """

    source: str
    rows: tuple[PieceRow, ...]
    faults: tuple[Refusal, ...]
    bare: System | None = None

    @property
    def notes(self) -> tuple[Assumption, ...]:
        """What to say where lengths have no unit."""
        return _BARE[self.bare] if self.bare else ()


_BARE = {
    system: (Assumption("BARE_LENGTHS", f"Lengths of the list without a unit are read as {words}."),)
    for system, words in (
        ("in", "inches: for millimetres write 3mm"),
        ("mm", "millimetres: for inches write 1/8in"),
    )
}


def names_file(told: str) -> bool:
    """True for the path of a table, False for pieces in one text: these are told as ``key=value``."""
    return "=" not in told


def read_pieces(path: str, table: PieceTable, units: System | None = None) -> Pieces:
    """Read a CSV of pieces: a line of headings, then a row a piece; cells may be empty.

    :param units: those of lengths without one; None for a list in which each has its own
    :raises Refusal: no such file, no rows, or a heading that is none
    """
    text = read_text(path, f"{table.kind} file")
    reader = csv.reader(io.StringIO(text))
    try:
        lines = [(reader.line_num, cells) for cells in reader]
    except csv.Error as problem:
        raise Refusal(
            "NOT_CSV", f"{path} is not a table: {problem}.",
            f"A {table.kind} is a table with a row a {table.noun}.",
            "Save it again as CSV.", file=path, line=reader.line_num,
        ) from None  # fmt: skip
    lines = [(line, cells) for line, cells in lines if any(cell.strip() for cell in cells)]
    if len(lines) < 2:
        raise Refusal(
            "NO_ROWS", f"{path} has no {table.noun}s.",
            f"A {table.kind} has a line of headings and a row a {table.noun}.",
            f"Write the first {table.noun} under its headings."
            if lines
            else f"Write {table.example} in its first line.",
            file=path, line=1,
        )  # fmt: skip
    headings = [cell.strip().lower().replace(" ", "_") for cell in lines[0][1]]
    unknown = [heading for heading in headings if heading not in table.columns]
    if unknown or len(set(headings)) < len(headings):
        named = (repr(heading) if heading else "without a heading" for heading in unknown)
        raise Refusal(
            "UNKNOWN_COLUMN",
            f"{path} has a column {' and a column '.join(named)}."
            if unknown
            else f"{path} has two columns of one name.",
            f"The columns of a {table.kind} are {', '.join(table.columns)}.",
            _mended(unknown, table),
            file=path,
            line=lines[0][0],
        )
    return _rows(
        path,
        table,
        (
            (line, dict(zip(headings, cells, strict=False)), len(cells) - len(headings))
            for line, cells in lines[1:]
        ),
        units,
    )


def _mended(unknown: list[str], table: PieceTable) -> str:
    """What to do about headings that are none."""
    if "" in unknown:
        return "Write a heading above each cell, and no comma after the last."
    if any(mark in heading for heading in unknown for mark in ";\t"):
        return "Put commas between the cells: save the table again as CSV with commas."
    close = {heading: difflib.get_close_matches(heading, table.columns, n=1) for heading in unknown}
    meant = ", ".join(f"{found[0]} for {heading}" for heading, found in close.items() if found)
    return f"Write {meant}." if meant else "Rename it or take it out."


def pieces_of_text(text: str, source: str, table: PieceTable, units: System | None = None) -> Pieces:
    """Pieces in one text: commas between them, each ``key=value`` pairs with blanks between. A value may
    have blanks: a word that is no key belongs to the value before it, as in ``slope=1 in 12``.

    :param units: those of lengths without one; None for a list in which each has its own
    :raises Refusal: a key that is none
    """
    entries = []
    for number, entry in enumerate(text.split(","), start=1):
        pairs = _pairs(entry, table)
        if number > 1 and pairs and pairs[0][1] is None and re.match(r"\d", pairs[0][0]):
            raise Refusal(
                "DECIMAL_COMMA",
                f"{table.noun.capitalize()} {number} begins with {pairs[0][0]}: is that a decimal comma?",
                f"A comma begins the next {table.noun}.",
                "Write a decimal point.",
                fields=(table.field,),
            )
        cells = {key: value for key, value in pairs if key in table.columns and value is not None}
        if len({key for key, _ in pairs}) < len(pairs):
            raise Refusal(
                "SAID_TWICE",
                f"{table.noun.capitalize()} {number} says one thing twice: {entry.strip()}.",
                f"Each value of a {table.noun} is told once.",
                "Take one of them out.",
                fields=(table.field,),
            )
        unknown = next((key for key, value in pairs if key not in table.columns or value is None), None)
        if unknown is not None or not cells:
            raise Refusal(
                "UNKNOWN_COLUMN",
                f"{table.noun.capitalize()} {number} says {unknown or 'nothing'!r}.",
                f"A {table.noun} is told as key=value, the keys {', '.join(table.columns)}.",
                f"Write {table.pairs}, for example.",
                fields=(table.field,),
            )
        entries.append((number, cells, 0))
    return _rows(source, table, entries, units)


def _pairs(entry: str, table: PieceTable) -> list[tuple[str, str | None]]:
    """The keys of a piece, each with its value, None of a key without one."""
    pairs: list[tuple[str, str | None]] = []
    for word in entry.split():
        key, equals, value = word.partition("=")
        key, before = key.lower(), pairs[-1][1] if pairs else None
        if equals or before is None or key in table.columns:
            pairs.append((key, value if equals else None))
        else:
            pairs[-1] = (pairs[-1][0], f"{before} {word}")
    return pairs


def _rows(
    source: str, table: PieceTable, entries: Iterable[tuple[int, dict[str, str], int]], units: System | None
) -> Pieces:
    rows, faults, bare = [], [], False

    @cache
    def read(column: str, text: str) -> tuple[Any, bool]:
        """The value, and whether it got a unit."""
        name, parse = table.columns[column]
        given = with_unit_given(text, "in", units) if units and name.endswith(_LENGTHS) else text
        return parse(given), given != text

    for line, cells, surplus in entries:
        values: dict[str, Any] = {}
        column = ""
        try:
            if surplus > 0:
                raise ValueError(f"it has {surplus} cells more than there are headings")
            for column, text in cells.items():
                name = table.columns[column][0]
                if "\n" in text:
                    raise ValueError(f"{text.splitlines()[0]!r} begins a quotation that ends lines below")
                if text.strip() and name in values:
                    raise ValueError("another column says it already")
                if text.strip():
                    values[name], got_unit = read(column, text.strip())
                    bare = bare or got_unit
        except ValueError as problem:
            faults.append(bad_row(source, line, f"{column}: {problem}" if not surplus else str(problem)))
            continue
        values.setdefault("name", f"{NAMELESS} {line}")
        rows.append(PieceRow(values, line))
    return Pieces(source, tuple(rows), tuple(faults), units if bare else None)


def bad_row(source: str, line: int, wrong: str) -> Refusal:
    """The fault of a row."""
    return Refusal(
        "BAD_ROW", f"{wrong.rstrip('.')}.", "A row that is wrong is left out.",
        "Fix or delete the row.", file=source, line=line,
    )  # fmt: skip


def between(parse: Callable[[str], float], low: float, high: float, words: str) -> Callable[[str], float]:
    """A reader of numbers within bounds.

    :param words: what the number is, with its bounds, for the error
    """

    def read(text: str) -> float:
        value = parse(text)
        if not low <= value <= high:
            raise ValueError(f"{text!r} is not {words}")
        return value

    return read
