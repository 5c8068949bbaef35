"""In which units a bare number is read: --units, the settings file, those of a job; and that it is said."""

import re
import shlex
from itertools import pairwise
from pathlib import Path

import documents
import pytest

from woodmove.cli.build import all_commands
from woodmove.contract.params import ParamType
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.params import LENGTH, LENGTHS, text_with_unit
from woodmove.units.parse import with_unit_given

WIDTH = "width --species teak --rings flat --mc-now 8 --mc-low 6 --mc-high 9"
JOB = """[wood]
species = "teak"
rings = "flat"
mc_now = 8
[top]
width = 760
thickness = 38
[slots]
at = [60, 380, 700]
[room]
place = "burlington"
heat_to = 20
"""
FEW = "--draws 200"


@pytest.fixture
def settings(tmp_path):
    """Writes the settings file of the reader of `cli`."""

    def write(content: str | bytes) -> Path:
        file = tmp_path / "home" / "config" / "woodmove" / "settings.toml"
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(content if isinstance(content, bytes) else content.encode())
        return file

    return write


def said(answer) -> list[str]:
    return [note["text"] for note in answer["assumptions"] if note["code"] == "BARE_NUMBERS"]


@pytest.mark.parametrize(
    ("text", "inches", "metric"),
    [
        ("120", "120in", "120mm"),
        ("1 1/2", "1 1/2in", "1 1/2mm"),
        ("1½", "1½in", "1½mm"),
        ("-3/4", "-3/4in", "-3/4mm"),
        (".5", ".5in", ".5mm"),
        ("38 x 184", "38in x 184in", "38mm x 184mm"),
        ("38×184", "38in×184in", "38mm×184mm"),
        ("75 rise 9", "75in rise 9in", "75mm rise 9mm"),
        # These have their units, or need none, or are no numbers.
        *((text, text, text) for text in ("120mm", "6ft 3in", "3'", "0", "-0.0", "2x8", "2-1/2 x 10", "2x7",
                                          "center", "5ft 3", "30,5", "1//2", "5 mi", "1e3", "", "5²")),
    ],
)  # fmt: skip
def test_a_bare_length_gets_the_unit_of_its_reader(text, inches, metric):
    assert with_unit_given(text, "in", "in") == inches
    assert with_unit_given(text, "in", "mm") == metric
    assert with_unit_given(text, "mm", "mm") == metric  # as a plugin may name it


@pytest.mark.parametrize("text", ["40", "-4", "0", "20°", "20 deg"])
def test_a_bare_temperature_gets_the_unit_of_its_reader(text):
    assert with_unit_given(text, "°C", "in") == f"{text}F"
    assert with_unit_given(text, "°C", "mm") == f"{text}C"


def test_each_of_several_lengths_gets_its_unit():
    assert text_with_unit(LENGTHS, "2, 15in,28", "in") == "2in, 15in,28in"
    assert text_with_unit(LENGTHS, "2, 15in,28", "mm") == "2mm, 15in,28mm"
    # One length has no commas, but for a decimal one, which is told.
    assert text_with_unit(LENGTH, "30,5", "mm") == "30,5"


def test_a_decimal_comma_is_told_with_its_point(cli):
    done = cli(f"{WIDTH} --width 30,5 --units mm")
    assert "'30,5' is not a length" in done.err
    assert "Type --width 30.5, for example." in done.err


@pytest.mark.parametrize("unit", ["%", "g", "min", ""])
def test_other_numbers_stay_bare(unit):
    assert with_unit_given("12", unit, "mm") == "12"


def test_a_plugin_that_reads_lengths_in_its_own_way_never_reads_another_unit(cli):
    from woodmove.extend.api import parse_length_mm

    kind = ParamType("NAME=LENGTH", lambda text: parse_length_mm(text.partition("=")[2]), "in")
    assert kind.parse(text_with_unit(kind, "a=3in", "mm")) == pytest.approx(76.2)
    with pytest.raises(ValueError, match="'3' has no unit: write 3in or 3mm"):
        kind.parse(text_with_unit(kind, "a=3", "mm"))


