"""A year in service: how dry and how damp the wood becomes."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from woodmove.contract.notes import Assumption, Note, Warning, warning
from woodmove.contract.quantity import HUMIDITY, MOISTURE, TEMPERATURE
from woodmove.contract.refusal import Refusal
from woodmove.domain.air import MonthlyAir
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
    "How warm is this {room} in winter? Measure that first (--heat-to): at the {temp_c} assumed, wood lives "
    "at {mean_pct} on the mean; at {cooler_c} or {warmer_c}, at {damper_pct} or {drier_pct}.",
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

    @property
    def mean_pct(self) -> float:
        """Mean MC of the year [%]; half-way between the extremes where only these are known."""
        if self.monthly_pct is None:
            return 0.5 * (self.low_pct + self.high_pct)
        return float(np.mean(self.monthly_pct))

    @property
    def driest_month(self) -> int | None:
        """Number (1 to 12) of the driest month, None where only the extremes are known."""
        return None if self.monthly_pct is None else int(np.argmin(self.monthly_pct)) + 1

    @property
    def dampest_month(self) -> int | None:
        """Number (1 to 12) of the dampest month, None where only the extremes are known."""
        return None if self.monthly_pct is None else int(np.argmax(self.monthly_pct)) + 1

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
