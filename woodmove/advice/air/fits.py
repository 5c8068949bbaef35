"""Which room makes the air that a logger has kept out of the air outdoors?

Temperature tells the heating, vapour tells the gain; and where outdoor air was recorded at the same
hours, how soon vapour follows it tells how often the room changes its air.
"""

from dataclasses import dataclass
from typing import Annotated

import numpy as np

from woodmove.contract.answer import Answer, Verdict
from woodmove.contract.notes import Assumption, Warning, note
from woodmove.contract.quantity import MOISTURE, POINTS, RATE, TEMPERATURE, VAPOUR, Quantity
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal
from woodmove.contract.shown import Shown, results
from woodmove.domain.air import ENOUGH_DAYS, AirSeries, MonthlyAir
from woodmove.domain.climate import MONTHS, Climate
from woodmove.domain.room import MOISTURE_GAIN_KPA, Room
from woodmove.physics.air import relative_humidity_pct, vapour_pressure_kpa
from woodmove.physics.arrays import Array

FEWEST_DAYS = 14
HEATINGS_C = np.arange(0.0, 40.01, 0.1)
# Air changes that are tried [1/h]; the last one follows so fast that nothing more could be told.
CHANGES_PER_H = np.geomspace(0.03, 6.0, 60)
# A rate fits as well as the best one if it misses by no more than this much more (status: judgement).
AS_WELL = 1.05
# When it is colder outdoors, a room that is ever heated is heated, and the vapour that is added shows: a log
# that never saw it so cold tells neither (status: judgement).
HEATED_BELOW_C = 10.0

# A difference of temperatures.
KELVIN = Quantity("_k", ("K", 0.1, 0.1), ("K", 0.1, 0.1))


@results
class FileRead:
    """What was understood of a logger's file, what was dropped, and why."""

    file: Annotated[str, Shown("file", None, "key")]
    understood: Annotated[str, Shown("understood", None, "key")]
    dropped: Annotated[str, Shown("dropped", None, "key")]
    why: Annotated[str, Shown("why", None, "key")]


@results
class RoomOfLog:
    """The room behind a logger's air, and how near it comes; of an open room nothing is heated or added.

    The air change is None where the records cannot tell it.
    """

    understood: Annotated[str, Shown("understood")]
    dropped: Annotated[str, Shown("dropped")]
    why: Annotated[str, Shown("why")]
    room: Annotated[str, Shown("room")]
    days_compared: Annotated[int, Shown("days compared")]
    heat_to_c: Annotated[float | None, Shown("heated to", TEMPERATURE, "key")]
    gain_kpa: Annotated[float | None, Shown("moisture gain", VAPOUR, "key")]
    nearest_class: Annotated[int | None, Shown("nearest class")]
    air_change_per_h: Annotated[Range | None, Shown("air change", RATE)]
    temp_error_k: Annotated[float, Shown("temperature error", KELVIN)]
    rh_error_points: Annotated[float, Shown("RH error", POINTS)]
    emc_error_points: Annotated[float, Shown("EMC error", POINTS, "headline")]
    emc_bias_points: Annotated[float, Shown("EMC bias", POINTS)]
    year_emc_low_pct: Annotated[float, Shown("EMC in its driest month", MOISTURE, "key")]
    year_emc_high_pct: Annotated[float, Shown("EMC in its dampest month", MOISTURE, "key")]


@dataclass(frozen=True)
class RoomFit:
    """A room, and how well it explains what was logged. Errors are of days, or of months where the outdoor
    air is that of a normal year, which knows no days.

    :param gain_kpa: vapour that it adds at or below 0 °C outdoors [kPa], falling to nothing at 20 °C
    :param changes_per_h: how often the room changes its air, None where the records cannot tell
    :param coldest_c: outdoors, on the coldest of the days [°C]
    :param errors: root mean square and mean of logged less computed, by quantity
    """

    indoor: str
    heat_to_c: float
    gain_kpa: float
    changes_per_h: Range | None
    days: int
    coldest_c: float
    errors: dict[str, float]

    @property
    def heated(self) -> bool:
        """False for an open room, which is not heated and adds nothing."""
        return self.indoor != "open"

    @property
    def gain_class(self) -> int:
        """The internal humidity class whose upper limit is nearest."""
        return min(MOISTURE_GAIN_KPA, key=lambda number: abs(MOISTURE_GAIN_KPA[number] - self.gain_kpa))

    @property
    def options(self) -> str:
        """What is typed for this room, or for the nearest that can be."""
        if self.indoor == "open":
            return "--room open"
        words = f"{self.indoor} heat_to={self.heat_to_c:g}C moisture_gain={self.gain_class}"
        return f"--room '{words}'"


