"""woodmove emc: the model of a question. What it finds stands in :mod:`woodmove.advice.air.emc`."""

from typing import Any

from woodmove.advice.air import emc as advice
from woodmove.advice.doubt.draws import Draws
from woodmove.contract.answer import Answer
from woodmove.contract.commands import CommandSpec
from woodmove.contract.params import Param, Request
from woodmove.contract.plan import Section
from woodmove.contract.refusal import Refusal
from woodmove.contract.stage import Stage
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.params import FLAG, MOISTURE, TEMPERATURE, TEXT
from woodmove.extend.shop_air import SHOP_RH, SHOP_TEMP

FILE = Param("file", "FILE", TEXT, "CSV with temperature and RH columns, or - for standard input", "air.csv")
DEW_POINT = Param(
    "dew_point_c", "--dew-point", TEMPERATURE, "Dew point, instead of RH", "50F", low=-60, high=100
)
WET_BULB = Param("wet_bulb_c", "--wet-bulb", TEMPERATURE, "Wet bulb, instead of RH", "60F", low=-40, high=100)
HOLD_MC = Param("mc_pct", "--mc", MOISTURE, "Moisture content to hold, instead of RH", "9", low=0, high=200)
GRID = Param("grid", "--grid", FLAG, "A table of EMC over temperature and RH", "")


def ask(request: Request, catalogue: Catalogue) -> Answer[Any]:
    """EMC, or the humidity that holds a moisture content, or a table of either."""
    _one_question(request)
    if (path := request.get(FILE)) is not None:
        from woodmove.files.air.air_table import read_air_table

        return advice.of_table(read_air_table(path))
    if request.get(GRID):
        return advice.grid()
    temp_c, mc_pct = request[SHOP_TEMP], request.get(HOLD_MC)
    if mc_pct is not None:
        return advice.holding_humidity(temp_c, mc_pct)
    rh_pct = advice.rh_of_air_pct(temp_c, request.get(SHOP_RH), request.get(DEW_POINT), request.get(WET_BULB))
    return advice.of_air(temp_c, rh_pct, Draws(request.draws, request.seed))


def _one_question(request: Request) -> None:
    """:raises Refusal: more than one thing is asked"""
    air = [
        param
        for param in (SHOP_TEMP, SHOP_RH, DEW_POINT, WET_BULB, HOLD_MC)
        if request.get(param) is not None
    ]
    whole = [param for param in (FILE, GRID) if request.get(param)]
    humidities = [param for param in air if param in (SHOP_RH, DEW_POINT, WET_BULB)]
    if len(whole) + bool(air) > 1 or (HOLD_MC in air and humidities):
        raise Refusal(
            "TWO_QUESTIONS",
            "More than one thing is asked at once.",
            "One run answers for one air, for one moisture content, for a file, or prints the grid.",
            "Type woodmove emc --temp 70F --rh 50, or woodmove emc --temp 70F --mc 8, for example.",
            fields=[param.name for param in (*whole, *air)],
            exit_code=2,
        )


EMC = CommandSpec(
    "emc",
    "How wet wood becomes in air of a temperature and humidity, and which humidity holds it where it is.",
    (
        "woodmove emc --temp 70F --rh 50",
        "woodmove emc --temp 20C --dew-point 8C",
        "woodmove emc --temp 70F --mc 8",
        "woodmove emc --grid",
    ),
    (FILE, SHOP_TEMP, SHOP_RH, DEW_POINT, WET_BULB, HOLD_MC, GRID),
    ask,
    table="rows",
    line="How wet wood becomes in this air",
    stage=Stage.AIR,
)

SECTION = Section(
    "shop", "The air of the shop today", EMC, Stage.AIR, "Shop", needs=((SHOP_TEMP, SHOP_RH),),
    decides=False,
)  # fmt: skip

COMMANDS = (EMC,)
