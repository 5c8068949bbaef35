"""Everything that plugins contribute, by kind and key, each item with its provider."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any, Generic, Protocol, TypeVar

from woodmove.shop.answer import Refusal

# Plugins are looked for when a shelf is looked at, and the modules behind that are imported then: a
# quick question that needs no shelf does not wait for them.
if TYPE_CHECKING:
    from woodmove.extend.contracts import CommandSpec, PlanSection
    from woodmove.extend.manager import Plugin, PluginManager
    from woodmove.shop.adhesive import Adhesive
    from woodmove.shop.climate import Climate
    from woodmove.shop.fastener import Screw, Washer
    from woodmove.shop.finish import Finish
    from woodmove.shop.meter import Meter
    from woodmove.shop.species import Species, Wood

Item = TypeVar("Item")
# So many items are named one by one.
FEW = 12


def slug(text: str) -> str:
    """Text as a key: lower-case words joined by hyphens. ``No. 10`` and ``#10`` give ``no-10``."""
    numbered = re.sub(r"(?:\bno\.?|#|\bnumber)\s*-?(?=\d)", "no-", text.lower().replace("'", ""))
    joined = re.sub(r"(?<=\d)\s*(mm|in)\b", r"\1", numbered)
    # A dot counts only within a number.
    undotted = re.sub(r"(?<!\d)\.|\.(?!\d)", " ", joined)
    return re.sub(r"[^a-z0-9.]+", "-", undotted).strip("-")


@dataclass(slots=True)
class Shelf(Generic[Item]):
    """Items of one kind.

    :param kind: what they are, for messages: "species"
    :param param: name of the parameter that names one of them
    :param command: where the list stands: ``woodmove species list``
    """

    kind: str
    param: str
    command: str
    manager: PluginManager
    _items: dict[str, Item] = field(default_factory=dict)
    _providers: dict[str, str] = field(default_factory=dict)
    _names: dict[str, str] = field(default_factory=dict)
    # What a name may mean that stands on no shelf: the path of a file, say.
    elsewhere: Callable[[str], Item | None] = field(default=lambda name: None)

    def add(self, plugin: Plugin, key: str, item: Item, names: tuple[str, ...] = ()) -> None:
        """Put an item on the shelf. The first of two with one key stays; the other is refused, and
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
            shelf, or the name is unknown, because a plugin has failed
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
                "Type woodmove plugins list to see which failed or are switched off.",
                fields=(self.param,),
                exit_code=4,
            )
        closest = self.closest(name)
        lost, instead = "", f"Type {self.command} to see all of them."
        if missed := self.manager.missed(self.kind, name):
            names = ", ".join(plugin.name for plugin in missed)
            lost = f" It may be one of plugin {names}, where something is broken."
            instead = "Type woodmove plugins list to see what."
        raise Refusal(
            f"UNKNOWN_{self.param.upper()}",
            f"There is no {self.kind} {name!r}.{lost}",
            f"The closest known: {', '.join(closest)}." if closest else self._none_close(),
            instead,
            fields=(self.param,),
            exit_code=4 if missed else 1,
        )

    def _none_close(self) -> str:
        known = f" Known are {', '.join(sorted(self._items))}." if len(self._items) <= FEW else ""
        return f"No known {self.kind} comes close.{known}"

    def closest(self, name: str, count: int = 5) -> list[str]:
        """Keys of the items whose key or alias comes closest to a name, or holds its words."""
        asked = slug(name)
        words = {word for known in self._names for word in known.split("-") if len(word) > 2}
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

        near = sorted((n for n in self._names if likeness(n) > 0.6), key=lambda n: (-likeness(n), n))
        return list(dict.fromkeys(self._names[n] for n in near))[:count]


# Names of the shelves, each a property of the catalogue.
SHELVES = ("species", "climates", "finishes", "screws", "washers", "meters", "adhesives", "commands",
           "plan_sections")  # fmt: skip


OWN_PLACES = "your own places"


class Places(Protocol):
    """Places that no plugin brings. What reads them is handed in: this room reads no file."""

    def own_places(self, say: Callable[[str], None]) -> Iterable[Climate]:
        """The places that the user has added; a broken one is told of and left out."""
        ...

    def place_of_file(self, name: str) -> Climate | None:
        """The place that a weather file or a logger's file holds; None if the name is no path of one."""
        ...


