"""The rows of a reply as CSV, in base units; a Range takes three columns."""

import csv
import io
from dataclasses import is_dataclass
from datetime import date
from typing import Any, cast

from woodmove.contract.answer import Table
from woodmove.contract.notes import Note
from woodmove.contract.ranges import Range
from woodmove.contract.shown import fields_of
from woodmove.report.words import sentence
from woodmove.units.show import printable, stem


def is_table(value: Any) -> bool:
    """True for a result that has rows."""
    if isinstance(value, Table):
        return bool(value.rows)
    if not isinstance(value, list | tuple) or not value:
        return False
    first = cast("list[Any]", value)[0]
    return is_dataclass(first) and not isinstance(first, Range | Note)


def render(table: Any) -> str:
    """A result that has rows, headings first."""
    flat = [_flat(row) for row in _rows(table)]
    # Rows may differ: every column that any row has, in order.
    columns = list(dict.fromkeys(name for row in flat for name in row))
    out = io.StringIO()
    writer = csv.DictWriter(out, columns, lineterminator="\n")
    writer.writeheader()
    writer.writerows(flat)
    return out.getvalue()


def _rows(table: Any) -> list[dict[str, Any]]:
    if isinstance(table, Table):
        return [dict(zip(table.columns, row, strict=True)) for row in table.rows]
    return [_row(row) for row in table]


def _row(row: Any) -> dict[str, Any]:
    return {field.name: getattr(row, field.name) for field in fields_of(cast("type[Any]", type(row)))}


def _flat(row: dict[str, Any]) -> dict[str, Any]:
    flat: dict[str, Any] = {}
    for raw_name, value in row.items():
        name = printable(raw_name)
        if isinstance(value, Range):
            flat |= {name: value.expected, f"{name}_low": value.low, f"{name}_high": value.high}
        elif isinstance(value, Note):
            flat[name] = printable(sentence(value, "mm"))
        elif is_dataclass(value):
            # Told for several cases: crook_mm at the cut becomes crook_at_cut_mm, the unit still at the end.
            unit = name.removeprefix(stem(name))
            cases = _row(value)
            flat |= _flat({f"{stem(name)}_{case}{unit}": item for case, item in cases.items()})
        elif isinstance(value, date):
            flat[name] = value.isoformat()
        else:
            flat[name] = printable(value) if isinstance(value, str) else value
    return flat
