"""What to measure next of lumber that dries, and what each measurement would leave of the days in doubt."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np

from woodmove.advice.drying.goal import PILE_POINTS
from woodmove.advice.drying.sampler import (
    OFFCUT_POINTS,
    OVEN_POINTS,
    SCALE_POINTS,
    WEEK_POINTS,
    quantiles,
)
from woodmove.advice.drying.sooner import IN_DAYS
from woodmove.contract.notes import Caution, Note, note
from woodmove.contract.ranges import Range
from woodmove.contract.shown import Shown, results
from woodmove.physics.arrays import Array

# Boards of which a slice is dried, for the mean of a lot; days between two weighings.
SLICES, WEIGHED_AGAIN_DAYS = 3, 7.0
# What narrows the days by less is not worth the trouble.
WORTH = 0.1

# Their codes are those of the measurements of doubtful inputs.
DRY_A_SLICE = note("DRY_A_SLICE", "Dry a slice of three boards in the oven")
DRY_ITS_SLICE = note("DRY_A_SLICE", "Dry a slice of {board} in the oven", board=None)
LAY_OUT_AN_OFFCUT = note("LAY_OUT_AN_OFFCUT", "Leave a thin offcut in the room for a week, then dry it")
WEIGH_A_BOARD = note("WEIGH_A_BOARD", "Weigh a board now and in a week")
WEIGH_IT = note("WEIGH_A_BOARD", "Weigh {board} now and in a week", board=None)
ALL_OF_THESE = note("ALL_OF_THESE", "Dried slices, an offcut and two weighings")
LEAVES = note("LEAVES", "{low} to {high} days becomes {new_low} to {new_high}",
              low=None, high=None, new_low=None, new_high=None)  # fmt: skip
NARROWS = note("NARROWS", "{measure}: {leaves}.", measure=None, leaves=None)

OVEN = Caution(
    "OVEN",
    "Never leave wood in an oven alone: 103 °C (217 °F) and no more, by an oven thermometer. It can scorch "
    "and burn, and gives off fumes: moving air, no food beside it, and ask whose oven it is. No "
    "treated, painted or glued wood. No microwave oven: it sets wood alight from within.",
)  # fmt: skip


@results
class MeasureNext:
    """A measurement, and what it would leave of the days until it is ready, if it finds what is expected."""

    code: Annotated[str, Shown("code")]
    measure: Annotated[Note, Shown("measure", None, "key")]
    days: Annotated[Range, Shown("leaves", IN_DAYS, "key")]
    leaves: Annotated[Note, Shown("what it leaves")]


@dataclass(frozen=True, slots=True)
class Sight:
    """What a measurement would show at each draw.

    :param shown: shape (draws,)
    :param likeliest: what it is expected to show
    :param sd_points: by how much it scatters [points]
    """

    measure: Note
    shown: Array
    likeliest: float
    sd_points: float


def would_show(
    *, mean_now: Array, mean_later: Array, off: Array, logged: bool, board: str = ""
) -> Iterator[Sight]:
    """What each of the measurements would show.

    :param mean_now: moisture of the draws today [%], the likeliest first, shape (draws + 1,)
    :param mean_later: the same :data:`WEIGHED_AGAIN_DAYS` later
    :param off: how far the wood ends from the EMC equation in this air [points]
    :param logged: True where the air of the week is known
    :param board: the one that is waited for, empty for a lot, of which several slices are dried
    """
    slices = OVEN_POINTS if board else float(np.hypot(OVEN_POINTS, PILE_POINTS)) * SLICES**-0.5
    offcut = float(np.hypot(OFFCUT_POINTS, 0.0 if logged else WEEK_POINTS))
    for measure, shown, sd_points in (
        (DRY_ITS_SLICE(board=board) if board else DRY_A_SLICE(), mean_now, slices),
        (LAY_OUT_AN_OFFCUT(), off, offcut),
        (WEIGH_IT(board=board) if board else WEIGH_A_BOARD(), mean_later - mean_now, SCALE_POINTS * 2**0.5),
    ):
        yield Sight(measure, shown[1:], float(shown[0]), sd_points)


def measure_next(first: Array, weight: Array, seen: Sequence[Sight]) -> tuple[MeasureNext, ...]:
    """The measurements that narrow the days, the best one first, and at the end all of them together.

    :param first: days until each draw is ready, shape (draws,)
    :param weight: of the draws, together 1
    """
    now = _days(first, weight)
    likely = [_likelihood(sight) for sight in seen]
    alone = [
        _row(sight.measure, now, _days(first, weight * each))
        for sight, each in zip(seen, likely, strict=True)
    ]
    alone.sort(key=lambda row: _width(row.days))
    together = _row(ALL_OF_THESE(), now, _days(first, weight * np.prod(likely, axis=0)))
    return tuple(row for row in (*alone, together) if _width(row.days) <= (1.0 - WORTH) * _width(now))


def _likelihood(sight: Sight) -> Array:
    return np.exp(-0.5 * ((sight.shown - sight.likeliest) / sight.sd_points) ** 2)


def _days(first: Array, weight: Array) -> Range:
    low, middle, high = quantiles(first, weight / weight.sum(), (0.05, 0.5, 0.95))
    return Range(middle, low, high)


def _width(days: Range) -> float:
    return days.high - days.low


def _row(measure: Note, now: Range, left: Range) -> MeasureNext:
    leaves = LEAVES(
        low=round(now.low), high=round(now.high), new_low=round(left.low), new_high=round(left.high)
    )
    return MeasureNext(code=measure.code, measure=measure, days=left, leaves=leaves)


def said(rows: Sequence[MeasureNext]) -> Note | None:
    """The best of them in a sentence."""
    return NARROWS(measure=rows[0].measure, leaves=rows[0].leaves) if rows else None


def oven_of(rows: Sequence[MeasureNext]) -> tuple[Caution, ...]:
    """What can hurt a person who measures as it is said."""
    return (OVEN,) if any(row.code != WEIGH_IT.code for row in rows) else ()
