"""woodmove list places, show, add, log, fit"""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from woodmove.advice.air import climate as advice
from woodmove.advice.air import fits as room_fit
from woodmove.advice.air import places as own_place
from woodmove.advice.air.fits import KELVIN, FileRead, Lent, RoomOfLog, of_log
from woodmove.advice.air.places import (
    LoggedMonth,
    Made,
    PlaceMonth,
    averaging_note,
    held,
    month_rows,
    month_rows_of,
)
from woodmove.contract.answer import Answer, Table, Verdict, know
from woodmove.contract.commands import CommandSpec
from woodmove.contract.notes import Warning, note
from woodmove.contract.params import Param, ParamType, Request
from woodmove.contract.plan import Section
from woodmove.contract.quantity import MOISTURE, POINTS, RATE, VAPOUR
from woodmove.contract.quantity import TEMPERATURE as DEGREES
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal
from woodmove.contract.shown import Shown, results
from woodmove.contract.stage import Stage
from woodmove.domain.climate import Climate
from woodmove.extend.catalogue import OWN_PLACES, Catalogue
from woodmove.extend.groups import BUILT, PLACE, ROOM, place_of, stays_of, stays_until_built
from woodmove.extend.params import FLAG, HUMIDITY, TEMPERATURE, TEXT
from woodmove.extend.rooms import ONE_ROOM, room_from, told_for_nothing
from woodmove.extend.slug import slug
from woodmove.questions.shared.air_files import HINTS, hints_of, in_three_lines
from woodmove.questions.shared.drawings import air_drawings

if TYPE_CHECKING:
    from woodmove.domain.air import AirSeries


COLDEST_C, WARMEST_C = -60.0, 60.0


def _months(text: str) -> tuple[tuple[float, float], ...]:
    """``64F 30, 66F 33, ...``

    :returns: temperature [°C] and RH [%] of each month
    :raises ValueError: not twelve, or one that no month has
    """
    months = tuple(_month(part) for part in text.split(","))
    if len(months) != 12:
        count = "is 1 month" if len(months) == 1 else f"are {len(months)} months"
        raise ValueError(f"there {count}, and a year has twelve")
    return months


def _month(text: str) -> tuple[float, float]:
    temp, _, rh = text.strip().rpartition(" ")
    if not temp:
        raise ValueError(f"{text!r} is no month: write its temperature and its RH, such as 64F 30")
    temp_c, rh_pct = TEMPERATURE.parse(temp), HUMIDITY.parse(rh)
    if not (COLDEST_C <= temp_c <= WARMEST_C and 1 <= rh_pct <= 100):
        raise ValueError(f"no month has {text.strip()}")
    return temp_c, rh_pct


def _files(text: str) -> tuple[str, ...]:
    files = tuple(part.strip() for part in text.split(","))
    if not all(Path(file).suffix for file in files):
        raise ValueError(f"{text!r} does not name files")
    return files


FILES = ParamType("FILE,...", _files)
MONTHS = ParamType("TEMP RH,...", _months)

TWELVE = "64F 30, 64F 30, 66F 33, 68F 38, 70F 45, 72F 52, 74F 55, 74F 55, 70F 50, 68F 42, 66F 36, 64F 31"
TWELVE_MM = "18C 30, 18C 30, 19C 33, 20C 38, 21C 45, 22C 52, 23C 55, 23C 55, 21C 50, 20C 42, 19C 36, 18C 31"
ADD_PARAMS = (
    Param("name", "NAME", TEXT, "What you call the place", "my-shop", required=True),
    Param("files", "FILES", FILES, "Weather file, logger's CSVs, or both, with commas between", "garage.csv"),
    Param("months", "--months", MONTHS, "Instead of files, the means of twelve months, January first",
          TWELVE, example_mm=TWELVE_MM),
    Param("outdoors", "--outdoors", FLAG,
          "It is outdoor air; else it is the air of a room, which is used as it is", ""),
    PLACE.replace(job="", help="Place outdoors from which the months that were not logged are made"),
    # The room of these months; where nothing is said, the one that fits the log.
    *ONE_ROOM,
    Param("replace", "--force", FLAG, "Write over a place of yours of the same name", ""),
    *HINTS,
)  # fmt: skip
LOG_FILE = Param("log_file", "FILE", TEXT, "A logger's CSV", "shop.csv", required=True)


def run_list(request: Request, catalogue: Catalogue) -> Answer[advice.Places]:
    """Every place."""
    places = catalogue.climates
    return advice.listing((climate, places.provider(key)) for key, climate in places)


