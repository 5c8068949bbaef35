"""The water that an adhesive brings into its joints: how much, where it goes, and when the seam lies level.

Each strip between two joints takes half of the water of each in at its faces, where it stands at near fibre
saturation until it spreads. Nothing leaves through the faces, which are the middles of joints; what leaves
through the top's own faces does so evenly and steps no seam.
"""

from dataclasses import dataclass

import numpy as np

from woodmove.extend.api import Draws
from woodmove.extend.science import Array, at_time, doubt, drying, interpolate, nodes, settled_after

# Wettest that wood at a joint is taken to be [%]: a little under fibre saturation (status: judgement).
WETTEST_PCT = 28.0
CELLS = 24
DAYS = np.concatenate(([0.0], np.geomspace(0.02, 120.0, 40)))
_DIFFUSIVITY_NODES = np.array([-2.4, -1.2, 0.0, 1.2, 2.4])
_SPREAD_NODES = np.array([-2.0, 0.0, 2.0])


@dataclass(frozen=True, slots=True)
class Joint:
    """A strip between two joints.

    :param thickness_mm: of the strip
    :param dry_kg_m3: oven-dry mass over volume at `mc_pct`
    :param gravity_12: specific gravity at 12 % MC
    :param mc_pct: when it is glued [%]
    :param water_kg_m2: of one joint
    :param temp_c: of the wood
    """

    thickness_mm: float
    dry_kg_m3: float
    gravity_12: float
    mc_pct: float
    water_kg_m2: float
    temp_c: float

    @property
    def rise_points(self) -> float:
        """Rise of the strip's mean moisture content [points]: the water of one joint, half from each side."""
        return 100.0 * self.water_kg_m2 / (self.dry_kg_m3 * self.thickness_mm / 1000.0)

    @property
    def soaked(self) -> bool:
        """True if the water of a heavy spread finds no room in the strip."""
        heavy = 1.0 + doubt.GLUE_SPREAD.sd * _SPREAD_NODES[-1]
        return heavy * self.rise_points > WETTEST_PCT - self.mc_pct


def start_pct(joint: Joint, times: Array) -> Array:
    """Moisture content of the cells of a strip when its joints are closed [%], shape (strips, cells).

    :param times: factors on the water, shape (strips,)
    :raises ValueError: more water than the strip can take
    """
    weight = drying.graded_cells(CELLS)
    room = (WETTEST_PCT - joint.mc_pct) * weight[: CELLS // 2]
    half = np.asarray(times, float) * joint.rise_points / 2.0
    if np.any(half > room.sum()):
        raise ValueError(f"strips of {joint.thickness_mm:.1f} mm have no room for the water of the glue")
    # The cells next to the joint fill up first.
    full = np.concatenate(([0.0], np.cumsum(room)))
    taken = np.diff(np.minimum(full[None, :], half[:, None]), axis=1) / weight[: CELLS // 2]
    near = joint.mc_pct + taken
    return np.concatenate((near, near[:, ::-1]), axis=1)


def spread_of(joint: Joint, times: Array, factor: Array, model: str = "synthesis") -> drying.History:
    """The strip after the glue-up, its profiles too.

    :param times: factors on the water, shape (strips,)
    :param factor: on the diffusivity, shape (strips,)
    """
    boards = drying.Boards(
        joint.thickness_mm, joint.gravity_12, top_m_s=0.0, bottom_m_s=0.0, factor=factor, model=model
    )
    start = drying.CellProfile(start_pct(joint, times))
    # No air is met: its moisture content counts for nothing.
    return drying.simulate(boards, start, DAYS, joint.temp_c, joint.mc_pct, cells=CELLS, profiles=True)


def seam_points(joint: Joint, draws: Draws) -> Array:
    """Moisture content at the seam above that of the strip's mean, on :data:`DAYS` [points], shape
    (draws + 1, days)."""
    to_diffusivity, to_spread = nodes((_DIFFUSIVITY_NODES, _SPREAD_NODES))
    history = spread_of(
        joint, 1.0 + doubt.GLUE_SPREAD.sd * to_spread, np.exp(doubt.DIFFUSIVITY.sd * to_diffusivity)
    )
    assert history.profiles_pct is not None
    over = history.profiles_pct[..., 0] - history.mean_pct
    points = [draws.deviation(each) / each.sd for each in (doubt.DIFFUSIVITY, doubt.GLUE_SPREAD)]
    least = 1e-6
    drawn = interpolate((_DIFFUSIVITY_NODES, _SPREAD_NODES), np.log(np.maximum(over, least)), points)
    return np.exp(drawn)


def wait_days(steps_mm: Array, level_mm: float) -> Array:
    """Days until the seam stands less than `level_mm` over its strip, shape (draws + 1,)."""
    return settled_after(np.asarray(steps_mm) / level_mm, DAYS)


def on_day(values: Array, day: float) -> Array:
    """What dies away, on a day up to the last of :data:`DAYS`: shape (...) of values of shape (..., days)."""
    return at_time(values, DAYS, day)
