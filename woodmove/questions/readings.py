"""woodmove readings add, list, undo, forecast"""

from dataclasses import replace
from datetime import date
from typing import Annotated, Any

from woodmove.contract.answer import Answer, know
from woodmove.contract.commands import CommandSpec
from woodmove.contract.notes import Warning, note, warning
from woodmove.contract.params import Param, Request
from woodmove.contract.quantity import FINE_LENGTH, SCALE
from woodmove.contract.quantity import MOISTURE as MOISTURE_CONTENT
from woodmove.contract.quantity import TEMPERATURE as DEGREES
from woodmove.contract.refusal import Refusal
from woodmove.contract.shown import Shown, results
from woodmove.contract.stage import Stage
from woodmove.domain.air import MonthlyAir
from woodmove.domain.meter import Meter
from woodmove.domain.reading import Reading, ReadingsLog
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import STOCK_MC, of_one_species, today_of
from woodmove.extend.params import DATE, LENGTH, MASS, MOISTURE, TEMPERATURE, TEXT, WHOLE
from woodmove.questions.shared.added_reading import PARAMS as ASKED_BACK
from woodmove.questions.shared.added_reading import ask_back
from woodmove.questions.shared.air_files import HINTS, hints_of
from woodmove.questions.shared.lumber import (
    LUMBER,
    Surroundings,
    goal_of,
    stacked_on,
    stock_of,
    surroundings_of,
)

LOG = Param(
    "log", "LOG", TEXT, "The log of readings, a CSV of its own for each job", "readings.csv", required=True
)
METER = Param(
    "meter", "--meter", TEXT, "Kind of meter", "pin", "readings.meter", default="pin", registry="meters"
)
SETTING = Param(
    "setting", "--setting", TEXT, "Species that the meter is set to, if not the wood's own",
    "douglas-fir-coast", "readings.setting", registry="species",
)  # fmt: skip

ADD_PARAMS = (
    LOG,
    Param("board", "--board", TEXT, "Name of the board", "A1", required=True),
    Param("reading_pct", "--mc", MOISTURE, "What the moisture meter shows", "12.5", low=0, high=200),
    Param("weight_g", "--weight", MASS, "What the kitchen scale shows, instead", "1350g", low=0.01, high=1e6),
    Param("wood_temp_c", "--wood-temp", TEMPERATURE, "Temperature of the wood", "60F", low=-40, high=80),
    Param("depth_mm", "--depth", LENGTH, "Depth of insulated pins below the face", "3/8in", low=0, high=500),
    Param("day", "--date", DATE, "Day of the reading; today if not told", "2026-12-10"),
    *ASKED_BACK,
)
_SAID = {
    "from_date": "Day on which the lumber came into this air; that of the first reading if not told",
    STOCK_MC.name: "Moisture content of the lumber on that day; as the first readings show if not told",
}
FORECAST_PARAMS = (
    LOG,
    *(
        param.replace(help=_SAID.get(param.name, param.help))
        for param in LUMBER
        if param.name not in ("mc_core_pct", "mc_shell_pct")
    ),
    METER,
    SETTING,
    Param("air_file", "--air", TEXT, "A logger's CSV of the air where the lumber stands", "shop.csv"),
    *HINTS,
)  # fmt: skip


# Boards of a long log are followed by fewer draws each.
MOST_DRAWS, FEW_BOARDS, DRAWS_OF_MANY = 4096, 24, 512

WRITTEN = note("WRITTEN", "Reading {number} is in {log}.", number=None, log=None)
DAY_TO_COME = warning(
    "DAY_TO_COME",
    "{day} is still to come: until then this reading does not count. If the date is mistyped, type woodmove "
    "readings undo {log}, and add it again.",
    day=None,
    log=None,
)
TAKEN_BACK = note(
    "TAKEN_BACK", "Reading {number}, of board {board}, is taken back. Its row stays in the file.",
    number=None, board=None,
)  # fmt: skip
IN_THE_LOG = note("IN_THE_LOG", "Readings that count: {count}, of boards: {boards}.", count=None, boards=None)


@results
class Written:
    """A reading that is in its log."""

    written: Annotated[str, Shown("written")]
    number: Annotated[int | None, Shown("number")]
    line: Annotated[int, Shown("line")]
    date: Annotated[date, Shown("date")]


