"""Woods that the Wood handbook lacks: what their sources print, and what the program makes of it.

The coefficients were copied by hand from the sources named beside them, in % of the width per 1 % MC.
"""

import math
from statistics import median

import pytest
from woodmove_species import woodmove_species

from woodmove.extend.api import SOURCES, Catalogue, Refusal, Species, Status, slug

ALL: dict[str, Species] = {species.key: species for species in woodmove_species()}
WORLD = [s for s in ALL.values() if s.coefficients and not s.coefficients[0].edition.isdigit()]
by_wood = pytest.mark.parametrize("species", WORLD, ids=lambda species: species.key)
BEECH = "--species european-beech --rings flat --width 700mm --units mm"

PRINTED = [
    # A German trade page, "Bild 4-5": differential shrinkage.
    ("norway-spruce", "trade-table", 0.19, 0.39, "published"),
    ("scots-pine", "trade-table", 0.19, 0.36, "published"),
    ("european-beech", "trade-table", 0.20, 0.41, "published"),
    ("european-oak", "trade-table", 0.16, 0.36, "published"),
    ("european-birch", "trade-table", 0.29, 0.41, "published"),
    ("sapele", "trade-table", 0.24, 0.32, "published"),
    ("yellow-meranti-world", "trade-table", 0.12, 0.43, "published"),
    # Bauwerk Parkett, the maker's own tests.
    ("european-beech", "parquet-tests", 0.20, 0.42, "published"),
    ("european-oak", "parquet-tests", 0.18, 0.35, "published"),
    ("european-ash", "parquet-tests", 0.17, 0.28, "published"),
    # GD Holz and Thuenen Institute, lexicon: the middle of .15 to .19 and .25 to .36; of .20 to .26 and
    # .32 to .38, from a copy that does not name it.
    ("scots-pine", "trade-lexicon", 0.17, 0.305, "published"),
    ("black-locust-european", "trade-lexicon", 0.23, 0.35, "memory"),
    # German Wikipedia on spruce, quoting handbooks: tangential .36 to .39.
    ("norway-spruce", "encyclopedia", 0.19, 0.375, "memory"),
    # Bengtsson (2001), abstract: all pieces lie within .07 to .28 and .18 to .46.
    ("norway-spruce", "bengtsson-2001", 0.175, 0.32, "published"),
    # Queensland Government, unit shrinkage per 1 % MC after reconditioning.
    ("tasmanian-oak", "queensland", 0.23, 0.36, "published"),
    ("blackbutt", "queensland", 0.26, 0.37, "published"),
    ("jarrah", "queensland", 0.24, 0.30, "published"),
    # Wood Technological Association of Japan: mean shrinkage per 1 % MC.
    ("sugi", "wood-tech-japan", 0.10, 0.25, "published"),
    ("hinoki", "wood-tech-japan", 0.12, 0.23, "published"),
    # Bootle, recalled.
    ("radiata-pine", "bootle", 0.20, 0.27, "memory"),
]


@pytest.mark.parametrize(("key", "source", "radial", "tangential", "status"), PRINTED)
def test_what_the_sources_print(key: str, source: str, radial: float, tangential: float, status: str) -> None:
    found = ALL[key].coefficients_of(source)
    assert (100 * found.radial, 100 * found.tangential) == pytest.approx((radial, tangential), abs=1e-9)
    assert found.known.status == status
    assert found.known.source == source


def test_no_wood_is_lost_and_none_is_made_of_totals() -> None:
    assert len(WORLD) == 42
    assert sum(not row.edition.isdigit() for species in WORLD for row in species.coefficients) == 71
    # Only total shrinkage was read of these, or only from green to 12 %.
    for key in ("caribbean-pine-au", "dark-red-meranti", "white-spruce-ca", "balsam-fir-ca"):
        assert key not in ALL
    # The handbook prints totals of these; of two it has a coefficient too, recalled, which comes last.
    assert {species.key for species in WORLD if species.shrinkage} == {"teak", "iroko", "jarrah", "merbau"}
    for key in ("teak", "iroko"):
        assert ALL[key].coefficients[-1].edition == "2010"


