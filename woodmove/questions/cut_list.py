"""woodmove cut-list"""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from woodmove.advice.boards import cut_list as advice
from woodmove.advice.boards.purchase import END_TRIM_MM
from woodmove.contract.answer import Answer
from woodmove.contract.commands import CommandSpec
from woodmove.contract.drawing import Box, Drawing, Label, Shape
from woodmove.contract.notes import Note, note
from woodmove.contract.params import Param, Request
from woodmove.contract.plan import Section
from woodmove.contract.refusal import Refusal
from woodmove.contract.stage import Stage
from woodmove.domain.cutting import Part
from woodmove.domain.stock import SawnBoard
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import (
    BOARD_LENGTH,
    STRIP_WIDTH,
    STRIPS_FROM,
    STRIPS_NEEDED,
    TOP_LENGTH,
    TOP_WIDTH,
)
from woodmove.extend.params import LENGTH, TEXT
from woodmove.files.pieces.parts import PARTS_TABLE
from woodmove.files.pieces.pile import PILE_TABLE
from woodmove.files.pieces.table import Pieces, bad_row
from woodmove.questions.shared.boards import (
    CALMEST,
    KERF,
    PILE_BOARDS,
    STRIP_LENGTH,
    blank_board,
    boards_in,
    once,
)
from woodmove.questions.shared.pieces import pieces_of

PARTS = Param(
    "parts", "--parts", TEXT,
    "The parts as they come off the saw, as the path of a CSV with a row for those that are alike, or in one "
    "text with commas between: name, width, length, count",
    "'name=leg width=3-1/2in length=34in count=4'", "cut_list.parts",
)  # fmt: skip
END_TRIM = Param(
    "bad_ends_mm", "--bad-ends", LENGTH,
    "Cut off both ends of a board together, where its row has no bad_ends", "1in", "cut_list.bad_ends",
    low=0, high=1000, default=2 * END_TRIM_MM,
)  # fmt: skip
TWISTED_UP_TO = Param(
    "twisted_up_to_mm", "--twisted-up-to", LENGTH, "Longest part that a twisted board may give", "24in",
    "cut_list.twisted_up_to", low=10, high=10_000, default=advice.TWISTED_UP_TO_MM,
)  # fmt: skip
STRIP_NAMES = ("strip", "strips")
PARAMS = (
    PILE_BOARDS.replace(
        help="The boards as for woodmove rip, a CSV or text; bad_ends for what is lost to splits"
    ),
    PARTS,
    STRIPS_FROM.replace(help="Size of boards whose row has none"),
    BOARD_LENGTH,
    KERF,
    END_TRIM,
    TWISTED_UP_TO,
)


def ask(request: Request, catalogue: Catalogue) -> Answer[advice.CutList]:
    """The parts that are listed."""
    return _answer(request, None)


def ask_for_top(request: Request, catalogue: Catalogue) -> Answer[advice.CutList]:
    """The strips of the top, where they are known, before the parts that are listed."""
    count, width = request.get(STRIPS_NEEDED), request.get(STRIP_WIDTH)
    length = request.get(STRIP_LENGTH) or request.get(TOP_LENGTH)
    if count is None or width is None or length is None:
        return _answer(request, None)
    return _answer(request, Part("strip", width, length, count))


def _answer(request: Request, strip: Part | None) -> Answer[advice.CutList]:
    listed = pieces_of(request, PARTS, PARTS_TABLE)
    if listed is None and strip is None:
        raise Refusal(
            "NO_PARTS",
            "Nothing says which parts are wanted.",
            "Parts are a file with name, width, length and count, or the same in one text.",
            "Add --parts parts.csv, or --parts 'name=leg width=3-1/2in length=34in count=4'.",
            fields=(PARTS.name,),
            exit_code=2,
        )
    pile = pieces_of(request, PILE_BOARDS, PILE_TABLE)
    if pile is None:
        raise Refusal(
            "NO_BOARDS",
            "Nothing says which boards there are.",
            "Boards are a file with a row a board, or the same in one text.",
            "Add pile.csv behind cut-list, or 'name=A nominal=2x8 length=8ft'.",
            fields=(PILE_BOARDS.name,),
            exit_code=2,
        )
    saw = advice.Saw(request[KERF], request[END_TRIM], request[TWISTED_UP_TO])
    boards, faults = _boards(pile, request)
    parts = [] if strip is None else [strip]
    if listed is not None:
        more, wrong = _parts(listed)
        parts, faults = parts + more, faults + wrong
    # The strips of the top may stand in the list too.
    strip = strip or next((part for part in parts if part.name.casefold() in STRIP_NAMES), None)
    answer = advice.cut_list(boards, parts, saw, faults, strip, request.get(CALMEST) or ())
    bare = pile.notes or (listed.notes if listed is not None else ())
    return replace(answer, notes=(*answer.notes, *bare))


