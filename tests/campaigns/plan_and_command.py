"""The same log of readings in a plan and in the single command: the same figures, dates and warnings.

Logs are random: woods, sizes, starts, visits, rooms; boards that were metered, weighed or both.
"""

import contextlib
import io
import json
import random
import shlex
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from few_draws import run

WOODS = ("northern-red-oak", "douglas-fir-coast", "norway-spruce", "southern-pine")
ROOMS = (('temp = "20C"\nrh = "{rh}"\n', "--temp 20C --rh {rh}"), ("", ""))
STACKED = date(2026, 12, 1)


@dataclass(frozen=True)
class Case:
    """A log, as rows, and the job about it.

    :param job: text of the job file
    :param line: what is typed after the name of the log for the same question
    :param log: text of the log
    """

    job: str
    line: str
    log: str


@dataclass
class Compared:
    """Names of what differs, by the number of its case; how many logs named a day at all."""

    cases: int = 0
    dated: int = 0
    differing: dict[int, list[str]] = field(default_factory=dict[int, list[str]])


def case(dice: random.Random) -> Case:
    """A log that somebody might keep: some boards are weighed, some start is told, some air stays."""
    wood, thickness, width = dice.choice(WOODS), dice.randint(18, 60), dice.randint(90, 230)
    start = round(dice.uniform(9.0, 18.0), 1)
    aim, days = dice.uniform(6.0, 9.0), dice.uniform(10.0, 90.0)
    visits = sorted(dice.sample(range(1, 45), dice.randint(1, 5)))
    rows = ["number,date,board,mc_pct,weight_g"]
    for name in "ABCDEFGH"[: dice.randint(1, 8)]:
        weighed, own = dice.random() < 0.3, dice.gauss(0.0, 0.7)
        for visit in visits:
            mc = aim + (start - aim) * 2.0 ** (-visit / days) + own + dice.gauss(0.0, 0.4)
            weight = f"{2000 * (1 + mc / 100):.0f}"
            metered = not weighed or visit == visits[0]
            shown = f"{mc:.1f}," if metered else f",{weight}"
            rows.append(f"{len(rows)},{STACKED + timedelta(days=visit)},{name},{shown}")
    rh = dice.randint(30, 45)
    told, typed = (words.format(rh=rh) for words in dice.choice(ROOMS))
    mc_told, mc_typed = (f"mc_now = {start}\n", f"--mc-now {start}") if dice.random() < 0.7 else ("", "")
    build = STACKED + timedelta(days=dice.randint(50, 120))
    today = STACKED + timedelta(days=visits[-1] + dice.randint(0, 5))
    job = (
        f'[job]\nname = "top"\nbuild_date = {build}\n[wood]\nspecies = "{wood}"\nrings = "flat"\n'
        f'strips_from = "{thickness}mm x {width}mm"\n'
        f'[top]\nwidth = "700mm"\nthickness = "38mm"\n[room]\nplace = "burlington"\nheat_to = "66F"\n'
        f'[readings]\nlog = "readings.csv"\n[stock]\nfrom = {STACKED}\n'
        f"{mc_told}{told}"
    )
    line = (
        f"--species {wood} --place burlington --room 'heat_to=66F' --strip-width 38mm --build-date {build} "
        f"--stock '{thickness}mm x {width}mm' --from {STACKED} --today {today} {typed} {mc_typed}"
    )
    return Case(job, line, "\n".join(rows) + "\n")


def _answered(line: str) -> dict[str, Any]:
    out = io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(io.StringIO()):
        run([*shlex.split(line), "--json"])
    return json.loads(out.getvalue())


def compare(folder: Path, cases: int, draws: int = 256, seed: int = 1) -> Compared:
    """Ask both about so many random logs.

    :param folder: where the logs and jobs are written
    """
    dice, found = random.Random(seed), Compared()
    for number in range(cases):
        one = case(dice)
        (folder / "readings.csv").write_text(one.log, encoding="utf-8")
        (folder / "job.toml").write_text(one.job, encoding="utf-8")
        today = one.line.split("--today ")[1].split()[0]
        plan = _answered(f"plan {folder / 'job.toml'} --today {today} --draws {draws}")
        (lumber,) = (row["answer"] for row in plan["results"]["sections"] if row["key"] == "lumber")
        alone = _answered(f"acclimate --log {folder / 'readings.csv'} {one.line} --draws {draws}")
        found.cases += 1
        found.dated += alone["results"]["ready_even_on"] is not None
        names = {*lumber["results"], *alone["results"]}
        differing = [
            name for name in sorted(names) if lumber["results"].get(name) != alone["results"].get(name)
        ]
        differing += [name for name in ("verdict", "warnings", "assumptions") if lumber[name] != alone[name]]
        if differing:
            found.differing[number] = differing
    return found
