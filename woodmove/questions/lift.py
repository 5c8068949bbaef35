"""woodmove lift"""

from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top import handling as advice
from woodmove.contract.answer import Answer
from woodmove.contract.commands import CommandSpec
from woodmove.contract.params import Param, ParamType, Request
from woodmove.contract.plan import Section
from woodmove.contract.stage import Stage
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import (
    MC_NOW,
    MC_READINGS,
    PEOPLE,
    SPECIES,
    TOP_LENGTH,
    TOP_THICKNESS,
    TOP_WIDTH,
    wood_of,
)
from woodmove.extend.params import LENGTH, TEXT, noun
from woodmove.physics.lifting import GRIPS, KNUCKLES_MM
from woodmove.units.parse import parse_angle_deg

ANGLE = ParamType("DEGREES", parse_angle_deg)
# What the lifting equation asks of the way in which a piece is lifted.
POSTURE = {
    "reach": Param("reach_mm", "", LENGTH, "How far the hands are from the ankles", "16in", default=400.0,
                   low=50, high=1500),
    "height": Param("height_mm", "", LENGTH, "Height of the hands over the floor at the start", "30in",
                    default=KNUCKLES_MM, low=0, high=2500),
    "raise": Param("raise_mm", "", LENGTH, "How far it goes up or down", "10in", default=250.0, low=-2500,
                   high=2500),
    "turn": Param("turn_deg", "", ANGLE, "How far the body turns with it", "45", default=0.0, low=0,
                  high=180),
    "grip": Param("grip", "", TEXT, "How well the hands hold it", "fair", choices=GRIPS, default="fair"),
}  # fmt: skip

PARAMS = (
    SPECIES,
    TOP_WIDTH.replace(help="Width of the piece"),
    TOP_LENGTH.replace(required=True, help="Length of the piece"),
    TOP_THICKNESS.replace(required=True, help="Thickness of the piece"),
    MC_NOW,
    MC_READINGS,
    Param("lift", "--lift", noun("LIFT", POSTURE),
          "How it is lifted: reach of the hands from the ankles, height of the hands over the floor at the "
          "start, how far it goes up (or down, raise=-10in), turn of the body in degrees, grip "
          f"({', '.join(GRIPS)})",
          "height=6in raise=28in", "job.lift", example_mm="height=150mm raise=700mm"),
    *POSTURE.values(),
    PEOPLE,
)  # fmt: skip


def ask(request: Request, catalogue: Catalogue) -> Answer[advice.Lift]:
    """What a piece weighs, and who can lift it."""
    size = (request["top_width_mm"], request["top_thickness_mm"], request["top_length_mm"])
    posture = {param.name: request[param] for param in POSTURE.values()}
    return advice.lift(
        wood_of(request, catalogue),
        size,
        request["mc_now_pct"],
        request["mc_readings"],
        posture,
        Draws(request.draws, request.seed),
        request.get(PEOPLE),
    )


LIFT = CommandSpec(
    "lift",
    "What a top, a section or a board weighs today, how many people move it, and how.",
    (
        "woodmove lift --species douglas-fir-coast --width 32in --thickness 3in --length 46in --mc-now 8",
        "woodmove lift --species northern-red-oak --width 36in --thickness 1in --length 72in --mc-now 8 "
        "--lift 'height=6in raise=28in'",
    ),
    PARAMS,
    ask,
    table="shared",
    line="What it weighs, and who can lift it",
    stage=Stage.FIX,
)

SECTION = Section("weight", "What it weighs", LIFT, Stage.FIX, "Lift", decides=False)

COMMANDS = (LIFT,)
