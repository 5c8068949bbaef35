"""How flat a glued-up top stays: seams, cup, and how long to rest between rough and final flattening."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

import numpy as np

from woodmove.advice.boards.warp import CORE_LESS_SHELL_POINTS, TYPICAL
from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.doubt.response import at_time, interpolate, nodes, settled_after
from woodmove.advice.drying.air import Air
from woodmove.advice.top import movement, seams
from woodmove.advice.top import season as season_advice
from woodmove.contract import quantity
from woodmove.contract.answer import Verdict
from woodmove.contract.notes import Assumption, Note, Warning, assumption, caution, note, warning
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal
from woodmove.contract.untyped import UntypedAnswer
from woodmove.domain.board import in_both
from woodmove.domain.season import Season
from woodmove.domain.top import EdgeStrips, Top
from woodmove.physics.arrays import Array
from woodmove.physics.diffusivity import DIFFUSIVITIES
from woodmove.physics.drying.boards import STILL_AIR_M_S, Boards, History
from woodmove.physics.drying.solver import simulate
from woodmove.physics.sorption import rh_for_mc_pct
from woodmove.physics.warp import arc_height_mm, part_release_per_m, slab_cup_per_m

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
SOURCES = ("siau-transport", "nordic-creep", "fpl-gtr-282")

REST = note(
    "REST", "Rest it {rest_days} on stickers between the rough and the final flattening.",
    rest_days=quantity.DAYS,
)  # fmt: skip
OVERNIGHT = note("OVERNIGHT", "Flatten it roughly, leave it overnight, then flatten it finally.")
REST_UNKNOWN = note(
    "REST_UNKNOWN",
    "Flatten it roughly, and finally once a straightedge shows no change from one day to the next.",
)
BOTH_DAYS = note(
    "BOTH_DAYS", "Flatten it roughly from {rough} on, and finally from {final} on.", rough=None, final=None
)
FINAL_DAY = note("FINAL_DAY", "Flatten it finally from {final} on.", final=None)
ROOM_FIRST = note(
    "ROOM_FIRST",
    "Before you flatten the top, hold the air around it at {rh_pct} RH for some weeks, or rest it in its "
    "room: it is at {now_pct}, and the room's year is {service_pct}.",
    rh_pct=quantity.HUMIDITY, now_pct=quantity.MOISTURE, service_pct=quantity.MOISTURE,
)  # fmt: skip
BOTH_FACES = note("BOTH_FACES", "Take as much off one face as off the other.")
NO_LONG_REST = note(
    "NO_LONG_REST", "Off one face alone it would stay flat only after {one_face_days}.",
    one_face_days=quantity.DAYS,
)  # fmt: skip
NEVER_BY_ONE_FACE = note("NEVER_BY_ONE_FACE", "Off one face alone it would not stay flat within a year.")
NOT_BY = note("NOT_BY", "That is after {build}.", build=None)

FLATTEN_ROUGHLY = note(
    "FLATTEN_ROUGHLY",
    "Flatten the top roughly, as much off one face as off the other.",
)
FLATTEN = note(
    "FLATTEN", "Flatten the top finally: {rest_days} after the rough flattening.", rest_days=quantity.DAYS
)

FLAT_TOO_LATE = warning(
    "FLAT_TOO_LATE",
    "Flattened roughly on {start}, the top may be flattened finally from {day} on, and not by {build}.",
    start=None, day=None, build=None,
)  # fmt: skip
RESTS_IN_VAIN = warning(
    "RESTS_IN_VAIN",
    "Planed then off one face alone, the top cups by {rested_cup_mm}: more than the {flat_cup_mm} that you "
    "allow. Take as much off both faces.",
    rested_cup_mm=quantity.STEP, flat_cup_mm=quantity.STEP,
)  # fmt: skip
NO_DENSITY = warning(
    "NO_DENSITY",
    "No table gives the density of {wood}, which decides how fast it evens out: how long to rest is unknown.",
    wood=None,
)
FAR_FROM_AIR = warning(
    "FAR_FROM_AIR",
    "The top is at {now_pct} and this air would bring it to {emc_pct}: on the way its faces run ahead of its "
    "core, and what is flat today does not stay so.",
    now_pct=quantity.MOISTURE, emc_pct=quantity.MOISTURE,
)  # fmt: skip

REST_MEANS = assumption(
    "REST_MEANS",
    "Rested: planed then, {plane_mm} off one face alone, it cups by no more than {flat_cup_mm} over its "
    "width when its moisture evens out. A night at least (common practice). A longer rest is advised only "
    "where it gains 0.003 in, which a hand feels (common practice), and for four weeks at most (judgement).",
    plane_mm=quantity.GAP, flat_cup_mm=quantity.STEP,
)  # fmt: skip
JOINTS_COUNTED = assumption(
    "GLUE_WATER_WAITS",
    "The water of the glue needs {joint_days} to leave the seams, {set_days} of them before the rough "
    "flattening, while the last joint sets.",
    joint_days=quantity.DAYS, set_days=quantity.DAYS,
)  # fmt: skip
JOINTS_NOT_COUNTED = assumption(
    "GLUE_WATER_WAITS",
    "The water of the glue is not counted: woodmove glue-up says how long its seams need before the final "
    "flattening (--joint-wait).",
)
WETTER_CORE = assumption(
    "CORE_AND_SHELL",
    "At the rough flattening the core is {apart_points} wetter than the shell, the same toward both faces.",
    apart_points=quantity.POINTS,
)
DRIER_CORE = assumption(
    "CORE_AND_SHELL",
    "At the rough flattening the core is {apart_points} drier than the shell, the same toward both faces.",
    apart_points=quantity.POINTS,
)
RESTS_IN = assumption(
    "RESTS_IN", "It rests on stickers in {air}, both faces open; diffusivity {model} ({remark}).",
    air=None, model=None, remark=None,
)  # fmt: skip
FACES_ALIKE = assumption(
    "FACES_ALIKE",
    "While it rests, both faces meet the same air: let none lie on a bench or under a sheet. A point between "
    "them cups the top by {per_point_cup_mm}.",
    per_point_cup_mm=quantity.STEP,
)
STEPS_FREE = assumption(
    "STEPS_FREE",
    "Steps are of neighbors that are flush now and move as if neither held the other: the most they can be. "
    "Half of the seams stay under the first figure.",
)
NO_WIND = assumption(
    "NO_WIND",
    "Turning a strip end for end does not undo its twist, so strips leave some wind in a top. It is not "
    "counted here: sight it across two straight sticks before the final flattening.",
)
NO_RINGS = assumption(
    "NO_RINGS",
    "Boards of a panel cup as their rings stretch: laid all one way up their cups add, by turns they make a "
    "washboard. Neither is counted here.",
)
FLATTENING = caution(
    "FLATTENING",
    "Planing and routing throw chips and fine dust: wear eye and ear protection and a mask that fits, "
    "collect the dust, and clamp the top before you work on it. The manual of the machine and local rules "
    "come first.",
)
CAUTIONS = (FLATTENING(),)


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
        wettest = min(WETTEST_PCT, *(member.fibre_saturation_pct for member in top.wood.candidates))
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


def flatten(
    top: Top,
    season: Season,
    how: Flattening,
    air: Air,
    draws: Draws,
    inputs: Mapping[str, Any],
    *,
    today: date,
    start: date | None = None,
    ready: date | None = None,
    build: date | None = None,
    model: str = "synthesis",
) -> UntypedAnswer:
    """Steps at the seams, cup, and the rest between two flattenings of a top.

    :param top: as flattened roughly: its thickness is that of the finished top
    :param air: that it rests in
    :param today: before which nothing is advised any more
    :param start: day of the rough flattening, None where nobody said so
    :param ready: day on which the last joint is glued, or may be from then on; None for today
    :param build: day by which it must be flat, None where nobody said so
    :param model: name of the diffusivity
    :raises Refusal: moisture content not known
    """
    assert top.thickness_mm is not None
    now = movement.needed_mc(top, draws, "Seams step by what the wood still has to dry or take on.")
    how = how.of(top)
    coefficient = movement.movement(top, draws).width
    per_point = slab_cup_per_m(coefficient, 1.0, top.thickness_mm)
    results: dict[str, Any] = _resting(top, how, air, coefficient, draws, model) | {
        "per_point_cup_mm": draws.range(np.asarray(arc_height_mm(per_point, top.width_mm))),
        **_by_rings(top, season, now, coefficient, draws),
        "seams": seams.by_season(top, season, draws, now),
    }
    days = _Days.of(results.get("rest_between_days"), how, today, start, ready, build)
    results["checks"] = days.checks()
    temp, emc = (float(each[0]) for each in air.at(np.zeros(1)))
    far = abs(emc - float(now[0])) > movement.FAR_POINTS
    # The air of a day passes; the year of the room is where the top goes.
    unready = abs(season.mean_pct - float(now[0])) > movement.FAR_POINTS
    rh = float(rh_for_mc_pct(temp, season.mean_pct))
    room = {"rh_pct": rh, "now_pct": float(now[0]), "service_pct": season.mean_pct}
    return UntypedAnswer(
        "flatten",
        inputs,
        results,
        warnings=(
            *movement.warnings(top, season),
            *((NO_DENSITY(wood=top.wood.species.name),) if top.wood.gravity_12 is None else ()),
            *((FAR_FROM_AIR(now_pct=float(now[0]), emc_pct=emc),) if far else ()),
            *season_advice.outside_diffusivity(model, now[:1].tolist(), top.wood.gravity_12),
            *_rests_in_vain(results, how),
            *days.too_late(),
        ),
        cautions=CAUTIONS,
        assumptions=_assumptions(top, how, air, model, results["per_point_cup_mm"]),
        sources=(*SOURCES, *(c.known.source for c in top.wood.coefficients), *season.sources),
        columns={
            "by_day": ("day", "core_less_shell_points", "planed_cup_mm"),
            "seams": ("when", "mc_pct", "each_face_step_mm"),
        },
        verdict=_verdict(results, days, room if unready else None),
        headline="rest_between_days" if "rest_between_days" in results else "",
        key=("now_cup_mm", "rested_cup_mm", "per_point_cup_mm", "by_its_rings", "seams"),
    )


@dataclass(frozen=True, slots=True)
class _Days:
    """The days of the two flattenings, from today on; none where nobody says a day.

    :param rest: None where it is unknown, and then the final day is
    :param rough: None where it is done
    """

    rest: Range | None
    start: date
    rough: date | None
    final: date | None
    build: date | None

    @classmethod
    def of(
        cls,
        rest: Range | None,
        how: Flattening,
        today: date,
        start: date | None,
        ready: date | None,
        build: date | None,
    ) -> "_Days":
        rough = None
        if start is None:
            sets = timedelta(days=0 if how.joint_days is None else how.joint_set_days)
            start = rough = max((ready or today) + sets, today)
            if ready is None and build is None:
                return cls(rest, start, None, None, None)
        if rest is None:
            return cls(None, start, rough, None, build)
        return cls(rest, start, rough, max(start + timedelta(days=rest.expected), today), build)

    def checks(self) -> list[dict[str, Any]]:
        """The days as dated checks."""
        found: list[dict[str, Any]] = []
        if self.rough is not None:
            found.append({"date": self.rough, "check": FLATTEN_ROUGHLY()})
        if self.final is not None and self.rest is not None:
            found.append({"date": self.final, "check": FLATTEN(rest_days=self.rest.expected)})
        return found

    @property
    def late(self) -> bool:
        """True if the top is not flat by the build."""
        return self.build is not None and self.final is not None and self.final > self.build

    def too_late(self) -> tuple[Warning, ...]:
        """The day on which the top may be flattened finally, where that comes after the build."""
        return (FLAT_TOO_LATE(start=self.start, day=self.final, build=self.build),) if self.late else ()


def _verdict(results: Mapping[str, Any], days: _Days, far: Mapping[str, float] | None) -> Verdict:
    """What to do.

    :param far: moisture of the top and of the room's year, where these lie far apart
    """
    if far is not None:
        return Verdict("wait", (ROOM_FIRST(**far), BOTH_FACES()))
    if days.rest is None:
        return Verdict("go", (REST_UNKNOWN(), BOTH_FACES()))
    says: list[Note] = []
    if days.rough is not None:
        says.append(BOTH_DAYS(rough=days.rough, final=days.final))
    elif days.final is not None:
        says.append(FINAL_DAY(final=days.final))
    elif days.rest.expected > LEAST_DAYS:
        says.append(REST(rest_days=days.rest.expected))
    else:
        says.append(OVERNIGHT())
    if days.late:
        says.append(NOT_BY(build=days.build))
    says.append(BOTH_FACES())
    alone = results.get("one_face_rest_days")
    if alone is not None and alone.expected > days.rest.expected:
        never = alone.expected >= MOST_DAYS
        says.append(NEVER_BY_ONE_FACE() if never else NO_LONG_REST(one_face_days=alone.expected))
    return Verdict("wait" if days.late else "go", tuple(says[:3]))


def _rests_in_vain(results: Mapping[str, Any], how: Flattening) -> tuple[Warning, ...]:
    """Where the top cups by more than is wanted after its rest, planed off one face."""
    rested = results.get("rested_cup_mm")
    if rested is None or rested.expected < how.flat_mm + movement.FELT_MM:
        return ()
    return (RESTS_IN_VAIN(rested_cup_mm=rested, flat_cup_mm=how.flat_mm),)


def _resting(
    top: Top, how: Flattening, air: Air, coefficient: Array, draws: Draws, model: str
) -> dict[str, Any]:
    """How long to rest, and what it would cup without; nothing where no table gives the density."""
    gravity = top.wood.gravity_12
    if gravity is None:
        return {}
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
    return {
        "rest_between_days": wait,
        "one_face_rest_days": alone,
        "now_cup_mm": draws.range(np.abs(cups[:, 0])),
        "planed_face_gets": "round" if cups[0, 0] > 0 else "hollow",
        "rested_cup_mm": draws.range(at_time(cups, _DAYS, wait.expected)),
        "by_day": [
            {
                "day": day,
                "core_less_shell_points": float(np.interp(day, _DAYS, difference)),
                "planed_cup_mm": draws.range(at_time(cups, _DAYS, day)),
            }
            for day in SHOWN_DAYS
        ],
    }


def _rest_days(cups_mm: Array, flat_mm: float, least: float) -> Array:
    """Days until a top that is planed then, off one face, cups no more than is wanted, shape (draws,);
    `least` where a longer rest would gain less than a hand feels.

    :param cups_mm: on :data:`_DAYS`, shape (draws, days)
    :param least: days that it rests anyhow
    """
    at_once = np.minimum(cups_mm[:, 0], at_time(cups_mm, _DAYS, least))
    settled = np.clip(settled_after(cups_mm / flat_mm, _DAYS), least, MOST_DAYS)
    return np.where(at_once - flat_mm >= movement.FELT_MM, settled, least)


def _by_rings(top: Top, season: Season, now: Array, coefficient: Array, draws: Draws) -> dict[str, Any]:
    """Cup of a top whose strips move more at their outer edge than at the inner one, at the worse of its
    driest and dampest: all laid one way up, and turned anyhow. Nothing where the rings are not known strip by
    strip."""
    if not isinstance(top.grain, EdgeStrips):
        return {}
    grain = top.grain
    # Slope of the share over the width of each strip, outward; over the top's depth once it stands on edge.
    slopes = np.abs(grain.slopes_per_m())
    apart = float(np.mean([c.tangential - c.radial for c in top.wood.coefficients]))
    points = np.max(
        [np.abs(movement.in_service(season, mc, draws) - now) for mc in (season.low_pct, season.high_pct)],
        axis=0,
    )
    scatter = coefficient / coefficient[0]

    def cup(slope_per_m: Array | float) -> Array:
        return np.abs(np.asarray(arc_height_mm(apart * slope_per_m * scatter * points, top.width_mm)))

    strips = max(1.0, top.width_mm / grain.parent.thickness_mm)
    lies = np.abs(draws.deviation(doubt.LYING))
    lies[0] = TYPICAL
    spread = float(np.sqrt(slopes**2 @ grain.weights) / strips**0.5)
    return {
        "by_its_rings": {
            "one_way_up_cup_mm": draws.range(cup(float(slopes @ grain.weights))),
            "turned_anyhow_cup_mm": draws.range(cup(spread * lies)),
        }
    }


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


def _assumptions(top: Top, how: Flattening, air: Air, model: str, per_point: Range) -> tuple[Assumption, ...]:
    used = DIFFUSIVITIES[model]
    assert how.core_less_shell is not None
    apart = WETTER_CORE if how.core_less_shell >= 0 else DRIER_CORE
    return (
        REST_MEANS(plane_mm=how.plane_mm, flat_cup_mm=how.flat_mm),
        JOINTS_NOT_COUNTED()
        if how.joint_days is None
        else JOINTS_COUNTED(joint_days=how.joint_days, set_days=how.joint_set_days),
        apart(apart_points=abs(how.core_less_shell)),
        RESTS_IN(air=air.words, model=used.name, remark=used.remark),
        FACES_ALIKE(per_point_cup_mm=per_point),
        STEPS_FREE(),
        NO_WIND(),
        *(() if isinstance(top.grain, EdgeStrips) else (NO_RINGS(),)),
    )
