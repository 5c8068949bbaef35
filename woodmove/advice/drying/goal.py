"""What ready means, and on which day it is."""

from dataclasses import dataclass

import numpy as np

from woodmove.advice.drying.air import HORIZON_DAYS
from woodmove.advice.drying.stock import Stock
from woodmove.physics.arrays import Array

# Ready, unless told otherwise: mean near enough to the goal, middle half and outer quarters near enough to
# each other, halves of a resaw straight enough (status: common practice).
TOLERANCE_POINTS = 2.0
CORE_SHELL_POINTS = 2.0
RELEASED_MM = 0.5
# Boards of one pile scatter by a point (status: judgement). Nine tenths of them lie within so many standard
# deviations on the side that is far from the goal.
PILE_POINTS, NINE_TENTHS = 1.0, 1.2816
# A day counts as ready if it is as likely as not, and stays so for two weeks; and it is fairly sure at 8 in
# 10 (status: common practice).
EVEN, LIKELY, STAYS_DAYS = 0.5, 0.8, 14
DAYS = np.arange(int(HORIZON_DAYS) + 1)


@dataclass(frozen=True, slots=True)
class Goal:
    """What ready means.

    :param target_pct: MC to reach [%]
    :param words: where the target comes from
    :param told: True where somebody said it; else it is what the EMC equation makes of the air
    :param sd_points: how far the year of the room of the target may lie from what is computed, where that is
        another room than the one in which the lumber dries: standard deviation
    :param same_room: True where it is the room in which the lumber dries: what the air is off the goal is off
    """

    target_pct: float
    words: str
    tolerance_points: float = TOLERANCE_POINTS
    told: bool = False
    sd_points: float = 0.0
    same_room: bool = True

    def in_wood(self, sorption: Array, room: Array, other_room: Array) -> Array:
        """MC to reach [%] in wood that lies so far from the equation, in a room that lies so far from what is
        computed. What the equation misses in this wood it misses in the service room too."""
        if self.told:
            return np.full_like(sorption, self.target_pct)
        return self.target_pct + sorption + (room if self.same_room else other_room)


@dataclass(frozen=True, slots=True)
class Measures:
    """How far boards are from ready, each measure over its limit, shape (boards, times)."""

    mean: Array
    core_shell: Array
    release: Array | None

    @property
    def unready(self) -> Array:
        """The worst of them: ready at 1 and below."""
        worst = np.maximum(self.mean, self.core_shell)
        return worst if self.release is None else np.maximum(worst, self.release)


def measures(
    stock: Stock,
    goal: Goal,
    target: Array,
    mean: Array,
    core: Array,
    shell: Array,
    tilt: Array,
    spread: "Array | float" = 0.0,
) -> Measures:
    """How far boards are from ready. A board that dries through one face is uneven too, and cups when it is
    planed.

    :param target: MC to reach [%], shape (boards,)
    :param mean: of the section [%], shape (boards, times), as are `core`, `shell` and `tilt`, top less bottom
    :param spread: standard deviation between the boards of a pile, of which nine tenths are to be ready
    """  # fmt: skip
    uneven = np.abs(core - shell)
    off = np.abs(mean - target[:, None]) + NINE_TENTHS * spread
    return Measures(
        off / goal.tolerance_points,
        np.maximum(uneven, np.abs(tilt)) / CORE_SHELL_POINTS,
        uneven * _release_mm(stock) / RELEASED_MM if stock.resawn else None,
    )


def _release_mm(stock: Stock) -> float:
    """Bow of the halves of a board sawn through its thickness, for a point between core and shell."""
    if stock.stacking == "dead":
        return 0.0  # the gradient is that of the pile, not of a board
    tangential = float(np.mean([c.tangential for c in stock.wood.coefficients]))
    # A parabola is twice as deep as its core-and-shell difference; resawn at mid-thickness each half
    # bends to 2 C (depth) / thickness, and cups by curvature times width squared over 8.
    cut_mm = stock.width_mm if stock.cut_width_mm is None else min(stock.cut_width_mm, stock.width_mm)
    return 2.0 * tangential * 2.0 / stock.thickness_mm * cut_mm**2 / 8.0


