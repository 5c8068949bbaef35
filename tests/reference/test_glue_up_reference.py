"""The glue-up against printed figures, trade facts and glue-ups worked by hand."""

from collections import Counter

import numpy as np
import pytest
from reference_cases import read_cases
from woodmove_glue import clock, loader, water

from woodmove.extend.api import Catalogue
from woodmove.extend.science import density
from woodmove.physics.drying.boards import CellProfile, graded_cells
from woodmove.physics.warp import part_release_per_m, seam_step_mm, skew_deg

SEAMS = read_cases("seam-cases.csv", 3)
CLAMPS = read_cases("clamp-cases.csv", 10)
GLUE_UPS = read_cases("glue-ups-by-hand.csv", 13)
INCH, PSI_MPA, LBF_KN = 25.4, 145.0377, 224.8089
PVA = next(each for each in loader.adhesives() if each.key == "pva")


def test_cases_by_status():
    assert Counter(case["status"] for case in CLAMPS) == {"published": 7, "derived": 3}
    assert {case["status"] for case in SEAMS + GLUE_UPS} == {"derived"}
    assert len({case["case"] for case in GLUE_UPS}) == 5


@pytest.mark.parametrize("case", SEAMS, ids=lambda c: f"{c['case']}: {c['quantity']}")
def test_seam_step(case):
    strains = [float(case[name]) * float(case["points"]) for name in ("coefficient_1", "coefficient_2")]
    step = float(seam_step_mm(float(case["depth"]), *strains))
    share = 0.5 if case["quantity"] == "step on each face" else 1.0
    assert share * step == pytest.approx(float(case["value"]), abs=float(case["tolerance"]))


def _clamp(case: dict[str, str]) -> float:
    catalogue = Catalogue()
    wood = {"softwood": "douglas-fir-coast", "hardwood": "northern-red-oak"}
    if case["quantity"].startswith("pressure"):
        low, high = clock.pressure_mpa(catalogue.wood(wood[case["case"]]))
        return PSI_MPA * (low if case["quantity"].endswith("low") else high)
    if case["quantity"] == "one clamp":
        return LBF_KN * loader.clamps()[case["case"]].force_kn
    area_m2, mpa = 0.75 * 48 * (INCH / 1000) ** 2, 200 / PSI_MPA
    force_kn = mpa * area_m2 * 1000
    if case["quantity"] == "force":
        return LBF_KN * force_kn
    count = clock.needed_clamps(force_kn, 1050 / LBF_KN)
    return count if case["quantity"] == "clamps" else 48 / (force_kn / (1050 / LBF_KN))


@pytest.mark.parametrize("case", CLAMPS, ids=lambda c: f"{c['quantity']} {c['case']}")
def test_clamps(case):
    assert _clamp(case) == pytest.approx(float(case["value"]), abs=float(case["tolerance"]))


GLUE_UP = "glue-up --species douglas-fir-coast --strip-thickness 34mm --draws 2048"


@pytest.mark.parametrize("case", GLUE_UPS, ids=lambda c: f"{c['case']}: {c['quantity']}")
def test_glue_ups_worked_by_hand(cli, case):
    line = (
        f"{GLUE_UP} --strips {case['strips']} --strip-width {case['strip_width_mm']}mm "
        f"--length {case['length_mm']}mm --clamps {case['clamps']} --people {case['people']} "
        f"--temp {case['temp_c']}C --rh {case['rh_pct']} --mc-now {case['mc_pct']} --pace practised"
    ) + (" --spread all_first" if case["all_first"] == "yes" else "")
    document = cli.json(line)
    found = document["results"]
    opened, whole = found["clock"]
    value = {
        "open_takes_min": opened["takes_min"],
        "open_allowed_min": opened["allowed_min"],
        "takes_min": whole["takes_min"],
        "allowed_min": whole["allowed_min"],
        "margin_min": found["margin_min"],
    }[case["quantity"]]["expected"]
    assert value == pytest.approx(float(case["value"]), abs=float(case["tolerance"]))
    in_time = {"small panel", "14-strip section, two people, all spread first"}
    assert (found["in_time_chance_pct"] >= 90) == (case["case"] in in_time)
    # Twelve pipe clamps press a joint of 80 x 1800 mm a little harder than half of the least: go, with more.
    needs = {note["code"] for note in document["verdict"]["needs"]}
    assert ("MORE_CLAMPS" in needs) == (case["case"] != "small panel")
    assert ("HELPERS" in needs) == (case["case"] not in in_time)
    assert document["verdict"]["state"] == "go"
    if case["case"] not in in_time:
        assert found["instead"], "it says what would make it a go"


