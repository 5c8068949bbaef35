"""The answer to a question: what to do, the results behind it, and what to beware of."""

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from datetime import date
from typing import Any, Generic, Literal, TypeAlias, TypeVar, cast

from woodmove.contract.notes import Assumption, Caution, Note, Warning
from woodmove.contract.ranges import Range
from woodmove.contract.shown import Shown

R = TypeVar("R", covariant=True)
N = TypeVar("N", bound=Note)
State: TypeAlias = Literal["go", "wait", "stop", "know"]
Cell: TypeAlias = bool | int | float | str | date | Range | Note | None


@dataclass(frozen=True, slots=True)
class Verdict:
    """What to do.

    :param state: "go", "wait", "stop", or "know" where there is nothing to decide
    :param says: one to three sentences: what to do, and by when, first
    :param needs: what a go still needs, such as five more clamps
    :raises ValueError: no sentence, or more than three
    """

    state: State
    says: tuple[Note, ...]
    needs: tuple[Note, ...] = ()

    def __post_init__(self) -> None:
        if not 1 <= len(self.says) <= 3:
            raise ValueError("a verdict has one to three sentences")


def know(*says: Note) -> Verdict:
    """The verdict where there is nothing to decide."""
    return Verdict("know", says)


@dataclass(frozen=True, slots=True)
class Table:
    """Rows whose columns are known only when they are made: those of a reader's own file, or of a grid.

    :param columns: how each column is shown, by its name in JSON and CSV
    :param rows: their cells, one for each column; None for an empty one
    """

    columns: dict[str, Shown]
    rows: tuple[tuple[Cell, ...], ...]


@dataclass(frozen=True, slots=True)
class Answer(Generic[R]):
    """What a question has to say.

    :param verdict: what to do, which is printed first
    :param results: a dataclass made with :func:`woodmove.contract.shown.results`
    :param notes: warnings, cautions and assumptions
    :param sources: keys of :mod:`woodmove.sources`, or a plugin's own citation
    """

    verdict: Verdict
    results: R
    notes: tuple[Note, ...] = ()
    sources: tuple[str, ...] = ()

    @property
    def warnings(self) -> tuple[Warning, ...]:
        """What the reader must know before acting."""
        return self._of(Warning)

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """What can hurt a person."""
        return self._of(Caution)

    @property
    def assumptions(self) -> tuple[Assumption, ...]:
        """What was assumed because nothing else was said."""
        return self._of(Assumption)

    def _of(self, kind: type[N]) -> tuple[N, ...]:
        return tuple(note for note in self.notes if isinstance(note, kind))

    def causes(self) -> dict[str, float]:
        """Inputs by their mean share of the variance of the Ranges, 0 to 1, largest first."""
        return causes_of(self.ranges())

    def ranges(self) -> Iterator[Range]:
        """Every Range of the results, those of rows within too."""
        return ranges_in(self.results)


def ranges_in(value: Any) -> Iterator[Range]:
    """Every Range in a value, however deep."""
    if isinstance(value, Range):
        yield value
    elif is_dataclass(value):
        for field in fields(value):
            yield from ranges_in(getattr(value, field.name))
    elif isinstance(value, dict):
        for one in cast("dict[str, Any]", value).values():
            yield from ranges_in(one)
    elif isinstance(value, list | tuple):
        for one in cast("list[Any]", value):
            yield from ranges_in(one)


def causes_of(ranges: Iterator[Range]) -> dict[str, float]:
    """Inputs by their mean share of the variance of some Ranges, 0 to 1, largest first."""
    shares: dict[str, float] = {}
    doubtful = [found for found in ranges if found.causes]
    for found in doubtful:
        for cause in found.causes:
            shares[cause.input] = shares.get(cause.input, 0.0) + cause.share / len(doubtful)
    return dict(sorted(shares.items(), key=lambda item: -item[1]))