def test_a_bare_number_follows_units(cli):
    told = cli.json(f"{WIDTH} --width 762mm {FEW}")
    typed = cli.json(f"{WIDTH} --width 762 --units mm {FEW}")
    assert typed["results"] == told["results"]
    assert typed["inputs"]["top_width_mm"] == 762
    assert cli.json(f"{WIDTH} --width 30 {FEW}")["inputs"]["top_width_mm"] == pytest.approx(762)
    assert cli.json(f"{WIDTH} --width 30 --units in {FEW}")["inputs"]["top_width_mm"] == pytest.approx(762)


def test_what_was_read_into_a_bare_number_is_said_once(cli):
    page = cli(f"{WIDTH} --width 762 --thickness 38 --units mm {FEW}").out
    assert page.count("Numbers without a unit are read in millimetres and °C") == 1
    (text,) = said(cli.json(f"{WIDTH} --width 762 --thickness 38 --units mm {FEW}"))
    assert text.endswith("--width 762mm, --thickness 38mm.")
    assert said(cli.json("emc --temp 70 --rh 50")) == [
        "Numbers without a unit are read in inches and °F: --temp 70F."
    ]
    assert not said(cli.json(f"{WIDTH} --width 762mm --units mm {FEW}"))


def test_percentages_counts_times_and_weights_keep_their_bare_units(cli):
    for units in ("in", "mm"):
        assert not said(cli.json(f"{WIDTH} --width 30in --mc-readings 9 --units {units} {FEW}"))
        cli(f"readings add {units}.csv A weight=1350 --units {units}")
        assert "1350" in Path(f"{units}.csv").read_text(encoding="utf-8")


def test_bounds_are_told_of_the_number_as_it_was_read(cli):
    assert "--width cannot be 9000mm." in cli(f"{WIDTH} --width 9000 --units mm").err
    assert "--width cannot be 300in." in cli(f"{WIDTH} --width 300").err


def test_no_example_leaves_its_unit_out():
    commands = {tuple(spec.name.split()): spec for spec in all_commands(Catalogue())}
    lines = [line for spec in commands.values() for line in spec.examples]
    lines += documents.shell_lines(documents.read("README.md"))
    typed = 0
    for words in map(shlex.split, lines):
        spec = commands.get(tuple(words[1:3])) or commands.get(tuple(words[1:2]))
        params = {param.option: param for param in spec.params} if spec else {}
        for option, text in pairwise(words):
            if option in params:
                assert text_with_unit(params[option].kind, text, "mm") == text, words
                typed += 1
    assert typed > 100
    for spec in commands.values():
        for param in spec.params:
            assert text_with_unit(param.kind, param.example, "mm") == param.example, param.option


# The settings file.


def test_the_settings_file_says_what_the_reader_works_in(cli, settings):
    settings('units = "mm"\n')
    done = cli.json(f"{WIDTH} --width 762 {FEW}")
    assert done["inputs"]["top_width_mm"] == 762
    page = cli(f"{WIDTH} --width 762 {FEW}").out
    assert "762 mm" in page
    assert "bare number: mm" in cli("width -h").out
    # What is typed wins.
    assert cli.json(f"{WIDTH} --width 30 --units in {FEW}")["inputs"]["top_width_mm"] == pytest.approx(762)
    assert "bare number: in" in cli("width -h --units=in").out


@pytest.mark.parametrize(
    ("content", "line", "words"),
    [
        ("\nunits = mm\n", 2, "is not a settings file"),
        ("units = 3\n", 1, "units cannot be 3."),
        ('units = ["mm"]\n', 1, "units cannot be ['mm']."),
        ('# mine\nunit = "mm"\n', 2, "There is no setting unit."),
        ('units = "mm"\n[shop]\nheat = 3\n', 1, "There is no setting shop."),
        (b"units = '\xff'\n", 1, "is not UTF-8 text"),
    ],
)
def test_a_settings_file_that_is_none_is_refused(cli, settings, content, line, words):
    file = settings(content)
    done = cli("emc --temp 70F --rh 50 --json")
    assert done.code == 1
    error = done.json["error"]
    assert words in error["text"]
    assert 'units = "mm"' in error["text"] + error["hint"] or "UTF-8" in error["hint"]
    assert (error["file"], error["line"]) == (str(file), line)
    assert f"woodmove: {file}:{line}: " in cli("emc --temp 70F --rh 50").err
    # Neither the help nor who says it anew needs it.
    assert cli("emc -h").code == 0
    assert cli("emc --temp 70F --rh 50 --units in").code == 0


