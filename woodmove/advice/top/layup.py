"""In which order to lay up the strips of a top, which way to turn each, and which to leave out."""

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np

from woodmove.advice.air.climate import air_warnings
from woodmove.advice.boards.allowance import CAUL_CROOK_MM, CLOSING_TWIST_DEG
from woodmove.advice.boards.left_out import left_out
from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.doubt.wood import strip_draws
from woodmove.advice.top import arrangement, movement, order
from woodmove.contract.answer import Answer, Verdict
from woodmove.contract.notes import Assumption, Note, Warning, assumption, note, warning
from woodmove.contract.quantity import ANGLE, FINE_LENGTH, GAP, LENGTH, MOISTURE, POINTS, STEP
from woodmove.contract.ranges import Cause, Range
from woodmove.contract.refusal import Refusal, Refusals
from woodmove.contract.shown import Shown, results
from woodmove.domain.board import in_both
from woodmove.domain.season import Season
from woodmove.domain.species import Wood
from woodmove.domain.strip import Laid, Strip, balanced
from woodmove.physics.arrays import Array
from woodmove.physics.shrinkage import (
    across_grain,
    thickness_tangential_share_about_pith,
    width_tangential_share,
)
from woodmove.physics.warp import corner_lift_mm, ring_slope_per_m

# Neighbours farther apart in moisture than this are told of; 1 point is better (status: memory, common in
# gluing guides).
PAIR_POINTS = 2.0
MOST_STRIPS, MOST_FAULTS = 200, 20
SOURCES = ("fpl-gtr-282",)


@dataclass(frozen=True, slots=True)
class Lamination:
    """What the strips have in common.

    :param depth_mm: thickness of the top
    :param thickness_mm: of a strip
    :param mc_pct: of strips that nobody metered, None where nobody said so
    :param most: strips to a section, None for one section
    :param thickness_told: False where the thickness of a strip is only what is usual
    """

    wood: Wood
    depth_mm: float
    thickness_mm: float
    mc_pct: float | None = None
    most: int | None = None
    thickness_told: bool = True

    def wood_of(self, strip: Strip) -> Wood:
        """That of a strip; that of all where nobody wrote it down."""
        parts = (wood for wood, _ in self.wood.parts if wood.species.key == strip.species)
        return next(parts, self.wood)


@dataclass(frozen=True)
class Swellings:
    """Swelling through the thickness of the top of each strip since it was flush [-], at the driest and at
    the dampest: central, shape (2, strips), and in draws, shape (2, strips, draws + 1)."""

    central: Array
    drawn: Array


@results
class LaidStrip:
    """A strip in its place, counted from the left. Its rings are as somebody read them: by their angle, or by
    the pith below the nearer wide face and from its middle toward the marked edge."""

    place: Annotated[int, Shown("place", None, "key")]
    strip: Annotated[str, Shown("strip", None, "key")]
    section: Annotated[int | None, Shown("section", None, "key")]
    mark: Annotated[str, Shown("mark", None, "key")]
    marked_end: Annotated[str, Shown("marked end", None, "key")]
    mc_pct: Annotated[float, Shown("MC", MOISTURE, "key")]
    plane: Annotated[str, Shown("plane", None, "key")]
    next_step_mm: Annotated[Range | None, Shown("step to next", STEP, "key")]
    shows: Annotated[str, Shown("shows", None, "key")]
    ring_angle_deg: Annotated[float | None, Shown("rings", ANGLE)]
    pith_depth_mm: Annotated[float | None, Shown("pith below the face", LENGTH)]
    pith_offset_mm: Annotated[float | None, Shown("pith toward the marked edge", LENGTH)]


@results
class OrderFigures:
    """What an order leaves: steps on a face, and curves of its worst section."""

    order: Annotated[str, Shown("order", None, "key")]
    worst_step_mm: Annotated[Range, Shown("worst step", STEP, "key")]
    mean_step_mm: Annotated[Range, Shown("mean step", STEP, "key")]
    crook_left_mm: Annotated[float | None, Shown("crook left", FINE_LENGTH, "key")]
    bow_left_mm: Annotated[float | None, Shown("bow left", FINE_LENGTH, "key")]
    defects_seen: Annotated[int, Shown("defects seen", None, "key")]


