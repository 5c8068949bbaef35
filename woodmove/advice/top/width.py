"""How wide will the top be in each season?"""

from collections.abc import Callable, Iterator
from datetime import date, timedelta
from typing import Annotated

import numpy as np

from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top import faces
from woodmove.advice.top import season as season_advice
from woodmove.advice.top.faces import UnlikeFaces
from woodmove.advice.top.movement import (
    Movement,
    assumptions,
    extremes,
    in_service,
    movement,
    needed_mc,
    warnings,
    within_coefficients,
)
from woodmove.advice.top.season import Exposure, YearlyMoisture
from woodmove.contract.answer import Answer, Verdict
from woodmove.contract.notes import Note, note
from woodmove.contract.plan import Check
from woodmove.contract.quantity import (
    ANGLE,
    DAYS,
    FINE_LENGTH,
    LENGTH,
    MOISTURE,
    PER_POINT,
    POINTS,
    RATIO,
    SHARE,
)
from woodmove.contract.ranges import Range
from woodmove.contract.shown import Shown, results
from woodmove.domain.climate import MONTHS
from woodmove.domain.season import Season
from woodmove.domain.stay import day_words
from woodmove.domain.top import EdgeStrips, Top
from woodmove.physics.arrays import Array
from woodmove.physics.shrinkage import size_at_mc_mm

SOURCES = ("fpl-gtr-282", "fpl-gtr-190")
# The first year and a half, in months.
FIRST_MONTHS = 18
BY_COEFFICIENTS = "coefficients (all moisture contents within 6 to 14 %)"
BY_SHRINKAGE = "total shrinkage (some moisture contents outside 6 to 14 %)"
# What no rule shows is no movement to speak of.
LEAST_MM = 25.4 / 64


@results
class StripMovement:
    """A strip of a board: where it was cut, how its rings stand, how it moves."""

    strip: Annotated[int, Shown("strip", None, "key")]
    size: Annotated[str, Shown("from a", None, "key")]
    species: Annotated[str | None, Shown("species", None, "key")]
    share_pct: Annotated[float, Shown("of the strips", SHARE, "key")]
    offset_from_pith_mm: Annotated[float, Shown("from the pith", LENGTH, "key")]
    ring_angle_deg: Annotated[float, Shown("rings", ANGLE, "key")]
    coefficient_per_pct: Annotated[float, Shown("coefficient", PER_POINT, "key")]


@results
class Month:
    """A month of the year, as if the top followed its air at once."""

    month: Annotated[str, Shown("month", None, "key")]
    mc_pct: Annotated[float, Shown("MC", MOISTURE, "key")]
    width_mm: Annotated[Range, Shown("width", LENGTH, "key")]
    change_mm: Annotated[Range, Shown("change", FINE_LENGTH, "key")]
    thickness_mm: Annotated[Range | None, Shown("thickness", FINE_LENGTH)]


@results
class FirstMonth:
    """A month after the top came into its room."""

    when: Annotated[str, Shown("when", None, "key")]
    mc_pct: Annotated[Range, Shown("MC", MOISTURE, "key")]
    width_mm: Annotated[Range, Shown("width", LENGTH, "key")]
    core_less_shell_points: Annotated[float, Shown("core less shell", POINTS, "key")]


@results
class AsItIs:
    """The typical year of a top as thick and as finished as it is."""

    mc_amplitude_ratio: Annotated[Range, Shown("share of the air's swing that it follows", RATIO)]
    lag_days: Annotated[Range, Shown("lags the air by", DAYS)]
    mc_low_lagged_pct: Annotated[Range, Shown("driest", MOISTURE)]
    mc_high_lagged_pct: Annotated[Range, Shown("dampest", MOISTURE)]
    narrowest: Annotated[str, Shown("narrowest")]
    widest: Annotated[str, Shown("widest")]
    width_low_lagged_mm: Annotated[Range, Shown("narrowest", LENGTH)]
    width_high_lagged_mm: Annotated[Range, Shown("widest", LENGTH)]
    swing_lagged_mm: Annotated[Range, Shown("narrowest to widest", FINE_LENGTH)]


