"""What milling takes from a warped piece, step by step, and how long it should rest first."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

import numpy as np

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.doubt.response import interpolate, nodes, settled_after
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal
from woodmove.domain.species import Wood
from woodmove.domain.stock import ROUNDED_EDGE_MM, Piece
from woodmove.physics.arrays import Array
from woodmove.physics.drying.boards import STILL_AIR_M_S, Boards
from woodmove.physics.drying.solver import simulate

# A pass that only cleans a face up takes so much (status: common practice).
CLEAN_UP_MM = 0.8
# Rested, for jointing: mean this near to service, core and shell this near to each other (status: common
# practice, as for acclimating).
RESTED_POINTS, CORE_SHELL_POINTS = 1.0, 1.5
# Stress shows at the saw; a night shows the rest of it (status: common practice).
LEAST_DAYS, MOST_DAYS = 1.0, 365.0
CROSSCUTS = (1, 2, 3, 4)
REST_TEMP_C = 20.0

Number = TypeVar("Number", float, Array)


def width_loss_mm(crook_mm: Number) -> Number:
    """Width that goes to make both edges straight and parallel: the crook, once.

    Derived: a curved band of width w holds a straight one of width w - crook. Each edge loses up to the
    crook at its worst place, but not at the same place.
    """
    return crook_mm


def thickness_loss_mm(bow_mm: Number, cup_mm: Number, lift_mm: Number) -> Number:
    """Thickness that goes to make both faces flat and parallel.

    Derived: bow and cup once each, as the crook; a twisted face lies within half of its corner lift. They
    are added as if their worst places met.
    """
    return bow_mm + cup_mm + lift_mm / 2.0


def strip_loss_mm(cup_mm: Array, lift_mm: Array) -> Array:
    """Thickness that goes to plane a strip clean that will stand on edge in a top [mm]: its cup, half its
    twist, and a pass over each face. Its bow stays: clamps pull a thin strip straight."""
    return thickness_loss_mm(np.zeros_like(cup_mm), cup_mm, lift_mm) + 2.0 * CLEAN_UP_MM


@dataclass(frozen=True, slots=True)
class Shape:
    """Sizes of warp of a piece over its length [mm]."""

    crook_mm: float
    bow_mm: float
    cup_mm: float
    lift_mm: float

    def crosscut(self, pieces: int) -> "Shape":
        """Of one of several equal lengths: curves fall with the square, twist in proportion, cup stays."""
        return Shape(self.crook_mm / pieces**2, self.bow_mm / pieces**2, self.cup_mm, self.lift_mm / pieces)

    @property
    def width_loss_mm(self) -> float:
        """See :func:`width_loss_mm`."""
        return width_loss_mm(self.crook_mm)

    @property
    def thickness_loss_mm(self) -> float:
        """See :func:`thickness_loss_mm`."""
        return thickness_loss_mm(self.bow_mm, self.cup_mm, self.lift_mm)


def rounded_mm(piece: Piece, width_mm: float, edges: str) -> float:
    """Width that goes with the rounded factory edges of a piece when they are planed off."""
    if edges != "plane":
        return 0.0
    at_edge = (abs(piece.left_mm + width_mm / 2) < 0.01) + (abs(piece.right_mm - width_mm / 2) < 0.01)
    return ROUNDED_EDGE_MM * at_edge


def steps(
    number: int, piece: Piece, parent_mm: tuple[float, float], shape: Shape, rounded: float, kerf_mm: float
) -> list[dict[str, Any]]:
    """The stock budget of a piece: what each step removes, and what it leaves.

    :param parent_mm: width and thickness of the board
    :param shape: expected, over the piece's own length
    :param rounded: width that goes with rounded edges [mm]
    """
    width, thickness = piece.width_mm, piece.thickness_mm
    taken = (
        ("rip" if thickness == parent_mm[1] else "resaw", parent_mm[0] - width, parent_mm[1] - thickness),
        ("rest", 0.0, 0.0),
        ("face joint", 0.0, shape.thickness_loss_mm + CLEAN_UP_MM),
        ("edge joint", shape.width_loss_mm + rounded + CLEAN_UP_MM, 0.0),
        ("plane the other face and edge", CLEAN_UP_MM, CLEAN_UP_MM),
    )
    left = list(parent_mm)
    rows = [_row(number, "parent", (0.0, 0.0), left)]
    for step, across, through in taken:
        if step in ("rip", "resaw") and across == through == 0.0:
            continue
        left = [left[0] - across, left[1] - through]
        rows.append(_row(number, step, (across, through), left))
    rows.append(_row(number, "finished", (0.0, 0.0), left))
    if left[0] <= 0 or left[1] <= 0:
        raise Refusal(
            "NOTHING_LEFT",
            f"Of strip {number} nothing would be left: straightening takes {width - left[0]:.1f} mm of "
            f"{width:.1f} mm of width and {thickness - left[1]:.1f} mm of {thickness:.1f} mm of thickness.",
            "What is expected to warp must be less than what there is to mill away.",
            "Crosscut first (--strip-length, say half the length), rip wider, or choose a calmer board.",
            fields=("strip_width_mm", "strip_length_mm"),
        )
    return rows


def _row(number: int, step: str, taken: tuple[float, float], left: Sequence[float]) -> dict[str, Any]:
    return {
        "strip": number,
        "step": step,
        "takes_width_mm": taken[0],
        "takes_thickness_mm": taken[1],
        "leaves_width_mm": left[0],
        "leaves_thickness_mm": left[1],
    }


def crosscuts(piece: Piece, shape: Shape, length_mm: float, rounded: float) -> list[dict[str, Any]]:
    """What a piece finishes at when it is crosscut first, and what that gains."""
    rows: list[dict[str, Any]] = []
    for count in CROSSCUTS:
        cut = shape.crosscut(count)
        width = piece.width_mm - cut.width_loss_mm - rounded - 2 * CLEAN_UP_MM
        thickness = piece.thickness_mm - cut.thickness_loss_mm - 2 * CLEAN_UP_MM
        first = rows[0] if rows else {"finished_width_mm": width, "finished_thickness_mm": thickness}
        rows.append(
            {
                "lengths": count,
                "length_mm": length_mm / count,
                "finished_width_mm": width,
                "finished_thickness_mm": thickness,
                "gains_width_mm": width - first["finished_width_mm"],
                "gains_thickness_mm": thickness - first["finished_thickness_mm"],
            }
        )
    return rows


def rest_days(
    piece: Piece, length_mm: float, wood: Wood, mc: Mapping[str, Array], draws: Draws
) -> Range | None:
    """Days from the saw until a piece has settled for jointing, stickered in air of its service moisture.

    :param mc: moisture content today and in service [%], each of shape (draws + 1,)
    :returns: None where no table gives the density
    """
    gravity = wood.gravity_12
    if gravity is None:
        return None
    spread = np.array([-2.4, -1.2, 0.0, 1.2, 2.4])
    gap = mc["in_service"] - mc["at_cut"]
    gaps = np.unique(np.concatenate((np.quantile(gap, (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)), gap[:1])))
    to_diffusivity, to_emission, to_gap = nodes((spread, spread[::2], gaps))
    emission = STILL_AIR_M_S * np.exp(doubt.EMISSION.sd * to_emission)
    boards = Boards(
        piece.thickness_mm, gravity, piece.width_mm, length_mm, emission, emission, emission, emission,
        np.exp(doubt.DIFFUSIVITY.sd * to_diffusivity),
    )  # fmt: skip
    days = np.concatenate(([0.0], np.geomspace(0.1, MOST_DAYS, 60)))
    target = float(np.clip(mc["in_service"][0], 1.0, 29.0))
    start = np.clip(target - to_gap, 0.5, 29.9)
    history = simulate(boards, start, days, REST_TEMP_C, target, cells=16, cells_across=6)
    unsettled = np.maximum(
        np.abs(history.mean_pct - target) / RESTED_POINTS,
        np.abs(history.core_pct - history.shell_pct) / CORE_SHELL_POINTS,
    )
    wait = settled_after(unsettled, days)
    wait = np.clip(wait, LEAST_DAYS, MOST_DAYS)
    points = [draws.deviation(d) / d.sd for d in (doubt.DIFFUSIVITY, doubt.EMISSION)]
    drawn = interpolate((spread, spread[::2], gaps), np.log(wait), [*points, gap])
    return draws.range(np.clip(np.exp(drawn), LEAST_DAYS, MOST_DAYS))
