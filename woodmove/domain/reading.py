"""Readings of boards: by a moisture meter, by a scale, or by a slice that was dried in an oven."""

from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

from woodmove.contract.refusal import Refusal
from woodmove.domain.meter import mc_of_weights_pct

# A board that was metered or weighed; a slice cut from a board and dried in an oven; a thin offcut of the
# same wood that lay in the room and was then dried.
READING, OVEN_DRY, OFFCUT = KINDS = ("reading", "oven-dry", "offcut")


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading of one board, or of an offcut.

    :param number: its own number in the log, None where somebody has typed the row by hand
    :param mc_pct: what the meter showed [%], None where the board was weighed
    :param weight_g: what the scale showed [g], None where the board was metered
    :param wood_temp_c: temperature of the wood [°C], None where nobody took it
    :param depth_mm: depth of the pins below the face [mm], None where nobody said so
    :param line: in the log
    :param dry_g: what the slice or the offcut weighed when it was dry [g]; `weight_g` is then its own weight
        on the day, and not that of the board
    :param kind: one of :data:`KINDS`
    """

    number: int | None
    day: date
    board: str
    mc_pct: float | None = None
    weight_g: float | None = None
    wood_temp_c: float | None = None
    depth_mm: float | None = None
    line: int = 0
    dry_g: float | None = None
    kind: str = READING

    @property
    def dried_pct(self) -> float | None:
        """Moisture content by the two weights [%], None where nothing was dried."""
        if self.weight_g is None or self.dry_g is None:
            return None
        return mc_of_weights_pct(self.weight_g, self.dry_g)


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

    @property
    def of_boards(self) -> tuple[Reading, ...]:
        """The readings of boards, in the order of the log."""
        return tuple(reading for reading in self.readings if reading.kind != OFFCUT)

    @property
    def offcuts(self) -> tuple[Reading, ...]:
        """The offcuts that lay in the room, in the order of the log."""
        return tuple(reading for reading in self.readings if reading.kind == OFFCUT)

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
        for reading in self.of_boards:
            found.setdefault(reading.board, []).append(reading)
        return {board: tuple(sorted(of_it, key=lambda one: one.day)) for board, of_it in found.items()}