def run_show(request: Request, catalogue: Catalogue) -> Answer[advice.AirOfPlace]:
    """The air of a place by month."""
    stays = stays_of(request, catalogue)[len(stays_until_built(request, catalogue)) - 1 :]
    climate = stays[0].place
    answer = advice.show(climate, stays[0].room, stays[1:])
    idle = told_for_nothing(request.values, place_of(request, catalogue))
    answer = replace(answer, notes=(*idle, *answer.notes))
    if climate.hours is None:
        return answer
    return replace(answer, notes=(*answer.notes, averaging_note(climate.hours)))


UNDERSTOOD = note("UNDERSTOOD", "Rows that count: {used} of {rows}. Check how they were read.", used=None,
                  rows=None)  # fmt: skip
PLACE_KEPT = note("PLACE_KEPT", "Type --place {key} from now on.", key=None)


@results
class LogHeld:
    """What a logger's file holds."""

    understood: Annotated[str, Shown("understood", None, "key")]
    dropped: Annotated[str, Shown("dropped", None, "key")]
    why: Annotated[str, Shown("why")]
    rows_in: Annotated[int, Shown("rows in")]
    rows_used: Annotated[int, Shown("rows used")]
    rows_dropped: Annotated[int, Shown("rows dropped")]
    months: Annotated[tuple[LoggedMonth, ...], Shown("months", None, "key")]
    # A table, as no field can be called "from".
    gaps: Annotated[Table, Shown("gaps")]


def run_log(request: Request, catalogue: Catalogue) -> Answer[LogHeld]:
    """What a logger's file holds."""
    from woodmove.files.air.logger import read_logger

    logged = read_logger(request["log_file"], hints_of(request))
    read = in_three_lines(logged)
    gaps = tuple((str(start)[:16], str(end)[:16]) for start, end in logged.gaps)
    return Answer(
        know(UNDERSTOOD(used=logged.rows_used, rows=logged.rows_in)),
        LogHeld(
            understood=read.understood,
            dropped=read.dropped,
            why=read.why,
            rows_in=logged.rows_in,
            rows_used=logged.rows_used,
            rows_dropped=logged.rows_dropped,
            months=month_rows(logged.air),
            gaps=Table({"from": Shown("from"), "to": Shown("to")}, gaps),
        ),
        (*(note for note in logged.notes if isinstance(note, Warning)), averaging_note(logged.air)),
        ("own-log", "simpson-1973"),
    )


def run_fit(request: Request, catalogue: Catalogue) -> Answer[RoomOfLog]:
    """The room that makes the logged air of the air outdoors."""
    from woodmove.files.air.logger import read_logger

    logged = read_logger(request["log_file"], hints_of(request))
    outdoor = _outdoor(request["place"], request, catalogue)
    answer = of_log(in_three_lines(logged), logged.air, outdoor)
    notes = tuple(note for note in logged.notes if isinstance(note, Warning))
    return replace(answer, notes=(*notes, *answer.notes))


def _outdoor(name: str, request: Request, catalogue: Catalogue) -> Any:
    """A place, a weather file, or a logger that hung outdoors at the same time, however short."""
    from woodmove.files.air.weather import looks_like_weather

    if name.lower().endswith((".csv", ".txt", ".tsv")) and not looks_like_weather(name):
        from woodmove.files.air.logger import read_logger
        from woodmove.files.air.places import climate_of_log, key_of

        series = read_logger(name, hints_of(request)).air
        return climate_of_log(key_of(name), held(series), series, f"logged in {name}", indoors=False)
    return _place_outdoors(name, catalogue)


def _place_outdoors(name: str, catalogue: Catalogue) -> Climate:
    """A place that is no room."""
    place = catalogue.climates.get(name)
    if place.indoors:
        raise Refusal(
            "NOT_OUTDOORS",
            f"{name} is the air of a room.",
            "Air indoors is made of air outdoors.",
            "Type a place such as burlington; of a log that was kept outdoors make one with woodmove climate "
            "add NAME FILE --outdoors.",
            fields=("place",),
        )
    return place


