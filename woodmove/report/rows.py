"""The rows of an Answer as CSV, in base units; a Range takes three columns."""

import csv
import io
from typing import Any

from woodmove.contract.answer import Answer
from woodmove.contract.notes import Note
from woodmove.contract.ranges import Range
from woodmove.report.words import sentence
from woodmove.units.show import printable, stem


def render(answer: Answer, table: str) -> str:
    """The rows under `table` in the results, headings first.

    :param table: key in the results
    """
    flat = [_flat(row) for row in answer.results[table]]
    # Rows may differ: every column that any row has, in order.
    columns = list(dict.fromkeys(name for row in flat for name in row))
    out = io.StringIO()
    writer = csv.DictWriter(out, columns, lineterminator="\n")
    writer.writeheader()
    writer.writerows(flat)
    return out.getvalue()


def _flat(row: dict[str, Any]) -> dict[str, Any]:
    flat: dict[str, Any] = {}
    for raw_name, value in row.items():
        name = printable(raw_name)
        if isinstance(value, Range):
            flat |= {name: value.expected, f"{name}_low": value.low, f"{name}_high": value.high}
        elif isinstance(value, dict):
            # Told for several cases: crook_mm at the cut becomes crook_at_cut_mm, the unit still at the end.
            unit = name.removeprefix(stem(name))
            flat |= _flat({f"{stem(name)}_{case}{unit}": item for case, item in value.items()})
        elif isinstance(value, Note):
            flat[name] = sentence(value, "mm")
        else:
            flat[name] = printable(value) if isinstance(value, str) else value
    return flat
