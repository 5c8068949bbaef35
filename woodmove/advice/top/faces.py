"""A top whose faces meet moisture unlike: how it cups, which way, when, and what to do."""

from typing import Annotated

import numpy as np

from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top.season import YearlyMoisture, cup_mm, month_of
from woodmove.contract.notes import Note, Warning, warning
from woodmove.contract.quantity import GAP
from woodmove.contract.ranges import Range
from woodmove.contract.shown import Shown, results
from woodmove.domain.climate import MONTHS
from woodmove.domain.finish import Faces
from woodmove.domain.top import Top
from woodmove.physics.arrays import Array

# A cup over the width that shows: more than that, and the faces are to be made alike (status: judgement).
SHOWS_MM = 25.4 / 16


@results
class UnlikeFaces:
    """What a top does whose faces breathe unlike, at the worst of its year."""

    cup_mm: Annotated[Range, Shown("cups by", GAP)]
    shape: Annotated[str, Shown("which way")]
    month: Annotated[str, Shown("worst in")]
    shows: Annotated[bool, Shown("shows")]
    one_finished: Annotated[bool, Shown("one face finished")]


FINISH_BOTH = warning(
    "FINISH_BOTH",
    "Finish both faces: with one alone it cups by {cup_mm}, {shape}, in {month}.",
    cup_mm=GAP, shape=None, month=None,
)  # fmt: skip
LET_BREATHE = warning(
    "LET_BREATHE",
    "Let both faces meet the air: with {what}, it cups by {cup_mm}, {shape}, in {month}.",
    what=None, cup_mm=GAP, shape=None, month=None,
)  # fmt: skip
WATCH_CUP = warning(
    "WATCH_CUP",
    "With {what}, its faces breathe unlike: it cups by {cup_mm}, {shape}, in {month}. Watch it, or make them "
    "alike.",
    what=None, cup_mm=GAP, shape=None, month=None,
)  # fmt: skip


def unlike(
    course: YearlyMoisture | None, faces: Faces | None, top: Top, width_per_pct: Array, draws: Draws
) -> tuple[UnlikeFaces | None, tuple[Note, ...]]:
    """The cup of a top whose faces breathe unlike, and what to do about it; None where they are alike, or
    nothing is known of them.

    :param width_per_pct: coefficient of the width [per % MC], shape (draws + 1,)
    """
    if course is None or faces is None or faces.alike:
        return None, ()
    cup = np.asarray(cup_mm(course.upper_less_lower, width_per_pct, top))
    found = UnlikeFaces(
        cup_mm=draws.range(np.abs(cup)),
        shape=shape_of(float(cup[0])),
        month=MONTHS[month_of(course.unlike_day) - 1],
        shows=draws.range(np.abs(cup)).high > SHOWS_MM,
        one_finished=faces.finish is not None and faces.finished == "top",
    )
    return found, (_told(found, faces),)


def shape_of(cup: float) -> str:
    """Which way a cup lies, positive where the upper face is the round one."""
    return "crowned (high in the middle)" if cup > 0 else "hollow on top"


def _told(found: UnlikeFaces, faces: Faces) -> Warning:
    what = (
        "a mat on it"
        if faces.covered
        else "its underside closed"
        if faces.underside == "closed"
        else "one face finished"
    )
    said = {"cup_mm": found.cup_mm, "shape": found.shape, "month": found.month}
    if not found.shows:
        return WATCH_CUP(what=what, **said)
    if found.one_finished:
        return FINISH_BOTH(**said)
    return LET_BREATHE(what=what, **said)
