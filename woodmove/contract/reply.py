"""A question as it was asked, with its answer: what a report is made of."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from woodmove.contract.answer import Answer
from woodmove.contract.notes import Assumption
from woodmove.contract.params import Request
from woodmove.contract.untyped import UntypedAnswer


@dataclass(frozen=True, slots=True)
class Reply:
    """An answer and the inputs on which it hangs.

    :param command: as typed after ``woodmove``
    :param inputs: in base units, the unit in each name
    :param given: names of the inputs that somebody gave; the others were assumed
    :param more: what was assumed before the question was asked
    """

    command: str
    inputs: Mapping[str, Any]
    given: frozenset[str]
    answer: Answer[Any] | UntypedAnswer
    more: tuple[Assumption, ...] = ()

    @classmethod
    def to(
        cls,
        command: str,
        request: Request,
        answer: Answer[Any] | UntypedAnswer,
        more: tuple[Assumption, ...] = (),
    ) -> "Reply":
        """The reply to a request."""
        if isinstance(answer, UntypedAnswer):
            return cls(answer.command, answer.inputs, request.given, answer, more)
        return cls(command, request.inputs_used(), request.given, answer, more)

    @property
    def assumptions(self) -> tuple[Assumption, ...]:
        """What was assumed because nothing else was said."""
        return (*self.more, *self.answer.assumptions)