@results
class SetAside:
    """A strip that is left out."""

    strip: Annotated[str, Shown("strip", None, "key")]
    line: Annotated[int, Shown("line", None, "key")]
    why: Annotated[str, Shown("why", None, "key")]


@results
class BadRow:
    """A row of the list that could not be read."""

    line: Annotated[int | None, Shown("line", None, "key")]
    wrong: Annotated[str, Shown("what is wrong", None, "key")]


@results
class LayUp:
    """The order of the strips of a top, each the right way round, and what that gains."""

    worst_step_mm: Annotated[Range, Shown("worst step on a face, at most", STEP, "headline")]
    strip_count: Annotated[int, Shown("strips laid up", None, "key")]
    strip_thickness_mm: Annotated[float, Shown("strip thickness", FINE_LENGTH)]
    metered_pct: Annotated[float | None, Shown("mean of the metered", MOISTURE)]
    strip_twist_mm: Annotated[float | None, Shown("mean twist of the measured", GAP)]
    laid: Annotated[tuple[LaidStrip, ...], Shown("the order, from left to right", None, "key")]
    orders: Annotated[tuple[OrderFigures, ...], Shown("what the order gains")]
    set_aside: Annotated[tuple[SetAside, ...], Shown("set aside")]
    bad_rows: Annotated[tuple[BadRow, ...], Shown("rows that could not be read")]


def lay_up(
    strips: Sequence[Strip],
    lines: Sequence[int],
    faults: Sequence[Refusal],
    lamination: Lamination,
    season: Season,
    draws: Draws,
    needed: int | None = None,
) -> Answer[LayUp]:
    """The order of the strips of a top, each the right way round, and what that gains.

    :param lines: on which each strip stands in its file
    :param faults: rows that could not be read
    :param needed: strips that the top takes, None where nobody knows
    :raises Refusal: fewer than two strips to lay, or too many
    """
    if not strips:
        raise Refusals(faults[:MOST_FAULTS])
    metered = [strip.mc_pct for strip in strips if strip.mc_pct is not None]
    taken = (
        lamination.mc_pct
        if lamination.mc_pct is not None
        else float(np.median(metered))
        if metered
        else season.mean_pct
    )
    mc = np.array([taken if strip.mc_pct is None else strip.mc_pct for strip in strips])
    aside = _set_aside(strips, mc, lamination)
    kept = [i for i in range(len(strips)) if i not in aside]
    _refuse_too_few(strips, len(kept), aside, faults)
    _refuse_same_names(strips, lines)
    _refuse_too_many(len(kept))
    used = [strips[i] for i in kept]
    swelling = swellings(used, mc[kept], lamination, season, draws)
    laid, listed = _laid(used, swelling, lamination, season)
    after = _figures("laid up", laid, used, swelling, lamination, draws)
    twists = [strip.twist_mm for strip in used if strip.twist_mm is not None]
    found = LayUp(
        worst_step_mm=after.worst_step_mm,
        strip_count=len(used),
        strip_thickness_mm=lamination.thickness_mm,
        metered_pct=float(np.mean(metered)) if metered else None,
        strip_twist_mm=float(np.mean(twists)) if twists else None,
        laid=tuple(_places(laid, used, mc[kept], swelling, lamination, draws)),
        orders=(_figures("as listed", listed, used, swelling, lamination, draws), after),
        set_aside=tuple(SetAside(strip=strips[i].name, line=lines[i], why=why) for i, why in aside.items()),
        bad_rows=tuple(BadRow(line=fault.line, wrong=fault.wrong) for fault in faults),
    )
    return Answer(
        Verdict("go", tuple(_verdict(laid, used))),
        found,
        (
            *left_out(faults),
            *_warnings(laid, used, mc[kept], aside, strips, season, lamination),
            *_at_odds(len(used), needed, metered, lamination),
            *air_warnings(season),
            *_assumptions(used, taken, lamination),
        ),
        (*SOURCES, *lamination.wood.sources, *season.sources),
    )


