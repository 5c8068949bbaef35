"""Items of one kind that plugins contribute, by key, each with its provider."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Generic, TypeVar

from woodmove.contract.refusal import Refusal
from woodmove.extend.slug import slug

# Plugins are looked for when a registry is looked at, and the modules behind that are imported then: a
# quick question that needs no registry does not wait for them.
if TYPE_CHECKING:
    from woodmove.extend.manager import Plugin, PluginManager


Item = TypeVar("Item")
# So many items are named one by one.
FEW = 12


@dataclass(slots=True)
class Registry(Generic[Item]):
    """Items of one kind.

    :param kind: what they are, for messages: "species"
    :param param: name of the parameter that names one of them
    :param command: where the list stands: ``woodmove list species``
    """

    kind: str
    param: str
    command: str
    manager: PluginManager
    _items: dict[str, Item] = field(default_factory=dict)
    _providers: dict[str, str] = field(default_factory=dict)
    _names: dict[str, str] = field(default_factory=dict)
    # What a name may mean that stands in no registry: the path of a file, say.
    elsewhere: Callable[[str], Item | None] = field(default=lambda name: None)
    # How to make one that is not known.
    own: str = ""

    def add(self, plugin: Plugin, key: str, item: Item, names: tuple[str, ...] = ()) -> None:
        """Put an item in the registry. The first of two with one key stays; the other is refused, and
        both providers are named."""
        if key in self._items:
            self.manager.say(
                f"{self.kind} {key!r} of plugin {plugin.name} was refused: "
                f"plugin {self._providers[key]} already provides it"
            )
            return
        self._items[key] = item
        self._providers[key] = plugin.name
        for name in (key, *names):
            self._names.setdefault(slug(name), key)

    def __iter__(self) -> Iterator[tuple[str, Item]]:
        return iter(sorted(self._items.items()))

    def provider(self, key: str) -> str:
        """Name of the plugin that an item comes from."""
        return self._providers[key]

    def get(self, name: str) -> Item:
        """The item of a key or an alias.

        :raises Refusal: an unknown name, with the closest ones; with exit code 4 if nothing is on the
            registry, or the name is unknown, because a plugin has failed
        """
        if (found := self.elsewhere(name)) is not None:
            return found
        asked = slug(name)
        if asked in self._names:
            return self._items[self._names[asked]]
        if not self._items:
            raise Refusal(
                "NO_PLUGIN",
                f"No plugin provides any {self.kind}.",
                "The tables come from plugins, and none that holds them is loaded.",
                "Type woodmove list plugins to see which failed or are switched off.",
                fields=(self.param,),
                exit_code=4,
            )
        near = closest(name, self._names)
        lost, instead = "", f"Type {self.command} to see all of them."
        if missed := self.manager.missed(self.kind, name):
            names = ", ".join(plugin.name for plugin in missed)
            lost = f" It may be one of plugin {names}, where something is broken."
            instead = "Type woodmove list plugins to see what."
        raise Refusal(
            f"UNKNOWN_{self.param.upper()}",
            f"There is no {self.kind} {name!r}.{lost}",
            f"The closest known: {', '.join(near)}." if near else self._none_close(),
            instead if missed else f"{instead}{self.own}",
            fields=(self.param,),
            exit_code=4 if missed else 1,
        )

    def _none_close(self) -> str:
        known = f" Known are {', '.join(sorted(self._items))}." if len(self._items) <= FEW else ""
        return f"No known {self.kind} comes close.{known}"


def closest(name: str, names: Mapping[str, str], count: int = 5) -> list[str]:
    """Keys of the items whose key or alias comes closest to a name, or holds its words.

    :param names: keys by slug, of the key itself or of an alias
    """
    asked = slug(name)
    words = {word for known in names for word in known.split("-") if len(word) > 2}
    meant = {
        close
        for word in asked.split("-")
        if len(word) > 2
        for close in difflib.get_close_matches(word, words, n=3, cutoff=0.75)
    }

    def likeness(known: str) -> float:
        # Sharing a word, however it was spelt, says more than sharing letters.
        shared = len(meant & set(known.split("-")))
        return shared + difflib.SequenceMatcher(None, asked, known).ratio()

    if holding := sorted({key for known, key in names.items() if asked in known.split("-")}):
        # A word that many share, such as pine: each may be the one that is meant.
        return holding
    near = sorted((known for known in names if likeness(known) > 0.6), key=lambda n: (-likeness(n), n))
    return list(dict.fromkeys(names[known] for known in near))[:count]
