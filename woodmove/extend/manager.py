"""Loading plugins: one at a time, each in its own `try`, so that a broken one harms no other."""

import os
import stat
import sys
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from importlib.metadata import EntryPoint, entry_points
from importlib.util import module_from_spec, spec_from_file_location
from itertools import islice
from pathlib import Path
from typing import Any

import pluggy

from woodmove.extend import hookspecs
from woodmove.extend.config import config_home
from woodmove.extend.guard import PluginFault, guarded
from woodmove.extend.slug import slug
from woodmove.extend.typed import wrong_types
from woodmove.units.show import printable

GROUP = "woodmove.plugins"
DISABLE_VARIABLE = "WOODMOVE_DISABLE_PLUGINS"
# So many faults of an item are told, and so many items in the list of plugins.
_FEW = 3


@dataclass(frozen=True, slots=True)
class SetAside:
    """An item that is not used.

    :param kind: what it is, a word of :data:`woodmove.extend.hookspecs.KINDS`; "item" if it is none of these
    :param names: by which it would be asked for, its key first; none where none can be read
    :param reason: what is wrong with it, one line
    """

    kind: str
    names: tuple[str, ...]
    reason: str

    def __str__(self) -> str:
        return f"{self.kind} {self.names[0]!r}" if self.names else f"{self.kind} without a key"


@dataclass(slots=True)
class Plugin:
    """A plugin and its state.

    :param status: "loaded", "failed" or "disabled"
    :param reason: why it failed, one line
    :param hooks: names of the hooks that it implements
    :param aside: its items that are not used
    """

    name: str
    package: str
    version: str
    status: str
    reason: str = ""
    hooks: tuple[str, ...] = ()
    module: Any = None
    aside: list[SetAside] = field(default_factory=list)

    @property
    def faults(self) -> str:
        """Why it failed, or what is wrong with its items; empty if nothing is."""
        return self.reason or "; ".join(f"{item} was set aside: {item.reason}" for item in self.aside[:_FEW])


def _say(line: str) -> None:
    print(f"woodmove: {printable(line)}", file=sys.stderr)


@dataclass(frozen=True, slots=True)
class Candidate:
    """A plugin that has been found and not yet loaded.

    :param load: gives the module, or raises
    """

    name: str
    package: str
    version: str
    load: Callable[[], Any]


def installed(found: Iterable[EntryPoint] | None = None) -> list[Candidate]:
    """Plugins of installed packages, our own first: of two items with one key the first one stays."""
    entries = entry_points(group=GROUP) if found is None else found
    ordered = sorted(entries, key=lambda e: (not (e.dist and e.dist.name == "woodmove"), e.name))
    return [
        Candidate(e.name, e.dist.name if e.dist else "", e.dist.version if e.dist else "", e.load)
        for e in ordered
    ]


def single_files(folder: Path | None = None) -> Iterator[Candidate]:
    """Plugins of one file each, in the user's own folder ``woodmove/plugins``."""
    folder = config_home() / "woodmove" / "plugins" if folder is None else folder
    for path in sorted(folder.glob("*.py")):
        yield Candidate(path.stem, str(path), "", lambda path=path: _load_file(path))


def _load_file(path: Path) -> Any:
    for place in (path, path.parent, path.parent.parent):
        _refuse_if_others_may_write(place)
    # A name of its own, so that a file called json.py shadows nothing.
    spec = spec_from_file_location(f"woodmove_user_plugin_{path.stem}", path)
    if spec is None or spec.loader is None:
        raise ImportError(f"{path} is not a Python module")
    module = module_from_spec(spec)
    sys.modules[spec.name] = module  # where dataclasses look up the annotations of their module
    try:
        spec.loader.exec_module(module)
    except BaseException:
        del sys.modules[spec.name]
        raise
    return module


def _refuse_if_others_may_write(path: Path) -> None:
    """What is loaded from here runs as the user, so nobody else may be able to put it here."""
    if not hasattr(os, "getuid"):  # Windows: the profile folder is the user's own by default
        return
    for state in (path.lstat(), path.stat()):  # a link, and what it leads to
        if state.st_uid != os.getuid():
            raise PermissionError(f"{path} belongs to somebody else")
        if not stat.S_ISLNK(state.st_mode) and state.st_mode & (stat.S_IWGRP | stat.S_IWOTH):
            raise PermissionError(f"others may write {path}: chmod go-w {path}")


