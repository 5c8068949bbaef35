"""How flat a glued-up top stays: seams, cup, and how long to rest between rough and final flattening."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Annotated

import numpy as np

from woodmove.advice.boards.warp import TYPICAL
from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.drying.air import Air
from woodmove.advice.top import movement, seams
from woodmove.advice.top import season as season_advice
from woodmove.advice.top.rest import LEAST_DAYS, MOST_DAYS, Flattening, OnDay, Rest, resting
from woodmove.advice.top.seams import Seam
from woodmove.advice.top.wind import Wind, wind, wind_notes
from woodmove.contract import quantity
from woodmove.contract.answer import Answer, Verdict
from woodmove.contract.notes import Assumption, Note, Warning, assumption, caution, note, warning
from woodmove.contract.plan import Dated
from woodmove.contract.ranges import Range
from woodmove.contract.shown import Shown, results
from woodmove.domain.season import Season
from woodmove.domain.top import EdgeStrips, Top
from woodmove.physics.arrays import Array
from woodmove.physics.diffusivity import DIFFUSIVITIES
from woodmove.physics.sorption import rh_for_mc_pct
from woodmove.physics.warp import arc_height_mm, slab_cup_per_m

SOURCES = ("siau-transport", "nordic-creep", "fpl-gtr-282")


@results
class Rings:
    """Cup of a top by the rings of its strips, at the worse of its driest and dampest."""

    one_way_up_cup_mm: Annotated[Range, Shown("outer edges all up", quantity.STEP)]
    turned_anyhow_cup_mm: Annotated[Range, Shown("turned anyhow", quantity.STEP)]


@results
class Flat:
    """How flat a top stays; nothing of its rest where no table gives the density."""

    rest_between_days: Annotated[
        Range | None, Shown("rest before the final flattening", quantity.DAYS, "headline")
    ]
    one_face_rest_days: Annotated[
        Range | None, Shown("rest it would take, planed off one face alone", quantity.DAYS)
    ]
    now_cup_mm: Annotated[
        Range | None, Shown("planed flat today off one face, it would cup by", quantity.STEP, "key")
    ]
    planed_face_gets: Annotated[str | None, Shown("the planed face gets")]
    rested_cup_mm: Annotated[Range | None, Shown("planed flat then off one face, by", quantity.STEP, "key")]
    per_point_cup_mm: Annotated[Range, Shown("cup for each point between its faces", quantity.STEP, "key")]
    by_its_rings: Annotated[Rings | None, Shown("cup by its rings, at its driest or dampest")]
    wind: Annotated[Wind | None, Shown("wind: how far a corner lifts")]
    by_day: Annotated[tuple[OnDay, ...], Shown("planed flat on day")]
    seams: Annotated[tuple[Seam, ...], Shown("seams", None, "key")]
    checks: Annotated[tuple[Dated, ...], Shown("dated checks")]


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
    "The water of the glue is not counted. The final flattening waits for the seams too: woodmove glue-up "
    "says how long, and a plan counts it.",
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


def flatten(
    top: Top,
    season: Season,
    how: Flattening,
    air: Air,
    draws: Draws,
    *,
    today: date,
    start: date | None = None,
    ready: date | None = None,
    build: date | None = None,
    model: str = "synthesis",
    strip_twist_mm: float | None = None,
    strip_thickness_mm: float | None = None,
) -> Answer[Flat]:
    """Steps at the seams, cup, and the rest between two flattenings of a top.

    :param top: as flattened roughly: its thickness is that of the finished top
    :param air: that it rests in
    :param today: before which nothing is advised any more
    :param start: day of the rough flattening, None where nobody said so
    :param ready: day on which the last joint is glued, or may be from then on; None for today
    :param build: day by which it must be flat, None where nobody said so
    :param model: name of the diffusivity
    :param strip_twist_mm: lift of a corner of a strip before the glue-up, None where nobody measured it
    :param strip_thickness_mm: of a strip on edge; None for that of the lumber that it is ripped from
    :raises Refusal: moisture content not known
    """
    assert top.thickness_mm is not None
    now = movement.needed_mc(top, draws, "Seams step by what the wood still has to dry or take on.")
    how = how.of(top)
    coefficient = movement.movement(top, draws).width
    per_point = slab_cup_per_m(coefficient, 1.0, top.thickness_mm)
    rest = resting(top, how, air, coefficient, draws, model)
    if strip_thickness_mm is None and isinstance(top.grain, EdgeStrips):
        strip_thickness_mm = top.grain.parent.thickness_mm
    winds = (
        None
        if strip_twist_mm is None or strip_thickness_mm is None
        else wind(strip_twist_mm, strip_thickness_mm, top.thickness_mm, top.width_mm, draws)
    )
    days = _Days.of(None if rest is None else rest.days, how, today, start, ready, build)
    found = Flat(
        rest_between_days=rest and rest.days,
        one_face_rest_days=rest and rest.one_face_days,
        now_cup_mm=rest and rest.now_cup_mm,
        planed_face_gets=rest and rest.gets,
        rested_cup_mm=rest and rest.rested_cup_mm,
        per_point_cup_mm=draws.range(np.asarray(arc_height_mm(per_point, top.width_mm))),
        by_its_rings=_by_rings(top, season, now, coefficient, draws),
        wind=winds,
        by_day=() if rest is None else rest.by_day,
        seams=seams.by_season(top, season, draws, now),
        checks=days.checks(),
    )
    temp, emc = (float(each[0]) for each in air.at(np.zeros(1)))
    far = abs(emc - float(now[0])) > movement.FAR_POINTS
    # The air of a day passes; the year of the room is where the top goes.
    unready = abs(season.mean_pct - float(now[0])) > movement.FAR_POINTS
    rh = float(rh_for_mc_pct(temp, season.mean_pct))
    room = {"rh_pct": rh, "now_pct": float(now[0]), "service_pct": season.mean_pct}
    return Answer(
        _verdict(rest, days, room if unready else None),
        found,
        (
            *movement.warnings(top, season),
            *((NO_DENSITY(wood=top.wood.species.name),) if top.wood.gravity_12 is None else ()),
            *((FAR_FROM_AIR(now_pct=float(now[0]), emc_pct=emc),) if far else ()),
            *season_advice.outside_diffusivity(model, now[:1].tolist(), top.wood.gravity_12),
            *_rests_in_vain(rest, how),
            *days.too_late(),
            *wind_notes(winds, strip_twist_mm),
            *CAUTIONS,
            *_assumptions(top, how, air, model, found.per_point_cup_mm),
        ),
        (*SOURCES, *top.wood.sources, *season.sources),
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

    def checks(self) -> tuple[Dated, ...]:
        """The days as dated checks."""
        found: list[Dated] = []
        if self.rough is not None:
            found.append(Dated(date=self.rough, check=FLATTEN_ROUGHLY()))
        if self.final is not None and self.rest is not None:
            found.append(Dated(date=self.final, check=FLATTEN(rest_days=self.rest.expected)))
        return tuple(found)

    @property
    def late(self) -> bool:
        """True if the top is not flat by the build."""
        return self.build is not None and self.final is not None and self.final > self.build

    def too_late(self) -> tuple[Warning, ...]:
        """The day on which the top may be flattened finally, where that comes after the build."""
        return (FLAT_TOO_LATE(start=self.start, day=self.final, build=self.build),) if self.late else ()


def _verdict(rest: Rest | None, days: _Days, far: Mapping[str, float] | None) -> Verdict:
    """What to do.

    :param far: moisture of the top and of the room's year, where these lie far apart
    """
    if far is not None:
        return Verdict("wait", (ROOM_FIRST(**far), BOTH_FACES()))
    if rest is None:
        return Verdict("go", (REST_UNKNOWN(), BOTH_FACES()))
    says: list[Note] = []
    if days.rough is not None:
        says.append(BOTH_DAYS(rough=days.rough, final=days.final))
    elif days.final is not None:
        says.append(FINAL_DAY(final=days.final))
    elif rest.days.expected > LEAST_DAYS:
        says.append(REST(rest_days=rest.days.expected))
    else:
        says.append(OVERNIGHT())
    if days.late:
        says.append(NOT_BY(build=days.build))
    says.append(BOTH_FACES())
    alone = rest.one_face_days
    if alone.expected > rest.days.expected:
        never = alone.expected >= MOST_DAYS
        says.append(NEVER_BY_ONE_FACE() if never else NO_LONG_REST(one_face_days=alone.expected))
    return Verdict("wait" if days.late else "go", tuple(says[:3]))


def _rests_in_vain(rest: Rest | None, how: Flattening) -> tuple[Warning, ...]:
    """Where the top cups by more than is wanted after its rest, planed off one face."""
    if rest is None or rest.rested_cup_mm.expected < how.flat_mm + movement.FELT_MM:
        return ()
    return (RESTS_IN_VAIN(rested_cup_mm=rest.rested_cup_mm, flat_cup_mm=how.flat_mm),)


def _by_rings(top: Top, season: Season, now: Array, coefficient: Array, draws: Draws) -> Rings | None:
    """Cup of a top whose strips move more at their outer edge than at the inner one, at the worse of its
    driest and dampest: all laid one way up, and turned anyhow. None where the rings are not known strip by
    strip."""
    if not isinstance(top.grain, EdgeStrips):
        return None
    grain = top.grain
    # Slope of the share over the width of each strip, outward; over the top's depth once it stands on edge.
    slopes = np.abs(grain.slopes_per_m())
    points = np.max(
        [np.abs(mc - now) for mc in movement.extremes(season, draws)],
        axis=0,
    )
    scatter = coefficient / coefficient[0]

    def cup(slope_per_m: Array | float) -> Array:
        return np.abs(
            np.asarray(arc_height_mm(top.wood.apart * slope_per_m * scatter * points, top.width_mm))
        )

    strips = max(1.0, top.width_mm / grain.parent.thickness_mm)
    lies = np.abs(draws.deviation(doubt.LYING))
    lies[0] = TYPICAL
    spread = float(np.sqrt(slopes**2 @ grain.weights) / strips**0.5)
    return Rings(
        one_way_up_cup_mm=draws.range(cup(float(slopes @ grain.weights))),
        turned_anyhow_cup_mm=draws.range(cup(spread * lies)),
    )


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
        *(() if isinstance(top.grain, EdgeStrips) else (NO_RINGS(),)),
    )
