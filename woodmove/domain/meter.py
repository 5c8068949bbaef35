"""Moisture meters, and what their readings mean; the oven-dry arithmetic beside them."""

from dataclasses import dataclass

from woodmove.contract.refusal import Refusal
from woodmove.contract.values import of_values
from woodmove.domain.species import Known
from woodmove.physics.arrays import FloatOrArray

# 90 % of a normal distribution lie within this many standard deviations.
_BOUND_90 = 1.645
# A meter of another setting than the wood, with no pair to translate it, is taken to be off by so much of its
# reading, as a 90 % bound (status: judgement). Two settings in a maker's guide differ by 7 and by 17 %.
UNKNOWN_PAIR = 0.15
# Specific gravity of boards of one species: coefficient of variation (source: a meter's manual; published).
GRAVITY_SCATTER = 0.10


@dataclass(frozen=True, slots=True)
class Accuracy:
    """How near corrected readings come, from `low_pct` to `high_pct`: within `points`, as a 90 % bound."""

    low_pct: float
    high_pct: float
    points: float
    known: Known


@dataclass(frozen=True, slots=True)
class SpeciesPair:
    """How a species reads on a meter's own scale: MC = (scale reading - offset) / slope."""

    species: str
    slope: float
    offset: float
    known: Known


@dataclass(frozen=True, slots=True)
class Corrected:
    """A reading, corrected.

    :param mc_pct: as near as corrections bring it [%]
    :param bound_points: how far off it may be, as a 90 % bound [points], the accuracy of the meter left out
    :param steps: what was done, in words
    """

    mc_pct: float
    bound_points: float
    steps: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Meter:
    """A kind of moisture meter.

    :param key: as typed after ``--meter``
    :param principle: "pin" (resistance), "pinless" (capacitance) or "oven" (weighing before and after)
    :param low_pct: where its reliable range begins [%]
    :param high_pct: where it ends [%]
    :param accuracy: by band of moisture content
    :param calibrated_c: wood temperature at which it reads right [°C], None where temperature does not count
    :param points_per_c: added for each °C that the wood is colder than that
    :param pairs: species whose setting is known
    :raises ValueError: another principle, or a range that does not rise
    """

    key: str
    name: str
    principle: str
    low_pct: float
    high_pct: float
    accuracy: tuple[Accuracy, ...]
    known: Known
    calibrated_c: float | None = None
    points_per_c: float = 0.0
    pairs: tuple[SpeciesPair, ...] = ()
    aliases: tuple[str, ...] = ()
    practice: str = ""

    @of_values
    def __post_init__(self) -> None:
        if self.principle not in ("pin", "pinless", "oven"):
            raise ValueError(f"{self.key}: a meter is pin, pinless or oven, not {self.principle!r}")
        if not 0 <= self.low_pct < self.high_pct:
            raise ValueError(f"{self.key}: the range of a meter rises")

    def within_points(self, mc_pct: float) -> float | None:
        """How near corrected readings come at a moisture content [points], None outside its bands."""
        fitting = [band.points for band in self.accuracy if band.low_pct <= mc_pct <= band.high_pct]
        return min(fitting, default=None)

    def corrected(
        self,
        reading_pct: float,
        wood_temp_c: float | None = None,
        species: str = "",
        setting: str = "",
        gravity: float | None = None,
        gravity_setting: float | None = None,
    ) -> Corrected:
        """A reading with what is known of it taken off.

        :param species: key of the wood
        :param setting: key of the species that the meter is set to; the wood itself where nobody said so
        :param gravity: of this very board, near 12 % MC, where it was measured
        :param gravity_setting: specific gravity that a pinless meter is set to
        """
        mc, bound = reading_pct, 0.0
        steps: list[str] = []
        if self.principle == "pinless" and gravity_setting and gravity:
            mc *= gravity_setting / gravity
            steps.append(f"density {gravity:g} against the setting {gravity_setting:g}")
        elif self.principle == "pinless":
            bound = _BOUND_90 * GRAVITY_SCATTER * mc
            steps.append("density of the board unknown: boards of one species scatter by 10 %")
        elif self.principle == "pin" and setting and setting != species:
            mc, bound, step = self._translated(mc, species, setting)
            steps.append(step)
        if self.calibrated_c is not None and self.points_per_c and wood_temp_c is not None:
            added = self.points_per_c * (self.calibrated_c - wood_temp_c)
            mc += added
            steps.append(f"temperature {round(added, 1) + 0.0:+.1f} points")
        return Corrected(max(mc, 0.0), bound, tuple(steps))

    def _translated(self, mc: float, species: str, setting: str) -> tuple[float, float, str]:
        by_species = {pair.species: pair for pair in self.pairs}
        of_wood, of_setting = by_species.get(species), by_species.get(setting)
        if of_wood is None or of_setting is None:
            return mc, UNKNOWN_PAIR * mc, f"set to {setting}: nothing translates that to {species}"
        scale = of_setting.slope * mc + of_setting.offset
        return (scale - of_wood.offset) / of_wood.slope, 0.0, f"from the setting {setting} to {species}"


def mc_of_weights_pct(weight_g: float, dry_g: float) -> float:
    """Moisture content [% of the oven-dry mass] of a piece, from its weight and its oven-dry weight [g].

    :raises Refusal: a weight that is not above 0, or below the oven-dry weight
    Source: astm-d4442 (the definition).
    """
    if dry_g <= 0 or weight_g < dry_g:
        raise Refusal(
            "WEIGHTS_SWAPPED",
            f"A piece of {weight_g:g} g cannot be {dry_g:g} g when it is oven-dry.",
            "Wood weighs the least when it is oven-dry, and then more than nothing.",
            "The weight with moisture is the larger one: swap the two, or weigh again.",
            fields=("weight_g", "dry_g"),
        )
    return 100.0 * (weight_g - dry_g) / dry_g


def target_weight_g(weight_g: float, mc_pct: FloatOrArray, target_mc_pct: float) -> FloatOrArray:
    """What a piece of `weight_g` [g] at `mc_pct` [%] will weigh at `target_mc_pct` [%]: the oven-dry mass
    stays. Source: astm-d4442 (the definition)."""
    return weight_g * (100.0 + target_mc_pct) / (100.0 + mc_pct)
