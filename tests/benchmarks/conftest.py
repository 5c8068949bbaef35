"""Benchmarks against a yardstick: ours and the yardstick take turns, so that both meet the same machine.

Not collected by default. From the root of the checkout:

    pytest -o addopts= tests/benchmarks
"""

import os
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median

import pytest


@dataclass
class Race:
    """Ours against a yardstick.

    :param limit: how many times the yardstick's time ours may take
    """

    name: str
    yardstick: str
    limit: float
    ours_s: list[float] = field(default_factory=list)
    yardstick_s: list[float] = field(default_factory=list)

    @property
    def ratio(self) -> float:
        """Ratio of the medians."""
        return median(self.ours_s) / median(self.yardstick_s)

    @property
    def ratio_of_mins(self) -> float:
        return min(self.ours_s) / min(self.yardstick_s)


RACES: list[Race] = []


@pytest.fixture
def race(benchmark):
    """Time ours and the yardstick in turns, and hold the ratio of their times to a limit."""

    def run(name: str, ours: Callable, yardstick: tuple[str, Callable], limit: float, rounds: int) -> None:
        what, call = yardstick
        entry = Race(name, what, limit)

        def take_turn() -> None:  # the setup of each round: not in the time of ours
            start = time.perf_counter()
            call()
            entry.yardstick_s.append(time.perf_counter() - start)

        benchmark.pedantic(ours, setup=take_turn, rounds=rounds, warmup_rounds=1)
        del entry.yardstick_s[0]  # of the warm-up
        entry.ours_s = list(benchmark.stats.stats.data)
        benchmark.extra_info.update(yardstick=what, ratio=entry.ratio, limit=limit)
        RACES.append(entry)
        # A busy machine spoils the one or the other; what has become slow shows in both.
        assert min(entry.ratio, entry.ratio_of_mins) <= limit, (
            f"{name} takes {entry.ratio:.2f} times as long as {what} (best runs: {entry.ratio_of_mins:.2f}), "
            f"limit {limit:g}"
        )

    return run


@pytest.fixture(scope="session")
def process(tmp_path_factory) -> Callable[..., Callable[[], None]]:
    """Makes a call that runs a whole process of this environment, as a user's second run would be."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    # Byte code is kept, as it is for a user, but outside the checkout.
    environment["PYTHONPYCACHEPREFIX"] = str(tmp_path_factory.mktemp("bytecode"))
    environment["XDG_CONFIG_HOME"] = str(tmp_path_factory.mktemp("config"))

    def make(program: str, *arguments: str) -> Callable[[], None]:
        command = [Path(sys.executable).parent / program, *arguments]

        def call() -> None:
            subprocess.run(command, env=environment, stdout=subprocess.DEVNULL, check=True)

        return call

    return make


def pytest_terminal_summary(terminalreporter) -> None:
    if not RACES:
        return
    write = terminalreporter.write_line
    terminalreporter.section("ours against the yardstick, in turns")
    write(f"{'':28}{'median':>10}{'yardstick':>11}{'ratio':>7}{'of mins':>9}{'limit':>7}")
    for entry in RACES:
        ours, other = (f"{median(times) * 1e3:.0f} ms" for times in (entry.ours_s, entry.yardstick_s))
        write(
            f"{entry.name:28}{ours:>10}{other:>11}{entry.ratio:7.2f}{entry.ratio_of_mins:9.2f}"
            f"{entry.limit:7.1f}  {entry.yardstick}"
        )
