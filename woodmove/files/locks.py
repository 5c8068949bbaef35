"""One writer at a time, on every system."""

import contextlib
import os
import time
from collections.abc import Callable, Iterator
from types import ModuleType

from woodmove.contract.refusal import Refusal

try:
    import fcntl as _fcntl
except ImportError:  # Windows
    _fcntl = None
try:
    import msvcrt as _msvcrt
except ImportError:
    _msvcrt = None

fcntl: ModuleType | None = _fcntl
msvcrt: ModuleType | None = _msvcrt

PATIENCE_S = 15.0
# Windows locks bytes: one far behind the end of any log, so that readers are not kept out.
_FAR = 0x7FFF0000


@contextlib.contextmanager
def locked(descriptor: int, path: str) -> Iterator[None]:
    """Hold the lock of an open file; the system lets it go when the process dies.

    Where the system has no locks, a file beside it is the lock.

    :raises Refusal: somebody else has held it for 15 s
    """
    take, give = _ways(descriptor, path)
    deadline = time.monotonic() + PATIENCE_S
    while not _taken(take):
        if time.monotonic() > deadline:
            raise Refusal(
                "LOG_BUSY",
                f"{path} is locked: another program has been writing to it for {PATIENCE_S:.0f} s.",
                "One writer at a time can append a reading.",
                "Try again; if nothing else runs, "
                + (f"delete {path}.lock." if not (fcntl or msvcrt) else "look for a program that hangs."),
                file=path,
            )
        time.sleep(0.005)
    try:
        yield
    finally:
        give()


def _taken(take: Callable[[], None]) -> bool:
    try:
        take()
    except (BlockingIOError, FileExistsError, PermissionError):
        return False
    return True


def _ways(descriptor: int, path: str) -> tuple[Callable[[], None], Callable[[], None]]:
    """How to take the lock, at once or not at all, and how to give it back."""
    if fcntl is not None:
        system = fcntl
        return (
            lambda: system.flock(descriptor, system.LOCK_EX | system.LOCK_NB),
            lambda: system.flock(descriptor, system.LOCK_UN),
        )
    if msvcrt is not None:
        system = msvcrt

        def at_the_far_byte(mode: int) -> None:
            os.lseek(descriptor, _FAR, os.SEEK_SET)
            system.locking(descriptor, mode, 1)

        return lambda: at_the_far_byte(system.LK_NBLCK), lambda: at_the_far_byte(system.LK_UNLCK)
    beside = f"{path}.lock"
    return (
        lambda: os.close(os.open(beside, os.O_CREAT | os.O_EXCL | os.O_WRONLY)),
        lambda: os.unlink(beside),
    )
