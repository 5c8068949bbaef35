"""woodmove buy"""

import re

from woodmove.advice.boards import purchase as advice
from woodmove.advice.doubt.draws import Draws
from woodmove.contract.commands import CommandSpec
from woodmove.contract.params import Param, ParamType, Request
from woodmove.contract.refusal import Refusal
from woodmove.contract.stage import Stage
from woodmove.contract.untyped import UntypedAnswer
from woodmove.domain.board import BoardSize, dressed_size
from woodmove.domain.stock import Cut
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import EDITION, SPECIES, inputs_of, wood_of
from woodmove.extend.params import LENGTH, PERCENT, TEXT, WHOLE
from woodmove.questions.shared.boards import BOARD_SERVICE, CUT, service_of
from woodmove.units.parse import parse_number


def _sizes(text: str) -> tuple[BoardSize, ...]:
    sizes = []
    for name in text.split(","):
        try:
            sizes.append(dressed_size(name.strip()))
        except Refusal as unknown:
            raise ValueError(f"{unknown.wrong.rstrip('.')}. {unknown.allowed.rstrip('.')}") from None
    if len({size.name for size in sizes}) < len(sizes):
        raise ValueError(f"{text!r} names a size twice")
    return tuple(sizes)


def _prices(text: str) -> tuple[tuple[str, float], ...]:
    prices = []
    for part in text.split(","):
        name, _, price = part.partition("=")
        try:
            value = parse_number(re.sub(r"[$€£\s]", "", price))
        except ValueError:
            raise ValueError(f"{part.strip()!r} is not SIZE=PRICE, such as 2x8=9.50") from None
        if value <= 0:
            raise ValueError(f"the price of {name.strip()!r} is not above 0")
        try:
            prices.append((dressed_size(name.strip()).name, value))
        except Refusal as unknown:
            raise ValueError(unknown.wrong.rstrip(".")) from None
    return tuple(prices)


SIZES = ParamType("SIZE,...", _sizes)
PRICES = ParamType("SIZE=PRICE,...", _prices)

PARAMS = (
    SPECIES,
    EDITION,
    Param("strips", "--strips", WHOLE, "How many strips are wanted", "24", required=True, low=1, high=10_000),
    CUT[1].replace(required=True, job=""),
    Param("strip_length_mm", "--strip-length", LENGTH, "Length of a strip", "4ft", required=True,
          low=10, high=10_000),
    Param("finished_width_mm", "--finished-width", LENGTH,
          "Width that a strip must keep, where its edges are jointed straight", "2-1/4in", low=1, high=1000),
    Param("finished_thickness_mm", "--finished-thickness", LENGTH, "Thickness that a strip must keep",
          "1-1/4in", low=1, high=500),
    Param("sizes", "--sizes", SIZES, "Nominal sizes that the yard has", "2x8,2x10",
          default=_sizes("2x4,2x6,2x8,2x10,2x12")),
    Param("prices", "--prices", PRICES, "Price of a board of each size", "2x8=9.50,2x10=14"),
    Param("board_length_mm", "--board-length", LENGTH, "Length of the boards", "8ft", low=10, high=10_000,
          default=2438.4),
    Param("stamp", "--stamp", TEXT, "What the grade stamp says of moisture", "KD-HT",
          choices=tuple(advice.STAMPS)),
    Param("sure_pct", "--sure", PERCENT, "Chance with which the purchase should be enough", "90", low=50,
          high=99.9, default=90.0),
    CUT[2].replace(job=""),
    CUT[3].replace(job=""),
    BOARD_SERVICE[0].replace(job=""),
    *BOARD_SERVICE[1:],
)  # fmt: skip


def run(request: Request, catalogue: Catalogue) -> UntypedAnswer:
    """What to buy for a number of strips."""
    draws = Draws(request.draws, request.seed)
    finished = request["finished_width_mm"]
    if finished is not None and finished > request["strip_width_mm"]:
        raise Refusal(
            "FINISHED_WIDER",
            "The finished strip is wider than the sawn one.",
            "Milling takes wood away.",
            "Type a wider --strip-width.",
            fields=("finished_width_mm", "strip_width_mm"),
        )
    names = ", ".join(size.name for size in request["sizes"])
    inputs = inputs_of(request) | {"sizes": names}
    if request["prices"] is not None:
        inputs["prices"] = ", ".join(f"{name}={price:g}" for name, price in request["prices"])
    return advice.buy(
        advice.Wanted(
            request["strips"],
            request["strip_length_mm"],
            finished,
            request["finished_thickness_mm"],
            request["sure_pct"] / 100.0,
        ),
        request["sizes"],
        request["board_length_mm"],
        Cut(None, request["strip_width_mm"], request["kerf_mm"], request["edges"]),
        wood_of(request, catalogue),
        service_of(request, catalogue, draws),
        draws,
        inputs,
        prices=dict(request["prices"] or ()),
        stamp=request["stamp"],
    )


BUY = CommandSpec(
    "buy",
    "Strips wanted in, purchase out: yield of each size, rejects and spares, the cheapest mix, and a "
    "checklist for "
    "the yard.",
    (
        "woodmove buy --species douglas-fir-coast --strips 24 --strip-width 3-1/4in --strip-length 47in",
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

COMMANDS = (BUY,)
