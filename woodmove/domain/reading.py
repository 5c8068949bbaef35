"""Readings of boards: by a moisture meter, or by a scale."""

from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

from woodmove.contract.refusal import Refusal


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading of one board.

    :param number: its own number in the log, None where somebody has typed the row by hand
    :param mc_pct: what the meter showed [%], None where the board was weighed
    :param weight_g: what the scale showed [g], None where the board was metered
    :param wood_temp_c: temperature of the wood [°C], None where nobody took it
    :param depth_mm: depth of the pins below the face [mm], None where nobody said so
    :param line: in the log
    """

    number: int | None
    day: date
    board: str
    mc_pct: float | None = None
    weight_g: float | None = None
    wood_temp_c: float | None = None
    depth_mm: float | None = None
    line: int = 0


@dataclass(frozen=True)
class ReadingsLog:
    """The readings of a job.

    :param readings: those that count, in the order of the log
    :param undone: those that somebody has taken back
    :param faults: rows that cannot be read, each with its line
    :param marks: lines of the rows that take a reading back
    :param headings: lines that name the columns of the rows below them
    """

    path: str
    readings: tuple[Reading, ...]
    undone: tuple[Reading, ...] = ()
    faults: tuple[Refusal, ...] = ()
    marks: tuple[int, ...] = ()
    headings: tuple[int, ...] = ()

    @property
    def boards(self) -> tuple[str, ...]:
        """Names of the boards, in the order in which they first appear."""
        return tuple(self._by_board)

    def as_of(self, today: date) -> "ReadingsLog":
        """The log as it stands on a day. A row of a later day is a fault: most often its year is mistyped."""
        later = tuple(
            Refusal(
                "DAY_TO_COME",
                f"{self.path}: its day, {reading.day.isoformat()}, is still to come.",
                f"Today is {today.isoformat()}.",
                "Mend the date; until that day the row is left out.",
                file=self.path,
                line=reading.line,
            )
            for reading in self.readings
            if reading.day > today
        )
        if not later:
            return self
        return replace(
            self,
            readings=tuple(reading for reading in self.readings if reading.day <= today),
            faults=tuple(sorted((*self.faults, *later), key=lambda fault: fault.line or 0)),
        )

    def of(self, board: str) -> tuple[Reading, ...]:
        """The readings of a board, oldest first."""
        return self._by_board.get(board, ())

    @cached_property
    def _by_board(self) -> dict[str, tuple[Reading, ...]]:
        found: dict[str, list[Reading]] = {}
        for reading in self.readings:
            found.setdefault(reading.board, []).append(reading)
        return {board: tuple(sorted(of_it, key=lambda one: one.day)) for board, of_it in found.items()}