@results
class LoggedReading:
    """A row of a log."""

    number: Annotated[int | None, Shown("number", None, "key")]
    date: Annotated[date, Shown("date", None, "key")]
    board: Annotated[str, Shown("board", None, "key")]
    mc_pct: Annotated[float | None, Shown("MC", MOISTURE_CONTENT, "key")]
    weight_g: Annotated[float | None, Shown("weight", SCALE, "key")]
    wood_temp_c: Annotated[float | None, Shown("wood", DEGREES, "key")]
    depth_mm: Annotated[float | None, Shown("pins at", FINE_LENGTH, "key")]
    state: Annotated[str, Shown("state", None, "key")]
    line: Annotated[int, Shown("line", None, "key")]


@results
class Log:
    """The readings of a log."""

    counted: Annotated[int, Shown("counted")]
    taken_back: Annotated[int, Shown("taken back")]
    unreadable: Annotated[int, Shown("unreadable")]
    readings: Annotated[tuple[LoggedReading, ...], Shown("readings", None, "key")]


@results
class TakenBack:
    """A reading that was taken back."""

    taken_back: Annotated[int | None, Shown("taken back")]
    date: Annotated[date, Shown("date")]
    board: Annotated[str, Shown("board")]
    mc_pct: Annotated[float | None, Shown("MC", MOISTURE_CONTENT)]
    weight_g: Annotated[float | None, Shown("weight", SCALE)]


def add(request: Request, catalogue: Catalogue) -> Answer[Written]:
    """Append a reading; answered when it has been read back from the disk."""
    mc, weight = request["reading_pct"], request["weight_g"]
    if (mc is None) == (weight is None):
        raise Refusal(
            "MC_OR_WEIGHT",
            "Both a meter reading and a weight are given." if mc is not None else "No reading is given.",
            "A row holds a meter reading or a weight.",
            "Type --mc 12.5, or --weight 1350g; a board that was metered and weighed takes two rows.",
            fields=("reading_pct", "weight_g"),
            exit_code=2,
        )
    from woodmove.files.readings import add_reading

    day = request["day"] or request.clock
    notes = () if day <= request.clock else (DAY_TO_COME(day=day, log=request["log"]),)
    ask_back(request, day)
    done = add_reading(
        request["log"],
        Reading(None, day, request["board"], mc, weight, request["wood_temp_c"], request["depth_mm"]),
    )
    return Answer(
        know(WRITTEN(number=done.reading.number, log=request["log"])),
        Written(written=request["log"], number=done.reading.number, line=done.reading.line, date=day),
        (*notes, *done.notes),
    )


def listed(request: Request, catalogue: Catalogue) -> Answer[Log]:
    """The readings of a log, those taken back too, and the rows that cannot be read."""
    from woodmove.advice.drying.forecast import log_warnings

    log = read_log(request["log"])
    rows = sorted(
        [(reading, "") for reading in log.readings] + [(reading, "taken back") for reading in log.undone],
        key=lambda row: row[0].line,
    )
    return Answer(
        know(IN_THE_LOG(count=len(log.readings), boards=len({one.board for one in log.readings}))),
        Log(
            counted=len(log.readings),
            taken_back=len(log.undone),
            unreadable=len(log.faults),
            readings=tuple(
                LoggedReading(
                    number=reading.number,
                    date=reading.day,
                    board=reading.board,
                    mc_pct=reading.mc_pct,
                    weight_g=reading.weight_g,
                    wood_temp_c=reading.wood_temp_c,
                    depth_mm=reading.depth_mm,
                    state=state,
                    line=reading.line,
                )
                for reading, state in rows
            ),
        ),
        log_warnings(log),
    )


def undo(request: Request, catalogue: Catalogue) -> Answer[TakenBack]:
    """Mark a reading as taken back; it stays in the file."""
    from woodmove.files.readings import undo_reading

    done = undo_reading(request["log"], request["number"], request.clock)
    gone = done.reading
    return Answer(
        know(TAKEN_BACK(number=gone.number, board=gone.board)),
        TakenBack(
            taken_back=gone.number,
            date=gone.day,
            board=gone.board,
            mc_pct=gone.mc_pct,
            weight_g=gone.weight_g,
        ),
        done.notes,
    )


