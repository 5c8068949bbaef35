"""Screws and washers, and the slots that let a top move over its base."""

from woodmove.extend.api import CommandSpec, PlanSection, Screw, Washer, hookimpl

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
def woodmove_plan_sections() -> list[PlanSection]:
    """The slots, as a section of the plan."""
    from woodmove_fasteners.slots import SLOTS

    return [
        PlanSection(
            "slots",
            "The screw slots",
            SLOTS,
            ("why_slots", "fixed_mm", "screw", "washer", "wood_over_tip_mm", "thinning_mm", "fasteners"),
            40,
        )
    ]
