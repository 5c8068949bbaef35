"""How many strips make the top, in which sections, and how thick it ends up."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from woodmove.advice.boards import allowance as budget
from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top import handling, milling, movement
from woodmove.contract.answer import Verdict
from woodmove.contract.notes import Assumption, Note, Warning, note
from woodmove.contract.quantity import LENGTH
from woodmove.contract.refusal import Refusal
from woodmove.contract.untyped import UntypedAnswer
from woodmove.domain.board import in_both
from woodmove.domain.season import Season
from woodmove.domain.strip import SHORT_MM, Batch, balanced, sections_text, strips_for
from woodmove.domain.top import Top
from woodmove.physics.arrays import Array

# A section must be narrower than the planer by so much, to be fed (status: common practice).
FEED_MM = 25.4 / 8
# What one maker's planer takes or leaves in a setting: the step in which the sensitivity is told.
THIRTY_SECOND_MM = 25.4 / 32
MOST_STRIPS = 2000
SOURCES = ("fpl-gtr-282", "fpl-gtr-190")


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


def most_in_section(planer_mm: float, strip_mm: float) -> int:
    """How many strips make the widest section that a planer passes.

    :raises Refusal: not even two
    """
    most = math.floor((planer_mm - FEED_MM) / strip_mm + 1e-9)
    if most < 2:
        raise Refusal(
            "PLANER_TOO_NARROW",
            f"A planer of {in_both(planer_mm)} passes no section of two strips of {in_both(strip_mm)}.",
            f"A section of two needs {in_both(2 * strip_mm + FEED_MM)}, {in_both(FEED_MM)} of it to be fed.",
            "Use thinner strips, or flatten by hand or with a router and leave out --planer.",
            fields=("planer_width_mm", "strip_thickness_mm"),
        )
    return most


def layout(count: int, batch: Batch, wish: Wish) -> Layout:
    """What so many strips come to.

    :raises Refusal: a planer that no two strips pass
    """
    most = count if wish.planer_mm is None else most_in_section(wish.planer_mm, batch.thickness_mm)
    sections = balanced(count, most)
    pack = count * batch.thickness_mm
    taken = 2.0 * (wish.joint_trim_mm * (len(sections) - 1) + wish.edge_trim_mm)
    return Layout(sections, pack, pack - taken)


def enough(needed_mm: float, batch: Batch, wish: Wish) -> Layout:
    """The fewest strips that come to a width.

    :raises Refusal: a width below one strip, or more strips than anybody glues
    """
    if needed_mm < batch.thickness_mm:
        raise Refusal(
            "TARGET_NARROWER",
            f"A top of {in_both(needed_mm)} is narrower than one strip of {in_both(batch.thickness_mm)}.",
            "A top is at least one strip wide.",
            "Type a greater --width, or a smaller --strip-thickness.",
            fields=("service_width_mm", "top_width_mm", "strip_thickness_mm"),
        )
    count = strips_for(needed_mm, batch.thickness_mm)
    while count <= MOST_STRIPS:
        found = layout(count, batch, wish)
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


_COLUMNS = {
    "counts": ("strips", "sections", "width_trimmed_mm", "width_service_mm", "over_wanted_mm"),
    "top_sections": ("sections", "strips_each", "joints_each", "width_mm", "weight_kg"),
}


def strips(
    batch: Batch,
    wish: Wish,
    draws: Draws,
    inputs: Mapping[str, Any],
    *,
    top: Top | None = None,
    season: Season | None = None,
) -> UntypedAnswer:
    """How many strips a top needs, in which sections, how wide it is in each season, and how thick.

    :param top: its wood, grain and moisture content at the glue-up; its width does not count. None where
        the species is not known: then widths are those of the glue-up
    :param season: the year in service, None where nobody said so
    :raises Refusal: dimensions that contradict each other, a planer or a target narrower than a strip, or too
        few strips
    """
    _refuse_contradictions(batch, wish)
    growth = _growth(top, season, draws)
    # Wanted in service: narrower or wider by so much at the glue-up.
    needed = wish.width_mm / (1.0 + float(growth["service"][0])) if wish.in_service else wish.width_mm
    found = enough(needed, batch, wish)
    if wish.on_hand is not None and wish.on_hand < found.count:
        raise _too_few(wish, layout(wish.on_hand, batch, wish), found, needed)
    # The planer's error is in every strip alike.
    off = draws.deviation(doubt.PLANED)

    def width_of(one: Layout, when: str) -> Array:
        return (one.trimmed_mm + one.count * off) * (1.0 + growth[when])

    counts = [layout(count, batch, wish) for count in range(max(1, found.count - 1), found.count + 2)]
    results: dict[str, Any] = {
        "strip_count": found.count,
        "joint_count": found.count - 1,
        "left_over_strips": None if wish.on_hand is None else wish.on_hand - found.count,
        "strip_thickness_mm": batch.thickness_mm,
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
        "counts": [_count(one, draws, width_of, needed) | {"chosen": one == found} for one in counts],
        "top_sections": _sections(found, batch, wish, top),
    }
    milled = None
    if top is not None and batch.board is not None and batch.length_mm is not None:
        milled = milling.milled(batch, wish.thickness_mm, found.sections, top, season, draws)
        results |= milled.results
    elif batch.board is not None:
        results["allowance"] = {
            "stock_mm": batch.board.thickness_mm,
            "takes_mm": batch.board.thickness_mm - batch.thickness_mm,
        }
    return UntypedAnswer(
        "strips",
        inputs,
        {name: value for name, value in results.items() if value is not None},
        warnings=(
            *(() if milled is None else milled.warnings),
            *_warnings(found, needed, wish, top, season),
        ),
        cautions=handling.cautions() if any("weight_kg" in row for row in results["top_sections"]) else (),
        assumptions=(
            *_assumptions(batch, wish, top, season, found),
            *(() if milled is None else milled.assumptions),
        ),
        sources=(*SOURCES, *(() if top is None else (c.known.source for c in top.wood.coefficients)),
                 *(() if season is None else season.sources)),
        verdict=Verdict("go", tuple(_verdict(found, results))),
        headline="strip_count",
        key=("width_trimmed_mm", "flat_thickness_mm", "strip_thickness_mm", "top_sections"),
        columns=_COLUMNS,
    )  # fmt: skip


MAKE = note(
    "MAKE_STRIPS", "Make {count} strips and glue them in sections of {sections}.", count=None, sections=None
)
MAKE_ONE = note("MAKE_STRIPS", "Make {count} strips and glue them in one go.", count=None)
COMES_OUT = note("COMES_OUT", "The top comes out {width_mm} wide at the glue-up.", width_mm=LENGTH)
COMES_OUT_THICK = note(
    "COMES_OUT",
    "The top comes out {width_mm} wide at the glue-up, and {thickness_mm} thick when it is flat.",
    width_mm=LENGTH, thickness_mm=LENGTH,
)  # fmt: skip


def _verdict(found: Layout, results: Mapping[str, Any]) -> Iterator[Note]:
    each = [row["strips_each"] for row in results["top_sections"] for _ in range(row["sections"])]
    if len(each) > 1:
        yield MAKE(count=found.count, sections=" + ".join(map(str, each)))
    else:
        yield MAKE_ONE(count=found.count)
    width, flat = results["width_trimmed_mm"].expected, results.get("flat_thickness_mm")
    if flat is None:
        yield COMES_OUT(width_mm=width)
    else:
        yield COMES_OUT_THICK(width_mm=width, thickness_mm=flat.expected)


def _too_few(wish: Wish, there: Layout, found: Layout, needed_mm: float) -> Refusal:
    """What to say of fewer strips than it takes."""
    more = found.count - there.count
    noun = "strip comes" if there.count == 1 else "strips come"
    # As wide as these become where the width is told, in service or at the glue-up.
    width = there.trimmed_mm * wish.width_mm / needed_mm
    return Refusal(
        "TOO_FEW_STRIPS",
        f"{there.count} {noun} to {in_both(max(there.trimmed_mm, 0.0))} at the glue-up, and "
        f"{in_both(needed_mm)} is needed.",
        f"It takes {found.count}: {more} more.",
        f"Make {more} more, or plan for a width of {in_both(width)}." if width > 0 else f"Make {more} more.",
        fields=("strips_on_hand",),
    )


def _refuse_contradictions(batch: Batch, wish: Wish) -> None:
    top_mm, sawn_mm = wish.thickness_mm, batch.sawn_mm
    if top_mm is not None and sawn_mm is not None and top_mm > sawn_mm:
        raise Refusal(
            "TOP_THICKER_THAN_STRIPS",
            f"A top of {in_both(top_mm)} is thicker than its strips are wide, {in_both(sawn_mm)}.",
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
    if now is None:
        now = np.full(draws.draws + 1, season.mean_pct)
    grows = movement.growth(top, season, now, draws)
    return growth | {
        when: grows(movement.in_service(season, mc, draws))
        for when, mc in (("service", season.mean_pct), ("low", season.low_pct), ("high", season.high_pct))
    }


def _count(one: Layout, draws: Draws, width_of: Any, needed_mm: float) -> dict[str, Any]:
    return {
        "strips": one.count,
        "sections": sections_text(one.sections),
        "width_glue_up_mm": one.pack_mm,
        "width_trimmed_mm": draws.range(width_of(one, "glue_up")),
        "width_service_mm": draws.range(width_of(one, "service")),
        "over_wanted_mm": one.trimmed_mm - needed_mm,
    }


def _sections(found: Layout, batch: Batch, wish: Wish, top: Top | None) -> list[dict[str, Any]]:
    """Sections by their strips, those alike together."""
    deep = batch.sawn_mm or wish.thickness_mm
    gravity = None if top is None else top.wood.gravity_12
    rows: list[dict[str, Any]] = []
    for count in sorted(set(found.sections), reverse=True):
        width = count * batch.thickness_mm
        row: dict[str, Any] = {
            "sections": found.sections.count(count),
            "strips_each": count,
            "joints_each": count - 1,
            "width_mm": width,
        }
        if gravity is not None and deep is not None and batch.length_mm is not None:
            assert top is not None
            row["weight_kg"] = handling.weight_kg(top.wood, (width, deep, batch.length_mm), top.mc_now_pct)
        rows.append(row)
    return rows


def _warnings(
    found: Layout,
    needed_mm: float,
    wish: Wish,
    top: Top | None,
    season: Season | None,
) -> tuple[Warning, ...]:
    notes: list[Warning] = []
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
        now = season.mean_pct if top.mc_now_pct is None else top.mc_now_pct
        notes += movement.far_from_service(now, season.mean_pct)
    return tuple(notes)


def _assumptions(
    batch: Batch, wish: Wish, top: Top | None, season: Season | None, found: Layout
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
                "{joint_trim_mm} (common practice). Joining the sections is a glue-up of its own, of "
                "{number} strips as thick as a section is wide, {section_mm} (woodmove glue-up).",
                {
                    "feed_mm": FEED_MM,
                    "joint_trim_mm": wish.joint_trim_mm,
                    "number": len(found.sections),
                    "section_mm": max(found.sections) * batch.thickness_mm,
                },
            )
        )
    if batch.sawn_mm is None and batch.board is not None:
        notes.append(
            Assumption(
                "NO_SAWN_WIDTH",
                "Nobody says how wide the strips are ripped (--strip-width; strip_width of [pile] in a job "
                "file), so what flattening takes of them is not told.",
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
    return tuple(notes)
