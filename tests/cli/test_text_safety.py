"""Text from outside never gives a terminal an order: escape codes are refused, or printed as their codes."""

import re
from pathlib import Path

import pytest

# Colour, the title of the window, and the one-byte form of the same introducer.
ESCAPES = ["\x1b[31m", "\x1b]0;owned\x07", "\x9b31m"]
with_escapes = pytest.mark.parametrize("escape", ESCAPES, ids=lambda escape: ascii(escape)[1:-1])
JOB = """[wood]
species = "teak"
rings = "flat"
mc_now = 8

[top]
width = "30in"

[room]
mc_low = 6
mc_high = 9
"""


def orders(text: str) -> list[str]:
    """The control characters in a text, but for the ends of its lines and tabs."""
    return re.findall(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]", text)


def toml(text: str) -> str:
    """Text in quotes, every character of it as TOML writes it in ASCII."""
    return '"' + "".join(f"\\u{ord(character):04x}" for character in text) + '"'


@with_escapes
@pytest.mark.parametrize("as_json", [[], ["--json"]], ids=["page", "json"])
@pytest.mark.parametrize(
    "line",
    [
        ["show", "species", "teak{}"],
        ["climate", "show", "{}fargo"],
        ["width", "--species", "{}", "--width", "{}", "--rings", "{}", "--mc-now", "{}", "--place", "{}"],
        ["slots", "--screw", "{}", "--washer", "{}", "--fixed", "{}", "--at", "{}"],
        ["emc", "--temp", "{}", "--rh", "{}"],
        ["emc", "{}.csv"],
        ["plan", "{}.toml"],
        ["new", "{}.toml", "--defaults"],
        ["show", "plugin", "{}"],
        ["emc", "--temp", "70F", "--rh", "50", "--units", "{}"],
    ],
    ids=" ".join,
)
def test_what_is_typed(cli, line, escape, as_json):
    done = cli([word.replace("{}", f"a{escape}b") for word in line] + as_json)
    assert done.code in (1, 2)
    assert not orders(done.out + done.err)


@with_escapes
@pytest.mark.parametrize("as_json", [[], ["--json"]], ids=["page", "json"])
@pytest.mark.parametrize(
    "line", [["{}"], ["species", "{}"], ["emc", "--{}"], ["emc", "a.csv", "{}"]], ids=" ".join
)
def test_what_is_typed_where_nothing_of_the_kind_is_known(cli, line, escape, as_json):
    done = cli([word.replace("{}", f"a{escape}b") for word in line] + as_json)
    assert done.code == 2
    assert not orders(done.out + done.err)


@with_escapes
@pytest.mark.parametrize(
    "change",
    [
        lambda bad: f"[job]\nname = {bad}\n{JOB}",
        lambda bad: JOB.replace('"teak"', bad),
        lambda bad: JOB.replace('"30in"', bad),
        lambda bad: JOB + f"place = {bad}\n",
        lambda bad: JOB + f"{bad} = 3\n",
        lambda bad: JOB + f"[{bad}]\nkey = 3\n",
        lambda bad: f"{bad} = 3\n{JOB}",
        lambda bad: JOB + f"[slots]\nscrew = {bad}\n",
        lambda bad: JOB + f"[plan]\nsections = [{bad}]\n",
    ],
    ids=["job name", "species", "width", "place", "key", "table", "outside", "screw", "section"],
)
@pytest.mark.parametrize("command", ["check", "plan"])
def test_a_job_file(cli, command, change, escape):
    Path("job.toml").write_text(change(toml(f"a{escape}b")), encoding="utf-8")
    done = cli(f"{command} job.toml")
    assert done.code == 1
    assert re.search(r"^woodmove: job\.toml:\d+: ", done.err)
    assert not orders(done.out + done.err)


def test_a_job_file_with_raw_escape_codes(cli):
    Path("job.toml").write_text('[job]\nname = "a\x1b[31mb"\n', encoding="utf-8")
    done = cli("check job.toml")
    assert done.code == 1
    assert "job.toml:2:" in done.err
    assert not orders(done.out + done.err)


def test_a_name_in_other_letters_is_printed_as_it_is(cli):
    Path("job.toml").write_text('[job]\nname = "Werkbank für Zoë — 作業台"\n' + JOB, encoding="utf-8")
    assert "Werkbank für Zoë — 作業台" in cli("plan job.toml --draws 128").out


@with_escapes
def test_the_cells_of_a_table(cli, escape):
    done = cli("emc -", stdin=f"note,temp_c,rh\na{escape}b,20,50\n")
    assert done.code == 0
    assert not orders(done.out + done.err)
    for row in (f"x,a{escape}b,50", f"x,20,a{escape}b"):
        done = cli("emc -", stdin=f"note,temp_c,rh\n{row}\n")
        assert done.code == 1
        assert not orders(done.out + done.err)


