"""The life of a plugin: found, loaded, asked, and set aside when it is broken, without harm to others."""

import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from importlib.metadata import entry_points
from math import nan
from pathlib import Path
from typing import Any

import pytest
from plugins_as_text import GOOD, HEAD, Run, candidate, command, lay, module_of, named, section, species

from woodmove.extend.api import (
    AcrossGrain,
    Climate,
    Coefficients,
    Finish,
    Known,
    Screw,
    Shrinkage,
    Species,
    SpecificGravity,
    Status,
    StiffnessRatios,
    Washer,
)
from woodmove.extend.catalogue import REGISTRIES
from woodmove.extend.manager import GROUP, PluginManager, installed
from woodmove.extend.testkit import check_plugin

FEW = "--draws 128"
WIDTH = "width --species american-beech --width 30in --rings flat --mc-now 8 --mc-low 6 --mc-high 11"
JOB = f"check job.toml {FEW}"


OURS = {e.name: e for e in entry_points(group=GROUP) if e.dist and e.dist.name == "woodmove"}
INSTALLED = {candidate.name for candidate in installed()}


@dataclass(frozen=True)
class Broken:
    """A plugin that fails, and what is said of why."""

    source: str
    says: str
    on_import: bool = False

    def __str__(self) -> str:
        return self.says


BROKEN = {
    "raises-on-import": Broken("raise RuntimeError('no luck')", "RuntimeError: no luck", True),
    "exits-on-import": Broken("raise SystemExit(0)", "SystemExit", True),
    "misses-a-dependency": Broken("import a_package_that_nobody_has", "a_package_that_nobody_has", True),
    "misspells-a-hook": Broken(
        HEAD + "@hookimpl\ndef woodmove_specie():\n    return []\n", "there is no hook woodmove_specie"
    ),
    "wants-an-argument": Broken(
        HEAD + "@hookimpl\ndef woodmove_species(catalogue):\n    return []\n", "catalogue"
    ),
    "speaks-another-api": Broken(GOOD.replace("API = 1", "API = 99"), "plugin API 99"),
    "raises-in-the-hook": Broken(
        HEAD + "@hookimpl\ndef woodmove_species():\n    raise KeyError('lost')\n", "KeyError: 'lost'"
    ),
    "returns-no-list": Broken(
        HEAD + "@hookimpl\ndef woodmove_species():\n    return 42\n", "'int' object is not iterable"
    ),
    "ends-on-import": Broken("raise GeneratorExit('enough')", "GeneratorExit: enough", True),
    "ends-in-the-hook": Broken(
        HEAD
        + "class End(BaseException):\n    pass\n"
        + "@hookimpl\ndef woodmove_species():\n    raise End('all')\n",
        "End: all",
    ),
    "refuses-in-the-hook": Broken(
        HEAD + "@hookimpl\ndef woodmove_species():\n    raise Refusal('NO', 'Not today.')\n",
        "Refusal: Not today.",
    ),
    "cannot-say-why": Broken(
        "class Mute(Exception):\n    def __str__(self):\n        raise ValueError\nraise Mute",
        "Mute: it cannot say why",
        True,
    ),
    "brings-a-nan": Broken(
        HEAD + species("nanwood", 'Coefficients("own", float("nan"), 0.002, KNOWN),'), "radial coefficient"
    ),
    "has-no-hooks": Broken("WOODMOVE_PLUGIN_API = 1", "it implements no hook"),
}
# The eleventh kind loses its item and stays.
DUPLICATE = HEAD + species("american-beech")

by_kind = pytest.mark.parametrize("kind", BROKEN)


# A broken plugin, beside a good one and our own.


@by_kind
def test_a_broken_plugin_is_set_aside_alone_and_named_once(kind: str) -> None:
    ours = Run.of(good=GOOD)
    assert ours.told == []
    beside = Run.of(broken=BROKEN[kind].source, good=GOOD)
    (line,) = beside.told
    assert "plugin broken was set aside" in line
    assert BROKEN[kind].says in line
    assert "\n" not in line
    for registry in REGISTRIES:
        assert list(dict(getattr(beside.catalogue, registry))) == list(
            dict(getattr(ours.catalogue, registry))
        )
    assert beside.catalogue.species.provider("ironwood") == "good"


