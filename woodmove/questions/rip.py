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
from woodmove.contract.params import Param, ParamType, Request
from woodmove.contract.plan import Hand, Section
from woodmove.contract.refusal import Refusal
from woodmove.contract.stage import Stage
from woodmove.domain.board import in_both
from woodmove.domain.stock import DRIED, SawnBoard
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import (
    GRAIN,
    SPECIES,
    STOCK_MC,
    STRIPS_FROM,
    TOP_LENGTH,
    of_one_species,
    wood_of,
)
from woodmove.extend.params import FLAG, LENGTH, TEXT
from woodmove.files.pieces.pile import PILE_TABLE, parse_pith, parse_ring, parse_slope
from woodmove.files.pieces.table import Pieces
from woodmove.questions.shared.boards import (
    BOARD_LENGTH,
    BOARD_SERVICE,
    CALMEST,
    CUT,
    FINISH,
    PILE_BOARDS,
    PILE_FILE,
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
from woodmove.questions.shared.pieces import one_of

SLOPE = ParamType("SLOPE", parse_slope)
PITH = ParamType("in it|under the face|well off", parse_pith)
RING = ParamType("RADIUS", parse_ring, "in")


PARAMS = (
    PILE_FILE,
    PILE_BOARDS,
    SPECIES,
    STRIPS_FROM.replace(help="Board as sold or as measured"),
    BOARD_LENGTH,
    *CUT,
    STRIP_LENGTH,
    *FINISH,
    STOCK_MC,
    MC_CORE,
    MC_SHELL,
    *BOARD_SERVICE,
    Param("pith_place", "--pith", PITH, "Where the pith lies: in it, under the face, or well off (over 3 in)",
          "well off", "pile.pith"),
    GRAIN[2],
    Param("pith_offset_mm", "--pith-offset", LENGTH,
          "Pith from mid-width, toward the edge that is cut last; minus for the other", "1in",
          "wood.pith_offset", low=-1000, high=1000),
    Param("pith_inside", "--pith-inside", FLAG, "The pith is in the board, wherever", ""),
    Param("ring_radius_mm", "--ring-radius", RING,
          "Ring through the middle of the end grain: lay coins or lids on it until a rim follows it, "
          "and type half "
          "of that diameter; or a chord and its rise, '3in rise 3/8in'", "1-1/4in", "pile.ring_radius", low=1,
          high=5000),
    Param("slope_deg", "--slope", SLOPE,
          "Slope of grain on the face away from the pith: '1 in 12', or a scribed line '1/2in over 10in'; "
          "right behind it for a right-hand one", "1 in 12", "pile.slope"),
    Param("crook_mm", "--crook", LENGTH,
          "Crook already there, over the length: plus if the edge that is cut first is the round one",
          "1/4in", "pile.crook", low=-500, high=500),
    Param("bow_mm", "--bow", LENGTH, "Bow already there, over the length: plus if the pith side is the "
                                     "hollow one",
          "1/4in", "pile.bow", low=-500, high=500),
    Param("twist_mm", "--twist", LENGTH, "Twist already there: lift of a corner on a flat table",
          "3/16in", "pile.twist", low=0, high=500),
    Param("reaction", "--reaction", FLAG, "Compression wood along one edge or face: dark, dull and hard",
          "true", "pile.reaction"),
    Param("dried", "--dried", TEXT, "How it was held in the kiln: by the stack above it, or free to twist",
          "free", "pile.dried", choices=DRIED, default="stack"),
    Param("prong_in_mm", "--prong-in", LENGTH, "Prong test: how far a prong's tip moved inward", "1/8in",
          "pile.prong_in", low=-100, high=100),
    Param("prong_length_mm", "--prong-length", LENGTH, "Prong test: length of the prong", "6in",
          "pile.prong_length", low=10, high=1000),
    Param("kerf_closed_mm", "--kerf-closed", LENGTH, "First cut: by how much the kerf closed (minus: opened)",
          "1/16in", "pile.kerf_closed", low=-100, high=100),
    Param("kerf_at_mm", "--kerf-at", LENGTH, "First cut: where that was measured, from the blade", "4ft",
          "pile.kerf_at", low=10, high=10_000),
    Param("strip_crook_mm", "--strip-crook", LENGTH,
          "First cut: curve of the first strip over its length, plus if it curled toward the cut", "3/16in",
          "pile.strip_crook", low=-500, high=500),
    Param("measured_on", "--measured-on", TEXT, "Whose first cut that was: this board's or another's of "
                                                "its pile",
          "another", "pile.measured_on", choices=("this", "another"), default="this"),
)  # fmt: skip


@of_one_species
def run(request: Request, catalogue: Catalogue) -> Answer[Any]:
    """One board, or a pile of them."""
    pile = one_of(request, "pile_file", "pile_boards", PILE_TABLE)
    return _one(request, catalogue) if pile is None else _ranked(pile, request, catalogue)


def _one(request: Request, catalogue: Catalogue) -> Answer[advice.Rip]:
    wood, cut, draws = wood_of(request, catalogue), cut_of(request), Draws(request.draws, request.seed)
    board, mate = board_of(request, cut.kerf_mm), None
    if board.first_cut is not None and request["measured_on"] == "another":
        mate = replace(board, name="the first board", crook_mm=None)
        board = replace(board, first_cut=None)
    return advice.rip(
        board, cut, wood, service_of(request, catalogue, draws), draws,
        asked=asked_of(request, wood), strip_length_mm=request["strip_length_mm"], mate=mate,
    )  # fmt: skip


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
        "woodmove rip --species sitka-spruce --stock '50mm x 100mm' --length 2.5m --pith-depth 20mm --into "
        "halves --mc-now 16 --target-mc 9",
        "woodmove rip --species loblolly-pine --stock 2x8 --into 2 --kerf-closed 1/16in --kerf-at 4ft",
        "woodmove rip --species hem-fir --stock 2x8 --into 2 "
        "--strip-length 60in "
        "--boards 'name=A pith=well-off, name=B pith=in-it mc_now=17'",
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
    replace(RIP, params=(*RIP.params, TOP_LENGTH), run=run_for_top),
    Stage.RIP,
    "Saw",
    needs=((PILE_FILE, PILE_BOARDS),),
    hands=(Hand(CALMEST, _calmest),),
)

COMMANDS = (RIP,)
