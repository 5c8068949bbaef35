"""The options that a logger's file may need, and what was understood of it."""

from typing import TYPE_CHECKING, Any

from woodmove.contract.params import Param, Request
from woodmove.domain.records import LoggedAir
from woodmove.extend.params import TEXT

if TYPE_CHECKING:
    from woodmove.advice.air.fits import FileRead

HINTS = (
    Param("dates", "--dates", TEXT, "How the logger writes dates, if its rows leave it open", "day-first",
          choices=("day-first", "month-first")),
    Param("temp_unit", "--temp-unit", TEXT, "Unit of the logger's temperatures, if its headings name none",
          "F", choices=("C", "F")),
)  # fmt: skip


def hints_of(request: Request) -> Any:
    """What the request says of a logger's file."""
    from woodmove.files.air.logger import Hints

    return Hints((request["dates"] or "").replace("-", " "), request["temp_unit"] or "")


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
