"""The README says what is true: its commands run, its outputs are real, its options exist.

With WOODMOVE_UPDATE_README=1 the outputs in the README are written anew instead of compared.
"""

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import documents
import pytest

from woodmove.cli.build import all_commands
from woodmove.cli.core import TABLES
from woodmove.cli.execute import COMMON, CSV
from woodmove.cli.outputs import params_of
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.manager import PluginManager, installed

README = documents.read("README.md")
DEVELOPERS = documents.read("DEVELOPERS.md")
SETUP = [line for line in documents.shell_lines(README) if not line.startswith("woodmove ")]
OURS = Catalogue(lambda: PluginManager([plugin for plugin in installed() if plugin.package == "woodmove"]))
COMMANDS = {spec.name: spec for spec in all_commands(OURS)}


@pytest.fixture(scope="module")
def woodmove(tmp_path_factory, clean_environment):
    """Runs woodmove in a folder that holds the files of the README, without plugins of others."""
    folder = documents.written(README, tmp_path_factory.mktemp("readme"))
    others = ",".join(plugin.name for plugin in installed() if plugin.package != "woodmove")
    environment = clean_environment | {"WOODMOVE_DISABLE_PLUGINS": others}

    def run(arguments: list[str]) -> str:
        done = subprocess.run(
            [sys.executable, "-m", "woodmove", *arguments],
            capture_output=True, text=True, encoding="utf-8", cwd=folder, env=environment, check=False,
        )  # fmt: skip
        # A folder says what it does not hold: nobody labels boards that the job does not list.
        wrong = [line for line in done.stderr.splitlines() if "left out: labels.html" not in line]
        assert (done.returncode, wrong) == (0, []), f"woodmove {shlex.join(arguments)}: {done.stderr}"
        return done.stdout

    return run


def test_two_commands_do_all_set_up():
    assert len(SETUP) == 2
    for line in SETUP:
        syntax = subprocess.run(["sh", "-n", "-c", line], capture_output=True, text=True, check=False)
        assert syntax.returncode == 0, syntax.stderr
        steps = [shlex.split(step) for step in line.split("&&")]
        assert steps[0] == ["python3", "-m", "venv", ".venv"]
        assert steps[1][:2] == [".venv/bin/pip", "install"]
    assert SETUP[0].endswith(".venv/bin/woodmove plan --demo")
    assert SETUP[1].endswith(".venv/bin/pytest")


def test_it_is_short_and_so_are_its_outputs():
    assert len(README.splitlines()) <= 400
    assert all(len(output.splitlines()) <= 40 for output in documents.outputs_of(README).values())
    first = README.splitlines()[:60]
    assert any(line.startswith("## The one path") for line in first)


def test_it_opens_with_one_paragraph_on_the_job():
    title, opening, following = README.split("\n\n")[:3]
    assert title == "# woodmove"
    assert 40 <= len(opening.split()) <= 130
    assert following.startswith("```sh\nwoodmove plan --demo")


def test_outputs_are_real(woodmove):
    made = {command: woodmove(shlex.split(command)[1:]) for command in documents.outputs_of(README)}
    assert "woodmove plan --demo" in made
    if os.environ.get("WOODMOVE_UPDATE_README"):
        text = documents.with_outputs(README, lambda command: made[command])
        Path(documents.ROOT / "README.md").write_text(text, encoding="utf-8")
        return
    for command, output in made.items():
        shown = documents.outputs_of(README)[command]
        assert shown == documents.as_shown(shown, output), (
            f"{command} prints something else now; WOODMOVE_UPDATE_README=1 writes it into the README"
        )


def test_examples_run(woodmove):
    examples = [line for line in documents.examples_of(README) if line != ["plan", "--demo"]]
    assert len(examples) >= 7
    for arguments in examples:
        assert woodmove(arguments)


def test_the_script_runs(tmp_path, clean_environment):
    (script,) = re.findall(r"^```python\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, cwd=tmp_path, env=clean_environment,
        check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("go ")


def test_every_command_is_named():
    for name in COMMANDS:
        # Tables are many, and plugins add to them.
        name = name.split()[0] if name.split()[0] in TABLES else name
        assert f"`{name}`" in README, f"the README does not name {name}"


def test_every_option_exists():
    known = {param.option for spec in COMMANDS.values() for param in (*spec.params, *COMMON, CSV)}
    known |= {param.option for spec in COMMANDS.values() for param in params_of(spec, OURS)}
    known |= {"--version", "--no-plugins", "--help", "-h"}
    others = set(re.findall(r"(?<!\S)--?[a-z][a-z-]*", " ".join(SETUP)))
    named = set(re.findall(r"(?<![\w-])--[a-z][a-z-]*", README))
    assert named - others <= known
    # Of the developers' page: what stands after woodmove, or alone in a code span. Its own plugin adds one.
    spans = re.findall(r"`(--[a-z][a-z-]*)", DEVELOPERS)
    assert set(spans) <= known | {"--full"}


def test_every_variable_exists():
    source = "".join(path.read_text(encoding="utf-8") for path in (documents.ROOT / "woodmove").rglob("*.py"))
    # Those that update something belong to the tests.
    for name in set(re.findall(r"WOODMOVE_(?!UPDATE_)[A-Z_]+", README + DEVELOPERS)):
        assert name in source, name
