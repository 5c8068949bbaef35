"""What is checked of a noun where it is made: its values."""

from collections.abc import Callable
from contextlib import suppress
from functools import wraps
from typing import TypeVar

Noun = TypeVar("Noun")


def of_values(check: Callable[[Noun], None]) -> Callable[[Noun], None]:
    """Marks a check of values, which leaves wrong types alone.

    A plugin makes all its nouns in one go, and an error here ends them all. Types are looked at when they
    have been made: each noun with a wrong one is then set aside by itself, and its field is named.
    """

    @wraps(check)
    def checked(noun: Noun) -> None:
        with suppress(TypeError, AttributeError):
            check(noun)

    return checked
