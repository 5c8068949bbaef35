"""The log of readings: a plain CSV for each job that only ever grows.

A row is written in one piece under a lock, flushed to the disk and read back before it is acknowledged.
Nothing that stands in the file is ever rewritten: not a row that somebody has broken by hand, and not one
that is taken back, which a later row marks. So a log that lacks a column grows a second heading: a heading
names the columns of the rows below it, in whatever line it stands. Spreadsheets may save the file with
semicolons, decimal commas and another line end; it is read, and goes on, as they left it.
"""

import contextlib
import csv
import io
import math
import os
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from woodmove.contract.notes import Warning
from woodmove.contract.refusal import Refusal
from woodmove.domain.reading import OFFCUT, OVEN_DRY, READING, Reading, ReadingsLog
from woodmove.files.locks import locked
from woodmove.files.texts import read_bytes

WHAT = "log of readings"
COLUMNS = (
    "number", "date", "board", "mc_pct", "weight_g", "wood_temp_c", "depth_mm", "dry_g", "undoes", "kind"
)  # fmt: skip
# A row of ours ends with this word or the kind of its reading, so that one that was cut off shows for ever.
_UNDO = "undo"
_NEEDED = {"date", "board"}
# What a value can be, in the unit of its column.
_BOUNDS = {
    "mc_pct": (0.0, 200.0),
    "weight_g": (0.01, 1e6),
    "dry_g": (0.01, 1e6),
    "wood_temp_c": (-60.0, 120.0),
    "depth_mm": (0.0, 500.0),
}
# Numbers are written with six decimals.
_WRITTEN = 1e-6
_LINE_END = re.compile(r"\r\n|\n|\r")


@dataclass(frozen=True)
class Taken:
    """What stands in the log now.

    :param reading: as it was read back; of an undo the one that no longer counts
    :param notes: what else was written, so that the row could be
    """

    reading: Reading
    notes: tuple[Warning, ...] = ()


@dataclass(frozen=True)
class _Shape:
    """How the rows of a log are written from a line on; without columns where no heading stands above."""

    columns: tuple[str, ...] = ()
    delimiter: str = ","
    comma: bool = False
    end: str = "\n"
    encoding: str = "utf-8"


@dataclass(frozen=True)
class _Parsed:
    """A log, and what a writer must know to go on with it.

    :param shape: at its end
    :param highest: number that any row has, a broken one too
    :param lines: how many there are
    :param torn: True if the last line has no end
    """

    log: ReadingsLog
    shape: _Shape
    highest: int
    lines: int
    torn: bool


def read_readings(path: str) -> ReadingsLog:
    """The readings of a log, and the rows that cannot be read.

    :raises Refusal: no file, or not a log of readings
    """
    return _parse(read_bytes(path, WHAT), path).log


