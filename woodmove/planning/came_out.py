"""The work as it came out: what was measured on it, in place of what was planned, and what follows."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Annotated, Any

from woodmove.contract.answer import Answer, Verdict, know
from woodmove.contract.commands import CommandSpec
from woodmove.contract.notes import Note, note, warning
from woodmove.contract.params import Param, Request
from woodmove.contract.plan import Section
from woodmove.contract.quantity import FINE_LENGTH
from woodmove.contract.refusal import Refusal
from woodmove.contract.shown import Shown, results
from woodmove.contract.stage import Stage
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import (
    READY_DATE,
    SECTION_COUNT,
    STRIP_THICKNESS,
    STRIP_WIDTH,
    STRIPS_NEEDED,
    TODAY,
    TOP_THICKNESS,
    TOP_WIDTH,
    today_of,
)
from woodmove.extend.params import DATE, LENGTH, LENGTHS

# What no tape tells apart (status: common practice).
TAPE_MM = 25.4 / 64
# Off by so much of itself, it is a slip of the pen or of the unit (status: judgement).
SLIP = 0.2
# A top that was measured so long ago has moved since (status: judgement).
STALE_DAYS = 30

MEASURED_ON = Param("measured_day", "", DATE, "Day on which that was measured", "2027-01-09", "measured.date")
THICKNESS = Param("measured_strip_thickness_mm", "", LENGTH, "Thickness of the strips as they were planed",
                  "1-1/4in", "measured.strip_thickness", low=3, high=300)  # fmt: skip
WIDTH = Param("measured_strip_width_mm", "", LENGTH, "Width of the strips as they came off the saw",
              "3-3/16in", "measured.strip_width", low=3, high=1000)  # fmt: skip
SECTIONS = Param("measured_sections_mm", "", LENGTHS, "Width of each section, its edges ready to be joined",
                 "10-1/4in, 10-3/16in, 10-1/4in", "measured.sections", low=3, high=5000)  # fmt: skip
TOP = Param("measured_top_width_mm", "", LENGTH, "Width of the top as it was glued", "32-5/8in",
            "measured.top_width", low=1, high=5000)  # fmt: skip
FLAT = Param("measured_top_thickness_mm", "", LENGTH, "Thickness of the top as it was flattened", "2-15/16in",
             "measured.top_thickness", low=1, high=500)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Stands:
    """A value that was measured, in place of one that was planned.

    :param measured: what was measured
    :param planned: what it stands in for
    :param since: the stage of the work from which on it does
    :param value: the one from the other
    """

    measured: Param[Any]
    planned: Param[Any]
    since: Stage
    value: Callable[[Any], Any] = lambda measured: measured


# A later one beats an earlier one: the top as it is, what its sections come to.
_STANDS = (
    _Stands(THICKNESS, STRIP_THICKNESS, Stage.STRIPS),
    _Stands(WIDTH, STRIP_WIDTH, Stage.STRIPS),
    _Stands(SECTIONS, SECTION_COUNT, Stage.GLUE, len),
    _Stands(SECTIONS, TOP_WIDTH, Stage.FLATTEN, sum),
    _Stands(TOP, TOP_WIDTH, Stage.FLATTEN),
    _Stands(FLAT, TOP_THICKNESS, Stage.FIX),
)
# The stage with which each was begun: the first from which on it stands, and the work before is done.
_BEGUN = {one.measured.name: one.since for one in reversed(_STANDS)}


def as_measured(values: Mapping[str, Any], stage: Stage) -> dict[str, Any]:
    """The values of a job for a part of a stage: what was measured beats what was planned."""
    found = dict(values)
    for one in _STANDS:
        if one.since <= stage and values.get(one.measured.name) is not None:
            found[one.planned.name] = one.value(values[one.measured.name])
    # What is made of lumber was ready, whatever its forecast says; what is still to be glued is ready for the
    # work after that when the glue-up says so.
    if is_over(values, Stage.SETTLE) and (Stage.SETTLE < stage <= Stage.GLUE or is_over(values, Stage.GLUE)):
        found[READY_DATE.name] = values.get(MEASURED_ON.name) or values.get(TODAY.name)
    return found


def is_over(values: Mapping[str, Any], stage: Stage) -> bool:
    """True for a stage of the work, from the yard on, after which something was measured."""
    begun = [since for name, since in _BEGUN.items() if values.get(name) is not None]
    return bool(begun) and Stage.BUY <= stage < max(begun)


@results
class Piece:
    """Something that was measured, beside the plan."""

    what: Annotated[str, Shown("what", None, "key")]
    planned_mm: Annotated[float | None, Shown("planned", FINE_LENGTH, "key")]
    measured_mm: Annotated[float, Shown("measured", FINE_LENGTH, "key")]
    follows: Annotated[Note, Shown("what follows")]
    asks: Annotated[bool, Shown("asks for something")]


@results
class CameOut:
    """The work as it came out."""

    measured_on: Annotated[date | None, Shown("measured on")]
    pieces: Annotated[tuple[Piece, ...], Shown("as measured", None, "key")]


AS_PLANNED = note("AS_PLANNED", "{what}: as planned.", what=None)
STRIPS_OFF = note(
    "STRIPS_OFF", "The strips came out {off_mm} {way}: {count} of them make the top.",
    off_mm=FINE_LENGTH, way=None, count=None,
)  # fmt: skip
MEASURES = note("MEASURES", "{what}: {measured_mm}.", what=None, measured_mm=FINE_LENGTH)
STRIPS_WIDE = note(
    "STRIPS_WIDE", "The strips came out {off_mm} {way}, and so the slab starts.", off_mm=FINE_LENGTH, way=None
)
SECTIONS_OFF = note(
    "SECTIONS_OFF", "Side by side the sections come to {measured_mm}: {off_mm} {way} than planned.",
    measured_mm=FINE_LENGTH, off_mm=FINE_LENGTH, way=None,
)  # fmt: skip
TOP_OFF = note(
    "TOP_OFF",
    "The top came out {off_mm} {way}: slots, holes and seasons are for {measured_mm} now. Each edge stands "
    "{half_mm} farther {side}: see what it must clear.",
    off_mm=FINE_LENGTH, way=None, measured_mm=FINE_LENGTH, half_mm=FINE_LENGTH, side=None,
)  # fmt: skip
TOP_THIN = note(
    "TOP_THIN", "The top came out {off_mm} {way}: screws are chosen for {measured_mm}.",
    off_mm=FINE_LENGTH, way=None, measured_mm=FINE_LENGTH,
)  # fmt: skip
FAR_OFF = warning(
    "FAR_FROM_PLAN",
    "As measured, the {what} is {off_mm} off the plan. Check the figure and its unit before you go on.",
    what=None, off_mm=FINE_LENGTH,
)  # fmt: skip
STALE = warning(
    "MEASURED_LONG_AGO",
    "That was measured on {day}, and the top has moved since. Measure it again before you cut slots.",
    day=None,
)  # fmt: skip


def ask(request: Request, catalogue: Catalogue) -> Answer[CameOut]:
    """The work as it came out beside the plan.

    :raises Refusal: measured on a day to come
    """
    day, today = request.get(MEASURED_ON), today_of(request)
    if day is not None and day > today:
        raise Refusal(
            "MEASURED_TO_COME",
            f"measured.date, {day}, is a day to come.",
            "What came out was measured today or earlier.",
            f"Write {today} or an earlier day.",
            fields=(MEASURED_ON.name,),
        )
    pieces = tuple(_pieces(request))
    warnings = [FAR_OFF(what=piece.what, off_mm=off) for piece in pieces if (off := _slip_mm(piece))]
    if day is not None and today - day > timedelta(days=STALE_DAYS) and request.get(TOP) is not None:
        warnings.append(STALE(day=day))
    found = CameOut(measured_on=day, pieces=pieces)
    says = tuple(warnings or _said(found))[-3:]
    return Answer(Verdict("wait", says) if warnings else know(*says), found, tuple(warnings))


def _said(found: CameOut) -> Sequence[Note]:
    """What asks for something; where nothing does, the last that was measured."""
    return [piece.follows for piece in found.pieces if piece.asks] or [found.pieces[-1].follows]


def _slip_mm(piece: Piece) -> float:
    """By how much it is off the plan [mm], 0 where that may be."""
    off = 0.0 if piece.planned_mm is None else abs(piece.measured_mm - piece.planned_mm)
    return off if off > SLIP * (piece.planned_mm or 0.0) else 0.0


def _pieces(request: Request) -> Iterator[Piece]:
    thick, wide, sections = request.get(THICKNESS), request.get(WIDTH), request.get(SECTIONS)
    top, flat = request.get(TOP), request.get(FLAT)
    count, glued = request.get(STRIPS_NEEDED), sections is not None or top is not None
    if thick is not None:
        # Where nobody said a thickness, the strips hand on the one that was measured.
        planned = request.get(STRIP_THICKNESS) if STRIP_THICKNESS.name in request.given and count else None
        yield _piece(
            "thickness of the strips", planned, thick,
            lambda off: STRIPS_OFF(off_mm=abs(off), way=_thick(off), count=count), over=glued,
        )  # fmt: skip
    if wide is not None:
        yield _piece(
            "width of the strips", request.get(STRIP_WIDTH), wide,
            lambda off: STRIPS_WIDE(off_mm=abs(off), way=_wide(off)), over=glued,
        )  # fmt: skip
    if sections is not None:
        total = float(sum(sections))
        yield _piece(
            "the sections side by side", request.get(TOP_WIDTH), total,
            lambda off: SECTIONS_OFF(measured_mm=total, off_mm=abs(off), way=_wide(off)),
            over=top is not None,
        )  # fmt: skip
    if top is not None:
        yield _piece(
            "width of the top", request.get(TOP_WIDTH), top,
            lambda off: TOP_OFF(
                off_mm=abs(off), way=_wide(off), measured_mm=top, half_mm=abs(off) / 2,
                side="out" if off > 0 else "in",
            ),
        )  # fmt: skip
    if flat is not None:
        yield _piece(
            "thickness of the top", request.get(TOP_THICKNESS), flat,
            lambda off: TOP_THIN(off_mm=abs(off), way=_thick(off), measured_mm=flat),
        )  # fmt: skip


def _wide(off: float) -> str:
    return "wider" if off > 0 else "narrower"


def _thick(off: float) -> str:
    return "thicker" if off > 0 else "thinner"


def _piece(
    what: str, planned: float | None, measured: float, told: Callable[[float], Note], *, over: bool = False
) -> Piece:
    """:param told: by how much it is off in, what follows out
    :param over: True where nothing follows any more
    """
    name = what[0].upper() + what[1:]
    off = 0.0 if planned is None else measured - planned
    asks = abs(off) >= TAPE_MM and not over
    if asks:
        follows = told(off)
    elif planned is None or over:
        follows = MEASURES(what=name, measured_mm=measured)
    else:
        follows = AS_PLANNED(what=name)
    return Piece(what=what, planned_mm=planned, measured_mm=measured, follows=follows, asks=asks)


QUESTION = CommandSpec(
    "measured",
    "The work as it came out beside the plan, and what follows.",
    ("woodmove plan job.toml",),
    (MEASURED_ON, THICKNESS, WIDTH, SECTIONS, TOP, FLAT, STRIP_THICKNESS, STRIP_WIDTH, STRIPS_NEEDED,
     TOP_WIDTH.replace(required=False), TOP_THICKNESS, TODAY),
    ask,
    table="pieces",
    line="The work as it came out",
    stage=Stage.FLATTEN,
)  # fmt: skip

CAME_OUT = Section(
    "measured",
    "The work as it came out",
    QUESTION,
    Stage.FLATTEN,
    "Came out",
    needs=((THICKNESS, WIDTH, SECTIONS, TOP, FLAT),),
    card=_said,
    decides=False,
    missed=False,
)
