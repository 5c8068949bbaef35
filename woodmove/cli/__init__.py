"""The command line: one thin module per command."""

import sys


def main() -> int:
    """Entry point of the ``woodmove`` command; returns the exit code."""
    arguments = sys.argv[1:]
    if arguments == ["--version"]:  # answered before anything is imported
        from woodmove import __version__

        print(f"woodmove {__version__}")
        return 0
    from woodmove.cli.app import run

    return run(arguments)
