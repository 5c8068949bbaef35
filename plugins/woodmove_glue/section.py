"""The glue-up as a part of the plan."""

import math
from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from woodmove.extend.api import Hand, Section, Stage, groups
from woodmove_glue.glue_up import GLUE_UP
from woodmove_glue.parameters import GLUE_DATE, STRIPS


def _wait_days(found: Mapping[str, Any]) -> int | None:
    """Until the water of the glue has left the seams."""
    wait = found.get("glue_water", {}).get("wait_days")
    return None if wait is None else int(wait.expected)


def _day(found: Mapping[str, Any], name: str) -> date:
    return date.fromisoformat(found[name])


def _set_days(found: Mapping[str, Any]) -> int:
    """Until a joint may be machined."""
    return math.ceil(found["unstressed_h"] / 24.0)


def _ends(found: Mapping[str, Any], begun: date) -> date:
    """The day on which the last joint may be machined."""
    return begun + (_day(found, "joined_on") - _day(found, "glued_on")) + timedelta(days=_set_days(found))


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
        Hand(groups.JOINT_SET, _set_days),
        Hand(groups.READY_DATE, lambda found: _day(found, "joined_on")),
    ),
    day=GLUE_DATE,
    ends=_ends,
)