@results
class Turn:
    """When the top turns from narrowing to widening, or back, for the first time from today on."""

    day: Annotated[date, Shown("day")]
    widest: Annotated[bool, Shown("widest")]
    mc_pct: Annotated[float, Shown("MC", MOISTURE)]


@results
class Move:
    """A room that the top moves to."""

    day: Annotated[date, Shown("day", None, "key")]
    mean_mc_pct: Annotated[float, Shown("wood there, the year's mean", MOISTURE, "key")]
    wider_mm: Annotated[float, Shown("wider there, on the mean", FINE_LENGTH, "key")]


@results
class Width:
    """The width of a top through its year."""

    moves_mm: Annotated[Range, Shown("moves in a year by", FINE_LENGTH, "headline")]
    width_now_mm: Annotated[float, Shown("width today", LENGTH, "key")]
    narrowest_mm: Annotated[Range, Shown("narrowest", LENGTH, "key")]
    widest_mm: Annotated[Range, Shown("widest", LENGTH, "key")]
    mc_now_pct: Annotated[float | None, Shown("moisture today", MOISTURE)]
    mc_low_pct: Annotated[float, Shown("driest air, as moisture", MOISTURE)]
    mc_high_pct: Annotated[float, Shown("dampest air, as moisture", MOISTURE)]
    width_low_mm: Annotated[Range, Shown("narrowest it could ever get", LENGTH)]
    width_high_mm: Annotated[Range, Shown("widest it could ever get", LENGTH)]
    change_low_mm: Annotated[Range, Shown("change to its driest", FINE_LENGTH)]
    change_high_mm: Annotated[Range, Shown("change to its dampest", FINE_LENGTH)]
    swing_mm: Annotated[Range, Shown("driest to dampest, if it followed the air at once", FINE_LENGTH)]
    thickness_now_mm: Annotated[float | None, Shown("thickness today", FINE_LENGTH)]
    thickness_low_mm: Annotated[Range | None, Shown("thickness at its driest", FINE_LENGTH)]
    thickness_high_mm: Annotated[Range | None, Shown("thickness at its dampest", FINE_LENGTH)]
    thickness_change_low_mm: Annotated[Range | None, Shown("thickness change, driest", FINE_LENGTH)]
    thickness_change_high_mm: Annotated[Range | None, Shown("thickness change, dampest", FINE_LENGTH)]
    coefficient_per_pct: Annotated[Range, Shown("coefficient", PER_POINT)]
    method: Annotated[str, Shown("method")]
    driest_month: Annotated[str | None, Shown("driest month")]
    dampest_month: Annotated[str | None, Shown("dampest month")]
    unlike: Annotated[UnlikeFaces | None, Shown("its faces being unlike")]
    season: Annotated[AsItIs | None, Shown("as thick and as finished as it is")]
    months: Annotated[tuple[Month, ...], Shown("the year, if it followed the air at once")]
    first_months: Annotated[tuple[FirstMonth, ...], Shown("the first two years", None)]
    strips: Annotated[tuple[StripMovement, ...], Shown("strips")]
    turns: Annotated[tuple[Turn, ...], Shown("turns")]
    moves: Annotated[tuple[Move, ...], Shown("moves house")]


