"""A command as data: core's own and those of plugins are made alike."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeAlias

from woodmove.contract.answer import Answer
from woodmove.contract.params import Param, Request
from woodmove.contract.ranges import Distribution
from woodmove.contract.reply import Draw, no_drawing
from woodmove.contract.stage import Stage
from woodmove.contract.values import of_values

# What runs gets the catalogue of all plugins too; this room does not know it.
Run: TypeAlias = Callable[[Request, Any], Answer[Any]]


LONGEST_LINE = 60


@dataclass(frozen=True, slots=True)
class CommandSpec:
    """A command as data; core makes the command line of it and adds the common options.

    :param name: as typed after ``woodmove``; two words make a group: ``climate show``
    :param help: what it answers, in a sentence or two
    :param examples: complete command lines that work as they stand; a test runs each
    :param params: what it takes
    :param run: request and catalogue in, Answer out; raises Refusal
    :param table: key in `Answer.results` of the rows that ``--csv`` prints, empty if not tabular
    :param draw: results and inputs in, drawings out
    """

    name: str
    help: str
    examples: tuple[str, ...]
    params: tuple[Param[Any], ...]
    run: Run
    table: str = ""
    doubts: tuple[Distribution, ...] = ()
    line: str = ""
    stage: Stage | None = None
    draw: Draw = no_drawing

    @of_values
    def __post_init__(self) -> None:
        if len(self.name.split()) not in (1, 2) or not self.examples:
            raise ValueError(f"command {self.name!r} needs a name of one or two words, and an example")
        if len(self.line) > LONGEST_LINE:
            raise ValueError(f"command {self.name!r} has a line of more than {LONGEST_LINE} characters")
        names = [param.name for param in self.params]
        if len(set(names)) != len(names):
            raise ValueError(f"command {self.name!r} takes the same parameter twice")
