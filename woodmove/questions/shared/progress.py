"""Progress of a long run, on a terminal only."""

import sys
import time
from collections.abc import Callable

from woodmove.physics.arrays import Array

# A run that is over before this needs no progress.
QUIET_SECONDS = 1.0


def progress(what: str) -> Callable[[int, int, Array], bool] | None:
    """A watcher that keeps one line of standard error up to date; None where nobody would see it."""
    if not sys.stderr.isatty():
        return None
    began = time.monotonic()

    def watch(done: int, whole: int, _: Array) -> bool:
        if done + 1 == whole:
            sys.stderr.write("\r\x1b[K")
        elif time.monotonic() - began > QUIET_SECONDS:
            sys.stderr.write(f"\r{what}: {100 * done // whole} %")
            sys.stderr.flush()
        return False

    return watch
