"""Three tops of mixed lumber, worked by hand: strips, width in each season, travel at a screw.

Coefficients [per % of moisture] are those of the Wood Handbook, FPL-GTR-282, Table 13-5: Douglas-fir, coast
0.00165 radial and 0.00267 tangential; western hemlock 0.00144 and 0.00274; western redcedar 0.00111 and
0.00234; Sitka spruce 0.00148 and 0.00263. Specific gravity at 12 % is of its Table 5-3b.
"""

from dataclasses import dataclass

import numpy as np
import pytest

from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top.layup import Lamination, swellings
from woodmove.contract.params import Request
from woodmove.domain.season import Season
from woodmove.domain.species import SpeciesShares
from woodmove.domain.strip import Strip
from woodmove.extend.api import Catalogue
from woodmove.extend.groups import wood_of

FEW = "--draws 256"
TWO = "western-hemlock:2, western-redcedar:1"


@dataclass(frozen=True)
class Job:
    """A top, and what comes of it by hand.

    :param wood: options of species and grain
    :param air: driest, today and dampest [%]
    :param screw: a position, and how far it is from the middle of the top [mm]
    """

    wood: tuple[str, ...]
    width: str
    strip: str
    deep: str
    air: tuple[float, float, float]
    screw: tuple[str, float]
    strips: int
    coefficient: float
    narrower_mm: float
    wider_mm: float
    travel_in_mm: float
    travel_out_mm: float


JOBS = {
    # Flat-sawn strips turned on edge: the width moves by the radial coefficient alone. Two strips of three
    # are hemlock: (2 x 0.00144 + 0.00111) / 3 = 0.00133. 30 / 1.25 = 24 strips. 30 in = 762 mm:
    # 762 x 0.00133 x 2 points = 2.03 mm narrower, x 3 points = 3.04 mm wider.
    # A screw 12 in = 304.8 mm from the middle: 304.8 x 0.00133 = 0.4054 mm a point, 0.81 in and 1.22 out.
    "hemlock and redcedar": Job(
        ("--species", TWO, "--rings", "on-edge"),
        "30in", "1-1/4in", "3in", (6, 8, 11), ("3in", 304.8),
        24, 0.00133, 2.03, 3.04, 0.81, 1.22,
    ),
    # Two sizes, one wood: two 140 mm boards to one of 184 mm, strips of 85 mm, the pith 40 mm under them.
    # 143.2 / 88.2 = 1 strip, 187.2 / 88.2 = 2: half of the strips are from each. Their tangential shares are
    # 0.142 and 0.351 (by Simpson's rule in mixed_sizes.toml), 0.2465 in the mean:
    # 0.00148 + (0.00263 - 0.00148) x 0.2465 = 0.001763. The year's mean is half a point drier
    # than the glue-up: 595 mm in service are 595.5 mm then, and 595.5 / 30 = 19.9: 20 strips.
    # 595 x 0.001763 x 3 points = 3.15 mm narrower, x 2 points = 2.10 mm wider.
    # A screw 247.5 mm from the middle: 247.5 x 0.001763 = 0.4363 mm a point, 1.31 in and 0.87 out.
    "two sizes of spruce": Job(
        ("--species", "sitka-spruce", "--stock", "38mm x 140mm:2, 38mm x 184mm:1", "--pith-depth",
         "40mm"),
        "595mm", "30mm", "85mm", (7, 10, 12), ("50mm", 247.5),
        20, 0.001763, 3.15, 2.10, 1.31, 0.87,
    ),
    # Two sizes and two woods: the strips of a third 2x6 and two thirds 2x10 have a share of 0.311 in the mean
    # (mixed_sizes.toml). Fir: 0.00165 + 0.00102 x 0.311 = 0.001967. Hemlock: 0.00144 + 0.00130 x 0.311 =
    # 0.001844. One to three: (0.001967 + 3 x 0.001844) / 4 = 0.001875. 38.5 / 1.25 = 30.8: 31 strips.
    # 38.5 in = 977.9 mm: 977.9 x 0.001875 x 3 points = 5.50 mm either way.
    # A screw 15 in = 381 mm from the middle: 381 x 0.001875 x 3 = 2.14 mm either way.
    "two sizes of fir and hemlock": Job(
        ("--species", "douglas-fir-coast:1, western-hemlock:3", "--stock", "2x6:1, 2x10:2",
         "--pith-depth", "1-1/2in"),
        "38-1/2in", "1-1/4in", "3-1/4in", (6, 9, 12), ("4-1/4in", 381.0),
        31, 0.001875, 5.50, 5.50, 2.14, 2.14,
    ),
}  # fmt: skip


