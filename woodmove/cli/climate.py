"""woodmove climate list, show, add, log, fit"""

from dataclasses import replace
from pathlib import Path
from typing import Any

from woodmove.advice import climate as advice
from woodmove.cli.air_files import HINTS, hints_of, in_three_lines
from woodmove.extend import catalogue as shelves
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.contracts import CommandSpec
from woodmove.extend.groups import PLACE, ROOM, place_of, room_of
from woodmove.extend.params import FLAG, TEMPERATURE, TEXT, Kind, Param, Request
from woodmove.shop.answer import Answer, Refusal, Warning
from woodmove.units import parse_percent


def _twelve(read: Any, text: str) -> tuple[float, ...]:
    values = tuple(read(part) for part in text.split(","))
    if len(values) != 12:
        raise ValueError(f"there are {len(values)} values, and a year has twelve months")
    return values


def _files(text: str) -> tuple[str, ...]:
    files = tuple(part.strip() for part in text.split(","))
    if not all(Path(file).suffix for file in files):
        raise ValueError(f"{text!r} does not name files")
    return files


FILES = Kind("FILE,...", _files)
TEMPS = Kind("TEMP,...", lambda text: _twelve(TEMPERATURE.parse, text), "°C")
HUMIDITIES = Kind("PERCENT,...", lambda text: _twelve(parse_percent, text), "%")

ADD_PARAMS = (
    Param("name", "NAME", TEXT, "What you call the place", "my-shop", required=True),
    Param("files", "--from", FILES, "Weather file, logger's CSVs, or both, with commas between",
          "garage.csv"),
    Param("temps_c", "--temps", TEMPS, "Twelve monthly means instead, January first",
          "20F,22F,31F,45F,56F,66F,71F,69F,60F,48F,38F,26F", low=-60, high=60),
    Param("rhs_pct", "--rhs", HUMIDITIES, "Twelve monthly means of RH instead",
          "69,67,66,62,61,65,65,68,71,71,71,72", low=1, high=100),
    PLACE.but(name="shape", option="--shape", job="",
              help="Place whose seasons fill months that were not logged"),
    *(p.but(job="", default="open" if p.name == "indoor" else p.default) for p in ROOM),
    Param("replace", "--replace", FLAG, "Put it in the place of one of the same name", ""),
    *HINTS,
)  # fmt: skip
LOG_FILE = Param("log_file", "FILE", TEXT, "A logger's CSV", "shop.csv", required=True)


def run_list(request: Request, catalogue: Catalogue) -> Answer:
    """Every place."""
    places = catalogue.climates
    return advice.listing((climate, places.provider(key)) for key, climate in places)


def run_show(request: Request, catalogue: Catalogue) -> Answer:
    """The air of a place by month."""
    climate = place_of(request, catalogue)
    answer = advice.show(climate, room_of(request), request.inputs())
    if climate.hours is None:
        return answer
    from woodmove.advice.own_place import averaging_note

    return replace(answer, assumptions=(*answer.assumptions, averaging_note(climate.hours)))


def run_log(request: Request, catalogue: Catalogue) -> Answer:
    """What a logger's file holds."""
    from woodmove.advice.own_place import averaging_note, month_rows
    from woodmove.files.logger import read_logger

    logged = read_logger(request["log_file"], hints_of(request))
    gaps = [{"from": str(start)[:16], "to": str(end)[:16]} for start, end in logged.gaps]
    return Answer(
        "climate log",
        request.inputs(),
        {
            **in_three_lines(logged),
            "rows_in": logged.rows_in,
            "rows_used": logged.rows_used,
            "rows_dropped": logged.rows_dropped,
            "months": month_rows(logged.air),
            "gaps": gaps,
        },
        warnings=tuple(note for note in logged.notes if isinstance(note, Warning)),
        assumptions=(averaging_note(logged.air),),
        sources=("own-log", "simpson-1973"),
    )


def run_fit(request: Request, catalogue: Catalogue) -> Answer:
    """The room that makes the logged air of the air outdoors."""
    from woodmove.advice.room_fit import fitted
    from woodmove.files.logger import read_logger

    logged = read_logger(request["log_file"], hints_of(request))
    outdoor = _outdoor(request["outdoor"], request, catalogue)
    answer = fitted(logged.air, outdoor, in_three_lines(logged), request.inputs())
    notes = tuple(note for note in logged.notes if isinstance(note, Warning))
    return replace(answer, warnings=(*notes, *answer.warnings))


def _outdoor(name: str, request: Request, catalogue: Catalogue) -> Any:
    """A place, a weather file, or a logger that hung outdoors at the same time, however short."""
    from woodmove.files.weather import looks_like_weather

    if name.lower().endswith((".csv", ".txt", ".tsv")) and not looks_like_weather(name):
        from woodmove.advice.own_place import held
        from woodmove.files.logger import read_logger
        from woodmove.files.places import climate_of_log, key_of

        series = read_logger(name, hints_of(request)).air
        return climate_of_log(key_of(name), held(series), series, f"logged in {name}")
    return catalogue.climates.get(name)


