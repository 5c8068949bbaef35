"""The air that lumber stands in, from its first day on."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from woodmove.contract.notes import Warning
from woodmove.domain.air import AirSeries, MonthlyAir
from woodmove.domain.climate import Climate
from woodmove.domain.room import Room
from woodmove.physics.arrays import Array
from woodmove.physics.sorption import emc_pct, ends_pct, rh_for_mc_pct

# Nobody waits longer than this.
HORIZON_DAYS = 730.0
# Boards are carried from room to room in half an hour.
CARRIED_DAYS = 0.02
# By the day while much happens, then by the days in which the air of a room changes.
TIMES = np.concatenate(
    ([0.0, 0.05, 0.15, 0.35, 0.65], np.arange(1.0, 28.0), np.arange(28.0, 112.0, 3.0),
     np.linspace(112.0, HORIZON_DAYS, 52))
)  # fmt: skip


@dataclass(frozen=True)
class Air:
    """The air that the lumber stands in from its first day: days, temperature [°C], RH [%]. One day for air
    that stays the same.

    :param notes: what to know of where it was read
    :param sd_points: how far its EMC may lie from what is computed, always alike: standard deviation
    """

    days: Array
    temp_c: Array
    rh_pct: Array
    words: str
    notes: tuple[Warning, ...] = ()
    sd_points: float = 0.0

    @classmethod
    def steady(cls, temp_c: float, rh_pct: float) -> "Air":
        """Air that stays the same."""
        return cls(np.zeros(1), np.array([temp_c]), np.array([rh_pct]), "steady air")

    @classmethod
    def holding(cls, temp_c: float, mc_pct: float) -> "Air":
        """Air that stays the same and holds wood at a moisture content."""
        return cls.steady(temp_c, float(rh_for_mc_pct(temp_c, mc_pct)))

    @classmethod
    def of_place(cls, climate: Climate, room: Room, start: date) -> "Air":
        """The air of a room at a place from a day on: by the records of the place, or by its months."""
        room = climate.room(room)
        if climate.hours is not None:
            air = cls.of_records(climate.hours, room, start)
        else:
            air = cls.of_room(room.air(climate.air())[0], start)
        air = replace(air, sd_points=room.sd_points(climate.air()))
        words = f"the air of {climate.name} as it is, from {start.isoformat()}"
        return replace(air, words=words) if climate.indoors else air

    @classmethod
    def of_room(cls, room: MonthlyAir, start: date) -> "Air":
        """The air of a room from a day on, straight lines between the middles of the months."""
        days = np.arange(0.0, HORIZON_DAYS + 1.0, 5.0)
        temp, rh = room.on_days((start - date(start.year, 1, 1)).days + 0.5 + days)
        return cls(days, temp, rh, f"the room from {start.isoformat()}")

    @classmethod
    def of_records(cls, records: AirSeries, room: Room, start: date) -> "Air":
        """The air of a room by the records of a year outdoors, from a day on. The solver gets the mean of all
        hours of each of its steps: temperature and humidity are averaged, and the EMC formed of the means."""
        daily = records.daily()
        day = daily.days_of_year
        order = np.argsort(day, kind="stable")
        outdoor = MonthlyAir(
            *(
                np.interp(np.arange(365) + 0.5, day[order], values[order], period=365.0)
                for values in (daily.temp_c, daily.rh_pct)
            )
        )
        inside, _ = room.air(outdoor)
        first = min((start - date(start.year, 1, 1)).days, 364)
        days = (first + np.arange(int(HORIZON_DAYS) + 60)) % 365
        edges = np.concatenate(([0.0], (TIMES[1:] + TIMES[:-1]) / 2.0, [TIMES[-1] + 30.0]))

        def mean(values: Array) -> Array:
            summed = np.concatenate(([0.0], np.cumsum(values[days])))
            return np.diff(np.interp(edges, np.arange(len(summed)), summed)) / np.diff(edges)

        words = f"the room from {start.isoformat()}, by the hours of its file"
        return cls(TIMES, mean(inside.temp_c), mean(inside.rh_pct), words)

    @classmethod
    def in_turn(cls, airs: Sequence["Air"], begins: Sequence[float]) -> "Air":
        """Airs that lumber is carried through, each of which counts its days from the stacking. What is
        doubtful is the last one: where it ends.

        :param begins: day on which each begins, rising; the first counts from the stacking on
        """
        parts: list[Array] = []
        for air, begin, end in zip(airs, (0.0, *begins[1:]), (*begins[1:], HORIZON_DAYS + 60.0), strict=True):
            begin = max(begin, 0.0)
            if end > begin:
                within = air.days[(air.days > begin) & (air.days < end - CARRIED_DAYS)]
                at = np.concatenate(([begin], within, [end - CARRIED_DAYS]))
                temp, rh = (np.interp(at, air.days, values) for values in (air.temp_c, air.rh_pct))
                parts.append(np.stack((at, temp, rh)))
        days, temps, rhs = np.concatenate(parts, axis=1)
        words = ", then ".join(air.words for air in airs)
        return cls(days, temps, rhs, words, sd_points=airs[-1].sd_points)

    def at(self, days: Array) -> tuple[Array, Array]:
        """Temperature [°C] and EMC [%] on these days."""
        emc = np.asarray(emc_pct(self.temp_c, self.rh_pct))
        return np.interp(days, self.days, self.temp_c), np.interp(days, self.days, emc)

    def ends_at(self, days: Array, start_pct: float) -> tuple[Array, Array]:
        """Temperature [°C] on these days, and where lumber of this moisture would end in their air [%]."""
        temp, emc = self.at(days)
        return temp, ends_pct(start_pct, emc)
