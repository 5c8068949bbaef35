"""woodmove buy"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from woodmove.advice.boards import purchase as advice
from woodmove.advice.doubt.draws import Draws
from woodmove.contract.answer import Answer
from woodmove.contract.commands import CommandSpec
from woodmove.contract.notes import Note, note
from woodmove.contract.params import Param, ParamType, Request, in_a_file
from woodmove.contract.plan import Section
from woodmove.contract.quantity import LENGTH as LENGTH_QUANTITY
from woodmove.contract.refusal import Refusal
from woodmove.contract.stage import Stage
from woodmove.domain.board import BoardSize
from woodmove.domain.stock import Cut, SawnBoard
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import (
    BOARD_LENGTH,
    SPECIES,
    STRIP_THICKNESS,
    STRIP_WIDTH,
    STRIPS_FROM,
    STRIPS_NEEDED,
    TOP_LENGTH,
    TOP_WIDTH,
    of_one_species,
    wood_of,
)
from woodmove.extend.params import LENGTH, LENGTHS, PERCENT, TEXT, WHOLE
from woodmove.files.pieces.pile import PILE_TABLE, parse_section
from woodmove.questions.shared.boards import (
    BOARD_SERVICE,
    CUT,
    FINISH,
    PILE_BOARDS,
    STRIP_LENGTH,
    asked_of,
    blank_board,
    boards_in,
    service_of,
)
from woodmove.questions.shared.pieces import pieces_of
from woodmove.units.parse import parse_length_mm, parse_number


def _sizes(text: str) -> tuple[BoardSize, ...]:
    sizes = tuple(parse_section(name.strip()) for name in text.split(","))
    if len({size.name for size in sizes}) < len(sizes):
        raise ValueError(f"{text!r} names a size twice")
    return sizes


def _measured(thickness_mm: float, width_mm: float) -> BoardSize:
    return BoardSize(f"{thickness_mm:.0f}mm x {width_mm:.0f}mm", thickness_mm, width_mm)


@dataclass(frozen=True, slots=True)
class Price:
    """Of a board of a size; of one length only, where prices differ by length."""

    size: str
    length_mm: float | None
    price: float

    def __str__(self) -> str:
        length = "" if self.length_mm is None else f"@{self.length_mm:.0f}mm"
        return f"{self.size}{length}={self.price:g}"


def _prices(text: str) -> tuple[Price, ...]:
    prices: list[Price] = []
    for part in text.split(","):
        name, _, price = part.partition("=")
        size, _, length = name.partition("@")
        try:
            value = parse_number(re.sub(r"[$€£\s]", "", price))
        except ValueError:
            raise ValueError(f"{part.strip()!r} is not SIZE=PRICE, nor SIZE@LENGTH=PRICE") from None
        if value <= 0:
            raise ValueError(f"the price of {name.strip()!r} is not above 0")
        length_mm = parse_length_mm(length) if length else None
        prices.append(Price(parse_section(size.strip()).name, length_mm, value))
    return tuple(prices)


SIZES = ParamType("SIZE,...", _sizes)
PRICES = ParamType("SIZE=PRICE,...", _prices)

PARAMS = (
    SPECIES,
    Param("strips", "--strips", WHOLE, "How many strips are wanted", "24", required=True, low=1, high=10_000),
    CUT[1].replace(required=True, job="", example_mm="80mm"),
    Param("strip_length_mm", "--strip-length", LENGTH, "Length of a strip", "4ft", required=True,
          example_mm="1200mm", low=10, high=10_000),
    *(param.replace(job="") for param in FINISH),
    Param("sizes", "--sizes", SIZES, "Sizes that the yard has, as sold or as measured", "2x8,2x10",
          default=_sizes("2x4,2x6,2x8,2x10,2x12"), example_mm="45mmx195mm,45mmx220mm",
          default_mm=tuple(_measured(38.0, width) for width in (89.0, 140.0, 184.0, 235.0, 286.0))),
    Param("prices", "--prices", PRICES, "Price of a board of each size, and of each length where they differ",
          "2x8=9.50,2x10@12ft=14", "buy.prices", example_mm="45mmx195mm=9.50,45mmx220mm@3.6m=14"),
    Param("board_length_mm", "--board-length", LENGTHS,
          "Length of the boards, or lengths where the yard has several", "8ft,12ft", low=10, high=10_000,
          default=(2438.4,), example_mm="2400mm,3600mm", default_mm=(2400.0,)),
    STRIPS_FROM.replace(
        help="Sizes bought in their shares of the boards, instead of --sizes", example="2x6:1,2x10:2"
    ),
    PILE_BOARDS.replace(job="", help="Boards that you have, as for woodmove rip: the path of a CSV, or text"),
    Param("defects_pct", "--defects", PERCENT, "Strips that wane, edge knots and splits spoil", "10", low=0,
          high=90, default=100.0 * advice.DEFECTS),
    Param("end_trim_mm", "--end-trim", LENGTH, "Trimmed off each end of a board", "1/2in", low=0, high=500,
          default=advice.END_TRIM_MM, example_mm="15mm"),
    Param("stamp", "--stamp", TEXT, "What the grade stamp says of moisture", "KD-HT",
          choices=tuple(advice.STAMPS)),
    Param("sure_pct", "--sure", PERCENT, "Chance with which the purchase should be enough", "90", low=50,
          high=99.9, default=90.0),
    CUT[2].replace(job=""),
    CUT[3].replace(job=""),
    BOARD_SERVICE[0].replace(job=""),
    *BOARD_SERVICE[1:],
)  # fmt: skip


@of_one_species
def run(request: Request, catalogue: Catalogue) -> Answer[advice.Buy]:
    """What to buy for a number of strips."""
    draws = Draws(request.draws, request.seed)
    wood = wood_of(request, catalogue)
    home, faults = _home(request)
    lumber = None if "sizes" in request.given else request.get(STRIPS_FROM)
    sizes = request["sizes"] if lumber is None else tuple(size for size, _ in lumber.shares)
    return advice.buy(
        advice.Wanted(
            request["strips"],
            request["strip_length_mm"],
            asked_of(request, wood),
            request["sure_pct"] / 100.0,
            request["defects_pct"] / 100.0,
            request["end_trim_mm"],
        ),
        _stocks(request, sizes),
        Cut(None, request["strip_width_mm"], request["kerf_mm"], request["edges"]),
        wood,
        service_of(request, catalogue, draws),
        draws,
        lumber=lumber if len(sizes) > 1 else None,
        home=home,
        faults=faults,
        stamp=request["stamp"],
        prints=request.prints,
    )


def _stocks(request: Request, sizes: Sequence[BoardSize]) -> list[advice.Stock]:
    prices = {(one.size, one.length_mm): one.price for one in request["prices"] or ()}
    lengths = request["board_length_mm"]
    names = [size.name for size in sizes]
    for name, length in prices:
        if name not in names or length not in (None, *lengths):
            raise Refusal(
                "PRICE_OF_NOTHING",
                f"There is a price for {name}, which is not among the sizes"
                f"{'' if name not in names else ' in that length'}.",
                f"The sizes are {', '.join(names)}.",
                "Add it to --sizes and --board-length, or take its price out.",
                fields=("prices",),
            )
    return [
        advice.Stock(size, length, prices.get((size.name, length), prices.get((size.name, None))))
        for size in sizes
        for length in lengths
    ]


def _home(request: Request) -> tuple[list[SawnBoard], list[Refusal]]:
    """Boards that are there already, and rows that could not be read."""
    pile = pieces_of(request, PILE_BOARDS, PILE_TABLE)
    if pile is None:
        return [], []
    blank = blank_board(request["board_length_mm"][0], request.get("strips_from"))
    found, faults = boards_in(pile, blank, request["kerf_mm"])
    return [board for board, _ in found], faults


BUY = CommandSpec(
    "buy",
    "Strips wanted in, purchase out: yield of each size, rejects and spares, the cheapest mix, and a "
    "checklist for "
    "the yard.",
    (
        "woodmove buy --species douglas-fir-coast --strips 24 --strip-width 3-1/4in --strip-length 47in",
        "woodmove buy --species southern-pine --strips 29 --strip-width 3-1/4in --strip-length 60in --sizes "
        "2x8,2x10 --board-length 8ft,12ft",
        "woodmove buy --species hem-fir --strips 20 --strip-width 2-1/2in --strip-length 32in --sizes "
        "2x6,2x10 "
        "--prices 2x6=6.25,2x10=13.50 --stamp KD-HT",
    ),
    PARAMS,
    run,
    table="sizes",
    line="How many boards to buy, and what to look for",
    stage=Stage.BUY,
)


def run_for_top(request: Request, catalogue: Catalogue) -> Answer[advice.Buy]:
    """What the strips of a top take, with what there is already."""
    if request["strips_needed"] is None:
        raise Refusal(
            "NO_STRIPS",
            "How many strips the top takes is not known.",
            "The part on the strips of the top counts them, and it failed.",
            f"See what it says. {in_a_file(STRIP_THICKNESS.job, STRIP_THICKNESS.example_in(request.prints))}",
            fields=("strips_needed",),
        )
    values = {
        **request.values,
        "strips": request["strips_needed"],
        "strip_length_mm": request["strip_length_mm"] or request["top_length_mm"],
        "board_length_mm": (request["stock_length_mm"],),
    }
    return run(replace(request, values=values), catalogue)


def _on_the_card(found: advice.Buy) -> Iterable[Note]:
    """Of lumber that nobody listed it is not known what is there already."""
    if found.strips_at_home is None and found.purchase:
        boards, size = advice.in_words(found.purchase)
        yield TAKES(boards=boards, size=size, length_mm=found.purchase[0].length_mm)
        yield LIST_THEM()


TAKES = note(
    "TAKES",
    "The top takes {boards}, {size}, {length_mm} long.",
    boards=None,
    size=None,
    length_mm=LENGTH_QUANTITY,
)
LIST_THEM = note("LIST_THEM", "List what you have (pile.boards).")
# What a job says under another name, or the plan finds.
_OF_THE_TOP = {
    "strips", "strip_length_mm", "sizes", "board_length_mm", "strip_width_mm", "strips_from", "pile_boards",
}  # fmt: skip
SECTION = Section(
    "buy",
    "What to buy",
    replace(
        BUY,
        params=(
            STRIPS_NEEDED, STRIP_WIDTH, STRIPS_FROM, TOP_LENGTH, STRIP_LENGTH, BOARD_LENGTH,
            PILE_BOARDS,
            *(param for param in PARAMS if param.name not in _OF_THE_TOP),
        ),
        run=run_for_top,
    ),
    Stage.STRIPS,
    "Yard",
    needs=((TOP_WIDTH,), (STRIPS_FROM,), (STRIP_WIDTH,), (TOP_LENGTH,)),
    decides=False,
    card=_on_the_card,
)  # fmt: skip

COMMANDS = (BUY,)