def air(job: Job) -> list[str]:
    low, now, high = map(str, job.air)
    return ["--mc-low", low, "--mc-now", now, "--mc-high", high]


@pytest.fixture(params=JOBS.values(), ids=JOBS)
def job(request) -> Job:
    return request.param


def test_strips(cli, job):
    found = cli.results(
        ["strips", "--width", job.width, "--strip-thickness", job.strip, "--strip-width", job.deep,
         *job.wood, *air(job), *FEW.split()]
    )  # fmt: skip
    assert found["strip_count"] == job.strips
    # Of the width that is glued up, to a tenth of a millimetre of what is read off the page.
    glued = found["width_trimmed_mm"]["expected"]
    low, now, high = job.air
    assert glued - found["width_low_mm"]["expected"] == pytest.approx(
        glued * job.coefficient * (now - low), abs=0.05
    )
    assert found["width_high_mm"]["expected"] - glued == pytest.approx(
        glued * job.coefficient * (high - now), abs=0.05
    )


def test_width_in_each_season(cli, job):
    found = cli.results(
        ["width", "--width", job.width, "--thickness", job.deep, *job.wood, *air(job), *FEW.split()]
    )
    # Simpson's rule by hand, with three places: to 0.5 %.
    assert found["coefficient_per_pct"]["expected"] == pytest.approx(job.coefficient, rel=0.005)
    assert found["change_low_mm"]["expected"] == pytest.approx(-job.narrower_mm, rel=0.01)
    assert found["change_high_mm"]["expected"] == pytest.approx(job.wider_mm, rel=0.01)


def test_travel_at_a_screw(cli, job):
    at, off_mm = job.screw
    found = cli.results(
        ["slots", "--width", job.width, "--thickness", job.deep, "--at", at, *job.wood, *air(job),
         *FEW.split()]
    )  # fmt: skip
    (screw,) = [one for one in found["fasteners"] if one["hole"] == "slot"]
    assert abs(found["fixed_mm"] - screw["position_mm"]) == pytest.approx(off_mm, abs=0.1)
    assert screw["travel_in_mm"]["expected"] == pytest.approx(job.travel_in_mm, rel=0.015)
    assert screw["travel_out_mm"]["expected"] == pytest.approx(job.travel_out_mm, rel=0.015)


def test_weight(cli):
    """30 x 3 x 60 in are 762 x 76.2 x 1524 mm, 0.0885 m³. Two strips of three of 0.45, one of 0.32: 0.407 in
    the mean, with 12 % of water 455 kg/m³: 40.3 kg."""
    line = [
        "lift",
        "--width",
        "30in",
        "--thickness",
        "3in",
        "--length",
        "60in",
        "--mc-now",
        "12",
        *FEW.split(),
    ]
    assert cli.results([*line, "--species", TWO])["weight_kg"]["expected"] == pytest.approx(40.3, rel=0.01)


def test_neighbours_of_two_woods_swell_apart():
    """Flat-sawn boards on edge: the top's thickness moves by the tangential coefficient. From 8 to 11 %
    hemlock swells 3 x 0.00274 = 0.00822, redcedar 3 x 0.00234 = 0.00702."""
    shares = SpeciesShares((("western-hemlock", 2 / 3), ("western-redcedar", 1 / 3)))
    wood = wood_of(Request({"species": shares}), Catalogue())
    strips = [Strip(name, ring_angle_deg=0.0, species=name) for name in shares.names]
    lamination = Lamination(wood, 76.2, 31.75)
    found = swellings(strips, np.array([8.0, 8.0]), lamination, Season.between(6, 11), Draws(256))
    assert found.central[1] == pytest.approx([0.00822, 0.00702])


