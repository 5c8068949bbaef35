"""woodmove strips"""

from woodmove.advice.boards.allowance import CLEAN_UP_MM
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top import milling
from woodmove.advice.top import strips as advice
from woodmove.contract.answer import Answer
from woodmove.contract.commands import CommandSpec
from woodmove.contract.params import Param, Request
from woodmove.contract.plan import Hand, Section
from woodmove.contract.refusal import Refusal
from woodmove.contract.stage import Stage
from woodmove.domain.season import Season
from woodmove.domain.strip import Batch
from woodmove.domain.top import Top
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import (
    BOARD_LENGTH,
    BUILT,
    MC_NOW,
    MC_READINGS,
    PITH_DEPTH,
    SECTION_COUNT,
    SECTION_STRIPS,
    SERVICE,
    SPECIES,
    STRIP_THICKNESS,
    STRIP_WIDTH,
    STRIPS_FROM,
    STRIPS_NEEDED,
    TOP_LENGTH,
    TOP_THICKNESS,
    TOP_WIDTH,
    WOOD,
    has_season,
    season_of,
    strips_top_of,
)
from woodmove.extend.params import LENGTH, WHOLE, noun
from woodmove.questions.shared.boards import PLANER
from woodmove.questions.shared.drawings import strips_drawings

SERVICE_WIDTH = Param(
    "service_width_mm", "--service-width", LENGTH, "Width of the top that is wanted in service", "30in",
    "strips.width", low=1, high=5000,
)  # fmt: skip
JOINT_TRIM = Param(
    "joint_trim_mm", "", LENGTH, "Taken off each edge with which two sections meet", "1/32in",
    default=CLEAN_UP_MM, low=0, high=50,
)  # fmt: skip
EDGE_TRIM = Param(
    "edge_trim_mm", "", LENGTH, "Taken off each outer edge to straighten it", "1/16in", default=0.0, low=0,
    high=200,
)  # fmt: skip
TRIM = Param(
    "trim", "--trim", noun("TRIM", {"edge": EDGE_TRIM, "joint": JOINT_TRIM}),
    "Taken off each outer edge to straighten it, and off each edge with which two sections meet",
    "edge=1/16in joint=1/32in", "strips.trim", example_mm="edge=2mm joint=1mm",
)  # fmt: skip
ON_HAND = Param(
    "strips_on_hand", "--have", WHOLE, "How many strips there are already", "24", "strips.have", low=1,
    high=10_000,
)  # fmt: skip
PARAMS = (
    SERVICE_WIDTH,
    TOP_WIDTH.replace(required=False, help="The same on the day of the glue-up, instead"),
    STRIP_THICKNESS.replace(help="Thickness of a strip as planed for the glue-up; else one is "
                                 "proposed"),
    SPECIES.replace(required=False),
    *WOOD[1:],
    STRIP_WIDTH,
    TOP_LENGTH,
    TOP_THICKNESS.replace(help="Thickness of the finished top"),
    PLANER,
    TRIM,
    JOINT_TRIM,
    EDGE_TRIM,
    ON_HAND,
    BOARD_LENGTH,
    MC_NOW.replace(help="Moisture content of the strips at the glue-up, by meter", low=1),
    MC_READINGS,
    *SERVICE,
    BUILT,
)  # fmt: skip


def ask(request: Request, catalogue: Catalogue) -> Answer[advice.StripsOfTop]:
    """How many strips, in which sections."""
    wanted = _width_mm(request)
    draws = Draws(request.draws, request.seed)
    top, season = None, None
    if request.get(SPECIES) is not None:
        top = strips_top_of(request, catalogue, wanted)
    if has_season(request):
        season = season_of(request, catalogue)
    planer = request.get(PLANER)
    return advice.strips(
        _batch(request, top, season, draws),
        advice.Wish(
            wanted,
            request.get(SERVICE_WIDTH) is not None,
            request.get(TOP_THICKNESS),
            planer,
            0.0 if planer is None else request[JOINT_TRIM],
            request[EDGE_TRIM],
            request.get(ON_HAND),
        ),
        draws,
        top=top,
        season=season,
        step_mm=_step_mm(request),
        board_length_mm=request[BOARD_LENGTH],
    )


