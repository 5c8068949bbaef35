"""Running code of plugins: what it prints stays off our output, and what it raises ends nothing of ours."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stdout, suppress


class PluginFault(Exception):
    """Code of a plugin has failed; the text says how, in one line."""


@contextmanager
def guarded(*passing: type[BaseException]) -> Iterator[None]:
    """Run code of a plugin.

    A KeyboardInterrupt goes through: it is the user's.

    :param passing: what else the code may raise, and is not at fault for
    :raises PluginFault: whatever else it raises, SystemExit too
    """
    with quiet():
        try:
            yield
        except (KeyboardInterrupt, *passing):
            raise
        except BaseException as problem:
            raise PluginFault(described(problem)) from problem


@contextmanager
def quiet() -> Iterator[None]:
    """Standard output leads to standard error: Python's own, and below it that of the process, which what a
    plugin starts writes to."""
    with redirect_stdout(sys.stderr):
        _flush()
        try:
            kept = os.dup(1)
            os.dup2(2, 1)
        except OSError:  # one of the two is closed
            yield
            return
        try:
            yield
        finally:
            _flush()
            os.dup2(kept, 1)
            os.close(kept)


def _flush() -> None:
    with suppress(AttributeError, ValueError, OSError):  # there is none, or it is closed
        sys.__stdout__.flush()  # pyright: ignore[reportOptionalMemberAccess]


def described(problem: BaseException) -> str:
    """What was raised, in one line."""
    try:
        text = str(problem)
    except Exception:
        text = "it cannot say why"
    return " ".join(f"{type(problem).__name__}: {text}".split())