def run_add(request: Request, catalogue: Catalogue) -> Answer:
    """Keep a place of the user's own."""
    from woodmove.advice.own_place import month_rows_of
    from woodmove.files.places import write_place

    key = _free_key(request["name"], catalogue)
    made = _made(key, request, catalogue)
    path = write_place(made.climate, replace=request["replace"])
    return Answer(
        "climate add",
        request.inputs(),
        {
            "key": key,
            "written": str(path),
            "period": made.climate.period,
            **made.results,
            "months": month_rows_of(made.climate.air(), made.logged),
        },
        warnings=made.warnings,
        assumptions=made.assumptions,
        sources=tuple(dict.fromkeys((made.climate.known.source, "simpson-1973", *made.sources))),
    )


def _free_key(name: str, catalogue: Catalogue) -> str:
    key = shelves.slug(name).replace(".", "-")
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
    taken = {known for known, _ in places if places.provider(known) != shelves.OWN_PLACES}
    if key in taken:
        raise Refusal(
            "PLACE_TAKEN",
            f"{key} is a place that plugin {places.provider(key)} provides.",
            "A place of your own has a name of its own.",
            f"Type my-{key}, for example.",
            fields=("name",),
        )
    return key


def _made(key: str, request: Request, catalogue: Catalogue) -> Any:
    """The place, from twelve numbers or from files."""
    from woodmove.advice import own_place

    temps, rhs, files = request["temps_c"], request["rhs_pct"], request["files"]
    if (temps is None) != (rhs is None) or (temps is None) == (files is None):
        raise Refusal(
            "WHICH_AIR",
            "Nothing says what the air of the place is."
            if temps is None and rhs is None and files is None
            else "The air of the place is told by halves, or twice.",
            "A place is made of files, or of twelve temperatures and twelve humidities.",
            "Type --from garage.csv --shape burlington, or --temps with twelve values and --rhs with twelve.",
            fields=("files", "temps_c", "rhs_pct"),
            exit_code=2,
        )
    if files is None:
        return own_place.of_numbers(key, request["name"], temps, rhs)
    from woodmove.files.logger import read_logger
    from woodmove.files.weather import looks_like_weather, read_weather

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
    shape = None
    if request["shape"] is not None:
        place = catalogue.climates.get(request["shape"])
        shape = (room_of(request).air(place.air())[0], place.name)
    lines = [{"file": logged.name, **in_three_lines(logged)} for logged in loggers]
    told = (
        {name: value for name, value in lines[0].items() if name != "file"}
        if len(lines) == 1
        else {"files": lines}
    )
    if weather:
        return own_place.of_weather(
            key, weather[0], [logged.air for logged in loggers], shape, told if lines else {}
        )
    notes = tuple(n for logged in loggers for n in logged.notes if isinstance(n, Warning))
    return own_place.of_logs(key, request["name"], [logged.air for logged in loggers], shape, told, notes)


LIST = CommandSpec(
    "climate list", "Every place that is known.", ("woodmove climate list",), (), run_list, table="places"
)
SHOW = CommandSpec(
    "climate show",
    "The air of a place or a weather file by month, outdoors and in a room, and the EMC of both.",
    (
        "woodmove climate show minneapolis",
        "woodmove climate show burlington --indoor heated --heat-to 66F --moisture-gain 1 --dehumidify-to 55",
        "woodmove climate show seattle --indoor open --csv",
    ),
    (
        PLACE.but(
            option="KEY", required=True, help="Place, weather file (EPW, TMY3, TMY2) or a logger's whole year"
        ),
        *ROOM,
    ),
    run_show,
    table="indoor",
)
ADD = CommandSpec(
    "climate add",
    "Keep a place of your own: from a weather file, from loggers, or from twelve months of numbers.",
    (
        "woodmove climate add my-shop --temps 64F,64F,66F,68F,70F,72F,74F,74F,70F,68F,66F,64F "
        "--rhs 30,30,33,38,45,52,55,55,50,42,36,31",
    ),
    ADD_PARAMS,
    run_add,
    table="months",
)
LOG = CommandSpec(
    "climate log",
    "What a logger's file holds: how it was read, what was dropped and why, and its months.",
    ("woodmove climate log shop.csv",),
    (LOG_FILE, *HINTS),
    run_log,
    table="months",
)
FIT = CommandSpec(
    "climate fit",
    "Which heating, moisture gain and air change make a logger's air out of the air outdoors, and how "
    "nearly.",
    ("woodmove climate fit shop.csv --outdoor burlington",),
    (
        LOG_FILE,
        Param("outdoor", "--outdoor", TEXT,
              "Place, weather file, or a logger that hung outdoors at the same time", "burlington",
              required=True),
        *HINTS,
    ),
    run_fit,
)  # fmt: skip

COMMANDS = (LIST, SHOW, ADD, LOG, FIT)
