"""The clock of a glue-up: how long it takes, how long the adhesive allows, and the pressure that it needs.

How air and wood change the times is our own judgement, built on textbook ratios: an open film that sets by
losing water loses it to the air in proportion to the air's vapour deficit (Dalton), and to the wood in
proportion to what the wood can still take up, faster when it is warm; half of each. A reaction takes half the
time for each 10 °C (common practice). Dry air and dry wood slow a polyurethane down: that is not counted, so
that no glue-up passes because of it.
"""

from dataclasses import dataclass, replace

import numpy as np

from woodmove.extend.api import Adhesive, Wood
from woodmove.extend.science import Array, air, shrinkage

# Air and wood for which the times of a table or a bottle hold.
TEMP_C, RH_PCT, MC_PCT = 70.0 / 1.8 - 32.0 / 1.8, 50.0, 8.0
# Part of the water of an open film that goes to the air (status: judgement).
TO_AIR = 0.5
# How much faster warm wood drinks: the temperature slope of the default diffusivity [K].
_SLOPE_K = 4300.0
# A reaction takes half the time when it is warmer by so much [K] (status: common practice).
_HALF_TIME_K = 10.0
# Cold and damp lengthen the times by no more than this in our reckoning (status: judgement).
MOST_FACTOR = 2.0
# One person lays a strip to the last one and lines it up, and sets a clamp, in so long [min] (status:
# judgement; of a first glue-up: half a minute or so a joint and half a minute a clamp, common practice).
PACES = {"first": (20.0 / 60.0, 30.0 / 60.0), "practised": (10.0 / 60.0, 20.0 / 60.0)}
# What a litre of a liquid adhesive weighs [kg] (status: memory).
KG_PER_LITRE = 1.1
# Pressure on the joint by the group of the species [MPa], low and high: 100 to 150 psi, and 175 to 250 psi
# (source: clamp-pressure, a maker of adhesives).
PRESSURE_MPA = {"softwood": (0.6895, 1.0342), "hardwood": (1.2066, 1.7237)}
# Contact is made by clamps this far apart (status: judgement).
CONTACT_SPACING_MM = 200.0
# Nearer to each other than this clamps do not stand (status: judgement).
LEAST_SPACING_MM = 40.0
# At this part of the low pressure, or less, a joint is not pressed (status: judgement; one page tells half of
# what the maker of adhesives does).
LEAST_PRESSED = 0.5
# The same by specific gravity: 100 psi for light wood to 250 psi for dense (source: fpl-gtr-190 chapter 10,
# status: memory), for species of no group.
_GRAVITIES, _PRESSURES_MPA = (0.35, 0.70), (0.69, 1.72)
# Of a wood whose density no table gives (status: judgement).
MIDDLING_GRAVITY = 0.5


@dataclass(frozen=True, slots=True)
class Shop:
    """Air of the shop and moisture content of the wood."""

    temp_c: float = TEMP_C
    rh_pct: float = RH_PCT
    mc_pct: float = MC_PCT


@dataclass(frozen=True, slots=True)
class GlueUp:
    """A glue-up of strips side by side.

    :param strips: how many
    :param joint_m2: area of one joint
    :param spread_min: to spread the glue of one joint, by one person [min]
    :param lay_min: to lay a strip to the last and line it up, by one person [min]
    :param clamps: how many are set
    :param clamp_min: to set one, by one person [min]
    :param hands: people who work at it
    :param first_all: True if every strip is spread before the first joint is closed
    """

    strips: int
    joint_m2: float
    spread_min: float
    lay_min: float
    clamps: int
    clamp_min: float = PACES["first"][1]
    hands: int = 1
    first_all: bool = False

    @property
    def joints(self) -> int:
        """How many are glued."""
        return self.strips - 1

    @property
    def glued_m2(self) -> float:
        """Area of all joints."""
        return self.joints * self.joint_m2

    @property
    def open_min(self) -> float:
        """Longest time from the spreading to the closing of a joint [min]."""
        if not self.first_all:
            return (self.spread_min + self.lay_min) / self.hands
        first = self.joints * self.spread_min + self.lay_min
        last = self.spread_min + self.joints * self.lay_min
        return max(first, last) / self.hands

    @property
    def whole_min(self) -> float:
        """From the first spreading to the last clamp [min]."""
        joints = self.joints * (self.spread_min + self.lay_min)
        return (joints + self.clamps * self.clamp_min) / self.hands

    def of(self, strips: int) -> "GlueUp":
        """The same with another number of strips; the clamps go with the length, not with the strips."""
        return replace(self, strips=strips)


