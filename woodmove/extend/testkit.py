"""What a plugin author runs on their own plugin: does it keep the contract?

In a test of the plugin::

    import my_plugin
    from woodmove.extend.testkit import check_plugin

    def test_contract():
        assert check_plugin(my_plugin) == []
"""

import shlex
from collections.abc import Container
from types import ModuleType

from woodmove.contract.commands import CommandSpec
from woodmove.contract.params import Request
from woodmove.contract.plan import Section
from woodmove.domain.species import Species
from woodmove.extend.catalogue import REGISTRIES, Catalogue
from woodmove.extend.guard import PluginFault, guarded
from woodmove.extend.manager import Candidate, PluginManager, installed
from woodmove.extend.params import FLAG, read_all, text_with_unit
from woodmove.extend.registry import Registry
from woodmove.extend.slug import slug
from woodmove.extend.typed import checked_answer
from woodmove.sources import Status

# First words of core's own commands, but for the tables, which are open to all; and keys of its own plan
# sections. Core cannot be asked from here: it stands above. A test holds the list to core's.
RESERVED = frozenset(
    {
        "emc", "climate", "buy", "acclimate", "readings", "rip", "width", "plan", "new", "check",
        "plugins", "shop", "air", "wood", "lumber", "pile", "strips", "lay-up", "lift", "flatten",
        "measured", "holes", "weight", "cut-list", "cut_list",
    }
)  # fmt: skip


def check_plugin(module: ModuleType, reserved: Container[str] = RESERVED) -> list[str]:
    """Every way in which a plugin breaks the contract, in words; an empty list if it keeps it.

    The plugin is loaded beside the plugins of woodmove itself, as a user would have it: hooks, types,
    keys, duplicates, aliases that hide another item, units in names, sources, and examples that name
    the command.

    :param module: the plugin's module, imported
    :param reserved: names of commands and plan sections that woodmove keeps for itself
    """
    told: list[str] = []
    name = module.__name__
    beside = [candidate for candidate in installed() if candidate.package == "woodmove"]
    beside = [candidate for candidate in beside if candidate.name != name]
    manager = PluginManager([*beside, Candidate(name, name, "", lambda: module)], say=told.append)
    catalogue = Catalogue(lambda: manager)
    registries: list[Registry] = [getattr(catalogue, name) for name in REGISTRIES]
    faults = [line for line in told if name in line]
    plugin = next(plugin for plugin in manager.plugins if plugin.name == name)
    if plugin.status != "loaded":
        return faults
    items = 0
    for registry in registries:
        for key, item in registry:
            if registry.provider(key) == name:
                items += 1
                if registry.kind in ("command", "plan section") and key.split()[0] in reserved:
                    faults.append(f"{registry.kind} {key!r}: woodmove itself provides it")
                faults += _item_faults(registry, key, item, catalogue)
    if not items and not plugin.aside:
        faults.append(f"{name} implements {', '.join(plugin.hooks)} and returns nothing")
    return faults


def _item_faults(registry: Registry, key: str, item: object, catalogue: Catalogue) -> list[str]:
    faults = []
    for alias in getattr(item, "aliases", ()):
        if registry.get(alias) is not item:
            faults.append(f"{registry.kind} {key}: alias {alias!r} already means another")
    if not isinstance(item, CommandSpec) and slug(key) != key:
        faults.append(f"{registry.kind} {key!r} cannot be typed: its key would have to be {slug(key)!r}")
    if isinstance(item, Species):
        faults += _species_faults(item, catalogue)
    if isinstance(item, Section):
        faults += [
            f"plan section {key}: {param.name} is needed and has no place in a job file"
            for param in item.command.params
            if param.required and not param.job
        ]
    command = item if isinstance(item, CommandSpec) else None
    if command is not None:
        faults += [
            f"command {key}: the example {example!r} does not begin with woodmove {key}"
            for example in command.examples
            if not example.startswith(f"woodmove {key}")
        ]
        faults += [
            f"command {key}: {param.option} has no help or no example"
            for param in command.params
            if not param.help or (param.kind.metavar and not param.example)
        ]
        faults += [fault for example in command.examples if (fault := _fails(command, example, catalogue))]
    return faults


def _fails(command: CommandSpec, example: str, catalogue: Catalogue) -> str:
    """How the question fails on its own example; empty if it answers."""
    words = shlex.split(example)[1 + len(command.name.split()) :]
    options = {param.option: param for param in command.params}
    texts: dict[str, str] = {}
    arguments = [param for param in command.params if param.is_argument]
    while words:
        word = words.pop(0)
        param = options.get(word)
        if param is not None and param.kind is FLAG:
            texts[param.name] = "true"
        elif param is not None and words:
            texts[param.name] = text_with_unit(param.kind, words.pop(0), "in")
        elif not word.startswith("-") and arguments:
            texts[arguments.pop(0).name] = word
    values, faults = read_all(command.params, texts)
    if faults:
        return f"command {command.name}: its example {example!r} is refused: {faults[0].text}"
    try:
        with guarded():
            checked_answer(command.run(Request(values, draws=128), catalogue))
    except PluginFault as fault:
        return f"command {command.name}: its example {example!r} fails: {fault}"
    return ""


def _species_faults(species: Species, catalogue: Catalogue) -> list[str]:
    faults = [
        f"species {species.key}: member {member!r} is not known"
        for member in species.members
        if member not in dict(catalogue.species)
    ]
    known = [c.known for c in species.coefficients] + [s.known for s in species.shrinkage]
    faults += [
        f"species {species.key}: a published value names no source"
        for value in known
        if value.status is Status.PUBLISHED and not value.source
    ]
    if not (known or species.members or species.specific_gravity or species.across_grain):
        faults.append(f"species {species.key}: it holds no value at all")
    return faults
