"""woodmove holes"""

from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top import holes as advice
from woodmove.contract.answer import Answer
from woodmove.contract.commands import CommandSpec
from woodmove.contract.params import Param, Request
from woodmove.contract.plan import Section
from woodmove.contract.stage import Stage
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import (
    BUILT,
    MC_NOW,
    MC_READINGS,
    SERVICE,
    TOP_LENGTH,
    TOP_THICKNESS,
    TOP_WIDTH,
    WOOD,
    season_of,
    top_of,
)
from woodmove.extend.params import LENGTH, sized

_SPANS = {
    "across": Param("across_mm", "", LENGTH, "From the first row to the last, across the grain", "24in",
                    low=5, high=5000),
    "along": Param("along_mm", "", LENGTH, "From the first hole to the last, along the grain", "40in",
                   low=5, high=10_000),
}  # fmt: skip

PARAMS = (
    *WOOD,
    TOP_WIDTH,
    TOP_THICKNESS,
    TOP_LENGTH,
    MC_NOW.replace(required=True, help="Moisture content on the day of drilling, by meter"),
    MC_READINGS,
    Param("pitch_mm", "--pitch", LENGTH, "From hole to hole", "4in", "holes.pitch", required=True, low=5,
          high=2000),
    Param("hole_diameter_mm", "--hole", LENGTH, "Diameter as bored; what keeps a dog free if not "
                                                "told", "49/64in",
          "holes.hole", low=1, high=200),
    Param("dog_diameter_mm", "--dog", LENGTH, "Diameter of the "
                                              "dog", "3/4in", "holes.dog", default=19.05, low=1,
          high=200),
    Param("span", "--span", sized("LENGTH x LENGTH", _SPANS),
          "From the first row to the last across the grain, and from the first hole to the last along it; "
          "else what fits", "24in x 40in", "holes.span", example_mm="600mm x 1000mm"),
    *_SPANS.values(),
    *SERVICE,
    BUILT,
)  # fmt: skip


def ask(request: Request, catalogue: Catalogue) -> Answer[advice.Holes]:
    """Drift and clearance of a grid of holes."""
    top, season = top_of(request, catalogue), season_of(request, catalogue)
    pitch, dog, length = (request[name] for name in ("pitch_mm", "dog_diameter_mm", "top_length_mm"))
    across, along = request["across_mm"], request["along_mm"]
    if across is None:
        across = advice.default_span_mm(top.width_mm, pitch, dog)
    if along is None and length is not None:
        along = advice.default_span_mm(length, pitch, dog)
    grid = advice.Grid(pitch, across, along, request["hole_diameter_mm"], dog)
    return advice.holes(top, season, grid, Draws(request.draws, request.seed), length_mm=length)


HOLES = CommandSpec(
    "holes",
    "How far a grid of bench holes drifts through the year against a steel square or a template, and the "
    "clearance that keeps a dog free.",
    (
        "woodmove holes --species douglas-fir-coast --width 32in --thickness 3in --length 46in "
        "--stock 2x8 --pith-depth 1-1/2in --mc-now 8 --place burlington --pitch 4in",
        "woodmove holes --species sugar-maple --width 24in --rings flat --mc-now 8 --mc-low 6 --mc-high "
        "11 --pitch 96mm --dog 20mm --hole 20.2mm --units mm",
    ),
    PARAMS,
    ask,
    table="seasons",
    line="What to bore for bench dogs",
    stage=Stage.FIX,
)

SECTION = Section("holes", "The bench holes", HOLES, Stage.FIX, "Holes")

COMMANDS = (HOLES,)