def test_an_empty_settings_file_says_nothing(cli, settings):
    settings("# nothing yet\n")
    assert "70 °F" in cli("emc --temp 70 --rh 50 --details").out


# Job files.


def test_a_bare_number_of_a_job_follows_the_units_of_the_job(cli):
    Path("job.toml").write_text('[job]\nunits = "mm"\n' + JOB, encoding="utf-8")
    told = JOB.replace("760", '"760mm"').replace("38\n", '"38mm"\n').replace("= 20", '= "20C"')
    told = told.replace("[60, 380, 700]", '["60mm", "380mm", "700mm"]')
    Path("told.toml").write_text(told, encoding="utf-8")
    plan = cli.json(f"plan job.toml {FEW}")
    assert plan["inputs"]["top_width_mm"] == 760
    assert plan["results"] == cli.json(f"plan told.toml {FEW} --units mm")["results"]
    assert said(plan) == [
        "Numbers without a unit are read in millimetres and °C: room.heat_to 20C, top.thickness 38mm, "
        "top.width 760mm, slots.at 60mm,380mm,700mm."
    ]
    assert said(cli.json("check job.toml"))
    # --units changes what is printed, never a job file.
    inches = cli.json(f"plan job.toml {FEW} --units in")
    assert inches["inputs"] == plan["inputs"]
    assert inches["results"] == cli.json(f"plan told.toml {FEW}")["results"]


@pytest.mark.parametrize("typed", ["", "--units mm", "--units in"])
def test_a_bare_number_of_a_job_without_units_is_refused(cli, settings, typed):
    settings('units = "mm"\n')
    Path("job.toml").write_text(JOB, encoding="utf-8")
    done = cli(f"check job.toml {typed}")
    assert done.code == 1
    for line, words in ((6, "'760' has no unit: write 760in or 760mm"), (12, "write 20F or 20C"),
                        (9, "slots.at: '60' has no unit"), (7, "'38' has no unit")):  # fmt: skip
        assert f"job.toml:{line}: " in done.err
        assert words in done.err
    assert done.err.count('Or write units = "mm", or "in", in [job].') == 4


def test_a_job_without_units_is_printed_in_those_of_its_reader(cli, settings):
    Path("job.toml").write_text(JOB.replace("760", '"30in"').replace("38\n", '"1-1/2in"\n')
                                .replace("[60, 380, 700]", '"2in,15in,28in"').replace("= 20", '= "68F"'),
                                encoding="utf-8")  # fmt: skip
    assert re.search(r"width today +30 in", cli(f"plan job.toml {FEW} --details").out)
    settings('units = "mm"\n')
    assert re.search(r"width today +762 mm", cli(f"plan job.toml {FEW} --details").out)


# Lists.

RIP = f"rip --species hem-fir --stock 2x8 --into 2 {FEW}"
BARE = "board,pith_depth,crook,size\nA,75,3,38 x 140\nB,20,0,\n"
FULL = "board,pith_depth,crook,size\nA,75mm,3mm,38mm x 140mm\nB,20mm,0,\n"


def ranked(answer) -> list[tuple[str, dict]]:
    return [(row["board"], row["crook_mm"]) for row in answer["results"]["boards"]]


def test_a_bare_length_of_a_list_follows_units(cli):
    for name, text in (("bare.csv", BARE), ("full.csv", FULL)):
        Path(name).write_text(text, encoding="utf-8")
    # Where nobody says how long the boards are, they have a round length of the reader's.
    bare, full = (
        cli.json(f"{RIP} --board-length 8ft {more}") for more in ("bare.csv --units mm", "full.csv")
    )
    assert ranked(bare) == ranked(full)
    texts = {note["code"]: note["text"] for note in bare["assumptions"]}
    assert "read as millimetres" in texts["BARE_LENGTHS"]
    assert "BARE_LENGTHS" not in {note["code"] for note in full["assumptions"]}
    boards = "name=A pith_depth=75 crook=3, name=B pith_depth=20"
    listed = cli.json([*RIP.split(), boards, "--units", "mm"])
    assert "read as millimetres" in str(listed["assumptions"])
    inches = cli.json([*RIP.split(), boards.replace("75", "3").replace("20", "3/4")])
    assert "read as inches" in str(inches["assumptions"])


