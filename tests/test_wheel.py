"""The wheel holds everything that the product needs, nothing else, and works alone."""

import json
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture(scope="module")
def contents(wheel) -> set[str]:
    with zipfile.ZipFile(wheel) as archive:
        return set(archive.namelist())


PLUGINS = [init.parent for home in ("plugins", "climates") for init in (ROOT / home).glob("*/__init__.py")]


def shipped() -> set[str]:
    """What the source tree has of the packages, as it stands in the wheel."""
    return {
        path.relative_to(package.parent).as_posix()
        for package in (ROOT / "woodmove", *PLUGINS)
        for path in package.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }


def test_the_wheel_holds_the_packages_whole_and_nothing_else(contents):
    packed = {name for name in contents if ".dist-info/" not in name}
    assert packed == shipped()


def test_tables_places_the_demo_and_the_licence_are_in(contents):
    assert contents >= {
        "woodmove/files/demo.toml",
        "woodmove_species/tables/coefficients.csv",
        "woodmove_fasteners/tables/screws.csv",
        "woodmove_climates/places/burlington.toml",
    }
    assert any(name.endswith("/licenses/LICENSE") for name in contents)
    assert not any(name.startswith(("tests/", "plugins/", "climates/")) for name in contents)


def test_what_runs_comes_from_the_wheel(installation, tmp_path):
    script = (
        "import json, sys, woodmove\n"
        "from importlib.metadata import entry_points\n"
        "print(json.dumps({e.name: e.load().__file__ for e in entry_points(group='woodmove.plugins')}\n"
        "                 | {'woodmove': woodmove.__file__, 'prefix': sys.prefix}))\n"
    )
    done = installation.run("python", "-c", script, cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout)
    prefix = Path(found.pop("prefix")).resolve()
    assert prefix == installation.folder.resolve()
    for name in ("woodmove", *(plugin.name for plugin in PLUGINS)):
        file = found[name]
        assert Path(file).resolve().is_relative_to(prefix), f"{name} comes from {file}"


@pytest.mark.parametrize(
    ("command", "says"),
    [
        ("--version", "woodmove "),
        ("plan --demo", "Measure next"),
        ("list places", "aarhus"),
        ("list species --details", "northern-red-oak"),
        ("plugins check", "Plugins loaded"),
    ],
)
def test_commands_run(installation, tmp_path, command, says):
    done = installation.run("woodmove", *command.split(), cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert says in done.stdout


def test_the_module_runs_too(installation, tmp_path):
    done = installation.run("python", "-m", "woodmove", "--version", cwd=tmp_path)
    assert (done.returncode, done.stdout.split()[0]) == (0, "woodmove")
