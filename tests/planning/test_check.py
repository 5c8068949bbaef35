"""woodmove check: every bad field with its line."""

import re
from pathlib import Path

import pytest

from woodmove.files.job import demo_text

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


# check


def test_check_names_every_bad_field_with_its_line_at_once(cli):
    write(
        '[wood]\nspecies = "teek"\nrings = 200\nmc_now = -3\n\n[top]\nwidth = 30\nthickness = "thick"\n\n'
        '[room]\nplace = "atlantis"\nkind = "cellar"\nheat_to = 68\nmoisture_gain = 9\nfurnace = true\n\n'
        '[base]\nwidth = "0mm"\n\n[slots]\nscrew = "#99"\nat = [2, 15]\n\n[roof]\npitch = "30deg"\n'
    )
    done = cli("check job.toml")
    lines = [int(line) for line in re.findall(r"^woodmove: job\.toml:(\d+): ", done.err, re.MULTILINE)]
    assert done.code == 1
    assert lines == [2, 3, 4, 7, 8, 11, 12, 13, 14, 15, 18, 21, 22, 25]
    faults = cli("check job.toml --json").json["errors"]
    assert [fault["line"] for fault in faults] == lines
    assert {fault["file"] for fault in faults} == {"job.toml"}
    assert all(fault["code"] and fault["text"] and fault["hint"] for fault in faults)


def test_check_finds_what_only_a_section_finds(cli):
    write(JOB.replace("mc_low = 6", "mc_low = 16"))
    done = cli("check job.toml")
    assert done.code == 1
    assert "job.toml:11: The dry extreme (16 %) is wetter than the wet one (9 %)." in done.err


def test_check_gives_the_line_of_what_only_a_section_finds(cli):
    write(JOB.replace("mc_low = 6", "mc_low = 16"))
    error = cli("check job.toml --json").json["error"]
    assert error["line"] == 11
    assert error["hint"]


def test_check_reports_one_fault_once(cli):
    write(JOB.replace("mc_low = 6", "mc_low = 16"))
    assert cli("check job.toml").err.count("is wetter than the wet one") == 1


@pytest.mark.parametrize("text", [JOB.replace("mc_low = 6\n", ""), JOB + '[shop]\ntemp = "70F"\n'])
def test_check_says_where_half_a_pair_stands(cli, text):
    write(text)
    done = cli("check job.toml")
    assert done.code == 1
    assert re.search(r"job\.toml:\d+", done.err)


def test_hints_for_a_job_file_speak_of_its_keys(cli):
    write(JOB.replace("mc_high = 9\n", ""))
    assert "--" not in cli("check job.toml").err


@pytest.mark.parametrize(
    ("text", "line"),
    [("\n\ntop = { width = 'wide' }\n", 3),
     ('[job]\nname = """\n[top]\nwidth = 1\n"""\n[top]\nwidth = "wide"\n', 7)],
)  # fmt: skip
def test_lines_of_unusual_toml(cli, text, line):
    write(text)
    assert f"job.toml:{line}: top.width" in cli("check job.toml").err


def test_a_bare_number_for_the_fixed_line_has_no_unit(cli):
    write(JOB + "[slots]\nfixed = 5\n")
    assert cli("check job.toml").code == 1


def test_a_row_that_several_parts_read_is_one_fault(cli):
    """The pile, the purchase and the cut list read the same boards: one row is to be mended."""
    Path("pile.csv").write_text('name,size,mc_now\nA,2x8,12\nB,2x8,"14,5"\n', encoding="utf-8")
    job = demo_text()
    start = job.index("boards = [")
    job = job[:start] + 'boards = "pile.csv"' + job[job.index("]\n", start) + 1 :]
    Path("job.toml").write_text(job, encoding="utf-8")
    done = cli("check job.toml --today 2026-11-28")
    assert done.code == 1
    assert done.err.count("'14,5' is not a number") == 1