def _laid(
    used: Sequence[Strip], swelling: Swellings, lamination: Lamination, season: Season
) -> tuple[list[Laid], list[Laid]]:
    """The strips as they are to be laid, and as they are listed."""
    sections = _section_numbers(len(used), lamination)
    leans_mm = np.array([_lean_mm(strip, lamination, season) for strip in used])
    row = order.sorted_row(used, 0.5 * lamination.depth_mm * swelling.central)
    ways = list(arrangement.arrangements(row, used, sections, leans_mm))
    width_mm = len(used) * lamination.thickness_mm
    left_over = [
        arrangement.left_over(
            way, used, sections,
            float(np.median(_steps(way, swelling, lamination).max(axis=0)[1:])),
            arrangement.cup_by_rings_mm(way, leans_mm, lamination.depth_mm, width_mm),
        )
        for way in ways
    ]  # fmt: skip
    return arrangement.least_trouble(ways, left_over), ways[0]


# How far metered strips may lie from what is reckoned with before it is told (status: judgement).
APART_POINTS = 1.0
STRIPS_MISSING = warning(
    "STRIPS_MISSING", "The list holds {listed} strips, and the top takes {needed}: make {missing} more.",
    listed=None, needed=None, missing=None,
)  # fmt: skip
STRIPS_AT_ODDS = warning(
    "STRIPS_AT_ODDS",
    "The metered strips are at {listed_pct}, and all else reckons with {mc_pct} at the glue-up. If you glue "
    "them so, write it into the job (wood.mc_now).",
    listed_pct=MOISTURE, mc_pct=MOISTURE,
)  # fmt: skip


def _at_odds(
    listed: int, needed: int | None, metered: Sequence[float], lamination: Lamination
) -> Iterator[Warning]:
    """Where the list does not go with what else is known of the top."""
    if needed is not None and listed < needed:
        yield STRIPS_MISSING(listed=listed, needed=needed, missing=needed - listed)
    if metered and lamination.mc_pct is not None:
        mean = float(np.mean(metered))
        if abs(mean - lamination.mc_pct) > APART_POINTS:
            yield STRIPS_AT_ODDS(listed_pct=mean, mc_pct=lamination.mc_pct)


IN_THIS_ORDER = note("IN_THIS_ORDER", "Lay them up in this order: {strips}.", strips=None)
AS_THEY_COME = note(
    "AS_THEY_COME", "Lay them up as they come: the order changes nothing that a hand can feel."
)
TURN = note("TURN", "Turn over: {strips}.", strips=None)
TURN_ENDS = note("TURN_ENDS", "Turn end for end: {strips}.", strips=None)


def _verdict(laid: Sequence[Laid], strips: Sequence[Strip]) -> Iterator[Note]:
    def names(laid: Sequence[Laid], by: str) -> str:
        return by.join(strips[one.number].name for one in laid)

    if [one.number for one in laid] == list(range(len(laid))):
        yield AS_THEY_COME()
    else:
        yield IN_THIS_ORDER(strips=names(laid, " "))
    if over := [one for one in laid if not one.mark_up]:
        yield TURN(strips=names(over, ", "))
    if ends := [one for one in laid if one.mark_up and one.turned]:
        yield TURN_ENDS(strips=names(ends, ", "))


def _lean_mm(strip: Strip, lamination: Lamination, season: Season) -> float:
    """By how much the marked edge widens more than the other from the driest to the dampest [mm]: the
    rings about a pith lie flatter toward one edge. Nothing where nobody read where the pith is.

    Derived: the slope of its coefficient, over a width of the top's depth.
    """
    if strip.pith_depth_mm is None or strip.pith_offset_mm is None:
        return 0.0
    slope = float(
        ring_slope_per_m(
            -strip.pith_offset_mm, lamination.depth_mm, strip.pith_depth_mm, lamination.thickness_mm
        )
    )
    over_depth = lamination.wood_of(strip).apart * slope * lamination.depth_mm / 1000.0
    return lamination.depth_mm * over_depth * (season.high_pct - season.low_pct)


