"""A question as it was asked, with its answer: what a report is made of."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeAlias

from woodmove.contract.answer import Answer
from woodmove.contract.drawing import Drawing
from woodmove.contract.notes import Assumption
from woodmove.contract.params import Request

# Results and inputs in, drawings out.
Draw: TypeAlias = Callable[[Any, Mapping[str, Any]], Iterable[Drawing]]


def no_drawing(results: Any, inputs: Mapping[str, Any]) -> tuple[Drawing, ...]:
    """What most questions draw."""
    return ()


@dataclass(frozen=True, slots=True)
class Reply:
    """An answer and the inputs on which it hangs.

    :param command: as typed after ``woodmove``
    :param inputs: in base units, the unit in each name
    :param given: names of the inputs that somebody gave; the others were assumed
    :param more: what was assumed before the question was asked
    :param draw: what it draws, made when it is asked for
    """

    command: str
    inputs: Mapping[str, Any]
    given: frozenset[str]
    answer: Answer[Any]
    more: tuple[Assumption, ...] = ()
    draw: Draw = field(default=no_drawing, compare=False)

    @classmethod
    def to(
        cls,
        command: str,
        request: Request,
        answer: Answer[Any],
        more: tuple[Assumption, ...] = (),
        draw: Draw = no_drawing,
    ) -> "Reply":
        """The reply to a request."""
        return cls(command, request.inputs_used(), request.given, answer, more, draw)

    def drawings(self) -> tuple[Drawing, ...]:
        """What the question draws beside its answer."""
        return tuple(self.draw(self.answer.results, self.inputs))

    @property
    def assumptions(self) -> tuple[Assumption, ...]:
        """What was assumed because nothing else was said."""
        return (*self.more, *self.answer.assumptions)
