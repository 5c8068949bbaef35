"""JSON schemas of results, made from the classes that declare them."""

from collections.abc import Mapping
from datetime import date
from types import NoneType, UnionType
from typing import Any, Literal, Union, cast, get_args, get_origin, get_type_hints

from woodmove.contract.answer import Table
from woodmove.contract.notes import Note
from woodmove.contract.ranges import Range
from woodmove.contract.reply import Reply
from woodmove.contract.shown import fields_of

_PLAIN: dict[Any, dict[str, Any]] = {
    float: {"type": "number"},
    int: {"type": "integer"},
    str: {"type": "string"},
    bool: {"type": "boolean"},
    NoneType: {"type": "null"},
    date: {"type": "string", "format": "date"},
    Note: {"type": "string"},
    Table: {"type": "array", "items": {"type": "object"}},
    Reply: {"type": "object"},
    Range: {
        "type": "object",
        "properties": {
            "expected": {"type": "number"},
            "low": {"type": "number"},
            "high": {"type": "number"},
            "causes": {"type": "array"},
        },
        "required": ["expected", "low", "high", "causes"],
        "additionalProperties": False,
    },
}


def schema_of(results: type[Any]) -> Mapping[str, Any]:
    """The schema of the JSON of a class of results: every field is there, a missing value is null.

    :raises TypeError: a field of a type that JSON does not hold
    """
    hints = get_type_hints(results)
    properties: dict[str, Any] = {}
    for field in fields_of(results):
        shown = field.shown
        words = shown.label + (f" [{shown.quantity.suffix.removeprefix('_')}]" if shown.quantity else "")
        properties[field.name] = dict(_of(hints[field.name])) | {"description": words}
    return {
        "type": "object",
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


def _of(kind: Any) -> Mapping[str, Any]:
    if kind in _PLAIN:
        return _PLAIN[kind]
    origin, inner = get_origin(kind), get_args(kind)
    if origin in (Union, UnionType):
        return {"anyOf": [_of(one) for one in inner]}
    if origin is Literal:
        return {"enum": list(inner)}
    if origin is tuple:
        return {"type": "array", "items": _of(inner[0])}
    if isinstance(kind, type):
        return schema_of(cast("type[Any]", kind))
    raise TypeError(f"JSON holds no {kind}")