def _boards(pile: Pieces, request: Request) -> tuple[list[tuple[SawnBoard, float | None]], list[Refusal]]:
    """The boards of a pile, each with what is cut off its ends; and the rows that are wrong."""
    blank = blank_board(request[BOARD_LENGTH], request.get(STRIPS_FROM))
    found, faults = boards_in(pile, blank, request[KERF], once())
    return [(board, row.values.get(END_TRIM.name)) for board, row in found], faults


def _parts(listed: Pieces) -> tuple[list[Part], list[Refusal]]:
    """The parts of a list; and the rows that are wrong."""
    parts: list[Part] = []
    faults = list(listed.faults)
    for row in listed.rows:
        lacks = [word for word in ("width", "length") if f"{word}_mm" not in row.values]
        if lacks:
            faults.append(bad_row(listed.source, row.line, f"It has no {' and no '.join(lacks)}"))
            continue
        values = row.values
        parts.append(Part(values["name"], values["width_mm"], values["length_mm"], values.get("count", 1)))
    return parts, faults


DRAWN = note(
    "DRAWN_BOARDS", "{count} boards, side by side, with the parts that come out of each.", count=None
)
# Boards that are drawn, and what is between two, as a share of the width of the widest.
MOST_DRAWN, BETWEEN = 24, 0.35


def drawings(found: advice.CutList, inputs: Mapping[str, Any]) -> Iterable[Drawing]:
    """The boards to scale, one below the other, with their parts."""
    if not found.boards:
        return
    shown = found.boards[:MOST_DRAWN]
    step = max(board.width_mm for board in shown) * (1 + BETWEEN)
    longest = max(board.length_mm for board in shown)
    shapes: list[Shape] = []
    for number, board in enumerate(shown):
        bottom = -number * step
        shapes.append(Box(0.0, bottom, board.length_mm, board.width_mm, role="waste"))
        shapes += [
            Box(part.along_mm, bottom + part.across_mm, part.length_mm, part.width_mm, part.part)
            for part in found.pieces
            if part.board == board.board
        ]
        shapes.append(Label(longest * 1.02, bottom + 0.35 * board.width_mm, board.board))
    more = len(found.boards) - len(shown)
    yield Drawing(
        "boards", "The boards and their parts", DRAWN(count=len(shown)), tuple(shapes),
        remark=f"{more} more boards are not drawn." if more else "",
    )  # fmt: skip


CUT_LIST = CommandSpec(
    "cut-list",
    "Which board gives which parts, in which order of cuts, what is left, and which boards go back.",
    (
        "woodmove cut-list 'name=A nominal=2x4, name=B nominal=2x4, name=C nominal=2x4 twist=3/4in' "
        "--parts 'name=rail width=3-1/2in length=37in count=2, "
        "name=leg width=3-1/2in length=28in count=4'",
        "woodmove cut-list 'name=A size=45mmx145mm length=3600mm, "
        "name=B size=45mmx145mm length=3600mm' --parts 'name=rail width=145mm length=1650mm count=2, "
        "name=leg width=70mm length=700mm count=4'",
    ),
    PARAMS,
    ask,
    table="pieces",
    line="Which board gives which parts",
    stage=Stage.RIP,
    draw=drawings,
)


def _on_the_card(found: advice.CutList) -> Iterable[Note]:
    if not found.lacks:
        yield advice.all_out(found.boards_cut, found.back)


SECTION = Section(
    "cut_list",
    "The cut list",
    replace(
        CUT_LIST,
        params=(
            *PARAMS,
            STRIPS_NEEDED,
            CALMEST,
            STRIP_WIDTH,
            STRIP_LENGTH,
            TOP_LENGTH,
            TOP_WIDTH.replace(required=False),
        ),
        run=ask_for_top,
    ),
    # The strips of the top are counted first.
    Stage.STRIPS,
    "Cut",
    needs=((PILE_BOARDS,), (PARTS, TOP_WIDTH)),
    decides=False,
    card=_on_the_card,
)

COMMANDS = (CUT_LIST,)