@by_wood
def test_wood_moves_more_along_its_rings_than_across(species: Species) -> None:
    for row in (row for row in species.coefficients if not row.edition.isdigit()):
        # The least and the most of all sources; a ratio of 1.15 to 3.6.
        assert 0.0010 <= row.radial <= 0.0032
        assert 0.0021 <= row.tangential <= 0.0043
        assert 1.15 <= row.tangential / row.radial <= 3.6


@by_wood
def test_the_first_source_lies_in_the_middle_and_the_last_farthest_off(species: Species) -> None:
    rows = species.coefficients
    assert len({row.edition for row in rows}) == len(rows)
    radial, tangential = median(r.radial for r in rows), median(r.tangential for r in rows)
    # The tangential median takes in a source that gives no radial value: the trade lexicon prints .26 to .31.
    if species.key == "european-birch":
        tangential = 0.00285

    def off(row) -> float:
        return round(abs(row.radial / radial - 1.0) + abs(row.tangential / tangential - 1.0), 9)

    # Its authors give the spread of single pieces, not a mean.
    central = [row for row in rows if row.edition != "bengtsson-2001"]
    assert central[0] is rows[0]
    order = [(off(r), r.known.status != Status.PUBLISHED, -r.tangential) for r in central]
    assert order == sorted(order)
    assert off(rows[-1]) == max(map(off, rows))


def test_a_wood_of_one_source_has_the_spread_that_is_advised() -> None:
    """20 % of the value, as a 90 % bound: a panel of so many boards that pieces average out, of one log."""
    from woodmove.advice.doubt import inputs as doubt

    of_panel = math.hypot(doubt.LOGS.sd, doubt.SPECIES_MEAN.sd, doubt.STRAIGHT_LINE.sd)
    assert doubt.BOUND_90 * of_panel == pytest.approx(0.20, abs=0.01)


# Movement classes by the sum of both movements between 90 and 60 % RH, recalled from the TRADA lists: small
# under 3 %, medium to 4.5 %, large above. The step is some 7 to 10 points of MC wide; 8 are taken here.
CLASSES = {
    "large": ["european-beech"],
    "medium": ["european-oak", "european-lime", "european-elm", "scots-pine", "european-walnut",
               "european-cherry", "european-ash", "sapele"],
    "small": ["sitka-spruce-uk"],
}  # fmt: skip


@pytest.mark.parametrize(("size", "key"), [(size, key) for size, keys in CLASSES.items() for key in keys])
def test_movement_classes(size: str, key: str) -> None:
    (low, high) = {"small": (0.0, 3.0), "medium": (3.0, 4.5), "large": (4.5, 9.0)}[size]
    row = ALL[key].coefficients[0]
    assert low <= 8.0 * 100.0 * (row.radial + row.tangential) <= high


# Density and fibre saturation.


@pytest.mark.parametrize(
    ("key", "density", "at_pct"),
    [
        # Trade lexicon, middle of 510 to 550 and of 830 to 850 kg/m3 at 12 to 15 % MC.
        ("scots-pine", 530, 12), ("merbau", 840, 12),
        ("blackbutt", 930, 12),  # Queensland Government
        ("european-larch", 583, 12),  # a sawmill's data sheet
        ("sugi", 380, 15),  # Wood Technological Association of Japan, air-dry
    ],
)  # fmt: skip
def test_specific_gravity_by_hand(key: str, density: float, at_pct: float) -> None:
    """Oven-dry mass is the density less its water: over 1.12 at 12 %."""
    assert ALL[key].gravity_12 == pytest.approx(density / 1000.0 / (1.0 + at_pct / 100.0), abs=0.0006)


