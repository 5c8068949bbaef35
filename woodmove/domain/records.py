"""What a weather station or a logger recorded, and how it was understood."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from woodmove.contract.notes import Note, Warning
from woodmove.domain.air import ENOUGH_DAYS, AirSeries
from woodmove.domain.climate import Climate
from woodmove.domain.species import Known
from woodmove.physics.arrays import Array


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
