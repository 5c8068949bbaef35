"""woodmove emc"""

from woodmove.advice.air import emc as advice
from woodmove.advice.doubt.draws import Draws
from woodmove.contract.answer import Answer
from woodmove.contract.commands import CommandSpec
from woodmove.contract.params import Param, Request
from woodmove.contract.refusal import Refusal
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.params import FLAG, PERCENT, TEMPERATURE, TEXT
from woodmove.extend.shop_air import SHOP_RH, SHOP_TEMP

PARAMS = (
    Param("file", "FILE", TEXT, "CSV with temperature and RH columns, or - for standard input", "air.csv"),
    SHOP_TEMP,
    SHOP_RH,
    Param("dew_point_c", "--dew-point", TEMPERATURE, "Dew point, instead of RH", "50F", low=-60, high=100),
    Param("wet_bulb_c", "--wet-bulb", TEMPERATURE, "Wet bulb, instead of RH", "60F", low=-40, high=100),
    Param("mc_pct", "--mc", PERCENT, "Moisture content to hold, instead of RH", "9", low=0, high=200),
    Param("grid", "--grid", FLAG, "A table of EMC over temperature and RH", ""),
)  # fmt: skip


def run(request: Request, catalogue: Catalogue) -> Answer:
    """EMC, or the humidity that holds a moisture content, or a table of either."""
    inputs = request.inputs()
    wants = [name for name in ("file", "grid") if request.get(name)]
    loose = [
        name
        for name in ("temp_c", "rh_pct", "dew_point_c", "wet_bulb_c", "mc_pct")
        if request.get(name) is not None
    ]
    if len(wants) + bool(loose) > 1:
        raise Refusal(
            "TWO_QUESTIONS",
            "More than one thing is asked at once.",
            "One run answers for one air, for a file, or prints the grid.",
            "Type woodmove emc --temp 70F --rh 50, or woodmove emc --grid, or woodmove emc air.csv.",
            fields=(*wants, *loose),
            exit_code=2,
        )
    if request["file"] is not None:
        from woodmove.files.air.air_table import read_air_table

        return advice.of_table(read_air_table(request["file"]), inputs)
    if request["grid"]:
        return advice.grid(inputs)
    if request["temp_c"] is None:
        raise Refusal(
            "NO_TEMPERATURE",
            "Nothing says how warm the air is.",
            "EMC depends on temperature and humidity.",
            "Type woodmove emc --temp 70F --rh 50, for example.",
            fields=("temp_c", "rh_pct"),
            exit_code=2,
        )
    temp_c, mc_pct = request["temp_c"], request["mc_pct"]
    humidity = [request[name] for name in ("rh_pct", "dew_point_c", "wet_bulb_c")]
    if mc_pct is not None:
        if any(value is not None for value in humidity):
            raise Refusal(
                "TWO_QUESTIONS",
                "Both a humidity and a moisture content are given.",
                "A humidity gives the EMC; a moisture content gives the humidity that holds it.",
                "Leave one of them out.",
                fields=("mc_pct",),
                exit_code=2,
            )
        return advice.holding_humidity(temp_c, mc_pct, inputs)
    rh_pct = advice.rh_of_air_pct(temp_c, *humidity)
    return advice.emc(temp_c, rh_pct, Draws(request.draws, request.seed), inputs)


EMC = CommandSpec(
    "emc",
    "How wet wood becomes in air of a temperature and humidity, and which humidity holds it where it is.",
    (
        "woodmove emc --temp 70F --rh 50",
        "woodmove emc --temp 20C --dew-point 8C",
        "woodmove emc --temp 70F --mc 8",
        "woodmove emc --grid",
    ),
    PARAMS,
    run,
    table="rows",
)

COMMANDS = (EMC,)
