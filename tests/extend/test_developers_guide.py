"""The plugin of the developers' guide works as it stands there: built, installed beside the wheel, used."""

import json
import shlex

import documents
import pytest

from woodmove.extend import groups
from woodmove.extend.hookspecs import RETURNS

GUIDE = documents.read("DEVELOPERS.md")
NAME = "woodmove_alcove"


@pytest.fixture(scope="module")
def project(tmp_path_factory):
    return documents.written(GUIDE, tmp_path_factory.mktemp("plugin"))


@pytest.fixture(scope="module")
def woodmove(new_installation, project):
    """Runs woodmove where the wheel and the plugin are installed."""
    installation = new_installation("guide")
    installation.install(project)

    def run(*arguments: str, program: str = "woodmove") -> str:
        done = installation.run(program, *arguments, cwd=project)
        assert (done.returncode, done.stderr) == (0, ""), f"{shlex.join(arguments)}: {done.stderr}"
        return done.stdout

    return run


def test_the_guide_shows_every_file():
    assert set(documents.files_of(GUIDE)) == {
        "pyproject.toml",
        "woodmove_alcove.py",
        "test_woodmove_alcove.py",
        "alcove.toml",
    }


def test_the_guide_names_every_hook_and_every_group():
    assert all(f"`{hook}`" in GUIDE for hook in RETURNS)
    makers = [name for name in vars(groups) if name.endswith("_of") and not name.startswith("_")]
    assert len(makers) >= 6
    assert all(f"`{maker}(" in GUIDE for maker in makers)


def test_it_is_loaded_and_passes_the_check(woodmove):
    plugins = json.loads(woodmove("list", "plugins", "--json"))["results"]["plugins"]
    assert {plugin["name"]: plugin["status"] for plugin in plugins}[NAME] == "loaded"
    woodmove("plugins", "check")


def test_its_species_is_listed_with_its_provider(woodmove):
    rows = json.loads(woodmove("list", "species", "--json"))["results"]["species"]
    assert {row["key"]: row["provider"] for row in rows}["garden-pear"] == NAME


def test_core_commands_take_its_species(woodmove):
    arguments = (
        "width --species garden-pear --width 24in --rings flat --mc-now 8 --mc-low 6 --mc-high 11 --json"
    )
    results = json.loads(woodmove(*arguments.split()))["results"]
    # Flat-sawn: the tangential coefficient, 0.0032, over three points of moisture.
    assert results["change_high_mm"]["expected"] == pytest.approx(24 * 25.4 * 0.0032 * 3)


def test_its_section_is_in_the_plan(woodmove):
    document = json.loads(woodmove("plan", "alcove.toml", "--json"))
    sections = {section["key"]: section for section in document["results"]["sections"]}
    assert (sections["alcove"]["status"], sections["alcove"]["provider"]) == ("done", NAME)
    least = sections["alcove"]["answer"]["results"]["gap_least_mm"]
    growth = sections["width"]["answer"]["results"]["change_high_mm"]
    assert least["expected"] == pytest.approx(12.7 - growth["expected"])
    assert any("wall" in check["check"] for check in document["results"]["checks"])


def test_a_job_without_its_table_skips_it(woodmove, project):
    text = documents.files_of(GUIDE)["alcove.toml"].partition("[alcove]")[0]
    (project / "without.toml").write_text(text, encoding="utf-8")
    document = json.loads(woodmove("plan", "without.toml", "--json"))
    sections = {section["key"]: section for section in document["results"]["sections"]}
    assert sections["alcove"]["status"] == "blocked"


def test_its_own_test_passes(woodmove):
    assert "1 passed" in woodmove("-m", "pytest", "-q", "-p", "no:cacheprovider", ".", program="python")


def test_the_commands_of_the_guide_run(woodmove):
    examples = documents.examples_of(GUIDE)
    assert len(examples) >= 6
    for arguments in examples:
        assert woodmove(*arguments)