@with_escapes
@pytest.mark.parametrize("headings", ["no{}te,temp_c,rh", "note,temp{},rh"])
def test_the_headings_of_a_table(cli, headings, escape):
    done = cli("emc -", stdin=headings.replace("{}", escape) + "\na,20,50\n")
    assert done.code == 0
    assert not orders(done.out + done.err)


@with_escapes
def test_headings_that_are_refused(cli, escape):
    done = cli("emc -", stdin=f"a{escape}b,temp_c\na,20\n")
    assert done.code == 1
    assert not orders(done.out + done.err)


@with_escapes
def test_an_answer_to_a_question(cli, escape):
    done = cli("new job.toml", stdin=f"a{escape}b\nmy top\n\na{escape}b\n" + "\n" * 20)
    assert done.code == 0
    assert not orders(done.out + done.err)
    assert not orders(Path("job.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    "escape",
    [
        "\x1b[31m",
        pytest.param("\x9b31m"),
        pytest.param("\x7f"),
    ],
    ids=lambda escape: ascii(escape)[1:-1],
)
def test_the_cells_of_a_table_as_json(cli, escape):
    found = cli("emc - --json", stdin=f"note,temp_c,rh\na{escape}b,20,50\n")
    assert found.json["results"]["rows"][0]["note"] == f"a{escape}b"
    assert not orders(found.out)


# What a plugin hands over: its data may come from anywhere.

PLUGIN = """
from typing import Annotated
from woodmove.extend.api import (
    Answer, Climate, Coefficients, CommandSpec, Known, Note, Screw, Section, Shown, Species, Stage, Table,
    Verdict, Warning, Washer, hookimpl, results,
)
WOODMOVE_PLUGIN_API = 1
BAD = {bad!r}
KNOWN = Known("judgement", BAD, BAD)

@hookimpl
def woodmove_species():
    return [Species("odd-wood", BAD, "hardwood", (BAD,), (Coefficients(BAD, 0.002, 0.003, KNOWN),))]

@hookimpl
def woodmove_climates():
    return [Climate("odd-place", BAD, BAD, BAD, (10.0,) * 12, (50.0,) * 12, BAD, KNOWN, BAD)]

@hookimpl
def woodmove_fasteners():
    return [Screw("odd-screw", BAD, BAD, 5.0, 3.0, 9.0, False, 5.5, KNOWN),
            Washer("odd-washer", BAD, BAD, 5.5, 20.0, 1.0, KNOWN)]

@results
class Odd:
    text: Annotated[str, Shown(BAD, level="headline")]
    rows: Annotated[Table, Shown(BAD, level="key")]

ODD = CommandSpec("odd", BAD, ("woodmove odd",), (), lambda request, catalogue: Answer(
    Verdict("know", (Note("ODD", BAD),)),
    Odd(text=BAD, rows=Table({{BAD: Shown(BAD, level="key")}}, ((BAD,),))),
    (Warning("ODD", BAD),), (BAD,)), table="rows")

@hookimpl
def woodmove_commands():
    return [ODD]

@hookimpl
def woodmove_plan_sections():
    return [Section("odd", BAD, ODD, Stage.YEAR)]
"""


@pytest.fixture
def odd(cli, monkeypatch, tmp_path):
    """Command lines where a plugin of the user's own hands over names with escape codes."""

    def run(line: str, escape: str, text: str = PLUGIN):
        folder = tmp_path / "own" / "woodmove" / "plugins"
        folder.mkdir(parents=True)
        file = folder / "odd.py"
        file.write_text(text.format(bad=f"a{escape}b"), encoding="utf-8")
        for path in (folder.parent, folder, file):
            path.chmod(0o700)
        monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "own"))
        return cli(line)

    return run


@with_escapes
@pytest.mark.parametrize(
    "line",
    [
        "list species",
        "show species odd-wood",
        "show species od-wood",
        "list places",
        "climate show odd-place",
        "width --species odd-wood --rings flat --width 30in --mc-now 8 --place odd-place --draws 128",
        "slots --species odd-wood --rings flat --width 30in --thickness 1in --mc-now 8 --mc-low 6 "
        "--mc-high 9 --screw odd-screw --washer odd-washer --draws 128",
        "odd",
        "odd --details",
        "odd --csv",
        "odd --json",
        pytest.param("plan --demo --draws 128"),
    ],
)
def test_what_a_plugin_hands_over(odd, line, escape):
    done = odd(line, escape)
    assert done.code in (0, 1)
    assert not orders(done.out + done.err)


@with_escapes
def test_why_a_plugin_has_failed(odd, escape):
    done = odd("list plugins", escape, "raise RuntimeError({bad!r})")
    assert done.code == 0
    assert not orders(done.out + done.err)
