"""A job: everything that is known of one piece of work."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal

from woodmove.contract.notes import Assumption


@dataclass(frozen=True, slots=True)
class Job:
    """The values of a job file, in base units, by parameter name.

    :param name: what the work is called
    :param units: of bare lengths and of what is printed, None if not said
    :param build_date: when the top will be screwed down, None if not said
    :param asked: keys of the plan sections that the file asks for by name
    :param done: keys of the sections whose work is done
    :param values: the values that stand in the file
    :param source: path of the file, or words for where it came from
    :param lines: line of each value in the file
    :param assumptions: what the values took for granted already
    """

    name: str
    units: Literal["in", "mm"] | None
    build_date: date | None
    asked: tuple[str, ...]
    values: Mapping[str, Any]
    source: str
    lines: Mapping[str, int]
    assumptions: tuple[Assumption, ...] = ()
    done: tuple[str, ...] = ()
