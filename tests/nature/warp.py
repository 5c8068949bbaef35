"""Warp: spruce near its pith, studs against their limits, fresh southern pine, studs that were read twice.

Our spiral grain was made to meet the planks, so it gives way to the 2 to 4 degrees that are recalled of the
first rings of spruce. A range that was read counts by its middle.
"""

from collections.abc import Mapping
from unittest.mock import patch

import numpy as np

from woodmove.advice.boards import pith
from woodmove.advice.boards import warp as warping
from woodmove.advice.boards.arrays import BoardArrays
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.doubt.inputs import BOUND_90
from woodmove.domain.board import BoardSize
from woodmove.domain.stock import Cut, Pith, SawnBoard
from woodmove.extend.catalogue import Catalogue
from woodmove.physics.arrays import Array
from woodmove.physics.warp import curvature_per_m

from .coverage import Tried, Unit
from .evidence import read

SPIRAL_CORE_DEG = 3.0
# Stud grade (stud-grade): 1/4 in of crook and 3/4 in of bow in 8 ft [1/m], 3/8 in of twist on 3-1/2 in [°/m].
LIMITS = {"crook": 0.00854, "bow": 0.0256, "twist": 2.52}
PLANK = BoardSize("plank", 25.0, 100.0)  # no size is told (status: judgement)
FROM_PITH_MM = {"close to the pith": 20.0, "70 mm from the pith": 70.0}  # the first by judgement
STUD, STUD_MM, STUD_LOGS = BoardSize("stud", 45.0, 70.0), 2500.0, 15
TWO_BY_SIX, EIGHT_FEET_MM = BoardSize("2x6", 38.1, 139.7), 2438.4
DRAWS = 2000


def tried() -> Tried:
    """Each unit against what we believe of boards that nobody has looked at."""
    inside: dict[str, list[bool]] = {}
    with patch.object(pith, "SPIRAL_CORE_DEG", SPIRAL_CORE_DEG):
        for row in read("warp", 13):
            if row["used"] == "yes":
                held = HELD[row["quantity"]](row["case"], float(row["low"]), float(row["high"]))
                inside.setdefault(row["unit"], []).append(held)
    return Tried(
        "warp of planks and studs",
        tuple(Unit(name, tuple(each)) for name, each in inside.items()),
        "planks by the pith twist more; studs change in two weeks at the same moisture, ours lie still",
    )


def _twist(case: str, low: float, high: float) -> bool:
    where = Pith(depth_mm=FROM_PITH_MM[case] - PLANK.thickness_mm / 2.0, offset_mm=0.0)
    sizes = _sizes("norway-spruce", PLANK, 1000.0, 8.0, where)["twist"]
    ours = np.quantile(sizes, (0.05, 0.95))
    return bool(ours[0] <= 0.5 * (low + high) <= ours[1])


def _share_within_limits(case: str, low: float, high: float) -> bool:
    """Of studs at 9 % from a few logs, whose chance outruns what we do not know of the share."""
    parts = _sizes("norway-spruce", STUD, STUD_MM, 9.0)
    share = float(np.mean(np.all([parts[mode] <= limit for mode, limit in LIMITS.items()], axis=0)))
    within = BOUND_90 * (share * (1.0 - share) / STUD_LOGS) ** 0.5
    return abs(0.5 * (low + high) - share) <= within


def _mean_of_limit(case: str, low: float, high: float) -> bool:
    """A bound on a mean of many boards: ours obeys it or not."""
    return float(_sizes("southern-pine", TWO_BY_SIX, EIGHT_FEET_MM, 14.5)[case].mean()) / LIMITS[case] <= high


def _share_changed(case: str, low: float, high: float) -> bool:
    """At the same moisture none of ours changes."""
    return low <= 0.0


HELD = {
    "twist_deg_per_m": _twist,
    "share_within_limits": _share_within_limits,
    "mean_of_limit": _mean_of_limit,
    "share_changed": _share_changed,
}


def _sizes(
    species: str, size: BoardSize, length_mm: float, mc_pct: float, where: Pith | None = None
) -> Mapping[str, Array]:
    """What a whole board does at a moisture content, in the units of LIMITS, shape (draws,)."""
    lot = BoardArrays.of([SawnBoard("", size, length_mm, pith=where or Pith())], Cut())
    modes = warping.warps(lot, Catalogue().wood(species), mc_pct, warping.Pile(Draws(DRAWS))).modes
    sizes = {mode: np.abs(states["in_service"][0, 0, 1:]) for mode, states in modes.items()}
    return {
        "twist": sizes["twist_deg"] / (length_mm / 1e3),
        "crook": np.asarray(curvature_per_m(sizes["crook_mm"], length_mm)),
        "bow": np.asarray(curvature_per_m(sizes["bow_mm"], length_mm)),
    }