# The strips of a top.


def test_twenty_eight_strips(cli):
    """Common practice: 28 strips dressed from 1-1/2 in stock made a 37-1/2 in top, 1.339 in each: planing
    took 0.161 in, which lies in the Range that is told for a strip of 6 ft."""
    found = cli.results(
        "strips --service-width 37-1/2in --strip-thickness 1.339in --species hem-fir --stock 2x10 "
        "--strip-width 3-1/4in --length 6ft --mc-now 10"
    )
    assert found["strip_count"] == 28
    assert found["width_glue_up_mm"] / INCH == pytest.approx(37.5, abs=0.01)
    assert found["joint_count"] == 27
    allowance = found["allowance"]
    assert allowance["takes_mm"] / INCH == pytest.approx(0.161, abs=0.0005)
    assert allowance["expected_mm"]["low"] <= allowance["takes_mm"] <= allowance["expected_mm"]["high"]
    # And not by being endlessly wide. That shop planed its bow off; here clamps take it, and less is planed.
    assert allowance["expected_mm"]["expected"] == pytest.approx(allowance["takes_mm"], abs=2.5)
    assert allowance["expected_mm"]["expected"] < allowance["takes_mm"]


# The water of the glue.


def joint(thickness_mm: float, gravity: float = 0.45, mc: float = 8.0, kg_m2: float | None = None):
    dry = float(density.density_kg_m3(gravity, mc)) / (1 + mc / 100)
    if kg_m2 is None:
        kg_m2 = PVA.spread_g_m2 * PVA.water_pct / 1e5
    return water.Joint(thickness_mm, dry, gravity, mc, kg_m2, 20.0)


@pytest.mark.parametrize("gravity", [0.35, 0.42, 0.50])
def test_glue_adds_one_to_two_per_cent_to_three_quarter_inch_lumber(gravity):
    """Wood handbook chapter 10 (memory): a water-based adhesive adds about 1 to 2 % MC to 3/4 in lumber."""
    assert 1.0 <= joint(0.75 * INCH, gravity).rise_points <= 2.0


def test_a_week_is_generally_enough(cli):
    """WOODWEB, aching glue joints (published): seven days' wait is generally enough for sunken joints. A
    panel of 3/4 in boards, 3 in wide, is level before that, and not within a day."""
    found = cli.results(
        "glue-up --species black-cherry --strips 8 --strip-thickness 3in --strip-width 3/4in --length 30in "
        "--mc-now 7.5"
    )["glue_water"]
    assert 1.0 <= found["wait_days"]["expected"] <= 7.0
    assert found["after_a_day_step_mm"]["expected"] > 0.025 > found["after_a_week_step_mm"]["expected"]


def test_the_water_is_all_there():
    one = joint(34.9)
    profile = water.start_pct(one, np.array([1.0, 0.5]))
    weight = graded_cells(water.CELLS)
    assert profile @ weight - one.mc_pct == pytest.approx(one.rise_points * np.array([1.0, 0.5]), abs=1e-9)
    history = water.spread_of(one, np.ones(1), np.ones(1))
    assert history.mean_pct == pytest.approx(
        np.full_like(history.mean_pct, one.mc_pct + one.rise_points), abs=1e-9
    )


def test_it_spreads_alike_to_both_sides():
    history = water.spread_of(joint(34.9), np.ones(1), np.ones(1))
    assert history.profiles_pct is not None
    assert history.profiles_pct == pytest.approx(history.profiles_pct[..., ::-1], abs=1e-9)


