"""Warp against the worked cases of the notes and the printed warp of the Stud grade."""

from collections import Counter
from collections.abc import Callable

import numpy as np
import pytest
from reference_cases import read_cases

from woodmove.advice.boards.stud import STUD_LENGTH_MM, STUD_LIMITS_MM
from woodmove.domain.board import dressed_size
from woodmove.physics import warp
from woodmove.physics.arrays import FloatOrArray

CASES = read_cases("warp-cases.csv", 78)
CUPS = read_cases("warp-cup.csv", 15)
SIZES = read_cases("warp-dressed-sizes.csv", 19)
INCH = 25.4


def curvature(length: float, sagitta: float) -> float:
    return float(warp.curvature_per_m(sagitta, length))


def sagitta(curvature_per_m: FloatOrArray, length: float) -> float:
    return float(warp.sagitta_mm(curvature_per_m, length))


def rip(edge: float, width: float, **ends: float) -> float:
    """The size: the notes count compression at the edges as positive."""
    return abs(float(warp.rip_release_per_m(-edge, 0.0, ends["from"], ends["to"], width)))


def halves_closing(edge: float, width: float) -> float:
    left, right = (float(warp.rip_release_per_m(-edge, 0.0, a, b, width)) for a, b in ((-1, 0), (0, 1)))
    return left - right


def shells(strain: float, core: float, rim: float, radius: float) -> float:
    r = np.linspace(0.0, radius, 401)
    return float(warp.twist_of_shells_deg_per_m(strain, core + (rim - core) * r / radius, r))


def finite(strain: float, spiral: float, radius: float) -> float:
    """The closed ring with finite strain, of which the product's relation is the first order."""
    return spiral / (radius / 1e3) * ((1 - strain) ** -2 - 1)


def stud(mode: str) -> Callable[..., float]:
    def value(medium_in: float | None = None) -> float:
        if medium_in is not None:
            assert STUD_LIMITS_MM[mode] == pytest.approx(medium_in * INCH / 2)
        return STUD_LIMITS_MM[mode]

    return value


RELATIONS: dict[str, Callable[..., float]] = {
    # One unit of length in, the same out: the relation knows none.
    "radius_in": lambda length, sagitta: 1e3 / curvature(length, sagitta),
    "radius_mm": lambda length, sagitta: 1e3 / curvature(length, sagitta),
    "flat_radius_in": lambda length, sagitta: length**2 / (8 * sagitta),
    "curvature_per_m": curvature,
    "slope_pct": lambda length, sagitta, apart: 100 * curvature(length, sagitta) * apart / 1e3,
    "times_stud_crook": lambda length, sagitta: (
        curvature(length, sagitta) / curvature(STUD_LENGTH_MM, STUD_LIMITS_MM["crook_mm"])
    ),
    "edge_crook_mm": lambda strain, apart, length: sagitta(
        warp.lengthwise_curvature_per_m(strain, apart), length
    ),
    "edge_crook_in": lambda strain, apart, length: (
        sagitta(warp.lengthwise_curvature_per_m(strain, apart), length) / INCH
    ),
    "edge_difference_pct": lambda crook, apart, length: 100 * curvature(length, crook) * apart / 1e3,
    "rip_per_m": rip,
    "rip_ratio": lambda edge, width: (
        rip(edge, width, **{"from": -1, "to": -0.5}) / rip(edge, width, **{"from": -0.5, "to": 1})
    ),
    "rip_crook_mm": lambda edge, width, length, **ends: sagitta(rip(edge, width, **ends), length),
    "kerf_mm": lambda kerf, edge, width: float(warp.kerf_closure_mm(kerf, halves_closing(edge, width))),
    "resaw_per_m": lambda beta, points, thickness: float(warp.resaw_parabola_per_m(beta, points, thickness)),
    "resaw_cup_mm": lambda beta, points, thickness, width: sagitta(
        float(warp.resaw_parabola_per_m(beta, points, thickness)), width
    ),
    "resaw_gap_mm": lambda beta, points, thickness, width: (
        2 * sagitta(float(warp.resaw_parabola_per_m(beta, points, thickness)), width)
    ),
    "prong_per_in": lambda tip, length: float(warp.prong_curvature_per_m(tip, length)) * INCH / 1e3,
    "prong_strain_pct": lambda tip, length, prong: (
        100 * float(warp.prong_curvature_per_m(tip, length)) * prong / 1e3
    ),
    "diamond_deg": lambda t, r: float(warp.diamond_angle_deg(t, r)),
    "diamond_off_deg": lambda t, r: 90 - float(warp.diamond_angle_deg(t, r)),
    "diamond_first_deg": lambda t, r: float(warp.out_of_square_deg(t, r, 45.0)),
    "diagonals_in": lambda t, r, side: side * 2**0.5 * np.radians(warp.out_of_square_deg(t, r, 45.0)),
    "closed_deg_per_m": lambda strain, spiral, radius: float(
        warp.twist_closed_deg_per_m(strain, spiral, radius)
    ),
    "pith_free_deg_per_m": lambda strain, spiral, radius, gradient: float(
        warp.twist_pith_free_deg_per_m(strain, spiral, radius, gradient)
    ),
    "finite_deg_per_m": finite,
    "finite_over_first": lambda strain, spiral, radius: (
        finite(strain, spiral, radius) / float(warp.twist_closed_deg_per_m(strain, spiral, radius))
    ),
    "shells_deg_per_m": shells,
    "twist_deg": lambda lift, width: float(warp.twist_from_lift_deg(lift, width)),
    "twist_deg_per_m": lambda lift, width, length: (
        float(warp.twist_from_lift_deg(lift, width)) / length * 1e3
    ),
    "twist_tan_deg": lambda lift, width: float(np.degrees(np.arctan(lift / width))),
    "twist_tan_deg_per_m": lambda lift, width, length: (
        float(np.degrees(np.arctan(lift / width))) / length * 1e3
    ),
    "lift_in": lambda per_m, width, length: float(warp.corner_lift_mm(width, per_m * length / 1e3)) / INCH,
    "stud_crook_mm": stud("crook_mm"),
    "stud_bow_mm": stud("bow_mm"),
    "stud_lift_mm": stud("lift_mm"),
    "stud_cup_mm": stud("cup_mm"),
    "slope_deg": lambda one_in: float(warp.slope_deg(one_in)),
    "ring_radius_mm": lambda chord, rise: float(warp.ring_radius_mm(chord, rise)),
}