FROM_TODAY = note(
    "FROM_TODAY", "Narrowest in {narrowest}, {in_mm} under today, and widest in {widest}, {out_mm} over it.",
    narrowest=None, in_mm=FINE_LENGTH, widest=None, out_mm=FINE_LENGTH,
)  # fmt: skip
NARROWS = note(
    "NARROWS", 
    "Narrowest in {narrowest}, {in_mm} under today; by {widest} {moves_mm} wider again, and no wider than "
    "today.",
    narrowest=None, in_mm=FINE_LENGTH, widest=None, moves_mm=FINE_LENGTH,
)  # fmt: skip
WIDENS = note(
    "WIDENS", 
    "Widest in {widest}, {out_mm} over today; by {narrowest} {moves_mm} narrower again, and no narrower than "
    "today.",
    narrowest=None, out_mm=FINE_LENGTH, widest=None, moves_mm=FINE_LENGTH,
)  # fmt: skip
AT_ITS_DRIEST, AT_ITS_DAMPEST = "the driest air", "the dampest"
MEASURE_WIDTH = note(
    "MEASURE_WIDTH",
    "Measure the width, and read the room's RH: the top is about at its {turn}, at {mc_pct}.",
    turn=None, mc_pct=MOISTURE,
)  # fmt: skip
SETTLES_WIDER = note(
    "SETTLES_WIDER",
    "The top moves house. Measure its width: there it settles {by_mm} wider, on the mean of the year.",
    by_mm=FINE_LENGTH,
)  # fmt: skip
SETTLES_NARROWER = note(
    "SETTLES_NARROWER",
    "The top moves house. Measure its width: there it settles {by_mm} narrower, on the mean of the year.",
    by_mm=FINE_LENGTH,
)  # fmt: skip


def width(
    top: Top, season: Season, draws: Draws, exposure: Exposure | None = None, *, today: date | None = None
) -> Answer[Width]:
    """Width, and thickness, of a top through its year.

    :param top: as it is today, its moisture content known
    :param season: the year in service
    :param draws: of the doubt
    :param exposure: how the top stands in its room, for what it does as thick and as finished as it is; None
        leaves that out
    :param today: before which nothing is to be measured any more, None where that is not known
    :raises Refusal: moisture content today unknown
    """
    now = needed_mc(
        top, draws, "A width in another season is told from the width and the moisture content today."
    )
    moves = movement(top, draws)
    by_coefficient = within_coefficients(top, season)

    def size_at(size_mm: float, coefficient: Array, mc_pct: Array) -> Array:
        return np.asarray(
            size_at_mc_mm(
                size_mm, coefficient, now, mc_pct, moves.fibre_saturation_pct, by_coefficient=by_coefficient
            )
        )

    bounds = extremes(season, draws)
    low, high = (size_at(top.width_mm, moves.width, mc) for mc in bounds)
    course = None if exposure is None else exposure.course(top, season, draws)
    narrow, wide = low, high
    if course is not None:
        narrow, wide = (size_at(top.width_mm, moves.width, mc) for mc in (course.low_pct, course.high_pct))

    thin, thick, thins, thickens = _thicknesses(top, bounds, moves, size_at, draws)
    cups, told = faces.unlike(course, exposure and exposure.faces, top, moves.width, draws)
    stops = cups is not None and cups.shows and cups.one_finished
    found = Width(
        moves_mm=draws.range(wide - narrow),
        width_now_mm=top.width_mm,
        narrowest_mm=draws.range(narrow),
        widest_mm=draws.range(wide),
        mc_now_pct=top.mc_now_pct,
        mc_low_pct=season.low_pct,
        mc_high_pct=season.high_pct,
        width_low_mm=draws.range(low),
        width_high_mm=draws.range(high),
        change_low_mm=draws.range(low - top.width_mm),
        change_high_mm=draws.range(high - top.width_mm),
        swing_mm=draws.range(high - low),
        thickness_now_mm=top.thickness_mm,
        thickness_low_mm=thin,
        thickness_high_mm=thick,
        thickness_change_low_mm=thins,
        thickness_change_high_mm=thickens,
        coefficient_per_pct=draws.range(moves.width),
        method=BY_COEFFICIENTS if by_coefficient else BY_SHRINKAGE,
        driest_month=_month(season.driest_month),
        dampest_month=_month(season.dampest_month),
        unlike=cups,
        season=None if course is None else _as_it_is(course, draws, narrow, wide),
        months=tuple(_months(top, season, moves, size_at, draws)),
        first_months=tuple(
            () if course is None or course.start is None
            else _first_months(course, season, now, top, moves, size_at, draws)
        ),
        strips=tuple(_strips(top.grain, top) if isinstance(top.grain, EdgeStrips) else ()),
        turns=tuple(() if course is None or course.start is None else _turns(course, today or course.start)),
        moves=tuple(_moves(top, season, moves)),
    )  # fmt: skip
    return Answer(
        _verdict(found, course, told if stops else ()),
        found,
        _notes(top, season, exposure, course, () if stops else told),
        (*SOURCES, *top.wood.sources, *season.sources),
    )


