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
    SPECIES,
    TOP_LENGTH,
    TOP_THICKNESS,
    TOP_WIDTH,
    wood_of,
)
from woodmove.extend.params import LENGTH, TEXT, WHOLE
from woodmove.physics.lifting import GRIPS, KNUCKLES_MM
from woodmove.units.parse import parse_angle_deg

ANGLE = ParamType("DEGREES", parse_angle_deg)

PARAMS = (
    SPECIES,
    TOP_WIDTH.replace(option="--width", help="Width of the piece"),
    TOP_LENGTH.replace(required=True, help="Length of the piece"),
    TOP_THICKNESS.replace(option="--thickness", required=True, help="Thickness of the piece"),
    MC_NOW,
    MC_READINGS,
    Param("reach_mm", "--reach", LENGTH, "How far the hands are from the ankles", "16in", "lift.reach",
          default=400.0, low=50, high=1500),
    Param("height_mm", "--height", LENGTH, "Height of the hands over the floor at the start", "30in",
          "lift.height", default=KNUCKLES_MM, low=0, high=2500),
    Param("raise_mm", "--raise", LENGTH, "How far it goes up or down", "10in", "lift.raise", default=250.0,
          low=-2500, high=2500),
    Param("turn_deg", "--turn", ANGLE, "How far the body turns with it", "45", "lift.turn", default=0.0,
          low=0, high=180),
    Param("grip", "--grip", TEXT, "How well the hands hold it", "fair", "lift.grip", choices=GRIPS,
          default="fair"),
    Param("lifters", "--people", WHOLE, "How many people are there", "2", "lift.people", low=1, high=20),
)  # fmt: skip


def ask(request: Request, catalogue: Catalogue) -> Answer[advice.Lift]:
    """What a piece weighs, and who can lift it."""
    size = (request["top_width_mm"], request["top_thickness_mm"], request["top_length_mm"])
    posture = {name: request[name] for name in ("reach_mm", "height_mm", "raise_mm", "turn_deg", "grip")}
    return advice.lift(
        wood_of(request, catalogue),
        size,
        request["mc_now_pct"],
        request["mc_readings"],
        posture,
        Draws(request.draws, request.seed),
        request["lifters"],
    )


LIFT = CommandSpec(
    "lift",
    "What a top, a section or a board weighs today, how many people move it, and how.",
    (
        "woodmove lift --species douglas-fir-coast --width 32in --thickness 3in --length 46in --mc-now 8",
        "woodmove lift --species northern-red-oak --width 36in --thickness 1in --length 72in --mc-now 8 "
        "--height 6in --raise 28in",
    ),
    PARAMS,
    ask,
    table="shared",
    line="What it weighs, and who can lift it",
    stage=Stage.FIX,
)

SECTION = Section("weight", "What it weighs", LIFT, Stage.FIX, "Lift", decides=False)

COMMANDS = (LIFT,)