@results
class PlaceAdded:
    """A place of the user's own, and what it was made of; None for what it was not made of: a weather file,
    one logger's file, a room that fits loggers beside a weather file."""

    key: Annotated[str, Shown("key")]
    written: Annotated[str, Shown("written", None, "key")]
    period: Annotated[str, Shown("period", None, "key")]
    form: Annotated[str | None, Shown("form")]
    understood: Annotated[str | None, Shown("understood")]
    dropped: Annotated[str | None, Shown("dropped")]
    why: Annotated[str | None, Shown("why")]
    files: Annotated[tuple[FileRead, ...], Shown("files")]
    room: Annotated[str | None, Shown("room")]
    days_compared: Annotated[int | None, Shown("days compared")]
    heat_to_c: Annotated[float | None, Shown("heated to", DEGREES)]
    gain_kpa: Annotated[float | None, Shown("moisture gain", VAPOUR)]
    nearest_class: Annotated[int | None, Shown("nearest class")]
    air_change_per_h: Annotated[Range | None, Shown("air change", RATE)]
    temp_error_k: Annotated[float | None, Shown("temperature error", KELVIN)]
    rh_error_points: Annotated[float | None, Shown("RH error", POINTS)]
    emc_error_points: Annotated[float | None, Shown("EMC error", POINTS)]
    emc_bias_points: Annotated[float | None, Shown("EMC bias", POINTS)]
    year_emc_low_pct: Annotated[float | None, Shown("EMC in its driest month", MOISTURE)]
    year_emc_high_pct: Annotated[float | None, Shown("EMC in its dampest month", MOISTURE)]
    months: Annotated[tuple[PlaceMonth, ...], Shown("months", None, "key")]


def run_add(request: Request, catalogue: Catalogue) -> Answer[PlaceAdded]:
    """Keep a place of the user's own."""
    from woodmove.files.air.places import write_place

    key = _free_key(request["name"], catalogue)
    made = _made(key, request, catalogue)
    path = write_place(made.climate, replace=request["replace"])
    only = made.reads[0] if len(made.reads) == 1 else None
    room = made.fitted.results(made.reads[0]) if made.fitted else None
    return Answer(
        Verdict("go", (PLACE_KEPT(key=key),)),
        PlaceAdded(
            key=key,
            written=str(path),
            period=made.climate.period,
            form=made.form,
            understood=only and only.understood,
            dropped=only and only.dropped,
            why=only and only.why,
            files=made.reads if only is None else (),
            room=room and room.room,
            days_compared=room and room.days_compared,
            heat_to_c=room and room.heat_to_c,
            gain_kpa=room and room.gain_kpa,
            nearest_class=room and room.nearest_class,
            air_change_per_h=room and room.air_change_per_h,
            temp_error_k=room and room.temp_error_k,
            rh_error_points=room and room.rh_error_points,
            emc_error_points=room and room.emc_error_points,
            emc_bias_points=room and room.emc_bias_points,
            year_emc_low_pct=room and room.year_emc_low_pct,
            year_emc_high_pct=room and room.year_emc_high_pct,
            months=month_rows_of(made.climate.air(), made.logged),
        ),
        (
            *made.warnings,
            *advice.freezing_room(made.climate),
            *made.climate.assumptions,
            *made.assumptions,
        ),
        tuple(dict.fromkeys((made.climate.known.source, "simpson-1973", *made.sources))),
    )


def _free_key(name: str, catalogue: Catalogue) -> str:
    key = slug(name).replace(".", "-")
    if not key or not any(letter.isalnum() for letter in key):
        raise Refusal(
            "BAD_NAME",
            f"{name!r} is no name for a place.",
            "A name has letters or digits.",
            "Type a name such as my-shop.",
            fields=("name",),
            exit_code=2,
        )
    places = catalogue.climates
    taken = {known for known, _ in places if places.provider(known) != OWN_PLACES}
    if key in taken:
        raise Refusal(
            "PLACE_TAKEN",
            f"{key} is a place that plugin {places.provider(key)} provides.",
            "A place of your own has a name of its own.",
            f"Type my-{key}, for example.",
            fields=("name",),
        )
    return key


def _made(key: str, request: Request, catalogue: Catalogue) -> "Made":
    """The place, from twelve numbers or from files."""

    months, files = request["months"], request["files"]
    if (months is None) == (files is None):
        raise Refusal(
            "WHICH_AIR",
            "Nothing says what the air of the place is."
            if files is None
            else "The air of the place is told twice.",
            "A place is made of files, or of the temperature and RH of twelve months.",
            f"Type woodmove climate add {key} garage.csv --place burlington, or --months with twelve months.",
            fields=("files", "months"),
            exit_code=2,
        )
    if files is None:
        _no_room(request, needless=True)
        return own_place.of_numbers(key, request["name"], months, indoors=not request["outdoors"])
    from woodmove.files.air.logger import read_logger
    from woodmove.files.air.weather import looks_like_weather, read_weather

    weather = [read_weather(path) for path in files if looks_like_weather(path)]
    loggers = [read_logger(path, hints_of(request)) for path in files if not looks_like_weather(path)]
    if len(weather) > 1:
        raise Refusal(
            "TWO_WEATHER_FILES",
            "More than one weather file is given.",
            "A place is made of one weather file, or of any number of a logger's files.",
            "Take one of them.",
            fields=("files",),
        )
    if weather and loggers and request["outdoors"]:
        raise Refusal(
            "OUTDOORS_TWICE",
            "Both a weather file and a logger that hung outdoors are given.",
            "Beside a weather file, loggers are rooms that are compared with it.",
            "Leave out the weather file, the loggers or --outdoors.",
            fields=("files", "outdoors"),
            exit_code=2,
        )
    outdoors = bool(weather) or request["outdoors"]
    _no_room(request, needless=outdoors or request["place"] is None)
    lend = _lender(request, catalogue, outdoors=outdoors)
    reads = tuple(map(in_three_lines, loggers))
    airs = [logged.air for logged in loggers]
    if weather:
        return own_place.of_weather(key, weather[0], airs, lend, reads)
    notes = tuple(n for logged in loggers for n in logged.notes if isinstance(n, Warning))
    return own_place.of_logs(key, request["name"], airs, lend, reads, notes, indoors=not outdoors)


