"""Sentences with a stable code, declared once and called with values.

``PEG = note("PEG", "Peg it after {wait}.", wait=DAYS)`` declares one, ``PEG(wait=3.0)`` says it. Nothing is
decided by the words of a note; its code, or better a field, may decide.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from numbers import Integral, Real
from typing import Any, Generic, TypeVar, cast

from woodmove.contract.quantity import Quantity
from woodmove.contract.ranges import Range, finite


@dataclass(frozen=True, slots=True)
class Note:
    """A sentence with a stable code. `{name}` in its text stands for `values[name]`, so that it can be read
    in inches or in millimetres.

    :param values: numbers, Ranges, dates and words, by name
    :param quantities: what kind of number each is; where a name is not in it, its end tells
    """

    code: str
    text: str
    values: Mapping[str, Any] = field(default_factory=dict[str, Any])
    quantities: Mapping[str, Quantity] = field(default_factory=dict[str, Quantity])

    def __post_init__(self) -> None:
        values = {name: plain(value, "a note") for name, value in self.values.items()}
        object.__setattr__(self, "values", values)


@dataclass(frozen=True, slots=True)
class Warning(Note):
    """Something that the reader must know before acting on the results.

    :param validity: True where a value lies outside the stated range of a published relation: what
        ``--strict`` refuses
    """

    validity: bool = False


@dataclass(frozen=True, slots=True)
class Caution(Note):
    """Something that can hurt a person."""


@dataclass(frozen=True, slots=True)
class Assumption(Note):
    """What was assumed because nothing else was said."""


N = TypeVar("N", bound=Note)


@dataclass(frozen=True, slots=True)
class Sentence(Generic[N]):
    """A note that is declared and not yet said.

    :raises ValueError: a name in the text whose quantity is not declared, or the other way round
    """

    kind: type[N]
    code: str
    text: str
    quantities: Mapping[str, Quantity | None]
    more: Mapping[str, Any] = field(default_factory=dict[str, Any])

    def __post_init__(self) -> None:
        named = set(re.findall(r"\{(\w+)\}", self.text))
        if named != set(self.quantities):
            raise ValueError(
                f"{self.code}: the text names {sorted(named)}, declared are {sorted(self.quantities)}"
            )

    def __call__(self, **values: Any) -> N:
        """The note with its values.

        :raises TypeError: values other than those that are declared
        """
        if set(values) != set(self.quantities):
            raise TypeError(f"{self.code} takes {sorted(self.quantities)}, not {sorted(values)}")
        known = {name: quantity for name, quantity in self.quantities.items() if quantity is not None}
        return self.kind(self.code, self.text, values, known, **self.more)


def note(code: str, text: str, **quantities: Quantity | None) -> Sentence[Note]:
    """Declare a note; None stands for a word, a count or a date."""
    return Sentence(Note, code, text, quantities)


def warning(
    code: str, text: str, *, validity: bool = False, **quantities: Quantity | None
) -> Sentence[Warning]:
    """Declare a warning."""
    return Sentence(Warning, code, text, quantities, {"validity": True} if validity else {})


def caution(code: str, text: str, **quantities: Quantity | None) -> Sentence[Caution]:
    """Declare a caution."""
    return Sentence(Caution, code, text, quantities)


def assumption(code: str, text: str, **quantities: Quantity | None) -> Sentence[Assumption]:
    """Declare an assumption."""
    return Sentence(Assumption, code, text, quantities)


def once(notes: Iterable[N]) -> list[N]:
    """The notes, of those that are alike the first."""
    seen: list[N] = []
    for one in notes:
        if one not in seen:
            seen.append(one)
    return seen


def plain(value: Any, holder: str) -> Any:
    """The value in the few types that a note may hold.

    :param holder: what is to hold it, for the error: "a note"

    :raises TypeError, ValueError: another type; a number that is not finite
    """
    if hasattr(value, "tolist"):  # of NumPy, which this room does without
        return plain(value.tolist(), holder)
    if value is None or isinstance(value, bool | str | date | Range | Note):
        return value
    if isinstance(value, Integral):
        return int(value)
    if isinstance(value, Real):
        return finite(value)
    if isinstance(value, list | tuple):
        return [plain(item, holder) for item in cast("list[Any]", value)]
    raise TypeError(f"{holder} cannot hold {type(value).__name__}")
