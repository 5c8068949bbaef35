"""Core's own commands: the questions, the tables, and what is done with a job file."""

from importlib import import_module

from woodmove import questions
from woodmove.contract.commands import CommandSpec

JOBS = ("plan", "new", "check")
# What is known, a command a table: plugins add their own.
TABLES = ("list", "show")
CORE = (*questions.QUESTIONS, *TABLES, *JOBS)


def core_commands(word: str) -> tuple[CommandSpec, ...]:
    """The core commands whose first word is `word`."""
    if word in JOBS:
        return import_module(f"woodmove.planning.{word}").COMMANDS
    return questions.commands(word)


def is_core(spec: CommandSpec) -> bool:
    """True for a command of woodmove itself."""
    word = spec.name.split()[0]
    return word in CORE and any(spec.name == own.name for own in core_commands(word))
