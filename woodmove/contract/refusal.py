"""What cannot be answered, said so that a maker can act on it."""

from collections.abc import Sequence
from typing import Any


class Refusal(Exception):
    """A request that cannot be answered, in three short parts that a maker can act on.

    :param code: stable, in capitals
    :param wrong: one sentence: what is wrong
    :param allowed: one sentence: what is allowed
    :param instead: one sentence: what to type or do instead
    :param fields: names of the inputs at fault, in base units (``mc_low_pct``)
    :param exit_code: 1 bad data, 2 wrong usage, 3 outside a validity range, 4 a plugin has failed
    :raises TypeError: what is no words
    :raises ValueError: another exit code
    """

    def __init__(
        self,
        code: str,
        wrong: str,
        allowed: str = "",
        instead: str = "",
        *,
        fields: Sequence[str] = (),
        file: str | None = None,
        line: int | None = None,
        exit_code: int = 1,
    ) -> None:
        words: tuple[Any, ...] = (code, wrong, allowed, instead)  # of a plugin they may be anything
        if not all(isinstance(word, str) for word in words):
            raise TypeError("a refusal is told in words")
        if exit_code not in (1, 2, 3, 4):
            raise ValueError(f"a refusal exits with 1 to 4, not {exit_code!r}")
        super().__init__(wrong)
        self.code = code
        self.wrong = wrong
        self.allowed = allowed
        self.instead = instead
        self.fields = tuple(fields)
        self.file = file
        self.line = line
        self.exit_code = exit_code

    @property
    def text(self) -> str:
        """What is wrong and what is allowed."""
        return f"{self.wrong} {self.allowed}".strip()


class Refusals(Exception):
    """Several faults found in one go, none of them hidden behind the first."""

    def __init__(self, faults: Sequence[Refusal]) -> None:
        super().__init__("; ".join(fault.wrong for fault in faults))
        self.faults = tuple(faults)
