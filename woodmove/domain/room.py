"""Rooms: what each kind makes of the air outdoors."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from woodmove.contract.refusal import Refusal
from woodmove.domain.air import MonthlyAir
from woodmove.domain.species import Known
from woodmove.physics import air
from woodmove.physics.arrays import Array
from woodmove.sources import Status

# Vapour excess of a building by internal humidity class: upper limit [kPa] at or below 0 °C outdoors,
# falling in a straight line to nothing at 20 °C (source: iso-13788, status: memory). Class 5 has no
# upper limit, so nothing can be computed from it.
MOISTURE_GAIN_KPA = {1: 0.270, 2: 0.540, 3: 0.810, 4: 1.080}

# Winter temperature of a house in a country where nobody measured it, and its standard deviation [°C]
# (status: judgement).
GUESSED_WINTER_C, GUESSED_WINTER_SD_C = 19.0, 2.0

# How warm a room is by the temperature outdoors, and by the temperature that it is heated to [°C].
Warmth = Callable[[Array, float], Array]


def _house(outdoor_c: Array, heat_to_c: float) -> Array:
    """As heated up to 10 °C outdoors, rising to 25 °C at 20 °C, then 25 °C or outdoors plus 2.5, whichever is
    more."""
    rising = np.interp(outdoor_c, [10.0, 20.0], [heat_to_c, max(25.0, heat_to_c)])
    return np.maximum(rising, outdoor_c + 2.5)


def _basement(outdoor_c: Array, heat_to_c: float) -> Array:
    """Half-way between the house above and the ground, which has the mean of the year outdoors."""
    return 0.5 * (_house(outdoor_c, heat_to_c) + outdoor_c.mean())


@dataclass(frozen=True, slots=True)
class KindKnown:
    """Where the figures of a kind of room come from."""

    warmth: Known
    gain: Known
    at_most: Known
    doubt: Known

    @property
    def all(self) -> tuple[Known, ...]:
        """All of them."""
        return self.warmth, self.gain, self.at_most, self.doubt


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of room.

    :param words: what it does, after "a house: "
    :param noun: as it is named within a sentence
    :param warmth: its temperature
    :param heat_to_c: temperature that it is heated to, None where it is not [°C]
    :param gain_kpa: vapour that life in it adds at or below 0 °C outdoors, falling to nothing at 20 °C [kPa]
    :param at_most_pct: RH that it does not exceed, None if nothing holds it
    :param sd_points: how far the EMC of such a room may lie from what is computed, all year alike: standard
        deviation
    :param known: where each of these comes from: its warmth, its vapour, what it holds at most, its doubt
    """

    words: str
    noun: str
    warmth: Warmth
    heat_to_c: float | None
    gain_kpa: float
    at_most_pct: float | None
    sd_points: float
    known: KindKnown


_MEASURED = Known(Status.DERIVED, "tampere-trh", "Means of lived-in houses in Finland.")
_BETWEEN_HOUSES = Known(
    Status.JUDGEMENT, "tampere-trh", "Houses differ by 0.5 within a month; more over a country of them."
)
_JUDGED = Known(Status.JUDGEMENT, "", "Nobody measured it where we could read it.")
_OUTDOORS = Known(Status.DERIVED, "", "The vapour outdoors, none added.")
_FREE = Known(Status.DERIVED, "", "Nothing holds it.")
_TOLD = Known(Status.DERIVED, "", "As told.")
_COMFORT = Known(Status.JUDGEMENT, "ashrae-55-1992", "Within what is comfortable, 30 to 60 % RH.")

