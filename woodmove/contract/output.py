"""An answer laid out in words, and what a plugin makes a file of."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Literal, Protocol

from woodmove.contract.answer import State
from woodmove.contract.drawing import Drawing, Text
from woodmove.contract.quantity import Quantity
from woodmove.contract.values import of_values


class Words(Protocol):
    """How this reader is told of numbers: in inches or in millimetres."""

    @property
    def system(self) -> Literal["in", "mm"]:
        """The units that the reader reads."""
        ...

    def text(self, text: Text) -> str:
        """Words, the values of a note filled in."""
        ...

    def day(self, day: date) -> str:
        """A day as it is said."""
        ...

    def number(self, quantity: Quantity, value: float) -> str:
        """A number in base units as printed in a table, without its unit."""
        ...

    def unit(self, quantity: Quantity) -> str:
        """The unit of a quantity, as printed."""
        ...

    def scale(self, quantity: Quantity) -> tuple[float, float, float]:
        """Factor and offset from the base unit to the printed one, and the step of a table in it."""
        ...


@dataclass(frozen=True, slots=True)
class Grid:
    """A table as text.

    :param heads: of its columns, the unit in them
    :param numbers: whether a column holds numbers
    """

    title: str
    heads: tuple[str, ...]
    numbers: tuple[bool, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Leaf:
    """One answer: a part of a plan, or all there is.

    :param key: of the section of the plan, else the command
    :param state: of its verdict, None where it is not answered
    :param says: its verdict, or why it is not answered
    :param figures: the few that matter, as label and value
    :param grids: the tables that matter
    :param more: all other figures
    :param more_grids: all other tables, and all columns of those that matter
    :param drawings: what it draws
    """

    key: str
    title: str
    state: State | None
    says: tuple[str, ...]
    figures: tuple[tuple[str, str], ...] = ()
    grids: tuple[Grid, ...] = ()
    more: tuple[tuple[str, str], ...] = ()
    more_grids: tuple[Grid, ...] = ()
    warnings: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    drawings: tuple[Drawing, ...] = ()


@dataclass(frozen=True, slots=True)
class Due:
    """A dated check.

    :param key: the same for the same check in a later plan of the same job
    :param day: when; of one that comes each year the middle of its month
    :param when: as printed
    """

    key: str
    day: date
    yearly: bool
    when: str
    text: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """A whole reply in the words of its reader.

    :param title: the name of the job, else the command
    :param card: heads, each with its lines
    :param measure: what to measure next, empty for nothing
    :param drawings: of the whole; those of a part are in its leaf
    """

    title: str
    today: date | None
    build: date | None
    state: State
    says: tuple[str, ...]
    card: tuple[tuple[str, tuple[str, ...]], ...]
    due: tuple[Due, ...]
    measure: str
    leaves: tuple[Leaf, ...]
    warnings: tuple[str, ...]
    cautions: tuple[str, ...]
    assumptions: tuple[str, ...]
    sources: tuple[str, ...]
    words: Words
    drawings: tuple[Drawing, ...] = ()


@dataclass(frozen=True, slots=True)
class Output:
    """A file that can be made of an answer.

    :param file: its name without ending, as typed after ``--out`` and in a folder of all files of a plan
    :param help: one line
    :param commands: names of those that make it: of a job, or of plugins
    :param endings: what the file may end with, such as ``.ics``; the first where nobody chooses
    :param make: sheet and ending in, the file out
    :raises ValueError: no name, or no ending
    """

    file: str
    help: str
    commands: tuple[str, ...]
    endings: tuple[str, ...]
    make: Callable[[Sheet, str], bytes]

    @of_values
    def __post_init__(self) -> None:
        if not re.fullmatch("[a-z][a-z-]*", self.file) or not self.commands:
            raise ValueError(f"an output needs a name such as labels and a command, not {self.file!r}")
        if not self.endings or not all(ending.startswith(".") for ending in self.endings):
            raise ValueError(f"output {self.file} needs the endings of its file, such as .pdf")

    @property
    def key(self) -> str:
        """What it is found by."""
        return self.file