PILE_JOB = """[wood]
species = "hem-fir"
strips_from = "2x8"
[pile]
boards = "bare.csv"
into = 2
[plan]
sections = ["pile"]
"""


def test_a_bare_length_of_a_list_in_a_job_follows_the_job(cli):
    Path("bare.csv").write_text(BARE, encoding="utf-8")
    Path("mm.toml").write_text('[job]\nunits = "mm"\n' + PILE_JOB, encoding="utf-8")
    plan = cli.json(f"plan mm.toml {FEW} --units in")
    assert "read as millimetres" in str(plan["assumptions"])
    (section,) = plan["results"]["sections"]
    assert ranked(section["answer"]) == ranked(cli.json(f"{RIP} bare.csv --units mm"))


@pytest.mark.parametrize("typed", ["", "--units mm"])
def test_a_bare_length_of_a_list_in_a_job_without_units_is_left_out_and_named(cli, typed):
    Path("bare.csv").write_text(BARE + "C,60mm,,\nD,,2mm,\n", encoding="utf-8")
    Path("job.toml").write_text(PILE_JOB, encoding="utf-8")
    (section,) = cli.json(f"plan job.toml {FEW} {typed}")["results"]["sections"]
    assert {name for name, _ in ranked(section["answer"])} == {"C", "D"}
    assert "'75' has no unit: write 75in or 75mm" in str(section["answer"]["warnings"])


def test_a_scribed_slope_is_the_same_in_any_unit(cli):
    rip = f"rip --species hem-fir --stock 2x8 --into 2 --mc-now 12 {FEW}"
    one, other = (cli.json([*rip.split(), f"slope={text}"]) for text in ("1/2in over 10in", "1/2 over 10"))
    assert one["results"] == other["results"]
    assert "'10' has no unit" in cli([*rip.split(), "slope=12mm over 10"]).err


# new


@pytest.mark.parametrize(
    ("units", "asked", "answers", "written"),
    [
        ("in", ("in inches [30in]", "in inches [3in]", "in inches [13in]"),
         ("24", "1 1/2", "12"), ("24in", "1 1/2in", "12in")),
        ("mm", ("in millimetres [760mm]", "in millimetres [76mm]", "in millimetres [330mm]"),
         ("600", "38", "300"), ("600mm", "38mm", "300mm")),
    ],
)  # fmt: skip
@pytest.mark.parametrize("told_by", ["--units", "answer", "settings"])
def test_new_asks_in_the_units_of_its_reader_and_writes_them(
    cli, settings, units, asked, answers, written, told_by
):
    settings(f'units = "{units}"\n' if told_by == "settings" else "")
    width, thickness, planer = answers
    lines = ["", units if told_by == "answer" else "", width, "", thickness, *[""] * 9, planer, "", "", ""]
    typed = ("--units", units) if told_by == "--units" else ()
    done = cli("new job.toml", *typed, stdin="\n".join(lines) + "\n")
    assert done.code == 0
    for question in asked:
        assert question in done.err
    text = Path("job.toml").read_text(encoding="utf-8")
    assert f'units = "{units}"' in text
    for key, value in zip(("width", "thickness", "planer"), written, strict=True):
        assert f'\n{key} = "{value}"' in text
    done = cli("check job.toml --json")
    assert (done.code, done.json["results"]["faults"]) == (0, 0)


def test_new_asks_again_for_a_bare_number_that_cannot_be(cli):
    lines = ["", "in", "", "", "38", "1-1/2", *[""] * 13]
    done = cli("new job.toml", stdin="\n".join(lines) + "\n")
    assert done.code == 0
    assert "top.thickness cannot be 38in." in done.err
    assert cli("check job.toml").code == 0


def test_new_writes_a_metric_template(cli):
    assert cli("new job.toml --defaults --all --units mm").code == 0
    lines = Path("job.toml").read_text(encoding="utf-8").splitlines()
    values = [line for line in lines if line.partition("#")[2].count('"') == 2 and " = " in line]
    assert len(values) > 30
    assert not [line for line in values if re.search(r"\d(in|ft|F)\b", line)]
    assert 'pith_depth = "50mm"' in lines
    assert cli("check job.toml").code == 0