@by_kind
def test_a_broken_plugin_is_listed_as_failed_with_the_reason(kind: str) -> None:
    listed = Run.of(broken=BROKEN[kind].source, good=GOOD).listed()
    assert listed["broken"].status == "failed"
    assert BROKEN[kind].says in listed["broken"].reason
    assert {name for name, row in listed.items() if row.status == "loaded"} == {*INSTALLED, "good"}


def test_a_key_that_is_taken_is_refused_and_both_are_named() -> None:
    beside = Run.of(newcomer=DUPLICATE, good=GOOD)
    (line,) = beside.told
    for word in ("american-beech", "newcomer", "woodmove_species", "refused"):
        assert word in line
    assert beside.catalogue.species.provider("american-beech") == "woodmove_species"
    assert beside.listed()["newcomer"].status == "loaded"


def test_of_two_strangers_with_one_key_the_first_stays() -> None:
    beside = Run.of(first=HEAD + species("ironwood"), second=HEAD + species("ironwood"))
    (line,) = beside.told
    assert "second" in line
    assert "first" in line
    assert beside.catalogue.species.provider("ironwood") == "first"


def test_of_two_plugins_with_one_name_the_second_is_refused() -> None:
    told: list[str] = []
    manager = PluginManager([candidate("twin", GOOD), candidate("twin", DUPLICATE)], say=told.append)
    assert [plugin.status for plugin in manager.plugins] == ["loaded", "failed"]
    (line,) = told
    assert "twin" in line
    assert [item.key for _, item in manager.gather("woodmove_species")] == ["ironwood"]


def test_a_hook_may_be_a_generator_that_fails_half_way() -> None:
    source = HEAD + species("halfwood").replace("return [", "yield ").replace(
        "known=KNOWN, )]", "known=KNOWN)"
    )
    beside = Run.of(half=source + "    raise OSError('torn')\n")
    (line,) = beside.told
    assert "OSError: torn" in line
    assert "halfwood" not in dict(beside.catalogue.species)


# No number that is not one: whatever a plugin brings.

KNOWN = Known(Status.JUDGEMENT, "")
NOUNS: dict[str, Callable[[], Any]] = {
    "radial": lambda: Coefficients("own", nan, 0.002, KNOWN),
    "tangential": lambda: Coefficients("own", 0.001, nan, KNOWN),
    "fibre saturation": lambda: Species("a", "a", "hardwood", fibre_saturation_pct=nan),
    "specific gravity": lambda: SpecificGravity("12 %", nan, KNOWN),
    "temperature": lambda: Climate("a", "a", "", "", (nan,) * 12, (50.0,) * 12, "", KNOWN),
    "humidity": lambda: Climate("a", "a", "", "", (20.0,) * 12, (nan,) * 12, "", KNOWN),
    "screw": lambda: Screw("a", "a", "", nan, None, None, False, 5.0, KNOWN),
    "washer hole": lambda: Washer("a", "a", "", nan, 10.0, 1.0, KNOWN),
    "washer outside": lambda: Washer("a", "a", "", 5.0, nan, 1.0, KNOWN),
    "resistance": lambda: Finish("a", "a", 1, nan, {}, {}, KNOWN),
}
UNGUARDED: dict[str, Callable[[], Any]] = {
    "shrinkage": lambda: Shrinkage(nan, 5.0, None, KNOWN),
    "tension": lambda: AcrossGrain("12 %", nan, None, KNOWN),
    "stiffness ratio": lambda: StiffnessRatios(nan, 0.1, None, None, None, KNOWN),
    "latitude": lambda: Climate("a", "a", "", "", (20.0,) * 12, (50.0,) * 12, "", KNOWN, latitude_deg=nan),
    "screw root": lambda: Screw("a", "a", "", 4.0, nan, None, False, 5.0, KNOWN),
    "screw head": lambda: Screw("a", "a", "", 4.0, None, nan, False, 5.0, KNOWN),
    "clearance": lambda: Screw("a", "a", "", 4.0, None, None, False, nan, KNOWN),
    "washer thickness": lambda: Washer("a", "a", "", 5.0, 10.0, nan, KNOWN),
    "effectiveness": lambda: Finish("a", "a", 1, 0.0, {1: nan}, {1: 0.0}, KNOWN),
}


