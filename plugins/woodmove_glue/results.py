"""What is found of a glue-up, as it is shown."""

from datetime import date
from typing import Annotated

from woodmove.extend.api import Dated, Note, Range, Shown, quantity, results

CHANCE = "chance of being in time"


@results
class Step:
    """A step of the glue-up."""

    step: Annotated[int, Shown("step", None, "key")]
    do: Annotated[Note, Shown("do", None, "key")]


@results
class OneOf:
    """One glue-up of the top: what is glued, how often, and its clock."""

    what: Annotated[str, Shown("glued at once", None, "key")]
    times: Annotated[int, Shown("times", None, "key")]
    joints: Annotated[int, Shown("joints", None, "key")]
    takes_min: Annotated[Range, Shown("takes", quantity.MINUTES, "key")]
    in_time_chance_pct: Annotated[float, Shown(CHANCE, quantity.CHANCE, "key")]


@results
class Time:
    """One of the two times of a glue-up: what it takes, what the glue allows, and what is left."""

    time: Annotated[str, Shown("time", None, "key")]
    takes_min: Annotated[Range, Shown("takes", quantity.MINUTES, "key")]
    allowed_min: Annotated[Range, Shown("the glue allows", quantity.MINUTES, "key")]
    margin_min: Annotated[Range, Shown("margin", quantity.MINUTES, "key")]


@results
class Pressing:
    """A pressure, and the clamps that give it; no spacing where so many do not fit."""

    pressure: Annotated[str, Shown("pressure", None, "key")]
    on_joint_mpa: Annotated[float | None, Shown("on the joint", quantity.PRESSURE, "key")]
    force_kn: Annotated[float | None, Shown("force", quantity.FORCE, "key")]
    clamps: Annotated[int, Shown("clamps", None, "key")]
    spacing_mm: Annotated[float | None, Shown("spacing", quantity.LENGTH, "key")]


@results
class Water:
    """What the water of the glue does; no wait where the joints never lie level."""

    adds_points: Annotated[Range | None, Shown("adds", quantity.POINTS)]
    wider_mm: Annotated[Range | None, Shown("makes the top wider by", quantity.GAP)]
    after_a_day_step_mm: Annotated[Range | None, Shown("seam stands up after a day, at most", quantity.STEP)]
    after_a_week_step_mm: Annotated[Range | None, Shown("after a week, at most", quantity.STEP)]
    wait_days: Annotated[Range | None, Shown("wait before planing the joints for good", quantity.DAYS)]


@results
class Instead:
    """What would make it a go."""

    instead: Annotated[str, Shown("change", None, "key")]
    margin_min: Annotated[float, Shown("margin", quantity.MINUTES, "key")]
    in_time_chance_pct: Annotated[float, Shown(CHANCE, quantity.CHANCE, "key")]


@results
class GlueUp:
    """The glue-ups of a top: their clock, their clamps, the glue to buy and its water."""

    because: Annotated[str | None, Shown("stops because")]
    strip_count: Annotated[int, Shown("strip count")]
    joint_count: Annotated[int, Shown("joint count")]
    glued_m2: Annotated[float, Shown("area of the joints", quantity.AREA)]
    margin_min: Annotated[Range, Shown("margin", quantity.MINUTES)]
    in_time_chance_pct: Annotated[float, Shown(f"{CHANCE}, as things are", quantity.CHANCE, "headline")]
    needs_met_chance_pct: Annotated[float | None, Shown("with what it needs", quantity.CHANCE, "key")]
    hands: Annotated[int, Shown("people", None, "key")]
    clamp_count: Annotated[int, Shown("clamp count")]
    more_clamps: Annotated[int, Shown("more clamps to get")]
    temp_least_c: Annotated[float, Shown("wood, air and glue at least", quantity.TEMPERATURE)]
    glue_to_spread_g: Annotated[Range, Shown("glue", quantity.GLUE)]
    glue_to_buy_ml: Annotated[float, Shown("glue to buy, at least", quantity.VOLUME, "key")]
    steps: Annotated[tuple[Step, ...], Shown("step by step", None, "key")]
    glue_ups: Annotated[tuple[OneOf, ...], Shown("the glue-ups")]
    clock: Annotated[tuple[Time, ...], Shown("clock")]
    clamping: Annotated[tuple[Pressing, ...], Shown("clamping")]
    unstressed_h: Annotated[float, Shown("unstressed before it is machined for", quantity.HOURS)]
    set_days: Annotated[int, Shown("days until a joint may be machined")]
    glued_on: Annotated[date | None, Shown("glued on")]
    joined_on: Annotated[date | None, Shown("joined on")]
    glue_water: Annotated[Water, Shown("water of the glue")]
    checks: Annotated[tuple[Dated, ...], Shown("dated checks")]
    instead: Annotated[tuple[Instead, ...], Shown("what to change instead", None, "key")]
