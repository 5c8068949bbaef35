"""The answer to a question: inputs as understood, results with their doubt, and what to beware of."""

import math
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from numbers import Integral, Real
from typing import Any, TypeAlias

import numpy as np

from woodmove.sources import Status


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
        if not all(isinstance(words, str) for words in (code, wrong, allowed, instead)):
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


@dataclass(frozen=True, slots=True)
class Cause:
    """An input, by name, and its share of the variance of a result, 0 to 1."""

    input: str
    share: float


@dataclass(frozen=True, slots=True)
class Range:
    """A number with its doubt.

    :param expected: the result at the central inputs (not the mean of the draws)
    :param low: bound of the central 90 % of the draws, at most `expected`
    :param high: the other bound, at least `expected`
    :param causes: what the doubt comes from, largest first; inputs with small shares are left out
    :raises ValueError: a bound that is not finite, or out of order
    """

    expected: float
    low: float
    high: float
    causes: tuple[Cause, ...] = ()

    def __post_init__(self) -> None:
        for name in ("expected", "low", "high"):
            object.__setattr__(self, name, _finite(getattr(self, name)))
        if not self.low <= self.expected <= self.high:
            raise ValueError(f"a Range needs low <= expected <= high, not {self}")


@dataclass(frozen=True, slots=True)
class Measurement:
    """What a maker can do to know an input better.

    :param code: stable, in capitals
    :param options: what is typed afterwards, empty where no command takes it
    """

    code: str
    text: str
    options: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Distribution:
    """How far an input may lie from its central value: a normal distribution about it, unless it is `picked`.

    :param name: stable; also the seed of its draws
    :param sd: standard deviation, in `unit`
    :param unit: of the deviation: "% MC", "°", or "of the value" for a relative one
    :param meaning: what it stands for, in a few words
    :param status: word of :class:`woodmove.sources.Status`
    :param source: key of :mod:`woodmove.sources`, empty for a judgement
    :param measure: what lessens it, None for nothing
    :param picked: True for one of several, whose `sd` is the chance of the odd one, 0 where all are alike
    """

    name: str
    sd: float
    unit: str
    meaning: str
    status: Status
    source: str = ""
    measure: Measurement | None = None
    picked: bool = False


@dataclass(frozen=True, slots=True)
class Note:
    """A sentence with a stable code. `{name}` in the text stands for `values[name]`, whose unit is in
    its name, so that the sentence can be read in inches or in millimetres."""

    code: str
    text: str
    values: Mapping[str, Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        object.__setattr__(self, "values", {name: _plain(value) for name, value in self.values.items()})


@dataclass(frozen=True, slots=True)
class Warning(Note):
    """Something that the reader must know before acting on the results.

    :param validity: True where a value lies outside the stated range of a published relation:
        what ``--strict`` refuses
    """

    validity: bool = False


@dataclass(frozen=True, slots=True)
class Caution(Note):
    """Something that can hurt a person."""


@dataclass(frozen=True, slots=True)
class Assumption(Note):
    """What was taken for granted because nothing else was said."""


Plain: TypeAlias = "bool | int | float | str | Range | Note | Answer | list[Plain] | dict[str, Plain] | None"


def _finite(value: Any) -> float:
    number = float(value)
    if not math.isfinite(number):
        raise ValueError("an answer holds finite numbers only")
    return number


def _plain(value: Any) -> Any:
    """The same value in the few types that an Answer may hold; NaN and infinity are refused."""
    if value is None or isinstance(value, bool | str | Range | Note | Answer):
        return value
    if isinstance(value, np.bool_):
        return bool(value)
    if isinstance(value, Integral):
        return int(value)
    if isinstance(value, Real):
        return _finite(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Mapping):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, Iterable):
        return [_plain(item) for item in value]
    raise TypeError(f"an answer cannot hold {type(value).__name__}")


@dataclass(frozen=True, slots=True)
class Answer:
    """What a command, or a section of a plan, has to say.

    :param command: the command that gives it, as typed after ``woodmove``
    :param inputs: the inputs as understood, in base units, the unit in each name
    :param results: numbers, Ranges, words, Notes, rows (a list of mappings) or Answers, the unit in
        each name
    :param columns: which columns of a list of rows the printed table shows, and in which order;
        JSON and CSV always hold all of them
    :param sources: keys of :mod:`woodmove.sources`, or a plugin's own citation
    :raises ValueError: a number that is not finite
    """

    command: str
    inputs: Mapping[str, Any]
    results: Mapping[str, Any]
    warnings: tuple[Warning, ...] = ()
    cautions: tuple[Caution, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    sources: tuple[str, ...] = ()
    columns: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        object.__setattr__(self, "inputs", _plain(self.inputs))
        object.__setattr__(self, "results", _plain(self.results))
        for name, kind in (("warnings", Warning), ("cautions", Caution), ("assumptions", Assumption)):
            notes = tuple(getattr(self, name))
            if not all(isinstance(note, kind) for note in notes):
                raise TypeError(f"{name} of an answer holds {kind.__name__} only")
            object.__setattr__(self, name, notes)
        object.__setattr__(self, "sources", tuple(dict.fromkeys(source for source in self.sources if source)))

    def ranges(self, names: Collection[str] = ()) -> Iterator[Range]:
        """Every Range of the results, those of rows and of answers within too.

        :param names: of the results that count, none for all
        """
        for name, value in self.results.items():
            if not names or name in names:
                yield from _ranges(value)

    def causes(self, names: Collection[str] = ()) -> dict[str, float]:
        """Inputs by their mean share of the variance of the Ranges, 0 to 1, largest first.

        :param names: of the results that count, none for all
        """
        shares: dict[str, float] = {}
        doubtful = [found for found in self.ranges(names) if found.causes]
        for found in doubtful:
            for cause in found.causes:
                shares[cause.input] = shares.get(cause.input, 0.0) + cause.share / len(doubtful)
        return dict(sorted(shares.items(), key=lambda item: -item[1]))


def _ranges(value: Any) -> Iterator[Range]:
    if isinstance(value, Range):
        yield value
    elif isinstance(value, Answer):
        yield from value.ranges()
    elif isinstance(value, dict | list):
        for item in value.values() if isinstance(value, dict) else value:
            yield from _ranges(item)
