"""A sign of life on the terminal of whoever waits."""

import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import count

# An answer that comes sooner needs none.
QUIET_SECONDS = 1.0


@contextmanager
def busy(name: str) -> Iterator[None]:
    """While it lasts, one line of standard error that counts the seconds; none where nobody would see it."""
    if not sys.stderr.isatty():
        yield
        return
    over = threading.Event()

    def tell() -> None:
        for seconds in count(1):
            if over.wait(QUIET_SECONDS):
                return
            sys.stderr.write(f"\rwoodmove {name}: working, {seconds} s")
            sys.stderr.flush()

    thread = threading.Thread(target=tell, daemon=True)
    thread.start()
    try:
        yield
    finally:
        over.set()
        thread.join()
        sys.stderr.write("\r\x1b[K")
        sys.stderr.flush()
