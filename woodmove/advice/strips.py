"""How many strips make the top, in which sections, and how thick it ends up."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from woodmove.advice import budget, doubt, handling, movement, seams, warping
from woodmove.advice.doubt import Draws
from woodmove.advice.lot import Lot
from woodmove.advice.warping import Pile
from woodmove.physics.arrays import Array
from woodmove.physics.shrinkage import relative_change_from_total
from woodmove.physics.warp import closing_force_kn
from woodmove.shop.answer import Answer, Assumption, Range, Refusal, Warning
from woodmove.shop.board import BoardSize
from woodmove.shop.season import Season
from woodmove.shop.stock import Cut, Pith, SawnBoard
from woodmove.shop.top import EdgeStrips, Top

# A top that is narrower than wanted by no more than this has strips enough (status: judgement).
SHORT_MM = 0.4
# A section must be narrower than the planer by so much, to be fed (status: common practice).
FEED_MM = 3.2
# What one maker's planer takes or leaves in a setting: the step in which the sensitivity is told.
THIRTY_SECOND_MM = 25.4 / 32
MOST_STRIPS = 2000
SOURCES = ("fpl-gtr-282", "fpl-gtr-190")


@dataclass(frozen=True, slots=True)
class Strips:
    """The strips of a top, on edge.

    :param thickness_mm: as planed for the glue-up: what each adds to the width of the top
    :param board: that they are ripped from, None where nobody said so
    :param sawn_mm: width as ripped: what becomes the thickness of the top; None where nobody said so
    :param length_mm: None where nobody said so
    """

    thickness_mm: float
    board: BoardSize | None = None
    sawn_mm: float | None = None
    length_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Wish:
    """What the top is to be.

    :param width_mm: wanted
    :param in_service: True if that is its width in service, False if on the day of the glue-up
    :param thickness_mm: wanted when it is flat, None where nobody said so
    :param planer_mm: width of the planer that sections pass, None for one section
    :param joint_trim_mm: taken off each edge that two sections meet with
    :param edge_trim_mm: taken off each outer edge
    :param on_hand: strips that there are, None where nobody counted
    """

    width_mm: float
    in_service: bool = True
    thickness_mm: float | None = None
    planer_mm: float | None = None
    joint_trim_mm: float = budget.CLEAN_UP_MM
    edge_trim_mm: float = 0.0
    on_hand: int | None = None


@dataclass(frozen=True, slots=True)
class Layout:
    """A number of strips, and what they come to [mm].

    :param sections: strips of each
    :param pack_mm: all strips side by side, before anything is trimmed
    :param trimmed_mm: less what the joints between sections and the outer edges take
    """

    sections: tuple[int, ...]
    pack_mm: float
    trimmed_mm: float

    @property
    def count(self) -> int:
        """Strips of all sections."""
        return sum(self.sections)


def balanced(count: int, most: int) -> tuple[int, ...]:
    """Sections of at most `most` strips, as few as will do, that differ by no more than one strip."""
    number = math.ceil(count / most)
    each, more = divmod(count, number)
    return tuple(each + (place < more) for place in range(number))


def most_in_section(planer_mm: float, strip_mm: float) -> int:
    """How many strips make the widest section that a planer passes.

    :raises Refusal: not even two
    """
    most = math.floor((planer_mm - FEED_MM) / strip_mm + 1e-9)
    if most < 2:
        raise Refusal(
            "PLANER_TOO_NARROW",
            f"A planer of {_text(planer_mm)} passes no section of two strips of {_text(strip_mm)}.",
            f"A section of two needs {_text(2 * strip_mm + FEED_MM)}, {_text(FEED_MM)} of it to be fed.",
            "Leave out --planer and flatten by hand or with a router, or use thinner strips.",
            fields=("planer_width_mm", "strip_thickness_mm"),
        )
    return most


def layout(count: int, strips: Strips, wish: Wish) -> Layout:
    """What so many strips come to.

    :raises Refusal: a planer that no two strips pass
    """
    most = count if wish.planer_mm is None else most_in_section(wish.planer_mm, strips.thickness_mm)
    sections = balanced(count, most)
    pack = count * strips.thickness_mm
    taken = 2.0 * (wish.joint_trim_mm * (len(sections) - 1) + wish.edge_trim_mm)
    return Layout(sections, pack, pack - taken)


def enough(needed_mm: float, strips: Strips, wish: Wish) -> Layout:
    """The fewest strips that come to a width.

    :raises Refusal: a width below one strip, or more strips than anybody glues
    """
    if needed_mm < strips.thickness_mm:
        raise Refusal(
            "TARGET_NARROWER",
            f"A top of {_text(needed_mm)} is narrower than one strip of {_text(strips.thickness_mm)}.",
            "A top is at least one strip wide.",
            "Type a greater --width, or a smaller --strip-thickness.",
            fields=("service_width_mm", "top_width_mm", "strip_thickness_mm"),
        )
    count = math.ceil((needed_mm - SHORT_MM) / strips.thickness_mm)
    while count <= MOST_STRIPS:
        found = layout(count, strips, wish)
        if found.trimmed_mm >= needed_mm - SHORT_MM:
            return found
        count += 1
    raise Refusal(
        "TOO_MANY_STRIPS",
        f"More than {MOST_STRIPS} strips would be needed.",
        f"A top is at most {MOST_STRIPS} strips.",
        "Type a greater --strip-thickness.",
        fields=("strip_thickness_mm",),
    )


def strips(
    strips: Strips,
    wish: Wish,
    draws: Draws,
    inputs: Mapping[str, Any],
    *,
    top: Top | None = None,
    season: Season | None = None,
) -> Answer:
    """How many strips a top needs, in which sections, how wide it is in each season, and how thick.

    :param top: its wood, grain and moisture content at the glue-up; its width does not count. None where
        the species is not known: then widths are those of the glue-up
    :param season: the year in service, None where nobody said so
    :raises Refusal: dimensions that contradict each other, a planer or a target narrower than a strip, or too
        few strips
    """
    _refuse_contradictions(strips, wish)
    growth = _growth(top, season, draws)
    # Wanted in service: narrower or wider by so much at the glue-up.
    needed = wish.width_mm / (1.0 + float(growth["service"][0])) if wish.in_service else wish.width_mm
    found = enough(needed, strips, wish)
    if wish.on_hand is not None and wish.on_hand < found.count:
        have = layout(wish.on_hand, strips, wish).trimmed_mm
        raise Refusal(
            "TOO_FEW_STRIPS",
            f"{wish.on_hand} strips come to {_text(have)} at the glue-up, and {_text(needed)} is needed.",
            f"It takes {found.count}: {found.count - wish.on_hand} more.",
            f"Make {found.count - wish.on_hand} more, or plan for a width of {_text(have)}.",
            fields=("strips_on_hand",),
        )
    # The planer's error is in every strip alike.
    off = draws.deviation(doubt.PLANED)

    def width_of(one: Layout, when: str) -> Array:
        return (one.trimmed_mm + one.count * off) * (1.0 + growth[when])

    counts = [layout(count, strips, wish) for count in range(max(1, found.count - 1), found.count + 2)]
    results: dict[str, Any] = {
        "strip_count": found.count,
        "joint_count": found.count - 1,
        "strip_thickness_mm": strips.thickness_mm,
        "width_needed_mm": needed,
        "width_glue_up_mm": found.pack_mm,
        "width_trimmed_mm": draws.range(width_of(found, "glue_up")),
        "to_trim_mm": found.trimmed_mm - needed,
        **{
            f"width_{when}_mm": draws.range(width_of(found, when))
            for when in ("low", "service", "high")
            if season is not None and top is not None
        },
        "thirty_second_mm": found.count * THIRTY_SECOND_MM,
        "counts": [_count(one, draws, width_of, wish, needed) for one in counts],
        "top_sections": _sections(found, strips, wish, top),
    }
    notes: list[Warning] = []
    if top is not None and strips.board is not None and strips.length_mm is not None:
        results |= _milling(strips, wish, found, top, season, draws, notes)
    elif strips.board is not None:
        results["allowance"] = {
            "stock_mm": strips.board.thickness_mm,
            "takes_mm": strips.board.thickness_mm - strips.thickness_mm,
        }
    return Answer(
        "strips",
        inputs,
        {name: value for name, value in results.items() if value is not None},
        warnings=(*notes, *_warnings(found, needed, wish, top, season, results)),
        cautions=handling.cautions() if any("weight_kg" in row for row in results["top_sections"]) else (),
        assumptions=_assumptions(strips, wish, top, season, found, results),
        sources=(*SOURCES, *(() if top is None else (c.known.source for c in top.wood.coefficients)),
                 *(() if season is None else season.sources)),
        columns={
            "counts": ("strips", "sections", "width_trimmed_mm", "width_service_mm", "over_wanted_mm"),
            "top_sections": ("sections", "strips_each", "joints_each", "width_mm", "weight_kg"),
        },
    )  # fmt: skip


def _refuse_contradictions(strips: Strips, wish: Wish) -> None:
    board = strips.board
    if board is not None and strips.thickness_mm > board.thickness_mm:
        raise Refusal(
            "THICKER_THAN_STOCK",
            f"A strip of {_text(strips.thickness_mm)} is thicker than a {board}, which is "
            f"{_text(board.thickness_mm)}.",
            "Planing only takes wood away.",
            "Type a smaller --strip-thickness, or a thicker board.",
            fields=("strip_thickness_mm", "strips_from"),
        )
    if board is not None and strips.sawn_mm is not None and strips.sawn_mm > board.width_mm:
        raise Refusal(
            "STRIP_WIDER_THAN_BOARD",
            f"Strips of {_text(strips.sawn_mm)} are wider than a {board}, which is {_text(board.width_mm)}.",
            "A strip is at most as wide as the board that it is ripped from.",
            "Type a smaller --strip-width, or a wider board.",
            fields=("strip_width_mm", "strips_from"),
        )
    if None not in (strips.sawn_mm, wish.thickness_mm) and wish.thickness_mm > strips.sawn_mm:  # type: ignore[operator]
        raise Refusal(
            "TOP_THICKER_THAN_STRIPS",
            f"A top of {_text(wish.thickness_mm or 0)} is thicker than its strips are wide, "
            f"{_text(strips.sawn_mm or 0)}.",
            "The width of a strip on edge becomes the thickness of the top, less what flattening takes.",
            "Type a smaller --top-thickness, or rip wider strips.",
            fields=("top_thickness_mm", "strip_width_mm"),
        )


def _growth(top: Top | None, season: Season | None, draws: Draws) -> dict[str, Array]:
    """Relative change of the width since the glue-up, shape (draws + 1,) each: in service at its mean, its
    driest and its dampest."""
    still = np.zeros(draws.draws + 1)
    growth: dict[str, Array] = dict.fromkeys(("glue_up", "service", "low", "high"), still)
    if top is None or season is None:
        return growth
    now = movement.mc_now(top, draws)
    moves = movement.movement(top, draws)
    mean = season.mean_pct
    if now is None:
        now = np.full(draws.draws + 1, mean)

    def since_glue_up(mc_pct: float) -> Array:
        later = movement.in_service(season, mc_pct, draws)
        return np.asarray(relative_change_from_total(moves.width, now, later, moves.fibre_saturation_pct))

    return growth | {
        when: since_glue_up(mc)
        for when, mc in (("service", mean), ("low", season.low_pct), ("high", season.high_pct))
    }


def _count(one: Layout, draws: Draws, width_of: Any, wish: Wish, needed_mm: float) -> dict[str, Any]:
    return {
        "strips": one.count,
        "sections": " + ".join(str(n) for n in one.sections),
        "width_glue_up_mm": one.pack_mm,
        "width_trimmed_mm": draws.range(width_of(one, "glue_up")),
        "width_service_mm": draws.range(width_of(one, "service")),
        "over_wanted_mm": one.trimmed_mm - needed_mm,
    }


def _sections(found: Layout, strips: Strips, wish: Wish, top: Top | None) -> list[dict[str, Any]]:
    """Sections by their strips, those alike together."""
    deep = strips.sawn_mm or wish.thickness_mm
    gravity = None if top is None else top.wood.gravity_12
    rows = []
    for count in sorted(set(found.sections), reverse=True):
        width = count * strips.thickness_mm
        row: dict[str, Any] = {
            "sections": found.sections.count(count),
            "strips_each": count,
            "joints_each": count - 1,
            "width_mm": width,
        }
        if gravity is not None and deep is not None and strips.length_mm is not None:
            assert top is not None
            row["weight_kg"] = handling.weight_kg(top.wood, (width, deep, strips.length_mm), top.mc_now_pct)
        rows.append(row)
    return rows


def _milling(
    strips: Strips,
    wish: Wish,
    found: Layout,
    top: Top,
    season: Season | None,
    draws: Draws,
    notes: list[Warning],
) -> dict[str, Any]:
    """What planing the strips and flattening the top take."""
    assert strips.board is not None
    assert strips.length_mm is not None
    warps = _warps(strips, wish, top, season, draws)
    needed = strip_loss_mm(warps["cup_mm"], warps["lift_mm"])
    spare = strips.board.thickness_mm - strips.thickness_mm
    chance = float(np.mean(needed[:, 1:] <= spare))
    results: dict[str, Any] = {
        "allowance": {
            "stock_mm": strips.board.thickness_mm,
            "takes_mm": spare,
            "expected_mm": _pooled(needed, draws),
            "clean_up_chance_pct": 100.0 * chance,
            "to_close_kn": _closing_kn(strips, top, warps["bow_mm"]),
        }
    }
    spoilt = math.ceil(found.count * (1.0 / max(chance, 0.05) - 1.0) - 1e-9)
    if chance < 0.9:
        notes.append(
            Warning(
                "THIN_ALLOWANCE",
                "Planing {takes_mm} off the board cleans up about {chance} of the strips: make {spare_count} "
                "spare, or plane all of them thinner.",
                {"takes_mm": spare, "chance": f"{10 * round(10 * chance)} %", "spare_count": spoilt},
            )
        )
    if strips.sawn_mm is None:
        return results
    flat = _flattening(strips, found, top, season, warps, draws)
    total = np.sum(list(flat.values()), axis=0)
    finished = strips.sawn_mm - total
    results["flattening"] = {f"{name}_mm": draws.range(values) for name, values in flat.items()} | {
        "all_mm": draws.range(total)
    }
    results["flat_thickness_mm"] = draws.range(finished)
    if wish.thickness_mm is not None:
        reached = float(np.mean(finished[1:] >= wish.thickness_mm))
        results["thickness_chance_pct"] = 100.0 * reached
        if reached < 0.9:
            notes.append(
                Warning(
                    "TOO_LITTLE_TO_FLATTEN",
                    "Strips of {sawn_mm} leave {spare_mm} to flatten a top of {thickness_mm}, and it may "
                    "take "
                    "{all_mm}: rip them wider.",
                    {
                        "sawn_mm": strips.sawn_mm,
                        "spare_mm": strips.sawn_mm - wish.thickness_mm,
                        "thickness_mm": wish.thickness_mm,
                        "all_mm": results["flattening"]["all_mm"],
                    },
                )
            )
    return results


def strip_loss_mm(cup_mm: Array, lift_mm: Array) -> Array:
    """What planing takes off a strip that will stand on edge [mm]: its cup, half its twist, and a pass over
    each face. Its bow stays: clamps pull a thin strip straight (derived; see
    :func:`woodmove.physics.warp.closing_force_kn`)."""
    return budget.thickness_loss_mm(np.zeros_like(cup_mm), cup_mm, lift_mm) + 2.0 * budget.CLEAN_UP_MM


def thickness_from(
    board: BoardSize, sawn_mm: float, length_mm: float, top: Top, season: Season | None, draws: Draws
) -> float:
    """Thickness [mm] to which nine strips of ten can be planed clean, to 1/64 in.

    :raises Refusal: nothing would be left
    """
    strips = Strips(board.thickness_mm, board, sawn_mm, length_mm)
    warps = _warps(strips, Wish(board.width_mm), top, season, draws)
    loss = float(np.quantile(strip_loss_mm(warps["cup_mm"], warps["lift_mm"])[:, 1:], 0.9))
    thickness = 25.4 / 64 * math.floor((board.thickness_mm - loss) / (25.4 / 64))
    if thickness < 6.0:
        raise Refusal(
            "NOTHING_LEFT",
            f"Of a {board} nothing would be left: strips of that length are expected to need "
            f"{_text(loss)} to plane clean.",
            "What warps must be less than what there is to plane away.",
            "Use shorter strips, or say --strip-thickness.",
            fields=("strip_thickness_mm", "top_length_mm"),
        )
    return thickness


def _warps(strips: Strips, wish: Wish, top: Top, season: Season | None, draws: Draws) -> dict[str, Array]:
    """Sizes of warp of the strips when they are glued [mm], the pieces of a board one after another: shape
    (pieces, draws + 1)."""
    assert strips.board is not None
    assert strips.length_mm is not None
    sawn = strips.sawn_mm or wish.thickness_mm or strips.board.width_mm
    pith = Pith(top.grain.pith_depth_mm) if isinstance(top.grain, EdgeStrips) else Pith()
    board = SawnBoard("", strips.board, strips.length_mm, pith=pith)
    lot = Lot.of([board], Cut(None, min(sawn, strips.board.width_mm)))
    now = movement.mc_now(top, draws)
    if now is None:
        mean = warping.MC_BOUGHT_PCT if season is None else season.mean_pct
        now = np.full(draws.draws + 1, mean)
    found = warping.warps(lot, top.wood, now, Pile(draws), states=("in_service",))
    return {
        mode: np.abs(found.modes[mode]["in_service"][0])
        for mode in ("crook_mm", "bow_mm", "cup_mm", "lift_mm")
    }


def _flattening(
    strips: Strips,
    found: Layout,
    top: Top,
    season: Season | None,
    warps: dict[str, Array],
    draws: Draws,
) -> dict[str, Array]:
    """What flattening both faces takes [mm], by its causes."""
    assert strips.sawn_mm is not None
    # Strips that are glued side by side take on the mean of their crooks; turned at random these cancel as
    # the root of their number.
    crook = np.sqrt(np.mean(warps["crook_mm"] ** 2, axis=0))
    lies = np.abs(draws.deviation(doubt.LYING))
    lies[0] = warping.TYPICAL
    slab = crook * lies / math.sqrt(found.count)
    # The worst of the strips sticks out on one face, another on the other.
    line = 2.0 * np.abs(doubt.OUT_OF_LINE.sd * warping.TYPICAL + draws.deviation(doubt.OUT_OF_LINE))
    steps = np.zeros(draws.draws + 1)
    if season is not None:
        steps = np.max(
            [
                seams.typical_step_mm(top, strips.sawn_mm, mc, season, draws)
                for mc in (season.low_pct, season.high_pct)
            ],
            axis=0,
        )
    return {
        "crook_of_the_slab": slab,
        "strips_out_of_line": line,
        "seam_steps": steps,
        "a_pass_on_each_face": np.full(draws.draws + 1, 2.0 * budget.CLEAN_UP_MM),
    }


def _pooled(values: Array, draws: Draws) -> Range:
    """The Range of one strip, taken from anywhere in its board."""
    count = draws.draws
    pieces = np.arange(count) % len(values)
    return draws.range(np.concatenate(([values[:, 0].mean()], values[pieces, 1 + np.arange(count)])))


def _closing_kn(strips: Strips, top: Top, bow_mm: Array) -> float | None:
    """Force that pulls the bow out of a typical strip, None where no table gives the stiffness."""
    stiffness = [a.stiffness_along_gpa for member in top.wood.candidates for a in member.across_grain
                 if a.condition == "12 %" and a.stiffness_along_gpa is not None]  # fmt: skip
    wide = strips.sawn_mm or top.thickness_mm
    if not stiffness or wide is None or strips.length_mm is None:
        return None
    section = (wide, strips.thickness_mm, strips.length_mm)
    return float(closing_force_kn(*section, float(bow_mm[:, 0].mean()), sum(stiffness) / len(stiffness)))


def _warnings(
    found: Layout,
    needed_mm: float,
    wish: Wish,
    top: Top | None,
    season: Season | None,
    results: Mapping[str, Any],
) -> tuple[Warning, ...]:
    notes = []
    if found.trimmed_mm - needed_mm < 2.0 * budget.CLEAN_UP_MM and not wish.edge_trim_mm:
        notes.append(
            Warning(
                "NOTHING_TO_TRIM",
                "So many strips leave {to_trim_mm} to straighten the two outer edges: say what that takes "
                "(--edge-trim), or make a strip more.",
                {"to_trim_mm": max(found.trimmed_mm - needed_mm, 0.0)},
            )
        )
    if top is not None and season is not None:
        notes += movement.warnings(top, season)
    return tuple(notes)


def _assumptions(
    strips: Strips,
    wish: Wish,
    top: Top | None,
    season: Season | None,
    found: Layout,
    results: Mapping[str, Any],
) -> tuple[Assumption, ...]:
    notes = [
        Assumption(
            "COUNT_ENOUGH",
            "So many strips are enough if the top falls short by no more than {short_mm}.",
            {"short_mm": SHORT_MM},
        )
    ]
    if len(found.sections) > 1:
        notes.append(
            Assumption(
                "SECTIONS",
                "A section stays {feed_mm} narrower than the planer, and each edge that meets another loses "
                "{joint_trim_mm} (common practice).",
                {"feed_mm": FEED_MM, "joint_trim_mm": wish.joint_trim_mm},
            )
        )
    if top is None:
        notes.append(
            Assumption("NO_SPECIES", "No species is told, so the width in service is that of the glue-up.")
        )
    elif season is None:
        notes.append(
            Assumption(
                "NO_SERVICE",
                "Nothing says how dry and damp the top will become, so the width in service is that of the "
                "glue-up.",
            )
        )
    else:
        if top.mc_now_pct is None:
            notes.append(
                Assumption(
                    "GLUED_AT_MEAN",
                    "The strips are taken to be glued at the mean moisture content of their year, "
                    "{mean_pct}.",
                    {"mean_pct": season.mean_pct},
                )
            )
        notes.append(
            Assumption(
                "WANTED_AT_MEAN",
                "The width in service is that at the mean moisture content of the year, {mean_pct}.",
                {"mean_pct": season.mean_pct},
            )
        )
        notes += movement.assumptions(top, season)
    if results.get("allowance", {}).get("to_close_kn") is not None:
        notes.append(
            Assumption(
                "BOW_CLOSES",
                "The bow of a strip closes in the clamps (it takes about {to_close_kn}), so that planing "
                "need "
                "only take its cup, its twist and a pass of {pass_mm} on each face.",
                {"to_close_kn": results["allowance"]["to_close_kn"], "pass_mm": budget.CLEAN_UP_MM},
            )
        )
    if "flattening" in results:
        notes.append(
            Assumption(
                "CROOK_AVERAGES",
                "The edges of the strips are not jointed: glued side by side they take on the mean of their "
                "crooks, each turned as it comes. Laid out to cancel (woodmove lay-up) they leave less.",
            )
        )
    return tuple(notes)


def _text(mm: float) -> str:
    """A length for a message that is written before anyone asked for a unit."""
    return f"{mm / 25.4:.4g} in ({mm:.1f} mm)"
