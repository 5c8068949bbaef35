"""How many strips make the top, in which sections, and how thick it ends up."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Annotated

import numpy as np

from woodmove.advice.boards import allowance as budget
from woodmove.advice.boards.purchase import END_TRIM_MM
from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top import handling, milling, movement
from woodmove.contract.answer import Answer, Verdict
from woodmove.contract.notes import Assumption, Note, Warning, assumption, note, warning
from woodmove.contract.quantity import CHANCE, FINE_LENGTH, LENGTH, MOISTURE, WEIGHT
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal
from woodmove.contract.shown import Shown, results
from woodmove.domain.board import in_both
from woodmove.domain.season import Season
from woodmove.domain.strip import SHORT_MM, Batch, balanced, sections_text, strips_for
from woodmove.domain.top import Top, boards_for, lengths_per_board, strips_per_board
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


@results
class Count:
    """A number of strips near the one that is made, and what it comes to."""

    strips: Annotated[int, Shown("strips", None, "key")]
    sections: Annotated[str, Shown("sections", None, "key")]
    width_glue_up_mm: Annotated[float, Shown("all strips side by side", LENGTH)]
    width_trimmed_mm: Annotated[Range, Shown("width after trimming", LENGTH, "key")]
    width_service_mm: Annotated[Range, Shown("width in service", LENGTH, "key")]
    over_wanted_mm: Annotated[float, Shown("over wanted", LENGTH, "key")]
    chosen: Annotated[bool, Shown("chosen")]


@results
class TopSection:
    """Sections of the top that are alike: what is glued in one go."""

    sections: Annotated[int, Shown("sections", None, "key")]
    strips_each: Annotated[int, Shown("strips\neach", None, "key")]
    joints_each: Annotated[int, Shown("joints\neach", None, "key")]
    width_mm: Annotated[float, Shown("width", LENGTH, "key")]
    weight_kg: Annotated[float | None, Shown("weight", WEIGHT, "key")]


@results
class FromSize:
    """What the boards of one size yield."""

    size: Annotated[str, Shown("from a", None, "key")]
    strips_per_board: Annotated[int, Shown("strips a board", None, "key")]
    boards: Annotated[int, Shown("boards", None, "key")]
    strips: Annotated[int, Shown("strips", None, "key")]


@results
class StripsOfTop:
    """The strips of a top: their number, their sections, and what they come to."""

    strip_count: Annotated[int, Shown("strips", None, "headline")]
    joint_count: Annotated[int, Shown("glue lines")]
    left_over_strips: Annotated[int | None, Shown("strips left over")]
    strip_thickness_mm: Annotated[float, Shown("strip thickness", FINE_LENGTH, "key")]
    thickness_proposed: Annotated[bool, Shown("its thickness is a proposal")]
    width_needed_mm: Annotated[float, Shown("width needed at the glue-up", LENGTH)]
    width_glue_up_mm: Annotated[float, Shown("all strips side by side", LENGTH)]
    width_trimmed_mm: Annotated[Range, Shown("width after trimming", LENGTH, "key")]
    to_trim_mm: Annotated[float, Shown("left over to trim", FINE_LENGTH)]
    width_low_mm: Annotated[Range | None, Shown("narrowest, if it follows the air at once", LENGTH)]
    width_service_mm: Annotated[Range | None, Shown("width in service", LENGTH)]
    width_high_mm: Annotated[Range | None, Shown("widest, if it follows the air at once", LENGTH)]
    thirty_second_mm: Annotated[float, Shown("each 1/32 in (0.8 mm) more off every strip takes", FINE_LENGTH)]
    flat_thickness_mm: Annotated[Range | None, Shown("thickness when it is flat", FINE_LENGTH, "key")]
    thickness_chance_pct: Annotated[float | None, Shown("chance of the thickness wanted", CHANCE)]
    allowance: Annotated[milling.Allowance | None, Shown("what planing takes of a strip")]
    flattening: Annotated[milling.Flattening | None, Shown("what flattening takes of the top")]
    counts: Annotated[tuple[Count, ...], Shown("the nearest counts")]
    from_sizes: Annotated[tuple[FromSize, ...], Shown("the boards, if every strip is good")]
    top_sections: Annotated[tuple[TopSection, ...], Shown("sections", None, "key")]


@dataclass(frozen=True, slots=True)
class _Widths:
    """The width of a number of strips in each season, with its doubt.

    :param off_mm: by how much each strip is planed too thick or too thin, shape (draws + 1,)
    :param growth: of the width since the glue-up, by season [-], shape (draws + 1,) each
    """

    off_mm: Array
    growth: dict[str, Array]
    draws: Draws

    def of(self, one: Layout, when: str) -> Range:
        """The width [mm]: "glue_up", "service", "low" or "high"."""
        width = (one.trimmed_mm + one.count * self.off_mm) * (1.0 + self.growth[when])
        return self.draws.range(width)


def strips(
    batch: Batch,
    wish: Wish,
    draws: Draws,
    *,
    top: Top | None = None,
    season: Season | None = None,
    step_mm: float = milling.SETTING_INCH_MM,
    board_length_mm: float,
) -> Answer[StripsOfTop]:
    """How many strips a top needs, in which sections, how wide it is in each season, and how thick.

    :param batch: the thickness of its strips is kept where somebody said it, else proposed
    :param top: its wood, grain and moisture content at the glue-up; its width does not count. None where
        the species is not known: then widths are those of the glue-up
    :param season: the year in service, None where nobody said so
    :param step_mm: in which the planer is set
    :param board_length_mm: of the boards
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
    widths = _Widths(draws.deviation(doubt.PLANED), growth, draws)
    milled, flat, allowance = _milled(batch, wish, found, top, season, draws)
    known = top is not None and season is not None
    results = StripsOfTop(
        strip_count=found.count,
        joint_count=found.count - 1,
        left_over_strips=None if wish.on_hand is None else wish.on_hand - found.count,
        strip_thickness_mm=batch.thickness_mm,
        thickness_proposed=batch.proposed,
        width_needed_mm=needed,
        width_glue_up_mm=found.pack_mm,
        width_trimmed_mm=widths.of(found, "glue_up"),
        to_trim_mm=found.trimmed_mm - needed,
        width_low_mm=widths.of(found, "low") if known else None,
        width_service_mm=widths.of(found, "service") if known else None,
        width_high_mm=widths.of(found, "high") if known else None,
        thirty_second_mm=found.count * THIRTY_SECOND_MM,
        flat_thickness_mm=None if flat is None else flat.thickness_mm,
        thickness_chance_pct=None if flat is None else flat.chance_pct,
        allowance=allowance,
        flattening=None if flat is None else flat.flattening,
        counts=tuple(_counts(found, batch, wish, widths, needed)),
        from_sizes=tuple(_from_sizes(found, batch, wish, board_length_mm)),
        top_sections=tuple(_sections(found, batch, wish, top)),
    )
    return Answer(
        Verdict("go", tuple(_verdict(found, results, batch, wish, board_length_mm))),
        results,
        (
            *_clean_up(milled, allowance, found, step_mm),
            *([] if milled is None or allowance is None
              else milling.notes(milled, allowance, flat, wish.thickness_mm)),
            *_warnings(found, needed, wish, top, season),
            *(handling.cautions() if any(row.weight_kg is not None for row in results.top_sections) else ()),
            *_assumptions(batch, wish, top, season, found),
        ),
        (*SOURCES, *(() if top is None else top.wood.sources),
         *(() if season is None else season.sources)),
    )  # fmt: skip


