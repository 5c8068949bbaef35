"""TOML that somebody wrote by hand: what it holds, and on which line."""

import re
import tomllib
from typing import Any

from woodmove.contract.refusal import Refusal


def load_toml(
    text: str, source: str, what: str, allowed: str, instead: str
) -> tuple[dict[str, Any], dict[str, int], dict[tuple[str, str], int]]:
    """A TOML file that somebody wrote by hand.

    :param what: what it should be, for the message: "job file"
    :param allowed: what such a file is, and `instead` what to do about one that is none
    :returns: what it holds; the line of each table; that of each value, by table and key
    :raises Refusal: not TOML, with the line
    """
    try:
        data = tomllib.loads(text.replace("\r\n", "\n"))
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as problem:  # a number of 5,000 digits, say
        where = re.search(r"\(at line (\d+)", str(problem))
        message = re.sub(r"\s*\(at .*\)$", "", str(problem))
        line = int(where[1]) if where else text.count("\n") + 1
        if message.startswith("Invalid date"):
            raise Refusal(
                "NO_SUCH_DAY",
                f"{text.splitlines()[line - 1].strip()}: there is no such day.",
                "A date is year, month and day, such as 2027-01-15.",
                "Mend the date.",
                file=source,
                line=line,
            ) from None
        if message.startswith(("Cannot declare", "Cannot overwrite")):
            instead = (
                "Merge the two; a table that may be there several times has two brackets each time, [[room]]."
            )
        raise Refusal(
            "NOT_TOML", f"{source} is not a {what}: {message}.", allowed, instead, file=source, line=line
        ) from None
    return data, *_lines(text)


def _lines(text: str) -> tuple[dict[str, int], dict[tuple[str, str], int]]:
    """Line of each table and of each key. The TOML reader of the standard library keeps no positions."""
    tables: dict[str, int] = {}
    keys: dict[tuple[str, str], int] = {}
    table, quote = "", ""  # quote: what closes the text of several lines that we are in
    for number, line in enumerate(text.splitlines(), start=1):
        if quote:
            if quote in line:
                quote = ""
            continue
        if header := re.match(r"\s*\[\[?\s*\"?([\w-]+)\"?\s*(?:\.\s*\"?([\w-]+)\"?\s*)?\]", line):
            # A table within a table is a value of it.
            table = header[1] if header[2] is None else f"{header[1]}.{header[2]}"
            tables.setdefault(header[1], number)
            if header[2] is not None:
                keys.setdefault((header[1], header[2]), number)
        elif entry := re.match(r"\s*(?:\"?([\w-]+)\"?\s*\.\s*)?\"?([\w-]+)\"?\s*=\s*(.*)", line):
            name, value = entry[1] or table, entry[3]
            keys.setdefault((name, entry[2]), number)
            if not name and value.startswith("{"):  # a table in one line
                tables.setdefault(entry[2], number)
                for inner in re.findall(r"\"?([\w-]+)\"?\s*=", value):
                    keys.setdefault((entry[2], inner), number)
            elif name:
                tables.setdefault(name, number)
            quote = next((q for q in ('"""', "'''") if value.count(q) == 1), "")
    return tables, keys
