"""What do the tables know of this wood?"""

from collections.abc import Iterable, Mapping
from typing import Any

from woodmove.contract.answer import know
from woodmove.contract.notes import Assumption, Note, note
from woodmove.contract.quantity import MOVEMENT
from woodmove.contract.ranges import Range
from woodmove.contract.untyped import UntypedAnswer
from woodmove.domain.species import Known, Species


def listing(species: Iterable[tuple[Species, str]]) -> UntypedAnswer:
    """Every species and mix.

    :param species: each with the name of its provider
    """
    rows = [
        {"key": item.key, "name": item.name, "group": item.group, "provider": provider}
        for item, provider in species
    ]
    return UntypedAnswer(
        "species list", {}, {"species": rows}, verdict=know(KNOWN_WOODS(count=len(rows))), key=("species",)
    )


# Those of the results whose rows have a source of their own.
_TABLES = (
    "members", "coefficients", "shrinkage", "specific_gravity", "across_grain", "stiffness_ratios",
)  # fmt: skip


def show(
    species: Species, members: Iterable[Species], provider: str, inputs: Mapping[str, Any]
) -> UntypedAnswer:
    """Every value of a species, with its status and source; of a mix, the span of its members.

    :param members: the species of a mix, empty for a species
    """
    results: dict[str, Any] = {
        "key": species.key,
        "name": species.name,
        "group": species.group,
        "provider": provider,
        "aliases": ", ".join(species.aliases) or None,
        "fibre_saturation_pct": species.fibre_saturation_pct if not species.members else None,
    }
    members = tuple(members)
    if species.members:
        results["members"] = [_member(member) for member in members]
        first = [member.coefficients[0] for member in members if member.coefficients]
        results["radial_span_per_pct"] = _span([c.radial for c in first])
        results["tangential_span_per_pct"] = _span([c.tangential for c in first])
    results["coefficients"] = [
        {"edition": c.edition, "radial_per_pct": c.radial, "tangential_per_pct": c.tangential}
        | _known(c.known)
        for c in species.coefficients
    ]
    results["shrinkage"] = [
        {"radial_pct": s.radial_pct, "tangential_pct": s.tangential_pct, "volumetric_pct": s.volumetric_pct}
        | _known(s.known)
        for s in species.shrinkage
    ]
    results["specific_gravity"] = [
        {"basis": g.basis, "specific_gravity": g.value} | _known(g.known) for g in species.specific_gravity
    ]
    results["across_grain"] = [
        {
            "condition": a.condition,
            "tension_across_kpa": a.tension_kpa,
            "stiffness_along_gpa": a.stiffness_along_gpa,
        }
        | _known(a.known)
        for a in species.across_grain
    ]
    ratios = species.stiffness_ratios
    results["stiffness_ratios"] = (
        []
        if ratios is None
        else [
            {
                "et_over_el": ratios.tangential,
                "er_over_el": ratios.radial,
                "glr_over_el": ratios.shear_lr,
                "glt_over_el": ratios.shear_lt,
                "grt_over_el": ratios.shear_rt,
            }
            | _known(ratios.known)
        ]
    )
    sources = [row["source"] for name in _TABLES for row in results.get(name, ()) if row.get("source")]
    return UntypedAnswer(
        "species show",
        inputs,
        {name: value for name, value in results.items() if value != []},
        assumptions=_assumptions(species),
        sources=tuple(sources),
        verdict=know(_in_a_sentence(species, results)),
        key=("coefficients", "members") if not results.get("members") else ("members",),
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


def _in_a_sentence(species: Species, results: Mapping[str, Any]) -> Note:
    if results.get("members"):
        return A_MIX(name=species.name, count=len(results["members"]))
    if not species.coefficients:
        return NOT_TOLD(name=species.name)
    first = species.coefficients[0]
    flat, quarter = (_M_MM * each for each in (first.tangential, first.radial))
    return MOVES_BY(name=species.name, flat_per_m=flat, quarter_per_m=quarter)


def _member(member: Species) -> dict[str, Any]:
    first = member.coefficients[0] if member.coefficients else None
    row: dict[str, Any] = {"key": member.key, "name": member.name}
    if first is not None:
        row |= {"radial_per_pct": first.radial, "tangential_per_pct": first.tangential}
        row |= _known(first.known)
    return row


def _span(values: list[float]) -> Range:
    return Range(sum(values) / len(values), min(values), max(values))


def _known(known: Known) -> dict[str, str]:
    return {"status": known.status.value, "source": known.source, "remark": known.remark}


def _assumptions(species: Species) -> tuple[Assumption, ...]:
    if not species.members:
        return ()
    remark = species.known.remark if species.known else ""
    return (Assumption("MIX", "A board of this mix may be any member. {remark}", {"remark": remark}),)
