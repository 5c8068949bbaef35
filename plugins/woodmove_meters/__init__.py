"""Moisture meters: their range, their corrections, and what a reading means."""

from woodmove.extend.api import CommandSpec, Meter, hookimpl

WOODMOVE_PLUGIN_API = 1


@hookimpl
def woodmove_meters() -> list[Meter]:
    """Every meter of the table."""
    from woodmove_meters.loader import load

    return load()


@hookimpl
def woodmove_commands() -> list[CommandSpec]:
    """The commands `list meters`, `meter read` and `meter dry`."""
    from woodmove_meters.commands import DRY, LIST, READ

    return [LIST, READ, DRY]
