"""What each command promises: its JSON, its CSV, its units, its refusals, its help."""

import csv
import io
import math
import re
import subprocess
import sys
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from woodmove.cli.build import all_commands
from woodmove.cli.execute import COMMON, CSV
from woodmove.domain.reading import Reading
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.manager import PluginManager, installed
from woodmove.files.readings import add_reading

CATALOGUE = Catalogue(lambda: PluginManager(installed()))
COMMANDS = all_commands(CATALOGUE)
# The help of a `show` that came with its table begins with the list of the keys.
EXAMPLES = [
    pytest.param(spec, line, id=line)
    for spec in COMMANDS
    for line in spec.examples
    if line.startswith(f"woodmove {spec.name}")
]
by_command = pytest.mark.parametrize("spec", COMMANDS, ids=lambda spec: spec.name)

OAK = "--species northern-red-oak --rings flat"
FEW = "--draws 128"  # enough where no more than the central values, or the order of a Range, is asked for
WIDTH = f"width {OAK} --width 36in --mc-now 8 --mc-low 6 --mc-high 11 {FEW}"
SLOTS = f"slots {OAK} --width 36in --thickness 1in --mc-low 6 --mc-high 11 {FEW}"


def codes(answer: dict[str, Any], kind: str = "warnings") -> list[str]:
    return [note["code"] for note in answer[kind]]


def text_of(answer: dict[str, Any], code: str, kind: str = "warnings") -> str:
    (note,) = (note for note in answer[kind] if note["code"] == code)
    return note["text"]


