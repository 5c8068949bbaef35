"""woodmove flatten"""

from dataclasses import replace
from datetime import date, timedelta

from woodmove.advice.doubt.draws import Draws
from woodmove.advice.drying.air import Air
from woodmove.advice.top import flatten as advice
from woodmove.advice.top.movement import FLAT_MM
from woodmove.contract.answer import Answer
from woodmove.contract.commands import CommandSpec
from woodmove.contract.params import Param, Request
from woodmove.contract.plan import Section, on_their_days
from woodmove.contract.stage import Stage
from woodmove.domain.season import Season
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import (
    BUILD_DATE,
    GLUE_DATE,
    GLUED_MC,
    JOINT_SET,
    JOINT_WAIT,
    MC_NOW,
    MC_READINGS,
    READY_DATE,
    SERVICE,
    SHOP_RH,
    SHOP_TEMP,
    STRIP_THICKNESS,
    STRIP_TWIST,
    TODAY,
    TOP_THICKNESS,
    TOP_WIDTH,
    WOOD,
    as_glued,
    season_of,
    today_of,
    top_of,
)
from woodmove.extend.params import DATE, LENGTH, PERCENT
from woodmove.questions.shared.lumber import steady_air

# Temperature of a shop whose air nobody told.
SHOP_TEMP_C = 20.0

FLATTEN_FROM = Param(
    "flatten_from", "--from", DATE, "Day of the rough flattening", "2027-01-06", "flatten.from"
)
PARAMS = (
    *WOOD,
    TOP_WIDTH,
    TOP_THICKNESS.replace(required=True),
    MC_NOW.replace(required=True, help="Moisture content of the top when it is flattened, by meter"),
    MC_READINGS,
    Param("uneven_points", "--core-less-shell", PERCENT,
          "Moisture content of the core less that of the shell at the rough flattening, in points; 1 if not "
          "told", "1",
          "flatten.core_less_shell", low=-20, high=20),
    Param("plane_mm", "--plane", LENGTH,
          "What the final flattening takes, if all of it is off one face; 1/16 in if not told", "1/16in",
          "flatten.plane", low=0.1, high=50),
    Param("flat_cup_mm", "--flat-within", LENGTH, "How hollow or round the top may be over its "
                                                  "width", "1/64in",
          "flatten.flat_within", default=FLAT_MM, low=0.02, high=50),
    GLUED_MC,
    STRIP_THICKNESS,
    STRIP_TWIST,
    JOINT_WAIT,
    JOINT_SET,
    SHOP_TEMP.replace(help="Temperature where it rests", low=-20, high=45),
    SHOP_RH.replace(help="Relative humidity where it rests", low=1, high=99),
    *SERVICE,
    FLATTEN_FROM,
    GLUE_DATE.replace(help="Day on which the last joint is, or can be, glued; today if not told"),
    READY_DATE,
    BUILD_DATE.replace(help="Day by which it must be flat"),
    TODAY,
)  # fmt: skip


def ask(request: Request, catalogue: Catalogue) -> Answer[advice.Flat]:
    """Seams, cup and rest of a top."""
    request = as_glued(request)
    top, season = top_of(request, catalogue), season_of(request, catalogue)
    return advice.flatten(
        top,
        season,
        advice.Flattening(
            request["uneven_points"],
            request["plane_mm"],
            request["flat_cup_mm"],
            request["joint_wait_days"],
            request["joint_set_days"],
        ),
        _air(request, season),
        Draws(request.draws, request.seed),
        start=request["flatten_from"],
        ready=max((day for day in (request.get(GLUE_DATE), request.get(READY_DATE)) if day), default=None),
        build=request["build_date"],
        today=today_of(request),
        strip_twist_mm=request[STRIP_TWIST.name],
        strip_thickness_mm=request[STRIP_THICKNESS.name],
    )


def _air(request: Request, season: Season) -> Air:
    """Air that stays the same, so that what the rest evens out is the wood and not the seasons: that of the
    shop as told, else of the room on the day, else of the year's mean."""
    if (steady := steady_air(request, "temp_c", "rh_pct")) is not None:
        return steady
    start = request["flatten_from"] or request["build_date"]
    if season.room_air is not None and start is not None:
        air = Air.of_room(season.room_air, start)
        words = f"the room's air of {start.isoformat()}, as if it stayed"
        return replace(Air.steady(float(air.temp_c[0]), float(air.rh_pct[0])), words=words)
    return replace(Air.holding(SHOP_TEMP_C, season.mean_pct), words="air of the year's mean")


FLATTEN = CommandSpec(
    "flatten",
    "How flat a glued-up top stays: steps at its seams, its cup, and how long to rest between a rough and a "
    "final flattening.",
    (
        "woodmove flatten --species douglas-fir-coast --width 32in --thickness 3in --stock 2x8 "
        "--pith-depth 1-1/2in --mc-now 8 --temp 66F --rh 40 --place burlington",
        "woodmove flatten --species northern-red-oak --width 36in --thickness 7/8in --rings flat "
        "--mc-now 8.5 --core-less-shell 1.5 --temp 70F --rh 35 --mc-low 6 --mc-high 10",
    ),
    PARAMS,
    ask,
    table="by_day",
    line="When to flatten, and how flat it stays",
    stage=Stage.FLATTEN,
)


def _ends(found: advice.Flat, begun: date) -> date | None:
    """The day of the final flattening."""
    rest = found.rest_between_days
    return begun + timedelta(days=0 if rest is None else round(rest.expected))


SECTION = Section(
    "flatten",
    "How flat the top stays",
    FLATTEN,
    Stage.FLATTEN,
    "Flat",
    day=FLATTEN_FROM,
    checks=lambda found: on_their_days(found.checks),
    ends=_ends,
)

COMMANDS = (FLATTEN,)