def _thicknesses(
    top: Top,
    bounds: tuple[Array, Array],
    moves: Movement,
    size_at: Callable[[float, Array, Array], Array],
    draws: Draws,
) -> tuple[Range | None, Range | None, Range | None, Range | None]:
    """Thickness at the driest and at the dampest, and by how much each differs from today's; nothing where
    it is not known."""
    today_mm = top.thickness_mm
    if today_mm is None:
        return None, None, None, None
    thin, thick = (size_at(today_mm, moves.thickness, mc) for mc in bounds)
    return draws.range(thin), draws.range(thick), draws.range(thin - today_mm), draws.range(thick - today_mm)


def _notes(
    top: Top, season: Season, exposure: Exposure | None, course: YearlyMoisture | None, told: tuple[Note, ...]
) -> tuple[Note, ...]:
    """:param told: of faces that breathe unlike"""
    return (
        *warnings(top, season),
        *told,
        *(season_advice.warnings(course, top, season, exposure.model) if exposure and course else ()),
        *assumptions(top, season),
        *(season_advice.assumptions(course, exposure.faces, exposure.model) if exposure and course else ()),
    )


def _verdict(found: Width, course: YearlyMoisture | None, faults: tuple[Note, ...]) -> Verdict:
    """The year in one sentence: when it is narrowest and widest, and by how much.

    :param faults: what is to be done first
    """
    if course is not None:
        dry, wet = (MONTHS[season_advice.month_of(day) - 1] for day in (course.low_day, course.high_day))
    else:
        dry, wet = found.driest_month or AT_ITS_DRIEST, found.dampest_month or AT_ITS_DAMPEST
    inward = max(0.0, found.width_now_mm - found.narrowest_mm.expected)
    outward = max(0.0, found.widest_mm.expected - found.width_now_mm)
    moves, months = found.moves_mm.expected, {"narrowest": dry, "widest": wet}
    if outward < LEAST_MM:
        year = NARROWS(in_mm=inward, moves_mm=moves, **months)
    elif inward < LEAST_MM:
        year = WIDENS(out_mm=outward, moves_mm=moves, **months)
    else:
        year = FROM_TODAY(in_mm=inward, out_mm=outward, **months)
    return Verdict("stop" if faults else "know", (*faults, year))


def checks(found: Width) -> Iterator[Check]:
    """When to measure in the first year and a half."""
    for turn in found.turns:
        word = "widest" if turn.widest else "narrowest"
        yield Check(MEASURE_WIDTH(turn=word, mc_pct=turn.mc_pct), turn.day)
    for move in found.moves:
        settles = SETTLES_WIDER if move.wider_mm > 0 else SETTLES_NARROWER
        yield Check(settles(by_mm=abs(move.wider_mm)), move.day)


def _month(number: int | None) -> str | None:
    return MONTHS[number - 1] if number else None