@dataclass(frozen=True)
class When:
    """The days of readiness, from the day of stacking on.

    :param even: first day on which it is as likely as not, and stays so; None where there is none
    :param likely: the same at 8 in 10
    :param until: first later day on which it is less likely than not, None where it stays ready
    :param never_pct: chance that it is never ready [%]
    :param first: first day on which each draw is ready, the horizon where it never is, shape (draws,)
    :param chance: that it is ready, on each of :data:`DAYS`
    """

    even: float | None
    likely: float | None
    until: float | None
    never_pct: float
    first: Array
    chance: Array

    def chance_pct(self, day: float) -> float:
        """Chance that it is ready on a day [%]."""
        return 100.0 * float(np.interp(day, DAYS, self.chance))


def when(unready: Array, weight: Array, times: Array, since: float) -> When:
    """When something is ready, by its draws.

    :param unready: the worst measure over its limit, shape (draws, times)
    :param weight: of the draws, together 1
    :param since: day before which it is not asked for
    """
    chance = np.interp(DAYS, times, weight @ (unready <= 1.0))
    first = crossing(unready, times, since)
    return named(chance, 100.0 * float(weight @ (first >= HORIZON_DAYS)), since, first)


def named(chance: Array, never_pct: float, since: float, first: Array) -> When:
    """The days that are named, by the chance of each of :data:`DAYS`."""
    even = _stays(chance, EVEN, since) if never_pct <= 50.0 else None
    likely = None if even is None else _stays(chance, LIKELY, even)
    lost = np.flatnonzero((chance < EVEN) & ((HORIZON_DAYS if even is None else even) < DAYS))
    until = float(lost[0]) if len(lost) else None
    # Fairly sure only after it was lost again is another time.
    if until is not None and likely is not None and likely >= until:
        likely = None
    return When(even, likely, until, never_pct, first, chance)


def _stays(chance: Array, least: float, since: float) -> float | None:
    """First day from one on, on which a chance is at least so much and stays so for two weeks."""
    days = np.flatnonzero(since <= DAYS)
    over = np.concatenate((chance[days] >= least, np.ones(STAYS_DAYS, bool)))
    ends = np.lib.stride_tricks.sliding_window_view(over, STAYS_DAYS + 1).all(axis=1)
    return float(days[ends.argmax()]) if ends.any() and days[ends.argmax()] < HORIZON_DAYS else None


def crossing(measure: Array, times: Array, since: float = 0.0) -> Array:
    """First time from one on at which a measure is 1 or less, by straight lines between the times; the
    horizon where it never is. Shape (boards,).

    :param measure: shape (boards, times)
    """
    later = times > since
    at = np.clip(np.searchsorted(times, since), 1, len(times) - 1)
    # Beyond the horizon the times stand still.
    step = max(times[at] - times[at - 1], np.finfo(float).tiny)
    part = np.clip((since - times[at - 1]) / step, 0.0, 1.0)
    on_the_day = measure[:, at - 1] * (1.0 - part) + measure[:, at] * part
    measure = np.column_stack((on_the_day, measure[:, later]))
    times = np.concatenate(([since], times[later]))
    met = measure <= 1.0
    i = np.maximum(met.argmax(axis=1), 1)
    row = np.arange(len(measure))
    before, after = measure[row, i - 1], measure[row, np.minimum(i, len(times) - 1)]
    share = np.divide(before - 1.0, before - after, out=np.zeros_like(before), where=before > after)
    days = times[i - 1] + share * (times[np.minimum(i, len(times) - 1)] - times[i - 1])
    return np.where(met[:, 0], since, np.where(met.any(axis=1), days, HORIZON_DAYS))
