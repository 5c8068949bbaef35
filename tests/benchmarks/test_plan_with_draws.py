"""The whole plan, with the draws behind every Range, as a whole process."""

ROUNDS = 21


def test_demo_plan_with_its_draws(race, process):
    modules = "typer, numpy, pandas, tabulate"
    yardstick = f"import {modules}", process("python", "-c", f"import {modules}")
    race("plan --demo, 4096 draws", process("woodmove", "plan", "--demo"), yardstick, 4.0, ROUNDS)
