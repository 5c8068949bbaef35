"""What several tests share: a clean environment, the wheel, and an installation of the wheel alone."""

import functools
import importlib.metadata
import io
import json
import os
import shlex
import subprocess
import sys
import sysconfig
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from few_draws import run

from woodmove.extend.manager import Plugin, PluginManager

ROOT = Path(__file__).resolve().parent.parent
# What is deprecated fails in the programs that tests start, as it does in the tests themselves.
STRICT = {"PYTHONWARNINGS": "error::DeprecationWarning"}


@pytest.fixture(scope="session")
def clean_environment(tmp_path_factory) -> dict[str, str]:
    """The environment of a user who has set nothing: no plugins of their own, no import path."""
    kept = {
        name: value
        for name, value in os.environ.items()
        if not name.startswith(("WOODMOVE_", "COV_", "PYTEST_")) and name not in ("PYTHONPATH", "PYTHONHOME")
    }
    own = {name: str(tmp_path_factory.mktemp("home")) for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME")}
    return kept | own | {"PYTHONUTF8": "1"} | STRICT


@pytest.fixture(scope="session")
def wheel(tmp_path_factory) -> Path:
    """The wheel of this checkout, built with the build backend that is already installed."""
    folder = tmp_path_factory.mktemp("dist")
    done = subprocess.run(
        [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", folder, ROOT],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    (built,) = folder.glob("woodmove-*.whl")
    return built


@dataclass(frozen=True)
class Installation:
    """An environment of its own, outside the checkout, that holds what was installed and no more of us.

    Its dependencies are those of the running environment, which comes last on its path.
    """

    folder: Path
    environment: dict[str, str]

    @property
    def scripts(self) -> Path:
        return self.folder / ("Scripts" if os.name == "nt" else "bin")

    @property
    def site(self) -> Path:
        """Where packages are installed to."""
        home = {"base": str(self.folder), "platbase": str(self.folder)}
        return Path(sysconfig.get_path("purelib", "venv", home))

    def install(self, what: Path, *options: str) -> None:
        """Install a wheel or a project; nothing is downloaded."""
        done = subprocess.run(
            [sys.executable, "-m", "pip", "--python", self.scripts / "python", "--quiet", "install",
             "--no-deps", "--no-index", "--no-build-isolation", *options, what],
            capture_output=True, text=True, env=self.environment | {"PYTHONWARNINGS": ""}, check=False,
        )  # fmt: skip
        assert done.returncode == 0, done.stdout + done.stderr

    def run(self, program: str, *arguments: str, cwd: Path) -> subprocess.CompletedProcess[str]:
        """Run a program of this environment."""
        return subprocess.run(
            [self.scripts / program, *arguments],
            capture_output=True, text=True, encoding="utf-8", cwd=cwd, env=self.environment, check=False,
        )  # fmt: skip


@pytest.fixture(scope="session")
def new_installation(tmp_path_factory, clean_environment, wheel):
    """Makes installations of the wheel."""

    def make(name: str) -> Installation:
        folder = tmp_path_factory.mktemp(name)
        subprocess.run([sys.executable, "-m", "venv", "--without-pip", folder], check=True)
        made = Installation(folder, clean_environment)
        # A line of a .pth file puts a folder at the end of the path and reads no .pth file in it: an
        # editable woodmove in the running environment stays out of sight.
        sites = [entry for entry in sys.path if entry.endswith(("site-packages", "dist-packages"))]
        (made.site / "dependencies.pth").write_text("\n".join(sites) + "\n", encoding="utf-8")
        made.install(wheel)
        return made

    return make


@pytest.fixture(scope="session")
def installation(new_installation) -> Installation:
    """The wheel alone."""
    return new_installation("installation")


# Command lines in this process.

entry_points = functools.cache(importlib.metadata.entry_points)


def _no_such_number(name: str) -> None:
    raise AssertionError(f"{name} is no JSON number")


@dataclass(frozen=True)
class Outcome:
    """What a command line did: its exit code, what it printed, and what it said on stderr."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> dict[str, Any]:
        """The one JSON document on stdout; NaN and infinity fail."""
        return json.loads(self.out, parse_constant=_no_such_number)


@dataclass(frozen=True)
class CommandLine:
    """Runs command lines in this process: text as typed in a shell, or a list of arguments."""

    capsys: Any
    monkeypatch: Any

    def __call__(self, command: str | list[str], *more: str, stdin: str = "") -> Outcome:
        arguments = shlex.split(command) if isinstance(command, str) else list(command)
        self.monkeypatch.setattr(sys, "stdin", io.StringIO(stdin))
        self.capsys.readouterr()
        code = run([*arguments, *more])
        return Outcome(code, *self.capsys.readouterr())

    def json(self, command: str | list[str], *more: str, stdin: str = "") -> dict[str, Any]:
        """The document of a command line that must be done."""
        done = self(command, *more, "--json", stdin=stdin)
        assert done.code == 0, done.err or done.out
        return done.json

    def results(self, command: str | list[str], *more: str, stdin: str = "") -> dict[str, Any]:
        """The results of a command line that must be done."""
        return self.json(command, *more, stdin=stdin)["results"]


_KEPT: dict[tuple[str, str], list[Any]] = {}


def _good_items(self: PluginManager, plugin: Plugin, hook: str, read=PluginManager._good_items) -> list[Any]:
    """Of a plugin of ours, read and checked once: its tables are the same in every run."""
    if plugin.package != "woodmove":
        return read(self, plugin, hook)
    if (plugin.name, hook) not in _KEPT:
        items = read(self, plugin, hook)
        if plugin.faults:
            return items
        _KEPT[plugin.name, hook] = items
    return _KEPT[plugin.name, hook]


@pytest.fixture
def cli(capsys, monkeypatch, tmp_path) -> CommandLine:
    """Command lines in an empty folder of their own, without plugins of the user's own."""
    for name in [name for name in os.environ if name.startswith(("WOODMOVE_", "_WOODMOVE_"))]:
        monkeypatch.delenv(name)
    folder = tmp_path / "home" / "work"
    folder.mkdir(parents=True)
    monkeypatch.chdir(folder)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home" / "config"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "home" / "data"))
    for name, value in STRICT.items():
        monkeypatch.setenv(name, value)
    # What is installed stays the same, and looking for it is half of what a short run does.
    monkeypatch.setattr("woodmove.extend.manager.entry_points", entry_points, raising=False)
    monkeypatch.setattr(PluginManager, "_good_items", _good_items)
    return CommandLine(capsys, monkeypatch)


@pytest.fixture
def own(cli) -> Path:
    """The folder of the user's own plugins, as only the user may write it."""
    folder = Path(os.environ["XDG_CONFIG_HOME"]) / "woodmove" / "plugins"
    folder.mkdir(parents=True)
    for place in (folder, folder.parent):
        place.chmod(0o755)
    return folder