@pytest.mark.parametrize(("key", "oven_dry"), [("european-oak", 0.650), ("european-elm", 0.570)])
def test_oven_dry_gravity_serves_where_it_is_all_there_is(key: str, oven_dry: float) -> None:
    """Bauwerk Parkett prints rho_r0. Wood swells from oven-dry in proportion to its moisture, and shrinks by
    0.265 G in all (FPL-GTR-190, chapter 4)."""
    species = ALL[key]
    (only,) = species.specific_gravity
    assert (only.basis, only.value) == ("oven-dry", oven_dry)
    green = oven_dry / (1.0 + 0.265 * oven_dry)
    by_hand = green / (1.0 - 0.265 * (1.0 - 12.0 / species.fibre_saturation_pct) * green)
    assert species.gravity_12 == pytest.approx(by_hand, rel=1e-9)
    assert 0.9 * oven_dry < by_hand < oven_dry


@by_wood
def test_gravity_is_that_of_wood(species: Species) -> None:
    if species.key in ("red-meranti", "yellow-meranti-world"):
        assert species.gravity_12 is None
    else:
        assert species.gravity_12 is not None
        assert 0.30 <= species.gravity_12 <= 0.95


@pytest.mark.parametrize(
    ("key", "pct", "status"),
    [
        ("sapele", 29, "published"), ("merbau", 24, "memory"),  # printed
        # Trendelenburg and Kollmann by groups, recalled: 32 to 35, 30 to 34, 26 to 28, 22 to 25, 20 to 24.
        ("european-beech", 33.5, "memory"), ("norway-spruce", 32, "memory"), ("scots-pine", 27, "memory"),
        ("european-oak", 23.5, "memory"), ("teak", 22, "memory"), ("european-hornbeam", 30, "memory"),
        # The general value of the Wood handbook.
        ("sugi", 30, "published"), ("blackbutt", 30, "published"),
    ],
)  # fmt: skip
def test_fibre_saturation(key: str, pct: float, status: str) -> None:
    known = ALL[key].known
    assert known is not None
    assert (ALL[key].fibre_saturation_pct, known.status) == (pct, status)


# Names.


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("European beech", "european-beech"),
        ("Fagus sylvatica", "european-beech"),
        ("European redwood", "scots-pine"),
        ("whitewood", "norway-spruce"),
        ("linden", "european-lime"),
        ("robinia", "black-locust-european"),
        ("kwila", "merbau"),
        ("sapelli", "sapele"),
        ("Victorian ash", "tasmanian-oak"),
        ("Quercus petraea", "european-oak"),
        ("Japanese cypress", "hinoki"),
        ("teak", "teak"),
        ("jarrah", "jarrah"),
    ],
)
def test_what_people_type(typed: str, key: str) -> None:
    assert Catalogue().species.get(typed).key == key


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("beech", {"american-beech", "european-beech"}),
        ("oak", {"european-oak", "northern-red-oak", "white-oak", "tasmanian-oak"}),
        ("pine", {"scots-pine", "radiata-pine", "southern-pine"}),
        ("spruce", {"norway-spruce", "sitka-spruce", "sitka-spruce-uk", "spruce-pine-fir"}),
        ("walnut", {"black-walnut", "european-walnut"}),
        ("cherry", {"black-cherry", "european-cherry"}),
        ("alder", {"red-alder", "european-alder"}),
        ("teek", {"teak"}),
        ("irokko", {"iroko"}),
        ("jarra", {"jarrah"}),
        ("merbu", {"merbau"}),
    ],
)
def test_a_name_of_several_woods_offers_them(typed: str, offered: set[str]) -> None:
    with pytest.raises(Refusal, match="no species") as refused:
        Catalogue().species.get(typed)
    assert offered <= set(refused.value.allowed.removeprefix("The closest known: ").rstrip(".").split(", "))


@by_wood
def test_no_name_is_that_of_another_wood(species: Species) -> None:
    for other in ALL.values():
        if other is not species:
            names = {slug(name) for name in (other.key, other.name, *other.aliases)}
            assert not names & {slug(name) for name in (species.key, species.name, *species.aliases)}


@by_wood
def test_citations_name_no_host(species: Species) -> None:
    keys = [known.known.source for known in (*species.coefficients, *species.specific_gravity)]
    for key in keys:
        assert not any(end in SOURCES[key].citation for end in ("http", "www.", ".de", ".com", ".jp"))


# What the program makes of it.


