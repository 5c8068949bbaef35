"""Job files: TOML, each value with the line that it stands on."""

import contextlib
import os
import shlex
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from importlib import resources
from pathlib import Path
from typing import Any

from woodmove.contract.refusal import Refusal
from woodmove.domain.room import NAMED
from woodmove.files.texts import read_text
from woodmove.files.toml import load_toml

DEMO = "the built-in demo"
# Values that may be written as tables, one after another: [[stock.room]].
ROWS = {("stock", "room")}
# A table that may stand there several times, one for each room that the top moves to, and the key that holds
# the rooms after the first: the first is told like any other table.
ROOMS, LATER = "room", "kind"


@dataclass(frozen=True, slots=True)
class RawField:
    """A value of a job file as it stands there.

    :param place: ``table.key``
    :param text: the value as text; of a list, its items with commas between
    """

    place: str
    text: str
    line: int


@dataclass(frozen=True, slots=True)
class RawJob:
    """A job file as it stands on disk.

    :param tables: line of each table, by name
    """

    source: str
    fields: tuple[RawField, ...]
    tables: Mapping[str, int]


def read_job(path: str) -> RawJob:
    """Read a job file.

    :raises Refusal: not a file, or not TOML, with the line
    """
    return _parse(read_text(path, "job file"), path)


def demo_text() -> str:
    """The job file of the built-in demo. Its scenario and numbers are invented."""
    return resources.files("woodmove.files").joinpath("demo.toml").read_text("utf-8")


# Today of the demo, so that it says the same on any day: its lumber is stacked.
DEMO_DAY = date(2026, 11, 28)


def read_demo() -> RawJob:
    """The job of the built-in demo."""
    return _parse(demo_text(), DEMO)


def _parse(text: str, source: str) -> RawJob:
    data, tables, lines = load_toml(
        text,
        source,
        "job file",
        "A job file is TOML: [tables], and key = value lines with text in quotes, each key once.",
        "Put text in quotes, mend that line, or start again from woodmove new JOB.toml.",
    )
    fields: list[RawField] = []
    for table, content in data.items():
        if table == ROOMS and isinstance(content, list) and (rows := _tables(content)):
            content = _moving(rows)
        if not isinstance(content, dict):
            raise Refusal(
                "NO_TABLE",
                f"{table} stands outside a table.",
                "Each value of a job file stands in a table, such as [top].",
                f"Put a line such as [top] above {table}.",
                file=source,
                line=lines.get(("", table), 1),
            )
        for key, value in content.items():
            fields.append(_field(table, key, value, source, lines.get((table, key), tables.get(table, 1))))
    return RawJob(source, tuple(fields), {table: tables.get(table, 1) for table in data})


def _field(table: str, key: str, value: Any, source: str, line: int) -> RawField:
    if (table, key) in ROWS and (rows := _tables(value)):
        return RawField(f"{table}.{key}", _row(rows), line)
    items = value if isinstance(value, list) else [value]
    if isinstance(value, dict) or any(isinstance(item, dict | list) for item in items):
        raise Refusal(
            "NESTED",
            f"{table}.{key} is a table or a list of lists.",
            "A value of a job file is text, a number, true or false, a date, or a list of these.",
            f'Write {key} = "..." in one line.',
            file=source,
            line=line,
        )
    texts = [str(item).lower() if isinstance(item, bool) else str(item) for item in items]
    return RawField(f"{table}.{key}", ",".join(texts), line)


def _tables(value: Any) -> list[dict[str, Any]]:
    """The tables of a value that is one, or a list of them; none where it is anything else."""
    tables = value if isinstance(value, list) else [value]
    return tables if all(isinstance(table, dict) for table in tables) else []


def _moving(rooms: list[dict[str, Any]]) -> dict[str, Any]:
    """Several rooms as one table: that of the first, the others in a row behind its kind."""
    first, *later = rooms
    if not later and "from" not in first:
        return first
    named = {key: first[key] for key in (LATER, "from") if key in first}
    own = {key: value for key, value in first.items() if key not in named}
    return own | {LATER: _row([{LATER: NAMED[0]} | named, *later])}


def _row(tables: list[dict[str, Any]]) -> str:
    """Tables as one text: ``key=value`` with spaces between, and a comma between tables."""
    return ", ".join(
        " ".join(f"{key}={shlex.quote(str(value))}" for key, value in table.items()) for table in tables
    )


def refuse_existing(path: str) -> None:
    """Refuse a path at which there is something already.

    :raises Refusal: there is
    """
    if os.path.lexists(path) and not Path(path).is_dir():
        raise Refusal(
            "FILE_EXISTS",
            f"{path} is already there.",
            "A new job file never replaces an old one.",
            "Type another name.",
            file=path,
        )


def write_new(path: str, text: str) -> None:
    """Write a new file, whole or not at all, and never over an existing one.

    :raises Refusal: the file exists, or cannot be written
    """
    target = Path(path)
    if target.is_dir() or not target.name:
        raise Refusal(
            "IS_A_DIRECTORY", f"{path} is a directory.", "A job file is a file.",
            "Type the name of the file too.", file=path,
        )  # fmt: skip
    temporary = target.with_name(f".{target.name}.{os.getpid()}.new")
    try:
        temporary.write_text(text, encoding="utf-8")
        try:
            os.link(temporary, target)  # the one call that neither overwrites nor leaves half a file
        except FileExistsError:
            raise
        except OSError:  # a file system without links
            with open(target, "x", encoding="utf-8") as file:
                file.write(text)
    except FileExistsError:
        refuse_existing(path)
        raise
    except OSError as problem:
        raise Refusal(
            "CANNOT_WRITE",
            f"{path} cannot be written: {problem.strerror}.",
            "",
            "Type the path of a file in a folder that you may write to.",
            file=path,
        ) from None
    finally:
        with contextlib.suppress(OSError):
            temporary.unlink(missing_ok=True)
