"""What has a wrong type in an item of a plugin, by the annotations of its dataclass, field by field."""

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import is_dataclass
from functools import cache
from numbers import Integral, Real
from reprlib import repr as short
from types import NoneType, UnionType
from typing import Any, Literal, NamedTuple, TypeVar, Union, cast, get_args, get_origin, get_type_hints

from woodmove.contract.answer import Answer
from woodmove.contract.shown import fields_of
from woodmove.domain.air import AirSeries

# Names in annotations that their module imports for the type checker only.
_ELSEWHERE = {"AirSeries": AirSeries}
_WORDS = {str: "text", bool: "True or False", int: "whole number", float: "finite number", NoneType: "None",
          Callable: "function"}  # fmt: skip

T = TypeVar("T")
_WANTED = (
    "Return Answer(verdict, results): results of a class marked with @results, a Table where columns are "
    "known only when they are made"
)


class _Choice(NamedTuple):
    """One of the types that an annotation allows: the type itself, and those of what it holds."""

    plain: Any
    held: tuple[Any, ...]
    has_fields: bool


def checked_answer(answer: Any) -> Answer[Any]:
    """What a plugin has answered.

    :raises TypeError: it is no Answer, or holds what an Answer does not hold
    """
    if not isinstance(answer, Answer):
        raise TypeError(f"it returned a {type(answer).__name__}. {_WANTED}")
    found: Any = cast("Answer[Any]", answer).results
    if not is_dataclass(found) or isinstance(found, type):
        raise TypeError(f"its results are a {type(found).__name__}. {_WANTED}")
    fields_of(type(found))  # each field says how it is shown
    for fault in (*wrong_types(answer, Answer), *wrong_types(found, type(found), "results.")):
        raise TypeError(f"of its answer, {fault}")
    return cast("Answer[Any]", answer)


def checked_items(items: Iterable[Any], of: type[T]) -> tuple[T, ...]:
    """What a part of a plan says.

    :param of: the dataclass that each item is one of
    :raises TypeError: one is none, or holds a wrong type
    """
    found = tuple(items)
    for item in found:
        if not isinstance(item, of):
            raise TypeError(f"it says {short(item)} (expected: {of.__name__})")
        for fault in wrong_types(item, of):
            raise TypeError(f"of a {of.__name__} of it, {fault}")
    return found


def wrong_types(item: Any, of: type, where: str = "") -> Iterator[str]:
    """What each field at fault holds, and what it should hold: ``coefficients[0].radial is '0.003'
    (expected: finite number)``.

    :param of: the dataclass that the item is one of
    :param where: how the name of each field begins
    """
    for name, kind in _fields(of).items():
        value = getattr(item, name)
        if not _plainly_fits(value, kind):
            yield from _wrong(value, kind, where + name)


@cache
def _fields(of: type) -> dict[str, Any]:
    return get_type_hints(of, localns=_ELSEWHERE)


def _plainly_fits(value: Any, kind: Any) -> bool:
    """True of the two types that nearly all values have, a text or a finite number: their check is quick."""
    return (kind is str and type(value) is str) or (
        kind is float and type(value) is float and math.isfinite(value)
    )


@cache
def _choices(kind: Any) -> tuple[_Choice, ...]:
    kinds = get_args(kind) if get_origin(kind) in (Union, UnionType) else (kind,)
    return tuple(choice for one in kinds for choice in _of_one(one))


def _of_one(kind: Any) -> Iterator[_Choice]:
    if isinstance(kind, TypeVar):  # of any type
        yield _Choice(Any, (), False)
    else:
        yield _Choice(get_origin(kind) or kind, get_args(kind), is_dataclass(get_origin(kind) or kind))


def _wrong(value: Any, kind: Any, where: str) -> Iterator[str]:
    fitting = next((choice for choice in _choices(kind) if _is(value, choice)), None)
    if fitting is None:
        yield f"{where} is {short(value)} (expected: {_words(kind)})"
    elif fitting.has_fields:
        yield from wrong_types(value, fitting.plain, f"{where}.")
    elif fitting.held and isinstance(value, tuple):
        alike = fitting.held[1:] == (Ellipsis,)
        for number, one in enumerate(value):
            of = fitting.held[0 if alike else min(number, len(fitting.held) - 1)]
            if not _plainly_fits(one, of):
                yield from _wrong(one, of, f"{where}[{number}]")
    elif fitting.held and isinstance(value, Mapping):
        for key, one in value.items():
            yield from _wrong(key, fitting.held[0], f"a key of {where}")
            yield from _wrong(one, fitting.held[1], f"{where}[{short(key)}]")


def _is(value: Any, choice: _Choice) -> bool:
    plain = choice.plain
    if plain is Literal:
        return value in choice.held
    if plain is float:
        # A bool is a number to Python, and a mistake here.
        number = type(value) is float or (isinstance(value, Real) and not isinstance(value, bool))
        return number and math.isfinite(value)
    if plain is int:
        return isinstance(value, Integral) and not isinstance(value, bool)
    return plain is Any or isinstance(value, plain)


def _words(kind: Any) -> str:
    return " or ".join(
        f"tuple of {_words(choice.held[0])}" if choice.plain is tuple
        else " or ".join(map(repr, choice.held)) if choice.plain is Literal
        else _WORDS.get(choice.plain) or choice.plain.__name__
        for choice in _choices(kind)
    )  # fmt: skip