@dataclass(frozen=True)
class Lent:
    """A year whose seasons fill the months that were not logged.

    :param air: its months, outdoors or in a room as the records are
    :param words: whose it is
    :param warnings: what to know of it
    """

    air: MonthlyAir
    words: str
    warnings: tuple[Warning, ...] = ()


def fit_room(indoor: AirSeries, outdoor: AirSeries | MonthlyAir) -> RoomFit:
    """Heating, moisture gain and air change of a room, by least squares.

    :param outdoor: records of the same days, or the months of a normal year, which cannot tell the air change
    :raises Refusal: fewer than 14 days in common
    """
    if isinstance(outdoor, AirSeries):
        hours_in, hours_out = _hourly(indoor, outdoor)
        changes = _air_change(hours_in, hours_out)
        inside, outside = hours_in.daily(), hours_out.daily()
        temp_out, rh_out = outside.temp_c, outside.rh_pct
    else:
        changes = None
        inside = indoor.daily()
        if len(inside.times) < FEWEST_DAYS:
            raise _too_few(len(inside.times), "Log for longer.")
        temp_out, rh_out = outdoor.on_days(inside.days_of_year)
    kind, heat = _heating(inside.temp_c, temp_out)
    share = _gain_share(temp_out)
    out = np.asarray(vapour_pressure_kpa(temp_out, rh_out))
    excess = np.asarray(vapour_pressure_kpa(inside.temp_c, inside.rh_pct)) - out
    gain = max(float(excess @ share) / max(float(share @ share), 1e-12), 0.0) if kind != "open" else 0.0
    made = _made(kind, heat, gain, MonthlyAir(temp_out, rh_out))
    computed = AirSeries(inside.times, made.temp_c, made.rh_pct)
    errors = _errors(inside, computed, not isinstance(outdoor, AirSeries))
    return RoomFit(kind, heat, gain, changes, len(inside.times), float(temp_out.min()), errors)


def _made(kind: str, heat_to_c: float, gain_kpa: float, outdoor: MonthlyAir) -> MonthlyAir:
    """The air that a room of this kind makes of the air outdoors."""
    temp = {
        "open": outdoor.temp_c,
        "heated": np.maximum(outdoor.temp_c, heat_to_c),
        "conditioned": np.full_like(outdoor.temp_c, heat_to_c),
    }[kind]
    vapour = np.asarray(vapour_pressure_kpa(outdoor.temp_c, outdoor.rh_pct))
    vapour = vapour + gain_kpa * _gain_share(outdoor.temp_c)
    return MonthlyAir(temp, np.clip(np.asarray(relative_humidity_pct(temp, vapour)), 0.0, 100.0))


def _too_few(days: int, instead: str) -> Refusal:
    return Refusal(
        "TOO_FEW_DAYS",
        f"There are {days} days of air indoors and outdoors in common.",
        f"A room is told from at least {FEWEST_DAYS} days, better from some of each season.",
        instead,
        fields=("log_file", "place"),
    )


def like(indoor: AirSeries, outdoor: Climate) -> Lent:
    """The year of the room behind a logger's air, for the months that were not logged.

    :raises Refusal: fewer than 14 days, or a log of warm days only, which cannot tell how the room is heated
    """
    fit = _fit_at(indoor, outdoor)
    months = outdoor.air()
    cold = (indoor.days_in_months() < ENOUGH_DAYS) & (months.temp_c < HEATED_BELOW_C)
    if fit.coldest_c > HEATED_BELOW_C and cold.any():
        raise Refusal(
            "NOT_LOGGED_IN_THE_COLD",
            "The log holds warm days only, and says nothing of the room in "
            f"{', '.join(MONTHS[month] for month in np.flatnonzero(cold))}.",
            "How a room is heated, and how humid it then is, shows in a log of cold days.",
            "Log two weeks of cold, or say what room it is: --room 'heated heat_to=68F', or --room open.",
            fields=("room",),
        )
    words = f"a room at {outdoor.name} that fits the log ({fit.options})"
    return Lent(_made(fit.indoor, fit.heat_to_c, fit.gain_kpa, months), words, poor_fit(fit))


def _gain_share(temp_out: Array) -> Array:
    """Part of the full gain at an outdoor temperature (source: iso-13788, status: memory)."""
    return np.clip((20.0 - temp_out) / 20.0, 0.0, 1.0)


