"""Everything that plugins contribute, by kind and key, each item with its provider."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING, Any, Protocol

from woodmove.contract.refusal import Refusal
from woodmove.extend.registry import Registry

# Plugins are looked for when a registry is looked at, and the modules behind that are imported then: a
# quick question that needs no registry does not wait for them.
if TYPE_CHECKING:
    from woodmove.contract.commands import CommandSpec
    from woodmove.contract.output import Output
    from woodmove.contract.params import Param
    from woodmove.contract.plan import Section
    from woodmove.domain.adhesive import Adhesive
    from woodmove.domain.climate import Climate
    from woodmove.domain.fastener import Screw, Washer
    from woodmove.domain.finish import Finish
    from woodmove.domain.meter import Meter
    from woodmove.domain.species import Species, SpeciesShares, Wood
    from woodmove.extend.manager import PluginManager

# Names of the registries, each a property of the catalogue.
REGISTRIES = ("species", "climates", "finishes", "screws", "washers", "meters", "adhesives", "commands",
           "plan_sections", "outputs")  # fmt: skip


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
    """The registries. Plugins are loaded when the first of them is looked at."""

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

    def _registry(self, kind: str, param: str, command: str) -> Registry[Any]:
        from woodmove.extend.hookspecs import KINDS

        registry: Registry[Any] = Registry(kind, param, command, self.manager)
        hook, of_type = KINDS[kind]
        for plugin, item in self.manager.gather(hook):
            if isinstance(item, of_type):
                registry.add(plugin, item.key, item, (item.name, *item.aliases))
        return registry

    @cached_property
    def species(self) -> Registry[Species]:
        """Species and mixes."""
        return self._registry("species", "species", "woodmove list species")

    @cached_property
    def climates(self) -> Registry[Climate]:
        """Places."""
        registry = self._registry("place", "place", "woodmove list places")
        if self._places is not None:
            from woodmove.extend.manager import Plugin

            places = self._places()
            for climate in places.own_places(self.manager.say):
                registry.add(Plugin(OWN_PLACES, "", "", "loaded"), climate.key, climate, (climate.name,))
            registry.elsewhere = places.place_of_file
            registry.own = " Or log the room: woodmove climate add NAME room.csv --place PLACE."
        return registry

    @cached_property
    def finishes(self) -> Registry[Finish]:
        """Finishes."""
        return self._registry("finish", "finish", "woodmove list finishes")

    @cached_property
    def screws(self) -> Registry[Screw]:
        """Screws."""
        return self._registry("screw", "screw", "woodmove list fasteners")

    @cached_property
    def washers(self) -> Registry[Washer]:
        """Washers."""
        return self._registry("washer", "washer", "woodmove list fasteners")

    @cached_property
    def meters(self) -> Registry[Meter]:
        """Moisture meters."""
        return self._registry("meter", "meter", "woodmove list meters")

    @cached_property
    def adhesives(self) -> Registry[Adhesive]:
        """Types of adhesive."""
        return self._registry("adhesive", "adhesive", "woodmove list adhesives")

    @cached_property
    def commands(self) -> Registry[CommandSpec]:
        """Commands of plugins."""
        registry: Registry[CommandSpec] = Registry("command", "command", "woodmove --help", self.manager)
        for plugin, command in self.manager.gather("woodmove_commands"):
            registry.add(plugin, command.name, command)
        return registry

    @cached_property
    def plan_sections(self) -> Registry[Section[Any]]:
        """Plan sections of plugins."""
        registry: Registry[Section[Any]] = Registry(
            "plan section", "section", "woodmove list plugins", self.manager
        )
        for plugin, section in self.manager.gather("woodmove_plan_sections"):
            registry.add(plugin, section.key, section)
        return registry

    @cached_property
    def outputs(self) -> Registry[Output]:
        """Files that can be made of an answer."""
        registry: Registry[Output] = Registry("output", "output", "woodmove list plugins", self.manager)
        for plugin, output in self.manager.gather("woodmove_outputs"):
            registry.add(plugin, output.key, output)
        return registry

    def unknown_names(
        self, params: Iterable[Param[Any]], values: Mapping[str, Any], given: Collection[str]
    ) -> list[Refusal]:
        """Faults of the values that name nothing in their registry.

        :param given: names of the parameters that somebody gave
        """
        faults = []
        for param in params:
            if param.name not in given:
                continue
            for one in (param, *(part for _, part in param.kind.parts)):
                value = values.get(one.name)
                if one.registry and value is not None and value not in one.choices:
                    faults += _unknown(getattr(self, one.registry), one.replace(name=param.name), value)
        return faults

    def wood_in_shares(self, shares: SpeciesShares) -> Wood:
        """The wood of a top of several species: that of most strips, and the others with their shares.

        :raises Refusal: as of one
        """
        others = [(self.wood(name), share) for name, share in shares.shares if name != shares.main]
        return replace(self.wood(shares.main), others=tuple(others))

    def wood(self, name: str, edition: str | None = None) -> Wood:
        """The species, or the members of the mix, that a piece of wood may be.

        :raises Refusal: an unknown species, or one without coefficients of that edition
        """
        from woodmove.domain.species import Wood

        species = self.species.get(name)
        members = [self.species.get(member) for member in species.members]
        # Not every edition has every member of a mix; the mix is then the span of those it has.
        candidates = [
            member
            for member in members
            if any(edition in (None, coefficients.edition) for coefficients in member.coefficients)
        ]
        if members and not candidates:
            have = dict.fromkeys(c.edition for member in members for c in member.coefficients)
            raise Refusal(
                "NO_EDITION",
                f"No member of {species.name} has {edition} coefficients.",
                f"What the tables hold for them: {', '.join(have)}.",
                "Name none to take each member's first.",
            )
        wood = Wood(species, tuple(candidates) or (species,), edition)
        _ = wood.coefficients  # refuses an edition that is missing here, and not in the middle of a sum
        return wood


def _unknown(registry: Registry[Any], param: Param[Any], value: Any) -> list[Refusal]:
    """Faults of the name, or the names, of a value; a name twice is one too."""
    faults, keys = list[Refusal](), list[str]()
    for name in (value,) if isinstance(value, str) else value.names:
        try:
            keys.append(registry.get(name).key)
        except Refusal as fault:
            fault.fields = (param.name,)
            if registry.param == "species" and (several := _without_shares(registry, name)):
                fault.instead = f'Type "{several}", with the share of each.'
            if param.choices:
                fault.allowed += f" Or say {', '.join(param.choices)}."
            faults.append(fault)
    if twice := next((key for key in keys if keys.count(key) > 1), None):
        faults.append(
            Refusal(
                "NAMED_TWICE",
                f"{value} names {twice} twice.",
                "Each is named once, with its share.",
                f"Type {param.example} for one alone, or another in its place.",
                fields=(param.name,),
            )
        )
    return faults


def _without_shares(registry: Registry[Any], text: str) -> str:
    """The names of a text that is several of them and gives no shares, each with one; else nothing."""
    names = [name.strip() for name in text.split(",")]
    if len(names) < 2:
        return ""
    try:
        return ", ".join(f"{registry.get(name).key}:1" for name in names)
    except Refusal:
        return ""
