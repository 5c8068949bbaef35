"""The glue-up: the clock, the clamps, and the water that the glue brings."""

from woodmove.extend.api import Adhesive, CommandSpec, Section, hookimpl

WOODMOVE_PLUGIN_API = 1


@hookimpl
def woodmove_adhesives() -> list[Adhesive]:
    """Every adhesive of the table."""
    from woodmove_glue.loader import adhesives

    return adhesives()


@hookimpl
def woodmove_commands() -> list[CommandSpec]:
    """The commands `adhesives` and `glue-up`."""
    from woodmove_glue.glue_up import GLUE_UP
    from woodmove_glue.listing import ADHESIVES

    return [ADHESIVES, GLUE_UP]


@hookimpl
def woodmove_plan_sections() -> list[Section]:
    """The glue-up, as a section of the plan."""
    from woodmove_glue.section import SECTION

    return [SECTION]
