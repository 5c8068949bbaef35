"""The log of readings: a plain CSV for each job that only ever grows.

A row is written in one piece under a lock and flushed to the disk before it is acknowledged. Nothing
that stands in the file is ever rewritten: not a row that somebody has broken by hand, and not one that
is taken back, which a later row marks. Spreadsheets may save the file with semicolons, decimal commas
and another line end; it is read, and goes on, as they left it.
"""

import contextlib
import csv
import io
import math
import os
import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from woodmove.files.locks import locked
from woodmove.files.texts import read_bytes
from woodmove.shop.answer import Refusal
from woodmove.shop.readings import Reading, ReadingsLog

WHAT = "log of readings"
COLUMNS = ("number", "date", "board", "mc_pct", "weight_g", "wood_temp_c", "depth_mm", "undoes", "kind")
# A row of ours ends with one of these words, so that one that was cut off shows for ever.
_READING, _UNDO = "reading", "undo"
_NEEDED = {"date", "board"}
# What a value can be, in the unit of its column.
_BOUNDS = {
    "mc_pct": (0.0, 200.0),
    "weight_g": (0.01, 1e6),
    "wood_temp_c": (-60.0, 120.0),
    "depth_mm": (0.0, 500.0),
}


@dataclass(frozen=True)
class _Shape:
    """How a log is written."""

    columns: tuple[str, ...] = COLUMNS
    delimiter: str = ","
    comma: bool = False
    end: str = "\n"
    encoding: str = "utf-8"


def read_readings(path: str) -> ReadingsLog:
    """The readings of a log, and the rows that cannot be read.

    :raises Refusal: no file, or not a log of readings
    """
    return _parse(read_bytes(path, WHAT), path)[0]


def add_reading(path: str, reading: Reading) -> Reading:
    """Append a reading; when this returns, it is on the disk.

    :returns: the reading with its number and line
    :raises Refusal: not a log, a name that a spreadsheet would take for a formula, or no room to write
    """
    if (
        not reading.board.strip()
        or reading.board[0] in "=+-@\t"
        or re.search(r"[\x00-\x1f\x7f-\x9f]", reading.board)
    ):
        raise Refusal(
            "BAD_BOARD_NAME",
            f"{reading.board!r} is no name for a board.",
            "A name does not begin with =, +, - or @, which a spreadsheet takes for a formula.",
            "Type a name such as A1 or 'oak 3'.",
            fields=("board",),
        )
    values = {
        "date": reading.day.isoformat(),
        "board": reading.board,
        "mc_pct": reading.mc_pct,
        "weight_g": reading.weight_g,
        "wood_temp_c": reading.wood_temp_c,
        "depth_mm": reading.depth_mm,
        "kind": _READING,
    }
    number, line = _append(path, lambda log: values, create=True)
    return Reading(
        number, reading.day, reading.board, reading.mc_pct, reading.weight_g, reading.wood_temp_c,
        reading.depth_mm, line,
    )  # fmt: skip


def undo_reading(path: str, number: int | None, today: date) -> Reading:
    """Mark a reading as taken back; the last one where no number is given.

    :returns: the reading that no longer counts
    :raises Refusal: no such reading, or nothing that could be taken back
    """
    found: list[Reading] = []

    def mark(log: ReadingsLog) -> dict[str, object]:
        numbered = [reading for reading in log.readings if reading.number is not None]
        wanted = [reading for reading in numbered if number in (None, reading.number)]
        if not wanted:
            known = ", ".join(str(reading.number) for reading in numbered[-10:])
            raise Refusal(
                "NO_READING",
                f"{path} has no reading {number} that counts." if number is not None
                else f"{path} has no reading to take back.",
                f"The last ones: {known}." if known else "Rows typed by hand have no number: mend those.",
                f"Type woodmove readings list {path} to see all of them.",
                fields=("number",),
                file=path,
            )  # fmt: skip
        found.append(wanted[-1])
        return {"date": today.isoformat(), "undoes": wanted[-1].number, "kind": _UNDO}

    _append(path, mark, create=False)
    return found[0]


# Writing.


