"""woodmove width"""

from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top import width as advice
from woodmove.contract.answer import Answer
from woodmove.contract.commands import CommandSpec
from woodmove.contract.params import Request
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import (
    EXPOSURE,
    MC_NOW,
    MC_READINGS,
    SERVICE,
    TODAY,
    TOP_THICKNESS,
    TOP_WIDTH,
    WOOD,
    exposure_of,
    inputs_of,
    season_of,
    today_of,
    top_of,
)


def run(request: Request, catalogue: Catalogue) -> Answer:
    """The width of a top through its year."""
    return advice.width(
        top_of(request, catalogue),
        season_of(request, catalogue),
        Draws(request.draws, request.seed),
        inputs_of(request, catalogue),
        exposure_of(request, catalogue),
        today=today_of(request),
    )


WIDTH = CommandSpec(
    "width",
    "How wide a top, a panel or a board will be in each season.",
    (
        "woodmove width --species northern-red-oak --width 36in --rings flat --mc-now 8 "
        "--mc-low 6 --mc-high 11",
        "woodmove width --species douglas-fir-coast --width 30in --thickness 3in --strips-from 2x8 "
        "--pith-depth 1-1/2in --mc-now 12 --place burlington --indoor heated",
    ),
    (
        *WOOD,
        TOP_WIDTH.replace(option="--width"),
        TOP_THICKNESS.replace(option="--thickness"),
        MC_NOW.replace(required=True),
        MC_READINGS,
        *SERVICE,
        *EXPOSURE,
        TODAY,
    ),
    run,
    table="months",
)

COMMANDS = (WIDTH,)