def factors(
    adhesive: Adhesive, shop: Shop, saturation_pct: float = shrinkage.FIBRE_SATURATION_PCT
) -> tuple[float, float]:
    """By how much this air and wood stretch the open and the closed part of the assembly time, at most
    :data:`MOST_FACTOR`."""
    if adhesive.sets_by != "water":
        stretch = 2.0 ** ((TEMP_C - shop.temp_c) / _HALF_TIME_K)
        return min(stretch, MOST_FACTOR), min(stretch, MOST_FACTOR)
    to_air = _deficit_kpa(shop.temp_c, shop.rh_pct) / _deficit_kpa(TEMP_C, RH_PCT)
    warm = np.exp(-_SLOPE_K * (1.0 / (shop.temp_c + 273.15) - 1.0 / (TEMP_C + 273.15)))
    to_wood = float(warm) * max(saturation_pct - shop.mc_pct, 0.0) / (saturation_pct - MC_PCT)
    loss = TO_AIR * to_air + (1.0 - TO_AIR) * to_wood
    return 1.0 / max(loss, 1.0 / MOST_FACTOR), 1.0 / max(to_wood, 1.0 / MOST_FACTOR)


def _deficit_kpa(temp_c: float, rh_pct: float) -> float:
    full = float(air.saturation_pressure_over_water_kpa(temp_c))
    return full * (1.0 - rh_pct / 100.0)


def allowed_min(
    adhesive: Adhesive, shop: Shop, saturation_pct: float = shrinkage.FIBRE_SATURATION_PCT
) -> tuple[float, float]:
    """Open and whole assembly time [min] that an adhesive allows in this air on this wood."""
    opened, closed = factors(adhesive, shop, saturation_pct)
    open_min = adhesive.open_min * opened
    return open_min, open_min + (adhesive.assembly_min - adhesive.open_min) * closed


def margin_min(work: GlueUp, allowed: tuple[float, float], time: Array, hands: Array) -> Array:
    """What is left of the tighter of the two times [min]; negative where the adhesive is faster.

    :param time: factors on what the adhesive allows
    :param hands: factors on what the work takes
    """
    opened, whole = allowed
    return np.minimum(opened * time - work.open_min * hands, whole * time - work.whole_min * hands)


def hours(adhesive: Adhesive, temp_c: float) -> tuple[float, float]:
    """Hours in the clamps and until it may be machined, longer in the cold: half as fast for each 10 °C
    (common practice for a reaction, judgement for the others). Warmth shortens nothing here."""
    slower = max(2.0 ** ((TEMP_C - temp_c) / _HALF_TIME_K), 1.0)
    return adhesive.clamp_h * slower, adhesive.full_h * slower


def pressure_mpa(wood: Wood) -> tuple[float, float]:
    """Low and high pressure on a joint [MPa] for a wood."""
    if (kind := _kind(wood)) is not None:
        return PRESSURE_MPA[kind]
    gravity = MIDDLING_GRAVITY if wood.gravity_12 is None else wood.gravity_12
    middle = float(np.interp(gravity, _GRAVITIES, _PRESSURES_MPA))
    return 0.8 * middle, 1.2 * middle


def density_taken(wood: Wood) -> bool:
    """True where the pressure on a joint goes by density, and no table gives it."""
    return _kind(wood) is None and wood.gravity_12 is None


def _kind(wood: Wood) -> str | None:
    """The group that all it may be belong to; None where the pressure goes by density."""
    groups = {member.group for member in wood.candidates}
    return groups.pop() if len(groups) == 1 and groups <= PRESSURE_MPA.keys() else None


def needed_clamps(force_kn: float, clamp_kn: float) -> int:
    """How many clamps give a force; two at the least. Half a percent of it asks for no clamp more, as no
    clamp is known that well (judgement)."""
    return max(2, int(np.ceil(0.995 * force_kn / clamp_kn)))
