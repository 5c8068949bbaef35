"""What is printed decides nothing: with other words in every sentence no number moves."""

import json
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from woodmove.files.job import demo_text

GARBLED = Path(__file__).parents[1] / "garbled.py"
LOG = """number,date,board,mc_pct
1,2026-12-04,A,12.4
2,2026-12-04,B,12.9
3,2026-12-11,A,11.8
4,2026-12-11,B,12.0
"""
# A target that is told; a board of which something is said already; every input that carries
# doubt; and a job of which every section has something to say, its glue-up a no go.
FEW = "--draws 128"
AIR = "--species douglas-fir-coast --stock 2x8 --mc-now 13 --temp 68F --rh 35"
LINES = [
    f"acclimate {AIR} --target-mc 8 {FEW}",
    f"acclimate --log log.csv {AIR} --from 2026-11-28 --today 2026-12-30 --target-mc 8 {FEW}",
    f"rip --species douglas-fir-coast --stock 2x8 --into 2 --mc-now 13 bow=0in --pith-depth 2in {FEW}",
    "list doubts",
    f"plan job.toml {FEW}",
]
JOB = (
    demo_text()
    .replace("clamps = 10", "clamps = 4")
    .replace('mc_now = "13%"', 'mc_now = "13%"\ntarget_mc = "8%"')
    .replace("[strips]\n", '[strips]\nlist = ["name=a mc=7 rings=20", "name=b mc=8", "name=c mc=9"]\n')
)


def run(how: str, folder: Path, environment: dict[str, str]) -> list[tuple[int, dict[str, Any]]]:
    done = subprocess.run(
        [sys.executable, GARBLED, how, *LINES],
        capture_output=True, text=True, encoding="utf-8", cwd=folder, env=environment, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def facts(value: Any, place: tuple = ()) -> Iterator[tuple[tuple, Any]]:
    """Everything in a document but its sentences: numbers, codes, dates, and how long each list is."""
    if isinstance(value, dict):
        for name, item in value.items():
            yield from facts(item, (*place, name))
    elif isinstance(value, list):
        yield (*place, "length"), len(value)
        for number, item in enumerate(value):
            yield from facts(item, (*place, number))
    elif not isinstance(value, str) or place[-1] == "code" or re.fullmatch(r"\d{4}-\d\d-\d\d", value):
        yield place, value


def test_no_sentence_decides_a_number(tmp_path, clean_environment):
    (tmp_path / "job.toml").write_text(JOB, encoding="utf-8")
    (tmp_path / "log.csv").write_text(LOG, encoding="utf-8")
    plain, garbled = (run(how, tmp_path, clean_environment) for how in ("plain", "garbled"))
    counted = 0
    for line, (code, document), (other_code, other) in zip(LINES, plain, garbled, strict=True):
        assert (code, other_code) == (0, 0), line
        assert document != other, f"{line}: nothing was garbled"
        expected, found = dict(facts(document)), dict(facts(other))
        moved = [place for place in expected | found if expected.get(place) != found.get(place)]
        assert not moved, f"{line}: {moved[:5]}"
        counted += len(expected)
    assert counted > 3000