def _as_it_is(course: YearlyMoisture, draws: Draws, narrow: Array, wide: Array) -> AsItIs:
    return AsItIs(
        mc_amplitude_ratio=draws.range(course.ratio),
        lag_days=draws.range(course.lag_days),
        mc_low_lagged_pct=draws.range(course.low_pct),
        mc_high_lagged_pct=draws.range(course.high_pct),
        narrowest=season_advice.day_name(course.low_day),
        widest=season_advice.day_name(course.high_day),
        width_low_lagged_mm=draws.range(narrow),
        width_high_lagged_mm=draws.range(wide),
        swing_lagged_mm=draws.range(wide - narrow),
    )


def _months(
    top: Top, season: Season, moves: Movement, size_at: Callable[[float, Array, Array], Array], draws: Draws
) -> Iterator[Month]:
    for room in season.rooms or (season,):
        if room.monthly_pct is None:
            return
        drawn = in_service(room, room.monthly_pct, draws)
        widths = size_at(top.width_mm, moves.width, drawn)
        thicknesses = None
        if top.thickness_mm is not None:
            thicknesses = size_at(top.thickness_mm, moves.thickness, drawn)
        where = f", from {day_words(room.since)} on" if room.moved else ""
        for number, (month, mc) in enumerate(zip(MONTHS, room.monthly_pct, strict=True)):
            yield Month(
                month=month + where,
                mc_pct=float(mc),
                width_mm=draws.range(widths[number]),
                change_mm=draws.range(widths[number] - top.width_mm),
                thickness_mm=None if thicknesses is None else draws.range(thicknesses[number]),
            )


def _first_months(
    course: YearlyMoisture, season: Season, now: Array, top: Top, moves: Movement,
    size_at: Callable[[float, Array, Array], Array], draws: Draws,
) -> Iterator[FirstMonth]:  # fmt: skip
    by_month = season_advice.first_months_pct(course, season, now, draws)
    sizes = size_at(top.width_mm, moves.width, by_month)
    names = season_advice.month_names(course)
    for when, mc, row, difference in zip(names, by_month, sizes, course.core_less_shell, strict=True):
        yield FirstMonth(
            when=when, mc_pct=draws.range(mc), width_mm=draws.range(row),
            core_less_shell_points=float(difference),
        )  # fmt: skip


def _turns(course: YearlyMoisture, today: date) -> Iterator[Turn]:
    assert course.start is not None
    means = course.mean_pct[: FIRST_MONTHS + 1, 0]
    days = [course.start + timedelta(days=float(day)) for day in course.days[: FIRST_MONTHS + 1]]
    for widest, sign in ((False, 1.0), (True, -1.0)):
        path = sign * means
        turns = [m for m in range(1, len(path) - 1) if path[m] <= path[m - 1] and path[m] < path[m + 1]]
        turn = next((m for m in turns if days[m] >= today), None)
        if turn is not None:
            yield Turn(day=days[turn], widest=widest, mc_pct=float(means[turn]))


def _moves(top: Top, season: Season, moves: Movement) -> Iterator[Move]:
    """The rooms that it moves to, and how much wider than in the first it is there."""
    for room in season.rooms[1:]:
        assert room.since is not None
        yield Move(
            day=room.since,
            mean_mc_pct=room.mean_pct,
            wider_mm=top.width_mm * float(moves.width[0]) * (room.mean_pct - season.mean_pct),
        )


def _strips(grain: EdgeStrips, top: Top) -> Iterator[StripMovement]:
    shares = grain.strip_shares()
    for wood, part in top.wood.parts:
        radial = float(np.mean([c.radial for c in wood.coefficients]))
        places = zip(grain.sizes, grain.weights, grain.offsets_mm, shares, strict=True)
        for number, (size, weight, offset, share) in enumerate(places, start=1):
            yield StripMovement(
                strip=number,
                size=size.name,
                species=wood.species.name if top.wood.others else None,
                share_pct=100.0 * part * float(weight),
                offset_from_pith_mm=float(offset),
                # Angle at which a plane piece would have the same share of tangential movement.
                ring_angle_deg=float(np.degrees(np.arccos(np.sqrt(share)))),
                coefficient_per_pct=radial + wood.apart * float(share),
            )