def _milled(
    batch: Batch, wish: Wish, found: Layout, top: Top | None, season: Season | None, draws: Draws
) -> tuple[milling.Strips | None, milling.Flat | None, milling.Allowance | None]:
    """What milling does to the strips, as far as it is known."""
    if batch.board is None:
        return None, None, None
    if top is None or batch.length_mm is None:
        stock = batch.board.thickness_mm
        return None, None, milling.Allowance(stock_mm=stock, takes_mm=stock - batch.thickness_mm)
    milled = milling.Strips.of(batch, wish.thickness_mm, top, season, draws)
    return milled, milled.flat(wish.thickness_mm, found.sections), milled.allowance()


def _clean_up(
    milled: milling.Strips | None, allowance: milling.Allowance | None, found: Layout, step_mm: float
) -> Iterator[Warning]:
    """Strips that are said to be thicker than they plane clean are kept so, and told."""
    if milled is not None and allowance is not None and not milled.planes_clean(milled.batch.thickness_mm):
        yield milling.thin_allowance(allowance, found.count, milled.clean_mm(step_mm))


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
PLANE_TO = note(
    "PLANE_TO",
    "Plane to {thickness_mm} (nine in ten plane clean): {count} strips, {width_mm}; or {thinner_mm}: {more} "
    "strips, {more_width_mm}.",
    thickness_mm=FINE_LENGTH, count=None, width_mm=LENGTH, thinner_mm=FINE_LENGTH, more=None,
    more_width_mm=LENGTH,
)  # fmt: skip
KEEP_WHAT_YOU_CHOOSE = note(
    "KEEP_WHAT_YOU_CHOOSE",
    "Say what you choose: --strip-thickness, or strips.thickness in a job file.",
)
FROM_BOARDS = note(
    "FROM_BOARDS", "They come from {boards}, {length_mm} long, if every strip is good.", boards=None,
    length_mm=LENGTH,
)  # fmt: skip
GLUE_IN_SECTIONS = note("GLUE_IN_SECTIONS", "Glue them in sections of {sections}.", sections=None)


