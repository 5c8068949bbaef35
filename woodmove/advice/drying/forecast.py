"""When will these boards be ready, now that they have been read?"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Annotated

import numpy as np

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.doubt.inputs import BOUND_90
from woodmove.advice.drying.air import HORIZON_DAYS, Air
from woodmove.advice.drying.goal import PILE_POINTS, Goal, When, named
from woodmove.advice.drying.measure_next import (
    OVEN,
    WEIGHED_AGAIN_DAYS,
    MeasureNext,
    measure_next,
    oven_of,
    said,
    would_show,
)
from woodmove.advice.drying.readiness import (
    CAUTIONS,
    FOLLOWED_NO_MORE,
    days_gone,
    on_day,
    on_the_day,
    stacked_long_ago,
)
from woodmove.advice.drying.sampler import (
    OFFCUT_POINTS,
    OVEN_POINTS,
    START_TOLD,
    START_UNTOLD,
    WEEK_POINTS,
    Fit,
    ForecastSampler,
    Observation,
)
from woodmove.advice.drying.stock import Stock
from woodmove.contract.answer import Answer, Verdict
from woodmove.contract.notes import Assumption, Note, Warning, note
from woodmove.contract.plan import Dated
from woodmove.contract.quantity import CHANCE, HUMIDITY, MOISTURE, POINTS, RATIO, SCALE, Quantity
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal
from woodmove.contract.shown import Shown, results
from woodmove.domain.air import AirSeries
from woodmove.domain.meter import Meter, target_weight_g
from woodmove.domain.reading import OVEN_DRY, Reading, ReadingsLog
from woodmove.physics.arrays import Array
from woodmove.physics.diffusivity import DIFFUSIVITIES
from woodmove.physics.sorption import rh_for_mc_pct

# So many standard deviations beyond what boards of a pile scatter is unlike it (status: judgement).
UNLIKE = 2.5
# So many of the boards of a log are waited for (status: common practice).
WAITED_FOR = 0.9
# What the air is taken to be after the end of its log: the mean of so many days (status: judgement).
RECENT_DAYS = 14.0


@dataclass(frozen=True)
class Instrument:
    """What the readings were taken with.

    :param meter: kind of moisture meter
    :param setting: key of the species that it is set to, empty for the wood itself
    """

    meter: Meter
    setting: str = ""

    def moisture_pct(self, reading: Reading, species: str = "") -> float | None:
        """What a reading says [%]: by the oven, else by the meter, corrected; None for a weight.

        :param species: key of the wood, to translate the meter's setting; empty to leave it as it is
        """
        if reading.mc_pct is None:
            return reading.dried_pct
        setting = self.setting if species else ""
        return self.meter.corrected(reading.mc_pct, reading.wood_temp_c, species, setting).mc_pct


def sights_of(
    readings: Sequence[Reading], start: date, stock: Stock, instrument: Instrument
) -> tuple[list[Observation], float]:
    """Readings as the fit takes them, corrected; the largest doubt that the corrections leave [points]."""
    sights: list[Observation] = []
    bound = 0.0
    for reading in readings:
        day = float((reading.day - start).days)
        if reading.dried_pct is not None:
            sights.append(Observation(day, reading.dried_pct, way="oven", sd_points=OVEN_POINTS))
            continue
        mc = None
        if reading.mc_pct is not None:
            corrected = instrument.meter.corrected(
                reading.mc_pct, reading.wood_temp_c, stock.wood.species.key, instrument.setting
            )
            mc, bound = corrected.mc_pct, max(bound, corrected.bound_points)
        depth = None
        if reading.depth_mm is not None and instrument.meter.principle == "pin":
            depth = min(reading.depth_mm / stock.thickness_mm, 1.0)
        weight = reading.weight_g if mc is None else None
        sights.append(Observation(day, mc, weight, depth))
    return sights, bound


def offcuts_of(log: ReadingsLog, start: date, air: Air) -> list[Observation]:
    """What the offcuts in the room say of where this wood ends: more where the air was logged."""
    sd_points = float(np.hypot(OFFCUT_POINTS, WEEK_POINTS if air.sd_points else 0.0))
    return [
        Observation(float((reading.day - start).days), reading.dried_pct, way="offcut", sd_points=sd_points)
        for reading in log.offcuts
    ]


def _checks_of_meter(by_board: Mapping[str, Sequence[Observation]], but: str) -> Iterator[Observation]:
    """By how much the meter read more than the oven, on each other board that was read both ways on a day."""
    for board, sights in by_board.items():
        for oven in (sight for sight in sights if sight.way == "oven" and board != but):
            shown = [
                sight.mc_pct
                for sight in sights
                if sight.way == "meter" and sight.mc_pct is not None and sight.day == oven.day
            ]
            if shown and oven.mc_pct is not None:
                more = float(np.mean(shown)) - oven.mc_pct
                sd_points = float(np.hypot(OVEN_POINTS, doubt.METER_NOISE.sd * len(shown) ** -0.5))
                yield Observation(oven.day, more, way="check", sd_points=sd_points)


def first_reading(log: ReadingsLog) -> Reading:
    """The oldest reading of a board.

    :raises Refusal: no reading of a board; the first of its rows that is wrong, where none is right
    """
    if not log.of_boards:
        if log.faults:
            raise log.faults[0]
        raise Refusal(
            "NO_READINGS",
            f"{log.path} holds no reading that counts.",
            "A forecast needs at least one reading.",
            f"Type woodmove readings add {log.path} A1 12.5, for example.",
            fields=("log",),
        )
    return min(log.of_boards, key=lambda reading: reading.day)


def _first_since(log: ReadingsLog, start: date) -> Reading:
    """The first reading of a log.

    :raises Refusal: it is of a day before `start`
    """
    first = first_reading(log)
    early = min(log.readings, key=lambda reading: reading.day)
    if early.day < start:
        raise Refusal(
            "BEFORE_THE_START",
            f"{log.path} has a reading of {early.day.isoformat()}, and the boards were stacked on "
            f"{start.isoformat()}.",
            "The boards are followed from the day on which they came into this air.",
            f"Type --from {early.day.isoformat()}, or an earlier day.",
            fields=("from_date",),
            file=log.path,
            line=early.line or None,
        )
    return first


DAYS_LEFT = Quantity("days_left", ("days", 1, 1), ("days", 1, 1))


@results
class BoardOfLog:
    """A board of a log: when it is ready, and how fast it follows the air beside its species."""

    board: Annotated[str, Shown("board", None, "key")]
    readings: Annotated[int, Shown("readings", None, "key")]
    mc_now_pct: Annotated[Range, Shown("MC now", MOISTURE, "key")]
    days_left: Annotated[Range | None, Shown("days left", DAYS_LEFT)]
    ready_even_on: Annotated[date | None, Shown("ready, as likely as not, on", None, "key")]
    ready_likely_on: Annotated[date | None, Shown("ready, 8 in 10, on", None, "key")]
    keeps_until: Annotated[date | None, Shown("keeps until")]
    never_ready_pct: Annotated[float, Shown("never ready", CHANCE)]
    speed_ratio: Annotated[Range, Shown("speed", RATIO, "key")]
    target_weight_g: Annotated[Range | None, Shown("ready at a weight of", SCALE, "key")]
    mc_at_build_pct: Annotated[Range | None, Shown("MC on the build day", MOISTURE)]


@results
class Forecast:
    """When the boards of a log are ready; no dates where this air never makes them so."""

    last_reading: Annotated[date, Shown("last reading")]
    target_mc_pct: Annotated[float, Shown("target MC", MOISTURE, "key")]
    mc_now_pct: Annotated[Range, Shown("MC now", MOISTURE, "key")]
    boards_waited_for: Annotated[int, Shown("boards waited for", None, "key")]
    ready_even_on: Annotated[date | None, Shown("ready, as likely as not, on", None, "headline")]
    ready_likely_on: Annotated[date | None, Shown("ready, 8 in 10, on")]
    keeps_until: Annotated[date | None, Shown("keeps until")]
    never_ready_pct: Annotated[float, Shown("chance that this air never makes it ready", CHANCE)]
    still_to_wait: Annotated[str | None, Shown("still to wait")]
    mc_at_build_pct: Annotated[Range | None, Shown("MC on the build day", MOISTURE)]
    chance_pct: Annotated[float | None, Shown("chance that they are ready then", CHANCE)]
    measure_next: Annotated[Note | None, Shown("measure next", None, "key")]
    measures: Annotated[tuple[MeasureNext, ...], Shown("what to measure next")]
    boards: Annotated[tuple[BoardOfLog, ...], Shown("boards", None, "key")]
    checks: Annotated[tuple[Dated, ...], Shown("dated checks")]


_SOURCES = ("siau-transport", "nordic-creep", "sonderegger-2011", "simpson-1973")


def forecast(
    log: ReadingsLog,
    stock: Stock,
    air: Air,
    goal: Goal,
    instrument: Instrument,
    start: date,
    draws: Draws,
    *,
    today: date,
    build: date | None = None,
    start_told: bool,
    model: str = "synthesis",
) -> Answer[Forecast]:
    """The day on which each board of a log will be ready, as a Range, and what does not fit.

    :param today: before which it is not asked for; that of the last reading where that is later
    :param build: day on which they must be ready, None where nobody said so
    :param stock: the boards, with their MC at the start as it is told
    :param start_told: False where that MC is only what the first readings show
    :param air: what they stand in from `start` on
    :raises Refusal: no reading, one before the start, or unknown density
    """
    early = _first_since(log, start)
    last = max(reading.day for reading in log.readings)
    today = max(today, last)
    now = days_gone(start, today)
    at_build = None if build is None else float((build - start).days)
    if at_build is not None and not 0.0 <= at_build <= HORIZON_DAYS:
        at_build = None
    by_board = {board: sights_of(log.of(board), start, stock, instrument) for board in log.boards}
    bound = max(bound for _, bound in by_board.values())
    bias = replace(doubt.METER_BIAS, sd=(doubt.METER_BIAS.sd**2 + (bound / BOUND_90) ** 2) ** 0.5)
    learner = ForecastSampler(
        stock,
        air,
        goal,
        [float((reading.day - start).days) for reading in log.readings],
        float((last - start).days),
        draws,
        since=now,
        also=[day for day in (now, now + WEIGHED_AGAIN_DAYS, at_build) if day is not None],
        start_sd=START_TOLD if start_told else START_UNTOLD,
        bias=bias,
        model=model,
    )
    sights = {board: sights for board, (sights, _) in by_board.items()}
    offcuts = offcuts_of(log, start, air)
    fits = {
        board: learner.fit([*own, *offcuts, *_checks_of_meter(sights, board)])
        for board, own in sights.items()
    }
    rows = tuple(_row(board, fit, sights[board], goal, start, now, at_build) for board, fit in fits.items())
    warnings: list[Warning] = [
        note for board, fit in fits.items() for note in _odd(board, fit, sights[board], log.of(board))
    ]
    warnings += _never(fits, goal, air, now) if now < HORIZON_DAYS else stacked_long_ago(start, now)
    warnings += _unlike(fits, sights)
    lot = _lot([fit.when for fit in fits.values()], now)
    late = [board for board, fit in fits.items() if lot.even is None or (fit.when.even or np.inf) > lot.even]
    worth = _measures(fits, lot, now, air)
    found = _found(rows, lot, late, goal, last, start, at_build, worth)
    warnings += on_the_day(found.chance_pct, found.mc_at_build_pct, build, today)
    weighed = any(reading.weight_g is not None for reading in log.readings)
    return Answer(
        FOLLOWED_NO_MORE if now >= HORIZON_DAYS else _verdict(lot, late, len(fits), goal, start, now, air),
        found,
        (
            *air.notes,
            *log_warnings(log),
            *warnings,
            *_range_of_meter(log, instrument),
            *CAUTIONS,
            *(oven_of(worth) or ((OVEN,) if weighed else ())),
            _followed(start, early.day),
            *_assumptions(stock, air, goal, instrument, learner, start_told, bound, model),
        ),
        (*_SOURCES, instrument.meter.known.source, *(("astm-d4442",) if weighed else ())),
    )


def _found(
    rows: tuple[BoardOfLog, ...],
    lot: When,
    late: Sequence[str],
    goal: Goal,
    last: date,
    start: date,
    at_build: float | None,
    worth: tuple[MeasureNext, ...],
) -> Forecast:
    even_on = on_day(start, lot.even)
    there = [row.mc_at_build_pct for row in rows if row.mc_at_build_pct is not None]
    return Forecast(
        last_reading=last,
        target_mc_pct=goal.target_pct,
        mc_now_pct=_pile([row.mc_now_pct for row in rows]),
        boards_waited_for=_waited_for(len(rows)),
        ready_even_on=even_on,
        ready_likely_on=on_day(start, lot.likely),
        keeps_until=on_day(start, lot.until),
        never_ready_pct=lot.never_pct,
        still_to_wait=", ".join(late) if late and lot.even is not None else None,
        mc_at_build_pct=_pile(there) if there else None,
        chance_pct=None if at_build is None else lot.chance_pct(at_build),
        measure_next=said(worth),
        measures=worth,
        boards=rows,
        checks=() if even_on is None else (Dated(date=even_on, check=READY(when=start)),),
    )


def _measures(fits: Mapping[str, Fit], lot: When, now: float, air: Air) -> tuple[MeasureNext, ...]:
    """What to measure next, of the board that is ready last of those that ever are."""
    waits = {board: fit for board, fit in fits.items() if fit.when.even is not None and fit.when.even > now}
    if lot.even is None or lot.even <= now or not waits:
        return ()
    board = max(waits, key=lambda name: waits[name].when.even or 0.0)
    fit = waits[board]

    def likeliest_first(values: Array) -> Array:
        return np.concatenate(([float(fit.weight @ values)], values))

    today, later = (likeliest_first(fit.mc_on(day)) for day in (now, now + WEIGHED_AGAIN_DAYS))
    off = likeliest_first(fit.off)
    seen = would_show(mean_now=today, mean_later=later, off=off, logged=not air.sd_points, board=board)
    return measure_next(fit.ready - now, fit.weight, tuple(seen))


def _row(
    board: str,
    fit: Fit,
    sights: Sequence[Observation],
    goal: Goal,
    start: date,
    now: float,
    at_build: float | None,
) -> BoardOfLog:
    days = fit.when
    # From its last weight, and how wet the fit makes it on that day.
    weights = [(sight.day, sight.weight_g) for sight in sights if sight.weight_g is not None]
    weight = None
    if weights:
        day, weight_g = weights[-1]
        weight = fit.range(np.asarray(target_weight_g(weight_g, fit.mc_on(day), goal.target_pct)))
    return BoardOfLog(
        board=board,
        readings=len(sights),
        mc_now_pct=fit.range(fit.mc_on(now)),
        days_left=_left(fit, now),
        ready_even_on=on_day(start, days.even),
        ready_likely_on=on_day(start, days.likely),
        keeps_until=on_day(start, days.until),
        never_ready_pct=days.never_pct,
        speed_ratio=fit.range(fit.factor),
        target_weight_g=weight,
        mc_at_build_pct=None if at_build is None else fit.range(fit.mc_on(at_build)),
    )


def _left(fit: Fit, now: float) -> Range | None:
    """Days from now until it is ready, about the day that is an even chance; None where there is none."""
    if fit.when.even is None:
        return None
    found, even = fit.range(fit.ready), fit.when.even
    return Range(even - now, max(min(found.low, even) - now, 0.0), max(found.high, even) - now)


def _waited_for(boards: int) -> int:
    """How many boards of a log are waited for: of 20 boards 18."""
    return math.ceil(WAITED_FOR * boards - 1e-9)


def _pile(boards: Sequence[Range]) -> Range:
    """The mean of boards whose doubts all point one way: what they share, meter and air, is most of it."""
    expected, low, high = np.mean([(each.expected, each.low, each.high) for each in boards], axis=0)
    return Range(expected, low, high)


def _lot(boards: Sequence[When], now: float) -> When:
    """When nine tenths of the boards are ready.

    What boards share, meter, room and air, moves them alike; the rest is each one's own. Where all is shared
    the chance is that of the last board waited for; where nothing is, it is that of a sum of their chances.
    The lesser of the two is taken.
    """
    needed = _waited_for(len(boards))
    chances = np.array([board.chance for board in boards])
    alike = np.sort(chances, axis=0)[len(boards) - needed]
    apart = np.zeros((len(boards) + 1, chances.shape[1]))
    apart[0] = 1.0
    for chance in chances:
        apart[1:] = apart[1:] * (1.0 - chance) + apart[:-1] * chance
        apart[0] *= 1.0 - chance
    chance = np.minimum(alike, apart[needed:].sum(axis=0))
    never_pct = float(np.sort([board.never_pct for board in boards])[needed - 1])
    return named(chance, never_pct, now, np.concatenate([board.first for board in boards]))


READY = note(
    "READY",
    "By its log the lumber stacked on {when} should be ready: meter the middle and the surface before you "
    "plane.",
    when=None,
)
GO = note("READY_NOW", "Ready: {boards_are} within {within_points} of {target_mc_pct}, core and shell too.",
          boards_are=None, within_points=POINTS, target_mc_pct=MOISTURE)  # fmt: skip
METER_FIRST = note("METER_FIRST", "a reading in the middle and at the surface of each board")
WAIT = note(
    "WAIT", "{boards}: even chance on {even}, 8 in 10 on {likely}.", boards=None, even=None, likely=None
)
WAIT_UNSURE = note(
    "WAIT", "{boards}: even chance on {even}; this air does not get to 8 in 10.", boards=None, even=None
)
STILL = note("STILL_TO_WAIT", "{boards} still {verb} to wait.", boards=None, verb=None)
KEEPS = note("KEEPS", "{they_keep} until {day}.", they_keep=None, day=None)
NEVER = note(
    "NEVER_READY",
    "Waiting does not help: this air does not bring them to {target_mc_pct}.",
    target_mc_pct=MOISTURE,
)
HOLD = note("HOLD", "Hold the air around them at {rh_pct} RH.", rh_pct=HUMIDITY)


def _verdict(
    lot: When, late: Sequence[str], count: int, goal: Goal, start: date, now: float, air: Air
) -> Verdict:
    boards = f"{_waited_for(count)} of {count} boards" if count > 1 else "the board"
    if lot.even is None:
        rh_pct = float(rh_for_mc_pct(float(air.at(np.array([now]))[0][0]), goal.target_pct))
        return Verdict("stop", (NEVER(target_mc_pct=goal.target_pct), HOLD(rh_pct=rh_pct)))
    few = () if not late else (STILL(boards=", ".join(late[:6]), verb="has" if len(late) == 1 else "have"),)
    keeps = (
        ()
        if lot.until is None
        else (KEEPS(they_keep="They keep" if count > 1 else "It keeps", day=on_day(start, lot.until)),)
    )
    if lot.even <= now:
        are = f"{boards} {'are' if count > 1 else 'is'}"
        go = GO(boards_are=are, within_points=goal.tolerance_points, target_mc_pct=goal.target_pct)
        return Verdict("go", (go, *few, *keeps), (METER_FIRST(),))
    even = on_day(start, lot.even)
    first = (
        WAIT_UNSURE(boards=boards.capitalize(), even=even)
        if lot.likely is None
        else WAIT(boards=boards.capitalize(), even=even, likely=on_day(start, lot.likely))
    )
    return Verdict("wait", (first, *few, *keeps))


def _odd(board: str, fit: Fit, sights: Sequence[Observation], readings: Sequence[Reading]) -> list[Warning]:
    return [
        Warning(
            "ODD_READING",
            "{board}, {day} (line {line}): {mc_pct} does not fit the other readings, which make it "
            "{fitting_pct}: a knot, a wet or resinous spot, pins at another depth, or a wrong species "
            "setting? It hardly counts.",
            {
                "board": board, "day": reading.day, "line": reading.line, "mc_pct": sight.mc_pct,
                "fitting_pct": expected,
            },
        )
        # What the other boards and the room say stands behind its own.
        for sight, reading, expected, odd in zip(sights, readings, fit.expected, fit.odd, strict=False)
        if odd > 0.5
    ]  # fmt: skip


def _never(fits: Mapping[str, Fit], goal: Goal, air: Air, now: float) -> list[Warning]:
    """The boards that this air may never make ready, or never will."""
    chances = {board: float(fit.weight @ (fit.ready >= HORIZON_DAYS - 1)) for board, fit in fits.items()}
    maybe = [board for board, chance in chances.items() if 0.05 <= chance < 0.5]
    never = [board for board, chance in chances.items() if chance >= 0.5]
    notes: list[Warning] = []
    if maybe:
        notes.append(
            Warning(
                "MAYBE_NEVER",
                "{boards}: never ready in this air, with a chance of up to {chance}.",
                {
                    "boards": ", ".join(maybe),
                    "chance": f"{100 * max(chances[board] for board in maybe):.0f} %",
                },
            )
        )
    if never:
        temp, emc = air.at(np.array([now, HORIZON_DAYS]))
        notes.append(
            Warning(
                "NEVER_READY",
                "{boards}: never at {target_mc_pct} ± {tolerance_points} and even in this air, whose EMC is "
                "{air_emc_pct}. At {temp_c} that takes {rh_pct} RH.",
                {
                    "boards": ", ".join(never), "target_mc_pct": goal.target_pct,
                    "tolerance_points": goal.tolerance_points, "air_emc_pct": float(emc[0]),
                    "temp_c": float(temp[0]), "rh_pct": float(rh_for_mc_pct(float(temp[0]), goal.target_pct)),
                },
            )
        )  # fmt: skip
    return notes


def _unlike(fits: Mapping[str, Fit], by_board: Mapping[str, Sequence[Observation]]) -> list[Warning]:
    """Boards that differ from the middle of their pile by more than boards of a pile scatter: in what they
    read on the same days, where the meter's own error cancels, or in how fast they follow the air."""
    if len(fits) < 3:
        return []
    of_day: dict[float, list[float]] = {}
    for sight in (sight for sights in by_board.values() for sight in sights):
        if sight.mc_pct is not None and sight.way == "meter":
            of_day.setdefault(sight.day, []).append(sight.mc_pct)
    for values in of_day.values():
        values.sort()
    notes: list[Warning] = []
    for board, sights in by_board.items():
        own: dict[float, list[float]] = {}
        for sight in sights:
            if sight.mc_pct is not None and sight.way == "meter":
                own.setdefault(sight.day, []).append(sight.mc_pct)
        off = [
            mc - middle
            for day, shown in own.items()
            if (middle := _middle_of_others(of_day[day], shown)) is not None
            for mc in shown
        ]
        middle = float(np.median(off)) if off else 0.0
        doubtful = (doubt.METER_NOISE.sd**2 / max(len(off), 1) + PILE_POINTS**2) ** 0.5
        if len(off) > 1 and abs(middle) > UNLIKE * doubtful:
            notes.append(
                Warning(
                    "UNLIKE_ITS_PILE",
                    "{board} is unlike its pile: it reads {off_points} {way} than the others on the same "
                    "days. Another species, a wet streak, a wrong setting, or its label?",
                    {"board": board, "off_points": abs(middle), "way": "more" if middle > 0 else "less"},
                )
            )
    speeds = {board: fit.spread(np.log(fit.factor)) for board, fit in fits.items()}
    for board, (mean, sd) in speeds.items():
        middle = float(np.median([other for key, (other, _) in speeds.items() if key != board]))
        if abs(mean - middle) > UNLIKE * (sd**2 + doubt.DIFFUSIVITY.sd**2) ** 0.5:
            notes.append(
                Warning(
                    "UNLIKE_ITS_PILE",
                    "{board} is unlike its pile: it follows the air {times} times as fast as the others. "
                    "Another species, or another thickness?",
                    {"board": board, "times": f"{np.exp(mean - middle):.2g}"},
                )
            )
    return notes