def _width_mm(request: Request) -> float:
    """The width that is wanted, in service or on the day of the glue-up."""
    in_service, glued = request.get(SERVICE_WIDTH), request.get(TOP_WIDTH)
    if in_service is not None and glued is not None:
        raise Refusal(
            "WIDTH_TWICE",
            "The width of the top is given twice, in service and on the day of the glue-up.",
            "The one follows from the other.",
            "Leave out --service-width or --width.",
            fields=("service_width_mm", "top_width_mm"),
            exit_code=2,
        )
    wanted = glued if in_service is None else in_service
    if wanted is None:
        raise Refusal(
            "NO_WIDTH",
            "Nothing says how wide the top is to be.",
            "Strips are counted for a width in service, or one on the day of the glue-up.",
            "Type --service-width 30in, for example.",
            fields=("service_width_mm", "top_width_mm"),
            exit_code=2,
        )
    return wanted


def _step_mm(request: Request) -> float:
    """The step in which the reader's planer is set."""
    return milling.SETTING_METRIC_MM if request.prints == "mm" else milling.SETTING_INCH_MM


def _batch(request: Request, top: Top | None, season: Season | None, draws: Draws) -> Batch:
    """The strips as they are said to be; their thickness proposed where nobody said it."""
    thickness, board = request.get(STRIP_THICKNESS), request.get(STRIPS_FROM)
    sawn, length, wanted = request.get(STRIP_WIDTH), request.get(TOP_LENGTH), request.get(TOP_THICKNESS)
    if thickness is not None:
        return Batch(thickness, board, sawn, length)
    if board is None or top is None or length is None or (sawn is None and wanted is None):
        raise Refusal(
            "NO_STRIP_THICKNESS",
            "Nothing says how thick a strip is when it is glued.",
            "Say it, or have it proposed from the board, the species, the width as ripped and the length.",
            "Type --strip-thickness 1-3/8in, or --species hem-fir --stock 2x8 --strip-width 3-1/4in "
            "--length 47in.",
            fields=("strip_thickness_mm",),
            exit_code=2,
        )
    unplaned = Batch(board.thickness_mm, board, sawn, length)
    return advice.proposed(unplaned, wanted, top, season, draws, _step_mm(request))


STRIPS = CommandSpec(
    "strips",
    "How many strips make a top, in which sections, how wide it is in each season, and how thick it ends up.",
    (
        "woodmove strips --service-width 30in --strip-thickness 1-3/8in",
        "woodmove strips --service-width 32in --species douglas-fir-coast --stock 2x8 --pith-depth 1-1/2in "
        "--strip-width 3-1/4in --strip-thickness 1-3/8in --length 47in --thickness 3in --planer 13in "
        "--mc-now 8 --place burlington",
    ),
    PARAMS,
    ask,
    table="counts",
    line="How many strips make the top",
    stage=Stage.STRIPS,
    draw=strips_drawings,
)


def _flat_mm(found: advice.StripsOfTop) -> float | None:
    return None if found.flat_thickness_mm is None else found.flat_thickness_mm.expected


SECTION = Section(
    "strips",
    "The strips of the top",
    STRIPS,
    Stage.STRIPS,
    "Top",
    # Lumber of a known size may as well be boards that lie flat.
    needs=((SERVICE_WIDTH, TOP_WIDTH), (STRIP_THICKNESS, STRIP_WIDTH, PITH_DEPTH)),
    hands=(
        Hand(TOP_WIDTH, lambda found: found.width_needed_mm),
        Hand(STRIP_THICKNESS, lambda found: found.strip_thickness_mm),
        Hand(TOP_THICKNESS, _flat_mm),
        Hand(STRIPS_NEEDED, lambda found: found.strip_count),
        Hand(SECTION_STRIPS, lambda found: found.top_sections[0].strips_each),
        Hand(SECTION_COUNT, lambda found: sum(row.sections for row in found.top_sections)),
    ),
)

COMMANDS = (STRIPS,)