def test_cases_by_status():
    assert Counter(case["status"] for case in CASES) == {"derived": len(CASES) - 3, "published": 3}
    assert {case["relation"] for case in CASES} == set(RELATIONS)


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case['relation']} {case['inputs']}")
def test_case(case):
    inputs = {
        name: float(value) for name, _, value in (p.partition("=") for p in case["inputs"].split(";")) if name
    }
    found = RELATIONS[case["relation"]](**inputs)
    assert found == pytest.approx(float(case["value"]), abs=float(case["tolerance"]))


@pytest.mark.parametrize(
    "case", CUPS, ids=lambda c: f"{c['form']} {c['width_mm']} at {c['depth_mm']} {c['radial']}"
)
def test_cup(case):
    width, depth, t, r = (float(case[name]) for name in ("width_mm", "depth_mm", "tangential", "radial"))
    half = width / 2
    found = {
        "exact": warp.cup_mm(-half, half, depth, t, r),
        # What the exact form is measured against: neither is in the product.
        "first order": (t - r) * half * np.arctan(half / depth),
        "parabola": (t - r) * width**2 / (4 * depth),
    }[case["form"]]
    assert found == pytest.approx(float(case["value_mm"]), abs=float(case["tolerance"]))


@pytest.mark.parametrize(("ratio", "excess"), [(2.8, 0.47), (2.3, 0.37), (1.4, 0.15)])
def test_the_parabola_says_too_much_of_cup_near_the_pith(ratio, excess):
    t, r, depth = 0.074, 0.048, 50.0
    width = ratio * depth
    exact = float(warp.cup_mm(-width / 2, width / 2, depth, t, r))
    assert (t - r) * width**2 / (4 * depth) / exact - 1 == pytest.approx(excess, abs=0.02)


@pytest.mark.parametrize("case", SIZES, ids=lambda case: f"{case['dimension']} {case['nominal_in']}")
def test_dressed_sizes(case):
    wide = case["dimension"] == "width"
    size = dressed_size(f"2x{case['nominal_in']}" if wide else f"{case['nominal_in']}x6")
    found = size.width_mm if wide else size.thickness_mm
    assert found / INCH == pytest.approx(float(case["dry_in"]), abs=float(case["tolerance"]))