def add_reading(path: str, reading: Reading) -> Taken:
    """Append a reading; when this returns, it is on the disk and has been read back from there.

    :returns: the reading with its number and line
    :raises Refusal: not a log, a name that a spreadsheet would take for a formula, no room to write, or a
        value that no log holds
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
        "dry_g": reading.dry_g,
        "wood_temp_c": reading.wood_temp_c,
        "depth_mm": reading.depth_mm,
        "kind": reading.kind,
    }

    def stands(log: ReadingsLog, number: int) -> Reading | None:
        return next((r for r in log.readings if r.number == number and _alike(r, reading)), None)

    return _append(path, lambda log: values, stands, create=True)


def _alike(one: Reading, other: Reading) -> bool:
    """True if both say the same, as nearly as it is written."""
    pairs = [(getattr(one, name), getattr(other, name)) for name in _BOUNDS]
    return (one.day, one.board, one.kind) == (other.day, other.board.strip(), other.kind) and all(
        (a is None) == (b is None) and abs((a or 0.0) - (b or 0.0)) <= _WRITTEN for a, b in pairs
    )


def undo_reading(path: str, number: int | None, today: date) -> Taken:
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

    def stands(log: ReadingsLog, _: int) -> Reading | None:
        return next((gone for gone in log.undone if gone == found[0]), None)

    return _append(path, mark, stands, create=False)


# Writing.


def _append(
    path: str,
    row: Callable[[ReadingsLog], dict[str, object]],
    stands: Callable[[ReadingsLog, int], Reading | None],
    *,
    create: bool,
) -> Taken:
    """Append a row that may depend on what stands there, under a heading that has all its columns.

    :param stands: finds in the log, by the number of the row, what the row should have done
    """
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
            there = _parse(raw, path)
            number = there.highest + 1
            values = {"number": number, **row(there.log)}
            shape, notes = _holding(values, there, empty=not raw)
            text = shape.end if there.torn else ""  # what was cut off stays as it is
            if shape is not there.shape:
                text += _line(shape.columns, shape)
            data = _encoded(text + _row(values, shape), shape, path)
            now = _written(descriptor, data, len(raw), path)
            if not raw:
                _flush_folder(path)
            done = stands(_parse(now, path).log, number)
            if done is None:
                _take_back(descriptor, len(raw), len(data))
                raise Refusal(
                    "NOT_READ_BACK",
                    f"What was written to {path} does not read back as it was typed.",
                    "A reading counts once it has been read back; this one was not taken.",
                    "Look at the file, or type the path of a new one, and add the reading again.",
                    file=path,
                )
    finally:
        os.close(descriptor)
    return Taken(done, notes)


def _holding(values: dict[str, object], there: _Parsed, *, empty: bool) -> tuple[_Shape, tuple[Warning, ...]]:
    """A shape with a column for every value: that of the log, or a new heading for it; and what to say."""
    old = there.shape.columns
    missing = [name for name in COLUMNS if values.get(name) is not None and name not in old]
    if not missing:
        return there.shape, ()
    # Their columns keep their places; the last one tells a row that was cut off.
    columns = [name for name in old if name != "kind"]
    columns += [name for name in COLUMNS if name not in columns]
    line = there.lines + 1 if there.torn else there.lines
    if old:
        text = (
            "The log had no column for {columns}: line {line} names the columns of the rows below it. "
            "The rows above stay as they are."
        )
        notes = (Warning("LOG_COLUMNS_ADDED", text, {"columns": ", ".join(missing), "line": line}),)
    else:
        text = "No line of the log named its columns: line {line} does so now."
        notes = () if empty else (Warning("LOG_HEADING_ADDED", text, {"line": line}),)
    return replace(there.shape, columns=tuple(columns)), notes


def _encoded(text: str, shape: _Shape, path: str) -> bytes:
    try:
        return text.encode(shape.encoding)
    except UnicodeEncodeError as problem:
        raise Refusal(
            "BAD_BOARD_NAME",
            f"{path} is not UTF-8 text and cannot hold {problem.object[problem.start : problem.end]!r}.",
            "A log that a spreadsheet has saved in an older encoding holds western letters only.",
            "Save it again as CSV UTF-8, or type another name for the board.",
            fields=("board",),
            file=path,
        ) from None


def _whole(descriptor: int) -> bytes:
    os.lseek(descriptor, 0, os.SEEK_SET)
    parts = []
    while part := os.read(descriptor, 1 << 20):
        parts.append(part)
    return b"".join(parts)


def _written(descriptor: int, data: bytes, before: int, path: str) -> bytes:
    """Write, flush and read the file back; after a failure it is as long as it was."""
    try:
        left = memoryview(data)
        while left:
            left = left[os.write(descriptor, left) :]
        os.fsync(descriptor)
        return _whole(descriptor)
    except OSError as problem:
        # Only our own half row goes. If even that fails, the next row begins on a line of its own.
        with contextlib.suppress(OSError):
            os.ftruncate(descriptor, before)
        raise _cannot_write(path, problem) from None


def _take_back(descriptor: int, before: int, written: int) -> None:
    """Make the file as long as it was, unless a program that knows no lock has written behind our row."""
    with contextlib.suppress(OSError):
        if os.fstat(descriptor).st_size == before + written:
            os.ftruncate(descriptor, before)
            os.fsync(descriptor)


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


def _row(values: dict[str, object], shape: _Shape) -> str:
    cells = []
    for column in shape.columns:
        value = values.get(column)
        text = "" if value is None else str(value)
        if isinstance(value, int | float):
            text = f"{value:.6f}".rstrip("0").rstrip(".")
            text = text.replace(".", ",") if shape.comma else text
        cells.append(text)
    return _line(cells, shape)


def _line(cells: Iterable[str], shape: _Shape) -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=shape.delimiter, lineterminator=shape.end).writerow(cells)
    return out.getvalue()


# Reading.


def _decoded(raw: bytes, path: str) -> tuple[str, str]:
    """The text of a log, and its encoding.

    :raises Refusal: no text at all
    """
    try:
        text, encoding = raw.decode("utf-8-sig"), "utf-8"
    except UnicodeDecodeError:
        text, encoding = raw.decode("cp1252", "replace"), "cp1252"
    if "\0" in text:
        raise Refusal("BINARY", f"{path} is not a text file.", f"A {WHAT} is text.",
                      f"Type the path of a {WHAT}.", file=path)  # fmt: skip
    return text, encoding


def _bad_row(path: str, line: int, wrong: object, allowed: str) -> Refusal:
    return Refusal(
        "BAD_ROW",
        f"{path}: {wrong}.",
        allowed,
        "Fix or delete the row; until then it is left out.",
        file=path,
        line=line,
    )


def _parse(raw: bytes, path: str) -> _Parsed:
    text, encoding = _decoded(raw, path)
    lines = _LINE_END.split(text)
    shape = _Shape(end="\r\n" if "\r\n" in text else "\n", encoding=encoding)
    highest = 0
    headings: list[int] = []
    readings: dict[int, Reading] = {}
    undone: dict[int, int] = {}
    above: list[int] = []
    faults: list[Refusal] = []
    numbers: dict[int, int] = {}
    for number, line in enumerate(lines, start=1):
        if (found := _heading(lines, number, shape)) is not None:
            headings.append(number)
            shape = found
            continue
        if not headings:
            if line.strip(" ,;\t"):
                above.append(number)
            continue
        cells = _cells(line, shape.delimiter)
        if not any(cell.strip() for cell in cells):
            continue
        row = dict(zip(shape.columns, (cell.strip() for cell in cells), strict=False))
        if re.fullmatch(r"\d{1,9}", row.get("number", "")):
            highest = max(highest, int(row["number"]))
        try:
            kind = _kind(row)
            if row.get("number") and "kind" in shape.columns and row.get("kind", "").lower() != kind:
                raise ValueError(f"it was cut off or changed: it does not end with {kind}")
            if any(cell.strip() for cell in cells[len(shape.columns) :]):
                raise ValueError("it has more cells than the first line has headings")
            own = _whole_number(row["number"], "number") if row.get("number") else None
            if own in numbers:
                raise ValueError(f"number {own} stands in line {numbers[own]} already")
            if kind == _UNDO:
                undone[number] = _whole_number(row["undoes"], "undoes")
            else:
                readings[number] = _reading(row, kind, own, number)
            if own is not None:
                numbers[own] = number
        except ValueError as problem:
            faults.append(
                _bad_row(path, number, problem, "A row has a date, a board, and a meter reading or a weight.")
            )
    faults += _above_all_headings(above, lines, path, bool(headings))
    by_number = {reading.number: line for line, reading in readings.items() if reading.number is not None}
    taken_back = set()
    marks = []
    for number, undoes in undone.items():
        if by_number.get(undoes, number) >= number:
            wrong = f"it takes back reading {undoes}, which does not stand above it"
            faults.append(_bad_row(path, number, wrong, "A row that takes back a reading stands below it."))
        else:
            taken_back.add(by_number[undoes])
            marks.append(number)
    faults.sort(key=lambda fault: fault.line or 0)
    log = ReadingsLog(
        path,
        tuple(reading for line, reading in readings.items() if line not in taken_back),
        tuple(readings[line] for line in sorted(taken_back)),
        tuple(faults),
        tuple(marks),
        tuple(headings),
    )
    return _Parsed(log, shape, highest, len(lines), torn=bool(lines[-1]))


def _heading(lines: Sequence[str], number: int, above: _Shape) -> _Shape | None:
    """The shape of the rows below a line that names columns; None for any other line.

    :param number: of the line, from 1
    :param above: the shape of what stands above it
    """
    line = lines[number - 1].lower()
    if not all(name in line for name in _NEEDED):
        return None
    for delimiter in (",", ";", "\t"):
        columns = [cell.strip() for cell in _cells(line, delimiter)]
        while columns and not columns[-1]:  # a spreadsheet fills up to the widest row
            columns.pop()
        if (
            set(columns) >= _NEEDED
            and {"mc_pct", "weight_g"} & set(columns)
            and len(set(columns)) == len(columns)
        ):
            # Where semicolons part the cells, commas are decimal signs.
            comma = delimiter == ";" or (
                delimiter == "\t" and any(re.search(r"\d,\d", row) for row in lines[number:])
            )
            return replace(above, columns=tuple(columns), delimiter=delimiter, comma=comma)
    return None


def _above_all_headings(above: Sequence[int], lines: Sequence[str], path: str, known: bool) -> list[Refusal]:
    """The faults of the lines that stand above all headings.

    :param above: their numbers
    :param known: False where the whole file has no heading
    :raises Refusal: no heading, and more than one of ours that was cut off when it was written
    """
    torn = [number for number in above if ",".join(COLUMNS).startswith(lines[number - 1].strip())]
    strange = [number for number in above if number not in torn[:1]]
    if strange and not known:
        raise Refusal(
            "NOT_A_LOG",
            f"{path} is not a log of readings.",
            f"A line such as {','.join(COLUMNS)} stands above its rows.",
            "If its rows are readings, write that line above them; else type the path of a new file.",
            file=path,
            line=strange[0],
        )
    return [
        Refusal(
            "BAD_ROW",
            f"{path}: {'it is a heading that was cut off' if number in torn else 'it has no heading'}.",
            "A heading names the columns of the rows below it.",
            "It may stay as it is.",
            file=path,
            line=number,
        )
        for number in above
    ]


def _cells(line: str, delimiter: str) -> list[str]:
    """The cells of one line; a quotation mark that was never closed spoils no other line."""
    try:
        return next(csv.reader([line], delimiter=delimiter), [])
    except csv.Error:
        return [line]


def _kind(row: dict[str, str]) -> str:
    """What a row is, as it says or as its cells show."""
    if row.get("undoes"):
        return _UNDO
    if row.get("dry_g"):
        return OFFCUT if row.get("kind", "").lower() == OFFCUT else OVEN_DRY
    return READING


def _reading(row: dict[str, str], kind: str, number: int | None, line: int) -> Reading:
    if not row.get("board"):
        raise ValueError("it names no board")
    values = {name: _number(row.get(name, ""), name) for name in _BOUNDS}
    if values["mc_pct"] is None and values["weight_g"] is None:
        raise ValueError("it has neither a meter reading nor a weight")
    if kind != READING and (values["weight_g"] is None or values["weight_g"] < (values["dry_g"] or 0.0)):
        raise ValueError("what was dried has a weight of that day, and weighs no more when it is dry")
    return Reading(
        number,
        _day(row.get("date", "")),
        row["board"],
        values["mc_pct"],
        values["weight_g"],
        values["wood_temp_c"],
        values["depth_mm"],
        line,
        values["dry_g"],
        kind,
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
