"""Air through time, as an instrument or a weather station recorded it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from woodmove.physics.arrays import Array
from woodmove.shop.answer import Note, Warning
from woodmove.shop.climate import Climate, MonthlyAir
from woodmove.shop.species import Known

# A month counts as known if so many of its days have a record (status: judgement).
ENOUGH_DAYS = 20

Times = NDArray[np.datetime64]


@dataclass(frozen=True)
class AirSeries:
    """Records of air.

    :param times: beginning of what each record stands for, datetime64[s], rising
    :param temp_c: temperature of each record [°C]
    :param rh_pct: relative humidity of each record [%], over liquid water also below 0 °C
    :raises ValueError: nothing in it, lengths that differ, times that do not rise, a value that is no number
    """

    times: Times
    temp_c: Array
    rh_pct: Array

    def __post_init__(self) -> None:
        if not len(self.times) or not len(self.times) == len(self.temp_c) == len(self.rh_pct):
            raise ValueError("a series has as many times as temperatures and humidities, and at least one")
        if np.any(np.diff(self.times) <= np.timedelta64(0, "s")):
            raise ValueError("the times of a series rise")
        if not (np.isfinite(self.temp_c).all() and np.isfinite(self.rh_pct).all()):
            raise ValueError("a series holds numbers only")

    @property
    def months(self) -> NDArray[np.int64]:
        """Number of the month of each record, 0 for January."""
        return self.times.astype("datetime64[M]").astype(np.int64) % 12

    def days_in_months(self) -> NDArray[np.int64]:
        """How many days of each month have a record, shape (12,)."""
        days = np.unique(self.times.astype("datetime64[D]"))
        return np.bincount(days.astype("datetime64[M]").astype(np.int64) % 12, minlength=12)

    def monthly(self) -> MonthlyAir:
        """Mean of the records of each month, NaN in months without one."""
        counts = np.bincount(self.months, minlength=12)
        with np.errstate(invalid="ignore"):
            temp, rh = (
                np.bincount(self.months, weights=values, minlength=12) / counts
                for values in (self.temp_c, self.rh_pct)
            )
        return MonthlyAir(temp, rh)

    def daily(self) -> "AirSeries":
        """Mean of the records of each day: what wood feels, which does not follow the hours."""
        days, number = np.unique(self.times.astype("datetime64[D]"), return_inverse=True)
        counts = np.bincount(number)
        temp, rh = (np.bincount(number, weights=values) / counts for values in (self.temp_c, self.rh_pct))
        return AirSeries(days.astype("datetime64[s]"), temp, rh)


@dataclass(frozen=True)
class Weather:
    """A year of hourly weather of a station.

    :param form: "EPW", "TMY3" or "TMY2"
    :param air: the records that hold both values. Where the months come from different years, their
        times stand in 2001
    :param typical: True where the months come from different years
    :param raw_temp_c: temperature of every record of the file [°C], NaN where it is missing
    :param raw_rh_pct: relative humidity of every record [%], NaN where it is missing
    :param notes: what was left out of the file, and why
    """

    form: str
    name: str
    region: str
    country: str
    station: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    air: AirSeries
    typical: bool
    years: tuple[int, int]
    raw_temp_c: Array
    raw_rh_pct: Array
    known: Known
    notes: tuple[Note, ...] = ()

    def climate(self, key: str) -> Climate:
        """The place by its monthly means. One typical year is one particular month after another: its
        humidity scatters about the normal's by 0.75 to 1.1 % MC.

        :raises ValueError: a month without enough days
        """
        short = np.flatnonzero(self.air.days_in_months() < ENOUGH_DAYS)
        if len(short):
            raise ValueError(f"{len(short)} months have fewer than {ENOUGH_DAYS} days of records")
        months = self.air.monthly()
        span = f"{self.years[0]} to {self.years[1]}" if self.years[0] != self.years[1] else f"{self.years[0]}"
        return Climate(
            key=key,
            name=self.name,
            region=self.region,
            country=self.country,
            station=self.station,
            temp_c=tuple(months.temp_c.tolist()),
            rh_pct=tuple(months.rh_pct.tolist()),
            period=f"one typical year, its months from {span}" if self.typical else f"the year {span}",
            known=self.known,
            latitude_deg=self.latitude_deg,
            longitude_deg=self.longitude_deg,
            hours=self.air,
            notes=self.notes,
        )


@dataclass(frozen=True)
class LoggedAir:
    """What a logger wrote, and how it was understood.

    :param air: the readings that are used
    :param rows_in: rows of the file under its headings
    :param dropped: rows that are not used: reason -> line numbers in the file
    :param understood: how the file was read, by name: delimiter, units, dates
    :param interval_s: usual time between two readings [s]
    :param gaps: where readings are missing: start and end of each
    """

    name: str
    air: AirSeries
    rows_in: int
    dropped: dict[str, tuple[int, ...]]
    understood: dict[str, Any]
    interval_s: float
    gaps: tuple[tuple[np.datetime64, np.datetime64], ...] = ()
    notes: tuple[Note, ...] = ()

    @property
    def rows_used(self) -> int:
        """Readings that are used."""
        return len(self.air.times)

    @property
    def rows_dropped(self) -> int:
        """Rows that are not."""
        return sum(len(lines) for lines in self.dropped.values())

    @property
    def why_dropped(self) -> str:
        """Why rows are not used, and which; empty where all are."""
        return "; ".join(
            f"{len(lines)} {reason} ({lines_text(lines)})" for reason, lines in self.dropped.items()
        )

    @property
    def left_out(self) -> tuple[Warning, ...]:
        """What to know where rows are not used."""
        values = {
            "count": self.rows_dropped,
            "rows": self.rows_in,
            "file": self.name,
            "why": self.why_dropped,
        }
        text = "{count} of {rows} rows of {file} are left out: {why}."
        return (Warning("ROWS_LEFT_OUT", text, values),) if self.dropped else ()


def lines_text(lines: Sequence[int], most: int = 4) -> str:
    """The first few of many line numbers, and how many more there are."""
    shown = f"line{'s' * (len(lines) > 1)} {', '.join(map(str, lines[:most]))}"
    return f"{shown} and {len(lines) - most} more" if len(lines) > most else shown
