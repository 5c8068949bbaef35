"""Who may import whom, what a run may load, and what a docstring must say.

The rooms of the house are listed once, in ALLOWED; everything else here is read from the source tree.
"""

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from graphlib import TopologicalSorter
from importlib import import_module
from pathlib import Path

import pytest

from woodmove.sources import SOURCES

ROOT = Path(__file__).resolve().parent.parent

# Room -> the rooms that it may import from, besides itself. Top to bottom, as the picture in DEVELOPERS.md.
ALLOWED = {
    "sources": set(),
    "units": set(),
    "contract": {"sources"},
    "physics": {"sources"},
    "domain": {"contract", "physics", "sources"},
    "advice": {"domain", "contract", "physics", "sources"},
    "extend": {"units", "advice", "domain", "contract", "physics", "sources"},
    "files": {"units", "domain", "contract", "physics", "sources"},
    "report": {"units", "contract", "sources"},
    "questions": {"files", "extend", "units", "advice", "domain", "contract", "physics", "sources"},
    "planning": {"questions", "files", "report", "extend", "units", "advice", "domain", "contract",
                 "sources"},
    "cli": {"planning", "questions", "files", "report", "extend", "units", "advice", "domain", "contract",
            "sources"},
}  # fmt: skip
# The same within advice.
FOLDERS = {
    "doubt": set(),
    "air": {"doubt"},
    "drying": {"doubt", "air"},
    "boards": {"doubt", "air"},
    "top": {"doubt", "air", "drying", "boards"},
}
# The package itself: __init__ offers names of these rooms, and imports them when they are asked for.
FRONT = {"physics", "contract", "cli"}
PLUGIN_FOLDERS = sorted(
    path.parent
    for home in ("plugins", "climates")
    for path in (ROOT / home).glob("*/__init__.py")
)  # fmt: skip
PLUGINS = {folder.name for folder in PLUGIN_FOLDERS}


@dataclass(frozen=True)
class Import:
    """One import: the module that it loads, what it takes from it, and where it stands."""

    module: str
    names: tuple[str, ...]
    where: str


@cache
def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"), str(path))


def imports(path: Path) -> Iterator[Import]:
    """Every import in a file, those within functions too."""
    for node in ast.walk(tree(path)):
        where = f"{path.relative_to(ROOT)}:{getattr(node, 'lineno', 0)}"
        if isinstance(node, ast.Import):
            yield from (Import(alias.name, (), where) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{where}: a relative import hides where it leads"
            yield Import(node.module or "", tuple(alias.name for alias in node.names), where)


def modules_of(package: Path) -> list[Path]:
    found = sorted(package.rglob("*.py"))
    assert found, package
    return found


def room_of(path: Path) -> str:
    """The room of a file of woodmove: its folder, or its own name at the top."""
    first = path.relative_to(ROOT / "woodmove").parts[0].removesuffix(".py")
    return "" if first in ("__init__", "__main__") else first


def rooms_imported(imported: Import) -> set[str]:
    """The rooms of woodmove that an import reaches into; the front for `from woodmove import name`."""
    top, _, rest = imported.module.partition(".")
    if top != "woodmove":
        return set()
    return {rest.partition(".")[0]} if rest else {name if name in ALLOWED else "" for name in imported.names}


CORE = modules_of(ROOT / "woodmove")
PLUGIN_MODULES = [path for folder in PLUGIN_FOLDERS for path in modules_of(folder)]


def test_every_room_is_in_the_table():
    assert {room_of(path) for path in CORE} - {""} == set(ALLOWED)
    assert {"woodmove_species", "woodmove_fasteners", "woodmove_climates"} <= PLUGINS


@pytest.mark.parametrize("path", CORE, ids=lambda path: str(path.relative_to(ROOT)))
def test_imports_run_one_way(path):
    room = room_of(path)
    may = FRONT if room == "" else ALLOWED[room] | {room}
    if room == "cli":
        may = may | {""}  # the version
    for imported in imports(path):
        assert rooms_imported(imported) <= may, f"{imported.where}: {room} imports {imported.module}"


def name_of(path: Path) -> str:
    return ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


MODULES = {name_of(path): path for path in CORE}


def modules_imported(path: Path) -> set[str]:
    """The modules of woodmove that one of them imports, those for the type checker too."""
    found = set()
    for imported in imports(path):
        named = {f"{imported.module}.{name}" for name in imported.names} & set(MODULES)
        found |= named or {imported.module} & set(MODULES)
    return found - {name_of(path)}


def test_no_module_imports_itself_by_a_detour():
    order = TopologicalSorter({name: modules_imported(path) for name, path in MODULES.items()})
    order.prepare()  # raises CycleError, which names the modules of a circle


def test_the_folders_of_advice_stand_on_one_another():
    for path in modules_of(ROOT / "woodmove" / "advice"):
        folder = path.relative_to(ROOT / "woodmove" / "advice").parts[0]
        for name in modules_imported(path):
            if name.startswith("woodmove.advice."):
                assert name.split(".")[2] in FOLDERS[folder] | {folder}, f"{path} imports {name}"


def test_no_question_imports_another():
    for path in (ROOT / "woodmove" / "questions").glob("*.py"):
        others = {name for name in modules_imported(path) if name.startswith("woodmove.questions")}
        assert all(name.startswith("woodmove.questions.shared") for name in others), f"{path}: {others}"


@pytest.mark.parametrize("folder", FOLDERS)
def test_the_table_of_contents_of_a_folder(folder):
    """Each module is a question, which the room of questions or of plans asks, or a part of others."""
    contents = import_module(f"woodmove.advice.{folder}")
    home = ROOT / "woodmove" / "advice" / folder
    there = sorted(path.stem for path in home.glob("*.py") if path.stem != "__init__")
    assert sorted((*contents.QUESTIONS, *contents.PARTS)) == there
    users = {path: modules_imported(path) for path in CORE}
    for question in contents.QUESTIONS:
        asked = [path for path, names in users.items() if f"woodmove.advice.{folder}.{question}" in names]
        assert any(room_of(path) in ("questions", "planning") for path in asked), question
    for part in contents.PARTS:
        using = [path for path, names in users.items() if f"woodmove.advice.{folder}.{part}" in names]
        assert using, part


# Names that only plugins own and that core holds nevertheless. The list may only shrink.
OF_PLUGINS = {"--bottle", "--pace", "hole"}
# Words of the language that a plugin happens to use as a name.
WORDS = {"time", "true"}


def names_declared(paths: list[Path]) -> set[str]:
    """Names of parameters, results, fields, commands and sections: what the code of some modules makes."""
    names = set()
    for path in paths:
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.Dict):
                names |= {key.value for key in node.keys if isinstance(key, ast.Constant)}
            elif isinstance(node, ast.Call) and _called(node) in ("Param", "CommandSpec", "PlanSection"):
                names |= {arg.value for arg in node.args if isinstance(arg, ast.Constant)}
            elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
                names.add(node.target.id)
            elif isinstance(node, ast.FunctionDef):
                names |= {node.name, *(arg.arg for arg in node.args.args)}
    return {name for name in names if isinstance(name, str) and re.fullmatch(r"-*[a-z][\w.-]*", name)}


