"""Reading our own documents: the files, the commands and the outputs that stand in their code blocks."""

import re
import shlex
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent

_FILE = re.compile(r"^`([\w.-]+)`:\n\n```\w+\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_SHELL = re.compile(r"^```sh\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_OUTPUT = re.compile(r"^```sh\n(woodmove [^\n]*)\n```\n\n```text\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def read(name: str) -> str:
    return (ROOT / name).read_text(encoding="utf-8")


def files_of(text: str) -> dict[str, str]:
    """The blocks that are headed by a file name and a colon, by that name."""
    found = _FILE.findall(text)
    assert len(dict(found)) == len(found), "a file stands there twice"
    return dict(found)


def shell_lines(text: str) -> list[str]:
    """Every command line of the shell blocks; one that ends with a backslash goes on in the next."""
    joined = "\n".join(_SHELL.findall(text)).replace("\\\n", " ")
    return [line for line in joined.splitlines() if line.strip()]


def examples_of(text: str) -> list[list[str]]:
    """The arguments of every command line that begins with woodmove."""
    return [shlex.split(line)[1:] for line in shell_lines(text) if line.startswith("woodmove ")]


def outputs_of(text: str) -> dict[str, str]:
    """Command lines that are followed by a block of their output, with that output."""
    return dict(_OUTPUT.findall(text))


CUT = "[...]\n"
CUT_LINES = 25


def as_shown(shown: str, made: str) -> str:
    """An output as it stands in a text: cut where what is shown is cut."""
    if not shown.endswith(CUT):
        return made
    return "".join(made.splitlines(keepends=True)[:CUT_LINES]) + CUT


def with_outputs(text: str, output: Callable[[str], str]) -> str:
    """The text with the outputs of its command lines made anew."""

    def anew(found: re.Match[str]) -> str:
        return f"```sh\n{found[1]}\n```\n\n```text\n{as_shown(found[2], output(found[1]))}```"

    return _OUTPUT.sub(anew, text)


def written(text: str, folder: Path) -> Path:
    """The folder, with the files of the text in it."""
    for name, content in files_of(text).items():
        (folder / name).write_text(content, encoding="utf-8")
    return folder
