"""How long a top rests between its rough and its final flattening, and what it would cup by without."""

from dataclasses import dataclass, replace
from typing import Annotated

import numpy as np

from woodmove.advice.boards.warp import CORE_LESS_SHELL_POINTS
from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.doubt.response import at_time, interpolate, nodes, settled_after
from woodmove.advice.drying.air import Air
from woodmove.advice.top import movement
from woodmove.contract import quantity
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal
from woodmove.contract.shown import Shown, results
from woodmove.domain.board import in_both
from woodmove.domain.top import Top
from woodmove.physics.arrays import Array
from woodmove.physics.drying.boards import STILL_AIR_M_S, Boards, History
from woodmove.physics.drying.solver import simulate
from woodmove.physics.warp import arc_height_mm, part_release_per_m

# A night at least: what springs when the clamps come off shows by then (status: common practice).
LEAST_DAYS, MOST_DAYS = 1.0, 365.0
# Nobody waits longer than this for what as much off both faces does at once (status: judgement).
PATIENCE_DAYS = 28.0
SHOWN_DAYS = (0, 1, 3, 7, 14, 28, 56, 112, 224)
CELLS = 24
# What the final flattening takes, unless told otherwise (status: common practice).
PLANE_MM = 25.4 / 16
# A parabola whose middle half and outer quarters lie a point apart has its middle so far over its mean, and
# its faces so far under it.
CORE_SHARE, FACE_SHARE = 2.0 / 3.0, 4.0 / 3.0
# The wettest wood that is reckoned with.
WETTEST_PCT = 29.9
_DIFFUSIVITY_NODES = np.array([-2.4, -1.2, 0.0, 1.2, 2.4])
_EMISSION_NODES = np.array([-2.0, 0.0, 2.0])
_DAYS = np.concatenate(([0.0], np.geomspace(0.1, MOST_DAYS, 32)))


@dataclass(frozen=True, slots=True)
class Flattening:
    """How the top is flattened.

    :param core_less_shell: MC of the middle half less that of the outer quarters when it is flattened roughly
        [points], None for what is usual
    :param plane_mm: that the final flattening takes, all off one face: the worst case; None for what is usual
    :param flat_mm: by how much the top may be hollow or round over its width
    :param joint_days: from the gluing until its water has left the seams, None where nobody said so
    :param joint_set_days: until a glued joint may be machined
    """

    core_less_shell: float | None = None
    plane_mm: float | None = None
    flat_mm: float = movement.FLAT_MM
    joint_days: float | None = None
    joint_set_days: int = 1

    def of(self, top: Top) -> "Flattening":
        """The same with what is usual for a top in the place of None, as far as it is thick and dry enough.

        :raises Refusal: more than half of the top planed away, or no moisture that lies so far apart
        """
        assert top.thickness_mm is not None
        assert top.mc_now_pct is not None
        plane = min(PLANE_MM, top.thickness_mm / 4.0) if self.plane_mm is None else self.plane_mm
        if plane > top.thickness_mm / 2.0:
            raise Refusal(
                "PLANED_AWAY",
                f"A final pass of {in_both(plane)} is more than half of a top of "
                f"{in_both(top.thickness_mm)}.",
                "The final flattening takes a shell, and leaves the top.",
                "Type a smaller --plane, or leave it out.",
                fields=("plane_mm", "top_thickness_mm"),
            )
        # Of a parabola so far apart the core lies over the mean, and the faces under it, by these shares.
        wettest = min(WETTEST_PCT, *(member.fibre_saturation_pct for member in top.wood.members))
        mean = min(top.mc_now_pct, wettest)
        most = min((wettest - mean) / CORE_SHARE, mean / FACE_SHARE)
        least = -min((wettest - mean) / FACE_SHARE, mean / CORE_SHARE)
        apart = min(CORE_LESS_SHELL_POINTS, most) if self.core_less_shell is None else self.core_less_shell
        if not least <= apart <= most:
            raise Refusal(
                "TOO_FAR_APART",
                f"Core and shell {abs(apart):.1f} points apart about a mean of {top.mc_now_pct:.1f} % would "
                f"be below 0 % or above fibre saturation, {wettest:.1f} %.",
                "Moisture moves wood, and is evened out, between these two.",
                f"Type --core-less-shell {least if apart < 0 else most:.1f} at the most, or meter again.",
                fields=("uneven_points", "mc_now_pct"),
            )
        return replace(self, core_less_shell=apart, plane_mm=plane)


@results
class OnDay:
    """A top that is planed flat on a day of its rest, off one face."""

    day: Annotated[int, Shown("day", None, "key")]
    core_less_shell_points: Annotated[float, Shown("core less shell", quantity.POINTS, "key")]
    planed_cup_mm: Annotated[Range, Shown("cup", quantity.STEP, "key")]