def test_steps_between_two_woods_are_the_taller(cli):
    """A top of one wood has the steps of its scatter; two woods that move unlike add theirs."""

    def step(species: str) -> float:
        seams = cli.results(
            ["flatten", "--species", species, "--width", "30in", "--thickness", "3in", "--rings",
             "on-edge", "--mc-now", "8", "--mc-low", "5", "--mc-high", "13", "--draws", "1024"]
        )["seams"]  # fmt: skip
        return seams[-1]["each_face_step_mm"]["expected"]

    two = step("sugar-maple:1, western-redcedar:1")
    assert two > step("sugar-maple") > step("western-redcedar")


def test_one_share_is_one_species_and_the_order_changes_nothing(cli):
    line = ["width", "--width", "30in", "--thickness", "3in", "--rings", "on-edge", "--mc-low", "6",
            "--mc-now", "8", "--mc-high", "11", *FEW.split()]  # fmt: skip
    moves = {
        species: cli.results([*line, "--species", species])["moves_mm"]
        for species in ("western-hemlock", "western-hemlock:3", TWO, "western-redcedar:1, western-hemlock:2")
    }
    alone, named, one, other = moves.values()
    assert alone == named
    assert one["expected"] == pytest.approx(other["expected"])
    assert alone["expected"] > one["expected"]


@pytest.mark.parametrize(
    ("species", "words"),
    [
        ("western-hemlock:2, balsa-pine:1", "balsa-pine"),
        ("western-hemlock:2, western-redcedar:0", "gives no share of the strips"),
        ("western-hemlock:2, western-redcedar", "share of each species"),
        ("western-hemlock:2, western redcedar:half", "share of each species"),
        ("western-hemlock:2, Western hemlock:1", "twice"),
    ],
)
def test_bad_shares_are_refused(cli, species, words):
    done = cli(["width", "--species", species, "--width", "30in", "--rings", "flat", "--mc-now", "8",
                "--mc-low", "6", "--mc-high", "11"])  # fmt: skip
    assert done.code in (1, 2)
    assert words in done.err
    assert "Traceback" not in done.err


@pytest.mark.parametrize(
    ("species", "rows", "words"),
    [
        (TWO, "name=1 species=western-hemlock, name=2 species=western-hemlock", "No strip is of"),
        (TWO, "name=1 species=hem-fir, name=2 species=western-hemlock, name=3", "hem-fir"),
        ("western-hemlock", "name=1 species=western-redcedar, name=2, name=3", "western-redcedar"),
    ],
)  # fmt: skip
def test_a_strip_of_no_wood_of_the_top(cli, species, rows, words):
    done = cli(["lay-up", "--species", species, "--thickness", "3in", "--mc-low", "6", "--mc-high", "11",
                rows, *FEW.split()])  # fmt: skip
    assert words in done.out + done.err
    assert "Traceback" not in done.err


@pytest.mark.parametrize(
    "line",
    [
        "buy --strips 8 --strip-width 3-1/4in --strip-length 47in --sizes 2x8 --draws 256",
        "rip --stock 2x10 --into 2 --draws 256",
        "glue-up --strips 8 --strip-thickness 1-1/4in --strip-width 3-1/4in --length 47in --rings on-edge "
        "--thickness 3in --clamps 8",
        "meter read 12 --wood-temp 60F",
        "show species",
    ],
)
def test_what_counts_one_species_says_which(cli, line):
    words = [*line.split(), *([TWO] if line == "show species" else ["--species", TWO])]
    told = [note for note in cli.json(words)["warnings"] if note["code"] == "ONE_SPECIES"]
    assert len(told) == 1
    assert "western-hemlock counts" in told[0]["text"]
    assert "Not counted: western-redcedar" in told[0]["text"]
