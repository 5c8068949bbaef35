"""Species of wood and lumber-yard mixes, from the Wood handbook and from sources of other lands."""

from woodmove.extend.api import Species, hookimpl

WOODMOVE_PLUGIN_API = 1


@hookimpl
def woodmove_species() -> list[Species]:
    """Every species and mix of the tables."""
    from woodmove_species.loader import load

    return load()
