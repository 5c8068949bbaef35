"""woodmove plan: the sections of a job in one answer."""

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from woodmove.cli.build import all_commands
from woodmove.contract.params import Param
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.manager import PluginManager, installed
from woodmove.files.job import demo_text

CATALOGUE = Catalogue(lambda: PluginManager(installed()))
COMMANDS = all_commands(CATALOGUE)
FEW = "--draws 128"  # enough where no more than the central values, or the order of a Range, is asked for


def codes(answer: dict[str, Any], kind: str = "warnings") -> list[str]:
    return [note["code"] for note in answer[kind]]


def words(text: str) -> str:
    """Text without its line breaks."""
    return " ".join(text.split())


# plan

SECTIONS = {
    "shop": "emc", "air": "climate show", "wood": "show species", "lumber": "acclimate", "slots": "slots",
    "width": "width",
}  # fmt: skip


KEPT: dict[str, Any] = {}


@pytest.fixture
def demo(cli) -> dict[str, Any]:
    """The document of the demo's plan, made once: nothing takes longer."""
    if not KEPT:
        KEPT.update(cli.json(f"plan --demo {FEW}"))
    return KEPT


def test_the_plan_of_the_demo(demo):
    sections = demo["results"]["sections"]
    keys = [section["key"] for section in sections]
    assert [key for key in keys if key in SECTIONS] == list(SECTIONS)
    for section in sections:
        assert {"key", "title", "provider", "status", "reason", "answer"} <= set(section)
        assert section["title"]
        if section["key"] in SECTIONS:
            assert section["provider"] == ("woodmove_fasteners" if section["key"] == "slots" else "woodmove")
            assert section["status"] == "done", section["reason"]
    checks = {
        (check["when"], check["check"].split(":")[0].split(",")[0]) for check in demo["results"]["checks"]
    }
    assert {
        ("March 2027", "The rails are at their driest"),
        ("September 2027", "The year's dampest"),
    } <= checks
    # The lumber is ready before the build, and that check comes first.
    assert demo["results"]["checks"][0]["when"].endswith("December 2026")
    for kind in ("cautions", "assumptions", "sources"):
        assert len(demo[kind]) > 2


def test_the_demo_says_that_it_is_invented(cli):
    assert "invented" in demo_text().splitlines()[0]
    assert "invented" in words(cli("plan -h").out)


def as_typed(command: str, job: dict[str, Any]) -> list[str]:
    """The command line that says what a job file says."""
    (spec,) = (spec for spec in COMMANDS if spec.name == command)
    line = command.split()
    for param in spec.params:
        if not param.option or said(param, job) is None:
            continue
        told = [f"{key}={text}" for key, part in param.kind.parts if (text := said(part, job)) is not None]
        text = " ".join(told) or said(param, job)
        line += [text] if param.is_argument else [param.option, text]
    return line


def said(param: Param, job: dict[str, Any]) -> str | None:
    """What a job says of a parameter, as it is typed."""
    table, _, key = param.job.partition(".")
    value = job.get(table, {}).get(key)
    return ",".join(value) if isinstance(value, list) else None if value is None else str(value)


@pytest.mark.parametrize(("key", "command"), SECTIONS.items())
def test_a_section_says_what_its_command_says(cli, demo, key, command, tmp_path):
    job = tomllib.loads(demo_text())
    # The demo says how wet its lumber is; how wet the top will be at assembly follows from that.
    job["wood"]["mc_now"] = demo["inputs"]["mc_now_pct"]
    assert "HANDED_ON" in codes(demo, "assumptions")
    line = as_typed(command, job)
    if any(param.name == "today" for spec in COMMANDS if spec.name == command for param in spec.params):
        line += ["--today", demo["inputs"]["today"]]
    if key == "slots":  # of the lumber it learns from a job alone
        lumber = tmp_path / "lumber.toml"
        lumber.write_text('[stock]\nmc_now = "13%"\n', encoding="utf-8")
        line += ["--job", str(lumber)]
    (section,) = (section for section in demo["results"]["sections"] if section["key"] == key)
    answer = cli.json([*line, *FEW.split()])
    answer["assumptions"] = [note for note in answer["assumptions"] if note["code"] != "FROM_JOB"]
    assert section["answer"] == answer


