"""woodmove plugins: what is loaded, and what failed."""

from pathlib import Path

import pytest

from woodmove.cli.build import CORE, TABLES
from woodmove.extend.testkit import RESERVED
from woodmove.planning import schema as jobs


@pytest.fixture
def user_plugin(cli, monkeypatch, tmp_path):
    """Writes a plugin of one file into the folder of the user's own plugins."""
    folder = tmp_path / "own" / "woodmove" / "plugins"
    folder.mkdir(parents=True, mode=0o700)
    folder.parent.chmod(0o700)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "own"))

    def write(name: str, text: str) -> None:
        (folder / f"{name}.py").write_text(text, encoding="utf-8")
        (folder / f"{name}.py").chmod(0o600)

    return write


def write(text: str, name: str = "job.toml") -> None:
    Path(name).write_text(text, encoding="utf-8")


# plugins


def test_plugins_list(cli):
    rows = {row["name"]: row for row in cli.results("list plugins")["plugins"]}
    for name in ("woodmove_species", "woodmove_climates", "woodmove_fasteners"):
        assert rows[name]["status"] == "loaded"
        assert rows[name]["package"] == "woodmove"
        assert rows[name]["version"]
    off = cli("--no-plugins list plugins --json").json["results"]["plugins"]
    assert {row["status"] for row in off} == {"disabled"}


def test_plugins_show(cli):
    found = cli.results("show plugins woodmove_fasteners")
    assert "woodmove_fasteners" in found["hooks"]
    assert "slots" in found["commands"]


def test_plugins_check(cli, user_plugin):
    assert cli.results("plugins check")["plugins_loaded"] >= 3
    user_plugin("broken", "raise RuntimeError('out of glue')")
    done = cli("plugins check")
    assert done.code == 4
    assert "out of glue" in done.err
    assert cli("list plugins --json").json["results"]["plugins"][-1]["status"] == "failed"


def test_the_test_kit_knows_what_woodmove_keeps_for_itself():
    sections = {section.key for section in jobs.core_sections()}
    assert frozenset({*CORE, *sections} - {*TABLES}) == RESERVED


def test_without_plugins_a_request_for_one_names_the_reason(cli):
    done = cli("--no-plugins show species teak")
    assert done.code == 4
    assert "woodmove list plugins" in done.err
