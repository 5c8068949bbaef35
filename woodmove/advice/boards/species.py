"""What do the tables know of this wood?"""

from collections.abc import Iterable, Sequence
from typing import Annotated

from woodmove.contract.answer import Answer, know
from woodmove.contract.notes import Assumption, Note, note
from woodmove.contract.quantity import MOISTURE, MOVEMENT, PER_POINT, STIFFNESS, Quantity
from woodmove.contract.ranges import Range
from woodmove.contract.shown import Shown, results
from woodmove.domain.species import Species

GRAVITY = Quantity("_gravity", ("", 0.01, 0.01), ("", 0.01, 0.01))
SHRINKAGE = Quantity("_pct", ("%", 0.1, 0.1), ("%", 0.1, 0.1))
# Of a table: as it is printed there, in either system.
STRENGTH = Quantity("_kpa", ("kPa", 1, 1), ("kPa", 1, 1))
ELASTIC_RATIO = Quantity("_over_el", ("", 0.001, 0.001), ("", 0.001, 0.001))


@results
class SpeciesRow:
    """A species or mix of the list."""

    key: Annotated[str, Shown("key", None, "key")]
    name: Annotated[str, Shown("name", None, "key")]
    group: Annotated[str, Shown("group", None, "key")]
    provider: Annotated[str, Shown("provider", None, "key")]


@results
class Woods:
    """The woods that are known."""

    species: Annotated[tuple[SpeciesRow, ...], Shown("species", None, "key")]


@results
class Member:
    """A species of a mix, by the first of its tables; None where no table gives its movement."""

    key: Annotated[str, Shown("key", None, "key")]
    name: Annotated[str, Shown("name", None, "key")]
    radial_per_pct: Annotated[float | None, Shown("radial", PER_POINT, "key")]
    tangential_per_pct: Annotated[float | None, Shown("tangential", PER_POINT, "key")]
    status: Annotated[str | None, Shown("status", None, "key")]
    source: Annotated[str | None, Shown("source", None, "key")]
    remark: Annotated[str | None, Shown("remark", None, "key")]


@results
class CoefficientsOfTable:
    """Dimensional change coefficients of one table."""

    edition: Annotated[str, Shown("edition", None, "key")]
    radial_per_pct: Annotated[float, Shown("radial", PER_POINT, "key")]
    tangential_per_pct: Annotated[float, Shown("tangential", PER_POINT, "key")]
    status: Annotated[str, Shown("status", None, "key")]
    source: Annotated[str, Shown("source", None, "key")]
    remark: Annotated[str, Shown("remark", None, "key")]


@results
class ShrinkageOfTable:
    """Total shrinkage, green to oven-dry; None where the table is silent."""

    radial_pct: Annotated[float | None, Shown("radial", SHRINKAGE, "key")]
    tangential_pct: Annotated[float | None, Shown("tangential", SHRINKAGE, "key")]
    volumetric_pct: Annotated[float | None, Shown("volumetric", SHRINKAGE, "key")]
    status: Annotated[str, Shown("status", None, "key")]
    source: Annotated[str, Shown("source", None, "key")]
    remark: Annotated[str, Shown("remark", None, "key")]


@results
class GravityOfTable:
    """Specific gravity on one basis."""

    basis: Annotated[str, Shown("basis", None, "key")]
    specific_gravity: Annotated[float, Shown("specific gravity", GRAVITY, "key")]
    status: Annotated[str, Shown("status", None, "key")]
    source: Annotated[str, Shown("source", None, "key")]
    remark: Annotated[str, Shown("remark", None, "key")]


@results
class AcrossGrainOfTable:
    """Tension strength across the grain and stiffness along it, green or dry."""

    condition: Annotated[str, Shown("condition", None, "key")]
    tension_across_kpa: Annotated[float | None, Shown("tension across", STRENGTH, "key")]
    stiffness_along_gpa: Annotated[float | None, Shown("stiffness along", STIFFNESS, "key")]
    status: Annotated[str, Shown("status", None, "key")]
    source: Annotated[str, Shown("source", None, "key")]
    remark: Annotated[str, Shown("remark", None, "key")]


@results
class RatiosOfTable:
    """Stiffness ratios to that along the grain."""

    et_over_el: Annotated[float, Shown("ET/EL", ELASTIC_RATIO, "key")]
    er_over_el: Annotated[float, Shown("ER/EL", ELASTIC_RATIO, "key")]
    glr_over_el: Annotated[float | None, Shown("GLR/EL", ELASTIC_RATIO, "key")]
    glt_over_el: Annotated[float | None, Shown("GLT/EL", ELASTIC_RATIO, "key")]
    grt_over_el: Annotated[float | None, Shown("GRT/EL", ELASTIC_RATIO, "key")]
    status: Annotated[str, Shown("status", None, "key")]
    source: Annotated[str, Shown("source", None, "key")]
    remark: Annotated[str, Shown("remark", None, "key")]


@results
class OfSpecies:
    """What the tables know of a wood; of a mix the span of its members, and no more."""

    key: Annotated[str, Shown("key")]
    name: Annotated[str, Shown("name")]
    group: Annotated[str, Shown("group")]
    provider: Annotated[str, Shown("provider")]
    aliases: Annotated[str | None, Shown("aliases")]
    fibre_saturation_pct: Annotated[float | None, Shown("fibre saturation", MOISTURE)]
    members: Annotated[tuple[Member, ...], Shown("members", None, "key")]
    radial_span_per_pct: Annotated[Range | None, Shown("radial span", PER_POINT)]
    tangential_span_per_pct: Annotated[Range | None, Shown("tangential span", PER_POINT)]
    coefficients: Annotated[tuple[CoefficientsOfTable, ...], Shown("coefficients", None, "key")]
    shrinkage: Annotated[tuple[ShrinkageOfTable, ...], Shown("shrinkage")]
    specific_gravity: Annotated[tuple[GravityOfTable, ...], Shown("specific gravity")]
    across_grain: Annotated[tuple[AcrossGrainOfTable, ...], Shown("across grain")]
    stiffness_ratios: Annotated[tuple[RatiosOfTable, ...], Shown("stiffness ratios")]