@of_one_species
def forecast(request: Request, catalogue: Catalogue) -> Answer[Any]:
    """The day on which each board will be ready."""
    from woodmove.advice.doubt.draws import Draws
    from woodmove.advice.drying import forecast as advice

    log = read_log(request["log"]).as_of(today_of(request))
    instrument = instrument_of(request, catalogue)
    told = request["stock_mc_pct"] is not None
    first = advice.first_reading(log).day
    start = stacked_on(request) or first
    request = _with_start(request, log, instrument, start)
    stock = stock_of(request, catalogue)
    around = _surroundings(request, catalogue, start)
    return advice.forecast(
        log,
        stock,
        around.air,
        goal_of(request, around, stock.mean_pct),
        instrument,
        start,
        Draws(
            min(request.draws, MOST_DRAWS if len(log.boards) <= FEW_BOARDS else DRAWS_OF_MANY), request.seed
        ),
        today=today_of(request),
        build=request["build_date"],
        start_told=told,
    )


def read_log(path: str) -> ReadingsLog:
    """The log of a path."""
    from woodmove.files.readings import read_readings

    return read_readings(path)


def instrument_of(request: Request, catalogue: Catalogue) -> Any:
    """The meter of a request that takes METER and SETTING."""
    from woodmove.advice.drying.forecast import Instrument

    meter: Meter = catalogue.meters.get(request["meter"])
    setting = catalogue.species.get(request["setting"]).key if request["setting"] else ""
    return Instrument(meter, setting)


def _with_start(request: Request, log: ReadingsLog, instrument: Any, start: date) -> Request:
    """The request with the start: the day, and the MC as told, or as the first readings show."""
    from woodmove.advice.drying.forecast import first_mc_pct

    values = {**request.values, "mc_core_pct": None, "mc_shell_pct": None, "from_date": start}
    if values["stock_mc_pct"] is None:
        values["stock_mc_pct"] = first_mc_pct(log, instrument)
    return replace(request, values=values)


def _surroundings(request: Request, catalogue: Catalogue, start: date) -> Surroundings:
    """The air of the logger where there is one, followed by that of the options; else that of the options."""
    if request["air_file"] is None:
        return surroundings_of(request, catalogue)
    from woodmove.advice.drying.forecast import logged_air
    from woodmove.files.air.logger import read_logger

    logged = read_logger(request["air_file"], hints_of(request))
    after = None
    if request["place"] is not None or request["stock_temp_c"] is not None:
        after = surroundings_of(request, catalogue)
    whole = MonthlyAir(logged.air.temp_c, logged.air.rh_pct)
    whole.refuse_misread(logged.name, f"woodmove climate log {request['air_file']}", "air_file")
    notes = tuple(note for note in logged.notes if isinstance(note, Warning))
    air = logged_air(logged.air, start, None if after is None else after.air)
    before = () if after is None else after.air.notes
    air = replace(air, notes=(*notes, *logged.left_out, *before))
    return Surroundings(air) if after is None else replace(after, air=air)


ADD = CommandSpec(
    "readings add",
    "Append a reading to the log of a job: by moisture meter, or by a kitchen scale.",
    (
        "woodmove readings add readings.csv --board A1 --mc 12.5 --wood-temp 60F --depth 3/8in",
        "woodmove readings add readings.csv --board A1 --weight 1350g --date 2026-12-10",
    ),
    ADD_PARAMS,
    add,
    line="Write a reading into the log",
    stage=Stage.SETTLE,
)
LIST = CommandSpec(
    "readings list",
    "The readings of a log, and every row of it that cannot be read.",
    ("woodmove readings list readings.csv",),
    (LOG,),
    listed,
    table="readings",
    line="The readings of a log",
    stage=Stage.SETTLE,
)
UNDO = CommandSpec(
    "readings undo",
    "Take back the last reading of a log, or another: a mark, nothing is erased.",
    ("woodmove readings undo readings.csv",),
    (LOG, Param("number", "--number", WHOLE, "Number of the reading, as listed", "3", low=1, high=10**9)),
    undo,
    line="Take a reading back",
    stage=Stage.SETTLE,
)
FORECAST = CommandSpec(
    "readings forecast",
    "The day on which each board of a log will be ready, from how it has followed the air so far.",
    (
        "woodmove readings forecast readings.csv --species northern-red-oak --thickness 1-1/2in --width 6in "
        "--from 2026-12-01 --mc-now 13 --temp 68F --rh 38 --today 2026-12-18",
    ),
    FORECAST_PARAMS,
    forecast,
    table="boards",
    line="When the boards of a log are ready",
    stage=Stage.SETTLE,
)

COMMANDS = (ADD, LIST, UNDO, FORECAST)