KINDS = {
    "house": Kind(
        "lived in and heated, windows open in summer", "house",
        _house, 22.0, 0.8 * MOISTURE_GAIN_KPA[2], None, 0.75,
        KindKnown(_MEASURED, _MEASURED, _FREE, _BETWEEN_HOUSES),
    ),
    "heated-shop": Kind(
        "heated while it is used, little vapour", "heated shop",
        lambda outdoor_c, heat_to_c: np.maximum(outdoor_c, heat_to_c),
        19.0, 0.5 * MOISTURE_GAIN_KPA[2], None, 1.0,
        KindKnown(_JUDGED, _JUDGED, _FREE, _JUDGED),
    ),
    "garage": Kind(
        "not heated: the air outdoors, a little warmer", "garage",
        lambda outdoor_c, _: outdoor_c + 3.0,
        None, 0.0, None, 1.0,
        KindKnown(_JUDGED, _OUTDOORS, _FREE, _JUDGED),
    ),
    "basement": Kind(
        "below a house, cooled by the ground, at most 65 % RH unless you log it", "basement",
        _basement, 22.0, 0.8 * MOISTURE_GAIN_KPA[2], 65.0, 1.0,
        KindKnown(_JUDGED, _MEASURED, _JUDGED, _JUDGED),
    ),
    "shed": Kind(
        "the air outdoors under a roof", "shed",
        lambda outdoor_c, _: outdoor_c + 1.0,
        None, 0.0, None, 1.0,
        KindKnown(_JUDGED, _OUTDOORS, _FREE, _JUDGED),
    ),
    "cooled": Kind(
        "heated in winter, air conditioned in summer", "cooled house",
        lambda outdoor_c, heat_to_c: np.minimum(_house(outdoor_c, heat_to_c), max(24.5, heat_to_c)),
        22.0, 0.8 * MOISTURE_GAIN_KPA[2], 55.0, 0.75,
        KindKnown(_COMFORT, _MEASURED, _COMFORT, _BETWEEN_HOUSES),
    ),
    # Told by what they do to the air outdoors. Wood outdoors, under a roof or a sheet, is as far from the air
    # of its month as wood in a shed.
    "open": Kind(
        "the air outdoors as it is", "open air",
        lambda outdoor_c, _: outdoor_c,
        None, 0.0, None, 1.0, KindKnown(_TOLD, _OUTDOORS, _FREE, _JUDGED),
    ),
    "heated": Kind(
        "heated as told, warmer days as outdoors", "heated room",
        lambda outdoor_c, heat_to_c: np.maximum(outdoor_c, heat_to_c),
        20.0, 0.0, None, 0.75, KindKnown(_TOLD, _TOLD, _FREE, _BETWEEN_HOUSES),
    ),
    # A cooled room is also a dried room.
    "conditioned": Kind(
        "held at one temperature, dried by the cooling", "air-conditioned room",
        lambda outdoor_c, heat_to_c: np.full_like(outdoor_c, heat_to_c),
        20.0, 0.0, 60.0, 0.75, KindKnown(_TOLD, _TOLD, _COMFORT, _BETWEEN_HOUSES),
    ),
    # A log is a room: its air as it was read.
    "logged": Kind(
        "the air as it was logged", "logged room",
        lambda outdoor_c, _: outdoor_c,
        None, 0.0, None, 0.0, KindKnown(_TOLD, _OUTDOORS, _FREE, _TOLD),
    ),
}  # fmt: skip
# Those that are named by what they are, and those that are told by what they do.
NAMED = ("house", "heated-shop", "garage", "basement", "shed", "cooled")
TOLD = ("open", "heated", "conditioned")
# Internal humidity class of a room that is told by what it does, where nobody said one (status: judgement).
TOLD_GAIN = 1


