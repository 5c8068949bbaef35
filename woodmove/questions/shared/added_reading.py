"""A reading that is most likely a slip of the thumb is asked about before it is written."""

import os
from datetime import date, timedelta

from woodmove.contract.params import Param, Request
from woodmove.contract.refusal import Refusal, Refusals
from woodmove.domain.meter import mc_of_weights_pct
from woodmove.domain.reading import READING, ReadingsLog
from woodmove.extend.params import FLAG
from woodmove.physics.shrinkage import FIBRE_SATURATION_PCT
from woodmove.questions.shared.lumber import FROM_DATE

# Dry lumber in a room does not move so far in so many days (status: judgement). A point of moisture is about
# one percent of the weight.
FAR_POINTS, FAR_DAYS = 5.0, 14
# A tenth of a gram is half a point on so little wood.
SMALL_G = 20.0
MORE_SLICE, MORE_OFFCUT = "a slice 1 in thick across the whole board", "a larger offcut, as thin"
# What is typed, and its column in the log.
_FIELDS = {"reading_pct": "mc_pct", "weight_g": "weight_g"}

YES = Param("yes", "--yes", FLAG, "Write the reading down, odd as it is", "")
PARAMS = (FROM_DATE.replace(help="Day on which the lumber was stacked, as far as it is known"), YES)


def ask_back(request: Request, day: date) -> None:
    """Look at the reading of a request, on its day, before it is written.

    :raises Refusals: each thing that is odd about a reading, unless the request says yes to it
    """
    if request.get(YES):
        return
    path = request["log"]
    log = ReadingsLog(path, ())
    if os.path.isfile(path):
        from woodmove.files.readings import read_readings

        log = read_readings(path)
    board = request["board"].strip()
    shown = [(name, request[field]) for field, name in _FIELDS.items() if request[field] is not None]
    if request["dry_g"] is not None:
        shown = []  # the weight of a slice, not that of its board
    doubts = [*_name(log, board), *_day(log, day, request.get(FROM_DATE))]
    doubts += _slice(request)
    doubts += [doubt for name, value in shown for doubt in _value(log, board, day, name, value)]
    if doubts:
        raise Refusals(doubts)


def _name(log: ReadingsLog, board: str) -> list[Refusal]:
    like = [other for other in log.boards if other.casefold() == board.casefold()]
    if not like or board in like:
        return []
    return [
        _doubt("BOARD_NAME_LIKE", f"The log has a board {like[0]} and none that is written {board}.",
               "Capitals count: these would be two boards.", f'Type --board "{like[0]}" if it is that one.',
               "board")
    ]  # fmt: skip


def _day(log: ReadingsLog, day: date, stacked: date | None) -> list[Refusal]:
    start = stacked or min((reading.day for reading in log.readings), default=day)
    if day >= start:
        return []
    began = "the lumber was stacked" if stacked else "the log begins"
    return [
        _doubt("BEFORE_THE_STACKING", f"{day.isoformat()} is before {began}, on {start.isoformat()}.",
               "Boards are followed from their stacking.", "Fix --date if its month or year is wrong.", "day")
    ]  # fmt: skip


def _slice(request: Request) -> list[Refusal]:
    dry, weight = request["dry_g"], request["weight_g"]
    if dry is None or weight is None:
        return []
    found: list[Refusal] = []
    if dry < SMALL_G:
        found.append(
            _doubt("SMALL_SLICE", f"A tenth of a gram is {10.0 / dry:.1f} points on {dry:g} g.",
                   f"Dry {SMALL_G:g} g and more: {MORE_OFFCUT if request['offcut'] else MORE_SLICE}.",
                   "Fix --dry if its unit is wrong.", "dry_g")
        )  # fmt: skip
    mc = mc_of_weights_pct(weight, dry)
    if mc > FIBRE_SATURATION_PCT:
        found.append(
            _doubt("ABOVE_FIBRE_SATURATION",
                   f"{mc:.0f} % is above fiber saturation, about {FIBRE_SATURATION_PCT:g} %.",
                   "Lumber for a room is drier than that.", "Weigh it again.", "weight_g")
        )  # fmt: skip
    return found


def _value(log: ReadingsLog, board: str, day: date, name: str, value: float) -> list[Refusal]:
    """What is odd about what the meter or the scale shows.

    :param name: mc_pct or weight_g
    """
    if name == "mc_pct" and value > FIBRE_SATURATION_PCT:
        return [
            _doubt("ABOVE_FIBRE_SATURATION",
                   f"{value:g} % is above fiber saturation, about {FIBRE_SATURATION_PCT:g} %.",
                   "Up there a meter only tells that wood is wet.",
                   "Fix --mc if a decimal point is missing.", "reading_pct")
        ]  # fmt: skip
    before = [
        reading for reading in log.of(board) if reading.kind == READING and getattr(reading, name) is not None
    ]
    near = min(before, key=lambda reading: abs(reading.day - day), default=None)
    if near is None or abs(near.day - day) > timedelta(days=FAR_DAYS):
        return []
    was = float(getattr(near, name))
    off = abs(value - was) if name == "mc_pct" else 100.0 * abs(value / was - 1.0)
    if off <= FAR_POINTS:
        return []
    says = f"{value:g} % is far from the {was:g} %" if name == "mc_pct" else "This weight is far from that"
    field = next(field for field, column in _FIELDS.items() if column == name)
    return [
        _doubt("FAR_FROM_THE_LAST", f"{says} of {board} on {near.day.isoformat()}.",
               f"Dry lumber in a room hardly moves by {FAR_POINTS:g} points in two weeks.",
               "Read it again, and look at the board's label.", field)
    ]  # fmt: skip


def _doubt(code: str, wrong: str, allowed: str, instead: str, field: str) -> Refusal:
    return Refusal(
        code, wrong, allowed, f"{instead} If it is right as it is, add --yes.", fields=(field,), exit_code=2
    )
