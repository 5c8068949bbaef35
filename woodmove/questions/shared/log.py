"""A log of readings as it is asked for: what a request says of it, and what the lumber in it will do."""

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

from woodmove.contract.answer import Answer
from woodmove.contract.notes import Warning
from woodmove.contract.params import Param, Request
from woodmove.domain.air import MonthlyAir
from woodmove.domain.reading import ReadingsLog
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import STOCK_MC, today_of
from woodmove.extend.meters import METER, MeterTold
from woodmove.extend.params import TEXT
from woodmove.questions.shared.air_files import HINTS, hints_of
from woodmove.questions.shared.lumber import Surroundings, goal_of, stacked_on, stock_of, surroundings_of

if TYPE_CHECKING:
    from woodmove.advice.drying.forecast import Instrument

READINGS_LOG = Param(
    "readings_log", "--log", TEXT,
    "Log of readings: when each of its boards is ready; --from and --mc-now are then those of the stacking",
    "readings.csv", "readings.log",
)  # fmt: skip
# What a job with a log says of the lumber on the day of stacking, since the log says what it is now.
STACKED_MC = STOCK_MC.replace(name="stacked_mc_pct", option="", job="")
FOLLOWED = (
    READINGS_LOG,
    STACKED_MC,
    METER,
    Param("air_file", "--air", TEXT, "A logger's CSV of the air where the lumber of the log stands",
          "shop.csv"),
    *HINTS,
)  # fmt: skip

# Boards of a long log are followed by fewer draws each.
MOST_DRAWS, FEW_BOARDS, DRAWS_OF_MANY = 4096, 24, 512


def follow(request: Request, catalogue: Catalogue) -> Answer[Any]:
    """The day on which each board will be ready, from how it has followed the air so far."""
    from woodmove.advice.doubt.draws import Draws
    from woodmove.advice.drying import forecast as advice

    log = read_log(request[READINGS_LOG]).as_of(today_of(request))
    instrument = instrument_of(request[METER], catalogue)
    if STOCK_MC.name not in request.given or STACKED_MC.name in request.given:
        # Of a job: its log has told what the lumber is today.
        request = replace(request, values={**request.values, STOCK_MC.name: request.get(STACKED_MC)})
    told = request.get(STOCK_MC) is not None
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


def instrument_of(meter: MeterTold, catalogue: Catalogue) -> "Instrument":
    """The meter, with its setting."""
    from woodmove.advice.drying.forecast import Instrument

    return Instrument(catalogue.meters.get(meter.kind), meter.setting(catalogue))


def _with_start(request: Request, log: ReadingsLog, instrument: "Instrument", start: date) -> Request:
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
