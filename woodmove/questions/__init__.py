"""The questions that woodmove answers, one module each: what is asked, examples, the call of the advice.

None imports another; what several need stands in :mod:`woodmove.questions.shared`.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from woodmove.contract.commands import CommandSpec
    from woodmove.contract.plan import Section

# First word of a command -> module that holds it among its COMMANDS. Only the one that is asked for is
# imported, so that a quick question gets a quick answer.
QUESTIONS = {
    "emc": "woodmove.questions.emc",
    "climate": "woodmove.questions.climate",
    "buy": "woodmove.questions.buy",
    "acclimate": "woodmove.questions.acclimate",
    "readings": "woodmove.questions.readings",
    "rip": "woodmove.questions.rip",
    "cut-list": "woodmove.questions.cut_list",
    "strips": "woodmove.questions.strips",
    "lay-up": "woodmove.questions.layup",
    "lift": "woodmove.questions.lift",
    "flatten": "woodmove.questions.flatten",
    "width": "woodmove.questions.width",
    "holes": "woodmove.questions.holes",
    "plugins": "woodmove.questions.plugins",
}
# What is known, by the modules that know it; plugins add tables of their own.
TABLES = ("species", "climate", "doubt", "plugins")


# Those that are a part of the plan, and hold it as SECTION.
IN_PLAN = (
    "emc", "climate", "species", "rip", "strips", "buy", "cut_list", "layup", "flatten", "width", "holes",
    "lift",
)  # fmt: skip


def sections() -> "tuple[Section[Any], ...]":
    """The parts of the plan that are questions."""
    return tuple(import_module(f"{__name__}.{name}").SECTION for name in IN_PLAN)


def commands(word: str) -> "tuple[CommandSpec, ...]":
    """The commands whose first word is `word`."""
    modules = [QUESTIONS[word]] if word in QUESTIONS else [f"{__name__}.{name}" for name in TABLES]
    found = (command for module in modules for command in import_module(module).COMMANDS)
    return tuple(command for command in found if command.name.split()[0] == word)
