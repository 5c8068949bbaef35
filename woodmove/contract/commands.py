"""What a plugin contributes besides data: commands and plan sections. Both are data themselves."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

from woodmove.contract.answer import Answer
from woodmove.contract.params import Param, Request
from woodmove.contract.values import of_values

# What runs gets the catalogue of all plugins too; this room does not know it.
Run: TypeAlias = Callable[[Request, Any], Answer]


@dataclass(frozen=True, slots=True)
class CommandSpec:
    """A command as data; core makes the command line of it and adds the common options.

    :param name: as typed after ``woodmove``; two words make a group: ``climate show``
    :param help: what it answers, in a sentence or two
    :param examples: complete command lines that work as they stand; a test runs each
    :param params: what it takes
    :param run: request and catalogue in, Answer out; raises Refusal
    :param table: key in `Answer.results` of the rows that ``--csv`` prints, empty if not tabular
    """

    name: str
    help: str
    examples: tuple[str, ...]
    params: tuple[Param, ...]
    run: Run
    table: str = ""

    @of_values
    def __post_init__(self) -> None:
        if len(self.name.split()) not in (1, 2) or not self.examples:
            raise ValueError(f"command {self.name!r} needs a name of one or two words, and an example")
        names = [param.name for param in self.params]
        if len(set(names)) != len(names):
            raise ValueError(f"command {self.name!r} takes the same parameter twice")


def _always(values: Mapping[str, Any]) -> str:
    return ""


@dataclass(frozen=True, slots=True)
class PlanSection:
    """A section of the plan: a command, run on the values of a job file.

    :param key: as named in ``[plan] sections`` of a job file
    :param title: as printed over it
    :param command: the command whose answer it is; its parameters are read from the job by their
        `Param.job`
    :param shows: names of the results that the printed plan shows, empty for all; JSON has all of them
    :param order: place in the plan; core's own are 5 (shop) to 30 (width)
    :param skip: values of the job in, reason to leave the section out, or an empty string
    :param decides: True if its Ranges decide something that is made, so that narrowing them is worth a
        measurement
    """

    key: str
    title: str
    command: CommandSpec
    shows: tuple[str, ...] = ()
    order: int = 100
    skip: Callable[[Mapping[str, Any]], str] = _always
    decides: bool = True
