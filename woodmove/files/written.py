"""Writing files that somebody asked for: all of them or none, and never over what is there unasked."""

import contextlib
import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from woodmove.contract.refusal import Refusal


def refuse_taken(paths: Iterable[Path], *, force: bool) -> None:
    """Refuse a path at which nothing may be written, before anything is computed for it.

    :param force: True to write over files
    :raises Refusal: a folder, something that is no file, or, without `force`, a file
    """
    for path in paths:
        if path.is_dir() or (os.path.lexists(path) and not path.is_file()) or not path.name:
            raise Refusal(
                "NO_FILE_THERE", f"{path} is not a file.", "A file is made, or made anew.",
                "Type the name of a file.", file=str(path),
            )  # fmt: skip
        if os.path.lexists(path) and not force:
            raise Refusal(
                "FILE_EXISTS", f"{path} is already there.", "Nothing is written over files unasked.",
                "Add --force to write over it, or type another name.", file=str(path),
            )  # fmt: skip


@dataclass
class _Writing:
    """What has been done so far, so that it can be undone."""

    made: list[Path] = field(default_factory=list)
    laid: list[tuple[Path, Path]] = field(default_factory=list)
    placed: list[Path] = field(default_factory=list)
    kept: list[tuple[Path, Path]] = field(default_factory=list)

    def folder(self, path: Path) -> None:
        missing = [one for one in (path, *path.parents) if not one.exists()]
        path.mkdir(parents=True, exist_ok=True)
        self.made += missing

    def lay(self, path: Path, data: bytes) -> None:
        beside = path.with_name(f".{path.name}.{os.getpid()}.new")
        self.laid.append((beside, path))
        beside.write_bytes(data)

    def place(self, *, force: bool) -> None:
        for beside, path in self.laid:
            if os.path.lexists(path):
                refuse_taken((path,), force=force)
                old = path.with_name(f".{path.name}.{os.getpid()}.old")
                os.replace(path, old)
                self.kept.append((old, path))
            os.replace(beside, path)
            self.placed.append(path)

    def undo(self) -> None:
        for path in self.placed:
            with contextlib.suppress(OSError):
                path.unlink()
        for old, path in self.kept:
            with contextlib.suppress(OSError):
                os.replace(old, path)
        for beside, _ in self.laid:
            with contextlib.suppress(OSError):
                beside.unlink(missing_ok=True)
        for path in self.made:
            with contextlib.suppress(OSError):
                path.rmdir()

    def done(self) -> None:
        for old, _ in self.kept:
            with contextlib.suppress(OSError):
                old.unlink()


def write_all(files: Mapping[Path, bytes], *, force: bool, folder: Path | None = None) -> None:
    """Write files, all of them or none.

    :param force: True to write over files that are there
    :param folder: that is made where it is missing, with those within it; any other must be there
    :raises Refusal: a file is there already, or one cannot be written; nothing is changed then
    """
    writing = _Writing()
    try:
        for path, data in files.items():
            if folder is not None and path.is_relative_to(folder):
                writing.folder(path.parent)
            writing.lay(path, data)
        writing.place(force=force)
    except OSError as problem:
        writing.undo()
        name = problem.filename or next(iter(files), "")
        target = next((path for beside, path in writing.laid if str(beside) == str(name)), name)
        raise Refusal(
            "CANNOT_WRITE",
            f"{target} cannot be written: {problem.strerror}. Nothing was written.",
            "",
            "Type a path in a folder that is there, that you may write to, and that has room.",
            file=str(target),
        ) from None
    except BaseException:
        writing.undo()
        raise
    writing.done()
