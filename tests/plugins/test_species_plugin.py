"""The species plugin: nothing lost of the Wood handbook's tables, every value with status and source.

The woods from elsewhere are in test_species_world.py.
"""

from collections import Counter
from collections.abc import Iterator

import pytest
from woodmove_species import woodmove_species
from woodmove_species.loader import KPA_PER_PSI

from woodmove.extend.api import SOURCES, Catalogue, Known, Refusal, Species, Status, slug
from woodmove.extend.science import shrinkage

ALL: dict[str, Species] = {species.key: species for species in woodmove_species()}
# Of some woods the handbook has no coefficients, or a row that was recalled, and others were read elsewhere.
HANDBOOK = [s for s in ALL.values() if s.shrinkage or all(row.edition.isdigit() for row in s.coefficients)]
SINGLE = [species for species in HANDBOOK if species.group != "mix"]
MIXES = [species for species in HANDBOOK if species.group == "mix"]
by_key = pytest.mark.parametrize("species", ALL.values(), ids=lambda species: species.key)


def values(species: Species) -> Iterator[Known]:
    for value in (
        *species.coefficients,
        *species.shrinkage,
        *species.specific_gravity,
        *species.across_grain,
        *([species.stiffness_ratios] if species.stiffness_ratios else []),
    ):
        yield value.known


# Nothing lost. The counts are those of the printed tables as far as they were read or recalled.


def test_entries() -> None:
    assert Counter(species.group for species in HANDBOOK) == {
        "hardwood": 85, "softwood": 48, "imported": 49, "mix": 4,
    }  # fmt: skip
    assert len(woodmove_species()) == len(ALL)


def test_coefficients_of_every_row() -> None:
    counts = Counter(
        (c.edition, str(c.known.status)) for s in HANDBOOK for c in s.coefficients if c.edition.isdigit()
    )
    assert counts == {
        ("2021", "published"): 19,
        ("2021", "derived"): 96,
        # 56 rows, two of which also stand for northern red oak and for white oak. The row of water,
        # laurel and willow oak stands for three.
        ("2010", "published"): 56 + 2 + 2,
        ("2010", "memory"): 3 + 1 + 41 + 26,  # hardwoods, black willow, softwoods, imported
    }


def test_shrinkage_of_every_row() -> None:
    counts = Counter((s.group, str(v.known.status)) for s in HANDBOOK for v in s.shrinkage)
    assert counts == {
        ("hardwood", "published"): 52, ("hardwood", "memory"): 21,
        ("softwood", "published"): 31, ("softwood", "memory"): 12,
        ("imported", "published"): 9 + 9, ("imported", "memory"): 9 + 11,
    }  # fmt: skip
    assert all(len(species.shrinkage) <= 1 for species in ALL.values())


def test_strength_of_every_row() -> None:
    gravity = Counter(
        v.basis for s in HANDBOOK for v in s.specific_gravity if v.known.source.startswith("fpl")
    )
    stiffness = Counter(
        v.condition for s in ALL.values() for v in s.across_grain if v.stiffness_along_gpa is not None
    )
    tension = Counter(v.condition for s in ALL.values() for v in s.across_grain if v.tension_kpa is not None)
    assert gravity == {"green": 113, "12 %": 113 - 2}  # nothing printed for honeylocust and tanoak
    assert stiffness == {"green": 113, "12 %": 113 - 1}  # nothing printed for tanoak
    assert tension == {"green": 89, "12 %": 79}


def test_stiffness_ratios_of_every_row() -> None:
    # 34 rows. Red oak, white oak and redwood stand for two entries each, Douglas-fir for four.
    assert sum(species.stiffness_ratios is not None for species in ALL.values()) == 34 + 1 + 1 + 1 + 3


# Each value, and how it is known.


@by_key
def test_every_value_has_a_status_and_a_known_source(species: Species) -> None:
    for known in values(species):
        assert known.status in set(Status)
        assert known.source in SOURCES
        assert known.remark
    assert species.known is not None
    assert species.known.remark
    if species.group == "mix":
        assert species.known.status == Status.COMMON_PRACTICE
    else:
        assert species.known.source in SOURCES


@pytest.mark.parametrize("species", HANDBOOK, ids=lambda species: species.key)
def test_newest_edition_comes_first_and_each_once(species: Species) -> None:
    editions = [c.edition for c in species.coefficients if c.edition.isdigit()]
    assert editions == sorted(set(editions), reverse=True)
    assert set(editions) <= {"2021", "2010"}


@pytest.mark.parametrize("species", SINGLE, ids=lambda species: species.key)
def test_2021_coefficients_follow_from_total_shrinkage(species: Species) -> None:
    for newest in (c for c in species.coefficients if c.edition == "2021"):
        (total,) = species.shrinkage
        for value, percent in ((newest.radial, total.radial_pct), (newest.tangential, total.tangential_pct)):
            assert percent is not None
            # Half a unit in the last of five decimals.
            expected = shrinkage.coefficient_per_pct(percent, species.fibre_saturation_pct)
            assert value == pytest.approx(expected, rel=0, abs=0.5001e-5)


