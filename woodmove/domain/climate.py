"""Places and rooms: the air that wood will live in, month by month."""

import re
from dataclasses import dataclass, replace

import numpy as np

from woodmove.contract.notes import Assumption, Note, Warning
from woodmove.contract.values import of_values
from woodmove.domain.air import AirSeries, MonthlyAir
from woodmove.domain.room import GUESSED_WINTER_C, GUESSED_WINTER_SD_C, Room
from woodmove.domain.species import Known
from woodmove.physics.arrays import Array

MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September",
          "October", "November", "December")  # fmt: skip

# Houses of these countries are heated to what was measured; elsewhere rooms are cooler in winter. An own
# place that names no country counts as here (source: tampere-trh; status: judgement).
WARM_WINTERS = {
    "", "US", "USA", "CA", "CAN", "CANADA", "DK", "DNK", "DENMARK", "FI", "FIN", "FINLAND", "IS", "ISL",
    "ICELAND", "NO", "NOR", "NORWAY", "SE", "SWE", "SWEDEN",
}  # fmt: skip
# A house whose warmest month is warmer outdoors is cooled (status: judgement).
COOLED_ABOVE_C = 24.0


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

    def room(self, room: Room) -> Room:
        """The room as it stands here. A place that is a room already is not heated again, and gains no
        vapour; machines that are asked for work in it. A house is cooled where summers are hot, and its
        winter is guessed where nobody measured one."""
        if self.indoors:
            return replace(room, kind="logged", moisture_gain=None)
        if room.kind not in ("house", "cooled"):
            return room
        hot = max(self.temp_c) > COOLED_ABOVE_C
        heated = min(self.temp_c) < GUESSED_WINTER_C
        guessed = heated and room.heat_to_c is None and self.country.upper() not in WARM_WINTERS
        return replace(
            room,
            kind="cooled" if hot else room.kind,
            heat_to_c=GUESSED_WINTER_C if guessed else room.heat_to_c,
            winter_sd_c=GUESSED_WINTER_SD_C if guessed else room.winter_sd_c,
        )

    def taken_as_cooled(self, room: Room) -> bool:
        """True of a house that is taken as cooled in a country where many are not."""
        return (
            room.kind == "house"
            and self.room(room).kind == "cooled"
            and self.country.upper() not in WARM_WINTERS
        )


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
