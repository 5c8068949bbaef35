"""A year in service: how dry and how damp the wood becomes."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from woodmove.contract.notes import Assumption, Note, Warning, once, warning
from woodmove.contract.quantity import HUMIDITY, MOISTURE, TEMPERATURE
from woodmove.contract.refusal import Refusal
from woodmove.domain.air import YEAR_DAYS, MonthlyAir, between_months
from woodmove.domain.climate import Climate
from woodmove.domain.room import Room
from woodmove.physics.arrays import Array
from woodmove.physics.sorption import EMC_RH_RANGE, EMC_TEMP_RANGE
from woodmove.physics.validity import Validity

TAKEN_AS_COOLED = warning(
    "TAKEN_AS_COOLED",
    "A house in {place} is taken as air conditioned in its hot months. One with open windows is nearly as "
    "damp as outdoors: say --room garage, or log it.",
    place=None,
)
WINTER_GUESSED = warning(
    "WINTER_GUESSED",
    "How warm is this {room} in winter? Measure that first (heat_to of the room): at the {temp_c} assumed, "
    "wood lives at {mean_pct} on the mean; at {cooler_c} or {warmer_c}, at {damper_pct} or {drier_pct}.",
    room=None, temp_c=TEMPERATURE, mean_pct=MOISTURE, cooler_c=TEMPERATURE, warmer_c=TEMPERATURE,
    damper_pct=MOISTURE, drier_pct=MOISTURE,
)  # fmt: skip
BASEMENT_HELD = warning(
    "BASEMENT_HELD",
    "A basement is assumed to stay at or below {rh_pct} RH. A damp one does not: log two summer weeks.",
    rh_pct=HUMIDITY,
)


@dataclass(frozen=True, slots=True)
class Season:
    """Moisture content of the wood in service, as if it followed its air without delay: the widest that
    the year can make it.

    :param low_pct: driest [%]
    :param high_pct: dampest [%]
    :param monthly_pct: twelve months [%], None where only the extremes are known
    :param room_air: the air behind it, None where only the extremes are known
    :param sources: of its air and EMC, empty where only the extremes are known
    :param saturated_months: numbers (1 to 12) of months in which the room's air would exceed 100 % RH
    :param notes: what to know of the place
    :param sd_points: how far all of the year may lie from it, the room being computed: standard deviation
    :param winter_points: the part of it that a guessed winter temperature makes
    :param since: day from which wood stands in this room of a row, None where there is no row
    :param until: day on which it is moved on, None where it stays
    :param moved: True of a room that it is moved to
    :param rooms: the years of rooms in a row; all but the extremes of this year is that of the first of them.
        Empty where there is no row
    """

    low_pct: float
    high_pct: float
    monthly_pct: Array | None = None
    room_air: MonthlyAir | None = None
    saturated_months: tuple[int, ...] = ()
    sources: tuple[str, ...] = ()
    notes: tuple[Note, ...] = ()
    sd_points: float = 0.0
    winter_points: float = 0.0
    since: date | None = None
    until: date | None = None
    moved: bool = False
    rooms: tuple["Season", ...] = ()

    @classmethod
    def between(cls, low_pct: float, high_pct: float) -> "Season":
        """A year known by its extremes.

        :raises Refusal: a dry extreme that is wetter than the wet one
        """
        if low_pct > high_pct:
            raise Refusal(
                "EXTREMES_SWAPPED",
                f"The dry extreme ({low_pct:g} %) is wetter than the wet one ({high_pct:g} %).",
                "The driest moisture content is at most the dampest.",
                f"Swap them: {high_pct:g} for the driest, {low_pct:g} for the dampest.",
                fields=("mc_low_pct", "mc_high_pct"),
            )
        return cls(low_pct, high_pct)

    @classmethod
    def in_room(cls, climate: Climate, room: Room) -> "Season":
        """The year of a room at a place, or of a place that is one: EMC of its monthly mean air."""
        cooled = (TAKEN_AS_COOLED(place=climate.name),) if climate.taken_as_cooled(room) else ()
        room, outdoor = climate.room(room), climate.air()
        room_air, saturated = room.air(outdoor)
        emc = room_air.emc_pct
        months = tuple(int(month) + 1 for month in np.flatnonzero(saturated))
        sources = (climate.known.source, "simpson-1973", "hyland-wexler", "wmo-8")
        if room.gain_kpa:
            sources += ("iso-13788",)
        sources += tuple(sorted({known.source for known in room.of_kind.known.all if known.source}))
        notes = (*cooled, *_of_room(room, outdoor, room_air), *climate.notes, *climate.assumptions)
        return cls(
            float(emc.min()),
            float(emc.max()),
            emc,
            room_air,
            months,
            sources,
            notes,
            room.sd_points(outdoor),
            room.winter_points(outdoor),
        )

    @classmethod
    def in_turn(cls, years: Sequence["Season"], days: Sequence[date]) -> "Season":
        """The years of rooms in a row as one: as dry and as damp as wood becomes in any of them while it
        stands there. Its mean and its months are those of the first room.

        :param days: on which it comes to each room, rising
        """
        if len(years) == 1:
            return years[0]
        rooms = tuple(
            replace(year, since=day, until=until, moved=number > 0)._while_there()
            for number, (year, day, until) in enumerate(zip(years, days, (*days[1:], None), strict=True))
        )
        return replace(
            rooms[0],
            low_pct=min(room.low_pct for room in rooms),
            high_pct=max(room.high_pct for room in rooms),
            saturated_months=tuple(sorted({month for room in rooms for month in room.saturated_months})),
            sources=tuple(dict.fromkeys(source for room in rooms for source in room.sources)),
            notes=tuple(once(note for room in rooms for note in room.notes)),
            rooms=rooms,
        )

    def _while_there(self) -> "Season":
        """With the extremes of the days on which wood stands here."""
        days = np.arange(YEAR_DAYS) + 0.5
        if self.monthly_pct is None or (there := self.covers(days)).all():
            return self
        emc = between_months(self.monthly_pct, days[there])
        return replace(self, low_pct=float(emc.min()), high_pct=float(emc.max()))

    def covers(self, day_of_year: Array) -> NDArray[np.bool_]:
        """On which days of the year wood stands in this room, be it in one year."""
        if self.since is None or self.until is None or (self.until - self.since).days >= YEAR_DAYS:
            return np.ones(np.shape(day_of_year), bool)
        first = (self.since - date(self.since.year, 1, 1)).days
        return (day_of_year - first) % YEAR_DAYS < (self.until - self.since).days

    def staying(self) -> "Season":
        """The year of this room if the wood stayed in it."""
        return (
            self
            if self.monthly_pct is None
            else replace(
                self,
                low_pct=float(self.monthly_pct.min()),
                high_pct=float(self.monthly_pct.max()),
                since=None,
                until=None,
                rooms=(),
            )
        )

    def on(self, day: date) -> "Season":
        """The year of the room in which wood stands on a day."""
        return next((room for room in reversed(self.rooms) if room.since and room.since <= day), self)

    @property
    def mean_pct(self) -> float:
        """Mean MC of the year [%]; half-way between the extremes where only these are known."""
        if self.monthly_pct is None:
            return 0.5 * (self.low_pct + self.high_pct)
        return float(np.mean(self.monthly_pct))

    @property
    def driest_month(self) -> int | None:
        """Number (1 to 12) of the driest month, None where only the extremes are known."""
        return min(self.rooms or (self,), key=lambda room: room.low_pct)._month_of(np.argmin)

    @property
    def dampest_month(self) -> int | None:
        """Number (1 to 12) of the dampest month, None where only the extremes are known."""
        return max(self.rooms or (self,), key=lambda room: room.high_pct)._month_of(np.argmax)

    def _month_of(self, extreme: Callable[[Array], np.intp]) -> int | None:
        """Number of the month of an extreme of the days on which wood stands here."""
        if self.monthly_pct is None:
            return None
        days = np.arange(YEAR_DAYS) + 0.5
        there = self.covers(days)
        if there.all():
            return int(extreme(self.monthly_pct)) + 1
        day = days[there][extreme(between_months(self.monthly_pct, days[there]))]
        return int(day * 12.0 / YEAR_DAYS) + 1

    @property
    def warnings(self) -> tuple[Warning, ...]:
        """What to know of the place before acting on its air."""
        return tuple(note for note in self.notes if isinstance(note, Warning))

    @property
    def assumptions(self) -> tuple[Assumption, ...]:
        """What is taken for granted of the place."""
        return tuple(note for note in self.notes if isinstance(note, Assumption))

    @property
    def outside(self) -> tuple[Validity, ...]:
        """The ranges of the EMC relation that the air of the room leaves."""
        if self.room_air is None:
            return ()
        checks = ((EMC_TEMP_RANGE, self.room_air.temp_c), (EMC_RH_RANGE, self.room_air.rh_pct))
        return tuple(validity for validity, values in checks if validity.outside(values))


def _of_room(room: Room, outdoor: MonthlyAir, inside: MonthlyAir) -> Iterator[Warning]:
    """What is guessed of a room, and moves much."""
    if room.winter_sd_c and room.heated_to_c is not None:
        damper, drier = room.mean_emc_by_winter(outdoor)
        yield WINTER_GUESSED(
            room=room.of_kind.noun,
            temp_c=room.heated_to_c,
            mean_pct=float(inside.emc_pct.mean()),
            cooler_c=room.heated_to_c - room.winter_sd_c,
            warmer_c=room.heated_to_c + room.winter_sd_c,
            damper_pct=damper,
            drier_pct=drier,
        )
    held = room.upper_rh_pct
    unasked = room.kind == "basement" and room.dehumidify_to_pct is None
    if unasked and held is not None and inside.rh_pct.max() > held - 1e-9:
        yield BASEMENT_HELD(rh_pct=held)
