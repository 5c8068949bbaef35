"""What holds for every answer that there is, core's and those of a stranger's plugin: what to do comes first,
it fits the page in both systems, and its JSON is what its class declares."""

import json
import math
import os
from collections.abc import Iterator
from dataclasses import is_dataclass
from pathlib import Path
from typing import Any, get_args, get_origin, get_type_hints

import pytest

from woodmove.cli.build import all_commands
from woodmove.contract.answer import Answer
from woodmove.contract.shown import fields_of
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.manager import PluginManager, installed
from woodmove.report.schema import schema_of
from woodmove.report.words import _LABELS

CATALOGUE = Catalogue(lambda: PluginManager(installed()))
SPECS = all_commands(CATALOGUE)
# Those that need files of a user, or write some, are tried where these are.
FILES = (".csv", ".toml", "climate add", "climate fit", "climate log", "new ", "--csv")
ALONE = [(spec, line) for spec in SPECS for line in spec.examples if not any(word in line for word in FILES)]
BY_LINE = pytest.mark.parametrize(("spec", "line"), [pytest.param(s, x, id=x) for s, x in ALONE])
SNAPSHOT = Path(__file__).with_name("schemas.json")
UPDATE = "WOODMOVE_UPDATE_SCHEMAS"
PLAN = "plan"


def arguments(line: str) -> str:
    return line.removeprefix("woodmove ").replace(" --json", "") + " --draws 128"


@BY_LINE
def test_an_answer(cli, spec, line):
    document = cli.json(arguments(line))
    assert list(document) == ["format", "command", "inputs", "verdict", "results", "warnings", "cautions",
                              "assumptions", "sources"]  # fmt: skip
    assert all(math.isfinite(number) for number in numbers_in(document))
    notes = [note for kind in ("warnings", "cautions", "assumptions") for note in document[kind]]
    assert not [note for note in notes if "{" in note["text"]]
    verdict = document["verdict"]
    assert verdict is not None, "no verdict"
    assert verdict["state"] in ("go", "wait", "stop", "know")
    assert 1 <= len(verdict["says"]) <= 3
    for cls in results_of(spec)[:1]:
        fits(document["results"], schema_of(cls), "results")
    for units in ("in", "mm"):
        page = cli(f"{arguments(line)} --units {units}").out
        lines = page.splitlines()
        assert len(lines) <= (60 if spec.name == PLAN else 30), f"{len(lines)} lines"
        assert max(map(len, lines)) <= 88
        assert "nan" not in page.lower().split()
    details = " ".join(cli(f"{arguments(line)} --details").out.split())
    assert all(note["text"].split()[0] in details for note in notes)


def numbers_in(value: Any) -> Iterator[float]:
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        for one in value:
            yield from numbers_in(one)
    elif isinstance(value, int | float):
        yield float(value)


def results_of(spec) -> list[type]:
    """The classes of results that a question declares to give."""
    hint = get_type_hints(spec.run).get("return")
    return [one for one in get_args(hint) if is_dataclass(one)] if get_origin(hint) is Answer else []


PORTED = {f"{spec.name}: {cls.__name__}": cls for spec in SPECS for cls in results_of(spec)}


def test_the_schemas_are_those_that_were_agreed():
    """Adding a field is compatible; anything else is a new JSON format."""
    assert len(PORTED) >= 4
    made = {name: schema_of(cls) for name, cls in PORTED.items()}
    if os.environ.get(UPDATE):
        SNAPSHOT.write_text(json.dumps(made, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    assert json.loads(SNAPSHOT.read_text(encoding="utf-8")) == json.loads(json.dumps(made)), (
        f"Run {UPDATE}=1 pytest tests/report/test_every_answer.py, and read the difference."
    )


def fits(value: Any, schema: Any, where: str) -> None:
    """Enough of JSON schema for the schemas that are made here."""
    if "anyOf" in schema:
        for one in schema["anyOf"]:
            try:
                return fits(value, one, where)
            except AssertionError as problem:
                last = problem
        raise last
    if "enum" in schema:
        assert value in schema["enum"], where
        return None
    kinds = {"object": dict, "array": list, "string": str, "integer": int, "number": (int, float),
             "boolean": bool, "null": type(None)}  # fmt: skip
    assert isinstance(value, kinds[schema["type"]]), f"{where} is {value!r}"
    if schema["type"] == "object" and "properties" in schema:
        assert set(value) == set(schema["properties"]), where
        for name, one in value.items():
            fits(one, schema["properties"][name], f"{where}.{name}")
    if schema["type"] == "array" and "items" in schema:
        for number, one in enumerate(value):
            fits(one, schema["items"], f"{where}[{number}]")
    return None


def test_words_are_kept_for_parameters_only():
    """What a result is called stands beside it."""
    assert set(_LABELS) <= {param.name for spec in SPECS for param in spec.params}


@pytest.mark.parametrize("cls", PORTED.values(), ids=PORTED)
def test_one_headline_and_four_key_figures(cls):
    fields = fields_of(cls)
    assert [field.shown.level for field in fields].count("headline") <= 1
    hints = get_type_hints(cls)
    keys = [
        field for field in fields if field.shown.level == "key" and get_origin(hints[field.name]) is not tuple
    ]
    assert len(keys) <= 4