def test_fibre_saturation() -> None:
    assert ALL["merbau"].fibre_saturation_pct == 24
    lower = {
        species.key: species
        for species in SINGLE
        if species.fibre_saturation_pct != 30 and species.key != "merbau"
    }
    assert set(lower) == {
        "redwood-old-growth", "redwood-young-growth", "western-redcedar", "northern-white-cedar",
        "afrormosia", "apitong", "greenheart", "iroko", "mahogany", "teak",
    }  # fmt: skip
    assert {species.fibre_saturation_pct for species in lower.values()} == {22.0}
    for species in lower.values():
        assert species.known is not None
        assert species.known.status in (Status.DERIVED, Status.MEMORY)


@pytest.mark.parametrize(
    ("key", "edition", "radial", "tangential", "status"),
    [
        ("northern-red-oak", "2021", 0.00137, 0.00304, "published"),
        ("northern-red-oak", "2010", 0.00158, 0.00369, "published"),
        ("white-oak", "2021", 0.00194, 0.00376, "published"),
        ("white-oak", "2010", 0.00180, 0.00365, "published"),
        ("red-oak", "2010", 0.00158, 0.00369, "published"),
        ("white-fir", "2010", 0.00112, 0.00245, "published"),
        ("douglas-fir-coast", "2021", 0.00165, 0.00267, "published"),
        ("douglas-fir-coast", "2010", 0.00165, 0.00267, "memory"),
        ("western-redcedar", "2021", 0.00111, 0.00234, "derived"),
        ("black-willow", "2010", 0.00112, 0.00308, "memory"),
        ("teak", "2010", 0.00101, 0.00186, "memory"),
    ],
)
def test_coefficients_by_hand(key: str, edition: str, radial: float, tangential: float, status: str) -> None:
    found = ALL[key].coefficients_of(edition)
    assert (found.radial, found.tangential, found.known.status) == (radial, tangential, status)


def test_strength_and_stiffness_by_hand() -> None:
    oak = ALL["northern-red-oak"]
    assert {g.basis: g.value for g in oak.specific_gravity} == {"green": 0.56, "12 %": 0.63}
    (dry,) = (a for a in oak.across_grain if a.condition == "12 %")
    assert dry.tension_kpa == pytest.approx(5515.81, abs=0.01)  # 800 psi
    assert dry.stiffness_along_gpa == pytest.approx(12.5485, abs=0.0001)  # 1.82 million psi
    assert oak.stiffness_ratios is not None
    assert (oak.stiffness_ratios.tangential, oak.stiffness_ratios.radial) == (0.082, 0.154)
    assert oak.stiffness_ratios.known.status == Status.MEMORY
    assert pytest.approx(6.894757293168361, rel=1e-15) == KPA_PER_PSI
    # The one wood whose tangential stiffness lies above the radial.
    above = {s.key for s in SINGLE if (r := s.stiffness_ratios) and r.tangential > r.radial}
    assert above == {"redwood-old-growth", "redwood-young-growth"}


def test_remarks_name_the_pooled_and_the_borrowed_rows() -> None:
    for key in ("northern-red-oak", "white-oak"):
        assert "pooled" in ALL[key].coefficients_of("2010").known.remark
    borrowed = {s.key for s in SINGLE for c in s.coefficients if "sister species" in c.known.remark}
    assert borrowed == {"green-ash", "sweet-birch", "cedar-elm", "black-maple", "pond-pine"}


# Names.


def test_names_belong_to_one_species_only() -> None:
    owners: dict[str, str] = {}
    for species in ALL.values():
        names = [slug(alias) for alias in species.aliases]
        assert len(set(names)) == len(names)
        assert slug(species.key) not in names
        for name in {species.key, slug(species.name), *names}:
            assert owners.setdefault(name, species.key) == species.key


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("red oak", "red-oak"),
        ("white oak", "white-oak"),
        ("northern red oak", "northern-red-oak"),
        ("Oak, red: northern red", "northern-red-oak"),
        ("Cedar, western redcedar", "western-redcedar"),
        ("Cedar, western red", "western-redcedar"),
        ("Douglas fir", "douglas-fir-coast"),
        ("Douglas-fir, Coast-type", "douglas-fir-coast"),
        ("hard maple", "sugar-maple"),
        ("tulip poplar", "yellow-poplar"),
        ("Khaya", "african-mahogany"),
        ("Tectona grandis", "teak"),
        ("Hickory, true: mockernut", "mockernut-hickory"),
        ("DF-L", "douglas-fir-larch"),
        ("Doug fir larch", "douglas-fir-larch"),
        ("SPF", "spruce-pine-fir"),
        ("southern yellow pine", "southern-pine"),
        ("SYP", "southern-pine"),
    ],
)
def test_what_people_type(typed: str, key: str) -> None:
    assert Catalogue().species.get(typed).key == key


@pytest.mark.parametrize("typed", ["oak", "maple", "pine", "redwood", "poplar"])
def test_a_name_of_several_woods_is_not_guessed(typed: str) -> None:
    with pytest.raises(Refusal, match="no species"):
        Catalogue().species.get(typed)


# Lumber-yard mixes.


def test_mixes() -> None:
    assert {mix.key for mix in MIXES} == {"douglas-fir-larch", "hem-fir", "spruce-pine-fir", "southern-pine"}


@pytest.mark.parametrize("mix", MIXES, ids=lambda mix: mix.key)
def test_members_of_a_mix_have_coefficients(mix: Species) -> None:
    assert len(set(mix.members)) == len(mix.members) > 1
    assert not mix.coefficients
    for member in mix.members:
        assert ALL[member].coefficients
        assert not ALL[member].members
    assert len(Catalogue().wood(mix.key).candidates) == len(mix.members)