def _hourly(indoor: AirSeries, outdoor: AirSeries) -> tuple[AirSeries, AirSeries]:
    """Both by the hour over the time that they share."""
    hour = np.timedelta64(3600, "s")
    first: np.datetime64 = max(indoor.times[0], outdoor.times[0])
    last: np.datetime64 = min(indoor.times[-1], outdoor.times[-1])
    hours = np.arange(first, last + hour, hour, dtype=np.dtype("datetime64[s]"))
    if len(hours) // 24 < FEWEST_DAYS:
        instead = "Log for longer, or compare with a place: --place burlington."
        raise _too_few(len(hours) // 24, instead)

    def at(series: AirSeries) -> AirSeries:
        seconds = series.times.astype(np.int64).astype(float)
        wanted = hours.astype(np.int64).astype(float)
        temp, rh = (np.interp(wanted, seconds, values) for values in (series.temp_c, series.rh_pct))
        return AirSeries(hours, temp, rh)

    return at(indoor), at(outdoor)


def _heating(inside: Array, outside: Array) -> tuple[str, float]:
    """Kind of room and the temperature that it is heated to [°C], by the least squares of the days."""
    heated = np.maximum(outside, HEATINGS_C[:, None])
    misses = np.mean((heated - inside) ** 2, axis=1)
    best = int(misses.argmin())
    constant = float(inside.mean())
    found = {
        "open": float(np.mean((outside - inside) ** 2)),
        "heated": float(misses[best]),
        "conditioned": float(np.mean((constant - inside) ** 2)),
    }
    # The simplest room that is as good: heating explains what is open, too, and what is held.
    for kind in ("open", "heated"):
        if found[kind] <= 1.1 * min(found.values()) + 0.01:
            return kind, round(float(HEATINGS_C[best]) if kind == "heated" else constant, 1)
    return "conditioned", round(constant, 1)


def _air_change(indoor: AirSeries, outdoor: AirSeries) -> Range | None:
    """Air changes [1/h] from how the vapour indoors follows that outdoors: a well-mixed room,
    dp/dt = n (p_out + gain - p). Furnishings take up vapour too, so it is an effective rate."""
    inside, outside = (np.asarray(vapour_pressure_kpa(a.temp_c, a.rh_pct)) for a in (indoor, outdoor))
    share = _gain_share(outdoor.temp_c)
    keep = np.exp(-CHANGES_PER_H)
    followed = np.empty((3, len(inside), len(keep)))
    state = np.stack([np.full_like(keep, outside[0]), np.full_like(keep, share[0]), np.ones_like(keep)])
    for hour in range(len(inside)):
        if hour:
            source = np.stack(
                [np.full_like(keep, outside[hour]), np.full_like(keep, share[hour]), 0.0 * keep]
            )
            state = state * keep + source * (1.0 - keep)
        followed[:, hour] = state
    misses = np.empty(len(keep))
    for rate in range(len(keep)):
        # The gain, and what the room was off at the beginning, which dies away.
        known = followed[1:, :, rate].T
        rest = inside - followed[0, :, rate]
        factors = np.linalg.lstsq(known, rest, rcond=None)[0]
        misses[rate] = float(np.mean((rest - known @ factors) ** 2) ** 0.5)
    best = int(misses.argmin())
    as_well = np.flatnonzero(misses <= AS_WELL * misses[best])
    if best in (0, len(keep) - 1):
        return None
    return Range(
        float(CHANGES_PER_H[best]), float(CHANGES_PER_H[as_well[0]]), float(CHANGES_PER_H[as_well[-1]])
    )


def _errors(logged: AirSeries, computed: AirSeries, by_month: bool) -> dict[str, float]:
    one, other = (
        (logged.monthly(), computed.monthly())
        if by_month
        else (MonthlyAir(logged.temp_c, logged.rh_pct), MonthlyAir(computed.temp_c, computed.rh_pct))
    )
    known = np.isfinite(one.temp_c)
    one, other = (MonthlyAir(air.temp_c[known], air.rh_pct[known]) for air in (one, other))
    found: dict[str, float] = {}
    for name, off in (
        ("temp", one.temp_c - other.temp_c),
        ("rh", one.rh_pct - other.rh_pct),
        ("emc", one.emc_pct - other.emc_pct),
    ):
        found[f"{name}_error_points"] = float(np.mean(off**2) ** 0.5)
        found[f"{name}_bias_points"] = float(np.mean(off))
    return found


def poor_fit(fit: RoomFit) -> tuple[Warning, ...]:
    """What to know of a fit that misses much."""
    if fit.errors["emc_error_points"] <= 1.0:
        return ()
    return (
        Warning(
            "POOR_FIT",
            "The room explains the logged air to {emc_error_points} of EMC only: more happens in it than "
            "heating and a moisture gain, a humidifier or an open door say.",
            {"emc_error_points": fit.errors["emc_error_points"]},
        ),
    )


def warnings(fit: RoomFit) -> tuple[Warning, ...]:
    """What to know of a fit before its options are typed."""
    notes = list(poor_fit(fit))
    if fit.indoor != "open" and abs(MOISTURE_GAIN_KPA[fit.gain_class] - fit.gain_kpa) > 0.135:
        notes.append(
            Warning(
                "BETWEEN_CLASSES",
                "The gain of {gain_kpa} lies outside the classes; the nearest one is {nearest_class}.",
                {"gain_kpa": fit.gain_kpa, "nearest_class": fit.gain_class},
            )
        )
    return tuple(notes)


def assumptions(fit: RoomFit, outdoor_words: str) -> tuple[Assumption, ...]:
    """What a fit takes for granted."""
    told = (
        "The air change is that of vapour, which furnishings store too."
        if fit.changes_per_h is not None
        else "The air change cannot be told: that takes outdoor air of the same hours. Errors are of months."
    )
    return (
        Assumption("ROOM_FIT", "Outdoor air: {outdoor}. {told}", {"outdoor": outdoor_words, "told": told}),
    )


TYPE_THE_ROOM = note("TYPE_THE_ROOM", "Type {options} for this room.", options=None)


@dataclass(frozen=True)
class Fitted:
    """The room behind a logger's air, and what to know of it.

    :param year: the air of its year, as its options make it
    """

    fit: RoomFit
    year: MonthlyAir
    warnings: tuple[Warning, ...]
    assumptions: tuple[Assumption, ...]
    sources: tuple[str, ...]

    def results(self, read: FileRead) -> RoomOfLog:
        """A fit, for an Answer.

        :param read: the logger's file
        """
        fit = self.fit
        return RoomOfLog(
            understood=read.understood,
            dropped=read.dropped,
            why=read.why,
            room=fit.options,
            days_compared=fit.days,
            heat_to_c=fit.heat_to_c if fit.heated else None,
            gain_kpa=fit.gain_kpa if fit.heated else None,
            nearest_class=fit.gain_class if fit.heated else None,
            air_change_per_h=fit.changes_per_h,
            temp_error_k=fit.errors["temp_error_points"],
            rh_error_points=fit.errors["rh_error_points"],
            emc_error_points=fit.errors["emc_error_points"],
            emc_bias_points=fit.errors["emc_bias_points"],
            year_emc_low_pct=float(self.year.emc_pct.min()),
            year_emc_high_pct=float(self.year.emc_pct.max()),
        )


def fitted(indoor: AirSeries, outdoor: Climate) -> Fitted:
    """The room behind a logger's air, and how near it comes."""
    fit = _fit_at(indoor, outdoor)
    predicted = Room(fit.indoor, fit.heat_to_c, fit.gain_class if fit.heated else None)
    year, _ = predicted.air(outdoor.air())
    concurrent = _concurrent(indoor, outdoor) is not None
    return Fitted(
        fit,
        year,
        warnings(fit),
        assumptions(fit, f"{outdoor.name}, " + ("the same hours" if concurrent else "by its monthly means")),
        ("own-log", outdoor.known.source, "iso-13788", "wmo-8", "hyland-wexler", "simpson-1973"),
    )


def of_log(read: FileRead, indoor: AirSeries, outdoor: Climate) -> Answer[RoomOfLog]:
    """The options that make the air outdoors that of a logged room."""
    found = fitted(indoor, outdoor)
    return Answer(
        Verdict("go", (TYPE_THE_ROOM(options=found.fit.options),)),
        found.results(read),
        (*found.warnings, *found.assumptions),
        found.sources,
    )


def _fit_at(indoor: AirSeries, outdoor: Climate) -> RoomFit:
    """The room by the records of the same hours where the place has them, else by its monthly means."""
    records = _concurrent(indoor, outdoor)
    return fit_room(indoor, outdoor.air() if records is None else records)


def _concurrent(indoor: AirSeries, outdoor: Climate) -> AirSeries | None:
    records = outdoor.hours
    return records if records is not None and _shared_days(indoor, records) >= FEWEST_DAYS else None


def _shared_days(one: AirSeries, other: AirSeries) -> float:
    last = min(one.times[-1], other.times[-1])
    return float((last - max(one.times[0], other.times[0])).astype(float)) / 86400.0
