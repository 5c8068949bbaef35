"""What a plugin brings is looked at piece by piece: what is broken is set aside by itself, and nothing that a
plugin prints or raises gets into our output."""

import json
import os
import signal
import subprocess
import sys
import time
from dataclasses import fields, is_dataclass, replace
from pathlib import Path
from typing import Any

import pytest
from plugins_as_text import GOOD, HEAD, Run, command, lay, module_of, named, section, species

from woodmove.extend.api import Known, Param, Refusal, Species, Status
from woodmove.extend.hookspecs import KINDS
from woodmove.extend.manager import PluginManager, installed
from woodmove.extend.testkit import check_plugin
from woodmove.extend.typed import wrong_types

FEW = "--draws 128"
JOB = (
    '[wood]\nspecies = "american-beech"\nrings = "flat"\nmc_now = "8"\n[top]\nwidth = "30in"\n'
    '[room]\nmc_low = "6"\nmc_high = "11"\n'
)


def returning(hook: str, *items: str) -> str:
    return f"\n@hookimpl\ndef {hook}():\n    return [{', '.join(items)}]\n"


MONTHS = "(10.0,) * 12, (50.0,) * 12"
PARAM = 'Param("level", "--level", WHOLE, "Level of it", "1")'
SPEC = 'CommandSpec("greet", "Says it.", ("woodmove greet",), ({params},), {run})'
# Of each kind an item with a wrong type in it: its source, its field, what it holds, and what belongs there.
WRONG = {
    "a number as text": (
        "woodmove_species",
        'Species("oddwood", "Odd", "hardwood", coefficients=(Coefficients("own", 0.001, "0.002", KNOWN),))',
        "species 'oddwood'", "coefficients[0].tangential", "'0.002'", "finite number",
    ),
    "a list for a tuple": (
        "woodmove_species",
        'Species("oddwood", "Odd", "hardwood", coefficients=[Coefficients("own", 0.001, 0.002, KNOWN)])',
        "species 'oddwood'", "coefficients", "[Coefficients(", "tuple of Coefficients",
    ),
    "one text for several": (
        "woodmove_species", 'Species("oddwood", "Odd", "hardwood", aliases="odd", known=KNOWN)',
        "species 'oddwood'", "aliases", "'odd'", "tuple of text",
    ),
    "no key": (
        "woodmove_species", 'Species(None, "Odd", "hardwood", known=KNOWN)',
        "species 'Odd'", "key", "None", "text",
    ),
    "truth for a number": (
        "woodmove_fasteners", 'Screw("oddscrew", "Odd", "", True, None, None, False, 5.0, KNOWN)',
        "screw 'oddscrew'", "major_mm", "True", "finite number",
    ),
    "a bare status": (
        "woodmove_species", 'Species("oddwood", "Odd", "hardwood", known=Known(5, ""))',
        "species 'oddwood'", "known.status", "5", "Status",
    ),
    "months that are no tuple": (
        "woodmove_climates", 'Climate("oddplace", "Odd", "", "", 10.0, 50.0, "", KNOWN)',
        "place 'oddplace'", "temp_c", "10.0", "tuple of finite number",
    ),
    "one month as text": (
        "woodmove_climates",
        'Climate("oddplace", "Odd", "", "", (10.0,) * 11 + ("10",), (50.0,) * 12, "", KNOWN)',
        "place 'oddplace'", "temp_c[11]", "'10'", "finite number",
    ),
    "a latitude as text": (
        "woodmove_climates", f'Climate("oddplace", "Odd", "", "", {MONTHS}, "", KNOWN, latitude_deg="44")',
        "place 'oddplace'", "latitude_deg", "'44'", "finite number or None",
    ),
    "hours that are no series": (
        "woodmove_climates", f'Climate("oddplace", "Odd", "", "", {MONTHS}, "", KNOWN, hours=[1, 2])',
        "place 'oddplace'", "hours", "[1, 2]", "AirSeries or None",
    ),
    "a day as text": (
        "woodmove_finishes", 'Finish("oddcoat", "Odd", 1, 0.0, {"7": 50.0}, {}, KNOWN)',
        "finish 'oddcoat'", "a key of effectiveness_pct", "'7'", "whole number",
    ),
    "a list for days": (
        "woodmove_finishes", 'Finish("oddcoat", "Odd", 1, 0.0, [50.0], {}, KNOWN)',
        "finish 'oddcoat'", "effectiveness_pct", "[50.0]", "dict",
    ),
    "a screw of text": (
        "woodmove_fasteners", 'Screw("oddscrew", "Odd", "", "4.8", None, None, False, 5.0, KNOWN)',
        "screw 'oddscrew'", "major_mm", "'4.8'", "finite number",
    ),
    "a washer without a status": (
        "woodmove_fasteners", 'Washer("oddwasher", "Odd", "", 5.0, 10.0, 1.0, "memory")',
        "washer 'oddwasher'", "known", "'memory'", "Known",
    ),
    "an endless number": (
        "woodmove_meters", 'Meter("oddmeter", "Odd", "pin", 6.0, 30.0, (), KNOWN, points_per_c=float("inf"))',
        "meter 'oddmeter'", "points_per_c", "inf", "finite number",
    ),
    "an adhesive of text": (
        "woodmove_adhesives",
        'Adhesive("oddglue", "Odd", "water", "5", 10, 1, 24, 200, 50, 5, 15, 10, 0.1, "full", "", KNOWN)',
        "adhesive 'oddglue'", "open_min", "'5'", "finite number",
    ),
    "a command without code": (
        "woodmove_commands", SPEC.format(params=PARAM, run="None"),
        "command 'greet'", "run", "None", "function",
    ),
    "a parameter that is none": (
        "woodmove_commands", SPEC.format(params="'--level'", run="print"),
        "command 'greet'", "params[0]", "'--level'", "Param",
    ),
    "no parameters": (
        "woodmove_commands", 'CommandSpec("greet", "Says it.", ("woodmove greet",), None, print)',
        "command 'greet'", "params", "None", "tuple of Param",
    ),
    "a parameter without a kind": (
        "woodmove_commands", SPEC.format(params=PARAM.replace("WHOLE", "'NUMBER'"), run="print"),
        "command 'greet'", "params[0].kind", "'NUMBER'", "ParamType",
    ),
    "a section without a command": (
        "woodmove_plan_sections", 'Section("odd", "Odd", "greet", Stage.YEAR)',
        "plan section 'odd'", "command", "'greet'", "CommandSpec",
    ),
    "a section with a word for its card": (
        "woodmove_plan_sections",
        f'Section("odd", "Odd", {SPEC.format(params=PARAM, run="print")}, Stage.YEAR, card="never")',
        "plan section 'odd'", "card", "'never'", "function",
    ),
    "an output without code": (
        "woodmove_outputs", 'Output("odd", "Odd.", ("plan",), (".odd",), None)',
        "output 'odd'", "make", "None", "function",
    ),
    "an output of one command as text": (
        "woodmove_outputs", 'Output("odd", "Odd.", "plan", (".odd",), print)',
        "output 'odd'", "commands", "'plan'", "tuple of text",
    ),
    "no item of this kind": (
        "woodmove_species", "42", "item without a key", "woodmove_species", "returned a int", "",
    ),
}  # fmt: skip
# A good one beside it, of the same hook.
GOOD_ITEMS = {
    "woodmove_species": 'Species("ironwood", "Ironwood", "hardwood", known=KNOWN)',
    "woodmove_climates": f'Climate("goodplace", "Good", "", "", {MONTHS}, "", KNOWN)',
    "woodmove_finishes": 'Finish("goodcoat", "Good", 1, 0.0, {7: 50.0}, {}, KNOWN)',
    "woodmove_fasteners": 'Screw("goodscrew", "Good", "", 4.8, None, None, False, 5.0, KNOWN)',
    "woodmove_meters": 'Meter("goodmeter", "Good", "pin", 6.0, 30.0, (), KNOWN)',
    "woodmove_adhesives": (
        'Adhesive("goodglue", "Good", "water", 5, 10, 1, 24, 200, 50, 5, 15, 10, 0.1, "full", "", KNOWN)'
    ),
    "woodmove_commands": SPEC.replace("greet", "wave").format(params=PARAM, run="print"),
    "woodmove_outputs": 'Output("good", "Good.", ("plan",), (".good",), print)',
    "woodmove_plan_sections": (
        f'Section("good", "Good", {SPEC.format(params=PARAM, run="print")}, Stage.YEAR)'
    ),
}
wrong = pytest.mark.parametrize("item", WRONG)


