"""woodmove plugins list, show, check"""

from woodmove.contract.answer import Verdict, know
from woodmove.contract.commands import CommandSpec
from woodmove.contract.notes import note
from woodmove.contract.params import Param, Request
from woodmove.contract.refusal import Refusal
from woodmove.contract.untyped import UntypedAnswer
from woodmove.extend import hookspecs
from woodmove.extend.catalogue import REGISTRIES, Catalogue
from woodmove.extend.manager import Plugin
from woodmove.extend.params import TEXT

NAME = Param("plugin", "NAME", TEXT, "Name of the plugin", "woodmove_species", required=True)


def _row(plugin: Plugin) -> dict[str, str]:
    return {
        "name": plugin.name,
        "package": plugin.package,
        "version": plugin.version,
        "status": plugin.status,
        "reason": plugin.faults,
    }


def run_list(request: Request, catalogue: Catalogue) -> UntypedAnswer:
    """Every plugin that is installed."""
    _use_everything(catalogue)
    rows = [_row(plugin) for plugin in catalogue.manager.plugins]
    broken = [plugin.name for plugin in catalogue.manager.plugins if plugin.faults]
    return UntypedAnswer(
        "plugins list",
        {},
        {"plugins": rows},
        verdict=know(SOME_BROKEN(names=", ".join(broken)) if broken else ALL_LOADED(count=len(rows))),
        key=("plugins",),
    )


ALL_LOADED = note("ALL_LOADED", "Plugins loaded without a fault: {count}.", count=None)
SOME_BROKEN = note("SOME_BROKEN", "Something is broken in {names}.", names=None)
OF_PLUGIN = note("OF_PLUGIN", "{name} is {state}; it brings {count} kinds of things.", name=None, state=None,
                 count=None)  # fmt: skip


def run_show(request: Request, catalogue: Catalogue) -> UntypedAnswer:
    """One plugin, and what it contributes."""
    _use_everything(catalogue)
    plugin = _find(request["plugin"], catalogue)
    items = {}
    for name in REGISTRIES:
        registry = getattr(catalogue, name)
        keys = [key for key, _ in registry if registry.provider(key) == plugin.name]
        if keys:
            items[name] = f"{len(keys)}: {', '.join(keys[:6])}{' ...' if len(keys) > 6 else ''}"
    return UntypedAnswer(
        "plugins show",
        request.inputs(),
        _row(plugin) | {"hooks": ", ".join(plugin.hooks) or None} | items,
        verdict=know(OF_PLUGIN(name=plugin.name, state=plugin.status, count=len(items))),
        key=("reason", *items),
    )


def run_check(request: Request, catalogue: Catalogue) -> UntypedAnswer:
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
    return UntypedAnswer(
        "plugins check",
        {},
        {"plugins_loaded": len(loaded), "hooks_known": len(hookspecs.RETURNS)},
        verdict=Verdict("go", (ALL_LOADED(count=len(loaded)),)),
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
        "Type woodmove plugins list.",
        fields=("plugin",),
    )


COMMANDS = (
    CommandSpec(
        "plugins list", "Every plugin: loaded, failed or disabled.", ("woodmove plugins list",), (),
        run_list, table="plugins", line="Plugins: loaded, failed or disabled",
    ),
    CommandSpec(
        "plugins show", "One plugin and what it contributes.", ("woodmove plugins show woodmove_species",),
        (NAME,), run_show, line="What a plugin brings",
    ),
    CommandSpec(
        "plugins check", "Load every plugin and call every hook; exit 4 if one fails.",
        ("woodmove plugins check",), (), run_check, line="Load every plugin, and fail if one is broken",
    ),
)  # fmt: skip
