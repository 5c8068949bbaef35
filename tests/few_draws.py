"""Command lines of tests, which are quick: `--draws N` and `--seed N` are no options of the program, and are
taken out of the line before the program sees it."""

from unittest.mock import patch

from woodmove.cli import execute
from woodmove.cli.run import run as run_as_typed

TAKEN_OUT = {"--draws": "DRAWS", "--seed": "SEED"}


def run(arguments: list[str]) -> int:
    """Run a command line with so many draws and that seed, where it says so; returns the exit code."""
    left, said = list(arguments), {"DRAWS": execute.DRAWS, "SEED": execute.SEED}
    for word, constant in TAKEN_OUT.items():
        while word in left:  # the last one counts, as of an option
            at = left.index(word)
            said[constant] = int(left[at + 1])
            del left[at : at + 2]
    with patch.multiple(execute, **said):
        return run_as_typed(left)
