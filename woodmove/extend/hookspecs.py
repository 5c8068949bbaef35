"""The hooks of a plugin, all on this page. Each is a function in the plugin's module, marked with
`hookimpl`, without arguments, that returns a list. Each is optional."""

from collections.abc import Iterable

import pluggy

from woodmove.contract.commands import CommandSpec
from woodmove.contract.output import Output
from woodmove.contract.plan import Section
from woodmove.domain.adhesive import Adhesive
from woodmove.domain.climate import Climate
from woodmove.domain.fastener import Screw, Washer
from woodmove.domain.finish import Finish
from woodmove.domain.meter import Meter
from woodmove.domain.species import Species

# Raised with a release that breaks anything that plugins of the release before it import.
PLUGIN_API = 1
PROJECT = "woodmove"

hookspec = pluggy.HookspecMarker(PROJECT)
hookimpl = pluggy.HookimplMarker(PROJECT)


@hookspec
def woodmove_species() -> Iterable[Species]:  # type: ignore[empty-body]
    """Species of wood, and mixes of species."""
    ...


@hookspec
def woodmove_climates() -> Iterable[Climate]:  # type: ignore[empty-body]
    """Outdoor air of places."""
    ...


@hookspec
def woodmove_finishes() -> Iterable[Finish]:  # type: ignore[empty-body]
    """Finishes."""
    ...


@hookspec
def woodmove_fasteners() -> Iterable[Screw | Washer]:  # type: ignore[empty-body]
    """Screws and washers."""
    ...


@hookspec
def woodmove_meters() -> Iterable[Meter]:  # type: ignore[empty-body]
    """Moisture meters."""
    ...


@hookspec
def woodmove_adhesives() -> Iterable[Adhesive]:  # type: ignore[empty-body]
    """Types of adhesive."""
    ...


@hookspec
def woodmove_commands() -> Iterable[CommandSpec]:  # type: ignore[empty-body]
    """Commands."""
    ...


@hookspec
def woodmove_plan_sections() -> Iterable[Section]:  # type: ignore[empty-body]
    """Sections of the plan."""
    ...


@hookspec
def woodmove_outputs() -> Iterable[Output]:  # type: ignore[empty-body]
    """Files that can be made of an answer."""
    ...


# What plugins bring, by what an item of it is called: the hook that returns it, and its type. The one place
# that says so.
KINDS: dict[str, tuple[str, type]] = {
    "species": ("woodmove_species", Species),
    "place": ("woodmove_climates", Climate),
    "finish": ("woodmove_finishes", Finish),
    "screw": ("woodmove_fasteners", Screw),
    "washer": ("woodmove_fasteners", Washer),
    "meter": ("woodmove_meters", Meter),
    "adhesive": ("woodmove_adhesives", Adhesive),
    "command": ("woodmove_commands", CommandSpec),
    "plan section": ("woodmove_plan_sections", Section),
    "output": ("woodmove_outputs", Output),
}
# What each hook may return.
RETURNS: dict[str, tuple[type, ...]] = {
    hook: tuple(kind for named, kind in KINDS.values() if named == hook) for hook, _ in KINDS.values()
}