@pytest.mark.parametrize(
    "make",
    [
        *(pytest.param(make, id=name) for name, make in NOUNS.items()),
        *(pytest.param(make, id=name) for name, make in UNGUARDED.items()),
    ],
)
def test_no_noun_takes_a_nan(make: Callable[[], Any]) -> None:
    try:
        made = make()
    except ValueError:
        return
    raise AssertionError(f"{made} holds a NaN")


# Files in the user's own folder, through the command line.


def status(cli, name: str) -> tuple[str, str]:
    """Status and reason of a plugin, by ``list plugins``."""
    (row,) = (row for row in cli.results("list plugins")["plugins"] if row["name"] == name)
    return row["status"], row["reason"]


def test_a_file_in_the_folder_is_a_plugin(cli, own: Path) -> None:
    lay(own, "mine", GOOD)
    assert status(cli, "mine") == ("loaded", "")
    assert cli("show species ironwood").code == 0
    assert cli.results("greet") == {"done": True}
    rows = cli.results("list plugins")["plugins"]
    assert [row["package"] for row in rows if row["name"] == "mine"] == [str(own / "mine.py")]


def test_a_file_shadows_no_module(cli, own: Path) -> None:
    lay(own, "json", GOOD)
    assert status(cli, "json") == ("loaded", "")
    assert "json" in sys.modules
    assert not hasattr(sys.modules["json"], "WOODMOVE_PLUGIN_API")


def test_a_file_may_hold_a_dataclass_with_postponed_annotations(cli, own: Path) -> None:
    record = "from dataclasses import dataclass\n\n@dataclass\nclass Row:\n    level: int\n"
    lay(own, "mine", "from __future__ import annotations\n" + record + GOOD)
    assert status(cli, "mine") == ("loaded", "")


def test_files_are_loaded_by_a_whole_process_and_broken_ones_do_no_harm(own: Path) -> None:
    lay(own, "good", GOOD)
    lay(own, "newcomer", DUPLICATE)
    for kind, broken in BROKEN.items():
        lay(own, kind, broken.source)

    def woodmove(line: str) -> subprocess.CompletedProcess[str]:
        command = [sys.executable, "-m", "woodmove", *line.split()]
        return subprocess.run(command, capture_output=True, text=True, encoding="utf-8", check=False)

    version = woodmove("--version")
    assert (version.returncode, version.stderr) == (0, "")
    listed = woodmove("list plugins --details")
    assert listed.returncode == 0
    for kind in (*BROKEN, "newcomer"):
        assert named(listed.stderr, kind) == 1, kind
        assert kind in listed.stdout
    assert len(listed.stderr.splitlines()) == len(BROKEN) + 1
    assert named(listed.stderr, "good") == 0
    width = woodmove(WIDTH)
    assert width.returncode == 0
    assert all(named(width.stderr, kind) <= 1 for kind in BROKEN)