def plugin(item: str) -> str:
    """A plugin with a wrong item before a good one."""
    hook, source, *_ = WRONG[item]
    return HEAD + returning(hook, source, GOOD_ITEMS[hook])


@wrong
def test_a_wrong_type_sets_one_item_aside_and_names_it_once(item: str) -> None:
    hook, _, what, *says = WRONG[item]
    beside = Run.of(mine=plugin(item))
    (line,) = beside.told
    for words in (f"{what} of plugin mine was set aside", *says):
        assert words in line
    assert beside.listed()["mine"].status == "loaded"
    assert says[0] in beside.listed()["mine"].reason
    kind = next(kind for kind, (of_hook, _) in KINDS.items() if of_hook == hook)
    (good,) = (item for plugin, item in beside.catalogue.manager.gather(hook) if plugin.name == "mine")
    assert isinstance(good, KINDS[kind][1])


@wrong
def test_whatever_is_wrong_with_an_item_the_help_and_the_lists_are_there(cli, own: Path, item) -> None:
    lay(own, "mine", plugin(item))
    for line in ("--version", "--help", "list plugins", "list species"):
        done = cli(line)
        assert done.code == 0, done.err
        assert done.out
    done = cli("plugins check --json")
    assert done.code == 4
    assert WRONG[item][3] in done.json["error"]["text"]