def _refuse_too_few(
    strips: Sequence[Strip], kept: int, aside: Mapping[int, str], faults: Sequence[Refusal]
) -> None:
    if kept >= 2:
        return
    out = "; ".join(f"{strips[i].name} is left out: {why}" for i, why in aside.items())
    few = Refusal(
        "TOO_FEW_STRIPS",
        f"{kept} of {len(strips) + len(faults)} strips can be laid up. {out}".strip(),
        "A glue-up takes at least two.",
        f"Mend their rows, or add {2 - kept} more." if faults else f"Add {2 - kept} more.",
        fields=("strip_list",),
    )
    raise Refusals([*faults[:MOST_FAULTS], few])


def _refuse_too_many(kept: int) -> None:
    if kept > MOST_STRIPS:
        raise Refusal(
            "TOO_MANY_STRIPS",
            f"{kept} strips are more than one glue-up has.",
            f"At most {MOST_STRIPS} are put in order.",
            "Give the strips of one top.",
            fields=("strip_list",),
        )


def _refuse_same_names(strips: Sequence[Strip], lines: Sequence[int]) -> None:
    first: dict[str, int] = {}
    for strip, line in zip(strips, lines, strict=True):
        if strip.name in first:
            raise Refusal(
                "SAME_NAME",
                f"Two strips are called {strip.name!r}: number {first[strip.name]} and {line}.",
                "Each strip has a name of its own, or nobody can tell which to pick up.",
                "Rename one of them, on the strip too.",
                fields=("strip_list",),
            )
        first[strip.name] = line


def _set_aside(strips: Sequence[Strip], mc: Array, lamination: Lamination) -> dict[int, str]:
    """Strips to leave out, by number, and why: apart in moisture from the rest, so crooked that flattening
    would take more than there is to spare, or twisted more than clamps take out."""
    aside: dict[int, str] = {}
    rising = np.argsort(mc, kind="stable")
    groups = np.split(rising, np.flatnonzero(np.diff(mc[rising]) > PAIR_POINTS) + 1)
    most = max(groups, key=len)
    for group in groups:
        # Two halves that differ are a pile of two kinds, and none of them is the exception.
        if group is not most and len(group) <= len(strips) // 4:
            aside |= {int(i): "more than 2 points from the rest" for i in group}
    aside |= {
        i: f"more crook than {in_both(CAUL_CROOK_MM)}"
        for i, strip in enumerate(strips)
        if strip.crook_mm is not None and abs(strip.crook_mm) > CAUL_CROOK_MM
    }
    most_twist_mm = float(corner_lift_mm(lamination.depth_mm, CLOSING_TWIST_DEG))
    aside |= {
        i: f"more twist than {in_both(most_twist_mm)}"
        for i, strip in enumerate(strips)
        if strip.twist_mm is not None and strip.twist_mm > most_twist_mm
    }
    return dict(sorted(aside.items()))


def swellings(
    strips: Sequence[Strip], mc: Array, lamination: Lamination, season: Season, draws: Draws
) -> Swellings:
    """How each strip swells through the thickness of the top, from its moisture at the glue-up.

    :param mc: of each strip [%], shape (strips,)
    """
    common = draws.factor(doubt.SPECIES_MEAN) * draws.factor(doubt.STRAIGHT_LINE)
    bias = draws.deviation(doubt.METER_BIAS)
    later = np.array(movement.extremes(season, draws))
    drawn = np.empty((2, len(strips), draws.draws + 1))
    for number, (strip, now) in enumerate(zip(strips, mc, strict=True)):
        # Each strip has deviations of its own, which no other input shares.
        own = Draws(draws.draws, (draws.seed + 1 + number) % 2**32)
        share = _depth_share(strip, lamination, own)
        radial, tangential, saturation = strip_draws(lamination.wood_of(strip), draws, own)
        scatter = 1.0 + own.deviation(doubt.LOGS) + own.deviation(doubt.PIECES)
        coefficient = np.asarray(across_grain(radial, tangential, share)) * common * scatter
        start = np.clip(now + bias + own.deviation(doubt.METER_NOISE), 0.0, saturation)
        drawn[:, number] = coefficient * (np.minimum(later, saturation) - start)
    return Swellings(drawn[..., 0], drawn)


