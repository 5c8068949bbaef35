"""Reading a text file that somebody typed, refusing what is not one."""

from pathlib import Path

from woodmove.contract.refusal import Refusal

LARGEST_BYTES = 20_000_000


def read_bytes(path: str, what: str) -> bytes:
    """The bytes of a file.

    :param what: what it should be, for the message: "job file"
    :raises Refusal: no such file, a directory, unreadable, or too large
    """
    instead = f"Type the path of a {what}."
    try:
        file = Path(path)
        if file.is_dir():
            raise Refusal(
                "IS_A_DIRECTORY", f"{path} is a directory.", f"A {what} is a file.", instead, file=path
            )
        if file.stat().st_size > LARGEST_BYTES:
            raise Refusal(
                "FILE_TOO_LARGE",
                f"{path} holds {file.stat().st_size / 1e6:.0f} MB.",
                f"A {what} holds at most {LARGEST_BYTES / 1e6:.0f} MB.",
                "Split it.",
                file=path,
            )
        return file.read_bytes()
    except FileNotFoundError:
        raise Refusal("NO_FILE", f"There is no file {path}.", "", instead, file=path) from None
    except (OSError, ValueError) as problem:
        reason = getattr(problem, "strerror", None) or str(problem)
        raise Refusal(
            "UNREADABLE_FILE", f"{path} cannot be read: {reason}.", "", instead, file=path
        ) from None


def read_text(path: str, what: str) -> str:
    """The text of a file of ours, without a byte order mark.

    :raises Refusal: what :func:`read_bytes` refuses, not UTF-8, or binary
    """
    raw = read_bytes(path, what)
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = raw[: problem.start].count(b"\n") + 1
        raise Refusal(
            "NOT_UTF8", f"{path} is not UTF-8 text.", f"A {what} is UTF-8 text.",
            "Save it again as UTF-8.", file=path, line=line,
        ) from None  # fmt: skip
    return _no_binary(text, path, what)


def read_foreign_text(path: str, what: str) -> str:
    """The text of a file that some other program wrote: UTF-8, UTF-16 with its mark, or, where it is
    neither, the Western code page that older programs use.

    :raises Refusal: what :func:`read_bytes` refuses, or binary
    """
    raw = read_bytes(path, what)
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        text = raw.decode("utf-16", errors="replace")
    else:
        try:
            text = raw.decode("utf-8-sig")
        except UnicodeDecodeError:
            text = raw.decode("cp1252", errors="replace")
    return _no_binary(text, path, what)


def _no_binary(text: str, path: str, what: str) -> str:
    if "\0" in text:
        raise Refusal(
            "BINARY", f"{path} is not a text file.", f"A {what} is text.",
            f"Type the path of a {what}.", file=path,
        )  # fmt: skip
    return text