def _verdict(
    found: Layout, results: StripsOfTop, batch: Batch, wish: Wish, board_length_mm: float
) -> Iterator[Note]:
    width, flat = results.width_trimmed_mm.expected, results.flat_thickness_mm
    if batch.thinner_mm is not None:
        other = enough(results.width_needed_mm, batch.planed_to(batch.thinner_mm), wish)
        yield PLANE_TO(
            thickness_mm=batch.thickness_mm, count=found.count, width_mm=width,
            thinner_mm=batch.thinner_mm, more=other.count, more_width_mm=other.trimmed_mm,
        )  # fmt: skip
        yield KEEP_WHAT_YOU_CHOOSE()
    else:
        if len(found.sections) > 1:
            yield MAKE(count=found.count, sections=sections_text(found.sections))
        else:
            yield MAKE_ONE(count=found.count)
        if flat is None:
            yield COMES_OUT(width_mm=width)
        else:
            yield COMES_OUT_THICK(width_mm=width, thickness_mm=flat.expected)
    if len(results.from_sizes) > 1:
        boards = [f"{row.boards} boards of {row.size}" for row in results.from_sizes if row.boards]
        yield FROM_BOARDS(boards=" and ".join(boards), length_mm=board_length_mm)
    elif batch.thinner_mm is not None and len(found.sections) > 1:
        yield GLUE_IN_SECTIONS(sections=sections_text(found.sections))


def proposed(
    batch: Batch, wanted_mm: float | None, top: Top, season: Season | None, draws: Draws, step_mm: float
) -> Batch:
    """A batch of which nobody said how thick its strips are planed, with the thickness proposed: the greatest
    that planes clean, on a step of the planer, and a step thinner for those who want every strip.

    :param batch: with its board and its length; its thickness does not count
    :param wanted_mm: thickness of the top, None where nobody said so
    :raises Refusal: none planes clean
    """
    clean = milling.Strips.of(batch, wanted_mm, top, season, draws).clean_mm(step_mm)
    if clean is None:
        raise Refusal(
            "NOTHING_LEFT",
            f"No strip of a {batch.board} would plane clean at that length.",
            "What warps must be less than what there is to plane away.",
            "Use shorter strips, or say --strip-thickness.",
            fields=("strip_thickness_mm", "top_length_mm"),
        )
    return replace(batch, thickness_mm=clean, thinner_mm=clean - step_mm)


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
            "Type a smaller --thickness, or rip wider strips.",
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
    low, high = movement.extremes(season, draws)
    mean = movement.in_service(season, season.mean_pct, draws)
    return growth | {"service": grows(mean), "low": grows(low), "high": grows(high)}


def _counts(found: Layout, batch: Batch, wish: Wish, widths: _Widths, needed_mm: float) -> Iterator[Count]:
    for count in range(max(1, found.count - 1), found.count + 2):
        one = layout(count, batch, wish)
        yield Count(
            strips=one.count,
            sections=sections_text(one.sections),
            width_glue_up_mm=one.pack_mm,
            width_trimmed_mm=widths.of(one, "glue_up"),
            width_service_mm=widths.of(one, "service"),
            over_wanted_mm=one.trimmed_mm - needed_mm,
            chosen=one == found,
        )


def _from_sizes(found: Layout, batch: Batch, wish: Wish, board_length_mm: float) -> Iterator[FromSize]:
    """Boards of each size, in their shares; nothing where nobody says how wide the strips are. Of strips
    whose length nobody says a board gives one to its length."""
    wide = batch.sawn_mm or wish.thickness_mm
    if batch.board is None or wide is None or wide > batch.board.width_mm:
        return
    lengths = 1
    if batch.length_mm is not None:
        lengths = max(lengths_per_board(board_length_mm, batch.length_mm, end_trim_mm=END_TRIM_MM), 1)
    boards = boards_for(found.count, batch.board, wide, lengths)
    for (size, _), number in zip(batch.board.shares, boards, strict=True):
        each = lengths * strips_per_board(size, wide)
        yield FromSize(size=size.name, strips_per_board=each, boards=number, strips=number * each)


