"""What gives first where a top is screwed tight: the screws, an end check or a glue line."""

from typing import Annotated

import numpy as np

from woodmove.extend.api import (
    Base,
    Draws,
    Note,
    Range,
    Screw,
    Season,
    Shown,
    Top,
    assumption,
    note,
    quantity,
    results,
)
from woodmove.extend.science import density, doubt, held_advice, movement, restraint
from woodmove_fasteners.lateral import oven_dry_gravity, slip_modulus_n_mm, table_value_n

# A screw gives between 2 and 5 times its table value (source: the safety of the table; status: memory), in
# the middle where both ends are as far.
LEAST_TIMES, MOST_TIMES = 2.0, 5.0
# Wood with its checks and knots: EN 338, f_t,90,k of softwood (published) and of hardwood (memory) [MPa].
CHECKED_MPA, CHECKED_HARDWOOD_MPA = 0.4, 0.6
# Length of the top that a screw on either side holds (status: judgement).
HELD_LENGTH_MM = 300.0
# What creep leaves of the elastic stress in months: about half (status: memory, see doubt.RELAXED).
STAYS = 0.5
# Swelling that is blocked and takes a set [points] (status: memory).
SET_POINTS = 1.0
# Shank of a screw over the root of its thread, where no table gives the root (source: din-7998).
ROOT_SHARE = 0.7
# Steel and aluminium under a screw do not give: as wood of the highest density that the equations know.
METAL_GRAVITY = 0.75
PULL = quantity.Quantity("_kn", ("lbf", 10, 10), ("kN", 0.1, 0.1))


@results
class Tight:
    """What a top that is screwed tight does, for each pair of outer screws and the strip that they hold."""

    gives_first: Annotated[str, Shown("gives first")]
    gives_after_points: Annotated[Range, Shown("after a fall of", quantity.POINTS)]
    screw_kn: Annotated[Range, Shown("a screw gives at", PULL)]
    end_check_kn: Annotated[float, Shown("an end check opens at", PULL)]
    glue_line_kn: Annotated[Range, Shown("a sound glue line opens at", PULL)]
    pull_kn: Annotated[Range, Shown("the wood pulls by its driest", PULL)]
    falls_points: Annotated[float, Shown("falls by", quantity.POINTS)]
    swells_points: Annotated[float, Shown("swells by", quantity.POINTS)]


SET_FIRST = note(
    "SET_FIRST",
    "Screwed tight, its swelling of {swells_points} is blocked: it takes a set, and opens or cracks in the "
    "winter after.",
    swells_points=quantity.POINTS,
)  # fmt: skip
SCREWS_GIVE = note(
    "SCREWS_GIVE",
    "Screwed tight, the screws give first, after a fall of {points}: they bend and work loose.",
    points=quantity.POINTS,
)  # fmt: skip
CHECK_OPENS = note(
    "CHECK_OPENS", "Screwed tight, it opens at an end check first, after a fall of {points}.",
    points=quantity.POINTS,
)  # fmt: skip
GLUE_OPENS = note(
    "GLUE_OPENS", "Screwed tight, it opens at a glue line first, after a fall of {points}.",
    points=quantity.POINTS,
)  # fmt: skip
NOTHING_GIVES = note(
    "NOTHING_GIVES", "Screwed tight, it would bear this year: it falls by {falls_points} only.",
    falls_points=quantity.POINTS,
)  # fmt: skip
SCREWS, CHECK, GLUE = "the screws", "an end check", "a glue line"

HELD_BY = assumption(
    "HELD_BY",
    "Screwed tight, the outer two screws hold a strip a foot (300 mm) long between them. A screw gives at "
    "2 to 5 times its table value (NDS; Eurocode 5 for its slip), wood with checks by EN 338, a sound glue "
    "line with the wood. Creep leaves about half of the pull in months (memory).",
)
UNKNOWN = assumption(
    "HELD_UNKNOWN",
    "No table gives this wood's strength and stiffness across the grain, so what it would bear if it were "
    "held is not told. It is no reason to hold it.",
)


