"""The course of drying lumber, thinned to what a curve needs."""

from typing import Annotated

import numpy as np

from woodmove.advice.doubt.draws import Draws
from woodmove.advice.drying.air import TIMES
from woodmove.contract.quantity import MOISTURE
from woodmove.contract.ranges import Range
from woodmove.contract.shown import Shown, results
from woodmove.physics.arrays import Array

# Days of a course: close together at first, where it bends. A curve through them lies as near to the
# simulated one as its line is wide.
DAYS_OF_COURSE = (0, 1, 2, 3, 5, 7, 10, 14, 18, 22, 28, 34, 43, 55, 70, 91, 112)


@results
class CourseDay:
    """A day of the course."""

    day: Annotated[int, Shown("day", None, "key")]
    mc_pct: Annotated[Range, Shown("moisture", MOISTURE, "key")]


def course_of(mean: Array, draws: Draws) -> tuple[CourseDay, ...]:
    """Where the mean moisture content of lumber lies, day by day; without causes, by which a curve would
    outweigh all else in what to measure.

    :param mean: at the days of :data:`TIMES` [%], shape (draws + 1, times)
    """
    at = np.searchsorted(TIMES, DAYS_OF_COURSE)
    return tuple(
        CourseDay(day=day, mc_pct=draws.band(mean[:, place]))
        for day, place in zip(DAYS_OF_COURSE, at, strict=True)
    )
