"""What readings say of a board: how fast it follows its air, and so when it will be ready.

Each board has a diffusivity, a surface emission and a start of its own, with a prior from its species.
Boards are simulated once, on a grid of these; a reading then says which of them are likely, and the
likely ones say the day. The error that the meter makes in all its readings is one of the unknowns, so
that many readings by one meter are not taken for certainty.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.doubt.response import weighted
from woodmove.advice.drying.air import HORIZON_DAYS, Air
from woodmove.advice.drying.courses import Courses
from woodmove.advice.drying.goal import Goal, When, measures, when
from woodmove.advice.drying.stock import Stock
from woodmove.contract.ranges import Distribution, Range
from woodmove.physics.arrays import Array

# How far the start of a board may lie from what is told of its pile [points], and where nothing is told.
START_TOLD, START_UNTOLD = 1.0, 3.0
# One reading in twenty is taken to come from a knot, a wet spot or a wrong setting, and is then off by six
# times the usual (status: judgement). A reading more than three standard deviations off is left out by that.
ODD_CHANCE, ODD_TIMES = 0.05, 6.0
# A weight tells of the mean moisture content to so many points: the scale, dust, chips (status: judgement).
SCALE_POINTS = 0.2
# A slice that is weighed and dried tells the mean of its board to so many points (status: common practice).
# A thin offcut tells where this wood ends in this air: it has not quite settled (status: judgement).
OVEN_POINTS, OFFCUT_POINTS = 0.3, 0.36
# An offcut lies in the room for a week. The air of one week lies so far from that of its season (status:
# judgement): what an offcut says of a room whose air nobody logged.
OFFCUT_DAYS, WEEK_POINTS = 7.0, 0.7

# How a moisture content was found: by a meter, in the oven, of an offcut that lay in the room; or by how much
# a meter read more than the oven, on another board.
Way: TypeAlias = Literal["meter", "oven", "offcut", "check"]
# Rounds in which the likely unknowns are sought, and how far the search reaches beyond them.
_ROUNDS, _REACH = 4, 1.3


@dataclass(frozen=True, slots=True)
class Observation:
    """A reading as the fit takes it.

    :param day: since the start
    :param mc_pct: corrected meter reading, or moisture by the oven [%]; None for a weight
    :param weight_g: of the board [g], None where its moisture was found
    :param depth: of the pins, as a part of the thickness; None for the mean of the board
    :param way: how the moisture was found
    :param sd_points: by how much it scatters [points]
    """

    day: float
    mc_pct: float | None = None
    weight_g: float | None = None
    depth: float | None = None
    way: Way = "meter"
    sd_points: float = doubt.METER_NOISE.sd


@dataclass(frozen=True, slots=True)
class Readings:
    """What was read of a board, an array each, shape (readings,).

    :param mc_pct: moisture as it was found [%]; 0 where the board was weighed
    :param found: False where the board was weighed
    :param sd_points: by how much each scatters [points]
    :param by_meter: True where the meter's own error is in it
    :param of_room: True for an offcut: where the wood ends, not where the board is
    :param of_meter: True where it tells of the meter alone
    :param by_pins: True where pins went in to a depth, as a part of the thickness
    :param log_weight: logarithms of the weights [g], of those that were weighed
    """

    days: Array
    mc_pct: Array
    found: NDArray[np.bool_]
    sd_points: Array
    by_meter: NDArray[np.bool_]
    of_room: NDArray[np.bool_]
    of_meter: NDArray[np.bool_]
    depth: Array
    by_pins: NDArray[np.bool_]
    log_weight: Array

    @classmethod
    def of(cls, sights: Sequence[Observation]) -> "Readings":
        """The readings of a board."""
        found = np.array([sight.mc_pct is not None for sight in sights], dtype=bool)

        def by(*ways: Way) -> NDArray[np.bool_]:
            return found & np.array([sight.way in ways for sight in sights], dtype=bool)

        return cls(
            np.array([sight.day for sight in sights]),
            np.array([sight.mc_pct or 0.0 for sight in sights]),
            found,
            np.array([sight.sd_points for sight in sights]),
            by("meter", "check"),
            by("offcut"),
            by("check"),
            np.array([sight.depth or 0.0 for sight in sights]),
            np.array([None not in (sight.depth, sight.mc_pct) for sight in sights], dtype=bool),
            np.log([sight.weight_g or 1.0 for sight in sights if sight.mc_pct is None]),
        )


@dataclass(frozen=True)
class Fit:
    """What the readings of a board say of it. Arrays are draws with weights, shape (draws,).

    :param weight: together 1
    :param when: the days on which it is ready
    :param factor: of its diffusivity, against its species
    :param days: the start, those of the log on which something was read, and those that were asked for
    :param mc: mean MC on these days [%], shape (days, draws)
    :param off: how far the wood ends from the EMC equation in this air [points]
    :param expected: what each reading was expected to show, from the fit
    :param odd: chance that each reading is an odd one
    """

    weight: Array
    when: When
    factor: Array
    days: Array
    mc: Array
    off: Array
    expected: tuple[float, ...] = ()
    odd: tuple[float, ...] = ()

    @property
    def ready(self) -> Array:
        """Days from the start until it is ready; the horizon where it never is."""
        return self.when.first

    def mc_on(self, day: float) -> Array:
        """Mean MC on one of the days [%]."""
        return self.mc[int(np.searchsorted(self.days, day))]

    def range(self, values: Array) -> Range:
        """Median and the central 90 %."""
        low, middle, high = quantiles(values, self.weight, (0.05, 0.5, 0.95))
        return Range(middle, low, high)

    def spread(self, values: Array) -> tuple[float, float]:
        """Mean and standard deviation."""
        mean = float(self.weight @ values)
        return mean, float(self.weight @ (values - mean) ** 2) ** 0.5


def quantiles(values: Array, weight: Array, at: Sequence[float]) -> list[float]:
    """Quantiles of weighted draws."""
    order = np.argsort(values)
    below = np.cumsum(weight[order]) - 0.5 * weight[order]
    return [float(q) for q in np.interp(at, below, values[order])]


class ForecastSampler:
    """A batch of simulated boards, from which those are taken that fit the readings.

    :param stock: the boards, with their MC at the start as it is told
    :param air: the air that they stand in, from the start on
    :param days: on which something was read
    :param last: day of the last reading
    :param since: day before which it is not asked whether they are ready
    :param also: days on which it is asked how wet they are, besides those of the readings
    :param start_sd: how far a board may start from what is told [points]
    :param bias: how far the meter may be off in all its readings
    :param sorption: how far this wood's EMC may lie from the equation's
    """

    def __init__(
        self,
        stock: Stock,
        air: Air,
        goal: Goal,
        days: Sequence[float],
        last: float,
        draws: Draws,
        *,
        since: float = 0.0,
        also: Sequence[float] = (),
        start_sd: float = START_TOLD,
        bias: Distribution = doubt.METER_BIAS,
        sorption: Distribution = doubt.SORPTION,
        model: str = "synthesis",
    ) -> None:
        self.days = np.array(sorted({0.0, *days, last, *also}))
        self.stock, self.goal, self.since, self.bias = stock, goal, since, bias
        self.sorption, self.room_sd = sorption, air.sd_points
        # What is told of the start was metered with the same meter: if it reads high, they start lower.
        self.start_sd = (start_sd**2 + bias.sd**2) ** 0.5
        self.shared = bias.sd / self.start_sd
        # What the equation misses in this wood, and what the room misses: nothing tells one from the other.
        self.air_sd = float(np.hypot(sorption.sd, air.sd_points))
        # Those that are only asked about change nothing in what is simulated.
        times = _times(last, np.array(sorted({0.0, *days, last})))
        self.courses = Courses(stock, air, times, start_sd=self.start_sd, air_sd=self.air_sd, model=model)
        self.later = np.flatnonzero(np.append(times[1:], np.inf) > since)
        self.prior = np.column_stack(
            [draws.deviation(each)[1:] / each.sd for each in (doubt.DIFFUSIVITY, doubt.EMISSION, sorption)]
            + [draws.deviation(replace(bias, name="start of a board"))[1:] / bias.sd]
            + [draws.deviation(bias)[1:] / bias.sd]
            + [draws.deviation(doubt.OTHER_ROOM)[1:] / doubt.OTHER_ROOM.sd]
        )
        self.prior_nodes = self.courses.weights(self._points(self.prior))
        self.mean = self._on(self.courses.mean, self.days)

    def fit(self, sights: Sequence[Observation]) -> Fit:
        """The board that the readings fit; without readings the prior.

        Importance sampling that adapts: draws of the prior are weighed by the readings, a normal
        distribution is laid about those that weigh most, drawn from and weighed again.
        """
        z, read = self.prior, Readings.of(sights)
        table = self._shown(read)
        nodes = self.prior_nodes
        shown = self._predicted(z, nodes, table, read)
        log_weight = _likelihood(shown, read)
        for _ in range(_ROUNDS if sights else 0):
            weight = _normalised(log_weight)
            mean = weight @ z
            off = z - mean
            # Few draws that carry all the weight have too small a spread; the prior keeps it wide.
            size = 1.0 / float(weight @ weight)
            trust = size / (size + 20.0)
            spread = trust * (off.T * weight) @ off + (1.0 - trust) * 0.25 * np.eye(z.shape[1])
            root = np.linalg.cholesky(_REACH**2 * spread + 1e-6 * np.eye(z.shape[1]))
            z = mean + self.prior @ root.T
            nodes = self.courses.weights(self._points(z))
            beyond = -0.5 * np.sum(z**2, axis=1) + 0.5 * np.sum(self.prior**2, axis=1)
            shown = self._predicted(z, nodes, table, read)
            log_weight = _likelihood(shown, read) + beyond
        weight = _normalised(log_weight)
        return Fit(
            weight,
            when(self._unready(z, nodes), weight, self.times, self.since),
            np.exp(doubt.DIFFUSIVITY.sd * z[:, 0]),
            self.days,
            weighted(nodes, self.mean).T,
            self.air_sd * z[:, 2],
            tuple((weight @ shown).tolist()),
            tuple((weight @ _odd(shown, read)).tolist()),
        )

    @property
    def times(self) -> Array:
        """Days on which it is asked whether they are ready."""
        return self.courses.times[self.later]

    def unready(self, z: Array) -> Array:
        """The worst measure of boards over its limit, shape (boards, times); see :meth:`start_of`."""
        return self._unready(z, self.courses.weights(self._points(z)))

    def _unready(self, z: Array, nodes: Array) -> Array:
        courses = self.courses
        tables = (courses.mean, courses.core, courses.shell, courses.tilt)
        mean, core, shell, tilt = (weighted(nodes, table[:, self.later]) for table in tables)
        return measures(self.stock, self.goal, self._target(z), mean, core, shell, tilt).unready

    def mean_on(self, days: Array, z: Array) -> Array:
        """Mean MC of boards on days [%], shape (boards, days); see :meth:`start_of`."""
        return self.courses.at(self._on(self.courses.mean, days), self._points(z))

    def _target(self, z: Array) -> Array:
        """MC to reach [%]: what the air is off, the goal is off too where it is of the same air. Where it is
        of another room, only the wood's own part, in its share of the variance, and what that room is off."""
        off = self.air_sd * z[:, 2]
        if self.goal.same_room:
            return self.goal.in_wood(off, 0.0 * off, 0.0 * off)
        share = (self.sorption.sd / self.air_sd) ** 2
        own = (self.sorption.sd**2 * (1.0 - share) + self.goal.sd_points**2) ** 0.5
        return self.goal.in_wood(share * off, 0.0 * off, own * z[:, 5])

    def _points(self, z: Array) -> list[Array]:
        return [z[:, 0], z[:, 1], self.start_of(z), z[:, 2]]

    def _on(self, table: Array, days: Array) -> Array:
        """A table of the courses on days."""
        times = self.courses.times
        after = np.clip(np.searchsorted(times, days), 1, len(times) - 1)
        part = (days - times[after - 1]) / (times[after] - times[after - 1])
        return table[:, after - 1] * (1.0 - part) + table[:, after] * part

    def start_of(self, z: Array) -> Array:
        """Start of the boards, in its standard deviations: their own part, and the meter's.

        :param z: unknowns of boards in standard deviations of the prior: diffusivity, emission, air, start,
            meter, the room of the top; shape (boards, 6)
        """
        return (1.0 - self.shared**2) ** 0.5 * z[:, 3] - self.shared * z[:, 4]

    def _shown(self, read: Readings) -> Array:
        """What each reading shows of the simulated boards [%], shape (boards, readings): the mean of the
        board, the moisture at the depth of the pins, where it ends, or nothing of the board."""
        shown = self._on(self.courses.mean, read.days)
        if read.by_pins.any():
            core, shell = (self._on(table, read.days) for table in (self.courses.core, self.courses.shell))
            # The parabola whose middle half and outer quarters have these means.
            x = 1.0 - 2.0 * read.depth
            shown = np.where(read.by_pins, core + 2.0 * (shell - core) * (x * x - 1.0 / 12.0), shown)
        if read.of_room.any():
            shown = np.where(read.of_room, self.courses.ends_lately(read.days, OFFCUT_DAYS), shown)
        return np.where(read.of_meter, 0.0, shown)

    def _predicted(self, z: Array, nodes: Array, table: Array, read: Readings) -> Array:
        """What each reading is expected to show at the draws, with the meter's own error [%], shape (draws,
        readings); of a weight the mean of the board.

        :param nodes: what each simulated board counts at the draws
        :param table: of :meth:`_shown`
        """
        return weighted(nodes, table) + self.bias.sd * z[:, 4:5] * read.by_meter


