"""The process: its streams and its exit code."""

import os
import sys
from contextlib import suppress


def main() -> int:
    """Entry point of the ``woodmove`` command; returns the exit code."""
    if sys.stdin is None:
        sys.stdin = open(os.devnull)  # noqa: SIM115
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w")  # noqa: SIM115
    if sys.stdout is None:
        print("woodmove: cannot write the output: standard output is closed.", file=sys.stderr)
        return 1
    try:
        code = _run(sys.argv[1:])
        sys.stdout.flush()
        return code
    except BrokenPipeError:  # the reader, `head` say, has seen enough
        _drop_what_is_left()
        return 0
    except OSError as problem:  # without a name it is a stream; files are refused where they are read
        _drop_what_is_left()
        what = f"use {problem.filename}" if problem.filename else "write the output"
        reason = problem.strerror or str(problem)
        with suppress(OSError):
            print(f"woodmove: cannot {what}: {reason[:1].lower()}{reason[1:]}.", file=sys.stderr)
        return 1


def _run(arguments: list[str]) -> int:
    # The products of matrices here are small: several threads would mostly wait for one another, which costs
    # three times the time on a machine that has other work. Read when NumPy is first imported.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    if arguments == ["--version"]:  # answered before anything is imported
        from woodmove import __version__

        print(f"woodmove {__version__}")
        return 0
    from woodmove.cli.run import run

    return run(arguments)


def _drop_what_is_left() -> None:
    """Python writes what is left in its buffer when it ends, and would fail again."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
