"""Results as figures to be shown, as their classes declare."""

from dataclasses import dataclass, is_dataclass, replace
from datetime import date
from typing import Any, cast

from woodmove.contract.answer import Answer, Table
from woodmove.contract.notes import Note
from woodmove.contract.quantity import Quantity
from woodmove.contract.ranges import Range
from woodmove.contract.shown import Level, fields_of
from woodmove.report.quantities import extreme_chance, number_text, unit_text, with_unit
from woodmove.report.words import sentence
from woodmove.units.show import day_text, printable
from woodmove.units.systems import System


@dataclass(frozen=True, slots=True)
class Figure:
    """One result, or one column of a table.

    :param quantity: None for words, counts and rows
    """

    name: str
    label: str
    value: Any
    level: Level = "detail"
    quantity: Quantity | None = None

    def bare(self, value: Any, system: System, *, narrow: bool = False) -> str:
        """A value of this kind without its unit.

        :param narrow: True to print of a Range only its bounds
        """
        if value is None:
            return ""
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, Note):
            return printable(sentence(value, system))
        if isinstance(value, list | tuple):
            return ", ".join(self.bare(item, system) for item in cast("list[Any]", value))
        if isinstance(value, Range):
            expected, low, high = (self.bare(one, system) for one in (value.expected, value.low, value.high))
            if low == high:
                return expected
            return f"{low} to {high}" if narrow else f"{expected} ({low} to {high})"
        if self.quantity is not None and isinstance(value, int | float):
            extreme = extreme_chance(self.quantity, value, in_a_table=True)
            return extreme or number_text(self.quantity, value, system, in_sentence=False)
        return day_text(value) if isinstance(value, date) else printable(str(value))

    def full(self, system: System) -> str:
        """Its value with its unit."""
        if self.quantity is not None and isinstance(self.value, int | float):
            extreme = extreme_chance(self.quantity, self.value, in_a_table=False)
            if extreme:
                return extreme
        text = self.bare(self.value, system)
        if self.quantity is None or not text or isinstance(self.value, str | Note):
            return text
        if isinstance(self.value, Range) and "(" in text:
            expected, _, bounds = text.partition(" (")
            return f"{with_unit(self.quantity, expected, system)} ({bounds}"
        return with_unit(self.quantity, text, system)

    def heading(self, system: System, between: str = "\n") -> str:
        """Head of a column: the label and the unit, under it if nothing else is to stand between them."""
        unit = unit_text(self.quantity, system) if self.quantity else ""
        return f"{self.label}{between}{unit}" if unit else self.label


@dataclass(frozen=True, slots=True)
class Rows:
    """Rows to be shown: a figure a column, whose value is the list of its cells."""

    columns: tuple[Figure, ...]

    @property
    def count(self) -> int:
        """How many rows there are."""
        return len(self.columns[0].value) if self.columns else 0

    @property
    def main(self) -> "Rows":
        """The columns that matter, where some are said to."""
        chosen = tuple(column for column in self.columns if column.level != "detail")
        return Rows(chosen) if chosen else self


def figures_of(answer: Answer[Any]) -> list[Figure]:
    """The results of an answer, in their order."""
    return _declared(answer.results)


def _declared(results: Any, quantity: Quantity | None = None) -> list[Figure]:
    """:param quantity: of those that declare none: they are cases of the figure that holds them"""
    return [
        Figure(
            field.name, printable(field.shown.label), getattr(results, field.name), field.shown.level,
            field.shown.quantity or quantity,
        )
        for field in fields_of(cast("type[Any]", type(results)))
    ]  # fmt: skip


def group_of(value: Any, quantity: Quantity | None = None) -> list[Figure] | None:
    """The figures within a result that is a group of them; None if it is none.

    :param quantity: of the result: a group of one quantity is that of several cases
    """
    if is_dataclass(value) and not isinstance(value, Range | Note | Table | type):
        return _declared(value, quantity)
    return None


def rows_of(value: Any) -> Rows | None:
    """The rows of a result that is a table; None if it is none, or empty."""
    if isinstance(value, Table):
        return Rows(
            tuple(
                Figure(name, printable(how.label), [row[at] for row in value.rows], how.level, how.quantity)
                for at, (name, how) in enumerate(value.columns.items())
            )
        ) if value.rows else None  # fmt: skip
    if not isinstance(value, list | tuple) or not value:
        return None
    value = cast("list[Any]", value)
    if is_dataclass(value[0]) and not isinstance(value[0], Range | Note):
        columns = [_declared(row) for row in value]
        return Rows(
            _by_case(
                [
                    replace(first, value=[row[at].value for row in columns])
                    for at, first in enumerate(columns[0])
                ]
            )
        )
    return None


def _by_case(columns: list[Figure]) -> tuple[Figure, ...]:
    """Columns of which some are told for several cases: a line for each case, the case in its own column."""
    told = [group_of(column.value[0]) for column in columns]
    labels = next(([case.label for case in cases] for cases in told if cases), None)
    if labels is None:
        return tuple(columns)
    rest = [None] * (len(labels) - 1)

    def lines(column: Figure, told_by_case: bool) -> list[Any]:
        if told_by_case:
            return [case.value for value in column.value for case in group_of(value) or ()]
        return [cell for value in column.value for cell in (value, *rest)]

    first, *others = [
        replace(column, value=lines(column, bool(cases))) for column, cases in zip(columns, told, strict=True)
    ]
    when = Figure("when", "when", labels * len(columns[0].value), "key")
    return (first, when, *others)