def _usual_and_strange(shown: Array, read: Readings) -> tuple[Array, Array]:
    """Logarithms of the likelihood of moisture that was found, were they usual ones and were they odd ones,
    shape (draws, readings that are no weights)."""
    off = ((read.mc_pct - shown) / read.sd_points)[:, read.found] ** 2
    usual = np.log(1.0 - ODD_CHANCE) - 0.5 * off
    return usual, np.log(ODD_CHANCE / ODD_TIMES) - 0.5 * off / ODD_TIMES**2


def _likelihood(shown: Array, read: Readings) -> Array:
    """Logarithm of the likelihood of the readings, shape (draws,)."""
    usual, strange = _usual_and_strange(shown, read)
    total = np.sum(np.logaddexp(usual, strange), axis=1)
    if np.sum(~read.found) > 1:
        # The oven-dry weight is not known: only what the weights say of each other counts.
        dry = read.log_weight - np.log1p(shown[:, ~read.found] / 100.0)
        total -= (
            0.5 * np.sum((dry - dry.mean(axis=1, keepdims=True)) ** 2, axis=1) / (SCALE_POINTS / 100) ** 2
        )
    return total


def _odd(shown: Array, read: Readings) -> Array:
    """Chance of each reading to be an odd one, shape (draws, readings); 0 of a weight."""
    usual, strange = _usual_and_strange(shown, read)
    odd = np.zeros(shown.shape)
    odd[:, read.found] = np.exp(strange - np.logaddexp(usual, strange))
    return odd


def _normalised(log_weight: Array) -> Array:
    weight = np.exp(log_weight - log_weight.max())
    return weight / weight.sum()


def _times(last: float, days: Array) -> Array:
    """Times of the simulation: by the day as long as there are readings, then in longer and longer steps."""
    step = max(1.0, last / 150.0)
    past = np.arange(0.0, last, step)
    early = np.array([0.05, 0.15, 0.35, 0.65])
    future = (
        last + np.geomspace(0.5, HORIZON_DAYS - last, 45)
        if last < HORIZON_DAYS - 1
        else np.array([last + 1.0])
    )
    times = np.unique(np.concatenate((past, days, early, future)))
    return times[np.concatenate(([True], np.diff(times) > 1e-6))]
