"""When lumber is ready, beside a solver that shares no line with ours.

Fick's law across the thickness with a surface emission, by finite volumes and SciPy's LSODA; what goes
through the edges is a sink with the resistances of surface and wood in a row. A lot is ten boards whose
starts scatter by a point; wood, surface, start, wood against the EMC equation, and room are drawn. From ours
come its inputs alone: the published diffusivity, and where lumber ends in the room's air.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from scipy.integrate import solve_ivp
from scipy.stats import norm, qmc

from woodmove.advice.doubt.draws import Draws
from woodmove.advice.drying.air import Air
from woodmove.advice.drying.goal import Goal
from woodmove.advice.drying.readiness import Ready, acclimate
from woodmove.advice.drying.stock import Stock
from woodmove.domain.room import Room
from woodmove.domain.season import Season
from woodmove.extend.api import Catalogue
from woodmove.physics.arrays import Array
from woodmove.physics.diffusivity import DIFFUSIVITIES

CELLS, BOARDS, DAYS = 12, 10, 400
DAY_S = 86400.0
# The world, written out a second time, so that a slip of the product's constants shows.
WITHIN_90 = 1.645
FACTOR_SD, EMISSION_SD = np.log(2.4) / WITHIN_90, np.log(2.0) / WITHIN_90
STILL_M_S = 1.0e-7
BIAS_SD, READINGS, PILE_SD = 1.0 / WITHIN_90, 5, 1.0
EQUATION_SD, HOUSE_SD = 0.85 / WITHIN_90, 0.75
WITHIN_POINTS, STAYS = 2.0, 14


@dataclass(frozen=True)
class Case:
    """Lumber that is stacked in a house on a day."""

    species: str
    thickness_mm: float
    width_mm: float
    mc_pct: float
    place: str
    start: date


CASES = (
    Case("southern-pine", 38, 235, 15, "atlanta", date(2027, 5, 10)),
    Case("white-oak", 51, 152, 12, "minneapolis", date(2027, 1, 10)),
    Case("european-beech", 50, 150, 14, "london", date(2026, 10, 10)),
    Case("douglas-fir-coast", 38, 184, 13, "burlington", date(2026, 12, 1)),
    Case("northern-red-oak", 25, 150, 12, "atlanta", date(2026, 11, 1)),
    Case("sugar-maple", 25, 120, 10, "minneapolis", date(2027, 3, 1)),
    Case("european-oak", 40, 160, 16, "london", date(2027, 2, 1)),
    Case("norway-spruce", 45, 195, 16, "london", date(2026, 11, 15)),
    Case("black-walnut", 25, 200, 11, "burlington", date(2027, 1, 15)),
    Case("douglas-fir-coast", 38, 286, 18, "minneapolis", date(2026, 10, 1)),
    Case("southern-pine", 38, 140, 12, "atlanta", date(2026, 12, 15)),
    Case("eastern-white-pine", 19, 240, 12, "burlington", date(2027, 6, 1)),
)


@dataclass(frozen=True)
class Beside:
    """What both say of a case; days from the stacking on.

    :param chance: share of the lots of the other solver that are ready, on each day
    """

    case: Case
    ours: Ready
    chance: Array

    def day(self, name: str) -> int | None:
        """A day that we name: ready_even_on, ready_likely_on or keeps_until."""
        named: date | None = getattr(self.ours, name)
        return None if named is None else (named - self.case.start).days

    def first(self, least: float) -> int | None:
        """The first day on which the other's chance is at least so much, and stays so for two weeks."""
        for day in range(len(self.chance) - STAYS):
            if (self.chance[day : day + STAYS + 1] >= least).all():
                return day
        return None

    def on(self, day: int | None) -> float | None:
        """The other's chance on a day, None for none and for one that it does not reach."""
        return None if day is None or day >= len(self.chance) else float(self.chance[day])


def beside(case: Case, lots: int = 64, seed: int = 7, draws: int = 1024) -> Beside:
    """Both answers to a case."""
    catalogue = Catalogue()
    place, room = catalogue.climates.get(case.place), Room("house")
    air, season = Air.of_place(place, room, case.start), Season.in_room(place, room)
    wood = catalogue.wood(case.species)
    stock = Stock(wood, case.thickness_mm, case.width_mm, 2400.0, case.mc_pct, case.mc_pct)
    goal = Goal(season.mean_pct, "the year of the room", sd_points=season.sd_points)
    ours = acclimate(stock, air, goal, Draws(draws, 1), today=case.start, start=case.start).results
    return Beside(case, ours, _chance(case, wood.gravity_12 or 0.5, air, season.mean_pct, lots, seed))


def _chance(case: Case, gravity: float, air: Air, goal_pct: float, lots: int, seed: int) -> Array:
    z = norm.ppf(qmc.Sobol(5, rng=seed).random(lots)).T
    factor, emission = np.exp(FACTOR_SD * z[0]), STILL_M_S * np.exp(EMISSION_SD * z[1])
    off = EQUATION_SD * z[3] + HOUSE_SD * z[4]
    scatter = PILE_SD * norm.ppf((np.arange(BOARDS) + 0.5) / BOARDS)
    start = case.mc_pct + np.hypot(BIAS_SD, READINGS**-0.5) * z[2]
    times = np.arange(0.0, DAYS + 1.0)
    temp, ends = air.ends_at(times, case.mc_pct)
    mean, uneven = _dried(
        case, gravity, factor, emission, start[:, None] + scatter, times, temp, ends[:, None] + off
    )
    within = np.abs(mean - (goal_pct + off)[:, None, None]) <= WITHIN_POINTS
    ready = (within.sum(axis=1) >= 0.9 * BOARDS) & (np.median(uneven, axis=1) <= WITHIN_POINTS)
    return ready.mean(axis=0)