def _sections(found: Layout, batch: Batch, wish: Wish, top: Top | None) -> Iterator[TopSection]:
    """Sections by their strips, those alike together."""
    deep, length = batch.sawn_mm or wish.thickness_mm, batch.length_mm
    for count in sorted(set(found.sections), reverse=True):
        width = count * batch.thickness_mm
        weight = None
        if top is not None and top.wood.gravity_12 is not None and deep is not None and length is not None:
            weight = handling.weight_kg(top.wood, (width, deep, length), top.mc_now_pct)
        yield TopSection(
            sections=found.sections.count(count),
            strips_each=count,
            joints_each=count - 1,
            width_mm=width,
            weight_kg=weight,
        )


NOTHING_TO_TRIM = warning(
    "NOTHING_TO_TRIM",
    "These strips leave {to_trim_mm} to straighten the two outer edges. Say what that takes "
    "(--trim edge=1/8in), or make a strip more.",
    to_trim_mm=FINE_LENGTH,
)
COUNT_ENOUGH = assumption(
    "COUNT_ENOUGH", "A top that falls short by no more than {short_mm} is wide enough.", short_mm=FINE_LENGTH
)
SECTIONS = assumption(
    "SECTIONS",
    "A section stays {feed_mm} narrower than the planer, and each edge that meets another loses "
    "{joint_trim_mm} (common practice). Joining the {number} sections is a glue-up too, each as thick as a "
    "section is wide, {section_mm} (woodmove glue-up).",
    feed_mm=FINE_LENGTH, joint_trim_mm=FINE_LENGTH, number=None, section_mm=LENGTH,
)  # fmt: skip
NO_SAWN_WIDTH = assumption(
    "NO_SAWN_WIDTH",
    "Nobody says how wide the strips are ripped (--strip-width; pile.strip_width in a job file). So what "
    "flattening takes of them is unknown.",
)
NO_SPECIES = assumption("NO_SPECIES", "No species is named: the width in service is that of the glue-up.")
NO_SERVICE = assumption(
    "NO_SERVICE",
    "Nothing says how dry and damp the top will become: the width in service is that of the glue-up.",
)
GLUED_AT_MEAN = assumption(
    "GLUED_AT_MEAN", "The strips are glued at the mean moisture of their year, {mean_pct}.", mean_pct=MOISTURE
)
WANTED_AT_MEAN = assumption(
    "WANTED_AT_MEAN", "The width in service is that at the mean moisture of the year, {mean_pct}.",
    mean_pct=MOISTURE,
)  # fmt: skip


def _warnings(
    found: Layout, needed_mm: float, wish: Wish, top: Top | None, season: Season | None
) -> Iterator[Warning]:
    if found.trimmed_mm - needed_mm < 2.0 * budget.CLEAN_UP_MM and not wish.edge_trim_mm:
        yield NOTHING_TO_TRIM(to_trim_mm=max(found.trimmed_mm - needed_mm, 0.0))
    if top is not None and season is not None:
        yield from movement.warnings(top, season)
        now = season.mean_pct if top.mc_now_pct is None else top.mc_now_pct
        yield from movement.far_from_service(now, season.mean_pct)


def _assumptions(
    batch: Batch, wish: Wish, top: Top | None, season: Season | None, found: Layout
) -> Iterator[Assumption]:
    yield COUNT_ENOUGH(short_mm=SHORT_MM)
    if len(found.sections) > 1:
        yield SECTIONS(
            feed_mm=FEED_MM,
            joint_trim_mm=wish.joint_trim_mm,
            number=len(found.sections),
            section_mm=max(found.sections) * batch.thickness_mm,
        )
    if batch.sawn_mm is None and batch.board is not None:
        yield NO_SAWN_WIDTH()
    if top is None:
        yield NO_SPECIES()
    elif season is None:
        yield NO_SERVICE()
    else:
        if top.mc_now_pct is None:
            yield GLUED_AT_MEAN(mean_pct=season.mean_pct)
        yield WANTED_AT_MEAN(mean_pct=season.mean_pct)
        yield from movement.assumptions(top, season)
