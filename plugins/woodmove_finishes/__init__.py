"""Finishes, by how much moisture they keep out for how long."""

from woodmove.extend.api import CommandSpec, Finish, hookimpl

WOODMOVE_PLUGIN_API = 1


@hookimpl
def woodmove_finishes() -> list[Finish]:
    """Every finish of the table."""
    from woodmove_finishes.loader import load

    return load()


@hookimpl
def woodmove_commands() -> list[CommandSpec]:
    """The command `finishes`."""
    from woodmove_finishes.listing import FINISHES

    return [FINISHES]
