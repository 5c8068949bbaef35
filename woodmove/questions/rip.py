"""woodmove rip"""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from woodmove.advice.boards import ranking as pile_advice
from woodmove.advice.boards import rip as advice
from woodmove.advice.boards.ends_drawing import pile_drawings
from woodmove.advice.doubt.draws import Draws
from woodmove.contract.answer import Answer
from woodmove.contract.commands import CommandSpec
from woodmove.contract.drawing import Drawing
from woodmove.contract.params import Request
from woodmove.contract.plan import Hand, Section
from woodmove.contract.refusal import Refusal, Refusals
from woodmove.contract.stage import Stage
from woodmove.domain.board import in_both
from woodmove.domain.stock import SawnBoard
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import (
    BOARD_LENGTH,
    GRAIN,
    SPECIES,
    STOCK_MC,
    STRIPS_FROM,
    TOP_LENGTH,
    of_one_species,
    wood_of,
)
from woodmove.files.pieces.pile import PILE_TABLE
from woodmove.files.pieces.table import Pieces
from woodmove.questions.shared.boards import (
    BOARD_SERVICE,
    CALMEST,
    CUT,
    FINISH,
    PILE_BOARDS,
    STRIP_LENGTH,
    asked_of,
    board_of,
    boards_in,
    cut_of,
    of_all_boards,
    once,
    service_of,
)
from woodmove.questions.shared.lumber import MC_CORE, MC_SHELL
from woodmove.questions.shared.pieces import pieces_of

PARAMS = (
    PILE_BOARDS,
    SPECIES,
    STRIPS_FROM.replace(help="Board as sold or as measured"),
    BOARD_LENGTH,
    *CUT,
    STRIP_LENGTH,
    *FINISH,
    STOCK_MC,
    *BOARD_SERVICE,
    GRAIN[2],
)


@of_one_species
def run(request: Request, catalogue: Catalogue) -> Answer[Any]:
    """One board, or a pile of them."""
    pile = pieces_of(request, PILE_BOARDS, PILE_TABLE)
    if pile is None or len(pile.rows) + len(pile.faults) == 1:
        return _one(pile, request, catalogue)
    return _ranked(pile, request, catalogue)


def _one(pile: Pieces | None, request: Request, catalogue: Catalogue) -> Answer[advice.Rip]:
    """A board of which nothing was seen, or that of the only row."""
    if pile is not None and pile.faults:
        raise Refusals(pile.faults)
    wood, cut, draws = wood_of(request, catalogue), cut_of(request), Draws(request.draws, request.seed)
    told = of_all_boards(request)
    if pile is not None:
        told = pile.rows[0].over(told, PILE_TABLE)
    try:
        board = board_of(told, cut.kerf_mm)
    except Refusal as fault:
        fault.fields = (*fault.fields, PILE_BOARDS.name)
        raise
    answer = advice.rip(
        board, cut, wood, service_of(request, catalogue, draws), draws,
        asked=asked_of(request, wood), strip_length_mm=request["strip_length_mm"],
    )  # fmt: skip
    return answer if pile is None else replace(answer, notes=(*answer.notes, *pile.notes))


def _ranked(pile: Pieces, request: Request, catalogue: Catalogue) -> Answer[pile_advice.Ranking]:
    """A row that cannot be cut so is a fault, and takes no other with it."""
    wood, strip_length = wood_of(request, catalogue), request["strip_length_mm"]
    # Where the width of a strip is told, a board of the pile that is too narrow for so many gives fewer.
    cut = replace(cut_of(request), at_most=request["strip_width_mm"] is not None)
    new = once()

    def accept(board: SawnBoard) -> None:
        cut.pieces(board.size)
        _long_enough(board, strip_length)
        new(board)

    found, faults = boards_in(pile, of_all_boards(request), cut.kerf_mm, accept)
    boards, lines = [board for board, _ in found], [row.line for _, row in found]
    faults.sort(key=lambda fault: fault.line or 0)
    draws = Draws(pile_advice.draws_for(len(boards), request.draws), request.seed)
    service, asked = service_of(request, catalogue, draws), asked_of(request, wood)
    answer = pile_advice.rank(boards, lines, faults, cut, wood, service, draws, asked, strip_length)
    return replace(answer, notes=(*answer.notes, *pile.notes))


def _long_enough(board: SawnBoard, strip_length_mm: float | None) -> None:
    if strip_length_mm is not None and board.length_mm < strip_length_mm:
        raise Refusal(
            "BOARD_TOO_SHORT",
            f"The board is {in_both(board.length_mm)} long, and a strip {in_both(strip_length_mm)}.",
            "A strip is at most as long as its board.",
            "Take the board out, or type a shorter --strip-length.",
            fields=("stock_length_mm", "strip_length_mm"),
        )


def _calmest(found: Any) -> tuple[str, ...] | None:
    """The boards that were told apart, the calmest first; None of one board."""
    if not isinstance(found, pile_advice.Ranking):
        return None
    return tuple(row.board for row in found.boards if row.rank is not None) or None


def _drawings(found: Any, inputs: Mapping[str, Any]) -> Iterable[Drawing]:
    """The ends of a pile; nothing of one board."""
    if isinstance(found, pile_advice.Ranking):
        yield from pile_drawings(found)


RIP = CommandSpec(
    "rip",
    "What a board does when it is ripped, and what to leave; or a whole pile, ranked.",
    (
        "woodmove rip --species douglas-fir-coast --stock 2x10 --into 3 --strip-width 2-1/2in --mc-now 14",
        "woodmove rip --species sitka-spruce --stock '50mm x 100mm' --board-length 2.5m "
        "--pith-depth 20mm --into halves --mc-now 16 --target-mc 9",
        "woodmove rip --species loblolly-pine --stock 2x8 --into 2 'kerf_closed=1/16in kerf_at=4ft'",
        "woodmove rip --species hem-fir --stock 2x8 --into 2 "
        "--strip-length 60in "
        "'name=A pith=well-off, name=B pith=in-it mc_now=17'",
    ),
    PARAMS,
    run,
    table="strips",
    line="Which boards will move when ripped, what to leave",
    stage=Stage.RIP,
    draw=_drawings,
)


def run_for_top(request: Request, catalogue: Catalogue) -> Answer[Any]:
    """The pile of a job: its strips need be no longer than the top."""
    length = request["strip_length_mm"] or request["top_length_mm"]
    return run(replace(request, values={**request.values, "strip_length_mm": length}), catalogue)


SECTION = Section(
    "pile",
    "The pile, before the saw",
    replace(RIP, params=(*RIP.params, MC_CORE, MC_SHELL, TOP_LENGTH), run=run_for_top),
    Stage.RIP,
    "Saw",
    needs=((PILE_BOARDS,),),
    hands=(Hand(CALMEST, _calmest),),
)

COMMANDS = (RIP,)
