"""The glue-up as a part of the plan."""

from datetime import date, timedelta

from woodmove.extend.api import Hand, Section, Stage, groups, on_their_days
from woodmove_glue.glue_up import GLUE_UP
from woodmove_glue.parameters import GLUE_DATE, STRIPS
from woodmove_glue.results import GlueUp


def _wait_days(found: GlueUp) -> int | None:
    """Until the water of the glue has left the seams."""
    wait = found.glue_water.wait_days
    return None if wait is None else int(wait.expected)


def _ends(found: GlueUp, begun: date) -> date | None:
    """The day on which the last joint may be machined; None where strips are too wet to be glued."""
    if found.glued_on is None or found.joined_on is None:
        return None
    return begun + (found.joined_on - found.glued_on) + timedelta(days=found.set_days)


SECTION = Section(
    "glue-up",
    "The glue-up",
    GLUE_UP,
    Stage.GLUE,
    "Glue",
    needs=(
        (groups.STRIP_THICKNESS,),
        (groups.TOP_LENGTH,),
        (groups.STRIP_WIDTH, groups.TOP_THICKNESS),
        (groups.SECTION_STRIPS, STRIPS, groups.TOP_WIDTH),
    ),
    hands=(
        Hand(groups.JOINT_WAIT, _wait_days),
        Hand(groups.JOINT_SET, lambda found: found.set_days),
        Hand(groups.READY_DATE, lambda found: found.joined_on),
    ),
    day=GLUE_DATE,
    checks=lambda found: on_their_days(found.checks),
    ends=_ends,
)
