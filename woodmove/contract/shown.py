"""How a field of results is shown, declared beside the field: page, JSON, CSV and plugins read it there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from functools import cache
from typing import Any, Literal, TypeAlias, TypeVar, dataclass_transform, get_args, get_origin, get_type_hints

from woodmove.contract.quantity import Quantity

Level: TypeAlias = Literal["headline", "key", "detail"]
R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class Shown:
    """How a field is shown.

    :param label: what it is called, in lower case
    :param quantity: what kind of number it is, or each of its numbers; None for words, counts and rows
    :param level: "headline" for the one figure that carries the decision, "key" for the few beside it and
        for columns of a table that is printed, "detail" for what waits behind ``--details``
    """

    label: str
    quantity: Quantity | None = None
    level: Level = "detail"


@dataclass(frozen=True, slots=True)
class Field:
    """A field of results: its name, and how it is shown."""

    name: str
    shown: Shown


@dataclass_transform(frozen_default=True, kw_only_default=True)
def results(cls: type[R]) -> type[R]:
    """A frozen dataclass of results, each field of which says how it is shown.

    :raises TypeError: at import, for a field without a `Shown`, one that holds a dict, or one whose name does
        not end with the suffix of its quantity
    """
    made = dataclass(frozen=True, slots=True, kw_only=True)(cls)
    levels = [field.shown.level for field in fields_of(made)]
    if levels.count("headline") > 1:
        raise TypeError(f"{cls.__name__} has more than one headline")
    for field in fields_of(made):
        quantity = field.shown.quantity
        if quantity is not None and not field.name.endswith(quantity.suffix):
            raise TypeError(
                f"{cls.__name__}.{field.name} holds a quantity whose names end with {quantity.suffix}"
            )
    return made


@cache
def fields_of(cls: type[Any]) -> tuple[Field, ...]:
    """The fields of a class of results, in their order.

    :raises TypeError: a field without a `Shown`, or a dict, whose items do not say how they are shown
    """
    return tuple(_fields(cls))


def _fields(cls: type[Any]) -> Iterator[Field]:
    hints = get_type_hints(cls, include_extras=True)
    for field in fields(cls):
        found = [each for each in get_args(hints[field.name])[1:] if isinstance(each, Shown)]
        if len(found) != 1:
            raise TypeError(f"{cls.__name__}.{field.name} needs one Shown in its Annotated type")
        if _holds_a_dict(hints[field.name]):
            raise TypeError(f"{cls.__name__}.{field.name} is a dict; make it a class of results, or a Table")
        yield Field(field.name, found[0])


def _holds_a_dict(kind: Any) -> bool:
    return (get_origin(kind) or kind) in (dict, Mapping) or any(map(_holds_a_dict, get_args(kind)))
