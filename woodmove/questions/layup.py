"""woodmove lay-up"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top import layup as advice
from woodmove.advice.top.layup_drawing import layup_drawings
from woodmove.advice.top.movement import TWO_BY_MM
from woodmove.advice.top.strips import most_in_section
from woodmove.contract.answer import Answer
from woodmove.contract.commands import CommandSpec
from woodmove.contract.params import Param, Request
from woodmove.contract.plan import Hand, Section
from woodmove.contract.refusal import Refusal
from woodmove.contract.stage import Stage
from woodmove.domain.species import Wood
from woodmove.domain.strip import Batch, Strip
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import (
    BUILT,
    MC_NOW,
    SERVICE,
    SPECIES,
    STRIP_THICKNESS,
    STRIP_TWIST,
    STRIPS_FROM,
    STRIPS_NEEDED,
    TOP_THICKNESS,
    season_of,
    wood_of,
)
from woodmove.extend.params import WORDS
from woodmove.files.pieces.strips import STRIP_TABLE
from woodmove.files.pieces.table import bad_row
from woodmove.questions.shared.boards import PLANER
from woodmove.questions.shared.pieces import pieces_of

STRIP_LIST = Param(
    "strip_list", "STRIPS", WORDS,
    "Strips, as the path of a CSV with a row a strip, or in one text: key=value with blanks between, and "
    "commas between strips. Keys, or columns, are name, species, mc, rings, crook, bow, twist and more; all "
    "are named if one is wrong",
    "'name=1 mc=9.2 rings=20 crook=1/16in, name=2 mc=8.4 rings=35 defect=up'", "strips.list",
)  # fmt: skip
PARAMS = (
    STRIP_LIST,
    SPECIES,
    TOP_THICKNESS.replace(required=True),
    STRIP_THICKNESS.replace(help="Thickness of a strip; else that of its board"),
    STRIPS_FROM,
    PLANER,
    MC_NOW.replace(help="Moisture content of strips that were not metered"),
    STRIPS_NEEDED,
    *SERVICE,
    BUILT,
)  # fmt: skip


def ask(request: Request, catalogue: Catalogue) -> Answer[advice.LayUp]:
    """The order of the strips of a top."""
    table = pieces_of(request, STRIP_LIST, STRIP_TABLE)
    if table is None:
        raise Refusal(
            "NO_STRIPS",
            "No strips are given.",
            "They are a file, a row a strip, or the same in one text.",
            "Add strips.csv behind lay-up, or 'name=1 mc=9.2 rings=20, name=2 mc=8.4'.",
            fields=(STRIP_LIST.name,),
            exit_code=2,
        )
    strips, lines, faults = [], [], list(table.faults)
    lamination = _lamination(request, catalogue)
    for row in table.rows:
        try:
            strips.append(_strip(row.values, lamination.wood, catalogue))
        except Refusal as fault:
            faults.append(bad_row(table.source, row.line, fault.text))
        else:
            lines.append(row.line)
    faults.sort(key=lambda fault: fault.line or 0)
    _refuse_unused(strips, lamination.wood)
    answer = advice.lay_up(
        strips,
        lines,
        faults,
        lamination,
        season_of(request, catalogue),
        Draws(request.draws, request.seed),
        request.get(STRIPS_NEEDED),
    )
    return replace(answer, notes=(*answer.notes, *table.notes))


def _strip(values: Mapping[str, Any], wood: Wood, catalogue: Catalogue) -> Strip:
    """A strip of a row.

    :raises Refusal: a species that the top does not have, and what the strip itself refuses
    """
    strip = Strip(**values)
    if strip.species is None:
        return strip
    species = catalogue.species.get(strip.species)
    keys = [part.species.key for part, _ in wood.parts]
    if species.key not in keys:
        raise Refusal(
            "NOT_IN_THIS_TOP",
            f"Strip {strip.name} is of {species.key}, and the species of the top are {', '.join(keys)}.",
            "A strip is of one of the woods of its top.",
            f'Type --species "{keys[0]}:2, {species.key}:1", or another species for the strip.',
            fields=("species",),
        )
    return replace(strip, species=species.key)


def _refuse_unused(strips: Sequence[Strip], wood: Wood) -> None:
    """Refuse a species with a share of the top of which no strip is, where each strip has its own."""
    unused = {part.species.key for part, _ in wood.parts} - {strip.species for strip in strips}
    if wood.others and unused and all(strip.species for strip in strips):
        raise Refusal(
            "SPECIES_UNUSED",
            f"No strip is of {', '.join(sorted(unused))}, which has a share of the top.",
            "Each species of the top has its strips.",
            "Leave it out of --species, or mend the species of the strips.",
            fields=("species",),
        )


def _lamination(request: Request, catalogue: Catalogue) -> advice.Lamination:
    thickness, board, planer = request.get(STRIP_THICKNESS), request.get(STRIPS_FROM), request.get(PLANER)
    depth = request[TOP_THICKNESS]
    told = thickness is not None
    if not told:
        thickness = TWO_BY_MM if board is None else board.thickness_mm
    batch = Batch(thickness, board, depth)
    most = None if planer is None else most_in_section(planer, batch.thickness_mm)
    return advice.Lamination(
        wood_of(request, catalogue),
        depth,
        batch.thickness_mm,
        request.get(MC_NOW),
        most,
        told,
    )


LAY_UP = CommandSpec(
    "lay-up",
    "In which order to lay up given strips, which way to turn each, which to leave out, and what that gains.",
    (
        "woodmove lay-up --species douglas-fir-coast --thickness 3in --place burlington "
        "'name=1 mc=7.1 rings=15 crook=1/16in, name=2 mc=8.9 rings=40 crook=-1/16in defect=up, "
        "name=3 mc=7.6 rings=20 bow=1/8in, name=4 mc=8.5 rings=35 crook=1/16in'",
    ),
    PARAMS,
    ask,
    table="laid",
    line="In which order to lay up the strips",
    stage=Stage.STRIPS,
    draw=layup_drawings,
)


def _strip_twist_mm(found: advice.LayUp) -> float | None:
    return found.strip_twist_mm


SECTION = Section(
    "lay-up",
    "The order of the strips",
    LAY_UP,
    Stage.STRIPS,
    "Lay up",
    needs=((STRIP_LIST,),),
    hands=(Hand(STRIP_TWIST, _strip_twist_mm),),
)

COMMANDS = (LAY_UP,)
