"""The log of readings under bad luck: writers killed at random, and several writers at once."""

import os
import random
import signal
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

from woodmove.files.readings import read_readings

# Appends readings and prints each number once it is acknowledged.
WRITER = """
import sys
from datetime import date
from woodmove.files.readings import add_reading
from woodmove.domain.reading import Reading
path, board, count = sys.argv[1], sys.argv[2], int(sys.argv[3])
print("ready", flush=True)
for i in range(count):
    done = add_reading(path, Reading(None, date(2027, 1, 1), board, 10.0 + i / 100)).reading
    sys.stdout.write(f"{done.number} {done.mc_pct:.2f}\\n")
    sys.stdout.flush()
"""


def writer_of(path: Path, board: str, count: int) -> subprocess.Popen[str]:
    """A writer in a process of its own."""
    command = [sys.executable, "-c", WRITER, str(path), board, str(count)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=dict(os.environ))


@dataclass(frozen=True)
class Killed:
    """What is left after a writer was killed again and again.

    :param acknowledged: rows that writers had said were safe
    :param lost: of these, how many do not stand in the log
    :param torn: rows that cannot be read
    :param kept: rows that stand in the log
    """

    runs: int
    acknowledged: int
    lost: int
    torn: int
    kept: int


def kill_at_random(folder: Path, runs: int, appends: int, seed: int = 1, start: str = "") -> Killed:
    """Start a writer, kill it in the middle, start the next on the same log.

    :param start: what stands in the log before
    """
    dice = random.Random(seed)
    path = folder / "log.csv"
    if start:
        path.write_text(start, encoding="utf-8")
    said: set[tuple[str, int, float]] = set()
    for run in range(runs):
        writer = writer_of(path, f"board {run}", appends)
        assert writer.stdout is not None
        assert writer.stdout.readline() == "ready\n"
        # Somewhere in its run, and anywhere in an append.
        heard = [writer.stdout.readline() for _ in range(dice.randrange(appends))]
        time.sleep(dice.uniform(0.0, 0.01))
        writer.send_signal(signal.SIGKILL)
        for line in (*heard, *writer.communicate()[0].splitlines(keepends=True)):
            if line.endswith("\n"):
                number, mc = line.split()
                said.add((f"board {run}", int(number), float(mc)))
    log = read_readings(str(path))
    there = {(r.board, r.number, r.mc_pct) for r in log.readings}
    return Killed(runs, len(said), len(said - there), len(log.faults), len(there))


def write_together(folder: Path, writers: int, appends: int) -> tuple[int, int, int]:
    """Several writers at once; rows that stand in the log, different numbers, rows that cannot be read."""
    path = folder / "log.csv"
    running = [writer_of(path, f"board {i}", appends) for i in range(writers)]
    for writer in running:
        writer.communicate()
        assert writer.returncode == 0
    log = read_readings(str(path))
    return len(log.readings), len({r.number for r in log.readings}), len(log.faults)
