"""A reading that is most likely a slip of the thumb is asked about before it is written."""

import os
from datetime import date, timedelta

from woodmove.contract.params import Param, Request
from woodmove.contract.refusal import Refusal, Refusals
from woodmove.domain.reading import OFFCUT, READING, Reading, ReadingsLog
from woodmove.extend.params import FLAG
from woodmove.physics.shrinkage import FIBRE_SATURATION_PCT
from woodmove.questions.shared.lumber import FROM_DATE

# Dry lumber in a room does not move so far in so many days (status: judgement). A point of moisture is about
# one percent of the weight.
FAR_POINTS, FAR_DAYS = 5.0, 14
# A tenth of a gram is half a point on so little wood.
SMALL_G = 20.0
MORE_SLICE, MORE_OFFCUT = "a slice 1 in thick across the whole board", "a larger offcut, as thin"

YES = Param("yes", "--yes", FLAG, "Write the reading down, odd as it is", "")
PARAMS = (FROM_DATE.replace(help="Day on which the lumber was stacked, as far as it is known"), YES)


def ask_back(request: Request, reading: Reading) -> None:
    """Look at a reading before it is written.

    :raises Refusals: each thing that is odd about it, unless the request says yes to it
    """
    if request.get(YES):
        return
    path = request["log"]
    log = ReadingsLog(path, ())
    if os.path.isfile(path):
        from woodmove.files.readings import read_readings

        log = read_readings(path)
    doubts = [*_name(log, reading.board), *_day(log, reading.day, request.get(FROM_DATE), request.clock)]
    if reading.dry_g is not None:
        doubts += _slice(reading)  # the weight of a slice, not that of its board
    else:
        doubts += [doubt for column in ("mc_pct", "weight_g") for doubt in _value(log, reading, column)]
    if doubts:
        raise Refusals(doubts)


def _name(log: ReadingsLog, board: str) -> list[Refusal]:
    like = [other for other in log.boards if other.casefold() == board.casefold()]
    if not like or board in like:
        return []
    return [
        _doubt("BOARD_NAME_LIKE", f"The log has a board {like[0]} and none that is written {board}.",
               "Capitals count: these would be two boards.", f"Type {like[0]} if it is that one.",
               "board")
    ]  # fmt: skip


def _day(log: ReadingsLog, day: date, stacked: date | None, today: date) -> list[Refusal]:
    start = stacked or min((reading.day for reading in log.readings), default=day)
    if day >= start:
        return []
    began = "the lumber was stacked" if stacked else "the log begins"
    # A row whose day was mistyped stands in the way of all that are right.
    to_come = start > today and not stacked
    mend = "Take that row back with woodmove readings undo" if to_come else "Fix date="
    return [
        _doubt("BEFORE_THE_STACKING", f"{day.isoformat()} is before {began}, on {start.isoformat()}.",
               "Boards are followed from their stacking.", f"{mend} if its month or year is wrong.",
               "reading")
    ]  # fmt: skip


def _slice(reading: Reading) -> list[Refusal]:
    dry, mc = reading.dry_g, reading.dried_pct
    if dry is None or mc is None:
        return []
    found: list[Refusal] = []
    if dry < SMALL_G:
        more = MORE_OFFCUT if reading.kind == OFFCUT else MORE_SLICE
        found.append(
            _doubt("SMALL_SLICE", f"A tenth of a gram is {10.0 / dry:.1f} points on {dry:g} g.",
                   f"Dry {SMALL_G:g} g and more: {more}.", "Fix dry= if its unit is wrong.", "reading")
        )  # fmt: skip
    if mc > FIBRE_SATURATION_PCT:
        found.append(
            _doubt("ABOVE_FIBRE_SATURATION",
                   f"{mc:.0f} % is above fiber saturation, about {FIBRE_SATURATION_PCT:g} %.",
                   "Lumber for a room is drier than that.", "Weigh it again.", "reading")
        )  # fmt: skip
    return found


def _value(log: ReadingsLog, reading: Reading, name: str) -> list[Refusal]:
    """What is odd about what the meter or the scale shows.

    :param name: mc_pct or weight_g
    """
    value, board, day = getattr(reading, name), reading.board, reading.day
    if value is None:
        return []
    if name == "mc_pct" and value > FIBRE_SATURATION_PCT:
        return [
            _doubt("ABOVE_FIBRE_SATURATION",
                   f"{value:g} % is above fiber saturation, about {FIBRE_SATURATION_PCT:g} %.",
                   "Up there a meter only tells that wood is wet.",
                   "Fix mc= if a decimal point is missing.", "reading")
        ]  # fmt: skip
    before = [other for other in log.of(board) if other.kind == READING and getattr(other, name) is not None]
    near = min(before, key=lambda other: abs(other.day - day), default=None)
    if near is None or abs(near.day - day) > timedelta(days=FAR_DAYS):
        return []
    was = float(getattr(near, name))
    off = abs(value - was) if name == "mc_pct" else 100.0 * abs(value / was - 1.0)
    if off <= FAR_POINTS:
        return []
    says = f"{value:g} % is far from the {was:g} %" if name == "mc_pct" else "This weight is far from that"
    return [
        _doubt("FAR_FROM_THE_LAST", f"{says} of {board} on {near.day.isoformat()}.",
               f"Dry lumber in a room hardly moves by {FAR_POINTS:g} points in two weeks.",
               "Read it again, and look at the board's label.", "reading")
    ]  # fmt: skip


def _doubt(code: str, wrong: str, allowed: str, instead: str, field: str) -> Refusal:
    return Refusal(
        code, wrong, allowed, f"{instead} If it is right as it is, add --yes.", fields=(field,), exit_code=2
    )