def test_a_dry_glue_adds_nothing(cli):
    line = "glue-up --species hem-fir --strips 6 --strip-thickness 1-3/8in --strip-width 3in --length 40in"
    found = cli.results(f"{line} --adhesive epoxy")["glue_water"]
    assert found["adds_points"]["high"] == 0
    assert found["wider_mm"]["high"] == 0
    dry = water.spread_of(joint(34.9, kg_m2=0.0), np.ones(1), np.ones(1))
    assert dry.mean_pct == pytest.approx(np.full_like(dry.mean_pct, 8.0), abs=1e-12)


def test_the_seam_against_the_closed_form_of_a_plane_source():
    """Crank 1956: a plane source of M at each face of a slab of thickness l whose faces nothing passes
    spreads as M/l (1 + 2 sum exp(-D n² pi² t / l²) cos(n pi x / l)) from one face. Constant diffusivity
    here."""
    from woodmove.physics import diffusivity as diffusion

    name = "constant, for this test"
    made = diffusion.Diffusivity(
        name, lambda mc, temp, gravity: np.full(np.broadcast_shapes(np.shape(mc), np.shape(temp)), 1e-10),
        diffusion.DIFFUSIVITIES["synthesis"].valid, "crank-1956", diffusion.DIFFUSIVITIES["synthesis"].status,
        "",
    )  # fmt: skip
    diffusion.DIFFUSIVITIES[name] = made
    try:
        one = joint(34.9)
        history = water.spread_of(one, np.ones(1), np.ones(1), model=name)
    finally:
        del diffusion.DIFFUSIVITIES[name]
    assert history.profiles_pct is not None
    l_m, x = 34.9e-3, history.depth[0]
    for day in (1.0, 3.0, 7.0, 20.0):
        n = np.arange(1, 200)[:, None]
        decay = np.exp(-1e-10 * (n * np.pi / l_m) ** 2 * day * 86400)
        both = np.cos(n * np.pi * x) + np.cos(n * np.pi * (1 - x))
        over = one.rise_points / 2 * 2 * np.sum(decay * both, axis=0)
        found = water.on_day(history.profiles_pct[0, :, 0] - history.mean_pct[0], day)
        assert found == pytest.approx(float(over[0]), rel=0.02, abs=0.002)


# Planing and squareness, against closed forms.


@pytest.mark.parametrize("part", [0.02, 0.1, 0.25, 0.5])
def test_planing_one_face_of_a_parabola(part):
    """Derived apart from the code: the straight line nearest to a quadratic over an interval has the slope
    that the quadratic has in the middle of the interval; planed by the part p, that of a parabola of depth G
    is -4 C G p / T."""
    cells = graded_cells(200)
    depth = np.cumsum(cells) - cells / 2
    x = 2 * depth - 1
    profile = 8.0 + 1.5 * (1 - x * x)  # core 1.5 points over the faces
    found = part_release_per_m(0.003, profile, depth, cells, 40.0, (part, 1.0))
    assert found == pytest.approx(-4 * 0.003 * 1.5 * part / 0.040, rel=0.01)


def test_planing_both_faces_alike_releases_nothing():
    cells = graded_cells(40)
    depth = np.cumsum(cells) - cells / 2
    profile = 8.0 + 1.5 * (1 - (2 * depth - 1) ** 2)
    assert part_release_per_m(0.003, profile, depth, cells, 40.0, (0.07, 0.93)) == pytest.approx(0, abs=1e-12)


def test_lines_along_and_across_stay_square():
    assert skew_deg(0.01, 0.0005, 0.0) == 0
    assert skew_deg(0.01, 0.0005, 90.0) == pytest.approx(0, abs=1e-12)
    # To first order half of the difference of the strains, in radians.
    assert skew_deg(0.01, 0.0005, 45.0) == pytest.approx(np.degrees(0.0095 / 2), rel=0.01)
    assert skew_deg(-0.01, 0.0, 45.0) < 0


def test_a_profile_by_cells_is_taken_as_it_stands():
    from woodmove.physics.drying.boards import Boards
    from woodmove.physics.drying.solver import simulate

    with pytest.raises(ValueError, match="every cell"):
        simulate(Boards(20.0, 0.5), CellProfile(np.full((1, 9), 8.0)), np.array([0.0, 1.0]), 20.0, 8.0)