def test_our_own_items_have_the_types_of_their_fields() -> None:
    manager = PluginManager(
        [candidate for candidate in installed() if candidate.package == "woodmove"],
        say=lambda line: pytest.fail(line),
    )
    assert all(manager.gather(hook) for hook, _ in KINDS.values())


def test_every_field_of_every_noun_is_looked_at() -> None:
    """A field of a type that nothing has: if it is not told, nobody looks at it."""

    class Nothing:
        pass

    manager = PluginManager([candidate for candidate in installed() if candidate.package == "woodmove"])
    of_type = {type(item): item for hook in dict(KINDS.values()) for _, item in manager.gather(hook)}
    assert set(of_type) == {kind for _, kind in KINDS.values()}
    for kind, item in of_type.items():
        for field in fields(kind):
            faults = list(wrong_types(_with(item, field.name, Nothing()), kind))
            assert [fault.split()[0] for fault in faults] == [field.name]


def _with(item: Any, name: str, value: Any) -> Any:
    assert is_dataclass(item)
    changed = replace(item)  # type: ignore[type-var]
    object.__setattr__(changed, name, value)
    return changed


def test_numbers_of_arrays_are_numbers() -> None:
    np = pytest.importorskip("numpy")
    known = Known(Status.JUDGEMENT, "")
    assert not list(wrong_types(Species("a", "a", "hardwood", fibre_saturation_pct=np.float32(28)), Species))
    assert list(wrong_types(Known(known.status, np.str_("a")), Known)) == []


def test_the_test_kit_names_the_field() -> None:
    hook, source, *_ = WRONG["a number as text"]
    (fault,) = check_plugin(module_of("careless", HEAD + returning(hook, source)))
    assert "coefficients[0].tangential is '0.002' (expected: finite number)" in fault


# What needs the broken item, and what does not.


def test_only_what_asks_for_the_broken_item_exits_4(cli, own: Path) -> None:
    lay(own, "mine", plugin("one text for several"))
    assert cli("show species ironwood").code == 0
    done = cli("show species oddwood --json")
    assert (done.code, "mine" in done.json["error"]["text"]) == (4, True)
    assert cli("show species Odd").code == 4
    done = cli("show species otherwood")
    assert (done.code, "plugin mine," in done.err) == (1, False)


def test_only_what_asks_for_the_broken_command_exits_4(cli, own: Path) -> None:
    lay(own, "mine", plugin("a command without code"))
    done = cli("greet --json")
    assert (done.code, done.json["error"]["code"]) == (4, "PLUGIN_FAILED")
    assert cli("wink").code == 2


@pytest.mark.parametrize("asks", ['[plan]\nsections = ["odd"]\n', "[odd]\nlevel = 1\n"])
def test_only_a_job_that_asks_for_the_broken_section_exits_4(cli, own: Path, asks: str) -> None:
    lay(own, "mine", plugin("a section without a command"))
    Path("job.toml").write_text(JOB, encoding="utf-8")
    assert cli(f"plan job.toml {FEW}").code == 0
    Path("job.toml").write_text(JOB + asks, encoding="utf-8")
    done = cli(f"plan job.toml {FEW}")
    assert (done.code, "mine" in done.err) == (4, True)
    Path("job.toml").write_text(JOB + asks.replace("odd", "even"), encoding="utf-8")
    assert cli(f"plan job.toml {FEW}").code == 1


