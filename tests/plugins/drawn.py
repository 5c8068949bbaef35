"""What tests of drawings share: an output that tells what is drawn, and the demo with other words in it."""

from pathlib import Path
from typing import Any

from plugins_as_text import HEAD, lay

from woodmove.files.job import demo_text

PROBE = (
    HEAD
    + """
import json
from dataclasses import asdict
from datetime import date

def plain(value):
    return value.isoformat() if isinstance(value, date) else str(value)

def probe(sheet, ending):
    told = {
        leaf.key: {
            one.key: [asdict(shape) | {"shape": type(shape).__name__} for shape in one.shapes]
            for one in leaf.drawings
        }
        for leaf in sheet.leaves
    }
    return json.dumps(told, default=plain).encode()

@hookimpl
def woodmove_outputs():
    return [Output("probe", "What is drawn.", ("plan", "slots"), (".json",), probe)]
"""
)


def shapes(cli, own: Path, line: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """What a command line draws, by part and key, and its document."""
    import json

    if not (own / "probe.py").exists():
        lay(own, "probe", PROBE)
    document = cli.json(f"{line} --out probe.json --force")
    return json.loads(Path("probe.json").read_text(encoding="utf-8")), document


def demo_with(**changes: str) -> str:
    """The path of the demo job with some of its text changed."""
    text = demo_text()
    for old, new in changes.items():
        assert old in text
        text = text.replace(old, new)
    Path("job.toml").write_text(text, encoding="utf-8")
    return "job.toml"
