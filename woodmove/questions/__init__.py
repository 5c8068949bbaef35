"""The questions that woodmove answers, one module each: what is asked, examples, the call of the advice.

None imports another; what several need stands in :mod:`woodmove.questions.shared`.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from woodmove.contract.commands import CommandSpec

# First word of a command -> module that holds it as COMMANDS. Only the one that is asked for is imported, so
# that a quick question gets a quick answer.
QUESTIONS = {
    "emc": "woodmove.questions.emc",
    "climate": "woodmove.questions.climate",
    "species": "woodmove.questions.species",
    "buy": "woodmove.questions.buy",
    "acclimate": "woodmove.questions.acclimate",
    "readings": "woodmove.questions.readings",
    "rip": "woodmove.questions.rip",
    "strips": "woodmove.questions.strips",
    "lay-up": "woodmove.questions.layup",
    "lift": "woodmove.questions.lift",
    "flatten": "woodmove.questions.flatten",
    "width": "woodmove.questions.width",
    "holes": "woodmove.questions.holes",
    "doubt": "woodmove.questions.doubt",
    "plugins": "woodmove.questions.plugins",
}


def commands(word: str) -> "tuple[CommandSpec, ...]":
    """The commands whose first word is `word`."""
    return import_module(QUESTIONS[word]).COMMANDS
