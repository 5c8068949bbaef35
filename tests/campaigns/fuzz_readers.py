"""Mangled files: whatever bytes a logger's file or a log of readings holds, it is read or refused, and every
row is used or told of."""

import contextlib
import random
from dataclasses import dataclass
from pathlib import Path

from woodmove.contract.refusal import Refusal
from woodmove.files.air.logger import read_logger
from woodmove.files.air.weather import read_weather
from woodmove.files.readings import COLUMNS, read_readings

LOGGERS = sorted((Path(__file__).parents[1] / "files" / "loggers").iterdir())
LOG = (
    ",".join(COLUMNS)
    + "\n"
    + "".join(f"{i},2027-01-{i:02d},A{i % 3},1{i % 4}.5,,18,9.5,,,reading\n" for i in range(1, 15))
    + "15,2027-01-20,,,,,,,3,undo\n16,2027-01-21,A1,,1350.5,,,,,reading\n"
).encode()
TOKENS = (
    b"\n", b"\r", b"\r\n", b",", b";", b"\t", b'"', b"'", b"\x00", b"\xff\xfe", b"\xef\xbb\xbf", b"nan",
    b"inf", b"-", b"1e308", b"99999999999999999999", b"2026-02-30", b"31/31/2026", b"24:00", b"\xc2\xb0",
    b"%", b"undo", b"reading", b" ", b"\x1f", b"\xe2\x88\x92", b"0", b"-9900", b"99.9", b"999",
)  # fmt: skip


@dataclass(frozen=True)
class Fuzzed:
    """How many mangled files were read, and how many refused; the rest would have raised."""

    read: int
    refused: int


def mangled(data: bytes, dice: random.Random) -> bytes:
    """A file with a few bytes changed, cut, doubled, moved or put in."""
    for _ in range(dice.randint(1, 6)):
        at = dice.randrange(len(data) + 1)
        end = min(len(data), at + dice.choice((1, 2, 5, 20, 100)))
        way = dice.randrange(6)
        if way == 0:
            data = data[:at] + bytes([dice.randrange(256)]) + data[at + 1 :]
        elif way == 1:
            data = data[:at] + data[end:]
        elif way == 2:
            data = data[:at] + data[at:end] * 2 + data[end:]
        elif way == 3:
            data = data[:at] + dice.choice(TOKENS) + data[at:]
        elif way == 4:
            data = data[:at]
        else:
            other = dice.randrange(len(data) + 1)
            data = data[:at] + data[other : other + 40] + data[at:]
    return data


def fuzz_loggers(folder: Path, count: int, seed: int = 1) -> Fuzzed:
    """Mangled logger files.

    :raises AssertionError: a row that is neither used nor told of, or told of twice
    """
    dice = random.Random(seed)
    path = folder / "logger.csv"
    originals = [file.read_bytes() for file in LOGGERS]
    read = 0
    for _ in range(count):
        path.write_bytes(mangled(dice.choice(originals), dice))
        try:
            found = read_logger(str(path))
        except Refusal:
            continue
        read += 1
        lines = [line for told in found.dropped.values() for line in told]
        assert found.rows_in == found.rows_used + len(lines)
        assert len(set(lines)) == len(lines)
        assert found.air.rh_pct.min() > 0
        assert found.air.rh_pct.max() <= 100
    return Fuzzed(read, count - read)


def fuzz_log(folder: Path, count: int, seed: int = 1) -> Fuzzed:
    """Mangled logs of readings.

    :raises AssertionError: a line that holds something and is no heading, reading or mark, and is not told of
    """
    dice = random.Random(seed)
    path = folder / "log.csv"
    read = 0
    for _ in range(count):
        data = mangled(LOG, dice)
        path.write_bytes(data)
        try:
            log = read_readings(str(path))
        except Refusal:
            continue
        read += 1
        kinds = (
            [reading.line for reading in (*log.readings, *log.undone)],
            list(log.marks),
            [fault.line for fault in log.faults],
            list(log.headings),
        )
        told = [line for lines in kinds for line in lines]
        assert len(set(told)) == len(told)
        text = data.decode("utf-8-sig", "replace").replace("\r\n", "\n").replace("\r", "\n")
        # More than empty cells.
        held = {i for i, line in enumerate(text.split("\n")[1:], start=2) if line.strip(' ,;\t"')}
        assert held <= set(told)
    return Fuzzed(read, count - read)


def fuzz_weather(folder: Path, original: bytes, count: int, seed: int = 1) -> Fuzzed:
    """Mangled weather files; `original` is a short one."""
    dice = random.Random(seed)
    path = folder / "weather.epw"
    read = 0
    for _ in range(count):
        path.write_bytes(mangled(original, dice))
        with contextlib.suppress(Refusal):
            read += len(read_weather(str(path)).air.times) > 0
    return Fuzzed(read, count - read)
