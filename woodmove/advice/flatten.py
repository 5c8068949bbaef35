"""How flat a glued-up top stays: seams, cup, and how long to rest between rough and final flattening."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import numpy as np

from woodmove.advice import doubt, movement, seams
from woodmove.advice.acclimate import Air
from woodmove.advice.doubt import Draws
from woodmove.advice.response import interpolate, nodes, settled_after
from woodmove.physics.arrays import Array
from woodmove.physics.diffusion import DIFFUSIVITIES, STILL_AIR_M_S, Boards, History, simulate
from woodmove.physics.warp import arc_height_mm, part_release_per_m, slab_cup_per_m
from woodmove.shop.answer import Answer, Assumption, Caution, Note, Range, Refusal, Warning
from woodmove.shop.season import Season
from woodmove.shop.top import Top

# Flat, unless told otherwise: a straightedge over the width shows no more than this (status: judgement).
FLAT_MM = 25.4 / 64
# A night at least: what springs when the clamps come off shows by then (status: common practice).
LEAST_DAYS, MOST_DAYS = 1.0, 365.0
SHOWN_DAYS = (0, 1, 3, 7, 14, 28, 56)
CELLS = 24
_DIFFUSIVITY_NODES = np.array([-2.4, -1.2, 0.0, 1.2, 2.4])
_EMISSION_NODES = np.array([-2.0, 0.0, 2.0])
_DAYS = np.concatenate(([0.0], np.geomspace(0.1, MOST_DAYS, 32)))
SOURCES = ("siau-transport", "nordic-creep", "fpl-gtr-282")


@dataclass(frozen=True, slots=True)
class Flattening:
    """How the top is flattened.

    :param core_less_shell: MC of the middle half less that of the outer quarters when it is flattened roughly
        [points]
    :param plane_mm: that the final flattening takes, all off one face: the worst case
    :param flat_mm: by how much the top may be hollow or round over its width
    """

    core_less_shell: float
    plane_mm: float
    flat_mm: float = FLAT_MM


def flatten(
    top: Top,
    season: Season,
    how: Flattening,
    air: Air,
    draws: Draws,
    inputs: Mapping[str, Any],
    *,
    start: date | None = None,
    model: str = "synthesis",
) -> Answer:
    """Steps at the seams, cup, and the rest between two flattenings of a top.

    :param top: as flattened roughly: its thickness is that of the finished top
    :param air: that it rests in
    :param start: day of the rough flattening, None where nobody said so
    :param model: name of the diffusivity
    :raises Refusal: moisture content not known
    """
    assert top.thickness_mm is not None
    now = movement.mc_now(top, draws)
    if now is None:
        raise Refusal(
            "NO_MC_NOW",
            "The moisture content of the top is not known.",
            "Seams step by what it still has to dry or take on.",
            "Meter it and type --mc-now 8, for example.",
            fields=("mc_now_pct",),
            exit_code=2,
        )
    coefficient = movement.movement(top, draws).width
    per_point = slab_cup_per_m(coefficient, 1.0, top.thickness_mm)
    results: dict[str, Any] = _resting(top, how, air, coefficient, draws, model) | {
        "cup_per_point_mm": draws.range(np.asarray(arc_height_mm(per_point, top.width_mm))),
        "seams": seams.by_season(top, season, draws, now),
    }
    wait = results.get("rest_between_days")
    if start is not None and wait is not None:
        results["checks"] = [
            {
                "date": start + timedelta(days=round(wait.expected)),
                "check": Note(
                    "FLATTEN_FINALLY",
                    "Flatten the top finally, after a rest of {rest_days}: as much off one face as off the "
                    "other.",
                    {"rest_days": wait},
                ),
            }
        ]
    return Answer(
        "flatten",
        inputs,
        results,
        warnings=(*movement.warnings(top, season), *_warnings(top, wait, air, now, model)),
        cautions=CAUTIONS,
        assumptions=_assumptions(how, air, model),
        sources=(*SOURCES, *(c.known.source for c in top.wood.coefficients), *season.sources),
        columns={
            "by_day": ("day", "core_less_shell_points", "cup_mm"),
            "seams": ("when", "mc_pct", "each_face_step_mm"),
        },
    )


def _resting(
    top: Top, how: Flattening, air: Air, coefficient: Array, draws: Draws, model: str
) -> dict[str, Any]:
    """How long to rest, and what it would cup without; nothing where no table gives the density."""
    gravity = top.wood.gravity_12
    if gravity is None:
        return {}
    assert top.thickness_mm is not None
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
    cups = np.abs(np.asarray(arc_height_mm(drawn, top.width_mm)))
    wait = draws.range(np.clip(settled_after(cups / how.flat_mm, _DAYS), LEAST_DAYS, MOST_DAYS))
    central = len(unit) // 2
    difference = history.core_pct[central] - history.shell_pct[central]
    return {
        "rest_between_days": wait,
        "cup_now_mm": draws.range(cups[:, 0]),
        "cup_rested_mm": draws.range(_at(cups, wait.expected)),
        "by_day": [
            {
                "day": day,
                "core_less_shell_points": float(np.interp(day, _DAYS, difference)),
                "cup_mm": draws.range(_at(cups, float(day))),
            }
            for day in SHOWN_DAYS
        ],
    }


def _rest(top: Top, how: Flattening, air: Air, deep_mm: float, gravity: float, model: str) -> History:
    """The top through its rest, for a few values of the doubtful inputs."""
    assert top.mc_now_pct is not None
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
    profile = np.clip(top.mc_now_pct + 2.0 * how.core_less_shell * (1.0 / 3.0 - x * x), 0.5, 29.9)
    temp, emc = air.at(_DAYS)
    start = np.broadcast_to(profile, (boards.count, len(profile)))
    return simulate(boards, start, _DAYS, temp, emc, cells=CELLS, profiles=True)


def _at(values: Array, day: float) -> Array:
    """Values on a day, by straight lines between the times, shape (draws + 1,)."""
    after = int(np.clip(np.searchsorted(_DAYS, day), 1, len(_DAYS) - 1))
    part = (day - _DAYS[after - 1]) / (_DAYS[after] - _DAYS[after - 1])
    return values[:, after - 1] * (1.0 - part) + values[:, after] * part


def _warnings(top: Top, wait: Range | None, air: Air, now: Array, model: str) -> tuple[Warning, ...]:
    notes = []
    gravity = top.wood.gravity_12
    if wait is None or gravity is None:
        return (
            Warning(
                "NO_DENSITY",
                "No table gives the density of {wood}, which decides how fast it evens out: how long to "
                "rest is not "
                "told.",
                {"wood": top.wood.species.name},
            ),
        )
    if wait.expected >= 0.99 * MOST_DAYS:
        notes.append(
            Warning(
                "NEVER_FLAT",
                "Within a year the top does not even out so far that one pass off one face leaves it flat: "
                "take "
                "as much off both faces, or allow more.",
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
    used = DIFFUSIVITIES[model]
    if used.valid[0].outside(now[:1]) or used.valid[2].outside(gravity):
        notes.append(
            Warning(
                "OUTSIDE_DIFFUSIVITY_RANGE",
                f"Diffusivity {used.name}: moisture content or density lies outside its stated range.",
                validity=True,
            )
        )
    return tuple(notes)


def _assumptions(how: Flattening, air: Air, model: str) -> tuple[Assumption, ...]:
    used = DIFFUSIVITIES[model]
    return (
        Assumption(
            "REST_MEANS",
            "Rested: were the top planed flat then, {plane_mm} off one face alone, it would cup by no more "
            "than "
            "{flat_mm} over its width when its moisture evens out; a night at least (common practice). As "
            "much off both faces cups it by nothing.",
            {"plane_mm": how.plane_mm, "flat_mm": how.flat_mm},
        ),
        Assumption(
            "CORE_AND_SHELL",
            "On the day of the rough flattening the core is {core_less_shell_points} wetter than the "
            "shell, the "
            "same toward both faces.",
            {"core_less_shell_points": how.core_less_shell},
        ),
        Assumption(
            "RESTS_IN",
            "It rests on stickers in {air}, both faces open; diffusivity {model} ({remark}).",
            {"air": air.words, "model": used.name, "remark": used.remark},
        ),
        Assumption(
            "STEPS_FREE",
            "Steps are those of neighbours that are flush now and then move as if neither held the other: "
            "the "
            "most they can be. Half of the seams stay under the first figure.",
        ),
    )


CAUTIONS = (
    Caution(
        "FLATTENING",
        "Planing and routing throw chips and fine dust: wear eye and ear protection and a mask that fits, "
        "collect the dust, and clamp the top before you work on it. The manual of the machine and local "
        "rules "
        "come first.",
    ),
)