def rows_of(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def words(text: str) -> str:
    """Text without its line breaks."""
    return " ".join(text.split())


def write(text: str, name: str = "job.toml") -> None:
    Path(name).write_text(text, encoding="utf-8")


# Every command.


@by_command
def test_help_shows_examples_options_and_units(cli, spec):
    done = cli([*spec.name.split(), "-h"])
    assert (done.code, done.err) == (0, "")
    for example in spec.examples:
        assert example in done.out
    shown = words(done.out)
    typed = [param for param in spec.params if param.option]
    for param in (*typed, *COMMON, *((CSV,) if spec.table else ())):
        assert param.option in shown
        assert words(param.help)[:20] in shown
    # What an argument shows in help is its name and its words.
    metric = words(cli([*spec.name.split(), "-h", "--units", "mm"]).out)
    for param in typed:
        if (unit := param.kind.bare_unit) and not param.is_argument:
            assert f"bare number: {'°F' if unit == '°C' else unit}" in shown
            assert f"bare number: {'mm' if unit == 'in' else unit}" in metric
    assert shown.count("[needed") == sum(p.required and not p.is_argument for p in spec.params)


def test_help_names_every_command(cli):
    groups = {spec.name.split()[0] for spec in COMMANDS}
    done = cli("--help")
    assert done.code == 0
    for group in groups:
        assert re.search(rf"^  {group} ", done.out, re.MULTILINE)
    assert cli([]).out == done.out


def ranges(value: Any):
    if isinstance(value, dict):
        if {"expected", "low", "high"} <= set(value):
            yield value
        for item in value.values():
            yield from ranges(item)
    elif isinstance(value, list):
        for item in value:
            yield from ranges(item)


READINGS = [("2026-12-04", "A", 12.4), ("2026-12-11", "A", 11.6), ("2026-12-18", "A", 11.1)]


def lay_out(line: str) -> None:
    """The files that an example reads: a year of a logger in a shop, and three readings of a board."""
    if "shop.csv" in line:
        hours = [datetime(2025, 1, 1) + timedelta(hours=hour) for hour in range(0, 8760, 3)]
        seasons = [math.cos(2 * math.pi * hour.timetuple().tm_yday / 365) for hour in hours]
        rows = [f"{hour:%Y-%m-%d %H:%M},{18 - 3 * s:.1f},{45 - 10 * s:.1f}"
                for hour, s in zip(hours, seasons, strict=True)]  # fmt: skip
        Path("shop.csv").write_text("time,temperature (C),humidity (%)\n" + "\n".join(rows) + "\n")
    if "readings.csv" in line and "add" not in line:
        for day, board, mc in READINGS:
            add_reading("readings.csv", Reading(None, date.fromisoformat(day), board, mc))


@pytest.mark.parametrize(("spec", "line"), [e for e in EXAMPLES if "--json" not in e.values[1]])
def test_examples_work_as_they_stand(cli, spec, line):
    lay_out(line)
    if "job.toml" in line and spec.name != "new":
        assert cli("new job.toml --defaults").code == 0
    done = cli(line.removeprefix("woodmove "))
    assert (done.code, done.err) == (0, ""), done.err
    assert done.out
    assert "--csv" in line or no_wider_than_a_page(done)


def no_wider_than_a_page(done) -> bool:
    return max(map(len, done.out.splitlines())) <= 88


@pytest.mark.parametrize(
    ("spec", "line"),
    [e for e in EXAMPLES if not re.search("--csv|--json|--units", e.values[1])],
)
def test_no_page_in_millimetres_is_wider_than_a_page(cli, spec, line):
    lay_out(line)
    if "job.toml" in line and spec.name != "new":
        assert cli("new job.toml --defaults").code == 0
    done = cli(f"{line.removeprefix('woodmove ')} {FEW} --units mm")
    assert done.code == 0, done.err
    assert no_wider_than_a_page(done)


@pytest.mark.parametrize(
    ("spec", "line"), [e for e in EXAMPLES if "--csv" not in e.values[1] and e.id != "woodmove plan --demo"]
)
def test_the_document_of_every_example(cli, spec, line):
    lay_out(line)
    if "job.toml" in line and spec.name != "new":
        assert cli("new job.toml --defaults").code == 0
    done = cli(line.removeprefix("woodmove ").replace(" --json", "") + f" {FEW} --json")
    found = done.json  # refuses NaN
    assert list(found) == [
        "format",
        "command",
        "inputs",
        "verdict",
        "results",
        "warnings",
        "cautions",
        "assumptions",
        "sources",
    ]
    assert (found["format"], found["command"], done.err) == (2, spec.name, "")
    for found_range in ranges(found["results"]):
        assert found_range["low"] <= found_range["expected"] <= found_range["high"]
    for kind in ("warnings", "cautions", "assumptions"):
        for note in found[kind]:
            assert re.fullmatch(r"[A-Z][A-Z0-9_]+", note["code"])
            assert not re.search(r"[{}]", note["text"]), "a value was not filled in"


@pytest.mark.parametrize(
    ("line", "table"),
    [
        ("list places", "places"),
        ("climate show fargo", "months"),
        ("list species", "species"),
        ("show species teak", "coefficients"),
        (f"width {OAK} --width 36in --mc-now 8 --place fargo", "months"),
        (f"{SLOTS} --mc-now 8", "fasteners"),
        ("list plugins", "plugins"),
    ],
)
def test_csv_is_the_rows_of_the_document(cli, line, table):
    done = cli(line + " --csv")
    document = cli.json(line)
    assert done.code == 0
    # Rows have no place for warnings: each is a line of stderr.
    told = done.err.splitlines()
    assert len(told) == len(document["warnings"])
    assert all(words.startswith("woodmove: ") for words in told)
    rows = rows_of(done.out)
    documented = document["results"][table]
    assert len(rows) == len(documented) > 0
    for row, expected in zip(rows, documented, strict=True):
        for name, value in expected.items():
            if isinstance(value, dict):
                assert [float(row[name]), float(row[f"{name}_low"]), float(row[f"{name}_high"])] == [
                    value["expected"], value["low"], value["high"],
                ]  # fmt: skip
            else:
                assert row[name] == ("" if value is None else str(value))


def test_units_change_what_is_printed_and_no_number_of_the_document(cli):
    inches, metric = (cli(f"{WIDTH} --units {units}").out for units in ("in", "mm"))
    assert re.search(r"width today +36 in", inches)
    assert re.search(r"width today +914 mm", metric)
    assert cli(WIDTH).out == inches
    assert "70 °F" in cli("emc --temp 70F --rh 50 --details").out
    assert "21.1 °C" in cli("emc --temp 70F --rh 50 --units mm --details").out
    assert cli.results(f"{WIDTH} --units in") == cli.results(f"{WIDTH} --units mm")


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("emc --temp 70F --rh 3", "5 to 95 % RH"),
        ("emc --temp -20C --rh 50", "-1.2 to 132.3 °C"),
        ("emc --temp 70F --mc 1", "5 to 95 % RH"),
        ("climate show fargo --room open", "-1.2"),
        (WIDTH + " --mc-now 40", "fibre saturation"),
        (f"{SLOTS} --at 12in,24in --mc-now 40", "fibre saturation"),
    ],
)
def test_strict_refuses_what_lies_outside_a_stated_range(cli, line, says):
    computed = cli(line)
    assert computed.code == 0  # with a warning that says the same
    assert says in words(computed.out)
    done = cli(line + " --strict")
    assert (done.code, done.out) == (3, "")
    assert says in done.err
    assert "--strict" in done.err
    assert cli(line + " --strict --json").json["error"]["text"] in words(done.err)


def test_strict_holds_the_sections_of_a_plan_too(cli):
    write('[room]\nplace = "fargo"\nkind = "open"\n', "open.toml")
    done = cli(f"plan open.toml --strict {FEW} --json")
    assert (done.code, done.json["error"]["code"]) == (3, "OUTSIDE_EMC_RANGE")


def test_outdoor_air_on_which_nothing_depends_is_no_fault(cli):
    assert cli("climate show fargo --strict").code == 0


@pytest.mark.parametrize("line", ["emc --temp 70F --rh 50", WIDTH, SLOTS + " --mc-now 8"])
def test_strict_lets_pass_what_lies_inside(cli, line):
    assert cli(line + " --strict").out == cli(line).out


def test_strict_speaks_in_the_units_asked_for(cli):
    assert "°F" not in cli("climate show fargo --room open --strict --units mm").err