def _is_told(request: Request) -> bool:
    """True if the request says anything of a room."""
    return any(request.get(param) is not None for param in ONE_ROOM)


def _no_room(request: Request, *, needless: bool) -> None:
    """Refuse a room that is told and needed for nothing."""
    if needless and _is_told(request):
        raise Refusal(
            "NEEDLESS_ROOM",
            "A room is described, and no room is to be made.",
            "In that room --place makes the months that a log lacks; outdoors there is none.",
            "Leave out --room, or add --place burlington and leave out --outdoors.",
            fields=(ONE_ROOM[0].name,),
            exit_code=2,
        )


def _lender(
    request: Request, catalogue: Catalogue, *, outdoors: bool
) -> "Callable[[AirSeries], Lent] | None":
    """What makes the months that records lack: the air of the place, in the room as it is told, else as it
    fits the records; None where no place is given."""

    if request["place"] is None:
        return None
    place = _place_outdoors(request["place"], catalogue)
    if outdoors:
        return lambda records: own_place.Lent(place.air(), place.name)
    if not _is_told(request):
        return lambda records: room_fit.like(records, place)
    room = room_from(request.get)
    return lambda records: own_place.Lent(room.air(place.air())[0], f"the room at {place.name}, as told")


LIST = CommandSpec(
    "list places",
    "Every place that is known.",
    ("woodmove list places",),
    (),
    run_list,
    table="places",
    line="Places that are known",
    stage=Stage.AIR,
)
SHOW = CommandSpec(
    "climate show",
    "The air of a place or a weather file by month, outdoors and in a room, and the EMC of both.",
    (
        "woodmove climate show minneapolis",
        "woodmove climate show burlington --room 'heated heat_to=66F dehumidify_to=55'",
        "woodmove climate show seattle --room open --csv",
    ),
    (
        PLACE.replace(
            option="KEY",
            required=True,
            help="Place, weather file (EPW, TMY3, TMY2) or a room's logged year",
        ),
        *ROOM,
        BUILT,
    ),
    run_show,
    table="indoor",
    line="The air of a place, outdoors and in a room",
    stage=Stage.AIR,
    draw=air_drawings,
)
ADD = CommandSpec(
    "climate add",
    "Keep a place of your own: from a weather file, or a room from loggers or twelve months of numbers.",
    (f"woodmove climate add my-shop --months '{TWELVE}'",),
    ADD_PARAMS,
    run_add,
    table="months",
    line="A place of your own, from a logger or numbers",
    stage=Stage.AIR,
)
LOG = CommandSpec(
    "climate log",
    "What a logger's file holds: how it was read, what was dropped and why, and its months.",
    ("woodmove climate log shop.csv",),
    (LOG_FILE, *HINTS),
    run_log,
    table="months",
    line="What a logger's file holds",
    stage=Stage.AIR,
)
FIT = CommandSpec(
    "climate fit",
    "Which heating, moisture gain and air change make a logger's air out of the air outdoors, and how "
    "nearly.",
    ("woodmove climate fit shop.csv --place burlington",),
    (
        LOG_FILE,
        PLACE.replace(
            job="", registry="", required=True,
            help="Place, weather file, or a logger that hung outdoors at the same time",
        ),
        *HINTS,
    ),
    run_fit,
    line="The room behind a logger's air",
    stage=Stage.AIR,
)  # fmt: skip

SECTION = Section(
    "air", "The air of the room through the year", SHOW, Stage.AIR, "Room", card=advice.card, decides=False
)

COMMANDS = (LIST, SHOW, ADD, LOG, FIT)