def test_a_failed_plugin_may_have_had_what_it_has_a_hook_for() -> None:
    beside = Run.of(mine=HEAD + "\n@hookimpl\ndef woodmove_meters():\n    raise OSError\n").catalogue
    for registry, code in ((beside.meters, 4), (beside.screws, 1)):
        with pytest.raises(Refusal) as refused:
            registry.get("odd")
        assert (refused.value.exit_code, "mine" in refused.value.text) == (code, code == 4)


# Commands whose types are right, and of which no command line can be made.

UNMAKABLE = {
    "a name that is none": PARAM.replace('"level"', '"top level"'),
    "a name of the common options": PARAM.replace('"level"', '"details"'),
    "an option of the common options": PARAM.replace('"--level"', '"--json"'),
    "the same twice": f"{PARAM}, {PARAM.replace('level', 'other', 1)}",
}


@pytest.mark.parametrize("params", UNMAKABLE.values(), ids=UNMAKABLE)
def test_a_command_that_cannot_be_typed_is_set_aside_alone(cli, own: Path, params: str) -> None:
    bad, good = SPEC.format(params=params, run="print"), GOOD_ITEMS["woodmove_commands"]
    lay(own, "mine", HEAD + returning("woodmove_commands", bad, good))
    done = cli("--help")
    assert done.code == 0
    assert named(done.err, "mine") == 1
    assert "command 'greet' of plugin mine was set aside" in done.err
    assert "wave" in done.out
    assert cli("wave --help").code == 0
    assert cli("greet").code == 4


# What an answer may hold.

ANSWERS = {
    "none": "return None",
    "no answer": "return 42",
    "a dict": "return {'done': True}",
    "results that are a dict": "return Answer(THERE, {'done': True})",
    "results that are a class": "return Answer(THERE, Done)",
    "results that do not say how they are shown": "return Answer(THERE, KNOWN)",
    "no verdict": "return Answer(None, Done(done=True))",
    "no notes": "return Answer(THERE, Done(done=True), ('careful',))",
    "a source that is no text": "return Answer(THERE, Done(done=True), sources=(5,))",
    "a cell that is no number": (
        "return Answer(THERE, results(type('Found', (), {'__annotations__': {'rows': Annotated[Table, "
        "Shown('rows')]}}))(rows=Table({'a': Shown('a')}, ((float('nan'),),))))"
    ),
    "an exit code that is none": "raise Refusal('NO', 'No.', exit_code=77)",
    "a refusal without words": "raise Refusal('NO', 'No.', instead=None)",
    "an exit": "raise SystemExit(0)",
    "an end": "raise GeneratorExit('enough')",
}
by_answer = pytest.mark.parametrize("body", ANSWERS.values(), ids=ANSWERS)


@by_answer
@pytest.mark.parametrize("form", ["", "--json"])
def test_a_command_that_does_not_answer_exits_4(cli, own: Path, body: str, form: str) -> None:
    lay(own, "mine", HEAD + command("greet", body))
    done = cli(f"greet {form}")
    assert done.code == 4, done.err
    assert named(done.err, "mine") == 1
    if form:
        assert done.json["error"]["code"] == "PLUGIN_FAILED"


SAYINGS = {
    "a check without a day": "checks=lambda found: [Check(THERE.says[0])]",
    "a check of no month": "checks=lambda found: [Check(THERE.says[0], month=13)]",
    "a check of a month that is text": "checks=lambda found: [Check(THERE.says[0], month='5')]",
    "a check that is text": "checks=lambda found: ['Look.']",
    "a card that is text": "card=lambda found: ['Look.']",
    "a card that fails": "card=lambda found: 1 / 0",
}


@pytest.mark.parametrize("name", ["extra", "emc"])
@by_answer
def test_a_section_that_does_not_answer_leaves_the_plan(cli, own: Path, body: str, name: str) -> None:
    """Also one whose command has the name of one of ours, which no command line of a plugin has."""
    lay(own, "mine", HEAD + section("extra", body).replace('CommandSpec("extra"', f'CommandSpec("{name}"'))
    Path("job.toml").write_text(JOB, encoding="utf-8")
    done = cli(f"plan job.toml --json {FEW}")
    assert done.code == 0, done.err
    assert named(done.err, "mine") == 1
    rows = {row["key"]: row["status"] for row in done.json["results"]["sections"]}
    assert (rows["extra"], rows["width"]) == ("failed", "done")