def listing(species: Iterable[tuple[Species, str]]) -> Answer[Woods]:
    """Every species and mix.

    :param species: each with the name of its provider
    """
    rows = tuple(
        SpeciesRow(key=item.key, name=item.name, group=item.group, provider=provider)
        for item, provider in species
    )
    return Answer(know(KNOWN_WOODS(count=len(rows))), Woods(species=rows))


def show(species: Species, members: Iterable[Species], provider: str) -> Answer[OfSpecies]:
    """Every value of a species, with its status and source; of a mix, the span of its members.

    :param members: the species of a mix, empty for a species
    """
    members = tuple(members)
    first = [member.coefficients[0] for member in members if member.coefficients]
    found = OfSpecies(
        key=species.key,
        name=species.name,
        group=species.group,
        provider=provider,
        aliases=", ".join(species.aliases) or None,
        fibre_saturation_pct=species.fibre_saturation_pct if not species.members else None,
        members=tuple(map(_member, members)),
        radial_span_per_pct=_span([c.radial for c in first]) if first else None,
        tangential_span_per_pct=_span([c.tangential for c in first]) if first else None,
        coefficients=tuple(
            CoefficientsOfTable(
                edition=c.edition,
                radial_per_pct=c.radial,
                tangential_per_pct=c.tangential,
                status=c.known.status.value,
                source=c.known.source,
                remark=c.known.remark,
            )
            for c in species.coefficients
        ),
        shrinkage=tuple(
            ShrinkageOfTable(
                radial_pct=s.radial_pct,
                tangential_pct=s.tangential_pct,
                volumetric_pct=s.volumetric_pct,
                status=s.known.status.value,
                source=s.known.source,
                remark=s.known.remark,
            )
            for s in species.shrinkage
        ),
        specific_gravity=tuple(
            GravityOfTable(
                basis=g.basis,
                specific_gravity=g.value,
                status=g.known.status.value,
                source=g.known.source,
                remark=g.known.remark,
            )
            for g in species.specific_gravity
        ),
        across_grain=tuple(
            AcrossGrainOfTable(
                condition=a.condition,
                tension_across_kpa=a.tension_kpa,
                stiffness_along_gpa=a.stiffness_along_gpa,
                status=a.known.status.value,
                source=a.known.source,
                remark=a.known.remark,
            )
            for a in species.across_grain
        ),
        stiffness_ratios=_ratios(species),
    )
    tables = (
        found.members, found.coefficients, found.shrinkage, found.specific_gravity, found.across_grain,
        found.stiffness_ratios,
    )  # fmt: skip
    return Answer(
        know(_in_a_sentence(species, members)),
        found,
        _assumptions(species),
        tuple(row.source for table in tables for row in table if row.source),
    )


def _ratios(species: Species) -> tuple[RatiosOfTable, ...]:
    if (ratios := species.stiffness_ratios) is None:
        return ()
    return (
        RatiosOfTable(
            et_over_el=ratios.tangential,
            er_over_el=ratios.radial,
            glr_over_el=ratios.shear_lr,
            glt_over_el=ratios.shear_lt,
            grt_over_el=ratios.shear_rt,
            status=ratios.known.status.value,
            source=ratios.known.source,
            remark=ratios.known.remark,
        ),
    )


KNOWN_WOODS = note("KNOWN_WOODS", "Woods and lumber-yard mixes that are known: {count}.", count=None)
MOVES_BY = note(
    "MOVES_BY",
    "{name}: a point of moisture moves flat-sawn wood {flat_per_m}, quarter-sawn {quarter_per_m}.",
    name=None, flat_per_m=MOVEMENT, quarter_per_m=MOVEMENT,
)  # fmt: skip
A_MIX = note("A_MIX", "{name} is a mix: any board may be one of {count} woods.", name=None, count=None)
NOT_TOLD = note("NOT_TOLD", "{name}: no table gives its movement.", name=None)
_M_MM = 1000.0


def _in_a_sentence(species: Species, members: Sequence[Species]) -> Note:
    if members:
        return A_MIX(name=species.name, count=len(members))
    if not species.coefficients:
        return NOT_TOLD(name=species.name)
    first = species.coefficients[0]
    flat, quarter = (_M_MM * each for each in (first.tangential, first.radial))
    return MOVES_BY(name=species.name, flat_per_m=flat, quarter_per_m=quarter)


def _member(member: Species) -> Member:
    first = member.coefficients[0] if member.coefficients else None
    return Member(
        key=member.key,
        name=member.name,
        radial_per_pct=first and first.radial,
        tangential_per_pct=first and first.tangential,
        status=first and first.known.status.value,
        source=first and first.known.source,
        remark=first and first.known.remark,
    )


def _span(values: list[float]) -> Range:
    return Range(sum(values) / len(values), min(values), max(values))


def _assumptions(species: Species) -> tuple[Assumption, ...]:
    if not species.members:
        return ()
    remark = species.known.remark if species.known else ""
    return (Assumption("MIX", "A board of this mix may be any member. {remark}", {"remark": remark}),)
