"""What plugin authors import keeps its names and its signatures.

``public_api.json`` is the list as it was last agreed. Annotations are left out: they read differently
with every version of Python and NumPy.
"""

import inspect
import json
import os
from collections.abc import Iterator
from enum import Enum
from functools import cached_property
from pathlib import Path
from types import ModuleType
from typing import Any

from woodmove.extend import api
from woodmove.extend.hookspecs import RETURNS

SNAPSHOT = Path(__file__).with_name("public_api.json")
UPDATE = "WOODMOVE_UPDATE_API"
HOW = (
    f"\nRun {UPDATE}=1 pytest tests/extend/test_public_api.py to write the list anew, and read the "
    "difference before you commit it. A new name, a new field or parameter with a default behind the others: "
    "compatible. Anything renamed, taken away or put in another order breaks plugins that work today: "
    "raise PLUGIN_API in woodmove/extend/hookspecs.py."
)


def test_names_and_signatures_are_those_that_were_agreed() -> None:
    found = dict(_lines())
    if os.environ.get(UPDATE):
        SNAPSHOT.write_text(json.dumps(found, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    agreed = json.loads(SNAPSHOT.read_text(encoding="utf-8"))
    differences = [f"gone: {name}{agreed[name]}" for name in agreed.keys() - found.keys()]
    differences += [f"new: {name}{found[name]}" for name in found.keys() - agreed.keys()]
    differences += [
        f"changed: {name}{agreed[name]}\n     now: {name}{found[name]}"
        for name in agreed.keys() & found.keys()
        if agreed[name] != found[name]
    ]
    assert not differences, "\n".join(["", *sorted(differences), HOW])


def test_every_name_is_there() -> None:
    assert len(set(api.__all__)) == len(api.__all__)
    assert set(api.__all__) <= set(vars(api))


def _lines() -> Iterator[tuple[str, str]]:
    """Dotted name -> signature, value or type, of all that is public."""
    for name in sorted(api.__all__):
        yield from _of(name, getattr(api, name))
    for hook in sorted(RETURNS):
        yield f"hook {hook}", " -> " + ", ".join(kind.__name__ for kind in RETURNS[hook])


def _of(name: str, item: Any) -> Iterator[tuple[str, str]]:
    if isinstance(item, ModuleType):
        yield name, " (module)"
        for member, value in sorted(vars(item).items()):
            if not member.startswith("_") and _is_offered(value, item):
                yield from _of(f"{name}.{member}", value)
    elif isinstance(item, type) and issubclass(item, Enum):
        yield name, f" = {', '.join(sorted(str(member.value) for member in item))}"
    elif isinstance(item, type):
        yield name, _signature(item)
        for member, value in sorted(vars(item).items()):
            if not member.startswith("_") and (function := _method(value)):
                yield f"{name}.{member}", function
    elif inspect.isfunction(item):
        yield name, _signature(item)
    elif isinstance(item, int | str):
        yield name, f" = {item!r}"
    else:
        yield name, f" is a {type(item).__name__}"


def _is_offered(value: Any, module: ModuleType) -> bool:
    """Whether a member of a module is for others: its own functions and classes, and parameters to share.
    What it imports belongs to another module, and its other constants are its own business."""
    if isinstance(value, tuple):
        return bool(value) and isinstance(value[0], api.Param)
    return isinstance(value, api.Param) or getattr(value, "__module__", "") == module.__name__


def _method(member: Any) -> str:
    """Signature of a method or property, empty for the field of a dataclass."""
    if isinstance(member, property | cached_property):
        return " (property)"
    function = member.__func__ if isinstance(member, classmethod | staticmethod) else member
    return _signature(function) if inspect.isfunction(function) else ""


def _signature(item: Any) -> str:
    signature = inspect.signature(item)
    plain = [
        parameter.replace(annotation=parameter.empty, default=_default(parameter.default))
        for parameter in signature.parameters.values()
    ]
    return str(signature.replace(parameters=plain, return_annotation=signature.empty))


class _Word:
    def __init__(self, text: str) -> None:
        self.text = text

    def __repr__(self) -> str:
        return self.text


def _default(value: Any) -> Any:
    """A default whose text is the same in every run."""
    plain = value is None or type(value) in (bool, int, float, str, tuple)
    return value if plain or value is inspect.Parameter.empty else _Word("...")