def test_the_demo_as_a_maker_would_type_it():
    job = tomllib.loads(demo_text())
    assert as_typed("emc", job) == ["emc", "--temp", "64F", "--rh", "38%"]
    assert as_typed("show species", job) == ["show", "species", "douglas-fir-coast"]
    slots = as_typed("slots", job)
    for option, text in (("--width", "32in"), ("--stock", "2x6:1, 2x8:2"),
                         ("--at", "2-1/2in,9in,16in,23in,29-1/2in"), ("--place", "burlington")):  # fmt: skip
        assert slots[slots.index(option) + 1] == text


def test_the_card_of_the_plan(cli):
    done = cli(f"plan --demo {FEW}")
    assert (done.code, done.err) == (0, "")
    lines = done.out.splitlines()
    assert lines[0].startswith("Bicycle workshop")
    assert lines[2].split()[0] in ("GO", "WAIT", "STOP")
    assert len(lines) <= 60
    assert max(map(len, lines)) <= 88
    assert "--details" in lines[-1]
    for part in ("Fix", "Year", "Not planned yet", "Measure next"):
        assert part in done.out
    assert not re.search(r"\d mm", done.out)


def test_a_day_of_the_card_is_named_once(cli):
    """Lumber ready and strips glued are one day of the demo: its name stands before the first of them."""
    lines = cli(f"plan --demo {FEW}").out.splitlines()
    at = next(number for number, line in enumerate(lines) if "Lumber stacked" in line)
    assert lines[at].startswith("13 December 2026  ")
    (after,) = (line for line in lines if "Glue the strips." in line)
    assert after.startswith(" " * len("13 December 2026  "))


def test_details_hold_all_parts_of_the_plan(cli, demo):
    out = words(cli(f"plan --demo {FEW} --details").out)
    for section in demo["results"]["sections"]:
        assert section["title"] in out
    for part in ("Safety", "Sources", "Assumed", "Dry the wood first, or the longest slot grows by"):
        assert part in out


JOB = """[wood]
species = "teak"
rings = "flat"
mc_now = 8

[top]
width = "30in"
thickness = "1in"

[room]
mc_low = 6
mc_high = 9
"""


def write(text: str, name: str = "job.toml") -> None:
    Path(name).write_text(text, encoding="utf-8")


def test_a_plan_leaves_out_what_the_job_has_no_word_of(cli):
    write(JOB)
    sections = {section["key"]: section for section in cli.results(f"plan job.toml {FEW}")["sections"]}
    assert {key: sections[key]["status"] for key in SECTIONS} == {
        "shop": "blocked", "air": "blocked", "wood": "done", "lumber": "blocked", "slots": "done",
        "width": "done",
    }  # fmt: skip
    assert "temp" in sections["shop"]["reason"]
    assert "room.place" in sections["air"]["reason"]
    assert sections["air"]["answer"] is None


def test_a_plan_of_the_sections_that_are_asked_for(cli):
    write(JOB + '[plan]\nsections = ["slots", "width"]\n')
    assert [section["key"] for section in cli.results(f"plan job.toml {FEW}")["sections"]] == [
        "slots",
        "width",
    ]


def test_a_section_that_fails_does_not_stop_the_others(cli):
    write(JOB.replace('"1in"', '"1/8in"'))
    done = cli(f"plan job.toml {FEW} --json")
    sections = {section["key"]: section for section in done.json["results"]["sections"]}
    assert done.code == 1
    assert (sections["slots"]["status"], sections["slots"]["answer"]) == ("failed", None)
    assert "job.toml:8" in sections["slots"]["reason"]
    assert sections["width"]["status"] == "done"
    assert "job.toml:8" in cli(f"plan job.toml {FEW}").out


def test_a_plan_that_fails_says_so_on_stderr(cli):
    write(JOB.replace('"1in"', '"1/8in"'))
    assert cli(f"plan job.toml {FEW}").err.startswith("woodmove: ")


def test_the_units_of_a_plan_are_those_of_its_job(cli):
    write('[job]\nunits = "mm"\n' + JOB)
    assert "762 mm" in cli(f"plan job.toml {FEW} --details").out
    assert "762 mm" not in cli(f"plan job.toml {FEW} --units in").out
