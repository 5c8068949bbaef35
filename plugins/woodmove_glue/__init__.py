"""The glue-up: the clock, the clamps, and the water that the glue brings."""

from woodmove.extend.api import Adhesive, CommandSpec, PlanSection, hookimpl

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
def woodmove_plan_sections() -> list[PlanSection]:
    """The glue-up, as a section of the plan."""
    from woodmove_glue.glue_up import GLUE_UP, no_glue_up

    return [
        PlanSection(
            "glue-up",
            "The glue-up",
            GLUE_UP,
            ("because", "strip_count", "margin_min", "in_time_chance_pct", "more_clamps", "glue_to_buy_ml",
             "glue_ups", "instead", "clamping", "glue_water"),
            29,
            no_glue_up,
        )
    ]  # fmt: skip