def test_the_seed_moves_the_bounds_only_and_one_seed_gives_one_answer(cli):
    one, same, other = (
        cli.results(f"{WIDTH} --draws 4096 --seed {seed}")["change_low_mm"] for seed in (1, 1, 2)
    )
    assert one == same
    assert (one["low"], one["expected"]) != (other["low"], other["expected"])
    assert one["expected"] == other["expected"]
    assert one["low"] == pytest.approx(other["low"], rel=0.05)


REGISTRIES = {param.registry: (spec, param) for spec in COMMANDS for param in spec.params if param.registry}


@pytest.mark.parametrize("registry", REGISTRIES)
def test_the_hint_for_an_unknown_name_is_a_command_that_there_is(cli, registry):
    spec, param = REGISTRIES[registry]
    line = [
        *spec.name.split(),
        *([] if param.is_argument else [param.option]),
        "nonsense-of-this-sort",
        "--json",
    ]
    hints = [fault["hint"] for fault in cli(line).json["errors"]]
    typed = [match[1] for hint in hints if (match := re.search(r"Type woodmove ([a-z ]+?) to see", hint))]
    assert typed
    assert cli([*typed[0].split(), "-h"]).code == 0


def test_the_hint_for_appliances_that_fight_can_be_typed(cli):
    done = cli("climate show fargo --room 'humidify_to=3 dehumidify_to=2' --json")
    options = re.search(r"(humidify_to=\S+ dehumidify_to=\S+), for example", done.json["error"]["hint"])
    assert options
    assert cli(f"climate show fargo --room '{options[1]}'").code == 0


# Shell completion: what bash would be told.


@pytest.mark.parametrize(
    ("typed", "offers"),
    [
        ("woodmove show species tea", {"teak"}),
        ("woodmove width --species hem", {"hem-fir"}),
        ("woodmove climate show bur", {"burlington"}),
        ("woodmove slots --screw no-10", {"no-10", "no-10-flat"}),
        ("woodmove slots --washer no-10-w", {"no-10-wide"}),
        ("woodmove width --room co", {"cooled", "conditioned"}),
        ("woodmove wid", {"width"}),
        ("woodmove show species zzz", set()),
    ],
)
def test_completion(tmp_path, clean_environment, typed, offers):
    asked = {
        "_WOODMOVE_COMPLETE": "complete_bash",
        "COMP_WORDS": typed,
        "COMP_CWORD": str(len(typed.split(" ")) - 1),
    }
    done = subprocess.run(
        [sys.executable, "-m", "woodmove"], capture_output=True, text=True, encoding="utf-8",
        cwd=tmp_path, env=clean_environment | asked, check=False,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    assert set(done.stdout.split()) == offers


# As a process.


def test_a_process_says_results_on_stdout_and_everything_else_on_stderr(tmp_path, clean_environment):
    def woodmove(*arguments: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "woodmove", *arguments], capture_output=True, text=True, encoding="utf-8",
            cwd=tmp_path, env=clean_environment, check=False,
        )  # fmt: skip

    good, bad, version = (
        woodmove("emc", "--temp", "70F", "--rh", "50"),
        woodmove("emc"),
        woodmove("--version"),
    )
    assert (good.returncode, good.stderr) == (0, "")
    assert "9.2 %" in good.stdout
    assert (bad.returncode, bad.stdout) == (2, "")
    assert bad.stderr.startswith("woodmove: ")
    assert re.fullmatch(r"woodmove \d+\.\d+\.\d+\n", version.stdout)


def test_months_are_named_once_each(cli):
    """From the first of a month too, whose thirtieth day is still in it."""
    line = f"slots {OAK} --width 36in --thickness 1in --mc-now 8 --place fargo {FEW}"
    names = [row["when"] for row in cli.results(f"{line} --build-date 2026-12-01")["screw_months"]]
    assert names[:3] == ["December 2026", "January 2027", "February 2027"]
    assert (len(set(names)), names[-1]) == (25, "December 2028")


def test_no_screw_is_asked_for_on_an_edge(cli):
    line = f"{SLOTS} --mc-now 8 --mc-low 5 --mc-high 9 --at 2in,34in --units mm"
    edge = text_of(cli.json(f"{line} --fixed front"), "NOTHING_HOLDS")
    assert "round hole" not in edge
    assert "against the fixed edge" in edge
    inside = cli.json(f"{line} --fixed 10in")
    assert "round hole 254 mm from the front edge" in text_of(inside, "NOTHING_HOLDS")


def test_a_growth_that_no_rule_shows_is_not_told(cli):
    line = f"{SLOTS} --mc-low 5 --mc-high 9 --at 2in,34in"
    assert "DRY_FIRST" not in codes(cli.json(f"{line} --mc-now 9.1"))
    assert "DRY_FIRST" in codes(cli.json(f"{line} --mc-now 10"))


def test_tables_of_the_same_key_are_named_for_what_they_hold(cli):
    assert "order" not in cli("list places").out.splitlines()[0]


def test_the_size_of_lumber_has_one_name():
    named = {
        param.option
        for spec in COMMANDS
        for param in spec.params
        if param.name == "strips_from" and param.option
    }
    assert named == {"--stock"}
