"""How boards are cut into strips, and where these will live."""

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from woodmove.advice.boards import rip as advice
from woodmove.advice.boards.allowance import USES, Asked, stiffness_gpa
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.doubt.inputs import SORPTION
from woodmove.contract.params import Param, ParamType, Request
from woodmove.contract.refusal import Refusal
from woodmove.domain.board import BoardSize
from woodmove.domain.species import Wood
from woodmove.domain.stock import DRIED, EDGES, Cut, FirstCut, Pith, Prong, SawnBoard
from woodmove.domain.top import KERF_MM
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import (
    BOARD_LENGTH,
    BUILT,
    INTO,
    PLACE,
    ROOM,
    STRIP_WIDTH,
    TARGET_MC,
    room_year_of,
)
from woodmove.extend.params import LENGTH, TEXT, WORDS
from woodmove.files.pieces.pile import PILE_TABLE
from woodmove.files.pieces.table import PieceRow, Pieces, bad_row
from woodmove.units.show import length_text

PILE_BOARDS = Param(
    "pile_boards", "BOARDS", WORDS,
    "Boards, as the path of a CSV with a row a board, or in one text: key=value with blanks between, and "
    "commas between boards. Keys, or columns, are name, nominal, pith_depth, mc_now, crook and more; all "
    "are named if one is wrong",
    "'name=A1 pith_depth=1-1/2in mc_now=13, name=A2 pith=in-it'", "pile.boards",
)  # fmt: skip
STRIP_LENGTH = Param(
    "strip_length_mm", "--strip-length", LENGTH, "Length of the strips, where the board is crosscut first",
    "4ft", "pile.strip_length", low=10, high=10_000,
)  # fmt: skip
KERF = Param("kerf_mm", "--kerf", LENGTH, "Width of the saw cut", "1/8in", "pile.kerf", low=0.5, high=20,
             default=KERF_MM)  # fmt: skip
CUT = (
    INTO,
    STRIP_WIDTH,
    KERF,
    Param("edges", "--edges", TEXT,
          "Rounded factory edges: planed off, ripped off first, or kept for the underside", "plane",
          "pile.edges", choices=EDGES, default="plane"),
)  # fmt: skip
BOARD_SERVICE = (
    TARGET_MC.replace(help="Moisture content in service; else the room's yearly mean, else 8 % (interiors "
                           "of most of the US)"),
    PLACE,
    *ROOM,
    BUILT,
)  # fmt: skip
CALMEST = Param(
    "calmest_first", "", ParamType("NAME,...", lambda text: tuple(name.strip() for name in text.split(","))),
    "Boards of the pile, those first that will move least when ripped", "A, C, B",
)  # fmt: skip
# What is asked of a strip.
FINISH = (
    Param("use", "--use", TEXT, "Strips glued into a top, where clamps pull them straight, or free ones",
          "free", choices=USES, default="lamination"),
    Param("finished_width_mm", "--finished-width", LENGTH, "Width that a strip must keep", "3in",
          "pile.finished_width", low=1, high=1000),
    Param("finished_thickness_mm", "--finished-thickness", LENGTH, "Thickness that a strip must keep",
          "1-1/4in", "pile.finished_thickness", low=1, high=500),
)  # fmt: skip
PLANER = Param(
    "planer_width_mm", "--planer", LENGTH, "Width of the planer that the sections should pass", "13in",
    "strips.planer", low=10, high=5000,
)  # fmt: skip
# Interior use, most areas of the US: average 8 % (source: fpl-gtr-282 Table 13-2, read second hand).
MC_SERVICE_PCT = 8.0


def cut_of(request: Request) -> Cut:
    """How a request that takes CUT cuts its boards; kerf and edges count where anything is cut."""
    into, strip_width = request[INTO.name], request[STRIP_WIDTH.name]
    if into is None and strip_width is None:
        return Cut()
    return Cut(into, strip_width, request["kerf_mm"], request["edges"])


def of_all_boards(request: Request) -> dict[str, Any]:
    """What a request says of every board of its pile."""
    names = {name for name, _ in PILE_TABLE.columns.values()} - {"name"}
    return {name: request.get(name) for name in names}


def blank_board(length_mm: float, size: Any) -> dict[str, Any]:
    """What is said of every board of a pile of which nothing else counts."""
    blank: dict[str, Any] = dict.fromkeys(name for name, _ in PILE_TABLE.columns.values())
    return blank | {BOARD_LENGTH.name: length_mm, "strips_from": size}


def boards_in(
    pile: Pieces, shared: Mapping[str, Any], kerf_mm: float, accept: Callable[[SawnBoard], None] | None = None
) -> tuple[list[tuple[SawnBoard, PieceRow]], list[Refusal]]:
    """The boards of a pile, each with its row; and the rows that are wrong, which take no other with them.

    :param shared: what is said of all of them
    :param accept: raises Refusal for a board that will not do
    """
    boards: list[tuple[SawnBoard, PieceRow]] = []
    faults = list(pile.faults)
    for row in pile.rows:
        try:
            board = board_of(row.over(shared, PILE_TABLE), kerf_mm, row.values["name"])
            if accept is not None:
                accept(board)
        except Refusal as fault:
            faults.append(bad_row(pile.source, row.line, fault.text))
        else:
            boards.append((board, row))
    return boards, faults


