"""woodmove: moisture and wood movement, from the lumber yard to the first winter.

A script usually needs no more than the names below; they are imported on first use, so that
``import woodmove`` alone stays as quick as reading this file.
"""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from woodmove.cli.script import ask as ask
    from woodmove.contract.answer import Answer as Answer
    from woodmove.contract.ranges import Range as Range
    from woodmove.contract.refusal import Refusal as Refusal
    from woodmove.physics.sorption import emc_pct as emc_pct
    from woodmove.physics.sorption import rh_for_mc_pct as rh_for_mc_pct

__version__ = "0.1.0"

_HOMES = {
    "ask": "woodmove.cli.script",
    "emc_pct": "woodmove.physics.sorption",
    "rh_for_mc_pct": "woodmove.physics.sorption",
    "Answer": "woodmove.contract.answer",
    "Range": "woodmove.contract.ranges",
    "Refusal": "woodmove.contract.refusal",
}

__all__ = ["Answer", "Range", "Refusal", "__version__", "ask", "emc_pct", "rh_for_mc_pct"]


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module 'woodmove' has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(_HOMES[name]), name)
