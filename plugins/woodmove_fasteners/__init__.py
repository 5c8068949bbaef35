"""Screws and washers, and the slots that let a top move over its base."""

from woodmove.extend.api import CommandSpec, Screw, Section, Washer, hookimpl

WOODMOVE_PLUGIN_API = 1


@hookimpl
def woodmove_fasteners() -> list[Screw | Washer]:
    """Screws and washers by their standards."""
    from woodmove_fasteners import loader

    return [*loader.screws(), *loader.washers()]


@hookimpl
def woodmove_commands() -> list[CommandSpec]:
    """The commands `fasteners` and `slots`."""
    from woodmove_fasteners.listing import FASTENERS
    from woodmove_fasteners.slots import SLOTS

    return [FASTENERS, SLOTS]


@hookimpl
def woodmove_plan_sections() -> list[Section]:
    """The slots, as a section of the plan."""
    from woodmove_fasteners.slots import SECTION

    return [SECTION]