def once() -> Callable[[SawnBoard], None]:
    """What refuses a board whose name was there before: board A is board a."""
    names: set[str] = set()

    def accept(board: SawnBoard) -> None:
        if board.name.casefold() in names:
            raise Refusal(
                "BOARD_TWICE",
                f"Board {board.name} is listed already.",
                "Each board of a pile has a name of its own; A and a are one.",
                "Rename one of them, or take it out.",
                fields=(PILE_BOARDS.name,),
            )
        names.add(board.name.casefold())

    return accept


def asked_of(request: Request, wood: Wood) -> Asked:
    """What a request that takes FINISH asks of a strip.

    :raises Refusal: wider than it is sawn
    """
    finished, sawn = request["finished_width_mm"], request["strip_width_mm"]
    if finished is not None and sawn is not None and finished > sawn:
        raise Refusal(
            "FINISHED_WIDER",
            "The finished strip is wider than the sawn one.",
            "Milling takes wood away.",
            "Type a wider --strip-width.",
            fields=("finished_width_mm", "strip_width_mm"),
        )
    return Asked(request["use"], finished, request["finished_thickness_mm"], stiffness_gpa(wood))


def service_of(request: Request, catalogue: Catalogue, draws: Draws) -> advice.Service:
    """Where the wood of a request that takes SERVICE will live."""
    if (told := request.get(TARGET_MC)) is not None:
        return advice.Service(told, f"{told:g} % MC, as told")
    if request["place"] is not None:
        mean = room_year_of(request, catalogue).mean_pct
        return advice.Service(
            np.maximum(mean + draws.deviation(SORPTION), 1.0),
            f"the yearly mean EMC of the room, {mean:.1f} % MC",
        )
    return advice.Service(MC_SERVICE_PCT, "8 % MC, the average for interiors in most of the US")


def _pith(values: Mapping[str, Any]) -> Pith:
    """By measures; by a word where there are none."""
    place, depth, offset = (values[name] for name in ("pith_place", "pith_depth_mm", "pith_offset_mm"))
    ring = values["ring_radius_mm"]
    if place is None or depth is not None or ring is not None:
        return Pith(depth, offset, place == "in-it", ring)
    return Pith.in_words(place, offset)


def board_of(values: Mapping[str, Any], kerf_mm: float, name: str = "") -> SawnBoard:
    """The board of what is said of it, by the names of the columns of a pile.

    :param kerf_mm: of the saw
    :param name: as written on it
    :raises Refusal: no size, or half of a pair of readings
    """
    size = values["strips_from"]
    if not isinstance(size, BoardSize):  # none, or lumber of several sizes
        raise Refusal(
            "NO_SIZE",
            "The size of the board is not known.",
            "A section as sold or as measured is needed.",
            "Type --stock 2x10, or --stock 45mmx195mm.",
            fields=("strips_from",),
            exit_code=2,
        )
    core, shell = _both(values, "mc_core_pct", "mc_shell_pct", "mc_core=14 mc_shell=11")
    prong, prong_length = _both(values, "prong_in_mm", "prong_length_mm", "prong_in=1/8in prong_length=6in")
    closed, at = _both(values, "kerf_closed_mm", "kerf_at_mm", "kerf_closed=1/16in kerf_at=4ft")
    if closed is not None and closed > 1.1 * kerf_mm:
        raise Refusal(
            "KERF_CLOSED_BY_MORE",
            f"A kerf of {length_text(kerf_mm)} cannot close by {length_text(closed)}.",
            "A kerf closes by at most its width.",
            "If its sides touched, write the width of the kerf, and kerf_at with the place.",
            fields=("kerf_closed_mm", "kerf_mm"),
        )
    strip = values["strip_crook_mm"]
    first = FirstCut(closed, at, strip) if closed is not None or strip is not None else None
    now = values["stock_mc_pct"] if core is None or shell is None else (core + shell) / 2.0
    return SawnBoard(
        name,
        size,
        values["stock_length_mm"],
        now,
        None if core is None or shell is None else core - shell,
        _pith(values),
        values["slope_deg"],
        values["crook_mm"],
        values["bow_mm"],
        Prong(prong, prong_length) if prong is not None and prong_length is not None else None,
        first,
        values["twist_mm"],
        values["reaction"],
        values["dried"] or DRIED[0],
    )


def _both(values: Mapping[str, Any], one: str, other: str, example: str) -> tuple[float | None, float | None]:
    first, second = values[one], values[other]
    if (first is None) != (second is None):
        raise Refusal(
            "HALF_A_READING",
            "Only one of two readings that belong together is given.",
            "One says nothing without the other.",
            f"Write {example}, or neither.",
            fields=(one if first is None else other,),
            exit_code=2,
        )
    return first, second
