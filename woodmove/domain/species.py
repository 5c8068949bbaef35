"""Species of wood: what the tables say, each value with its status and source."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from woodmove.contract.refusal import Refusal
from woodmove.contract.values import of_values
from woodmove.physics.density import gravity_at_mc, green_gravity
from woodmove.physics.restraint import stiffness_across_gpa
from woodmove.sources import Status


@dataclass(frozen=True, slots=True)
class Known:
    """How a value is known: a word of :class:`woodmove.sources.Status`, a source key (or a citation),
    and a remark where one is needed."""

    status: Status
    source: str
    remark: str = ""

    def __post_init__(self) -> None:
        # A plugin may give the word itself; what is neither is set aside with its place.
        if type(self.status) is str:
            object.__setattr__(self, "status", Status(self.status))


@dataclass(frozen=True, slots=True)
class Coefficients:
    """Dimensional change coefficients [per % MC, on the dimension at 10 % MC] of one table.

    :param edition: what tells it from others of the same wood: the year of a book, or a word for a source
    :param radial: across the rings
    :param tangential: along the rings
    :raises ValueError: a coefficient outside 0 to 0.02
    """

    edition: str
    radial: float
    tangential: float
    known: Known

    @of_values
    def __post_init__(self) -> None:
        _between("radial coefficient", self.radial, 0.0, 0.02)
        _between("tangential coefficient", self.tangential, 0.0, 0.02)


@dataclass(frozen=True, slots=True)
class Shrinkage:
    """Total shrinkage, green to oven-dry [% of the green dimension]; None where the table is silent."""

    radial_pct: float | None
    tangential_pct: float | None
    volumetric_pct: float | None
    known: Known

    @of_values
    def __post_init__(self) -> None:
        for name in ("radial_pct", "tangential_pct", "volumetric_pct"):
            _between(name, getattr(self, name), 0.0, 50.0)


@dataclass(frozen=True, slots=True)
class SpecificGravity:
    """Oven-dry mass over volume at `basis`: "green", "12 %" or "oven-dry". Bases are never mixed."""

    basis: str
    value: float
    known: Known

    @of_values
    def __post_init__(self) -> None:
        if self.basis not in ("green", "12 %", "oven-dry"):
            raise ValueError(f"basis of a specific gravity is green, 12 % or oven-dry, not {self.basis!r}")
        _between("specific gravity", self.value, 0.05, 1.5)


@dataclass(frozen=True, slots=True)
class AcrossGrain:
    """Tension strength across the grain [kPa] and stiffness along it [GPa] at `condition`:
    "green" or "12 %"."""

    condition: str
    tension_kpa: float | None
    stiffness_along_gpa: float | None
    known: Known

    @of_values
    def __post_init__(self) -> None:
        _between("tension across the grain", self.tension_kpa, 0.0, 100_000.0)
        _between("stiffness along the grain", self.stiffness_along_gpa, 0.0, 100.0)


@dataclass(frozen=True, slots=True)
class StiffnessRatios:
    """Stiffness ratios to E_L at about 12 % MC: E_T, E_R, and the shear moduli where known."""

    tangential: float
    radial: float
    shear_lr: float | None
    shear_lt: float | None
    shear_rt: float | None
    known: Known

    @of_values
    def __post_init__(self) -> None:
        for name in ("tangential", "radial", "shear_lr", "shear_lt", "shear_rt"):
            _between(f"stiffness ratio {name}", getattr(self, name), 0.0, 1.0)


@dataclass(frozen=True, slots=True)
class HeldAcross:
    """What decides the stress of wood that is held across the grain: tension strength [kPa], stiffness along
    and across the rings and rolling shear modulus [GPa], at about 12 % MC; None where no table gives it."""

    tension_kpa: float
    tangential_gpa: float
    radial_gpa: float
    shear_rt_gpa: float | None


@dataclass(frozen=True, slots=True)
class Species:
    """A species, or a lumber-yard mix of several.

    :param key: lower case with hyphens, as typed
    :param group: "hardwood", "softwood", "imported" or "mix"
    :param coefficients: the central ones first, the other end of their doubt last: editions from the newest
        on, sources from the middle out; of a mix, empty
    :param fibre_saturation_pct: MC at which shrinkage begins [%]
    :param members: keys of the member species of a mix; whatever is asked of a mix is the span of these
    """

    key: str
    name: str
    group: str
    aliases: tuple[str, ...] = ()
    coefficients: tuple[Coefficients, ...] = ()
    fibre_saturation_pct: float = 30.0
    shrinkage: tuple[Shrinkage, ...] = ()
    specific_gravity: tuple[SpecificGravity, ...] = ()
    across_grain: tuple[AcrossGrain, ...] = ()
    stiffness_ratios: StiffnessRatios | None = None
    members: tuple[str, ...] = ()
    known: Known | None = None

    @of_values
    def __post_init__(self) -> None:
        if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", self.key):
            raise ValueError(f"a species key is lower-case words joined by hyphens, not {self.key!r}")
        _between("fibre saturation", self.fibre_saturation_pct, 15.0, 40.0)

    @property
    def gravity_12(self) -> float | None:
        """Specific gravity, oven-dry mass over volume at 12 % MC; from the green or the oven-dry value where
        only that is known, None where nothing is."""
        by_basis = {gravity.basis: gravity.value for gravity in self.specific_gravity}
        if "12 %" in by_basis:
            return by_basis["12 %"]
        saturation = self.fibre_saturation_pct
        if "green" in by_basis:
            return float(gravity_at_mc(by_basis["green"], 12.0, saturation))
        if "oven-dry" in by_basis:
            green = green_gravity(by_basis["oven-dry"], 0.0, saturation)
            return float(gravity_at_mc(green, 12.0, saturation))
        return None

    @property
    def held_across(self) -> HeldAcross | None:
        """Strength and stiffness across the grain at 12 % MC, None where a table is silent.

        Source: fpl-gtr-282 chapter 5, strengths and stiffness ratios.
        """
        dry = next((across for across in self.across_grain if across.condition == "12 %"), None)
        ratios = self.stiffness_ratios
        if dry is None or ratios is None or dry.tension_kpa is None or dry.stiffness_along_gpa is None:
            return None
        tangential, radial = (
            float(stiffness_across_gpa(dry.stiffness_along_gpa, ratio))
            for ratio in (ratios.tangential, ratios.radial)
        )
        shear = (
            None
            if ratios.shear_rt is None
            else float(stiffness_across_gpa(dry.stiffness_along_gpa, ratios.shear_rt))
        )
        return HeldAcross(dry.tension_kpa, tangential, radial, shear)

    def coefficients_of(self, edition: str | None) -> Coefficients:
        """The coefficients of an edition, or the first where none is asked for.

        :raises Refusal: no coefficients, or none of that edition
        """
        if not self.coefficients:
            raise Refusal(
                "NO_COEFFICIENTS",
                f"No table gives dimensional change coefficients for {self.name}.",
                "Movement needs a species with coefficients.",
                f"Type woodmove show species {self.key} to see what is known, or choose another species.",
                fields=("species",),
            )
        if edition is None:
            return self.coefficients[0]
        for coefficients in self.coefficients:
            if coefficients.edition == edition:
                return coefficients
        have = ", ".join(c.edition for c in self.coefficients)
        raise Refusal(
            "NO_EDITION",
            f"There are no {edition} coefficients for {self.name}.",
            f"What the tables hold for it: {have}.",
            "Name one of these, or none for the first.",
        )


@dataclass(frozen=True, slots=True)
class SpeciesShares:
    """Names of the species whose strips lie in one top.

    :param shares: names as typed, and the share of the strips that each makes up, which sum to 1
    """

    shares: tuple[tuple[str, float], ...]

    @property
    def names(self) -> tuple[str, ...]:
        """In the order in which they were typed."""
        return tuple(name for name, _ in self.shares)

    @property
    def main(self) -> str:
        """That of most strips; of those alike the first."""
        return max(self.shares, key=lambda pair: pair[1])[0]

    def __str__(self) -> str:
        least = min(share for _, share in self.shares)
        return ", ".join(f"{name}:{share / least:.4g}" for name, share in self.shares)


# A name may have commas and colons in it: "Oak, red: northern red".
_SHARE = re.compile(r"\s*(?P<name>.+?)\s*:\s*(?P<share>\d+(\.\d+)?)\s*(,|$)")


def read_species(text: str) -> str | SpeciesShares:
    """A species, or several with the shares of their strips: ``southern-pine:2, hem-fir:1``.

    :raises ValueError: a share that is none, or shares of some and not of others
    """
    found = list(_SHARE.finditer(text))
    if not found:
        return text.strip()
    if "".join(one.group() for one in found) != text:
        raise ValueError(
            f"{text!r} does not give a share of each species, as southern-pine:2, hem-fir:1 does"
        )
    pairs = [(one["name"], float(one["share"])) for one in found]
    if bad := next((name for name, share in pairs if not 0 < share <= 10_000), None):
        raise ValueError(f"{text!r} gives no share of the strips to {bad}, such as 2")
    whole = sum(share for _, share in pairs)
    if len(pairs) == 1:
        return pairs[0][0]
    return SpeciesShares(tuple((name, share / whole) for name, share in pairs))


@dataclass(frozen=True, slots=True)
class Wood:
    """The species that a piece may be: one, or each member of a lumber-yard mix, equally likely. A top may
    hold strips of others too, each known.

    :param species: what was asked for; of a top of several, that of most strips
    :param candidates: one or more species that have coefficients
    :param edition: the edition asked for, None for each candidate's first
    :param others: further woods of a top, and the share of its strips that each makes up
    """

    species: Species
    candidates: Sequence[Species]
    edition: str | None = None
    others: "tuple[tuple[Wood, float], ...]" = ()

    @property
    def parts(self) -> "tuple[tuple[Wood, float], ...]":
        """All woods of a top, each without others, and their shares, which sum to 1."""
        rest = sum(share for _, share in self.others)
        return ((replace(self, others=()), 1.0 - rest), *self.others)

    @property
    def coefficients(self) -> tuple[Coefficients, ...]:
        """Coefficients of each candidate, in order; of the others none."""
        return tuple(candidate.coefficients_of(self.edition) for candidate in self.candidates)

    @property
    def members(self) -> tuple[Species, ...]:
        """Every species that any strip of a top may be."""
        return tuple(member for wood, _ in self.parts for member in wood.candidates)

    @property
    def sources(self) -> tuple[str, ...]:
        """Where the coefficients of all of them stand."""
        return tuple(each.known.source for wood, _ in self.parts for each in wood.coefficients)

    @property
    def gravity_12(self) -> float | None:
        """Mean specific gravity of the candidates at 12 % MC, of a top that of its strips; None where one of
        its woods has none."""
        gravities: list[float] = []
        for wood, share in self.parts:
            known = [g for g in (candidate.gravity_12 for candidate in wood.candidates) if g is not None]
            if not known:
                return None
            gravities.append(share * sum(known) / len(known))
        return sum(gravities)

    @property
    def apart(self) -> float:
        """By how much the tangential coefficient exceeds the radial one [per % MC], in the mean of a top."""
        return self.mean(
            lambda wood: sum(c.tangential - c.radial for c in wood.coefficients) / len(wood.coefficients)
        )

    def mean(self, of: "Callable[[Wood], float]") -> float:
        """Mean over the strips of a top of a value of their wood."""
        return sum(share * of(wood) for wood, share in self.parts)


def _between(what: str, value: float | None, low: float, high: float) -> None:
    # Written so that NaN, which compares with nothing, is refused too.
    if value is not None and not low < value <= high:
        raise ValueError(f"{what} lies between {low:g} and {high:g}, not {value!r}")
