"""A reply, or an error, as one JSON document. Numbers stay in base units, whatever is printed."""

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import is_dataclass
from datetime import date
from typing import Any, cast

from woodmove.contract.answer import Table, Verdict
from woodmove.contract.notes import Note
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal
from woodmove.contract.reply import Reply
from woodmove.contract.shown import fields_of
from woodmove.report.words import sentence
from woodmove.units.systems import System

FORMAT = 2


def render(reply: Reply, system: System) -> str:
    """The JSON document of a reply, with a line break at its end.

    :param system: of the lengths within sentences; the numbers of the results are always in base units
    """
    return _dump(_document(reply, system))


def render_error(faults: Sequence[Refusal]) -> str:
    """The JSON document of a failure: ``error`` is the first fault, ``errors`` all of them."""
    errors = [
        {
            "code": fault.code,
            "text": fault.text,
            "hint": fault.instead,
            "file": fault.file,
            "line": fault.line,
        }
        for fault in faults
    ]
    return _dump({"format": FORMAT, "error": errors[0], "errors": errors})


def _dump(document: dict[str, Any]) -> str:
    text = json.dumps(document, ensure_ascii=False, allow_nan=False, indent=2)
    # JSON escapes the control characters below 32 itself; a terminal also obeys those from 127 to 159.
    return re.sub(r"[\x7f-\x9f]", lambda match: f"\\u{ord(match[0]):04x}", text) + "\n"


def _document(reply: Reply, system: System) -> dict[str, Any]:
    answer = reply.answer
    return {
        "format": FORMAT,
        "command": reply.command,
        "inputs": _plain(reply.inputs, system),
        "verdict": _verdict(answer.verdict, system),
        "results": _plain(answer.results, system),
        "warnings": _notes(answer.warnings, system),
        "cautions": _notes(answer.cautions, system),
        "assumptions": _notes(reply.assumptions, system),
        "sources": list(dict.fromkeys(source for source in answer.sources if source)),
    }


def _verdict(verdict: Verdict, system: System) -> dict[str, Any]:
    says, needs = _notes(verdict.says, system), _notes(verdict.needs, system)
    return {"state": verdict.state, "says": says, "needs": needs}


def _notes(notes: Sequence[Note], system: System) -> list[dict[str, str]]:
    return [{"code": note.code, "text": sentence(note, system)} for note in notes]


def _plain(value: Any, system: System) -> Any:
    if isinstance(value, Range):
        causes = [{"input": cause.input, "share": cause.share} for cause in value.causes]
        return {"expected": value.expected, "low": value.low, "high": value.high, "causes": causes}
    if isinstance(value, Note):
        return sentence(value, system)
    if isinstance(value, Reply):
        return _document(value, system)
    if isinstance(value, Table):
        return [dict(zip(value.columns, map(_cell, row), strict=True)) for row in value.rows]
    if is_dataclass(value) and not isinstance(value, type):
        fields = fields_of(type(value))
        return {field.name: _plain(getattr(value, field.name), system) for field in fields}
    if isinstance(value, Mapping):
        return {key: _plain(item, system) for key, item in cast("Mapping[str, Any]", value).items()}
    if isinstance(value, list | tuple):
        return [_plain(item, system) for item in cast("list[Any]", value)]
    return _cell(value)


def _cell(value: Any) -> Any:
    """A single value: of NumPy as plain, a day as ISO 8601 writes it."""
    if hasattr(value, "tolist"):
        return value.tolist()
    return value.isoformat() if isinstance(value, date) else value