@pytest.mark.parametrize("says", SAYINGS.values(), ids=SAYINGS)
def test_a_section_that_fails_to_say_its_card_or_its_checks_leaves_the_plan(cli, own: Path, says) -> None:
    source = section("extra").replace('more", spec, Stage.YEAR)', f'more", spec, Stage.YEAR, {says})')
    lay(own, "mine", HEAD + source)
    Path("job.toml").write_text(JOB, encoding="utf-8")
    done = cli(f"plan job.toml --json {FEW}")
    assert (done.code, named(done.err, "mine")) == (0, 1)
    rows = {row["key"]: row["status"] for row in done.json["results"]["sections"]}
    assert (rows["extra"], rows["width"]) == ("failed", "done")


@pytest.mark.parametrize(
    ("body", "holds"),
    [("return {'done': True}", "returned a dict"), ("return Answer(THERE, {})", "results are a dict")],
)
def test_a_plugin_that_answers_with_a_dict_is_told_what_to_return(cli, own: Path, body, holds) -> None:
    lay(own, "mine", HEAD + command("greet", body) + section("extra", body))
    Path("job.toml").write_text(JOB + "[extra]\nlevel = 1\n", encoding="utf-8")
    for line in ("greet", f"plan job.toml {FEW}"):
        done = cli(line)
        assert done.code == 4
        for words in ("plugin mine", holds, "class marked with @results"):
            assert words in done.err, done.err
        assert "Traceback" not in done.err + done.out


@pytest.mark.parametrize("kind", ["dict[str, float]", "tuple[dict, ...]", "dict | None"])
def test_results_with_a_dict_in_them_are_refused_where_they_are_made(cli, own: Path, kind: str) -> None:
    source = f"@results\nclass Found:\n    loads: Annotated[{kind}, Shown('loads')]\n"
    lay(own, "mine", HEAD + source + command("greet"))
    done = cli("greet")
    assert done.code == 4
    assert "Found.loads is a dict; make it a class of results, or a Table" in done.err


def test_a_value_that_a_plugin_cannot_read_is_told_as_one(cli, own: Path) -> None:
    """Its reader ends in a KeyError, where ValueError is agreed."""
    kind = 'ParamType("HAND", lambda text: {"left": 1}[text])'
    spec = f'CommandSpec("greet", "Says it.", ("woodmove greet",), (Param("hand", "--hand", {kind}, "Hand", '
    spec += '"left", "extra.hand"),), lambda r, c: DONE)'
    sections = returning("woodmove_plan_sections", f'Section("extra", "More", {spec}, Stage.YEAR)')
    lay(own, "mine", HEAD + returning("woodmove_commands", spec) + sections)
    Path("job.toml").write_text(JOB + '[extra]\nhand = "right"\n', encoding="utf-8")
    assert cli.results("greet --hand left") == {"done": True}
    done = cli("greet --hand right")
    assert (done.code, "--hand" in done.err, "left" in done.err) == (2, True, True)
    done = cli(f"plan job.toml {FEW}")
    assert (done.code, "extra.hand" in done.err) == (1, True)


# What a plugin prints.

NOISE = """
import os, subprocess, sys
def shout(where):
    print("noise by print", where)
    sys.__stdout__.write("noise past print\\n")
    os.write(1, b"noise below Python\\n")
    subprocess.run([sys.executable, "-c", "print('noise of a child')"])
"""
NOISY = (
    NOISE
    + "shout('on import')\n"
    + HEAD
    + species("ironwood").replace("    return [", "    shout('in a hook')\n    return [")
    + command("greet", 'shout("when run"); return DONE')
    + section("extra", 'shout("in a plan"); return DONE')
)


@pytest.mark.parametrize(
    ("line", "noises"), [("list species", 2), ("list plugins", 2), ("greet", 2), ("plan job.toml", 3)]
)
def test_what_a_plugin_prints_goes_to_stderr(own: Path, line: str, noises: int) -> None:
    lay(own, "mine", NOISY)
    Path("job.toml").write_text(JOB, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "woodmove", *line.split(), "--json"],
        capture_output=True, text=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["format"] == 2
    for noise in ("by print", "past print", "below Python", "of a child"):
        assert done.stderr.count(f"noise {noise}") == noises


