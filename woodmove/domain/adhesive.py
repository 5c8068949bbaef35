"""Adhesives by their type: how long they stay open, what they need, and the water that they bring."""

from dataclasses import dataclass

from woodmove.contract.values import of_values
from woodmove.domain.species import Known

# What makes an adhesive set: its water leaving it, moisture reaching it, or its own reaction.
SETS_BY = ("water", "moisture", "reaction")
CLAMPING = ("full", "contact")


@dataclass(frozen=True, slots=True)
class Adhesive:
    """A type of adhesive; its times are those at 21 °C (70 °F), 50 % RH and wood at 8 % MC.

    :param key: as typed after ``--adhesive``
    :param sets_by: one of :data:`SETS_BY`
    :param open_min: from the spreading to the closing of a joint [min]
    :param assembly_min: from the spreading to the pressure, open time included [min]
    :param clamp_h: in the clamps [h]
    :param full_h: until it may be machined [h]
    :param spread_g_m2: on a joint [g/m²]
    :param water_pct: of what is spread [% of its weight]
    :param mc_low_pct: driest wood that it suits [%]
    :param mc_high_pct: wettest [%]
    :param temp_low_c: coldest wood, air and adhesive [°C]
    :param gap_mm: width of joint that suits it [mm]
    :param clamping: one of :data:`CLAMPING`: pressed hard, or only into contact
    :param practice: what else to know, a sentence or two
    :raises ValueError: a value that no adhesive has
    """

    key: str
    name: str
    sets_by: str
    open_min: float
    assembly_min: float
    clamp_h: float
    full_h: float
    spread_g_m2: float
    water_pct: float
    mc_low_pct: float
    mc_high_pct: float
    temp_low_c: float
    gap_mm: float
    clamping: str
    practice: str
    known: Known
    aliases: tuple[str, ...] = ()

    @of_values
    def __post_init__(self) -> None:
        # Comparisons stand so that NaN, which compares with nothing, is refused too.
        if self.sets_by not in SETS_BY:
            raise ValueError(f"{self.key}: sets by one of {', '.join(SETS_BY)}, not {self.sets_by!r}")
        if self.clamping not in CLAMPING:
            raise ValueError(f"{self.key}: clamping is {' or '.join(CLAMPING)}, not {self.clamping!r}")
        if not 0 < self.open_min <= self.assembly_min < 1440:
            raise ValueError(f"{self.key}: open time is above 0 and at most the assembly time")
        if not 0 < self.clamp_h <= self.full_h < 1000:
            raise ValueError(f"{self.key}: time in the clamps is above 0 and at most the time to machining")
        if not 0 < self.spread_g_m2 < 2000 or not 0 <= self.water_pct < 100:
            raise ValueError(f"{self.key}: a spread is above 0 g/m², and less than all of it is water")
        if not 0 <= self.mc_low_pct < self.mc_high_pct <= 30:
            raise ValueError(f"{self.key}: the driest wood is drier than the wettest")
        if not -30 < self.temp_low_c < 60 or not 0 < self.gap_mm < 20:
            raise ValueError(f"{self.key}: the coldest temperature or the gap is out of reason")
