"""The options that a logger's file may need, and what was understood of it."""

from typing import TYPE_CHECKING, Any

from woodmove.contract.params import Param, Request
from woodmove.contract.refusal import Refusal
from woodmove.domain.records import LoggedAir
from woodmove.extend.params import FLAG, TEXT

if TYPE_CHECKING:
    from woodmove.advice.air.fits import FileRead

HINTS = (
    Param("day_first", "--dayfirst", FLAG, "Dates of the logger have the day before the month", ""),
    Param("month_first", "--monthfirst", FLAG, "Dates of the logger have the month before the day", ""),
    Param("temp_unit", "--temp-unit", TEXT, "Unit of the logger's temperatures, if its headings name none",
          "F", choices=("C", "F")),
)  # fmt: skip


def hints_of(request: Request) -> Any:
    """What the request says of a logger's file.

    :raises Refusal: both orders of dates
    """
    from woodmove.files.air.logger import Hints

    if request["day_first"] and request["month_first"]:
        raise Refusal(
            "TWO_ORDERS",
            "Both --dayfirst and --monthfirst are given.",
            "A file has its dates in one order.",
            "Leave one of them out.",
            fields=("day_first", "month_first"),
            exit_code=2,
        )
    order = "day first" if request["day_first"] else "month first" if request["month_first"] else ""
    return Hints(order, request["temp_unit"] or "")


def in_three_lines(logged: LoggedAir) -> "FileRead":
    """What was understood of a logger's file, what was dropped, and why."""
    from woodmove.advice.air.fits import FileRead

    how = logged.understood
    first, last = (str(time).replace("T", " ")[:16] for time in (logged.air.times[0], logged.air.times[-1]))
    return FileRead(
        file=logged.name,
        understood=f"{logged.rows_used} readings, {_duration(logged.interval_s)} apart, {first} to "
        f"{last}; {how['temperature_column']!r} in {how['temperature_unit']}, {how['humidity_column']!r} as "
        f"{how['humidity_unit']}; dates {how['dates']}; cells between {how['delimiter']}, decimal "
        f"{how['decimal']}",
        dropped=f"{logged.rows_dropped} of {logged.rows_in} rows; {_gaps(logged)}",
        why=logged.why_dropped or "nothing to drop",
    )


def _gaps(logged: LoggedAir) -> str:
    if not logged.gaps:
        return "no gaps"
    start, end = max(logged.gaps, key=lambda gap: gap[1] - gap[0])
    longest = _duration(float((end - start).astype(float)))
    count = f"{len(logged.gaps)} gap{'s' * (len(logged.gaps) > 1)}"
    return f"{count}, the longest of {longest} from {str(start).replace('T', ' ')[:16]}"


def _duration(seconds: float) -> str:
    for name, length in (("days", 86400), ("h", 3600), ("min", 60)):
        if seconds >= 2 * length:
            return f"{seconds / length:.3g} {name}"
    return f"{seconds:.3g} s"
