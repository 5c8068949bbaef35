"""Lumber that is to settle, and what the solver makes of it."""

from dataclasses import dataclass

import numpy as np

from woodmove.contract.refusal import Refusal
from woodmove.domain.species import Wood
from woodmove.physics.arrays import Array
from woodmove.physics.drying.boards import Boards

# Surface emission of wood in tight wrapping [m/s]. Derived: dry 19 mm lumber that changes by 0.2 % MC in
# a month (source: fpl-gtr-190) while some 5 points away from its air.
WRAPPED_M_S = 1.5e-10


@dataclass(frozen=True, slots=True)
class Stock:
    """Lumber that is to settle.

    :param core_pct: MC in the middle [%]; equals `shell_pct` where one reading is all there is
    :param shell_pct: MC of the outer quarters [%]
    :param cut_width_mm: width of the pieces that it will be cut into, None for the whole width
    :param resawn: True if these are sawn through their thickness: then what that releases counts too
    :param mc_readings: how many meter readings the MC is the mean of
    :param stacking: "stickered", "face-down", "wrapped", or "dead" with `count` boards on each other
    :raises Refusal: wood above fibre saturation
    """

    wood: Wood
    thickness_mm: float
    width_mm: float
    length_mm: float
    core_pct: float
    shell_pct: float
    stacking: str = "stickered"
    count: int = 1
    cut_width_mm: float | None = None
    mc_readings: int = 5
    resawn: bool = False

    def __post_init__(self) -> None:
        saturation = min(member.fibre_saturation_pct for member in self.wood.candidates)
        wettest = max(self.core_pct, self.shell_pct)
        if wettest >= saturation:
            raise Refusal(
                "ABOVE_FIBRE_SATURATION",
                f"Wood at {wettest:g} % is above fibre saturation ({saturation:g} %): it is green.",
                "Below fibre saturation bound water diffuses, which is what is computed here; free water "
                "leaves by other laws, and drying green lumber risks checks that only a drying schedule "
                "prevents.",
                "Have it kiln-dried, or air-dry it below that first.",
                fields=("stock_mc_pct", "mc_core_pct", "mc_shell_pct"),
            )

    @property
    def mean_pct(self) -> float:
        """Mean MC [%]: half the thickness is core, half shell."""
        return 0.5 * (self.core_pct + self.shell_pct)


def boards_of(stock: Stock, gravity: float, emission: Array, factor: Array, model: str) -> Boards:
    """Boards for the solver.

    :param emission: surface emission of an open face [m/s], shape (boards,)
    :param factor: of the diffusivity, shape (boards,)
    """
    closed = np.zeros_like(emission)
    faces = {
        "stickered": (emission, emission, emission),
        # A pile without stickers is one thick block; its edges stay open.
        "dead": (emission, emission, emission),
        "face-down": (emission, closed, emission),
        "wrapped": (closed + WRAPPED_M_S, closed + WRAPPED_M_S, closed + WRAPPED_M_S),
    }[stock.stacking]
    return Boards(
        stock.thickness_mm * (stock.count if stock.stacking == "dead" else 1),
        gravity,
        stock.width_mm,
        stock.length_mm,
        top_m_s=faces[0],
        bottom_m_s=faces[1],
        edge_m_s=faces[2],
        end_m_s=faces[2],
        factor=factor,
        model=model,
    )


def profile_of(stock: Stock) -> Array:
    """MC through the thickness at the start, at 41 even depths: a parabola whose middle half and outer
    quarters have the means that were read."""
    x = np.linspace(-1.0, 1.0, 41)
    # The outer quarters of the parabola x² have the mean 7/12, its middle half 1/12: half apart.
    slope = 2.0 * (stock.shell_pct - stock.core_pct)
    return np.clip(stock.core_pct + slope * (x * x - 1.0 / 12.0), 0.5, 29.9)
