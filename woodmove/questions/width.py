"""woodmove width"""

from collections.abc import Mapping
from typing import Any

from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top import width as advice
from woodmove.advice.top.section_drawing import section_drawings
from woodmove.contract.answer import Answer
from woodmove.contract.commands import CommandSpec
from woodmove.contract.drawing import Drawing
from woodmove.contract.params import Request
from woodmove.contract.plan import Section
from woodmove.contract.stage import Stage
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import (
    EXPOSURE,
    MC_NOW,
    MC_READINGS,
    PLACE,
    SERVICE,
    TODAY,
    TOP_THICKNESS,
    TOP_WIDTH,
    WOOD,
    exposure_of,
    season_of,
    today_of,
    top_of,
)
from woodmove.questions.shared.drawings import width_drawings


def ask(request: Request, catalogue: Catalogue) -> Answer[advice.Width]:
    """The width of a top through its year."""
    in_a_room = request.get(PLACE) is not None
    return advice.width(
        top_of(request, catalogue),
        season_of(request, catalogue),
        Draws(request.draws, request.seed),
        exposure_of(request, catalogue) if in_a_room else None,
        today=today_of(request) if in_a_room else None,
    )


def drawings(found: advice.Width, inputs: Mapping[str, Any]) -> tuple[Drawing, ...]:
    """The end of the top, its moisture and its width."""
    return (*section_drawings(found, inputs), *width_drawings(found, inputs))


WIDTH = CommandSpec(
    "width",
    "How wide a top, a panel or a board will be in each season.",
    (
        "woodmove width --species northern-red-oak --width 36in --rings flat --mc-now 8 "
        "--mc-low 6 --mc-high 11",
        "woodmove width --species douglas-fir-coast --width 30in --thickness 3in --stock 2x8 "
        "--pith-depth 1-1/2in --mc-now 12 --place burlington --room heated",
    ),
    (
        *WOOD,
        TOP_WIDTH,
        TOP_THICKNESS,
        MC_NOW.replace(required=True),
        MC_READINGS,
        *SERVICE,
        *EXPOSURE,
        TODAY,
    ),
    ask,
    table="months",
    line="How wide the top is in each season",
    stage=Stage.YEAR,
    draw=drawings,
)

SECTION = Section("width", "The top through the year", WIDTH, Stage.YEAR, "Year", checks=advice.checks)

COMMANDS = (WIDTH,)