def _depth_share(strip: Strip, lamination: Lamination, own: Draws) -> Array:
    """Tangential share of a strip's direction through the thickness of the top, across its board."""
    if strip.pith_depth_mm is not None:
        depth = strip.pith_depth_mm + own.deviation(doubt.PITH_DEPTH)
        offset = (strip.pith_offset_mm or 0.0) + own.deviation(doubt.PITH_OFFSET)
        return 1.0 - np.asarray(
            thickness_tangential_share_about_pith(offset, lamination.depth_mm, depth, lamination.thickness_mm)
        )
    return np.asarray(width_tangential_share((strip.ring_angle_deg or 0.0) + own.deviation(doubt.RING_ANGLE)))


def _steps(laid: Sequence[Laid], swelling: Swellings, lamination: Lamination) -> Array:
    """Step on each face at each seam of a row [mm], in the worse season: shape (seams, draws + 1)."""
    in_row = swelling.drawn[:, [one.number for one in laid]]
    return 0.5 * lamination.depth_mm * np.abs(np.diff(in_row, axis=1)).max(axis=0)


def _sized(values: Array, draws: Draws) -> Range:
    """The Range of a step that no doubt makes smaller than the readings say: its middle draw is expected.
    What the common inputs leave unexplained are the readings and the wood of each strip."""
    found = draws.range(np.concatenate(([np.median(values[1:])], values[1:])))
    own = 1.0 - sum(cause.share for cause in found.causes)
    return Range(found.expected, found.low, found.high, (Cause("each strip's own", own), *found.causes))


def _figures(
    words: str, laid: Sequence[Laid], strips: Sequence[Strip], swelling: Swellings, lamination: Lamination,
    draws: Draws,
) -> OrderFigures:  # fmt: skip
    steps = _steps(laid, swelling, lamination)
    sections = _section_numbers(len(laid), lamination)
    crooks, bows = (any(known) for known in ([s.crook_mm is not None for s in strips],
                                             [s.bow_mm is not None for s in strips]))  # fmt: skip
    return OrderFigures(
        order=words,
        worst_step_mm=_sized(steps.max(axis=0), draws),
        mean_step_mm=_sized(steps.mean(axis=0), draws),
        crook_left_mm=arrangement.crook_left_mm(laid, strips, sections) if crooks else None,
        bow_left_mm=arrangement.bow_left_mm(laid, strips, sections) if bows else None,
        defects_seen=sum(len(arrangement.seen(strips, laid, place)) for place in range(len(laid))),
    )


def _section_numbers(count: int, lamination: Lamination) -> list[int]:
    sizes = balanced(count, lamination.most or count)
    return [number for number, size in enumerate(sizes, start=1) for _ in range(size)]


def _places(
    laid: Sequence[Laid],
    strips: Sequence[Strip],
    mc: Array,
    swelling: Swellings,
    lamination: Lamination,
    draws: Draws,
) -> Iterator[LaidStrip]:
    steps = _steps(laid, swelling, lamination)
    for place, (one, section) in enumerate(zip(laid, _section_numbers(len(laid), lamination), strict=True)):
        strip = strips[one.number]
        yield LaidStrip(
            place=place + 1,
            strip=strip.name,
            section=section if lamination.most else None,
            mark="up" if one.mark_up else "down",
            marked_end="near" if one.marked_end_near else "far",
            mc_pct=float(mc[one.number]),
            plane=arrangement.planes(strip, one),
            next_step_mm=_sized(steps[place], draws) if place < len(steps) else None,
            shows=", ".join(f"a defect on {where}" for where in arrangement.seen(strips, laid, place)),
            ring_angle_deg=strip.ring_angle_deg,
            pith_depth_mm=strip.pith_depth_mm,
            pith_offset_mm=strip.pith_offset_mm,
        )