def _append(path: str, row: Callable[[ReadingsLog], dict[str, object]], *, create: bool) -> tuple[int, int]:
    """Append a row that may depend on what stands there; its number and line."""
    flags = os.O_RDWR | os.O_APPEND | (os.O_CREAT if create else 0) | getattr(os, "O_BINARY", 0)
    if os.path.exists(path) and not os.path.isfile(path):
        read_bytes(path, WHAT)  # says what it is
    try:
        descriptor = os.open(path, flags, 0o666)
    except OSError as problem:
        raise _cannot_write(path, problem) from None
    try:
        with locked(descriptor, path):
            raw = _whole(descriptor)
            log, shape = _parse(raw, path) if raw.strip() else (ReadingsLog(path, ()), _Shape())
            values = row(log)
            number = _next_number(raw, shape)
            text = "" if raw.strip() else shape.delimiter.join(COLUMNS) + shape.end
            if raw and not raw.endswith((b"\n", b"\r")):
                text = shape.end + text  # the last row was cut off: it stays as it is
            text += _row({"number": number, **values}, shape)
            _write(descriptor, text.encode(shape.encoding), len(raw), path)
            if not raw:
                _flush_folder(path)
            line = (raw.decode(shape.encoding, "replace") + text).count("\n")
    finally:
        os.close(descriptor)
    return number, line


def _whole(descriptor: int) -> bytes:
    os.lseek(descriptor, 0, os.SEEK_SET)
    parts = []
    while part := os.read(descriptor, 1 << 20):
        parts.append(part)
    return b"".join(parts)


def _write(descriptor: int, data: bytes, before: int, path: str) -> None:
    """Write and flush; after a failure the file is as long as it was."""
    try:
        left = memoryview(data)
        while left:
            left = left[os.write(descriptor, left) :]
        os.fsync(descriptor)
    except OSError as problem:
        # Only our own half row goes. If even that fails, the next row begins on a line of its own.
        with contextlib.suppress(OSError):
            os.ftruncate(descriptor, before)
        raise _cannot_write(path, problem) from None


def _flush_folder(path: str) -> None:
    """A new file is safe once its name is. Windows cannot open a folder, and need not."""
    with contextlib.suppress(OSError):
        folder = os.open(os.path.dirname(os.path.abspath(path)), os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)


def _cannot_write(path: str, problem: OSError) -> Refusal:
    return Refusal(
        "CANNOT_WRITE",
        f"{path} cannot be written: {problem.strerror or problem}. The reading was not taken.",
        "A log lies in a folder that you may write to, on a disk with room.",
        "Make room or type another path, and add the reading again.",
        file=path,
    )


def _next_number(raw: bytes, shape: _Shape) -> int:
    """One more than any number that stands in the first column, of broken rows too."""
    if "number" not in shape.columns:
        return 1
    place = shape.columns.index("number")
    numbers = [0]
    for line in raw.decode(shape.encoding, "replace").splitlines()[1:]:
        cells = _cells(line, shape.delimiter)
        if len(cells) > place and re.fullmatch(r"\d{1,9}", cells[place].strip()):
            numbers.append(int(cells[place]))
    return max(numbers) + 1


def _row(values: dict[str, object], shape: _Shape) -> str:
    cells = []
    for column in shape.columns:
        value = values.get(column)
        text = "" if value is None else str(value)
        if isinstance(value, int | float):
            text = f"{value:.6f}".rstrip("0").rstrip(".")
            text = text.replace(".", ",") if shape.comma else text
        cells.append(text)
    out = io.StringIO()
    csv.writer(out, delimiter=shape.delimiter, lineterminator=shape.end).writerow(cells)
    return out.getvalue()


# Reading.


def _parse(raw: bytes, path: str) -> tuple[ReadingsLog, _Shape]:
    try:
        text, encoding = raw.decode("utf-8-sig"), "utf-8"
    except UnicodeDecodeError:
        text, encoding = raw.decode("cp1252", "replace"), "cp1252"
    if "\0" in text:
        raise Refusal("BINARY", f"{path} is not a text file.", f"A {WHAT} is text.",
                      f"Type the path of a {WHAT}.", file=path)  # fmt: skip
    lines = re.split(r"\r\n|\n|\r", text)
    shape = _shape(lines, text, encoding, path)
    readings: dict[int, Reading] = {}
    undone: dict[int, int] = {}
    faults: list[Refusal] = []
    numbers: dict[int, int] = {}
    for number, line in enumerate(lines[1:], start=2):
        cells = _cells(line, shape.delimiter)
        if not any(cell.strip() for cell in cells):
            continue
        row = dict(zip(shape.columns, (cell.strip() for cell in cells), strict=False))
        try:
            kind = _UNDO if row.get("undoes") else _READING
            if row.get("number") and "kind" in shape.columns and row.get("kind", "").lower() != kind:
                raise ValueError(f"it was cut off or changed: it does not end with {kind}")
            if any(cell.strip() for cell in cells[len(shape.columns) :]):
                raise ValueError("it has more cells than the first line has headings")
            own = _whole_number(row["number"], "number") if row.get("number") else None
            if own in numbers:
                raise ValueError(f"number {own} stands in line {numbers[own]} already")
            if kind is _UNDO:
                undone[number] = _whole_number(row["undoes"], "undoes")
            else:
                readings[number] = _reading(row, own, number)
            if own is not None:
                numbers[own] = number
        except ValueError as problem:
            faults.append(
                Refusal(
                    "BAD_ROW",
                    f"{path}: {problem}.",
                    "A row has a date, a board, and a meter reading or a weight.",
                    "Mend the row; until then it is left out.",
                    file=path,
                    line=number,
                )
            )
    by_number = {reading.number: line for line, reading in readings.items() if reading.number is not None}
    taken_back = set()
    marks = []
    for number, undoes in undone.items():
        if by_number.get(undoes, number) >= number:
            faults.append(
                Refusal(
                    "BAD_ROW",
                    f"{path}: it takes back reading {undoes}, which does not stand above it.",
                    "A row that takes back a reading stands below it.",
                    "Mend the row; until then it is left out.",
                    file=path,
                    line=number,
                )
            )
        else:
            taken_back.add(by_number[undoes])
            marks.append(number)
    faults.sort(key=lambda fault: fault.line or 0)
    return (
        ReadingsLog(
            path,
            tuple(reading for line, reading in readings.items() if line not in taken_back),
            tuple(readings[line] for line in sorted(taken_back)),
            tuple(faults),
            tuple(marks),
        ),
        shape,
    )