@dataclass(frozen=True, slots=True)
class Rest:
    """The rest of a top.

    :param days: between the two flattenings
    :param one_face_days: that it would take, were the final pass off one face alone
    :param now_cup_mm: what it cups by, planed flat today off one face
    :param rested_cup_mm: the same after the rest
    :param gets: what the planed face gets, "round" or "hollow"
    """

    days: Range
    one_face_days: Range
    now_cup_mm: Range
    rested_cup_mm: Range
    gets: str
    by_day: tuple[OnDay, ...]


def resting(top: Top, how: Flattening, air: Air, coefficient: Array, draws: Draws, model: str) -> Rest | None:
    """How long to rest, and what it would cup without; None where no table gives the density.

    :param coefficient: of the width [per % MC], shape (draws + 1,)
    """
    gravity = top.wood.gravity_12
    if gravity is None:
        return None
    assert top.thickness_mm is not None
    assert how.plane_mm is not None
    deep = top.thickness_mm + how.plane_mm
    history = _rest(top, how, air, deep, gravity, model)
    assert history.profiles_pct is not None
    # Curvature for a coefficient of 1, of what stays when the final pass is off the upper face.
    kept = (how.plane_mm / deep, 1.0)
    unit = np.asarray(
        part_release_per_m(1.0, history.profiles_pct, history.depth, history.weight, deep, kept)
    )
    points = [draws.deviation(each) / each.sd for each in (doubt.DIFFUSIVITY, doubt.EMISSION)]
    drawn = interpolate((_DIFFUSIVITY_NODES, _EMISSION_NODES), unit, points) * coefficient[:, None]
    # Positive where the planed face gets round.
    cups = np.asarray(arc_height_mm(drawn, top.width_mm))
    # From the gluing; the joints have set when the top is flattened roughly.
    joints = 0.0 if how.joint_days is None else how.joint_days - how.joint_set_days
    least = max(LEAST_DAYS, joints)
    alone = draws.range(np.ceil(_rest_days(np.abs(cups), how.flat_mm, least)))
    wait = alone if alone.expected <= max(PATIENCE_DAYS, least) else Range(least, least, least)
    central = len(unit) // 2
    difference: Array = history.core_pct[central] - history.shell_pct[central]
    return Rest(
        days=wait,
        one_face_days=alone,
        now_cup_mm=draws.range(np.abs(cups[:, 0])),
        rested_cup_mm=draws.range(at_time(cups, _DAYS, wait.expected)),
        gets="round" if cups[0, 0] > 0 else "hollow",
        by_day=tuple(
            OnDay(
                day=day,
                core_less_shell_points=float(np.interp(day, _DAYS, difference)),
                planed_cup_mm=draws.range(at_time(cups, _DAYS, day)),
            )
            for day in SHOWN_DAYS
        ),
    )


def _rest_days(cups_mm: Array, flat_mm: float, least: float) -> Array:
    """Days until a top that is planed then, off one face, cups no more than is wanted, shape (draws,);
    `least` where a longer rest would gain less than a hand feels.

    :param cups_mm: on :data:`_DAYS`, shape (draws, days)
    :param least: days that it rests anyhow
    """
    at_once = np.minimum(cups_mm[:, 0], at_time(cups_mm, _DAYS, least))
    settled = np.clip(settled_after(cups_mm / flat_mm, _DAYS), least, MOST_DAYS)
    return np.where(at_once - flat_mm >= movement.FELT_MM, settled, least)


def _rest(top: Top, how: Flattening, air: Air, deep_mm: float, gravity: float, model: str) -> History:
    """The top through its rest, for a few values of the doubtful inputs."""
    assert top.mc_now_pct is not None
    assert how.core_less_shell is not None
    spread_d, spread_s = nodes((_DIFFUSIVITY_NODES, _EMISSION_NODES))
    emission = STILL_AIR_M_S * np.exp(doubt.EMISSION.sd * spread_s)
    boards = Boards(
        deep_mm,
        gravity,
        top_m_s=emission,
        bottom_m_s=emission,
        factor=np.exp(doubt.DIFFUSIVITY.sd * spread_d),
        model=model,
    )
    # A parabola whose middle half and outer quarters lie so far apart.
    x = np.linspace(-1.0, 1.0, 2 * CELLS + 1)
    mean = min(top.mc_now_pct, WETTEST_PCT)
    profile = mean + how.core_less_shell * (CORE_SHARE - (CORE_SHARE + FACE_SHARE) * x * x)
    profile = np.clip(profile, 0.1, WETTEST_PCT)
    temp, emc = air.at(_DAYS)
    start = np.broadcast_to(profile, (boards.count, len(profile)))
    return simulate(boards, start, _DAYS, temp, emc, cells=CELLS, profiles=True)
