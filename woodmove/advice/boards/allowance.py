"""What milling takes from a warped piece, step by step, and how long it should rest first."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Annotated, TypeVar

import numpy as np
from numpy.typing import NDArray

from woodmove.advice.boards.arrays import BoardArrays
from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.doubt.response import interpolate, nodes, settled_after
from woodmove.contract.quantity import FINE_LENGTH, Quantity
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal
from woodmove.contract.shown import Shown, results
from woodmove.domain.species import Wood
from woodmove.domain.stock import ROUNDED_EDGE_MM, Piece
from woodmove.physics.arrays import Array
from woodmove.physics.drying.boards import STILL_AIR_M_S, Boards
from woodmove.physics.drying.solver import simulate
from woodmove.physics.warp import closing_force_kn, corner_lift_mm

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


# A hand on a clamp tells this much.
STRIP_FORCE = Quantity("_kn", ("lbf", 5, 5), ("kN", 0.02, 0.02))
# What is asked of a strip: to be pulled straight in the clamps of a lamination, or to be straight on its own.
USES = ("lamination", "free")
# What clamps take out of a strip of a lamination, and what more of its crook may be jointed off its edges
# (status: judgement): 50 lbf spread over its length, 3 degrees from end to end, 3/16 in under cauls.
CLOSING_KN, CLOSING_TWIST_DEG, CAUL_CROOK_MM, JOINTED_CROOK_MM = 0.2224, 3.0, 4.7625, 4.7625
MOST_CROOK_MM = CAUL_CROOK_MM + JOINTED_CROOK_MM
# What a strip may lose of its width and of its thickness where nobody says how it is finished (status:
# judgement).
SPARE_MM = 6.4


@dataclass(frozen=True, slots=True)
class Warped:
    """Sizes of warp of pieces over their own length, arrays that broadcast to (..., pieces, draws)."""

    twist_deg: Array
    crook_mm: Array
    bow_mm: Array
    cup_mm: Array

    @classmethod
    def of(cls, modes: Mapping[str, Array]) -> "Warped":
        """Of signed values by mode."""
        return cls(*(np.abs(modes[each.name]) for each in fields(cls)))

    def crosscut(self, pieces: int) -> "Warped":
        """Of one of several equal lengths: curves fall with the square, twist in proportion, cup stays."""
        curve = pieces**2
        return Warped(self.twist_deg / pieces, self.crook_mm / curve, self.bow_mm / curve, self.cup_mm)


@dataclass(frozen=True, slots=True)
class Sawn:
    """Sizes of pieces off the saw [mm], arrays that broadcast to those of a :class:`Warped`.

    :param rounded_mm: width that goes with rounded factory edges
    """

    width_mm: Array
    thickness_mm: Array
    length_mm: Array
    rounded_mm: Array

    @classmethod
    def of(cls, lot: BoardArrays, length_mm: Array, edges: str) -> "Sawn":
        """The pieces of a lot, cut to a length, shape (boards, pieces, 1)."""
        return cls(
            (lot.right_mm - lot.left_mm)[..., None],
            (lot.high_mm - lot.low_mm)[..., None],
            length_mm[:, None, None],
            _rounded_mm(lot, edges)[..., None],
        )

    def of_board(self, number: int) -> "Sawn":
        """Those of one board of the lot, shape (pieces, 1)."""
        return Sawn(*(getattr(self, each.name)[number] for each in fields(self)))

    def crosscut(self, pieces: int) -> "Sawn":
        """One of several equal lengths."""
        return replace(self, length_mm=self.length_mm / pieces)


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of a strip, and so whether it cleans up: the one rule for it.

    In a lamination clamps take its twist up to 3 degrees, its bow up to 50 lbf and its crook up to 3/16 in;
    what is left of the bow is planed off, and as much crook again is jointed off. Free, all of it is milled.

    :param use: of :data:`USES`
    :param finished_width_mm, finished_thickness_mm: that it must keep, None for a common allowance
    :param stiffness_gpa: along the grain, None where no table gives it: then all bow is taken to close
    """

    use: str = "lamination"
    finished_width_mm: float | None = None
    finished_thickness_mm: float | None = None
    stiffness_gpa: float | None = None

    def takes_width_mm(self, warped: Warped, sawn: Sawn) -> Array:
        """Width that goes to make both edges straight and parallel."""
        held = CAUL_CROOK_MM if self.use == "lamination" else 0.0
        return width_loss_mm(np.maximum(warped.crook_mm - held, 0.0)) + sawn.rounded_mm + 2.0 * CLEAN_UP_MM

    def takes_thickness_mm(self, warped: Warped, sawn: Sawn) -> Array:
        """Thickness that goes to make both faces flat and parallel."""
        bow, lift = warped.bow_mm, np.zeros_like(warped.bow_mm)
        if self.use == "free":
            face = np.maximum(sawn.width_mm, sawn.thickness_mm)
            lift = np.asarray(corner_lift_mm(face, warped.twist_deg))
        else:
            bow = np.maximum(bow - self._closes_mm(sawn), 0.0)
        return thickness_loss_mm(bow, warped.cup_mm, lift) + 2.0 * CLEAN_UP_MM

    def cleans_up(self, warped: Warped, sawn: Sawn) -> NDArray[np.bool_]:
        """Whether pieces do, true or false."""
        width, thick = (
            SPARE_MM if finished is None else whole - finished
            for whole, finished in (
                (sawn.width_mm, self.finished_width_mm),
                (sawn.thickness_mm, self.finished_thickness_mm),
            )
        )
        # Rounded edges go when a top is flattened, or lie on its underside; a loose strip keeps them.
        sawn = replace(sawn, rounded_mm=np.zeros_like(sawn.rounded_mm))
        good = self.takes_width_mm(warped, sawn) <= width
        good &= self.takes_thickness_mm(warped, sawn) <= thick
        if self.use == "lamination":
            good &= warped.twist_deg <= CLOSING_TWIST_DEG
            good &= warped.crook_mm <= MOST_CROOK_MM
        return good

    def _closes_mm(self, sawn: Sawn) -> Array | float:
        """Bow that clamps take out of the finished strip [mm]."""
        if self.stiffness_gpa is None:
            return np.inf
        thickness = self.finished_thickness_mm or sawn.thickness_mm - SPARE_MM
        for_one = closing_force_kn(sawn.width_mm, thickness, sawn.length_mm, 1.0, self.stiffness_gpa)
        return CLOSING_KN / np.maximum(np.asarray(for_one), 1e-9)