ABOVE_SATURATION = warning(
    "ABOVE_SATURATION",
    "Above fibre saturation by the list: {strips}. Wood so wet is not glued; see that the column mc holds "
    "moisture contents.",
    strips=None,
)
SET_ASIDE = warning(
    "SET_ASIDE",
    "Left out: {strips}. Let wet ones settle with the rest, and use crooked or twisted ones for shorter "
    "work.",
    strips=None,
)
PAIR_APART = warning(
    "PAIR_APART",
    "{one} and {other} lie side by side and are {apart_points} apart in moisture: 2 is the most (memory), 1 "
    "is better. Let the strips settle together first.",
    one=None, other=None, apart_points=POINTS,
)  # fmt: skip
HOW_LAID = assumption(
    "HOW_LAID",
    "You stand at one end of the glue-up. Place 1 is at your left, near is the end toward you. Plane is the "
    "way from you in which the show face planes smooth. A strip is noted as it lies on edge, its mark up and "
    "its marked end toward you. Rings are read to its wide face, which is glued. Crook is plus where the "
    "marked edge is the hollow one, bow plus where the left face is. Twist is the lift of a corner on a flat "
    "table. Grain is the way to plane the marked edge.",
)
SORTED = assumption(
    "SORTED",
    "Strips that move alike lie side by side. Outermost lie the straightest and clearest that may as well "
    "lie there. A clear face shows; crooks go against each other, bows too where nobody read the grain. Show "
    "faces plane one way. Where none of it would be felt, the strips stay as they come.",
)
STEPS_FREE = assumption(
    "STEPS_FREE",
    "Steps are those of strips that are flush when the top is flattened, and then move as if no neighbour "
    "held them: the most they can be.",
)
TWIST_STAYS = assumption("TWIST_STAYS", "Turning a strip end for end does not undo its twist.")
THICKNESS_TAKEN = assumption(
    "THICKNESS_TAKEN", "Nobody says how thick a strip is: taken as {thickness_mm}.", thickness_mm=FINE_LENGTH
)
NOT_METERED = assumption(
    "NOT_METERED", "Strips that nobody metered ({count}) are taken as {mc_pct}.", count=None, mc_pct=MOISTURE
)
RINGS_NOT_READ = assumption(
    "RINGS_NOT_READ",
    "Strips whose rings nobody read ({count}) are taken as flat-sawn boards turned on edge.",
    count=None,
)


def _warnings(
    laid: Sequence[Laid],
    strips: Sequence[Strip],
    mc: Array,
    aside: Mapping[int, str],
    every: Sequence[Strip],
    season: Season,
    lamination: Lamination,
) -> Iterator[Warning]:
    saturation = min(member.fibre_saturation_pct for member in lamination.wood.members)
    if green := [strip.name for strip in every if (strip.mc_pct or 0.0) > saturation]:
        yield ABOVE_SATURATION(strips=", ".join(green))
    if aside:
        yield SET_ASIDE(strips="; ".join(f"{every[i].name} ({why})" for i, why in aside.items()))
    for one, other in itertools.pairwise(laid):
        apart = abs(float(mc[one.number] - mc[other.number]))
        if apart > PAIR_POINTS:
            yield PAIR_APART(one=strips[one.number].name, other=strips[other.number].name, apart_points=apart)
    yield from movement.far_from_service(float(np.mean(mc)), season.mean_pct, "on the mean")


def _assumptions(strips: Sequence[Strip], taken: float, lamination: Lamination) -> Iterator[Assumption]:
    yield HOW_LAID()
    yield SORTED()
    yield STEPS_FREE()
    if any(strip.twist_mm for strip in strips):
        yield TWIST_STAYS()
    if not lamination.thickness_told:
        yield THICKNESS_TAKEN(thickness_mm=lamination.thickness_mm)
    if unmetered := sum(strip.mc_pct is None for strip in strips):
        yield NOT_METERED(count=unmetered, mc_pct=taken)
    if unread := sum(strip.ring_angle_deg is None and strip.pith_depth_mm is None for strip in strips):
        yield RINGS_NOT_READ(count=unread)