def _middle_of_others(rising: Sequence[float], own: Sequence[float]) -> float | None:
    """The median of what all boards read but one; None where the others read fewer than twice. They are
    sorted once for all boards, not anew for each."""
    others = list(rising)
    for mc in own:
        others.remove(mc)
    last = len(others) - 1
    return (others[last // 2] + others[(last + 1) // 2]) / 2.0 if last > 0 else None


def log_warnings(log: ReadingsLog) -> tuple[Warning, ...]:
    """The rows of a log that cannot be read, by line."""
    return tuple(
        Warning(
            "BAD_ROW",
            "Line {line} of the log is left out: {wrong}",
            {"line": fault.line, "wrong": fault.wrong.removeprefix(f"{log.path}: ")},
        )
        for fault in log.faults
    )


def _range_of_meter(log: ReadingsLog, instrument: Instrument) -> tuple[Warning, ...]:
    meter = instrument.meter
    outside = [
        reading
        for reading in log.readings
        if reading.mc_pct is not None and not meter.low_pct <= reading.mc_pct <= meter.high_pct
    ]
    if not outside:
        return ()
    return (
        Warning(
            "OUTSIDE_METER_RANGE",
            "{count} readings lie outside {low_pct} to {high_pct}, where this kind of meter is reliable.",
            {"count": len(outside), "low_pct": meter.low_pct, "high_pct": meter.high_pct},
            validity=True,
        ),
    )


def _followed(start: date, first: date) -> Assumption:
    why = "the day of their first reading" if start == first else "the day on which they were stacked"
    return Assumption("FOLLOWED_FROM", f"The boards are followed from {{day}} on, {why}.", {"day": start})


def _assumptions(
    stock: Stock,
    air: Air,
    goal: Goal,
    instrument: Instrument,
    learner: ForecastSampler,
    start_told: bool,
    bound: float,
    model: str,
) -> tuple[Assumption, ...]:
    notes = [
        Assumption(
            "FIT",
            "Each board has its own diffusivity and surface emission, within a factor of {diffusivity} and "
            "of {emission} of its species as 90 % bounds before it was read; a reading scatters by "
            "{noise_points}, and the meter may be off by {bias_points} in all of them. The day is the "
            "median, its bounds hold 90 %.",
            {
                "diffusivity": f"{np.exp(doubt.DIFFUSIVITY.sd * BOUND_90):.1f}",
                "emission": f"{np.exp(doubt.EMISSION.sd * BOUND_90):.1f}",
                "noise_points": doubt.METER_NOISE.sd,
                "bias_points": learner.bias.sd * BOUND_90,
            },
        ),
        Assumption("AIR", "The air: {air}.", {"air": air.words}),
        Assumption("TARGET", "The target is {words}.", {"words": goal.words}),
        Assumption(
            "DIFFUSIVITY",
            "Diffusivity {model} ({remark}).",
            {"model": model, "remark": DIFFUSIVITIES[model].remark},
        ),
    ]
    if not start_told:
        notes.append(
            Assumption(
                "START",
                "How wet the boards were at the start is not told: the first readings say so, {mc_pct} ± "
                "{within_points}.",
                {"mc_pct": stock.mean_pct, "within_points": START_UNTOLD * BOUND_90},
            )
        )
    if bound:
        notes.append(
            Assumption(
                "UNKNOWN_PAIR",
                "Nothing translates the meter's setting to this wood: all its readings may be off by "
                "{bound_points} more.",
                {"bound_points": bound},
            )
        )
    if instrument.meter.calibrated_c is not None:
        notes.append(
            Assumption(
                "WOOD_TEMPERATURE",
                "Readings with a wood temperature are corrected for it; the others are taken at {temp_c}.",
                {"temp_c": instrument.meter.calibrated_c},
            )
        )
    return tuple(notes)


def logged_air(series: AirSeries, start: date, after: Air | None) -> Air:
    """The air that a logger has kept, from the day of stacking on, and what comes after it.

    Days are averaged before the EMC is formed: wood does not follow the hours, and the EMC of hours
    near saturation would pull the mean up.

    :param after: the air from the end of the log on, its days counted from `start`; None to hold the mean
        of the last two weeks
    :raises Refusal: a log that ends before the start
    """
    daily = series.daily()
    days = (daily.times - np.datetime64(start, "s")).astype(float) / 86400.0 + 0.5
    kept = days >= -1.0
    if not kept.any():
        raise Refusal(
            "LOG_TOO_EARLY",
            f"The log of the air ends on {daily.times[-1].astype('datetime64[D]')}, before the lumber was "
            f"stacked on {start.isoformat()}.",
            "A log counts from the day of stacking on.",
            "Log the air where the lumber stands, or leave --air out.",
            fields=("air_file",),
        )
    days, temp, rh = days[kept], daily.temp_c[kept], daily.rh_pct[kept]
    end = float(days[-1])
    if after is None:
        recent = days > end - RECENT_DAYS
        later, temps, rhs = np.array([end + 1.0]), [temp[recent].mean()], [rh[recent].mean()]
        words = f"logged until {daily.times[-1].astype('datetime64[D]')}, then the mean of its last two weeks"
    else:
        later = np.arange(end + 1.0, HORIZON_DAYS + 1.0, 5.0)
        temps, rhs = (np.interp(later, after.days, values) for values in (after.temp_c, after.rh_pct))
        words = f"logged until {daily.times[-1].astype('datetime64[D]')}, then {after.words}"
    return Air(np.concatenate((days, later)), np.concatenate((temp, temps)), np.concatenate((rh, rhs)), words)


def first_mc_pct(log: ReadingsLog, instrument: Instrument) -> float:
    """Mean of the first moisture of each board, by the oven or by the meter, corrected for temperature [%].

    :raises Refusal: no moisture of a board
    """
    firsts: list[float] = []
    for board in log.boards:
        shown = (instrument.moisture_pct(reading) for reading in log.of(board))
        firsts += [mc for mc in shown if mc is not None][:1]
    if not firsts:
        raise Refusal(
            "NO_MC_AT_START",
            f"{log.path} holds weights only, and nothing says how wet the boards were.",
            "Weights tell how fast a board changes; a moisture content tells where it began.",
            "Type --mc-now 13, the moisture content on the day of stacking, or meter a board once.",
            fields=("stock_mc_pct",),
        )
    return float(np.mean(firsts))


def latest_mc(
    log: ReadingsLog, instrument: Instrument, species: str, within_days: int
) -> tuple[float, date, int, int]:
    """Moisture content of the pile on the last visit [%]: mean of the boards' means; its last day, the number
    of readings and of boards.

    :param within_days: readings of so many days before the last one belong to the visit
    :raises Refusal: no moisture of a board
    """
    found = [
        (reading, mc)
        for reading in log.of_boards
        if (mc := instrument.moisture_pct(reading, species)) is not None
    ]
    if not found:
        if log.faults:
            raise log.faults[0]
        raise Refusal(
            "NO_METER_READING",
            f"{log.path} holds no meter reading that counts.",
            "The plan needs a moisture content; weights alone tell none.",
            f"Type woodmove readings add {log.path} A1 12.5, for example.",
            fields=("readings_log",),
        )
    day = max(reading.day for reading, _ in found)
    visit = [(reading, mc) for reading, mc in found if (day - reading.day).days <= within_days]
    # A slice that was dried beats the meter on its board.
    dried = {reading.board for reading, _ in visit if reading.kind == OVEN_DRY}
    by_board: dict[str, list[float]] = {}
    for reading, mc in visit:
        if reading.kind == OVEN_DRY or reading.board not in dried:
            by_board.setdefault(reading.board, []).append(mc)
    mean = float(np.mean([np.mean(values) for values in by_board.values()]))
    return mean, day, sum(map(len, by_board.values())), len(by_board)
