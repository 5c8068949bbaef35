"""What a question is in a plan, and what a plan is made of."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any, Generic, Literal, TypeAlias, TypeVar

from woodmove.contract.commands import CommandSpec
from woodmove.contract.notes import Note
from woodmove.contract.params import Param
from woodmove.contract.quantity import SHARE
from woodmove.contract.ranges import Range
from woodmove.contract.reply import Reply
from woodmove.contract.shown import Shown, results
from woodmove.contract.stage import Stage
from woodmove.contract.values import of_values

R = TypeVar("R")
V = TypeVar("V")


@dataclass(frozen=True, slots=True)
class Hand(Generic[R, V]):
    """A value that a part of the plan finds, for the parts after it.

    What the job says itself beats it.

    :param param: whose value it is
    :param value: results in, value out; None where it finds none
    :param span: results in, where the value must lie; a job that says otherwise is told so
    """

    param: Param[V]
    value: Callable[[R], V | None]
    span: Callable[[R], Range | None] | None = None


@dataclass(frozen=True, slots=True)
class Check:
    """What to look at, and when.

    :param check: what to do
    :param day: when, None for each year's `month`
    :param month: 1 to 12, None for a day
    """

    check: Note
    day: date | None = None
    month: int | None = None

    @of_values
    def __post_init__(self) -> None:
        if (self.day is None) == (self.month is None) or not 1 <= (self.month or 1) <= 12:
            raise ValueError("a check has a day, or a month from 1 to 12")


@results
class Dated:
    """What a question says to look at, and on which day."""

    date: Annotated[date, Shown("date", None, "key")]
    check: Annotated[Note, Shown("check", None, "key")]


def on_their_days(rows: Iterable[Dated]) -> Iterator[Check]:
    """Dated rows of results, as checks of a plan."""
    return (Check(row.check, row.date) for row in rows)


def _nothing(results: Any) -> tuple[Any, ...]:
    return ()


def _the_same_day(results: Any, begun: date) -> date:
    return begun


@dataclass(frozen=True, slots=True)
class Section(Generic[R]):
    """A question as a part of the plan.

    :param key: as named in ``[plan] sections`` of a job file
    :param title: as printed over it
    :param head: one word in front of its line on the card
    :param command: the question; its parameters are read from the job by their `Param.job`
    :param stage: where in the work it stands; within a stage, who hands on stands before who takes
    :param needs: parameters without which it is not planned yet, besides those that the command requires: of
        each group any one will do, and the first is what the reader is asked for
    :param hands: what it finds for the parts after it
    :param card: results in, what the card says of it; its verdict where this gives nothing
    :param checks: results in, what to look at later
    :param leaves: what a measurement would leave of its Ranges, each by the measurement's code
    :param day: the job's key of the day on which this step is done, None for none
    :param ends: results and the day on which the step is begun in, the day from which the next step may begin
        out; None where no day is known
    :param missed: False if nobody misses it where the job lacks what it needs: it is left out then, and not
        named as not planned yet
    :param decides: True if its Ranges decide something that is made, so that narrowing them is worth a
        measurement
    """

    key: str
    title: str
    command: CommandSpec
    stage: Stage
    head: str = ""
    needs: tuple[tuple[Param[Any], ...], ...] = ()
    hands: tuple[Hand[R, Any], ...] = ()
    card: Callable[[R], Iterable[Note]] = _nothing
    checks: Callable[[R], Iterable[Check]] = _nothing
    leaves: Callable[[R], Iterable[tuple[str, Note]]] = _nothing
    day: Param[date] | None = None
    ends: Callable[[R, date], date | None] = _the_same_day
    missed: bool = True
    decides: bool = True


Status: TypeAlias = Literal["done", "blocked", "failed"]


@results
class Part:
    """A section that has been run, or why it was not."""

    key: Annotated[str, Shown("part")]
    title: Annotated[str, Shown("title")]
    provider: Annotated[str, Shown("plugin")]
    status: Annotated[Status, Shown("status")]
    reason: Annotated[str, Shown("why")]
    cause: Annotated[Literal["", "data", "plugin"], Shown("cause")]
    answer: Annotated[Reply | None, Shown("answer")]


@results
class CardLine:
    """A line of the card."""

    head: Annotated[str, Shown("")]
    says: Annotated[tuple[Note, ...], Shown("")]


@results
class DatedCheck:
    """A check with its day.

    Its key is the same in a later plan of the same job. One that comes each year has no day, and counts from
    the middle of its first month.
    """

    key: Annotated[str, Shown("key")]
    when: Annotated[str, Shown("when", None, "key")]
    yearly_from: Annotated[date | None, Shown("each year from")]
    date: Annotated[date | None, Shown("date")]
    check: Annotated[Note, Shown("check", None, "key")]


@results
class Measure:
    """What a maker can measure, and what it takes off the width of the Ranges."""

    code: Annotated[str, Shown("code")]
    measure: Annotated[str, Shown("measure", None, "key")]
    narrows_pct: Annotated[float, Shown("narrows by up to", SHARE, "key")]
    leaves: Annotated[Note | None, Shown("what it leaves", None, "key")]


@results
class PlanResults:
    """The plan of a job."""

    job_name: Annotated[str, Shown("job")]
    today: Annotated[date, Shown("today")]
    build_date: Annotated[date | None, Shown("build date")]
    card: Annotated[tuple[CardLine, ...], Shown("card")]
    checks: Annotated[tuple[DatedCheck, ...], Shown("dated checks")]
    measurements: Annotated[tuple[Measure, ...], Shown("what to measure next")]
    sections: Annotated[tuple[Part, ...], Shown("parts")]
