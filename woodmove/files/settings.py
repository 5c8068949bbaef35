"""The reader's own settings: ``settings.toml`` in the folder for configuration."""

from woodmove.contract.refusal import Refusal, Refusals
from woodmove.files.texts import read_text
from woodmove.files.toml import load_toml
from woodmove.units.systems import System

WHAT = "settings file"
_ALLOWED = 'A settings file holds one line: units = "in", or units = "mm".'


def read_units(path: str) -> System | None:
    """The units that a settings file names, None if it names none.

    :raises Refusal: a file that cannot be read, or is not TOML
    :raises Refusals: a value that is none, or units that are none, each with its line
    """
    data, _, lines = load_toml(read_text(path, WHAT), path, WHAT, _ALLOWED, 'Write units = "mm".')
    faults = [
        Refusal(
            "BAD_SETTING",
            f"units cannot be {value}." if name == "units" else f"There is no setting {name}.",
            _ALLOWED,
            'Write units = "mm", for example.' if name == "units" else "Delete that line.",
            file=path,
            line=lines.get(("", name), 1),
        )
        for name, value in data.items()
        if name != "units" or value not in ("in", "mm")
    ]
    if faults:
        raise Refusals(faults)
    return data.get("units")