def _dried(
    case: Case, gravity: float, factor: Array, emission: Array, start: Array, times: Array, temp: Array,
    ends: Array,
) -> tuple[Array, Array]:  # fmt: skip
    """Mean moisture of each board, and what its core and its shell differ by, shape (lots, boards, days).

    Half the thickness is enough: the other half mirrors it.

    :param start: shape (lots, boards)
    :param ends: where the wood ends, shape (times, lots)
    """
    lots, boards = start.shape
    step = case.thickness_mm / 2000.0 / CELLS
    function = DIFFUSIVITIES["synthesis"].function
    s, k = emission[:, None, None], factor[:, None, None]
    width = case.width_mm / 1000.0

    def rates(day: float, flat: Array) -> Array:
        u = flat.reshape(lots, boards, CELLS)
        at = min(int(day), len(times) - 2)
        part = day - at
        outside = (ends[at] * (1.0 - part) + ends[at + 1] * part)[:, None, None]
        d = k * function(u, temp[at], gravity)
        flow = np.zeros((lots, boards, CELLS + 1))  # towards the surface; none through the middle
        flow[..., 1:-1] = 0.5 * (d[..., 1:] + d[..., :-1]) * (u[..., :-1] - u[..., 1:]) / step
        flow[..., -1:] = (u[..., -1:] - outside) / (1.0 / s + 0.5 * step / d[..., -1:])
        edges = 2.0 / width * (u - outside) / (1.0 / s + width / (6.0 * d))
        return (DAY_S * ((flow[..., :-1] - flow[..., 1:]) / step - edges)).ravel()

    first = np.repeat(start[..., None], CELLS, axis=2)
    solved = solve_ivp(
        rates, (0.0, times[-1]), first.ravel(), "LSODA", times, rtol=1e-3, atol=1e-2, lband=1, uband=1
    )
    u = solved.y.T.reshape(len(times), lots, boards, CELLS)
    half = CELLS // 2
    uneven = np.abs(u[..., :half].mean(axis=-1) - u[..., half:].mean(axis=-1))
    return np.moveaxis(u.mean(axis=-1), 0, 2), np.moveaxis(uneven, 0, 2)


def table(found: Sequence[Beside]) -> Iterator[str]:
    """The cases side by side: days from the stacking on, ours and the other's."""
    yield f"{'wood':<20}{'mm':>4}{'MC':>4} {'place':<12}{'from':<11}{'even':>10}{'8 in 10':>12}{'until':>12}"
    for each in found:
        case = each.case
        days = "".join(
            f"{_pair(each.day(name), each.first(least)):>{wide}}"
            for name, least, wide in (("ready_even_on", 0.5, 10), ("ready_likely_on", 0.8, 12))
        )
        likely = each.on(each.day("ready_likely_on"))
        yield (
            f"{case.species:<20}{case.thickness_mm:>4g}{case.mc_pct:>4g} {case.place:<12}{case.start} "
            f"{days}{each.day('keeps_until') or '-':>7}/{_until(each) or '-'!s:<4}  "
            f"{'' if likely is None else f'{100 * likely:.0f} % on the day of 8 in 10'}"
        )


def _pair(ours: int | None, other: int | None) -> str:
    return f"{'-' if ours is None else ours}/{'-' if other is None else other}"


def _until(each: Beside) -> int | None:
    even = each.first(0.5)
    if even is None:
        return None
    lost = np.flatnonzero(each.chance[even:] < 0.5)
    return even + int(lost[0]) if len(lost) else None


def drawn(count: int, seed: int) -> Iterator[Case]:
    """Cases at random: wood, size, place and month."""
    dice = np.random.default_rng(seed)
    for _ in range(count):
        thickness = float(dice.choice([19, 25, 38, 51]))
        yield Case(
            str(dice.choice(["southern-pine", "northern-red-oak", "douglas-fir-coast", "sugar-maple"])),
            thickness, float(dice.choice([120, 180, 240])), float(dice.integers(10, 16)),
            str(dice.choice(["atlanta", "minneapolis", "burlington", "london"])),
            date(2027, int(dice.integers(1, 13)), 10),
        )  # fmt: skip


def held(found: Sequence[Beside]) -> tuple[float, int]:
    """Share of the lots that are ready on the day named 8 in 10, and how many cases name one.

    A day is named whole, by its end: quick lumber gains ten points on a day, and is then better than it is
    said to be.
    """
    chances = [chance for each in found if (chance := each.on(each.day("ready_likely_on"))) is not None]
    return float(np.mean(chances)), len(chances)


def agree(found: Sequence[Beside], loose: float = 1.0) -> None:
    """The days of an even chance lie within five days or a fifth of each other. On those that are named the
    other's chance comes to what it is said to be, within 12 points: two standard deviations of 64 lots.

    :param loose: times that much, where there are fewer lots
    """
    for each in found:
        ours, other = each.day("ready_even_on"), each.first(0.5)
        assert (ours is None) == (other is None), each.case
        if ours is None or other is None:
            continue
        assert abs(ours - other) <= loose * max(5.0, 0.2 * other), (each.case, ours, other)
        for name, said in (("ready_even_on", 0.5), ("ready_likely_on", 0.8)):
            day = each.day(name)
            chance, before = each.on(day), each.on(day - 1 if day else None)
            if chance is not None:
                assert chance >= said - loose * 0.12, (each.case, name, chance)
            if before is not None:
                assert before <= said + loose * 0.12, (each.case, name, before)