def test_core_holds_no_name_that_a_plugin_owns():
    owned = names_declared(PLUGIN_MODULES) - names_declared(CORE) - WORDS
    strings = {
        node.value
        for path in CORE
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    assert owned & strings == OF_PLUGINS


@pytest.mark.parametrize("path", CORE, ids=lambda path: str(path.relative_to(ROOT)))
def test_woodmove_imports_no_plugin_by_name(path):
    for imported in imports(path):
        assert imported.module.partition(".")[0] not in PLUGINS, imported.where
    for call in ast.walk(tree(path)):
        if isinstance(call, ast.Call) and _called(call) in ("import_module", "__import__"):
            text = ast.unparse(call)
            assert not any(plugin in text for plugin in PLUGINS), f"{path}:{call.lineno}: {text}"


@pytest.mark.parametrize("path", PLUGIN_MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_plugins_import_only_the_api(path):
    own = next(part for part in path.relative_to(ROOT).parts if part in PLUGINS)
    for imported in imports(path):
        top = imported.module.partition(".")[0]
        if top == "woodmove":
            allowed = ("woodmove.extend.api", "woodmove.extend.science")
            assert imported.module in allowed, f"{imported.where}: {imported.module}"
        assert top not in PLUGINS - {own}, f"{imported.where}: a plugin imports another plugin"


def test_the_api_offers_what_it_lists():
    from woodmove.extend import api, science

    assert len(api.__all__) < 100
    for tier in (api, science):
        assert len(set(tier.__all__)) == len(tier.__all__)
        assert all(hasattr(tier, name) for name in tier.__all__)
        used = {
            name
            for path in PLUGIN_MODULES
            for imported in imports(path)
            if imported.module == tier.__name__
            for name in imported.names
        }
        assert used <= set(tier.__all__)


# What reads, writes or prints; advice takes values and gives an Answer.
IO_MODULES = {"os", "io", "sys", "pathlib", "shutil", "tempfile", "csv", "json", "tomllib", "logging",
              "subprocess", "importlib", "typer"}  # fmt: skip
IO_CALLS = {"print", "open", "input", "read_text", "write_text", "loadtxt", "genfromtxt", "read_csv"}


@pytest.mark.parametrize("room", ["advice", "domain", "contract", "physics"])
def test_what_computes_reads_no_file_and_prints_nothing(room):
    for path in modules_of(ROOT / "woodmove" / room):
        for imported in imports(path):
            assert imported.module.partition(".")[0] not in IO_MODULES, imported.where
        for call in ast.walk(tree(path)):
            if isinstance(call, ast.Call):
                assert _called(call) not in IO_CALLS, f"{path}:{call.lineno}"


CLOCKS = {"time.time", "time.localtime", "time.gmtime", "datetime.now", "datetime.utcnow", "datetime.today"}


@pytest.mark.parametrize("path", CORE + PLUGIN_MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_the_day_is_looked_up_in_one_way_and_only_at_the_edge(path):
    """`date.today`, which tests can set to any day."""
    calls = {ast.unparse(call.func) for call in ast.walk(tree(path)) if isinstance(call, ast.Call)}
    assert not calls & CLOCKS
    assert "date.today" not in calls or (path in CORE and room_of(path) == "cli")


@pytest.mark.parametrize("path", CORE + PLUGIN_MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_times_have_a_unit(path):
    """NumPy has deprecated those without; a date that is written out says its own."""
    for call in ast.walk(tree(path)):
        if isinstance(call, ast.Call) and _called(call) in ("datetime64", "timedelta64"):
            written_out = _called(call) == "datetime64" and "NaT" not in ast.unparse(call.args[0])
            assert len(call.args) == 2 or written_out, f"{path}:{call.lineno}"


def _called(call: ast.Call) -> str:
    return getattr(call.func, "id", getattr(call.func, "attr", ""))


# What a run loads.

HEAVY = {"pandas", "tabulate", "rich", "matplotlib", "jinja2", "icalendar", "pydantic", "scipy"}


@pytest.fixture
def loaded_by(tmp_path, clean_environment):
    """Names of the modules that a command line has loaded when it is done."""

    def run(*arguments: str) -> set[str]:
        script = (
            "import sys, atexit\n"
            "atexit.register(lambda: print(*sys.modules, file=sys.stderr))\n"
            f"sys.argv = ['woodmove', *{arguments!r}]\n"
            "from woodmove.cli.main import main\n"
            "sys.exit(main())\n"
        )
        command = [sys.executable, "-c", script]
        done = subprocess.run(
            command, capture_output=True, text=True, cwd=tmp_path, env=clean_environment, check=False
        )
        assert done.returncode == 0, done.stderr
        return set(done.stderr.split())

    return run


def test_the_version_needs_neither_numpy_nor_typer(loaded_by):
    loaded = loaded_by("--version")
    assert "woodmove.cli.main" in loaded
    assert not loaded & {"numpy", "typer", "pluggy", *HEAVY}


@pytest.mark.parametrize("output", [(), ("--json",)], ids=["page", "json"])
def test_a_quick_question_loads_little(loaded_by, output):
    loaded = loaded_by("emc", "--temp", "70F", "--rh", "50", *output)
    assert "woodmove.physics.sorption" in loaded
    assert not loaded & HEAVY
    assert not loaded & PLUGINS, "EMC needs no plugin"
    others = {path.stem for path in (ROOT / "woodmove" / "questions").glob("*.py")} - {"__init__", "emc"}
    assert not loaded & {f"woodmove.questions.{name}" for name in others}, "only the command that was typed"


def test_tabulate_comes_with_a_table(loaded_by):
    assert "tabulate" in loaded_by("emc", "--grid")
    assert "tabulate" not in loaded_by("emc", "--grid", "--json")


def test_the_plan_needs_no_pandas(loaded_by):
    loaded = loaded_by("plan", "--demo")
    assert loaded >= PLUGINS & {"woodmove_species", "woodmove_climates", "woodmove_fasteners"}
    assert not loaded & (HEAVY - {"tabulate"})


# What a docstring says.


@pytest.mark.parametrize("path", CORE + PLUGIN_MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_module_says_what_it_is(path):
    assert ast.get_docstring(tree(path))


def physics_functions() -> list:
    # These two are tools of the room, not relations.
    tools = {"arrays", "validity"}
    return [
        pytest.param(node, id=f"{path.stem}.{node.name}")
        for path in modules_of(ROOT / "woodmove" / "physics")
        if path.stem not in tools
        for node in tree(path).body
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
    ]


@pytest.mark.parametrize("function", physics_functions())
def test_every_relation_names_its_source(function):
    doc = ast.get_docstring(function) or ""
    keys = [key for key in SOURCES if re.search(rf"(?<![\w-]){re.escape(key)}(?![\w-])", doc)]
    assert keys or "Derived" in doc, "neither a source of the bibliography nor a derivation"
    assert function.returns is not None


@pytest.mark.parametrize("function", physics_functions())
def test_documented_parameters_are_those_of_the_signature(function):
    doc = ast.get_docstring(function) or ""
    arguments = function.args
    signature = [a.arg for a in (*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs)]
    documented = re.findall(r"^:param (\w+):", doc, re.MULTILINE)
    assert [p for p in signature if p in documented] == documented


def test_what_the_guide_points_to_is_there():
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    told = guide.split("## Where to look")[1].split("## Words")[0]
    paths = re.findall(r"`([a-z_]+/[a-z_/.]*)`", told)
    assert len(paths) > 10
    assert not [path for path in paths if not (ROOT / "woodmove" / path.removeprefix("woodmove/")).exists()]
