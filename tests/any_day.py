"""Another day for all Python processes of an environment: the tests hold on any day of the calendar.

A ``.pth`` file that imports this module puts it into an environment; ``ANY_DAY=2030-06-01`` then is today.
"""

import datetime
import os

Date = datetime.date


class _Kind(type):
    """A date of the real kind is one of this kind too."""

    def __instancecheck__(cls, thing: object) -> bool:
        return isinstance(thing, Date)

    def __subclasscheck__(cls, kind: type) -> bool:
        return issubclass(kind, Date)


class AnyDay(Date, metaclass=_Kind):
    """A date, and what it says of today."""

    @classmethod
    def today(cls) -> "AnyDay":
        """The day of ``ANY_DAY``."""
        return cls.fromisoformat(os.environ["ANY_DAY"])


if "ANY_DAY" in os.environ:
    datetime.date = AnyDay  # type: ignore[misc]
