"""All sets, and the table of them that stands in the README."""

from collections.abc import Sequence
from functools import cache

from tabulate import tabulate

from . import dowels, drying, finishes, houses, meters, spruce, warp
from .coverage import HELD, Tried, pooled

MODULES = (spruce, houses, dowels, drying, meters, finishes, warp)


@cache
def sets() -> tuple[Tried, ...]:
    """Every set, tried; it takes a while."""
    return tuple(module.tried() for module in MODULES)


def table(found: Sequence[Tried]) -> str:
    """Sets by the units that lie inside, as Markdown."""
    rows = [(tried.name, *_counted(tried.inside, len(tried.units)), tried.why) for tried in found]
    rows.append(("all", *_counted(*pooled(found)), ""))
    headers = ("set", "units", "inside", "expected", "what lies outside, and why")
    return tabulate(rows, headers, tablefmt="pipe", disable_numparse=True)


def _counted(inside: float, units: int) -> tuple[str, str, str]:
    return str(units), f"{inside:.1f}", f"{HELD * units:.1f}"
