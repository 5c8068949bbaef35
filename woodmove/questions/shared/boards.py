"""How boards are cut into strips, and where these will live."""

import numpy as np

from woodmove.advice.boards import rip as advice
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.doubt.inputs import SORPTION
from woodmove.contract.params import Param, Request
from woodmove.domain.stock import EDGES
from woodmove.domain.top import KERF_MM
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import (
    INTO,
    PLACE,
    ROOM,
    STRIP_WIDTH,
    room_year_of,
)
from woodmove.extend.params import LENGTH, PERCENT, TEXT

CUT = (
    INTO,
    STRIP_WIDTH,
    Param("kerf_mm", "--kerf", LENGTH, "Width of the saw cut", "1/8in", "pile.kerf", low=0.5, high=20,
          default=KERF_MM),
    Param("edges", "--edges", TEXT,
          "Rounded factory edges: planed off, ripped off first, or kept for the underside", "plane",
          "pile.edges", choices=EDGES, default="plane"),
)  # fmt: skip
BOARD_SERVICE = (
    Param("mc_service_pct", "--mc-service", PERCENT,
          "Moisture content in service; else the room's yearly mean, else 8 % (interiors of most of the US)",
          "8", "pile.mc_service", low=1, high=30),
    PLACE,
    *ROOM,
)  # fmt: skip
PLANER = Param(
    "planer_width_mm", "--planer", LENGTH, "Width of the planer that the sections should pass", "13in",
    "strips.planer", low=10, high=5000,
)  # fmt: skip
# Interior use, most areas of the US: average 8 % (source: fpl-gtr-282 Table 13-2, read second hand).
MC_SERVICE_PCT = 8.0


def service_of(request: Request, catalogue: Catalogue, draws: Draws) -> advice.Service:
    """Where the wood of a request that takes SERVICE will live."""
    if request["mc_service_pct"] is not None:
        return advice.Service(request["mc_service_pct"], f"{request['mc_service_pct']:g} % MC, as told")
    if request["place"] is not None:
        mean = room_year_of(request, catalogue).mean_pct
        return advice.Service(
            np.maximum(mean + draws.deviation(SORPTION), 1.0),
            f"the yearly mean EMC of the room, {mean:.1f} % MC",
        )
    return advice.Service(MC_SERVICE_PCT, "8 % MC, the average for interiors in most of the US")