def stiffness_gpa(wood: Wood) -> float | None:
    """Mean stiffness along the grain at 12 % of what the wood may be [GPa]; None where no table gives it."""
    found = [
        across.stiffness_along_gpa
        for member in wood.members
        for across in member.across_grain
        if across.condition == "12 %" and across.stiffness_along_gpa is not None
    ]
    return sum(found) / len(found) if found else None


def _rounded_mm(lot: BoardArrays, edges: str) -> Array:
    """Width that goes with the rounded factory edges of the pieces of a lot [mm]."""
    if edges != "plane":
        return np.zeros_like(lot.left_mm)
    half = lot.width_mm[:, None] / 2.0
    at_edge = (np.abs(lot.left_mm + half) < 0.01).astype(int) + (np.abs(lot.right_mm - half) < 0.01)
    return ROUNDED_EDGE_MM * at_edge


@results
class Step:
    """What a step of the work takes of a strip, and what it leaves."""

    strip: Annotated[int, Shown("strip")]
    step: Annotated[str, Shown("step")]
    takes_width_mm: Annotated[float, Shown("takes\nwidth", FINE_LENGTH)]
    takes_thickness_mm: Annotated[float, Shown("takes\nthickness", FINE_LENGTH)]
    leaves_width_mm: Annotated[float, Shown("leaves\nwidth", FINE_LENGTH)]
    leaves_thickness_mm: Annotated[float, Shown("leaves\nthickness", FINE_LENGTH)]


def steps(
    number: int, piece: Piece, parent_mm: tuple[float, float], takes_mm: tuple[float, float]
) -> list[Step]:
    """The stock budget of a piece: what each step removes, and what it leaves.

    :param parent_mm: width and thickness of the board
    :param takes_mm: width and thickness that milling takes, as expected
    """
    width, thickness = piece.width_mm, piece.thickness_mm
    taken = (
        ("rip" if thickness == parent_mm[1] else "resaw", parent_mm[0] - width, parent_mm[1] - thickness),
        ("rest", 0.0, 0.0),
        ("face joint", 0.0, takes_mm[1] - CLEAN_UP_MM),
        ("edge joint", takes_mm[0] - CLEAN_UP_MM, 0.0),
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


def _row(number: int, step: str, taken: tuple[float, float], left: Sequence[float]) -> Step:
    return Step(
        strip=number,
        step=step,
        takes_width_mm=taken[0],
        takes_thickness_mm=taken[1],
        leaves_width_mm=left[0],
        leaves_thickness_mm=left[1],
    )


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