def _shape(lines: list[str], text: str, encoding: str, path: str) -> _Shape:
    for delimiter in (",", ";", "\t"):
        columns = tuple(cell.strip().lower() for cell in _cells(lines[0], delimiter))
        if (
            set(columns) >= _NEEDED
            and {"mc_pct", "weight_g"} & set(columns)
            and len(set(columns)) == len(columns)
        ):
            # Where semicolons part the cells, commas are decimal signs.
            body = "\n".join(lines[1:])
            comma = delimiter != "," and (delimiter == ";" or re.search(r"\d,\d", body) is not None)
            return _Shape(columns, delimiter, comma, "\r\n" if "\r\n" in text else "\n", encoding)
    raise Refusal(
        "NOT_A_LOG",
        f"{path} is not a log of readings.",
        f"Its first line names the columns: {','.join(COLUMNS)}.",
        "Type the path of a new file; readings add makes it.",
        file=path,
        line=1,
    )


def _cells(line: str, delimiter: str) -> list[str]:
    """The cells of one line; a quotation mark that was never closed spoils no other line."""
    try:
        return next(csv.reader([line], delimiter=delimiter), [])
    except csv.Error:
        return [line]


def _reading(row: dict[str, str], number: int | None, line: int) -> Reading:
    if not row.get("board"):
        raise ValueError("it names no board")
    values = {name: _number(row.get(name, ""), name) for name in _BOUNDS}
    if values["mc_pct"] is None and values["weight_g"] is None:
        raise ValueError("it has neither a meter reading nor a weight")
    return Reading(
        number,
        _day(row.get("date", "")),
        row["board"],
        values["mc_pct"],
        values["weight_g"],
        values["wood_temp_c"],
        values["depth_mm"],
        line,
    )


def _day(text: str) -> date:
    """A date as it is written, or as spreadsheets like to turn it round where that leaves no doubt."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        pass
    if dotted := re.fullmatch(r"(\d{1,2})\.(\d{1,2})\.(\d{4})", text):
        try:
            return date(int(dotted[3]), int(dotted[2]), int(dotted[1]))
        except ValueError:
            pass
    if slashed := re.fullmatch(r"(\d{1,2})/(\d{1,2})/(\d{4})", text):
        one, two, year = (int(part) for part in slashed.groups())
        ways = {(one, two), (two, one)} if one <= 12 and two <= 12 else {(min(one, two), max(one, two))}
        if len(ways) == 1:
            try:
                month, day = ways.pop()
                return date(year, month, day)
            except ValueError:
                pass
        else:
            raise ValueError(f"{text!r} can be read with its day or its month first: write 2027-01-15")
    raise ValueError(f"{text!r} is not a date such as 2027-01-15")


def _number(text: str, name: str) -> float | None:
    if not text:
        return None
    plain = text.replace(",", ".") if text.count(",") == 1 and "." not in text else text
    if not re.fullmatch(r"[+-]?(\d+\.?\d*|\.\d+)", plain):
        raise ValueError(f"{name}: {text!r} is not a number")
    value = float(plain)
    low, high = _BOUNDS[name]
    if not (math.isfinite(value) and low <= value <= high):
        raise ValueError(f"{name} lies from {low:g} to {high:g}, not {text}")
    return value


def _whole_number(text: str, name: str) -> int:
    if not re.fullmatch(r"\d{1,9}", text):
        raise ValueError(f"{name}: {text!r} is not a whole number")
    return int(text)
