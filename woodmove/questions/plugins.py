"""woodmove list plugins, show, check"""

from typing import Annotated

from woodmove.contract.answer import Answer, Verdict, know
from woodmove.contract.commands import CommandSpec
from woodmove.contract.notes import note
from woodmove.contract.params import Param, Request
from woodmove.contract.refusal import Refusal
from woodmove.contract.shown import Shown, results
from woodmove.extend import hookspecs
from woodmove.extend.catalogue import REGISTRIES, Catalogue
from woodmove.extend.manager import Plugin
from woodmove.extend.params import TEXT

NAME = Param("plugin", "NAME", TEXT, "Name of the plugin", "woodmove_species", required=True)


@results
class PluginRow:
    """A plugin of the list."""

    name: Annotated[str, Shown("name", None, "key")]
    package: Annotated[str, Shown("package", None, "key")]
    version: Annotated[str, Shown("version", None, "key")]
    status: Annotated[str, Shown("status", None, "key")]
    reason: Annotated[str, Shown("reason", None, "key")]


@results
class Plugins:
    """The plugins that are installed."""

    plugins: Annotated[tuple[PluginRow, ...], Shown("plugins", None, "key")]


@results
class WhatPluginBrings:
    """A plugin, and of each kind of thing how many it brings, and the first few; None for a kind of which it
    brings nothing."""

    name: Annotated[str, Shown("name")]
    package: Annotated[str, Shown("package")]
    version: Annotated[str, Shown("version")]
    status: Annotated[str, Shown("status")]
    reason: Annotated[str, Shown("reason", None, "key")]
    hooks: Annotated[str | None, Shown("hooks")]
    species: Annotated[str | None, Shown("species", None, "key")]
    climates: Annotated[str | None, Shown("climates")]
    finishes: Annotated[str | None, Shown("finishes")]
    screws: Annotated[str | None, Shown("screws")]
    washers: Annotated[str | None, Shown("washers")]
    meters: Annotated[str | None, Shown("meters")]
    adhesives: Annotated[str | None, Shown("adhesives")]
    commands: Annotated[str | None, Shown("commands", None, "key")]
    plan_sections: Annotated[str | None, Shown("plan sections", None, "key")]
    outputs: Annotated[str | None, Shown("outputs")]


@results
class PluginsChecked:
    """How much was looked at without a fault."""

    plugins_loaded: Annotated[int, Shown("plugins loaded")]
    hooks_known: Annotated[int, Shown("hooks known")]


def run_list(request: Request, catalogue: Catalogue) -> Answer[Plugins]:
    """Every plugin that is installed."""
    _use_everything(catalogue)
    rows = tuple(
        PluginRow(
            name=plugin.name,
            package=plugin.package,
            version=plugin.version,
            status=plugin.status,
            reason=plugin.faults,
        )
        for plugin in catalogue.manager.plugins
    )
    broken = [plugin.name for plugin in catalogue.manager.plugins if plugin.faults]
    return Answer(
        know(SOME_BROKEN(names=", ".join(broken)) if broken else ALL_LOADED(count=len(rows))),
        Plugins(plugins=rows),
    )


ALL_LOADED = note("ALL_LOADED", "Plugins loaded without a fault: {count}.", count=None)
SOME_BROKEN = note("SOME_BROKEN", "Something is broken in {names}.", names=None)
OF_PLUGIN = note("OF_PLUGIN", "{name} is {state}; it brings {count} kinds of things.", name=None, state=None,
                 count=None)  # fmt: skip


def run_show(request: Request, catalogue: Catalogue) -> Answer[WhatPluginBrings]:
    """One plugin, and what it contributes."""
    _use_everything(catalogue)
    plugin = _find(request["plugin"], catalogue)
    items = {name: _brings(plugin, name, catalogue) for name in REGISTRIES}
    count = sum(told is not None for told in items.values())
    return Answer(
        know(OF_PLUGIN(name=plugin.name, state=plugin.status, count=count)),
        WhatPluginBrings(
            name=plugin.name,
            package=plugin.package,
            version=plugin.version,
            status=plugin.status,
            reason=plugin.faults,
            hooks=", ".join(plugin.hooks) or None,
            **items,
        ),
    )


def _brings(plugin: Plugin, registry_name: str, catalogue: Catalogue) -> str | None:
    """How many things of a kind a plugin brings, and the first few; None for nothing."""
    registry = getattr(catalogue, registry_name)
    keys = [key for key, _ in registry if registry.provider(key) == plugin.name]
    return f"{len(keys)}: {', '.join(keys[:6])}{' ...' if len(keys) > 6 else ''}" if keys else None


def run_check(request: Request, catalogue: Catalogue) -> Answer[PluginsChecked]:
    """Load every plugin, call every hook, and fail if anything of any of them was set aside."""
    _use_everything(catalogue)
    broken = [plugin for plugin in catalogue.manager.plugins if plugin.faults]
    if broken:
        raise Refusal(
            "PLUGIN_FAILED",
            "; ".join(f"{plugin.name}: {plugin.faults}" for plugin in broken) + ".",
            "Every plugin loads and every hook returns what it promises.",
            "Mend it, take it out, or name it in WOODMOVE_DISABLE_PLUGINS.",
            exit_code=4,
        )
    loaded = [plugin for plugin in catalogue.manager.plugins if plugin.status == "loaded"]
    return Answer(
        Verdict("go", (ALL_LOADED(count=len(loaded)),)),
        PluginsChecked(plugins_loaded=len(loaded), hooks_known=len(hookspecs.RETURNS)),
    )


def _use_everything(catalogue: Catalogue) -> None:
    """Look at every registry, which calls every hook: some plugins only fail then."""
    for registry in REGISTRIES:
        getattr(catalogue, registry)


def _find(name: str, catalogue: Catalogue) -> Plugin:
    for plugin in catalogue.manager.plugins:
        if plugin.name == name:
            return plugin
    raise Refusal(
        "UNKNOWN_PLUGIN",
        f"There is no plugin {name!r}.",
        f"Installed are: {', '.join(plugin.name for plugin in catalogue.manager.plugins) or 'none'}.",
        "Type woodmove list plugins.",
        fields=("plugin",),
    )


COMMANDS = (
    CommandSpec(
        "list plugins", "Every plugin: loaded, failed or disabled.", ("woodmove list plugins",), (),
        run_list, table="plugins", line="Plugins: loaded, failed or disabled",
    ),
    CommandSpec(
        "show plugins", "One plugin and what it contributes.", ("woodmove show plugins woodmove_species",),
        (NAME,), run_show, line="What a plugin brings",
    ),
    CommandSpec(
        "plugins check", "Load every plugin and call every hook; exit 4 if one fails.",
        ("woodmove plugins check",), (), run_check, line="Load every plugin, and fail if one is broken",
    ),
)  # fmt: skip
