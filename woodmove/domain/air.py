"""Air through the months of a year, and as an instrument recorded it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from woodmove.contract.refusal import Refusal
from woodmove.physics.arrays import Array
from woodmove.physics.sorption import emc_pct

# Between these EMC lies the mean of any room that wood is worked in, and of any place (status: judgement;
# 7 and 96 % RH): what is read as less or more has been misread.
DRIEST_ROOM_EMC_PCT, DAMPEST_ROOM_EMC_PCT = 2.0, 25.0

# A month counts as known if so many of its days have a record (status: judgement).
ENOUGH_DAYS = 20

YEAR_DAYS = 365.0

Times = NDArray[np.datetime64]


def between_months(values: Array, day: Array) -> Array:
    """What has twelve monthly means, on days of the year: straight lines between the middles of the months.

    :param day: from the beginning of the year
    """
    middles = (np.arange(12) + 0.5) * YEAR_DAYS / 12.0
    return np.interp(day % YEAR_DAYS, middles, values, period=YEAR_DAYS)


@dataclass(frozen=True, slots=True)
class MonthlyAir:
    """Air by month: temperature [°C] and relative humidity [%], arrays of twelve. What a room makes of
    air holds for days and hours as well, in arrays of any length."""

    temp_c: Array
    rh_pct: Array

    @property
    def emc_pct(self) -> Array:
        """EMC [%] of the monthly mean air. Not the mean of hourly EMC, which is 0.7 to 1.7 % MC higher:
        EMC bends upward near saturation, and wood does not follow the day."""
        return np.asarray(emc_pct(self.temp_c, self.rh_pct))

    def on_days(self, day: Array) -> tuple[Array, Array]:
        """Temperature [°C] and RH [%] on days of the year, by :func:`between_months`.

        :param day: from the beginning of the year
        """
        return between_months(self.temp_c, day), between_months(self.rh_pct, day)

    def refuse_misread(self, what: str, command: str, field: str) -> None:
        """Stop before anything is forecast from air that no room has on the mean.

        :param what: where it was read
        :param command: what shows how it was read
        :param field: name of the input
        :raises Refusal: a mean EMC of less than 2 or more than 25 %
        """
        emc = float(self.emc_pct.mean())
        if DRIEST_ROOM_EMC_PCT <= emc <= DAMPEST_ROOM_EMC_PCT:
            return
        temp_c, rh = float(self.temp_c.mean()), float(self.rh_pct.mean())
        raise Refusal(
            "AIR_OF_NO_ROOM",
            f"{what} is read as {rh:.3g} % RH at {temp_c:.0f} °C ({temp_c * 1.8 + 32:.0f} °F) on the mean, "
            f"which holds wood at {emc:.1f} %.",
            f"The air of a room holds wood at {DRIEST_ROOM_EMC_PCT:g} to {DAMPEST_ROOM_EMC_PCT:g} %.",
            f"Type {command}, and check which columns were read and in which units.",
            fields=(field,),
        )


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

    @property
    def days_of_year(self) -> Array:
        """Days from the beginning of the year to the middle of each record's day, 0 to 366."""
        days = self.times.astype("datetime64[D]")
        return (days - days.astype("datetime64[Y]").astype("datetime64[D]")).astype(float) + 0.5

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