@dataclass(slots=True)
class PluginManager:
    """All plugins of this run.

    :param found: what to load, in this order; by default what is installed, then the user's own files
    :param enabled: False loads none
    :param say: how a failure is told, once for each plugin
    """

    found: Iterable[Candidate] | None = None
    enabled: bool = True
    say: Callable[[str], None] = _say
    plugins: list[Plugin] = field(default_factory=list)
    _gathered: dict[str, list[tuple[Plugin, Any]]] = field(default_factory=dict)
    _pluggy: pluggy.PluginManager = field(default_factory=lambda: pluggy.PluginManager(hookspecs.PROJECT))

    def __post_init__(self) -> None:
        self._pluggy.add_hookspecs(hookspecs)
        disabled = {name.strip() for name in os.environ.get(DISABLE_VARIABLE, "").split(",")}
        for candidate in (*installed(), *single_files()) if self.found is None else self.found:
            plugin = Plugin(
                candidate.name,
                candidate.package,
                candidate.version,
                "loaded" if self.enabled and candidate.name not in disabled else "disabled",
            )
            if plugin.status == "loaded":
                if any(other.name == plugin.name for other in self.plugins):
                    self.set_aside(plugin, "another plugin of this name is already there")
                else:
                    self._load(plugin, candidate)
            self.plugins.append(plugin)

    @property
    def failed(self) -> list[Plugin]:
        """The plugins that were set aside."""
        return [plugin for plugin in self.plugins if plugin.status == "failed"]

    def named(self, name: str) -> Plugin:
        """The loaded plugin of this name."""
        return next(plugin for plugin in self.plugins if plugin.name == name)

    def missed(self, kind: str, name: str) -> list[Plugin]:
        """The plugins that may have brought an item that nobody has: those that failed, unless they have no
        hook for it, and those whose item of that name, or of none, was set aside."""
        hook, _ = hookspecs.KINDS[kind]
        asked = slug(name)
        return [
            plugin
            for plugin in self.plugins
            if (plugin.status == "failed" and (hook in plugin.hooks or not plugin.hooks))
            or any(
                item.kind == kind and (not item.names or asked in map(slug, item.names))
                for item in plugin.aside
            )
        ]

    def _load(self, plugin: Plugin, candidate: Candidate) -> None:
        try:
            with guarded():
                plugin.module = candidate.load()
                api = getattr(plugin.module, "WOODMOVE_PLUGIN_API", None)
                if api != hookspecs.PLUGIN_API:
                    raise ValueError(
                        f"it is made for plugin API {api}, and this woodmove has {hookspecs.PLUGIN_API}"
                    )
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
        except PluginFault as fault:
            self.set_aside(plugin, str(fault))

    def set_aside(self, plugin: Plugin, reason: str) -> None:
        """Mark a plugin as failed and say so, once. Nothing of it is used from here on."""
        if plugin.status == "failed":
            return
        plugin.status = "failed"
        plugin.reason = reason
        if plugin.module is not None and self._pluggy.is_registered(plugin.module):
            self._pluggy.unregister(plugin.module)
        self.say(f"plugin {plugin.name} was set aside: {reason}")

    def set_item_aside(self, plugin: Plugin, item: SetAside) -> None:
        """Note that an item is not used, and say so; the others of its plugin stay."""
        plugin.aside.append(item)
        self.say(f"{item} of plugin {plugin.name} was set aside: {item.reason}")

    def gather(self, hook: str) -> list[tuple[Plugin, Any]]:
        """Every good item that the loaded plugins return for a hook, each with its plugin."""
        if hook not in self._gathered:
            self._gathered[hook] = [
                (plugin, item)
                for plugin in self.plugins
                if plugin.status == "loaded" and hook in plugin.hooks
                for item in self._good_items(plugin, hook)
            ]
        return [(plugin, item) for plugin, item in self._gathered[hook] if plugin.status == "loaded"]

    def _good_items(self, plugin: Plugin, hook: str) -> list[Any]:
        others = [p for p in self._pluggy.get_plugins() if p is not plugin.module]
        try:
            with guarded():
                returned = list(self._pluggy.subset_hook_caller(hook, others)() or [])
                own = [(item, _fault_of(item, hook)) for item in (returned[0] if returned else ())]
        except PluginFault as fault:
            self.set_aside(plugin, str(fault))
            return []
        for _, fault in own:
            if fault is not None:
                self.set_item_aside(plugin, fault)
        return [item for item, fault in own if fault is None]


def _fault_of(item: Any, hook: str) -> SetAside | None:
    """What is wrong with an item that a hook has returned; None if nothing is."""
    for kind, (of_hook, of_type) in hookspecs.KINDS.items():
        if of_hook == hook and isinstance(item, of_type):
            faults = "; ".join(islice(wrong_types(item, of_type), _FEW))
            return SetAside(kind, tuple(_names(item)), faults) if faults else None
    return SetAside("item", (), f"{hook} returned a {type(item).__name__}")


def _names(item: Any) -> Iterator[str]:
    aliases = getattr(item, "aliases", ())
    for name in (
        getattr(item, "key", ""),
        getattr(item, "name", ""),
        *(aliases if isinstance(aliases, tuple) else ()),
    ):
        if name and isinstance(name, str):
            yield name
