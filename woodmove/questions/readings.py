"""woodmove readings add, list, undo"""

from collections.abc import Mapping
from datetime import date
from typing import Annotated, Any

from woodmove.contract.answer import Answer, know
from woodmove.contract.commands import CommandSpec
from woodmove.contract.notes import note, warning
from woodmove.contract.params import Param, Request
from woodmove.contract.quantity import FINE_LENGTH, FINE_SCALE, SCALE
from woodmove.contract.quantity import MOISTURE as MOISTURE_CONTENT
from woodmove.contract.quantity import TEMPERATURE as DEGREES
from woodmove.contract.refusal import Refusal
from woodmove.contract.shown import Shown, results
from woodmove.contract.stage import Stage
from woodmove.domain.meter import mc_of_weights_pct
from woodmove.domain.reading import OFFCUT, OVEN_DRY, READING, Reading
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.params import TEXT, WHOLE, WORDS
from woodmove.files.pieces.reading import READING_TABLE
from woodmove.files.pieces.table import pieces_of_text
from woodmove.questions.shared.added_reading import PARAMS as ASKED_BACK
from woodmove.questions.shared.added_reading import ask_back
from woodmove.questions.shared.log import read_log

LOG = Param(
    "log", "LOG", TEXT, "The log of readings, a CSV of its own for each job", "readings.csv", required=True
)
ADD_PARAMS = (
    LOG,
    Param("board", "BOARD", TEXT, "Name of the board", "A1", required=True),
    Param(
        "reading",
        "READING",
        WORDS,
        "What the meter shows: 12.5, and more: 12.5 temp=60F depth=3/8in date=2026-12-10; or the scale: "
        "weight=1350g; of a slice dried in an oven weight=51.6g dry=46.1g; of a thin offcut that has lain in "
        "the room for a week kind=offcut as well",
        "12.5",
        required=True,
    ),
    *ASKED_BACK,
)
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

    mc_pct: Annotated[float | None, Shown("moisture by the oven", MOISTURE_CONTENT, "key")]
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
    kind: Annotated[str, Shown("kind", None, "key")]
    mc_pct: Annotated[float | None, Shown("MC", MOISTURE_CONTENT, "key")]
    weight_g: Annotated[float | None, Shown("weight", FINE_SCALE, "key")]
    dry_g: Annotated[float | None, Shown("oven-dry", FINE_SCALE)]
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
    from woodmove.files.readings import add_reading

    said = _said(request)
    day = said.get("day") or request.clock
    reading = Reading(
        None, day, request["board"].strip(), said.get("reading_pct"), said.get("weight_g"),
        said.get("wood_temp_c"), said.get("depth_mm"), dry_g=said.get("dry_g"), kind=_kind(said),
    )  # fmt: skip
    notes = () if day <= request.clock else (DAY_TO_COME(day=day, log=request["log"]),)
    ask_back(request, reading)
    done = add_reading(request["log"], reading)
    return Answer(
        know(WRITTEN(number=done.reading.number, log=request["log"])),
        Written(
            mc_pct=done.reading.dried_pct,
            written=request["log"],
            number=done.reading.number,
            line=done.reading.line,
            date=day,
        ),
        (*notes, *done.notes),
    )


def _said(request: Request) -> Mapping[str, Any]:
    """What the text of the reading says, in base units.

    :raises Refusal: what cannot be read, or what is no one reading
    """
    text = request["reading"]
    metered = "=" not in text.split()[0]
    pieces = pieces_of_text(f"mc={text}" if metered else text, "the reading", READING_TABLE, request.units)
    if pieces.faults or len(pieces.rows) != 1:
        raise Refusal(
            "NO_READING",
            pieces.faults[0].wrong if pieces.faults else "There is more than one reading.",
            "One run writes one reading of one board.",
            f"Type {READING_TABLE.pairs}, for example.",
            fields=("reading",),
            exit_code=2,
        )
    said = pieces.rows[0].values
    if ("reading_pct" in said) == ("weight_g" in said):
        raise Refusal(
            "MC_OR_WEIGHT",
            "Both a meter reading and a weight are given." if "weight_g" in said else "No reading is given.",
            "A row holds a meter reading or a weight.",
            "Type 12.5, or weight=1350g; a board that was metered and weighed takes two rows.",
            fields=("reading",),
            exit_code=2,
        )
    return said


def _kind(said: Mapping[str, Any]) -> str:
    """What the row of a reading is.

    :raises Refusal: a dry weight is given without that of the day, or lacks for an offcut
    """
    dry, weight = said.get("dry_g"), said.get("weight_g")
    kind = said.get("kind", READING if dry is None else OVEN_DRY)
    if kind == READING and dry is None:
        return READING
    if dry is None or weight is None:
        raise Refusal(
            "TWO_WEIGHTS",
            "One of the two weights is missing.",
            "Moisture by the oven comes of a weight on the day and of the dry weight.",
            "Type 'weight=51.6g dry=46.1g'.",
            fields=("reading",),
            exit_code=2,
        )
    mc_of_weights_pct(weight, dry)  # says what is wrong with them
    return OFFCUT if kind == OFFCUT else OVEN_DRY


def listed(request: Request, catalogue: Catalogue) -> Answer[Log]:
    """The readings of a log, those taken back too, and the rows that cannot be read."""
    from woodmove.advice.drying.forecast import log_warnings

    log = read_log(request["log"])
    rows = sorted(
        [(reading, "") for reading in log.readings] + [(reading, "taken back") for reading in log.undone],
        key=lambda row: row[0].line,
    )
    return Answer(
        know(IN_THE_LOG(count=len(log.readings), boards=len(log.boards))),
        Log(
            counted=len(log.readings),
            taken_back=len(log.undone),
            unreadable=len(log.faults),
            readings=tuple(
                LoggedReading(
                    number=reading.number,
                    date=reading.day,
                    board=reading.board,
                    kind=reading.kind,
                    mc_pct=reading.dried_pct if reading.mc_pct is None else reading.mc_pct,
                    weight_g=reading.weight_g,
                    dry_g=reading.dry_g,
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


ADD = CommandSpec(
    "readings add",
    "Append a reading to the log of a job: by moisture meter, kitchen scale, or a slice dried in an oven.",
    (
        "woodmove readings add readings.csv A1 12.5 temp=60F depth=3/8in",
        "woodmove readings add readings.csv A1 weight=1350g date=2026-12-10",
        "woodmove readings add readings.csv A1 weight=51.6g dry=46.1g date=2026-12-10",
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
    (
        LOG,
        Param(
            "number",
            "NUMBER",
            WHOLE,
            "Number of the reading, as listed; else the last",
            "3",
            low=1,
            high=10**9,
        ),
    ),
    undo,
    line="Take a reading back",
    stage=Stage.SETTLE,
)
COMMANDS = (ADD, LIST, UNDO)
