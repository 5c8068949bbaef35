"""Reading a text file that somebody typed, refusing what is not one."""

from pathlib import Path

from woodmove.shop.answer import Refusal

LARGEST_BYTES = 20_000_000


def read_text(path: str, what: str) -> str:
    """The text of a file, without a byte order mark.

    :param what: what it should be, for the message: "job file"
    :raises Refusal: no such file, a directory, unreadable, too large, not UTF-8, or binary
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
        raw = file.read_bytes()
    except FileNotFoundError:
        raise Refusal("NO_FILE", f"There is no file {path}.", "", instead, file=path) from None
    except (OSError, ValueError) as problem:
        reason = getattr(problem, "strerror", None) or str(problem)
        raise Refusal(
            "UNREADABLE_FILE", f"{path} cannot be read: {reason}.", "", instead, file=path
        ) from None
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = raw[: problem.start].count(b"\n") + 1
        raise Refusal(
            "NOT_UTF8", f"{path} is not UTF-8 text.", f"A {what} is UTF-8 text.",
            "Save it again as UTF-8.", file=path, line=line,
        ) from None  # fmt: skip
    if "\0" in text:
        raise Refusal("BINARY", f"{path} is not a text file.", f"A {what} is text.", instead, file=path)
    return text
