"""Core's own commands: the questions, the tables, and what is done with a job file."""

from importlib import import_module

from woodmove import questions
from woodmove.cli.show import shows_of
from woodmove.contract.commands import CommandSpec

JOBS = ("plan", "new", "check")
# What is known, a command a table: plugins add their own.
TABLES = ("list", "show")
CORE = (*questions.QUESTIONS, *TABLES, *JOBS)


def core_commands(word: str) -> tuple[CommandSpec, ...]:
    """The core commands whose first word is `word`."""
    if word in JOBS:
        return import_module(f"woodmove.planning.{word}").COMMANDS
    found = questions.commands(word)
    if word == "show":
        return (*found, *shows_of((*found, *questions.commands("list"))))
    return found


def is_core(spec: CommandSpec) -> bool:
    """True for a command of woodmove itself."""
    word = spec.name.split()[0]
    return word in CORE and any(spec.name == own.name for own in core_commands(word))
