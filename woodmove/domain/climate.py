"""Places and rooms: the air that wood will live in, month by month."""

import re
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from woodmove.contract.notes import Assumption, Note, Warning
from woodmove.contract.refusal import Refusal
from woodmove.contract.values import of_values
from woodmove.domain.air import AirSeries, MonthlyAir
from woodmove.domain.species import Known
from woodmove.physics import air
from woodmove.physics.arrays import Array

MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September",
          "October", "November", "December")  # fmt: skip

# Vapour excess of a building by internal humidity class: upper limit [kPa] at or below 0 °C outdoors,
# falling in a straight line to nothing at 20 °C (source: iso-13788, status: memory). Class 5 has no
# upper limit, so nothing can be computed from it.
MOISTURE_GAIN_KPA = {1: 0.270, 2: 0.540, 3: 0.810, 4: 1.080}

# A cooled room is also a dried room; at most this RH unless told otherwise (source: ashrae-55-1992).
CONDITIONED_RH_PCT = 60.0


@dataclass(frozen=True, slots=True)
class Climate:
    """Air of a place by month: outdoors, or that of one room.

    :param key: as typed after ``--place``
    :param temp_c: twelve monthly means [°C]
    :param rh_pct: twelve monthly means [%], over liquid water also below 0 °C
    :param period: years that the means stand for, as the source says it
    :param hours: the records behind the months, where the place comes from a weather file or a logger
    :param indoors: True where the air is that of a room, as it was measured
    :param notes: what to know of its air: rows of its file that were left out
    :raises ValueError: not twelve months, or a value that no place on earth has
    """

    key: str
    name: str
    region: str
    station: str
    temp_c: tuple[float, ...]
    rh_pct: tuple[float, ...]
    period: str
    known: Known
    country: str = ""
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    aliases: tuple[str, ...] = ()
    hours: AirSeries | None = None
    indoors: bool = False
    notes: tuple[Note, ...] = ()

    @of_values
    def __post_init__(self) -> None:
        if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", self.key):
            raise ValueError(f"a place key is lower-case words joined by hyphens, not {self.key!r}")
        if len(self.temp_c) != 12 or len(self.rh_pct) != 12:
            raise ValueError(f"{self.key}: a climate has twelve months of temperature and of humidity")
        for value in (self.latitude_deg, self.longitude_deg):
            if value is not None and not -180 <= value <= 180:
                raise ValueError(f"{self.key}: {value!r} is no latitude or longitude")
        if not all(-60 <= t <= 60 for t in self.temp_c) or not all(0 < rh <= 100 for rh in self.rh_pct):
            raise ValueError(f"{self.key}: monthly means lie from -60 to 60 °C and from 0 to 100 % RH")

    def air(self) -> MonthlyAir:
        """The air, outdoors or of the one room."""
        return MonthlyAir(np.array(self.temp_c), np.array(self.rh_pct))

    @property
    def assumptions(self) -> tuple[Assumption, ...]:
        """What is taken for granted of the air."""
        text = "The air of {place} is that of a room, used as it is: it is not heated again."
        return (Assumption("ROOM_AS_IT_IS", text, {"place": self.name}),) if self.indoors else ()

    def room(self, room: "Room") -> "Room":
        """What a room here does to the air. A place that is a room already is not heated again, and gains no
        vapour; machines that are asked for work in it."""
        return replace(room, indoor="open", moisture_gain=None) if self.indoors else room


@dataclass(frozen=True, slots=True)
class Room:
    """How a room changes the outdoor air.

    :param indoor: "open" (air and temperature as outdoors), "heated" (warmed to `heat_to_c` and left to
        follow warmer days) or "conditioned" (held at `heat_to_c` all year, and dried by the cooling)
    :param moisture_gain: ISO 13788 internal humidity class 1 to 4, or None for no vapour added
    :param humidify_to_pct: RH below which a humidifier works, None without one
    :param dehumidify_to_pct: RH above which a dehumidifier works, None without one
    :raises Refusal: appliances that fight each other
    """

    indoor: str
    heat_to_c: float = 20.0
    moisture_gain: int | None = None
    humidify_to_pct: float | None = None
    dehumidify_to_pct: float | None = None

    def __post_init__(self) -> None:
        low, high = self.humidify_to_pct, self.upper_rh_pct
        if low is not None and high is not None and low > high:
            raise Refusal(
                "APPLIANCES_FIGHT",
                f"The humidifier would run up to {low:g} % RH and the dehumidifier down to {high:g} %.",
                "The humidifier's setting lies at or below the dehumidifier's.",
                "Type --humidify-to 35 --dehumidify-to 55, for example.",
                fields=("humidify_to_pct", "dehumidify_to_pct"),
            )

    @property
    def upper_rh_pct(self) -> float | None:
        """RH that the room does not exceed [%], None if nothing holds it."""
        if self.dehumidify_to_pct is None and self.indoor == "conditioned":
            return CONDITIONED_RH_PCT
        return self.dehumidify_to_pct

    def air(self, outdoor: MonthlyAir) -> tuple[MonthlyAir, NDArray[np.bool_]]:
        """The air in the room, and a mask of the months in which it would exceed 100 % RH.

        The outdoor vapour is carried in, the gain added, the room brought to its temperature, and the
        appliances hold the humidity. Months that would exceed 100 % are held at 100 %: the surplus
        condenses. Sources: wmo-8 and hyland-wexler for the vapour, iso-13788 for the gain.
        """
        temp = {
            "open": outdoor.temp_c,
            "heated": np.maximum(outdoor.temp_c, self.heat_to_c),
            "conditioned": np.full_like(outdoor.temp_c, self.heat_to_c),
        }[self.indoor]
        vapour = np.asarray(air.vapour_pressure_kpa(outdoor.temp_c, outdoor.rh_pct))
        if self.moisture_gain is not None:
            vapour = vapour + MOISTURE_GAIN_KPA[self.moisture_gain] * np.clip(
                (20.0 - outdoor.temp_c) / 20.0, 0.0, 1.0
            )
        rh = np.asarray(air.relative_humidity_pct(temp, vapour))
        if self.humidify_to_pct is not None:
            rh = np.maximum(rh, self.humidify_to_pct)
        if self.upper_rh_pct is not None:
            rh = np.minimum(rh, self.upper_rh_pct)
        # Warming and cooling the same air by the two formulas costs the last digit.
        saturated = rh > 100.0 + 1e-9
        return MonthlyAir(temp, np.minimum(rh, 100.0)), saturated


@dataclass(frozen=True, slots=True)
class AirTable:
    """Readings of air, a row each, as somebody kept them.

    :param rows: the columns as they stood, by their headings
    :param temp_c: temperature of each row [°C]
    :param rh_pct: relative humidity of each row [%]
    """

    rows: list[dict[str, str]]
    temp_c: Array
    rh_pct: Array
    warnings: tuple[Warning, ...] = ()