@dataclass(frozen=True, slots=True)
class Room:
    """How a room changes the outdoor air.

    :param kind: one of :data:`KINDS`
    :param heat_to_c: temperature that it is heated to, None for the kind's own
    :param moisture_gain: ISO 13788 internal humidity class 1 to 4, None for the vapour of the kind
    :param humidify_to_pct: RH below which a humidifier works, None without one
    :param dehumidify_to_pct: RH above which a dehumidifier works, None without one
    :param winter_sd_c: how far the temperature may be off, where it is guessed: standard deviation [°C]
    :raises Refusal: appliances that fight each other
    """

    kind: str
    heat_to_c: float | None = None
    moisture_gain: int | None = None
    humidify_to_pct: float | None = None
    dehumidify_to_pct: float | None = None
    winter_sd_c: float = 0.0

    def __post_init__(self) -> None:
        low, high = self.humidify_to_pct, self.upper_rh_pct
        if low is not None and high is not None and low > high:
            raise Refusal(
                "APPLIANCES_FIGHT",
                f"The humidifier would run up to {low:g} % RH and the dehumidifier down to {high:g} %.",
                "The humidifier's setting lies at or below the dehumidifier's.",
                "Make it humidify_to=35 dehumidify_to=55, for example.",
                fields=("humidify_to_pct", "dehumidify_to_pct"),
            )

    @property
    def of_kind(self) -> Kind:
        """Its kind."""
        return KINDS[self.kind]

    @property
    def upper_rh_pct(self) -> float | None:
        """RH that the room does not exceed [%], None if nothing holds it."""
        return self.of_kind.at_most_pct if self.dehumidify_to_pct is None else self.dehumidify_to_pct

    @property
    def heated_to_c(self) -> float | None:
        """Temperature that it is heated to [°C], None where it is not."""
        own = self.of_kind.heat_to_c
        return own if own is None or self.heat_to_c is None else self.heat_to_c

    @property
    def gain_kpa(self) -> float:
        """Vapour that it adds at or below 0 °C outdoors [kPa]."""
        told = self.moisture_gain
        return self.of_kind.gain_kpa if told is None else MOISTURE_GAIN_KPA[told]

    def air(self, outdoor: MonthlyAir) -> tuple[MonthlyAir, NDArray[np.bool_]]:
        """The air in the room, and a mask of the months in which it would exceed 100 % RH.

        The outdoor vapour is carried in, the gain added, the room brought to its temperature, and the
        appliances hold the humidity. Months that would exceed 100 % are held at 100 %: the surplus
        condenses. Sources: wmo-8 and hyland-wexler for the vapour, iso-13788 for the gain.
        """
        temp = self.of_kind.warmth(outdoor.temp_c, self.heated_to_c or 0.0)
        vapour = np.asarray(air.vapour_pressure_kpa(outdoor.temp_c, outdoor.rh_pct))
        vapour = vapour + self.gain_kpa * np.clip((20.0 - outdoor.temp_c) / 20.0, 0.0, 1.0)
        rh = np.asarray(air.relative_humidity_pct(temp, vapour))
        if self.humidify_to_pct is not None:
            rh = np.maximum(rh, self.humidify_to_pct)
        if self.upper_rh_pct is not None:
            rh = np.minimum(rh, self.upper_rh_pct)
        # Warming and cooling the same air by the two formulas costs the last digit.
        saturated = rh > 100.0 + 1e-9
        return MonthlyAir(temp, np.minimum(rh, 100.0)), saturated

    def winter_points(self, outdoor: MonthlyAir) -> float:
        """How far a winter temperature that is guessed moves the EMC of the year: standard deviation."""
        cooler, warmer = self.mean_emc_by_winter(outdoor)
        return (cooler - warmer) / 2.0

    def mean_emc_by_winter(self, outdoor: MonthlyAir) -> tuple[float, float]:
        """Mean EMC of the year [%] a standard deviation cooler and warmer than guessed; alike where nothing
        is guessed."""
        if not self.winter_sd_c or self.heated_to_c is None:
            return 0.0, 0.0
        cooler, warmer = (
            float(replace(self, heat_to_c=self.heated_to_c + by).air(outdoor)[0].emc_pct.mean())
            for by in (-self.winter_sd_c, self.winter_sd_c)
        )
        return cooler, warmer

    def sd_points(self, outdoor: MonthlyAir) -> float:
        """How far the EMC of the room may lie from that of its air, all year alike: standard deviation."""
        return float(np.hypot(self.of_kind.sd_points, self.winter_points(outdoor)))
