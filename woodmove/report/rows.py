"""The rows of an Answer as CSV, in base units; a Range takes three columns."""

import csv
import io
from typing import Any

from woodmove.report.words import sentence
from woodmove.shop.answer import Answer, Note, Range


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
    for name, value in row.items():
        if isinstance(value, Range):
            flat |= {name: value.expected, f"{name}_low": value.low, f"{name}_high": value.high}
        elif isinstance(value, Note):
            flat[name] = sentence(value, "mm")
        else:
            flat[name] = value
    return flat
