"""What a top of this thickness really does in a year, and in its first two."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.doubt.response import interpolate, nodes
from woodmove.advice.top.held import cracking_points
from woodmove.advice.top.movement import with_year
from woodmove.contract.notes import Assumption, Warning
from woodmove.domain.air import YEAR_DAYS, between_months
from woodmove.domain.climate import MONTHS
from woodmove.domain.finish import Faces, Finish
from woodmove.domain.season import Season
from woodmove.domain.top import Top
from woodmove.physics.arrays import Array, FloatOrArray, rows_at
from woodmove.physics.diffusivity import DIFFUSIVITIES
from woodmove.physics.drying.boards import STILL_AIR_M_S, Boards, History
from woodmove.physics.drying.solver import simulate
from woodmove.physics.warp import arc_height_mm, slab_cup_per_m

# Years that are simulated before the year is taken as typical: by then the start is forgotten, unless
# the top is thicker than anybody builds.
SETTLING_YEARS = 3
STEPS_PER_YEAR = 48
CELLS = 20
# Values of the doubtful inputs at which the course is simulated, in standard deviations.
_DIFFUSIVITY_NODES = np.array([-2.4, -1.2, 0.0, 1.2, 2.4])
_EMISSION_NODES = np.array([-2.0, 0.0, 2.0])
# A swing of the air that is smaller than this has no amplitude worth a ratio.
LEAST_SWING_PCT = 0.2
# Quarters of the thickness lie this far apart, as a part of it.
_QUARTERS_APART = 0.75


@dataclass(frozen=True)
class YearlyMoisture:
    """How a top follows the air of its room. Arrays of draws have shape (draws + 1,), the central value
    first.

    :param ratio: swing of the mean MC over that of the air's EMC, in the yearly cycle
    :param lag_days: by which the mean MC is behind
    :param low_pct: driest mean MC of the typical year, with the doubt of its air; of rooms in a row the
        driest of all, each in its own typical year while the top stands there
    :param high_pct: dampest
    :param low_day: day of the year (0 to 364) on which the top is narrowest, central
    :param high_day: on which it is widest
    :param start: day of the start, None where nobody said so
    :param days: since the start, two years by the month, shape (25,)
    :param mean_pct: mean MC on these days, shape (25, draws + 1)
    :param start_left: part of an error of the MC at the start that is left on these days, (25,)
    :param core_less_shell: difference of the middle half and the outer quarters [points], central, (25,)
    :param greatest_drop: farthest that a face falls below the mean in the two years [points], central
    :param greatest_drop_day: day since the start on which it does
    :param upper_less_lower: difference of the two outer quarters [points], in draws, on the day on which it
        is largest: in the typical year, and in the first two where the start is known
    :param unlike_day: that day of the year
    """

    ratio: Array
    lag_days: Array
    low_pct: Array
    high_pct: Array
    low_day: int
    high_day: int
    start: date | None
    days: Array
    mean_pct: Array
    start_left: Array
    core_less_shell: Array
    greatest_drop: float
    greatest_drop_day: float
    upper_less_lower: Array
    unlike_day: int


@dataclass(frozen=True, slots=True)
class Exposure:
    """How a top stands in its room.

    :param faces: as moisture meets them
    :param start: day on which it comes there at its present MC, None where nobody said so
    :param model: name of the diffusivity
    """

    faces: Faces = field(default_factory=Faces)
    start: date | None = None
    model: str = "synthesis"

    def course(self, top: Top, season: Season, draws: Draws) -> "YearlyMoisture | None":
        """How a top follows its year here; see :func:`follow`."""
        return follow(top, season, self.faces, draws, self.start, self.model)


def daily_air(season: Season, day_of_year: Array) -> tuple[Array, Array]:
    """Temperature [°C] and EMC [%] of the room at days of the year, by straight lines between the middles
    of the months."""
    assert season.monthly_pct is not None
    assert season.room_air is not None
    return (
        between_months(season.room_air.temp_c, day_of_year),
        between_months(season.monthly_pct, day_of_year),
    )


def air_since(season: Season, first_day: float, days: Array) -> tuple[Array, Array]:
    """The same some days after a first one, of the room in which the top then stands.

    :param first_day: day of the year, on which a top that moves house came to its first room
    """
    temp, air = daily_air(season, (first_day + days) % YEAR_DAYS)
    for room in season.rooms[1:]:
        assert room.since is not None
        assert season.since is not None
        there = days >= (room.since - season.since).days
        temp, air = (
            np.where(there, its, before)
            for its, before in zip(daily_air(room, (first_day + days) % YEAR_DAYS), (temp, air), strict=True)
        )
    return temp, air


def follow(
    top: Top, season: Season, faces: Faces, draws: Draws, start: date | None, model: str
) -> YearlyMoisture | None:
    """The course of a top through its room's year, and through those that it moves to.

    :param start: day on which the top, at its present MC, comes into the room
    :param model: name of the diffusivity
    :returns: None where the thickness, the density or the months are not known, or the air hardly moves
    """
    rooms = season.rooms
    if not rooms:
        return _follow(top, season, faces, draws, start, model)
    each = [_follow(top, room, faces, draws, start, model) for room in rooms]
    years = [course for course in each if course is not None]
    path = years[0] if start is None and years else _follow(top, season, faces, draws, start, model)
    if path is None or len(years) < len(rooms):
        return None
    return replace(
        path,
        ratio=years[0].ratio,
        lag_days=years[0].lag_days,
        low_pct=np.min([course.low_pct for course in years], axis=0),
        high_pct=np.max([course.high_pct for course in years], axis=0),
        low_day=min(years, key=lambda course: float(course.low_pct[0])).low_day,
        high_day=max(years, key=lambda course: float(course.high_pct[0])).high_day,
    )


def _follow(
    top: Top, season: Season, faces: Faces, draws: Draws, start: date | None, model: str
) -> YearlyMoisture | None:
    """The same of one room, or of the way from room to room."""
    gravity = top.wood.gravity_12
    if top.thickness_mm is None or gravity is None or season.monthly_pct is None:
        return None
    if season.high_pct - season.low_pct < LEAST_SWING_PCT:
        return None
    spread_d, spread_s = nodes((_DIFFUSIVITY_NODES, _EMISSION_NODES))
    upper, lower = faces.emissions_m_s(STILL_AIR_M_S * np.exp(doubt.EMISSION.sd * spread_s))
    first_day = _day_of_year(start) if start else 0.0
    days = np.linspace(0.0, (SETTLING_YEARS + 1) * YEAR_DAYS, (SETTLING_YEARS + 1) * STEPS_PER_YEAR + 1)
    temp, air = air_since(season, first_day, days)
    begin = float(np.mean(season.monthly_pct)) if top.mc_now_pct is None else min(top.mc_now_pct, 30.0)
    history = _simulated(
        (top.thickness_mm, gravity, begin, model),
        *(tuple(np.asarray(values).tolist()) for values in (upper, lower, days, temp, air)),
    )

    central = len(spread_d) // 2
    # The last board is the central one, begun a point wetter or drier: what is left of the point tells how
    # much the start still counts.
    left: Array = np.abs(history.mean_pct[-1] - history.mean_pct[central])
    means = history.mean_pct[:-1]
    year = slice(-STEPS_PER_YEAR - 1, -1)
    dates = (first_day + days[year]) % YEAR_DAYS
    there = _steps_there(season, dates)
    tilts = history.top_pct[:-1] - history.bottom_pct[:-1]
    unlike = _most_unlike(tilts[central], days, begun=start is not None and top.mc_now_pct is not None)
    turn = np.exp(-2j * np.pi * days[year] / YEAR_DAYS)
    of_air, of_wood = turn @ air[year], means[:, year] @ turn
    lag = np.angle(of_air / of_wood) % (2 * np.pi) / (2 * np.pi) * YEAR_DAYS
    months = np.linspace(0.0, 2 * YEAR_DAYS, 25)
    by_month = rows_at(months, days, means)
    axes = (_DIFFUSIVITY_NODES, _EMISSION_NODES)
    points = [
        draws.deviation(each) / each.sd for each in (doubt.DIFFUSIVITY, doubt.EMISSION)
    ]  # in standard deviations
    results = interpolate(
        axes,
        np.column_stack(
            [
                np.abs(of_wood / of_air),
                lag,
                means[:, year][:, there].min(axis=1),
                means[:, year][:, there].max(axis=1),
                tilts[:, unlike],
                by_month,
            ]
        ),
        points,
    ).T
    core_less_shell: Array = history.core_pct[central] - history.shell_pct[central]
    assert history.profiles_pct is not None
    # The outermost cells: about 1 % of the thickness deep.
    faces_pct = history.profiles_pct[central][:, [0, -1]]
    drop = means[central] - faces_pct.min(axis=1)
    worst = int(drop[days <= months[-1]].argmax())
    return YearlyMoisture(
        results[0],
        results[1],
        with_year(season, results[2], draws),
        with_year(season, results[3], draws),
        int(dates[there][means[central, year][there].argmin()]),
        int(dates[there][means[central, year][there].argmax()]),
        start,
        months,
        results[5:],
        np.interp(months, days, left),
        np.interp(months, days, core_less_shell),
        float(drop[worst]),
        float(days[worst]),
        results[4] * draws.factor(doubt.YEAR),
        int((first_day + days[unlike]) % YEAR_DAYS),
    )


def _steps_there(season: Season, dates: Array) -> NDArray[np.bool_]:
    """Which steps of a year the top stands in a room; where its stay falls between two of them, all."""
    there = season.covers(dates)
    return there if there.any() else np.ones(len(dates), bool)


def _most_unlike(tilt: Array, days: Array, *, begun: bool) -> int:
    """When the two faces differ most: in the typical year, and in the first two where they are known."""
    counted = days >= days[-STEPS_PER_YEAR - 1]
    if begun:
        counted |= days <= 2 * YEAR_DAYS
    return int(np.where(counted, np.abs(tilt), -1.0).argmax())


@lru_cache(maxsize=8)
def _simulated(
    top: tuple[float, float, float, str],
    upper_m_s: tuple[float, ...],
    lower_m_s: tuple[float, ...],
    days: tuple[float, ...],
    temp_c: tuple[float, ...],
    air_pct: tuple[float, ...],
) -> History:
    """The simulation behind :func:`follow`; kept, since the sections of one plan ask for the same one.

    :param top: thickness [mm], specific gravity, MC at the start [%], diffusivity
    """
    thickness_mm, gravity, begin_pct, model = top
    spread = nodes((_DIFFUSIVITY_NODES, _EMISSION_NODES))[0]
    central = len(spread) // 2
    boards = Boards(
        thickness_mm,
        gravity,
        top_m_s=np.array([*upper_m_s, upper_m_s[central]]),
        bottom_m_s=np.array([*lower_m_s, lower_m_s[central]]),
        factor=np.exp(doubt.DIFFUSIVITY.sd * np.append(spread, 0.0)),
        model=model,
    )
    start = np.full(boards.count, begin_pct)
    start[-1] += 1.0 if begin_pct < 29.0 else -1.0
    air = np.array(temp_c), np.array(air_pct)
    return simulate(boards, start, np.array(days), *air, cells=CELLS, profiles=True)


def first_months_pct(course: YearlyMoisture, season: Season, now_pct: Array | None, draws: Draws) -> Array:
    """Mean MC in the first two years by month [%], shape (25, draws + 1): the doubt of the meter fades as
    the start is forgotten, and that of the air grows in its place.

    :param now_pct: MC at the start with its doubt, None where nobody measured it
    """
    left = course.start_left[:, None]
    at_start = 0.0 if now_pct is None else now_pct - now_pct[0]
    if course.start is None or not season.rooms:
        later = with_year(season, course.mean_pct, draws)
    else:
        when = [course.start + timedelta(days=float(day)) for day in course.days]
        pairs = zip(when, course.mean_pct, strict=True)
        later = np.array([with_year(season.on(day), mc, draws) for day, mc in pairs])
    return left * (course.mean_pct + at_start) + (1.0 - left) * later


def month_of(day_of_year: int) -> int:
    """Number (1 to 12) of the month of a day of the year."""
    return (date(2001, 1, 1) + timedelta(days=day_of_year)).month


def month_names(course: YearlyMoisture) -> list[str]:
    """Names of the months of a course: by the calendar where the start is known, else by number."""
    if course.start is None:
        return [f"after {month} months" for month in range(25)]
    first = course.start.month - 1
    return [f"{MONTHS[month % 12]} {course.start.year + month // 12}" for month in range(first, first + 25)]


def _when(course: YearlyMoisture) -> str:
    """When a face is farthest below the mean, in words."""
    days = round(course.greatest_drop_day)
    if course.start is None:
        return f"{days} days after the start"
    day = course.start + timedelta(days=days)
    return f"in {MONTHS[day.month - 1]} {day.year}"


def cup_mm(tilt_points: FloatOrArray, coefficient_per_pct: FloatOrArray, top: Top) -> FloatOrArray:
    """Cup of a free slab whose faces differ in MC, over its width [mm]; positive when the upper face is
    the damper, and so the round one.

    :param tilt_points: mean of the upper quarter less that of the lower one [points]

    Derived: the quarters lie three quarters of the thickness apart.
    """
    assert top.thickness_mm is not None
    across = np.asarray(tilt_points, float) / _QUARTERS_APART
    curve = slab_cup_per_m(coefficient_per_pct, across, top.thickness_mm)
    return arc_height_mm(curve, top.width_mm)


def warnings(course: YearlyMoisture, top: Top, season: Season, model: str) -> tuple[Warning, ...]:
    """What to know about a course."""
    notes: list[Warning] = []
    # A face is held by the wood behind it: it is pulled as far as it would shrink below the mean.
    drop, limit = course.greatest_drop, cracking_points(top)
    if limit is not None and drop > limit:
        # A finish would also hold the moisture in: it comes when the wood has dried.
        wet = top.mc_now_pct is not None and top.mc_now_pct > season.high_pct
        remedy = "raise the humidity, or " + ("cover the top." if wet else "finish both faces.")
        notes.append(
            Warning(
                "FACES_MAY_CHECK",
                "The faces fall below the mean of the top by up to {drop_points}, {when}. "
                "Held wood with its rings as here reaches its strength at {limit_points} on paper, and bears "
                "1.5 to 3 times that (memory): checks are possible. Dry slowly: " + remedy,
                {"drop_points": drop, "when": _when(course), "limit_points": limit},
            )
        )
    notes += outside_diffusivity(model, (course.low_pct[0], course.high_pct[0]), top.wood.gravity_12)
    return tuple(notes)


def outside_diffusivity(model: str, mc_pct: Sequence[float], gravity: float | None) -> tuple[Warning, ...]:
    """What to know where moisture contents or a density leave the stated range of a diffusivity.

    :param model: name of the diffusivity
    """
    used = DIFFUSIVITIES[model]
    if not any(used.valid[0].outside(mc) for mc in mc_pct) and not used.valid[2].outside(gravity or 0.5):
        return ()
    return (
        Warning(
            "OUTSIDE_DIFFUSIVITY_RANGE",
            f"Diffusivity {used.name}: moisture content or density lies outside its stated range.",
            validity=True,
        ),
    )


def assumptions(course: YearlyMoisture, faces: Faces, model: str) -> tuple[Assumption, ...]:
    """What a course takes for granted."""
    used = DIFFUSIVITIES[model]
    return (
        Assumption(
            "DIFFUSIVITY",
            "Moisture through time: diffusivity {model} ({remark}), faces {faces}.",
            {"model": used.name, "remark": used.remark, "faces": str(faces)},
        ),
    )


def _day_of_year(day: date) -> float:
    return min((day - date(day.year, 1, 1)).days, 364) + 0.5


def day_name(day_of_year: int) -> str:
    """A day as well as it is known: the third of its month."""
    day = date(2001, 1, 1) + timedelta(days=day_of_year)
    third = "early" if day.day <= 10 else "mid" if day.day <= 20 else "late"
    return f"{third} {MONTHS[day.month - 1]}"


def lagged_extremes(top: Top, season: Season, emission_m_s: Array, model: str) -> tuple[Array, Array] | None:
    """Driest and dampest mean MC [%] of the typical year for several surface emissions of both faces, at the
    central diffusivity; shape of `emission_m_s`.

    :returns: None where :func:`follow` gives none
    """
    gravity = top.wood.gravity_12
    if top.thickness_mm is None or gravity is None or season.monthly_pct is None:
        return None
    if season.rooms:
        pairs = [lagged_extremes(top, room, emission_m_s, model) for room in season.rooms]
        lows, highs = zip(*(pair for pair in pairs if pair is not None), strict=True)
        return np.min(lows, axis=0), np.max(highs, axis=0)
    days = np.linspace(0.0, (SETTLING_YEARS + 1) * YEAR_DAYS, (SETTLING_YEARS + 1) * STEPS_PER_YEAR + 1)
    temp, air = daily_air(season, days % YEAR_DAYS)
    boards = Boards(top.thickness_mm, gravity, top_m_s=emission_m_s, bottom_m_s=emission_m_s, model=model)
    history = simulate(boards, float(np.mean(season.monthly_pct)), days, temp, air, cells=CELLS)
    year = history.mean_pct[:, -STEPS_PER_YEAR - 1 :]
    year = year[:, _steps_there(season, days[-STEPS_PER_YEAR - 1 :] % YEAR_DAYS)]
    return year.min(axis=1), year.max(axis=1)


def tilt_while_one_face_waits(
    top: Top, season: Season, finish: Finish, start: date, days: Array, model: str
) -> Array | None:
    """Largest difference of the two outer quarters [points] up to each day, where the upper face is finished
    on the day of the start and the lower one not yet; signed, upper less lower.

    :param days: since the start, rising, above 0
    :returns: shape of `days`, None where :func:`follow` gives none or the MC today is not known
    """
    gravity = top.wood.gravity_12
    if top.thickness_mm is None or gravity is None or season.monthly_pct is None or top.mc_now_pct is None:
        return None
    times = np.concatenate(([0.0], days))
    temp, air = air_since(season, _day_of_year(start), times)
    coated = finish.emission_m_s(STILL_AIR_M_S)
    boards = Boards(top.thickness_mm, gravity, top_m_s=coated, bottom_m_s=STILL_AIR_M_S, model=model)
    history = simulate(boards, min(top.mc_now_pct, 30.0), times, temp, air, cells=CELLS, steps=4)
    tilt = history.top_pct[0] - history.bottom_pct[0]
    return np.array([tilt[: i + 2][np.abs(tilt[: i + 2]).argmax()] for i in range(len(days))])
