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
from woodmove.contract.notes import Assumption, Caution, Note, Warning
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
from woodmove.physics.warp import arc_height_mm, part_release_per_m, ring_slope_per_m, slab_cup_per_m

# Flat, unless told otherwise: a straightedge over the width shows no more than this (status: judgement).
FLAT_MM = 25.4 / 64
# A night at least: what springs when the clamps come off shows by then (status: common practice).
LEAST_DAYS, MOST_DAYS = 1.0, 365.0
# A cup that is over what is wanted by no more than this is let pass: no rest for what nobody feels, 0.003 in
# over 1/64 in (status: common practice).
AS_GOOD_AS_FLAT = 1.2
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
    flat_mm: float = FLAT_MM
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
    build: date | None = None,
    model: str = "synthesis",
) -> UntypedAnswer:
    """Steps at the seams, cup, and the rest between two flattenings of a top.

    :param top: as flattened roughly: its thickness is that of the finished top
    :param air: that it rests in
    :param today: before which nothing is advised any more
    :param start: day of the rough flattening, None where nobody said so
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
    never = "rest_between_days" in results and results["rest_between_days"].expected >= MOST_DAYS
    if never:
        for name in ("rest_between_days", "rested_cup_mm"):
            del results[name]
    wait = results.get("rest_between_days")
    results["checks"] = [] if wait is None else _checks(wait, how, start, build, today)
    return UntypedAnswer(
        "flatten",
        inputs,
        results,
        warnings=(
            *movement.warnings(top, season),
            *_warnings(top, never, air, now, model),
            *_rests_in_vain(results, how),
            *(() if wait is None else _too_late(wait, how, start, build, today)),
        ),
        cautions=CAUTIONS,
        assumptions=_assumptions(top, how, air, model, results["per_point_cup_mm"]),
        sources=(*SOURCES, *(c.known.source for c in top.wood.coefficients), *season.sources),
        columns={
            "by_day": ("day", "core_less_shell_points", "planed_cup_mm"),
            "seams": ("when", "mc_pct", "each_face_step_mm"),
        },
    )


def _checks(
    wait: Range, how: Flattening, start: date | None, build: date | None, today: date
) -> list[dict[str, Any]]:
    """When to flatten finally; where only the day is known by which it must be flat, when to flatten
    roughly, and by when the last joint must be glued for that. Nothing that is too late by now."""
    before = []
    if start is not None:
        day, code = max(start + timedelta(days=wait.expected), today), "FLATTEN"
        words = "Flatten the top finally, from {day} on"
    elif build is not None:
        day, code = build - timedelta(days=wait.expected), "FLATTEN_ROUGHLY"
        if day < today:
            return []
        words = "Flatten the top roughly, by {day}"
        glued = day - timedelta(days=how.joint_set_days)
        if how.joint_days is not None and glued >= today:
            values = {
                "day": glued.isoformat(),
                "set_days": how.joint_set_days,
                "joint_days": how.joint_days,
                "build": build.isoformat(),
            }
            text = (
                "Glue the last joint by {day}: it takes {set_days} to set before it is machined, and "
                "{joint_days}, with the water of the glue, before it is planed for good, by {build}."
            )
            before = [{"date": glued, "check": Note("LAST_JOINT", text, values)}]
    else:
        return []
    text = words + ": {rest_days} between the two flattenings. As much off one face as off the other."
    note = Note(code, text, {"day": day.isoformat(), "rest_days": wait})
    return [*before, {"date": day, "check": note}]


def _too_late(
    wait: Range, how: Flattening, start: date | None, build: date | None, today: date
) -> tuple[Warning, ...]:
    """The day on which the top may be flattened finally, where that comes after the build."""
    rest, sets = timedelta(days=wait.expected), timedelta(days=how.joint_set_days)
    if build is None:
        return ()
    if start is not None:
        words, day = "Flattened roughly on {start}", max(start + rest, today)
    elif today + rest > build:
        words, day = "Flattened roughly today, {today}", today + rest
    elif how.joint_days is not None:
        words, day = "With its last joint glued today, {today}", today + sets + rest
    else:
        return ()
    if day <= build:
        return ()
    values = {"start": start, "today": today, "day": day, "build": build}
    text = words + ", the top may be flattened finally from {day} on, and not by {build}."
    return (Warning("FLAT_TOO_LATE", text, values),)


def _rests_in_vain(results: Mapping[str, Any], how: Flattening) -> tuple[Warning, ...]:
    """Where the top cups by more than is wanted after its rest, and by less if it were planed at once."""
    rested = results.get("rested_cup_mm")
    if rested is None or rested.expected <= AS_GOOD_AS_FLAT * how.flat_mm:
        return ()
    return (
        Warning(
            "RESTS_IN_VAIN",
            "Planed after that rest, off one face alone, the top cups by {rested_cup_mm}: more than the "
            "{flat_cup_mm} that is wanted, and more than planed today ({now_cup_mm}). Take as much off both "
            "faces.",
            {
                "rested_cup_mm": rested,
                "flat_cup_mm": how.flat_mm,
                "now_cup_mm": results["now_cup_mm"],
            },
        ),
    )


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
    wait = draws.range(np.ceil(_rest_days(np.abs(cups) / how.flat_mm, max(LEAST_DAYS, joints))))
    central = len(unit) // 2
    difference = history.core_pct[central] - history.shell_pct[central]
    return {
        "rest_between_days": wait,
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


def _rest_days(cups: Array, least: float) -> Array:
    """Days until a top that is planed then cups no more than is wanted, shape (draws,): `least` where that is
    so on the first day or on `least` already, or so nearly that a longer rest would make nothing better.

    :param cups: on :data:`_DAYS`, as a part of what is wanted, shape (draws, days)
    :param least: days that it rests anyhow
    """
    at_once = np.minimum(cups[:, 0], at_time(cups, _DAYS, least))
    settled = np.clip(settled_after(cups, _DAYS), least, MOST_DAYS)
    return np.where(at_once > AS_GOOD_AS_FLAT, settled, least)


def _by_rings(top: Top, season: Season, now: Array, coefficient: Array, draws: Draws) -> dict[str, Any]:
    """Cup of a top whose strips move more at their outer edge than at the inner one, at the worse of its
    driest and dampest: all laid one way up, and turned anyhow. Nothing where the rings are not known strip by
    strip."""
    if not isinstance(top.grain, EdgeStrips):
        return {}
    grain = top.grain
    # Slope of the share over the width of each strip, outward; over the top's depth once it stands on edge.
    slopes = np.abs(ring_slope_per_m(grain.offsets_mm, grain.strip_width_mm, grain.pith_depth_mm,
                                     grain.parent.thickness_mm))  # fmt: skip
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
    spread = float(np.sqrt(np.mean(slopes**2)) / strips**0.5)
    return {
        "by_its_rings": {
            "one_way_up_cup_mm": draws.range(cup(float(slopes.mean()))),
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


def _warnings(top: Top, never: bool, air: Air, now: Array, model: str) -> tuple[Warning, ...]:
    notes = []
    gravity = top.wood.gravity_12
    if gravity is None:
        return (
            Warning(
                "NO_DENSITY",
                "No table gives the density of {wood}, which decides how fast it evens out: how long to rest "
                "is not told.",
                {"wood": top.wood.species.name},
            ),
        )
    if never:
        notes.append(
            Warning(
                "NEVER_FLAT",
                "Within a year the top does not even out so far that one pass off one face leaves it flat: "
                "take as much off both faces, or allow more.",
            )
        )
    emc = float(air.at(np.zeros(1))[1][0])
    if abs(emc - float(now[0])) > movement.FAR_POINTS:
        notes.append(
            Warning(
                "FAR_FROM_AIR",
                "The top is at {now_pct} and its air makes for {emc_pct}: while it goes there its faces run "
                "ahead of its core, and what is flat today will not stay so.",
                {"now_pct": float(now[0]), "emc_pct": emc},
            )
        )
    notes += season_advice.outside_diffusivity(model, now[:1].tolist(), gravity)
    return tuple(notes)


def _assumptions(top: Top, how: Flattening, air: Air, model: str, per_point: Range) -> tuple[Assumption, ...]:
    used = DIFFUSIVITIES[model]
    assert how.core_less_shell is not None
    wetter = "wetter" if how.core_less_shell >= 0 else "drier"
    notes = [
        Assumption(
            "REST_MEANS",
            "Rested: were the top planed flat then, {plane_mm} off one face alone, it would cup by no more "
            "than {flat_cup_mm} over its width when its moisture evens out; a night at least (common "
            "practice), and no longer where a rest would make it little flatter than today. As much off both "
            "faces cups it by nothing.",
            {"plane_mm": how.plane_mm, "flat_cup_mm": how.flat_mm},
        ),
        Assumption(
            "GLUE_WATER_WAITS",
            "The water of the glue is taken to need {joint_days} to leave the seams, {set_days} of them "
            "before the rough flattening, while the last joint sets."
            if how.joint_days is not None
            else "The water of the glue is not counted here: woodmove glue-up tells how long its seams need "
            "before the final flattening, about a week (--joint-wait).",
            {} if how.joint_days is None else {"joint_days": how.joint_days, "set_days": how.joint_set_days},
        ),
        Assumption(
            "CORE_AND_SHELL",
            f"On the day of the rough flattening the core is {{apart_points}} {wetter} than the shell, the "
            "same toward both faces.",
            {"apart_points": abs(how.core_less_shell)},
        ),
        Assumption(
            "RESTS_IN",
            "It rests on stickers in {air}, both faces open; diffusivity {model} ({remark}).",
            {"air": air.words, "model": used.name, "remark": used.remark},
        ),
        Assumption(
            "FACES_ALIKE",
            "Both faces meet the same air for good: finish them alike, and let none lie on a bench or under "
            "a sheet. A point between them cups the top by {per_point_cup_mm}.",
            {"per_point_cup_mm": per_point},
        ),
        Assumption(
            "STEPS_FREE",
            "Steps are those of neighbours that are flush now and then move as if neither held the other: "
            "the most they can be. Half of the seams stay under the first figure.",
        ),
        Assumption(
            "NO_WIND",
            "Twist keeps its hand however a strip is turned, so strips leave some wind in a top; that is not "
            "reckoned here. Sight it across two straight sticks before the final flattening.",
        ),
    ]
    if not isinstance(top.grain, EdgeStrips):
        notes.append(
            Assumption(
                "NO_RINGS",
                "Boards of a panel cup as their rings stretch (woodmove rip tells of one board); laid all "
                "one way up their cups add, by turns they make a washboard. Neither is reckoned here.",
            )
        )
    return tuple(notes)


CAUTIONS = (
    Caution(
        "FLATTENING",
        "Planing and routing throw chips and fine dust: wear eye and ear protection and a mask that fits, "
        "collect the dust, and clamp the top before you work on it. The manual of the machine and local "
        "rules come first.",
    ),
)
