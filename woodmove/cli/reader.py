"""In which units the reader types and reads."""

import os
from collections.abc import Sequence
from contextlib import suppress

from woodmove.contract.refusal import Refusal, Refusals
from woodmove.extend.config import config_home
from woodmove.units.systems import SYSTEM_WORDS, System


def units_of(typed: str | None) -> System:
    """The units that are typed, else those of the settings file, else inches.

    :param typed: the value of ``--units``; one that is none counts as if it were not there
    :raises Refusal, Refusals: a settings file that is none
    """
    for system in SYSTEM_WORDS:
        if typed == system:
            return system
    path = config_home() / "woodmove" / "settings.toml"
    if not os.path.lexists(path):  # most have none, and wait for nothing
        return "in"
    from woodmove.files.settings import read_units

    return read_units(str(path)) or "in"


def units_of_help(arguments: Sequence[str]) -> System:
    """The units of a help page. A settings file that is none keeps nobody from the help."""
    words = [word for argument in arguments for word in argument.split("=", 1)]
    typed = words[words.index("--units") + 1 :][:1] if "--units" in words else []
    with suppress(Refusal, Refusals):
        return units_of(typed[0] if typed else None)
    return "in"