def test_help_works_with_every_plugin_broken(cli, own: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    class Unloadable:
        name, dist = "ours", None

        def load(self) -> None:
            raise RuntimeError("nothing loads here")

    monkeypatch.setattr("woodmove.extend.manager.entry_points", lambda group: [Unloadable()])
    for kind, broken in BROKEN.items():
        lay(own, kind, broken.source)
    for line in ("--help", "--version", "-h", "plugins --help", "list plugins", "width --help", "emc --grid"):
        done = cli(line)
        assert done.code == 0, line
        assert done.out
        assert named(done.err, "ours") <= 1
    assert "width" in cli("--help").out
    assert {row["status"] for row in cli.results("list plugins")["plugins"]} == {"failed"}
    done = cli("plugins check")
    assert done.code == 4
    assert "ours" in done.err


# Whose plugins are run.


def others_may_write_the_file(own: Path) -> Path:
    (own / "mine.py").chmod(0o646)
    return own / "mine.py"


def the_group_may_write_the_file(own: Path) -> Path:
    (own / "mine.py").chmod(0o664)
    return own / "mine.py"


def others_may_write_the_folder(own: Path) -> Path:
    own.chmod(0o757)
    return own


def the_group_may_write_the_folder_above(own: Path) -> Path:
    own.parent.chmod(0o775)
    return own.parent


def it_leads_to_a_file_that_others_may_write(own: Path) -> Path:
    (own / "mine.py").rename(own.parent / "elsewhere.py")
    (own.parent / "elsewhere.py").chmod(0o666)
    (own / "mine.py").symlink_to(own.parent / "elsewhere.py")
    return own / "mine.py"


@pytest.mark.skipif(os.name == "nt", reason="permissions of POSIX")
@pytest.mark.parametrize(
    "loosen",
    [
        others_may_write_the_file,
        the_group_may_write_the_file,
        others_may_write_the_folder,
        the_group_may_write_the_folder_above,
        it_leads_to_a_file_that_others_may_write,
    ],
)
def test_a_file_that_others_may_change_is_not_run(cli, own: Path, loosen: Callable[[Path], Path]) -> None:
    marker = own.parent / "was-run"
    lay(own, "mine", f"open({str(marker)!r}, 'w').close()\n" + GOOD)
    loose = loosen(own)
    done = cli("list plugins")
    assert done.code == 0
    assert named(done.err, "mine") == 1
    assert f"chmod go-w {loose}" in done.err
    assert status(cli, "mine")[0] == "failed"
    assert not marker.exists()


@pytest.mark.skipif(not hasattr(os, "getuid") or os.getuid() != 0, reason="only root can give a file away")
@pytest.mark.parametrize("place", ["the file", "its folder"])
def test_a_file_of_somebody_else_is_not_run(cli, own: Path, place: str) -> None:
    path = lay(own, "mine", GOOD)
    os.chown(path if place == "the file" else own, 65534, 65534)
    assert status(cli, "mine")[0] == "failed"
    assert "belongs to somebody else" in cli("list plugins").err


def test_a_file_with_the_name_of_an_installed_plugin_is_refused(cli, own: Path) -> None:
    lay(own, "woodmove_species", GOOD)
    done = cli("list plugins")
    assert named(done.err, "woodmove_species") == 1
    rows = [row for row in cli.results("list plugins")["plugins"] if row["name"] == "woodmove_species"]
    assert [row["status"] for row in rows] == ["loaded", "failed"]
    assert cli("show species american-beech").code == 0


# Switching them off.


def test_no_plugins_loads_none(cli, own: Path) -> None:
    marker = own.parent / "was-run"
    lay(own, "mine", f"open({str(marker)!r}, 'w').close()\nraise RuntimeError('no luck')\n")
    done = cli("--no-plugins list plugins --json")
    assert (done.code, done.err) == (0, "")
    assert {row["status"] for row in done.json["results"]["plugins"]} == {"disabled"}
    assert not marker.exists()
    assert cli("--no-plugins emc --temp 20C --rh 50").code == 0
    assert cli(f"--no-plugins {WIDTH}").code == 4


def test_no_plugins_is_silent_about_names_too(cli, own: Path) -> None:
    lay(own, "woodmove_species", GOOD)
    assert cli("--no-plugins list plugins").err == ""


def test_named_plugins_are_left_out(cli, own: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    lay(own, "mine", GOOD)
    lay(own, "broken", "raise RuntimeError('no luck')")
    monkeypatch.setenv("WOODMOVE_DISABLE_PLUGINS", "broken, mine,not-there")
    done = cli("list plugins --json")
    assert (done.code, done.err) == (0, "")
    statuses = {row["name"]: row["status"] for row in done.json["results"]["plugins"]}
    assert statuses == dict.fromkeys(INSTALLED, "loaded") | {"mine": "disabled", "broken": "disabled"}
    assert cli("show species ironwood").code == 1
    assert cli("plugins check").code == 0


# What belongs to the core, or to another plugin, stays theirs.


def test_a_command_of_the_core_stays(cli, own: Path) -> None:
    lay(own, "mine", HEAD + command("emc"))
    done = cli("--help")
    assert done.code == 0
    assert named(done.err, "mine") == 1
    assert "woodmove itself already provides" in done.err
    assert "done" not in cli.results("emc --temp 20C --rh 50")


def test_a_command_below_one_of_the_core_is_refused_too(cli, own: Path) -> None:
    lay(own, "mine", HEAD + command("climate listing"))
    assert named(cli("--help").err, "mine") == 1
    assert cli("climate listing").code == 2


def test_a_command_of_another_plugin_stays(cli, own: Path) -> None:
    lay(own, "mine", HEAD + command("slots"))
    done = cli("slots --help")
    assert "--width" in done.out
    assert named(done.err, "mine") == 1
    assert "woodmove_fasteners" in done.err


def test_a_group_takes_the_place_of_no_command(cli, own: Path) -> None:
    lay(own, "mine", HEAD + command("slots twice"))
    done = cli("slots --help")
    assert "--width" in done.out
    assert named(done.err, "mine") == 1


def test_a_plan_section_of_the_core_stays(cli, own: Path) -> None:
    lay(own, "mine", HEAD + section("width"))
    job()
    done = cli(f"plan job.toml --json {FEW}")
    assert done.code == 0
    assert named(done.err, "mine") >= 1
    assert "woodmove itself already provides" in done.err
    (row,) = (row for row in done.json["results"]["sections"] if row["key"] == "width")
    assert row["provider"] == "woodmove"


def test_a_refused_plan_section_is_named_once(cli, own: Path) -> None:
    lay(own, "mine", HEAD + section("width"))
    job()
    assert named(cli(f"plan job.toml {FEW}").err, "mine") == 1


# Exit 4 exactly where the request needs what has failed.


def job(text: str = "") -> None:
    base = (
        '[wood]\nspecies = "american-beech"\nrings = "flat"\nmc_now = "8"\n[top]\nwidth = "30in"\n'
        '[room]\nmc_low = "6"\nmc_high = "11"\n'
    )
    Path("job.toml").write_text(base + text, encoding="utf-8")


LATE = HEAD + section("extra", "raise RuntimeError('too late')")
EARLY = "raise RuntimeError('too early')"
ASKS = {"by name": '[plan]\nsections = ["width", "extra"]\n', "by a value": "[extra]\nlevel = 1\n"}


@pytest.mark.parametrize("source", [LATE, EARLY], ids=["fails when it runs", "fails when it loads"])
@pytest.mark.parametrize("asks", ASKS.values(), ids=ASKS)
def test_a_job_that_asks_for_a_section_of_a_failed_plugin_exits_4(cli, own: Path, source, asks) -> None:
    lay(own, "mine", source)
    job(asks)
    for line in (f"plan job.toml {FEW}", JOB):
        done = cli(line)
        assert done.code == 4, line
        assert "mine was set aside" in done.err


@pytest.mark.parametrize("source", [LATE, EARLY], ids=["fails when it runs", "fails when it loads"])
def test_a_job_that_does_not_ask_for_it_exits_0(cli, own: Path, source) -> None:
    lay(own, "mine", source)
    job()
    done = cli(f"plan job.toml --json {FEW}")
    assert done.code == 0
    assert named(done.err, "mine") == 1
    assert "width" in {row["key"] for row in done.json["results"]["sections"] if row["status"] == "done"}


def test_a_good_section_is_part_of_the_plan(cli, own: Path) -> None:
    lay(own, "mine", GOOD)
    job(ASKS["by name"])
    done = cli(f"plan job.toml --json {FEW}")
    assert (done.code, done.err) == (0, "")
    assert [(row["key"], row["provider"]) for row in done.json["results"]["sections"]] == [
        ("width", "woodmove"),
        ("extra", "mine"),
    ]


def test_broken_species_tables_end_what_needs_them_and_nothing_else(own: Path, tmp_path: Path) -> None:
    broken = tmp_path / "first on the path"
    broken.mkdir()
    (broken / "woodmove_species.py").write_text("raise RuntimeError('tables lost')", encoding="utf-8")
    environment = os.environ | {"PYTHONPATH": str(broken)}

    def code(line: str, times_named: int) -> int:
        done = subprocess.run(
            [sys.executable, "-m", "woodmove", *line.split()],
            capture_output=True, text=True, encoding="utf-8", env=environment, check=False,
        )  # fmt: skip
        assert named(done.stderr, "woodmove_species") == times_named, done.stderr
        return done.returncode

    assert code("--version", 0) == 0
    assert code("emc --temp 20C --rh 50", 0) == 0
    assert code("list plugins", 1) == 0
    assert code(WIDTH, 1) == 4


def test_a_command_of_a_failed_plugin_exits_4(cli, own: Path) -> None:
    lay(own, "mine", GOOD + "raise RuntimeError('no luck')\n")
    done = cli("greet")
    assert named(done.err, "mine") >= 1
    assert done.code == 4


def test_a_species_that_a_failed_plugin_may_have_had_exits_4(cli, own: Path) -> None:
    lay(own, "mine", GOOD + "raise RuntimeError('no luck')\n")
    done = cli(WIDTH.replace("american-beech", "ironwood"))
    assert "mine" in done.err
    assert done.code == 4


def test_a_command_that_fails_while_it_runs_names_its_plugin(cli, own: Path) -> None:
    lay(own, "mine", HEAD + command("greet", "raise ZeroDivisionError('no luck')"))
    done = cli("greet")
    assert named(done.err, "mine") == 1
    assert done.code == 4


def test_a_command_that_exits_names_its_plugin(cli, own: Path) -> None:
    lay(own, "mine", HEAD + command("greet", "raise SystemExit(0)"))
    try:
        done = cli("greet")
    except SystemExit:
        raise AssertionError("the plugin ended the process") from None
    assert named(done.err, "mine") == 1
    assert done.code == 4


# The contract, as a plugin author checks it.


@pytest.mark.parametrize("name", OURS)
def test_our_own_plugins_keep_the_contract(name: str) -> None:
    assert check_plugin(OURS[name].load()) == []


def test_a_good_plugin_keeps_the_contract() -> None:
    assert check_plugin(module_of("good", GOOD)) == []


@pytest.mark.parametrize("kind", [kind for kind, broken in BROKEN.items() if not broken.on_import])
def test_the_test_kit_finds_a_broken_plugin(kind: str) -> None:
    (fault,) = check_plugin(module_of("broken", BROKEN[kind].source))
    assert BROKEN[kind].says in fault


CARELESS = {
    "a key that is taken": (DUPLICATE, "american-beech"),
    "an alias of another": (HEAD + species("ironwood", more='aliases=("american-beech",)'), "alias"),
    "an unknown member": (HEAD + species("ironwood", more='members=("nowood",)'), "nowood"),
    "a species without values": (HEAD + species("ironwood", ""), "no value"),
    "no source": (
        HEAD + species("ironwood").replace("002, KNOWN", '002, Known("published", "")'),
        "names no source",
    ),
    "an example of another": (
        HEAD + command("greet").replace('("woodmove " + NAME,)', '("woodmove emc",)'),
        "woodmove emc",
    ),
    "a section that no job can fill": (
        HEAD + section("extra").replace('"extra.level"', "required=True"),
        "level is needed",
    ),
    "hooks that return nothing": (HEAD + "@hookimpl\ndef woodmove_species():\n    return []\n", "nothing"),
}


@pytest.mark.parametrize(("source", "says"), CARELESS.values(), ids=CARELESS)
def test_the_test_kit_finds_a_careless_plugin(source: str, says: str) -> None:
    faults = check_plugin(module_of("careless", source))
    assert any(says in fault for fault in faults), faults


@pytest.mark.parametrize("source", [command("emc"), section("width")], ids=["command", "section"])
def test_the_test_kit_finds_what_the_core_would_refuse(source: str) -> None:
    assert check_plugin(module_of("careless", HEAD + source)) != []
