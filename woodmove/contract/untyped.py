"""An answer whose results are a dict, as questions give it that are not ported to :class:`Answer` yet."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any, TypeAlias, cast

from woodmove.contract.answer import Verdict, causes_of
from woodmove.contract.notes import Assumption, Caution, Note, Warning, plain
from woodmove.contract.ranges import Range

Plain: TypeAlias = (
    "bool | int | float | str | Range | Note | UntypedAnswer | list[Plain] | dict[str, Plain] | None"
)


def _plain(value: Any) -> Any:
    """The same value in the few types that an Answer may hold; NaN and infinity are refused."""
    if isinstance(value, UntypedAnswer):
        return value
    if hasattr(value, "tolist"):  # of NumPy, which this room does without
        return _plain(value.tolist())
    if isinstance(value, Mapping):
        return {str(key): _plain(item) for key, item in cast("Mapping[Any, Any]", value).items()}
    if isinstance(value, Iterable) and not isinstance(value, str):
        return [_plain(item) for item in cast("Iterable[Any]", value)]
    return value.isoformat() if isinstance(value, date) else plain(value, "an answer")


@dataclass(frozen=True, slots=True)
class UntypedAnswer:
    """What a command, or a section of a plan, has to say.

    :param command: the command that gives it, as typed after ``woodmove``
    :param inputs: the inputs as understood, in base units, the unit in each name
    :param results: numbers, Ranges, words, Notes, rows (a list of mappings) or Answers, the unit in
        each name
    :param columns: which columns of a list of rows the printed table shows, and in which order;
        JSON and CSV always hold all of them
    :param sources: keys of :mod:`woodmove.sources`, or a plugin's own citation
    :param verdict: what to do, which is printed first
    :param headline: name of the one result that carries it
    :param key: names of the few results behind it, four at most, and of the table that matters
    :raises ValueError: a number that is not finite
    """

    command: str
    inputs: Mapping[str, Any]
    results: Mapping[str, Any]
    warnings: tuple[Warning, ...] = ()
    cautions: tuple[Caution, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    sources: tuple[str, ...] = ()
    columns: Mapping[str, tuple[str, ...]] = field(default_factory=dict[str, tuple[str, ...]])
    verdict: Verdict | None = None
    headline: str = ""
    key: tuple[str, ...] = ()

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
        return causes_of(self.ranges(names))


def _ranges(value: Any) -> Iterator[Range]:
    if isinstance(value, Range):
        yield value
    elif isinstance(value, UntypedAnswer):
        yield from value.ranges()
    elif isinstance(value, dict):
        for item in cast("dict[str, Any]", value).values():
            yield from _ranges(item)
    elif isinstance(value, list):
        for item in cast("list[Any]", value):
            yield from _ranges(item)
