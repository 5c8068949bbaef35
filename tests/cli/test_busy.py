"""A sign of life for whoever waits, on a terminal only."""

import os
import pty
import subprocess
import sys

WAITS = "import time; from woodmove.cli.busy import busy\nwith busy('plan'): time.sleep({seconds})"


def errors_of(seconds: float, *, terminal: bool) -> str:
    """What a run that takes so long writes to its standard error."""
    code = WAITS.format(seconds=seconds)
    if not terminal:
        return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stderr
    reads, writes = pty.openpty()
    with subprocess.Popen([sys.executable, "-c", code], stderr=writes) as process:
        process.wait()
    os.close(writes)
    try:
        return os.read(reads, 10_000).decode()
    except OSError:  # Linux: nothing was written, and nobody writes any more
        return ""
    finally:
        os.close(reads)


def test_a_long_run_counts_its_seconds_on_a_terminal_and_wipes_them_away():
    said = errors_of(1.5, terminal=True)
    assert "woodmove plan: working, 1 s" in said
    assert said.endswith("\r\x1b[K")


def test_a_short_run_or_one_that_nobody_watches_says_nothing():
    assert "working" not in errors_of(0.0, terminal=True)
    assert not errors_of(1.5, terminal=False)
