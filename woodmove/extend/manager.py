"""Loading plugins: one at a time, each in its own `try`, so that a broken one harms no other."""

import os
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from importlib.metadata import EntryPoint, entry_points
from typing import Any

import pluggy

from woodmove.extend import hookspecs
from woodmove.extend.contracts import PLUGIN_API

GROUP = "woodmove.plugins"
DISABLE_VARIABLE = "WOODMOVE_DISABLE_PLUGINS"


@dataclass(slots=True)
class Plugin:
    """A plugin and its state.

    :param status: "loaded", "failed" or "disabled"
    :param reason: why it failed, one line
    :param hooks: names of the hooks that it implements
    """

    name: str
    package: str
    version: str
    status: str
    reason: str = ""
    hooks: tuple[str, ...] = ()
    module: Any = None


def _say(line: str) -> None:
    print(f"woodmove: {line}", file=sys.stderr)


@dataclass(slots=True)
class PluginManager:
    """All plugins of this run.

    :param found: entry points to load; those of the installation by default
    :param enabled: False loads none
    :param say: how a failure is told, once for each plugin
    """

    found: Iterable[EntryPoint] | None = None
    enabled: bool = True
    say: Callable[[str], None] = _say
    plugins: list[Plugin] = field(default_factory=list)
    _pluggy: pluggy.PluginManager = field(default_factory=lambda: pluggy.PluginManager(hookspecs.PROJECT))

    def __post_init__(self) -> None:
        self._pluggy.add_hookspecs(hookspecs)
        found = entry_points(group=GROUP) if self.found is None else self.found
        disabled = {name.strip() for name in os.environ.get(DISABLE_VARIABLE, "").split(",")}
        # Our own come first, so that of two items with one key theirs is the one that stays.
        ordered = sorted(found, key=lambda e: (not (e.dist and e.dist.name == "woodmove"), e.name))
        for entry in ordered:
            plugin = Plugin(
                entry.name,
                entry.dist.name if entry.dist else "",
                entry.dist.version if entry.dist else "",
                "loaded" if self.enabled and entry.name not in disabled else "disabled",
            )
            self.plugins.append(plugin)
            if plugin.status == "loaded":
                self._load(plugin, entry)

    @property
    def failed(self) -> list[Plugin]:
        """The plugins that were set aside."""
        return [plugin for plugin in self.plugins if plugin.status == "failed"]

    def _load(self, plugin: Plugin, entry: EntryPoint) -> None:
        try:
            plugin.module = entry.load()
            api = getattr(plugin.module, "WOODMOVE_PLUGIN_API", None)
            if api != PLUGIN_API:
                raise ValueError(f"it is made for plugin API {api}, and this woodmove has {PLUGIN_API}")
            marked = [
                name
                for name in dir(plugin.module)
                if self._pluggy.parse_hookimpl_opts(plugin.module, name) is not None
            ]
            unknown = [name for name in marked if name not in hookspecs.RETURNS]
            if unknown:
                raise ValueError(f"there is no hook {', '.join(unknown)}")
            if not marked:
                raise ValueError("it implements no hook")
            self._pluggy.register(plugin.module, name=plugin.name)
            plugin.hooks = tuple(marked)
        except (Exception, SystemExit) as problem:
            self.set_aside(plugin, problem)

    def set_aside(self, plugin: Plugin, problem: BaseException) -> None:
        """Mark a plugin as failed and say so, once. Nothing of it is used from here on."""
        if plugin.status == "failed":
            return
        plugin.status = "failed"
        plugin.reason = " ".join(f"{type(problem).__name__}: {problem}".split())
        if self._pluggy.has_plugin(plugin.name):
            self._pluggy.unregister(name=plugin.name)
        self.say(f"plugin {plugin.name} was set aside: {plugin.reason}")

    def gather(self, hook: str) -> list[tuple[Plugin, Any]]:
        """Every item that the loaded plugins return for a hook, each with its plugin."""
        items: list[tuple[Plugin, Any]] = []
        for plugin in self.plugins:
            if plugin.status != "loaded" or hook not in plugin.hooks:
                continue
            others = [p for p in self._pluggy.get_plugins() if p is not plugin.module]
            try:
                returned = list(self._pluggy.subset_hook_caller(hook, others)() or [])
                own = list(returned[0]) if returned else []
                for item in own:
                    if not isinstance(item, hookspecs.RETURNS[hook]):
                        raise TypeError(f"{hook} returned a {type(item).__name__}")
            except (Exception, SystemExit) as problem:
                self.set_aside(plugin, problem)
            else:
                items += [(plugin, item) for item in own]
        return items