def test_a_plugin_that_prints_harms_no_page_either(cli, own: Path) -> None:
    lay(own, "mine", HEAD + species("ironwood") + "print('noise')\n")
    done = cli("show species ironwood")
    assert (done.code, "noise" in done.out, "noise" in done.err) == (0, False, True)


# A table brings `show TABLE KEY` with it.

RACKS = (
    HEAD
    + """
from typing import Annotated
from woodmove.extend.api import Answer, CommandSpec, Shown, Table, Verdict, note, quantity, results

@results
class Racks:
    racks: Annotated[Table, Shown("racks", level="key")]

FULL = note("FULL", "They are full.")
COLUMNS = {"rack": Shown("rack"), "from": Shown("bought of"), "Reach mm": Shown("reach", quantity.LENGTH)}
ROWS = (("north-wall", "a smith", 508.0), ("loft", None, 254.0))

def racks(request, catalogue):
    return Answer(Verdict("know", (FULL(),)), Racks(racks=Table(COLUMNS, ROWS)))

@hookimpl
def woodmove_commands():
    return [CommandSpec("list racks", "The racks.", ("woodmove list racks",), (), racks, table="racks")]
"""
)


def test_a_table_of_a_plugin_shows_each_of_its_rows(cli, own: Path) -> None:
    lay(own, "mine", RACKS)
    done = cli("show racks North-Wall")
    assert (done.code, done.err) == (0, "")
    assert " ".join(done.out.split()) == (
        "north-wall: one of 2 in woodmove list racks. rack north-wall bought of a smith reach 20 in"
    )
    assert cli.results("show racks loft") == {"rack": "loft", "_from": None, "Reach_mm": 254.0}
    assert "racks" in cli("show --help").out
    refused = cli("show racks wall")
    assert refused.code == 1
    assert "There is no 'wall' in woodmove list racks. The closest known: north-wall." in refused.err


def test_a_table_that_fails_names_its_plugin(cli, own: Path) -> None:
    lay(own, "mine", RACKS.replace("    return Answer", "    raise OSError('the wall fell')"))
    done = cli("show racks loft")
    assert done.code == 4
    assert "The command show racks of plugin mine failed" in done.err


def test_a_show_of_its_own_comes_first(cli, own: Path) -> None:
    show = 'SHOW = CommandSpec("show racks", "One.", ("woodmove show racks",), (), racks)'
    own_show = RACKS.replace("return [", "return [SHOW, ").replace("@hookimpl", f"{show}\n\n@hookimpl")
    lay(own, "mine", own_show)
    done = cli("show racks")
    assert (done.code, done.err) == (0, "")
    assert done.out.startswith("They are full.")


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("show places burlington", "VT"),
        ("show doubts 'between logs'", "half the variance"),
        ("show adhesives epoxy", "Gloves and eye protection"),
        ("show meters pin", "points"),
        ("show fasteners no-10-wide", "outside"),
        ("show finishes linseed-oil-1", "MEE"),
    ],
)
def test_each_table_of_our_own_shows_a_row(cli, line: str, says: str) -> None:
    done = cli(line)
    assert (done.code, done.err) == (0, "")
    assert says in " ".join(done.out.split())


# Who ends the program: the user.


@pytest.mark.skipif(os.name == "nt", reason="signals of POSIX")
@pytest.mark.parametrize("where", ["on import", "in a hook", "when run"])
def test_the_user_may_interrupt_a_plugin(own: Path, where: str) -> None:
    wait = "(print('waiting', flush=True), __import__('time').sleep(60))"
    source = {
        "on import": wait + "\n" + GOOD,
        "in a hook": GOOD.replace("    return [Species", f"    {wait}\n    return [Species"),
        "when run": HEAD + command("greet", wait),
    }[where]
    lay(own, "mine", source)
    line = "list species" if where == "in a hook" else "greet"
    started = time.monotonic()
    with subprocess.Popen(
        [sys.executable, "-m", "woodmove", line.split()[0], *line.split()[1:]],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, encoding="utf-8",
    ) as running:  # fmt: skip
        assert running.stderr is not None
        assert running.stderr.readline() == "waiting\n"
        running.send_signal(signal.SIGINT)
        out, err = running.communicate(timeout=30)
    assert (running.returncode, out) == (130, "")
    assert "set aside" not in err
    assert time.monotonic() - started < 50


def test_a_parameter_without_a_kind_is_told() -> None:
    assert list(wrong_types(Param("a", "--a", None, "", ""), Param)) == ["kind is None (expected: ParamType)"]  # type: ignore[arg-type]
