"""Another day for all Python processes of an environment: the tests hold on any day of the calendar.

``python tests/any_day.py`` puts it into the environment of that Python; ``ANY_DAY=2030-06-01 pytest`` is then
run on that day.
"""

import datetime
import os
import sysconfig
from pathlib import Path

Date = datetime.date


class _Kind(type):
    """A date of the real kind is one of this kind too."""

    def __instancecheck__(cls, thing: object) -> bool:
        return isinstance(thing, Date)

    def __subclasscheck__(cls, kind: type) -> bool:
        return issubclass(kind, Date)


class AnyDay(Date, metaclass=_Kind):
    """A date, and what it says of today."""

    __slots__ = ()

    @classmethod
    def today(cls) -> "AnyDay":
        """The day of ``ANY_DAY``."""
        return cls.fromisoformat(os.environ["ANY_DAY"])


if __name__ == "__main__":
    # Python runs the imports in such a file when it starts.
    start = Path(sysconfig.get_path("purelib"), "any_day.pth")
    start.write_text(f"{Path(__file__).resolve().parent}\nimport any_day\n", encoding="utf-8")
elif "ANY_DAY" in os.environ:
    datetime.date = AnyDay  # type: ignore[misc]
