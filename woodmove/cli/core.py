"""Core's own commands: the questions, and what is done with a job file."""

from importlib import import_module

from woodmove.contract.commands import CommandSpec
from woodmove.questions import QUESTIONS

# First word of a command -> module that holds it as COMMANDS. Only the one that is typed is imported, so that
# a quick question gets a quick answer.
CORE = {**QUESTIONS, **{word: f"woodmove.planning.{word}" for word in ("plan", "new", "check")}}


def core_commands(word: str) -> tuple[CommandSpec, ...]:
    """The core commands whose first word is `word`."""
    return import_module(CORE[word]).COMMANDS


def is_core(spec: CommandSpec) -> bool:
    """True for a command of woodmove itself."""
    return spec.name.split()[0] in CORE
