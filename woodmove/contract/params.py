"""Parameters as data: what a command takes, where it stands in a job file, and the values that it gets.

One Param serves the command line, the job file, the help and the error messages, so that all four agree.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any, Generic, Literal, TypeAlias, TypeVar, cast, overload

from woodmove.contract.refusal import Refusal

V = TypeVar("V")
Units: TypeAlias = Literal["in", "mm"]


@dataclass(frozen=True, slots=True)
class ParamType(Generic[V]):
    """How the text of a parameter is read.

    :param metavar: what the help prints for the value; with ``,...`` at its end for several, commas between
    :param parse: text to a value in base units; raises ValueError, with what is wrong as its message
    :param bare_unit: what a number without a unit means. "in" stands for lengths and "°C" for temperatures:
        theirs is the reader's unit, and `parse` is handed the number with it
    :param parts: of a text that tells several parameters, each of them by its key; `parse` then gives their
        values by name, and none of what is not told
    """

    metavar: str
    parse: Callable[[str], V]
    bare_unit: str = ""
    parts: tuple[tuple[str, "Param[Any]"], ...] = ()

    @property
    def names(self) -> frozenset[str]:
        """Names of the parameters that its text tells."""
        return frozenset(param.name for _, param in self.parts)


@dataclass(frozen=True, slots=True)
class Param(Generic[V]):
    """One parameter of a command.

    :param name: key in the request, in base units with the unit at its end: ``top_width_mm``
    :param option: as typed: ``--width``; without dashes for a positional argument; empty where
        it stands in a job file only
    :param kind: how its text is read
    :param help: one line
    :param example: a value that works, for error messages and for the job file
    :param job: ``table.key`` in a job file, empty if it has no place there
    :param required: True if the command cannot do without
    :param default: value in base units when it is not given
    :param low: lowest value allowed, in base units
    :param high: highest value allowed, in base units
    :param choices: the words allowed, empty for any
    :param registry: registry of the catalogue that the value names an item of: "species", "climates",
        "screws", "washers" or none; unknown names are refused and the shell completes known ones. With
        `choices` these words are allowed too
    :param example_mm: the example for a reader of millimetres, where another is natural to them
    :param default_mm: the default for a reader of millimetres, where another is round to them
    """

    name: str
    option: str
    kind: ParamType[V]
    help: str
    example: str
    job: str = ""
    required: bool = False
    default: V | None = None
    low: float | None = None
    high: float | None = None
    choices: tuple[str, ...] = ()
    registry: str = ""
    example_mm: str = ""
    default_mm: V | None = None

    def example_in(self, system: Units) -> str:
        """A value that works, as a reader of a system writes it."""
        return self.example_mm if system == "mm" and self.example_mm else self.example

    def default_in(self, system: Units) -> V | None:
        """Its value in base units when it is not given, for a reader of a system."""
        return self.default_mm if system == "mm" and self.default_mm is not None else self.default

    def replace(self, **changes: Any) -> "Param[V]":
        """The same parameter with some fields changed."""
        return replace(self, **changes)

    @property
    def is_argument(self) -> bool:
        """True for a positional argument."""
        return bool(self.option) and not self.option.startswith("-")


@dataclass(frozen=True, slots=True)
class Request:
    """The values of a command's parameters, in base units; a parameter that was not given has its default.

    :param draws: how many draws go into each Range
    :param seed: of the draws; the same seed gives the same Ranges
    :param units: those of bare lengths in lists, such as the rows of a pile; None where nobody says, and
        each must carry its own
    :param clock: the day by the computer's clock, which the edge reads once
    :param given: names of the parameters that somebody gave
    :param used: names of those that were looked at: an answer hangs on no other
    :param learnt: values that stand in a file which the request names: a job's
    :param prints: units in which the answer is printed: what is cut is rounded on their steps
    """

    values: Mapping[str, Any]
    draws: int = 8192
    seed: int = 1
    units: Units | None = "in"
    clock: date = date.min
    given: frozenset[str] = frozenset()
    used: set[str] = field(default_factory=set, compare=False)
    learnt: dict[str, Any] = field(default_factory=dict, compare=False)
    prints: Units = "in"

    @overload
    def __getitem__(self, key: Param[V]) -> V: ...
    @overload
    def __getitem__(self, key: str) -> Any: ...
    def __getitem__(self, key: Param[Any] | str) -> Any:
        """The value of a parameter that the question cannot do without.

        :raises Refusal: it has none
        """
        if isinstance(key, str):
            self.used.add(key)
            return self.values[key]
        value = self.get(key)
        if value is None:
            raise missing(key, key.option, self.prints)
        return value

    @overload
    def get(self, key: Param[V]) -> V | None: ...
    @overload
    def get(self, key: str) -> Any: ...
    def get(self, key: Param[Any] | str) -> Any:
        """The value, or None where there is none, or no such parameter."""
        name = key if isinstance(key, str) else key.name
        self.used.add(name)
        return self.values.get(name)

    def inputs_used(self) -> dict[str, Any]:
        """The values on which the answer hangs."""
        used = {name: value for name, value in self.values.items() if name in self.used} | self.learnt
        return {name: _shown(value) for name, value in used.items() if _is_said(value)}


def _is_said(value: Any) -> bool:
    return value is not None and value is not False


def _shown(value: Any) -> Any:
    if isinstance(value, tuple):
        return tuple(_shown(one) for one in cast("tuple[Any, ...]", value))
    return value if isinstance(value, str | int | float | date) else str(value)


def telling(params: Iterable[Param[Any]], name: str) -> Param[Any] | None:
    """The parameter in whose text another is told."""
    return next((param for param in params if name in param.kind.names), None)


def missing(param: Param[Any], label: str, system: Units = "in") -> Refusal:
    """What to say where a parameter is needed and not given.

    :param label: how it is named: its option, or its key in a job file
    :param system: of the reader, for the example
    """
    return Refusal(
        "MISSING",
        f"{label} is missing.",
        f"It is needed: {param.help[0].lower()}{param.help[1:].rstrip('.')}.",
        add(param, label, system),
        fields=(param.name,),
        exit_code=2,
    )


def in_a_file(place: str, example: str) -> str:
    """What to write into a job file."""
    table, _, key = place.partition(".")
    return f'Write {key} = "{example}" in [{table}], for example.'


def quoted(text: str) -> str:
    """A text as one word of a command line."""
    return f"'{text}'" if " " in text else text


def add(param: Param[Any], label: str, system: Units = "in") -> str:
    """What to type, or to write into a job file, where a parameter is missing."""
    example = param.example_in(system)
    if param.is_argument:
        return f"Type {example} there, for example."
    if label == param.option:
        return f"Add {label} {quoted(example)}, for example."
    return in_a_file(label, example)