def test_a_beech_top_by_hand(cli) -> None:
    """700 mm x 0.42 % per point x 3 points, from 8 to 11 %."""
    found = cli.results(f"width {BEECH} --mc-now 8 --mc-low 7 --mc-high 11")
    assert found["change_high_mm"]["expected"] == pytest.approx(8.82, abs=0.005)


def test_the_doubt_holds_the_source_that_lies_farthest_off(cli) -> None:
    line = "width --species european-birch --rings flat --width 700mm --mc-now 8 --mc-low 8 --mc-high 11"
    both = cli.results(line)["moves_mm"]
    # 700 mm x 0.27 % x 3 points by the source in the middle, x 0.41 % by the one farthest off.
    assert both["expected"] == pytest.approx(5.67, abs=0.005)
    assert both["high"] > 8.61
    assert "edition or source" in {cause["input"] for cause in both["causes"]}


def test_a_source_that_is_not_there_names_those_that_are() -> None:
    with pytest.raises(Refusal) as refused:
        ALL["european-beech"].coefficients_of("2021")
    assert "parquet-tests, trade-table" in refused.value.allowed


# Nothing tells the stiffness or the strength of these woods, and of two not even the density.
SLAB = "--rings flat --width 700mm --mc-now 8 --mc-low 7 --mc-high 11"
STRIP = "--strip-thickness 40mm --strip-width 60mm --length 1500mm"
ASKED = {
    "slots": f"slots {SLAB} --thickness 30mm --at 50mm,350mm,650mm",
    "width": f"width {SLAB.replace('--width', '--width')} --thickness 30mm",
    "holes": f"holes {SLAB} --thickness 60mm --pitch 100mm",
    "flatten": f"flatten {SLAB} --thickness 60mm --temp 20C --rh 45",
    "glue-up": f"glue-up --strips 12 {STRIP} --mc-now 8 --clamps 12",
    "lift": "lift --width 700mm --thickness 40mm --length 2000mm --mc-now 8",
    "rip": "rip --stock '45mm x 195mm' --board-length 2400mm --strip-width 60mm --pith-depth 30mm "
    "--mc-now 13",
    "buy": "buy --strips 14 --strip-width 60mm --strip-length 1500mm --sizes '45mm x 195mm' "
    "--board-length 2400mm",
    "strips": f"strips --service-width 700mm --rings on-edge {STRIP}",
    "acclimate": "acclimate --stock '45mm x 195mm' --mc-now 14 --temp 20C --rh 45",
}  # fmt: skip


@pytest.mark.parametrize("question", ASKED)
@pytest.mark.parametrize("key", ["norway-spruce", "european-oak", "yellow-meranti-world"])
def test_every_question_answers_or_says_what_is_missing(cli, key: str, question: str) -> None:
    line = f"{ASKED[question]} --species {key} --units mm --json --draws 200"
    if (key, question) == ("yellow-meranti-world", "acclimate"):
        done = cli(line)
        assert (done.code, done.json["error"]["code"]) == (1, "NO_DENSITY")
        return
    found = cli.json(line)
    codes = {note["code"] for note in (*found["warnings"], *found["assumptions"], *found["verdict"]["says"])}
    missing = {"slots": "HELD_UNKNOWN", "rip": "STIFFNESS_UNKNOWN", "buy": "STIFFNESS_UNKNOWN"}
    if key == "yellow-meranti-world":
        missing |= {"flatten": "REST_UNKNOWN", "glue-up": "DENSITY_TAKEN", "lift": "WEIGH_IT"}
    assert missing.get(question) is None or missing[question] in codes
    assert "BOW_TAKEN" not in codes


def test_an_unknown_rest_gets_no_day(cli) -> None:
    line = ASKED["flatten"].replace("--temp", "--build-date 2027-03-01 --today 2027-02-01 --temp")
    unknown, known = (cli.json(f"{line} --species {key}") for key in ("yellow-meranti-world", "european-oak"))
    assert [check["check"].split(" the ")[0] for check in known["results"]["checks"]] == [
        "Flatten",
        "Flatten",
    ]
    assert [check["date"] for check in unknown["results"]["checks"]] == ["2027-02-01"]
