"""woodmove list doubts"""

from typing import Annotated

from woodmove.advice.doubt.inputs import BOUND_90, INPUTS
from woodmove.contract.answer import Answer, know
from woodmove.contract.commands import CommandSpec
from woodmove.contract.notes import note, warning
from woodmove.contract.params import Request
from woodmove.contract.ranges import Distribution
from woodmove.contract.shown import Shown, results
from woodmove.extend.catalogue import Catalogue


@results
class DoubtOfInput:
    """How far an input may lie off, how that is known, and what lessens it."""

    input: Annotated[str, Shown("input", None, "key")]
    ninety_within: Annotated[str, Shown("ninety within", None, "key")]
    status: Annotated[str, Shown("status", None, "key")]
    source: Annotated[str, Shown("source")]
    meaning: Annotated[str, Shown("meaning", None, "key")]
    measure: Annotated[str, Shown("measure")]


@results
class Doubts:
    """The inputs that carry doubt."""

    inputs: Annotated[tuple[DoubtOfInput, ...], Shown("inputs", None, "key")]


def run(request: Request, catalogue: Catalogue) -> Answer[Doubts]:
    """Every input that carries doubt: how much, how that is known, what would lessen it."""
    items = [*INPUTS, *(doubt for _, spec in catalogue.commands for doubt in spec.doubts)]
    rows = tuple(
        DoubtOfInput(
            input=item.name,
            ninety_within=_within(item),
            status=item.status.value,
            source=item.source,
            meaning=item.meaning,
            measure="" if item.measure is None else item.measure.text,
        )
        for item in items
    )
    return Answer(
        know(DOUBTS(count=len(rows))),
        Doubts(inputs=rows),
        (TOO_NARROW(),),
        tuple(item.source for item in items if item.source),
    )


# tests/known holds the count; when it is as it should be, this goes.
TOO_NARROW = warning(
    "TOO_NARROW",
    "Held against what others measured, fewer lie inside the Ranges made of these than nine in ten: those of "
    "a room by its season and of wood outdoors are too narrow.",
)
DOUBTS = note(
    "DOUBTS",
    "So far each of {count} inputs may lie off, nine times in ten. A plan says which one to measure.",
    count=None,
)  # fmt: skip


def _within(item: Distribution) -> str:
    if item.picked:
        return f"{item.sd:g} {item.unit}" if item.sd else item.unit
    return f"± {item.sd * BOUND_90:.2g} {item.unit}"


DOUBT = CommandSpec(
    "list doubts",
    "What the Ranges are made of: each input that carries doubt, how much, and how that is known.",
    ("woodmove list doubts",),
    (),
    run,
    table="inputs",
    line="How far each input may lie off",
)

COMMANDS = (DOUBT,)