def tight(top: Top, season: Season, draws: Draws, screw: Screw, base: Base, span_mm: float) -> Tight | None:
    """What gives where a top is screwed tight along two lines.

    :param span_mm: between the outer screws
    :returns: None where no table gives strength, stiffness or density, or there is one line only
    """
    across, gravity = held_advice.strength_and_stiffness(top), top.wood.gravity_12
    if across is None or gravity is None or span_mm <= 0:
        return None
    assert top.thickness_mm is not None
    strength = across[0] * draws.factor(doubt.TENSION_ACROSS)
    stiffness = across[1] * draws.factor(doubt.STIFFNESS_ACROSS)
    stays = np.clip(STAYS + draws.deviation(doubt.RELAXED), 0.1, 1.0)
    section = top.thickness_mm * HELD_LENGTH_MM
    screw_n, slip = _screw(screw, base, gravity)
    # Wood and its two screws stand one behind the other: they share the movement by their give.
    wood = 1000.0 * stiffness * section / span_mm
    shared = 1.0 / (1.0 + 2.0 * wood / slip)
    moves = movement.movement(top, draws, span_mm)

    def pull_n(points):
        free_kpa = np.asarray(restraint.blocked_stress_kpa(moves.width, points, stiffness))
        return free_kpa / 1000.0 * section * shared * stays

    a_point = pull_n(1.0)
    now = season.mean_pct if top.mc_now_pct is None else top.mc_now_pct
    swells = max(0.0, season.high_pct - now)
    falls = max(0.0, max(now, season.high_pct if swells > SET_POINTS else now) - season.low_pct)
    hard = top.wood.species.group == "hardwood"
    check_n = (CHECKED_HARDWOOD_MPA if hard else CHECKED_MPA) * section
    glue_n = strength / 1000.0 * section
    middle = (LEAST_TIMES * MOST_TIMES) ** 0.5
    limits = {SCREWS: middle * screw_n, CHECK: check_n, GLUE: float(glue_n[0])}
    first = min(limits, key=lambda name: limits[name])
    after = draws.range((glue_n if first == GLUE else limits[first]) / a_point)
    if first == SCREWS:
        after = Range(
            after.expected, after.low * LEAST_TIMES / middle, after.high * MOST_TIMES / middle, after.causes
        )
    return Tight(
        gives_first=first,
        gives_after_points=after,
        screw_kn=Range(middle * screw_n / 1000, LEAST_TIMES * screw_n / 1000, MOST_TIMES * screw_n / 1000),
        end_check_kn=check_n / 1000,
        glue_line_kn=draws.range(glue_n / 1000),
        pull_kn=draws.range(np.minimum(pull_n(falls), MOST_TIMES * screw_n) / 1000),
        falls_points=falls,
        swells_points=swells,
    )


def why_slots(found: Tight) -> Note:
    """It in one sentence, with one figure."""
    if found.swells_points > SET_POINTS:
        return SET_FIRST(swells_points=found.swells_points)
    after = found.gives_after_points.expected
    if after > found.falls_points:
        return NOTHING_GIVES(falls_points=found.falls_points)
    said = {SCREWS: SCREWS_GIVE, CHECK: CHECK_OPENS, GLUE: GLUE_OPENS}[found.gives_first]
    return said(points=after)


def _screw(screw: Screw, base: Base, gravity_12: float) -> tuple[float, float]:
    """Table value [N] and slip modulus [N/mm] of a screw through the base into the top."""
    side_12 = (base.wood and base.wood.gravity_12) or gravity_12
    main = oven_dry_gravity(gravity_12)
    side = METAL_GRAVITY if base.made.metal else oven_dry_gravity(side_12)
    root = ROOT_SHARE * screw.major_mm if screw.root_mm is None else screw.root_mm
    value = table_value_n(screw.major_mm, root, base.under_head_mm, main, side)
    of_both = density.density_kg_m3((gravity_12 * side_12) ** 0.5, 12.0)
    slip = slip_modulus_n_mm(screw.major_mm, float(of_both))
    # Steel to timber: twice as stiff (source: Eurocode 5, 7.1).
    return value, 2.0 * slip if base.made.metal else slip
