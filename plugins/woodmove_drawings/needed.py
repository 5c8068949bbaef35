"""What is made with a library that may be missing."""

from collections.abc import Iterator
from contextlib import contextmanager

from woodmove.extend.api import Refusal


@contextmanager
def libraries(what: str) -> Iterator[None]:
    """Imports that may fail.

    :param what: what is made with them: "A calendar"
    :raises Refusal: one is not installed
    """
    try:
        yield
    except ModuleNotFoundError as missing:
        if (missing.name or "").startswith("woodmove"):
            raise
        raise Refusal(
            "MISSING_EXTRA",
            f"{what} needs the library {missing.name}, which is not installed.",
            "All else works without it.",
            "Type pip install matplotlib jinja2 icalendar where woodmove is installed: its extra, drawings.",
        ) from None
