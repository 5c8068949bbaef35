"""A place of the user's own: from records of air, completed where they are no whole year."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Annotated

import numpy as np

from woodmove.advice.air import fits
from woodmove.advice.air.fits import FileRead, Fitted, Lent
from woodmove.contract.notes import Assumption, Warning
from woodmove.contract.quantity import HUMIDITY, MOISTURE, TEMPERATURE
from woodmove.contract.refusal import Refusal
from woodmove.contract.shown import Shown, results
from woodmove.domain.air import ENOUGH_DAYS, AirSeries, MonthlyAir
from woodmove.domain.climate import MONTHS, Climate
from woodmove.domain.records import Weather
from woodmove.domain.species import Known
from woodmove.physics.air import relative_humidity_pct, vapour_pressure_kpa
from woodmove.physics.sorption import emc_pct
from woodmove.sources import Status

# So few days say nothing of a season (status: judgement).
FEWEST_DAYS = 7
DRIEST_RH_PCT = 5.0


@results
class LoggedMonth:
    """The air of a month as far as records cover it, and the EMC of its mean."""

    month: Annotated[str, Shown("month", None, "key")]
    days_logged: Annotated[int, Shown("days logged", None, "key")]
    temp_c: Annotated[float, Shown("temperature", TEMPERATURE, "key")]
    rh_pct: Annotated[float, Shown("RH", HUMIDITY, "key")]
    emc_pct: Annotated[float, Shown("EMC", MOISTURE, "key")]


@results
class PlaceMonth:
    """The air of a month, its EMC, and whether it was logged; None where nothing was."""

    month: Annotated[str, Shown("month", None, "key")]
    temp_c: Annotated[float, Shown("temperature", TEMPERATURE, "key")]
    rh_pct: Annotated[float, Shown("RH", HUMIDITY, "key")]
    emc_pct: Annotated[float, Shown("EMC", MOISTURE, "key")]
    known_by: Annotated[str | None, Shown("known by", None, "key")]


@dataclass(frozen=True)
class Completed:
    """Twelve months, some logged and some not.

    :param logged: which months the records cover
    :param temp_offset_c: of the records against the shape [°C]
    :param vapour_offset_kpa: of the records against the shape [kPa]
    """

    air: MonthlyAir
    logged: tuple[bool, ...]
    temp_offset_c: float
    vapour_offset_kpa: float
    notes: tuple[Assumption, ...]


def completed(records: AirSeries, shape: MonthlyAir, shape_words: str) -> Completed:
    """The year of partial records, the months that they lack taken from another place's seasons.

    Temperature and vapour pressure are those of the shape, each moved by its mean difference on the days
    of the records. A ratio of vapour pressures, found in winter, would make the summer a steam bath.
    Months with at least 20 days of records are as they were logged.

    :param shape: the air of the place that lends its seasons, in a room like that of the records
    :raises Refusal: fewer than a week of records
    """
    daily = records.daily()
    if len(daily.times) < FEWEST_DAYS:
        raise Refusal(
            "TOO_FEW_DAYS",
            f"The records cover {len(daily.times)} days.",
            f"At least {FEWEST_DAYS} days are needed to place them in a season.",
            "Log for longer.",
            fields=("files",),
        )
    temp, rh = shape.on_days(daily.days_of_year)
    offset = float(np.mean(daily.temp_c - temp))
    vapour, of_shape = (
        np.asarray(vapour_pressure_kpa(t, h)) for t, h in ((daily.temp_c, daily.rh_pct), (temp, rh))
    )
    more = float(np.mean(vapour - of_shape))
    temps = shape.temp_c + offset
    rhs = np.asarray(
        relative_humidity_pct(temps, np.asarray(vapour_pressure_kpa(shape.temp_c, shape.rh_pct)) + more)
    )
    within = np.clip(rhs, DRIEST_RH_PCT, 100.0)
    known = records.days_in_months() >= ENOUGH_DAYS
    months = records.monthly()
    air = MonthlyAir(np.where(known, months.temp_c, temps), np.where(known, months.rh_pct, within))
    lent = [MONTHS[month] for month in np.flatnonzero(~known)]
    notes: list[Assumption] = []
    if lent:
        notes.append(
            Assumption(
                "COMPLETED",
                "{months} were not logged on 20 days: they have the seasons of {shape}, moved by {warmer} °C "
                "and {more} kPa of vapour, as the logged days were.",
                {
                    "months": ", ".join(lent),
                    "shape": shape_words,
                    "warmer": f"{offset:+.1f}",
                    "more": f"{more:+.2f}",
                },
            )
        )
    if bool(np.any(np.abs(rhs - within)[~known] > 1e-9)):
        notes.append(
            Assumption(
                "HELD", "Some of these months would leave 5 to 100 % RH so, and are held at the bound."
            )
        )
    return Completed(air, tuple(bool(month) for month in known), offset, more, tuple(notes))


@dataclass(frozen=True)
class Made:
    """A place, how it was made, and what to know of it.

    :param form: of the weather file
    :param reads: the loggers' files
    :param fitted: the room that they tell of, beside a weather file
    """

    climate: Climate
    form: str | None = None
    reads: tuple[FileRead, ...] = ()
    fitted: Fitted | None = None
    logged: tuple[bool, ...] | None = None
    warnings: tuple[Warning, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    sources: tuple[str, ...] = ()


def of_numbers(key: str, name: str, months: Sequence[tuple[float, float]], *, indoors: bool) -> Made:
    """A place from the temperature [°C] and RH [%] of twelve months."""
    known = Known(Status.JUDGEMENT, "own-place", "Twelve months as they were typed.")
    temps_c, rhs_pct = zip(*months, strict=True)
    return Made(Climate(key, name, "", "", temps_c, rhs_pct, "as typed", known, indoors=indoors))


def of_logs(
    key: str,
    name: str,
    logs: Sequence[AirSeries],
    lend: Callable[[AirSeries], Lent] | None,
    reads: tuple[FileRead, ...],
    warnings: tuple[Warning, ...] = (),
    *,
    indoors: bool,
) -> Made:
    """A place from what loggers have kept, completed from the seasons of another where they lack months.

    :param lend: makes of the records the air that lends its seasons
    :param indoors: False where the loggers hung outdoors
    :raises Refusal: months that are not known, and nothing to complete them from
    """
    records = joined(logs)
    first, last = (str(time)[:10] for time in (records.times[0], records.times[-1]))
    missing = int((records.days_in_months() < ENOUGH_DAYS).sum())
    if missing and lend is None:
        raise Refusal(
            "NOT_A_YEAR",
            f"The records lack {missing} months (fewer than {ENOUGH_DAYS} days each).",
            "A place has twelve months. Those that were not logged follow from the air outdoors"
            + (", by a room that fits the log." if indoors else "."),
            "Add --place burlington, the place nearest to it.",
            fields=("place",),
            exit_code=2,
        )
    if missing and lend is not None:
        lent = lend(records)
        made = completed(records, lent.air, lent.words)
        air, logged, notes = made.air, made.logged, made.notes
        warnings += lent.warnings
        remark = f"Logged from {first} to {last}; {missing} months completed from {lent.words}."
    else:
        air, logged, notes = records.monthly(), (True,) * 12, ()
        remark = f"Logged from {first} to {last}."
    known = Known(Status.DERIVED if missing else Status.PUBLISHED, "own-log", remark)
    months = tuple(air.temp_c.tolist()), tuple(air.rh_pct.tolist())
    climate = Climate(key, name, "", "", *months, f"{first} to {last}", known, indoors=indoors)
    return Made(climate, reads=reads, logged=logged, warnings=warnings, assumptions=notes)


def of_weather(
    key: str,
    weather: Weather,
    logs: Sequence[AirSeries],
    lend: Callable[[AirSeries], Lent] | None,
    reads: tuple[FileRead, ...],
) -> Made:
    """A place from a weather file; loggers beside it are rooms there, and are checked against it."""
    warnings = tuple(note for note in weather.notes if isinstance(note, Warning))
    short = int((weather.air.days_in_months() < ENOUGH_DAYS).sum())
    if short:
        made = of_logs(key, weather.name, [weather.air], lend, (), warnings, indoors=False)
        climate, logged, notes = made.climate, made.logged, made.assumptions
    else:
        climate, logged, notes = replace(weather.climate(key), hours=None), None, ()
    if not logs:
        return Made(
            climate,
            weather.form,
            logged=logged,
            warnings=warnings,
            assumptions=(*notes, averaging_note(weather.air)),
        )
    hours = None if weather.typical else weather.air
    found = fits.fitted(joined(logs), replace(climate, hours=hours))
    return Made(
        climate,
        weather.form,
        reads,
        found,
        logged,
        (*warnings, *found.warnings),
        (*notes, *found.assumptions),
        found.sources,
    )


def joined(logs: Sequence[AirSeries]) -> AirSeries:
    """Several records as one; of two at the same time the first counts."""
    times = np.concatenate([log.times for log in logs])
    _, first = np.unique(times, return_index=True)
    temp, rh = (np.concatenate([getattr(log, name) for log in logs])[first] for name in ("temp_c", "rh_pct"))
    return AirSeries(times[first], temp, rh)


def held(records: AirSeries) -> MonthlyAir:
    """Twelve months of which those without records have the mean of the others."""
    months = records.monthly()
    temp, rh = (
        np.where(np.isnan(values), np.nanmean(values), values) for values in (months.temp_c, months.rh_pct)
    )
    return MonthlyAir(temp, rh)


def month_rows(records: AirSeries) -> tuple[LoggedMonth, ...]:
    """The months that records cover, for an Answer."""
    air, days = records.monthly(), records.days_in_months()
    known = np.flatnonzero(days)
    emc = MonthlyAir(air.temp_c[known], air.rh_pct[known]).emc_pct
    return tuple(
        LoggedMonth(
            month=MONTHS[m],
            days_logged=int(days[m]),
            temp_c=float(air.temp_c[m]),
            rh_pct=float(air.rh_pct[m]),
            emc_pct=value,
        )
        for m, value in zip(known.tolist(), emc.tolist(), strict=True)
    )


def month_rows_of(air: MonthlyAir, logged: Sequence[bool] | None) -> tuple[PlaceMonth, ...]:
    """Twelve months, for an Answer, each with where it comes from."""
    return tuple(
        PlaceMonth(
            month=month,
            temp_c=float(air.temp_c[number]),
            rh_pct=float(air.rh_pct[number]),
            emc_pct=float(air.emc_pct[number]),
            known_by=None if logged is None else "logged" if logged[number] else "completed",
        )
        for number, month in enumerate(MONTHS)
    )


def averaging_note(hours: AirSeries) -> Assumption:
    """Why EMC is formed of mean air."""
    months = hours.months
    hourly = np.asarray(emc_pct(hours.temp_c, np.clip(hours.rh_pct, 0.0, 100.0)))
    counts = np.bincount(months, minlength=12)
    known = np.flatnonzero(counts)
    means = np.bincount(months, weights=hourly, minlength=12)[known] / counts[known]
    air = hours.monthly()
    more = float(np.mean(means - MonthlyAir(air.temp_c[known], air.rh_pct[known]).emc_pct))
    if abs(more) < 0.05:
        return Assumption("MEANS_FIRST", "The records are averaged before the EMC is formed.")
    return Assumption(
        "MEANS_FIRST",
        "The records are averaged before the EMC is formed. The mean of the EMC of single records would be "
        "{more_points} higher here, for EMC bends upward near saturation; but wood does not follow the "
        "day, and published monthly EMC agree with the EMC of the means.",
        {"more_points": more},
    )
