"""Plugins as text, for tests: run as a module in this process, or laid as a file into the folder of the
user's own plugins."""

from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

from woodmove.extend.api import Catalogue, Request
from woodmove.extend.catalogue import REGISTRIES
from woodmove.extend.manager import Candidate, PluginManager, installed
from woodmove.questions.plugins import PluginRow, run_list

HEAD = """
from typing import Annotated
from woodmove.extend.api import *

WOODMOVE_PLUGIN_API = 1
KNOWN = Known("judgement", "")

@results
class Done:
    done: Annotated[bool, Shown("done", level="headline")]

THERE = Verdict("know", (Note("THERE", "It is there."),))
DONE = Answer(THERE, Done(done=True))
"""


def species(key: str, coefficients: str = 'Coefficients("own", 0.001, 0.002, KNOWN),', more: str = "") -> str:
    return f"""
@hookimpl
def woodmove_species():
    return [Species("{key}", "{key}", "hardwood", coefficients=({coefficients}), known=KNOWN, {more})]
"""


def command(name: str, body: str = "return DONE") -> str:
    return f"""
NAME = {name!r}

def run(request, catalogue):
    {body}

COMMAND = CommandSpec(NAME, "Says that it is there.", ("woodmove " + NAME,), (), run)

@hookimpl
def woodmove_commands():
    return [COMMAND]
"""


def section(key: str, body: str = "return DONE") -> str:
    """A plan section with one value of its own in a job file."""
    return f"""
def run_section(request, catalogue):
    {body}

LEVEL = Param("level", "--level", WHOLE, "Level of it", "1", "{key}.level")

@hookimpl
def woodmove_plan_sections():
    spec = CommandSpec("{key}", "Says that it is there.", ("woodmove {key}",), (LEVEL,), run_section)
    return [Section("{key}", "Something more", spec, Stage.YEAR)]
"""


GOOD = HEAD + species("ironwood") + command("greet") + section("extra")


def module_of(name: str, source: str) -> ModuleType:
    module = ModuleType(name)
    exec(compile(source, name, "exec"), module.__dict__)
    return module


def candidate(name: str, source: str) -> Candidate:
    return Candidate(name, "a package of somebody", "1.0", lambda: module_of(name, source))


@dataclass(frozen=True)
class Run:
    """A catalogue of our own plugins and some more, every hook of it called, and what was said of them."""

    catalogue: Catalogue
    told: list[str]

    @classmethod
    def of(cls, **sources: str) -> "Run":
        told: list[str] = []
        found = [*installed(), *(candidate(name, source) for name, source in sources.items())]
        catalogue = Catalogue(lambda: PluginManager(found, say=told.append))
        for registry in REGISTRIES:
            getattr(catalogue, registry)
        return cls(catalogue, told)

    def listed(self) -> dict[str, PluginRow]:
        return {row.name: row for row in run_list(Request({}), self.catalogue).results.plugins}


def lay(folder: Path, name: str, source: str) -> Path:
    path = folder / f"{name}.py"
    path.write_text(source, encoding="utf-8")
    path.chmod(0o644)
    return path


def named(text: str, name: str) -> int:
    """In how many lines a plugin is named."""
    return sum(f"plugin {name} " in line for line in text.splitlines())
