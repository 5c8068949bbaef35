"""Files that are made of an answer: by the outputs of plugins, and a folder with all that a plan gives."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from woodmove.cli.core import is_core
from woodmove.contract.answer import Answer
from woodmove.contract.commands import CommandSpec
from woodmove.contract.params import Param
from woodmove.contract.plan import PlanResults
from woodmove.contract.refusal import Refusal, Refusals
from woodmove.contract.reply import Reply
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.params import FLAG, TEXT
from woodmove.units.show import one_line
from woodmove.units.systems import System

if TYPE_CHECKING:
    from woodmove.contract.drawing import Drawing
    from woodmove.contract.output import Output, Sheet

# The core command that waits for the plugins anyway; any other starts without them.
PLAN = "plan"
FORCE = Param("force", "--force", FLAG, "Write over files that are there already", "")
# The text of a card or page in a file.
WIDTH = 88


def outputs_of(spec: CommandSpec, catalogue: Catalogue) -> list[Output]:
    """The outputs that may be asked of a command."""
    if is_core(spec) and spec.name != PLAN:
        return []
    return [output for _, output in catalogue.outputs if spec.name in output.commands]


def params_of(spec: CommandSpec, catalogue: Catalogue) -> list[Param[Any]]:
    """The options that a command has for its outputs."""
    outputs = outputs_of(spec, catalogue)
    names = [f"{output.file}{output.endings[0]}" for output in outputs]
    files = [f"{name} ({output.help})" for name, output in zip(names, outputs, strict=True)]
    if _has_folder(spec):
        files.append("or a folder for all of it: card, details, JSON, a CSV a table, every file")
    if not files:
        return []
    told = f"File to make, several with commas between: {'; '.join(files)}"
    return [Param("out", "--out", TEXT, told, names[0] if names else "plan-of-june"), FORCE]


def _has_folder(spec: CommandSpec) -> bool:
    return spec.name == PLAN and is_core(spec)


@dataclass(frozen=True)
class Asked:
    """The files that are asked for.

    :param files: each output with the path of its file
    :param folder: for all there is, None for none
    """

    files: tuple[tuple[Output, Path], ...]
    folder: Path | None
    force: bool

    def __bool__(self) -> bool:
        return bool(self.files) or self.folder is not None

    @classmethod
    def taken_from(cls, texts: dict[str, Any], spec: CommandSpec, catalogue: Catalogue) -> Asked:
        """What is asked for, taken out of the texts of a command line.

        :raises Refusals: a path that an output cannot be written to
        """
        force = bool(texts.pop("force", False))
        names = [name.strip() for name in str(texts.pop("out", "")).split(",") if name.strip()]
        outputs, folder = outputs_of(spec, catalogue), None
        files: list[tuple[Output, Path]] = []
        faults: list[Refusal] = []
        for path in map(Path, names):
            try:
                if _has_folder(spec) and not path.suffix:
                    folder = path
                else:
                    files.append((_meant(outputs, path), path))
            except Refusal as fault:
                faults.append(fault)
        if faults:
            raise Refusals(faults)
        asked = cls(tuple(files), folder, force)
        asked.refuse_what_cannot_be()
        return asked

    def refuse_what_cannot_be(self) -> None:
        """Refuse what cannot be written, before it is computed."""
        from woodmove.files.written import refuse_taken

        faults: list[Refusal] = []
        for _, path in self.files:
            try:
                refuse_taken((path,), force=self.force)
                _refuse_no_folder(path.parent)
            except Refusal as fault:
                faults.append(fault)
        if self.folder is not None and self.folder.exists() and not self.folder.is_dir():
            faults.append(
                Refusal("NO_FOLDER", f"--out: {self.folder} is not a folder.", "", "Type another name.",
                        file=str(self.folder), exit_code=2)
            )  # fmt: skip
        paths = [str(path) for _, path in self.files]
        if twice := sorted({path for path in paths if paths.count(path) > 1}):
            faults.append(
                Refusal("ONE_FILE_TWICE", f"Two outputs are to go to {twice[0]}.", "", "Name two files.",
                        exit_code=2)
            )  # fmt: skip
        if faults:
            raise Refusals(faults)


def _meant(outputs: Sequence[Output], path: Path) -> Output:
    """The output that makes a file of that name: by its ending, and of several with that by how it begins.

    :raises Refusal: none does, or more than one
    """
    known = [f"{output.file}{output.endings[0]}" for output in outputs]
    fitting = [output for output in outputs if _ending(output, path)]
    if len(fitting) > 1:
        known = [f"{output.file}{_ending(output, path)}" for output in fitting]
        fitting = [output for output in fitting if path.name.startswith(output.file)]
    if len(fitting) == 1:
        return fitting[0]
    raise Refusal(
        "WHICH_FILE",
        f"--out: {path} names no file that can be made.",
        f"There are: {', '.join(known)}." if known else "Nothing is loaded that makes a file.",
        f"Type --out {known[0]}, for example." if known else "Type woodmove list plugins to see why.",
        exit_code=2,
    )


def _ending(output: Output, path: Path) -> str:
    """The ending that the file has of those of an output, empty for none."""
    return next((ending for ending in output.endings if path.name.lower().endswith(ending)), "")


def _refuse_no_folder(folder: Path) -> None:
    if not folder.is_dir():
        raise Refusal("NO_FOLDER", f"--out: there is no folder {folder}.", "",
                      "Make it first, or type another.", file=str(folder))  # fmt: skip
    if not os.access(folder, os.W_OK):
        raise Refusal("CANNOT_WRITE", f"--out: you may not write to the folder {folder}.", "",
                      "Type a path in a folder of your own.", file=str(folder))  # fmt: skip


def write(asked: Asked, reply: Reply, spec: CommandSpec, system: System, catalogue: Catalogue) -> None:
    """Make the files that are asked for, and write all of them or none.

    :raises Refusal: one cannot be made, or written
    """
    from woodmove.files.written import write_all
    from woodmove.report.sheet import sheet_of

    sheet = sheet_of(reply, system, dict(_drawings(reply, catalogue)))
    files = {path: _made(output, sheet, _ending(output, path)) for output, path in asked.files}
    left_out: list[str] = []
    if asked.folder is not None:
        for name, data in _folder(reply, spec, system, sheet, catalogue, left_out):
            files[asked.folder / name] = data
    write_all(files, force=asked.force, folder=asked.folder)
    for line in left_out:
        print(f"woodmove: left out: {one_line(line)}", file=sys.stderr)


def _drawings(reply: Reply, catalogue: Catalogue) -> Iterator[tuple[str, tuple[Drawing, ...]]]:
    """What each part draws. One whose drawing fails is told of, and harms no other."""
    from woodmove.extend.guard import PluginFault, guarded

    answer = reply.answer
    replies = {reply.command: reply}
    if isinstance(answer, Answer) and isinstance(answer.results, PlanResults):
        replies |= {part.key: part.answer for part in answer.results.sections if part.answer is not None}
    for key, one in replies.items():
        try:
            with guarded():
                yield key, one.drawings()
        except PluginFault as fault:
            print(f"woodmove: the drawings of {key} are left out: {one_line(str(fault))}", file=sys.stderr)


def _made(output: Output, sheet: Sheet, ending: str) -> bytes:
    from woodmove.extend.guard import PluginFault, guarded

    try:
        with guarded(Refusal, Refusals):
            data: Any = output.make(sheet, ending)
            if not isinstance(data, bytes):
                raise TypeError(f"it made a {type(data).__name__} and not a file")
            return data
    except PluginFault as fault:
        raise Refusal(
            "PLUGIN_FAILED", f"{output.file}{ending} failed: {fault}.", "",
            "Tell its author, or leave it out.", exit_code=4,
        ) from None  # fmt: skip


def _folder(
    reply: Reply, spec: CommandSpec, system: System, sheet: Sheet, catalogue: Catalogue, left_out: list[str]
) -> Iterator[tuple[str, bytes]]:
    """The files of a folder that holds all there is, by name.

    :param left_out: is told what cannot be made
    """
    from woodmove.report import card, document

    answer: Any = reply.answer
    for name, text in (
        ("card.txt", card.render(reply, answer, system, width=WIDTH)),
        ("details.txt", card.render(reply, answer, system, details=True, width=WIDTH)),
        ("plan.json", document.render(reply, system)),
    ):
        yield name, text.encode()
    for part in answer.results.sections:
        if part.answer is not None:
            for table, text in _tables(part.answer):
                yield f"tables/{part.key}-{table.replace('_', '-')}.csv", text.encode()
    for output in outputs_of(spec, catalogue):
        name = f"{output.file}{output.endings[0]}"
        try:
            yield name, _made(output, sheet, output.endings[0])
        except (Refusal, Refusals) as refused:
            faults = refused.faults if isinstance(refused, Refusals) else (refused,)
            left_out.append(f"{name}. " + " ".join(f"{fault.text} {fault.instead}" for fault in faults))


def _tables(reply: Reply) -> Iterator[tuple[str, str]]:
    from woodmove.report import rows
    from woodmove.report.figures import figures_of

    for figure in figures_of(reply.answer):
        if rows.is_table(figure.value):
            yield figure.name, rows.render(figure.value)
