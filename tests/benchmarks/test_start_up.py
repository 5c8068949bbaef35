"""A command starts in about the time that Python and the libraries it needs take."""

ROUNDS = 21


def imports(process, modules):
    """The yardstick: a Python process that does nothing but import."""
    return f"import {modules}", process("python", "-c", f"import {modules}")


def test_emc(race, process):
    ours = process("woodmove", "emc", "--temp", "70F", "--rh", "50")
    race("woodmove emc", ours, imports(process, "typer, numpy"), 1.6, ROUNDS)


def test_version(race, process):
    race("woodmove --version", process("woodmove", "--version"), imports(process, "typer"), 1.5, ROUNDS)


def test_demo_plan(race, process):
    yardstick = imports(process, "typer, numpy, pandas, tabulate")
    race("woodmove plan --demo", process("woodmove", "plan", "--demo"), yardstick, 4.0, ROUNDS)
