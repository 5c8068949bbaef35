"""Parameters as data: what a command takes, where it stands in a job file, and the values that it gets.

One Param serves the command line, the job file, the help and the error messages, so that all four agree.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, Literal


@dataclass(frozen=True, slots=True)
class ParamType:
    """How the text of a parameter is read.

    :param metavar: what the help prints for the value; with ``,...`` at its end for several, commas between
    :param parse: text to a value in base units; raises ValueError, with what is wrong as its message
    :param bare_unit: what a number without a unit means. "in" stands for lengths and "°C" for temperatures:
        theirs is the reader's unit, and `parse` is handed the number with it
    """

    metavar: str
    parse: Callable[[str], Any]
    bare_unit: str = ""


@dataclass(frozen=True, slots=True)
class Param:
    """One parameter of a command.

    :param name: key in the request, in base units with the unit at its end: ``top_width_mm``
    :param option: as typed: ``--top-width``; without dashes for a positional argument
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
        "screws", "washers" or none; unknown names are refused and the shell completes known ones
    """

    name: str
    option: str
    kind: ParamType
    help: str
    example: str
    job: str = ""
    required: bool = False
    default: Any = None
    low: float | None = None
    high: float | None = None
    choices: tuple[str, ...] = ()
    registry: str = ""

    def replace(self, **changes: Any) -> "Param":
        """The same parameter with some fields changed."""
        return replace(self, **changes)

    @property
    def is_argument(self) -> bool:
        """True for a positional argument."""
        return not self.option.startswith("-")


@dataclass(frozen=True, slots=True)
class Request:
    """The values of a command's parameters, in base units; a parameter that was not given has its default.

    :param draws: how many draws go into each Range
    :param seed: of the draws; the same seed gives the same Ranges
    :param units: those of bare lengths in lists, such as the rows of a pile; None where nobody says, and
        each must carry its own
    :param clock: the day by the computer's clock, which the edge reads once
    """

    values: Mapping[str, Any]
    draws: int = 8192
    seed: int = 1
    units: Literal["in", "mm"] | None = "in"
    clock: date = date.min

    def __getitem__(self, name: str) -> Any:
        return self.values[name]

    def get(self, name: str) -> Any:
        """The value, or None if this command has no such parameter."""
        return self.values.get(name)

    def inputs(self) -> dict[str, Any]:
        """What an Answer says of its inputs: every value that is there, the defaults too."""
        plain = (str, int, float, tuple, date)
        return {
            name: value if isinstance(value, plain) else str(value)
            for name, value in self.values.items()
            if value is not None and value is not False
        }