class Catalogue:
    """The shelves. Plugins are loaded when the first of them is looked at."""

    def __init__(
        self,
        make_manager: Callable[[], PluginManager] | None = None,
        places: Callable[[], Places] | None = None,
    ) -> None:
        self._make_manager = make_manager
        self._places = places

    @cached_property
    def manager(self) -> PluginManager:
        """The plugin manager of this run."""
        if self._make_manager is not None:
            return self._make_manager()
        from woodmove.extend.manager import PluginManager

        return PluginManager()

    def failed_plugins(self, kind: str = "", name: str = "") -> list[str]:
        """Names of the plugins that failed so far; none where none has been looked for.

        :param kind: only those that may have brought an item of this kind and name
        """
        if "manager" not in vars(self):
            return []
        plugins = self.manager.missed(kind, name) if kind else self.manager.failed
        return [plugin.name for plugin in plugins]

    def _shelf(self, kind: str, param: str, command: str) -> Shelf[Any]:
        from woodmove.extend.hookspecs import KINDS

        shelf: Shelf[Any] = Shelf(kind, param, command, self.manager)
        hook, of_type = KINDS[kind]
        for plugin, item in self.manager.gather(hook):
            if isinstance(item, of_type):
                shelf.add(plugin, item.key, item, (item.name, *item.aliases))
        return shelf

    @cached_property
    def species(self) -> Shelf[Species]:
        """Species and mixes."""
        return self._shelf("species", "species", "woodmove species list")

    @cached_property
    def climates(self) -> Shelf[Climate]:
        """Places."""
        shelf = self._shelf("place", "place", "woodmove climate list")
        if self._places is not None:
            from woodmove.extend.manager import Plugin

            places = self._places()
            for climate in places.own_places(self.manager.say):
                shelf.add(Plugin(OWN_PLACES, "", "", "loaded"), climate.key, climate, (climate.name,))
            shelf.elsewhere = places.place_of_file
        return shelf

    @cached_property
    def finishes(self) -> Shelf[Finish]:
        """Finishes."""
        return self._shelf("finish", "finish", "woodmove finishes")

    @cached_property
    def screws(self) -> Shelf[Screw]:
        """Screws."""
        return self._shelf("screw", "screw", "woodmove fasteners")

    @cached_property
    def washers(self) -> Shelf[Washer]:
        """Washers."""
        return self._shelf("washer", "washer", "woodmove fasteners")

    @cached_property
    def meters(self) -> Shelf[Meter]:
        """Moisture meters."""
        return self._shelf("meter", "meter", "woodmove meter list")

    @cached_property
    def adhesives(self) -> Shelf[Adhesive]:
        """Types of adhesive."""
        return self._shelf("adhesive", "adhesive", "woodmove adhesives")

    @cached_property
    def commands(self) -> Shelf[CommandSpec]:
        """Commands of plugins."""
        shelf: Shelf[CommandSpec] = Shelf("command", "command", "woodmove --help", self.manager)
        for plugin, command in self.manager.gather("woodmove_commands"):
            shelf.add(plugin, command.name, command)
        return shelf

    @cached_property
    def plan_sections(self) -> Shelf[PlanSection]:
        """Plan sections of plugins."""
        shelf: Shelf[PlanSection] = Shelf("plan section", "section", "woodmove plugins list", self.manager)
        for plugin, section in self.manager.gather("woodmove_plan_sections"):
            shelf.add(plugin, section.key, section)
        return shelf

    def wood(self, name: str, edition: str | None = None) -> Wood:
        """The species, or the members of the mix, that a piece of wood may be.

        :raises Refusal: an unknown species, or one without coefficients of that edition
        """
        from woodmove.shop.species import Wood

        species = self.species.get(name)
        members = [self.species.get(member) for member in species.members]
        # Not every edition has every member of a mix; the mix is then the span of those it has.
        candidates = [
            member
            for member in members
            if any(edition in (None, coefficients.edition) for coefficients in member.coefficients)
        ]
        if members and not candidates:
            raise Refusal(
                "NO_EDITION",
                f"No member of {species.name} has {edition} coefficients.",
                "Editions are 2021 and 2010.",
                "Leave out --edition to take each member's newest.",
                fields=("edition",),
            )
        wood = Wood(species, tuple(candidates) or (species,), edition)
        _ = wood.coefficients  # refuses an edition that is missing here, and not in the middle of a sum
        return wood
