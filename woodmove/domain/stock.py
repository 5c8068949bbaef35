"""A board as a maker sees it before the saw, how it will be cut, and what came of the first cut."""

import math
from dataclasses import dataclass, field
from functools import cache

from woodmove.contract.refusal import Refusal
from woodmove.domain.board import BoardSize, in_both, require_pith_within
from woodmove.domain.top import KERF_MM

# Radius of the rounded edges of surfaced framing lumber (status: common practice).
ROUNDED_EDGE_MM = 3.175
# Edges of the board that the strips are cut from: how the rounded factory edges are dealt with.
EDGES = ("plane", "rip", "keep")
# Where the pith is, in words: depth below the nearer face, and its standard deviation [mm] (status:
# judgement; "well-off" is beyond the 75 mm within which severe twist is found, source: spruce-studs).
PITH_WORDS = {"in-it": None, "under-the-face": (12.0, 8.0), "well-off": (110.0, 20.0)}
# What became of the wood in the kiln: held by the stack above it, or free to twist.
DRIED = ("stack", "free")


@dataclass(frozen=True, slots=True)
class Pith:
    """Where the pith lies, as read on the end grain; None for what nobody read.

    :param depth_mm: below the wide face nearer to it; negative inside the board
    :param offset_mm: from mid-width toward the far edge, away from the edge that strips are cut from
    :param inside: True where it is seen in the board, wherever that is
    :param ring_radius_mm: radius of the ring through the middle of the end grain
    :param depth_sd_mm: how far off the depth may be, None for that of a reading
    """

    depth_mm: float | None = None
    offset_mm: float | None = None
    inside: bool = False
    ring_radius_mm: float | None = None
    depth_sd_mm: float | None = None

    @property
    def in_board(self) -> bool:
        """True where it lies in the board: as seen, or by its depth."""
        return self.inside or (self.depth_mm is not None and self.depth_mm < 0)

    @classmethod
    def in_words(cls, word: str, offset_mm: float | None = None) -> "Pith":
        """As a maker says it without a rule.

        :param word: of :data:`PITH_WORDS`
        """
        depth = PITH_WORDS[word]
        if depth is None:
            return cls(None, offset_mm, True)
        return cls(depth[0], offset_mm, depth_sd_mm=depth[1])


@dataclass(frozen=True, slots=True)
class Prong:
    """A prong test: how far the tip of a prong moved inward, and how long the prong is [mm]."""

    inward_mm: float
    length_mm: float


@dataclass(frozen=True, slots=True)
class FirstCut:
    """What the first strip did when it was ripped off.

    :param kerf_closed_mm: by how much the kerf closed (negative: opened), measured at `kerf_at_mm`
    :param kerf_at_mm: distance from the blade
    :param strip_crook_mm: height of the strip's curve in the plane of the board, over the board's length;
        positive where it curled toward the cut
    """

    kerf_closed_mm: float | None = None
    kerf_at_mm: float | None = None
    strip_crook_mm: float | None = None


@dataclass(frozen=True, slots=True)
class SawnBoard:
    """A board before it is cut; None for what nobody measured.

    :param name: as written on it
    :param core_less_shell_points: MC of the middle half less that of the outer quarters
    :param slope_deg: slope of grain on the wide face, left-handed positive
    :param crook_mm: already there; positive where the edge that strips are cut from is the round one
    :param bow_mm: already there; positive where the pith side is the hollow one
    :param twist_mm: already there: lift of a corner over the board's width and length, either way
    :param reaction: True where compression wood is seen along one edge or face
    :param dried: how it was held in the kiln, of :data:`DRIED`
    :raises Refusal: a pith beyond the far face, or in the board and below it; a slope steeper than 1 in 1
    """

    name: str
    size: BoardSize
    length_mm: float
    mc_now_pct: float | None = None
    core_less_shell_points: float | None = None
    pith: Pith = field(default_factory=Pith)
    slope_deg: float | None = None
    crook_mm: float | None = None
    bow_mm: float | None = None
    prong: Prong | None = None
    first_cut: FirstCut | None = None
    twist_mm: float | None = None
    reaction: bool | None = None
    dried: str = "stack"

    @property
    def seen(self) -> bool:
        """True where more is known of it than its size and moisture."""
        readings = (self.slope_deg, self.crook_mm, self.bow_mm, self.prong, self.first_cut, self.twist_mm)
        return self.pith != Pith() or bool(self.reaction) or any(each is not None for each in readings)

    def __post_init__(self) -> None:
        depth = self.pith.depth_mm
        if self.twist_mm is not None and self.twist_mm >= self.size.width_mm:
            raise Refusal(
                "TWIST_OVER_WIDTH",
                f"A corner cannot lift {in_both(self.twist_mm)}: the board is {in_both(self.size.width_mm)} "
                "wide.",
                "Twist is the lift of one corner while the other three touch a flat table.",
                "Measure it again, and write twist=3/16in, say.",
                fields=("twist_mm",),
            )
        if depth is not None:
            require_pith_within(depth, self.size.thickness_mm)
        if depth is not None and depth >= 0 and self.pith.inside:
            raise Refusal(
                "PITH_TWICE",
                f"The pith is said to be in the board, and {in_both(depth)} below its face.",
                "A pith that is in the board has a negative depth, or none.",
                "Leave out pith=in-it, or write the depth from the face into the board, as "
                "pith_depth=-3/4in.",
                fields=("pith_place", "pith_depth_mm"),
            )
        if self.slope_deg is not None and abs(self.slope_deg) > 45.0 + 1e-9:
            raise Refusal(
                "SLOPE_TOO_STEEP",
                "The slope of grain is steeper than 1 in 1.",
                "Slope of grain is how far the grain runs along the board while it moves 1 sideways: sawn "
                "lumber lies between 1 in 4 and 1 in 50.",
                "Scribe along the grain, measure the run for 1 in sideways, and write slope=1:12, say.",
                fields=("slope_deg",),
            )


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of a board's section [mm]: across from mid-width, and through from the near (pith) face."""

    left_mm: float
    right_mm: float
    low_mm: float
    high_mm: float

    @property
    def width_mm(self) -> float:
        """Across the board."""
        return self.right_mm - self.left_mm

    @property
    def thickness_mm(self) -> float:
        """Through the board."""
        return self.high_mm - self.low_mm


@dataclass(frozen=True, slots=True)
class Cut:
    """How a board will be cut.

    :param into: number of strips, "halves", "resaw", or None for as many as fit (or the whole)
    :param strip_width_mm: as it comes off the saw, None for equal strips
    :param edges: what becomes of the rounded factory edges: "plane", "rip" or "keep"
    :param at_most: True for boards of several sizes: one too narrow for so many strips gives as many as fit
    """

    into: int | str | None = None
    strip_width_mm: float | None = None
    kerf_mm: float = KERF_MM
    edges: str = "plane"
    at_most: bool = False

    @property
    def whole(self) -> bool:
        """True where the board is not cut lengthwise."""
        return self.into in (None, 1) and self.strip_width_mm is None

    def pieces(self, size: BoardSize) -> tuple[Piece, ...]:
        """The pieces of a board, all off the edge that strips are cut from; for a resaw the half nearer the
        pith first.

        :raises Refusal: strips that are wider than the board, or more than fit
        """
        return self.layouts(size)[0]

    def layouts(self, size: BoardSize) -> tuple[tuple[Piece, ...], ...]:
        """The pieces of a board by where its waste is left, in the order in which they are cut: at the far
        edge, then after fewer strips, and last at the near edge. One way only where a kerf is all the waste.

        :raises Refusal: strips that are wider than the board, or more than fit
        """
        return _layouts(self, size)


@cache
def _layouts(cut: Cut, size: BoardSize) -> tuple[tuple[Piece, ...], ...]:
    width, thickness = size.width_mm, size.thickness_mm
    if cut.into == "resaw":
        half = (thickness - cut.kerf_mm) / 2.0
        if half <= 0:
            raise _too_many(
                f"a resaw of a {size}", "The kerf takes all of the thickness.", "Do not resaw it."
            )
        ends = ((0.0, half), (thickness - half, thickness))
        return (tuple(Piece(-width / 2, width / 2, low, high) for low, high in ends),)
    if cut.whole:
        return ((Piece(-width / 2, width / 2, 0.0, thickness),),)
    trim = ROUNDED_EDGE_MM + cut.kerf_mm if cut.edges == "rip" else 0.0
    room = width - 2.0 * trim
    strip = cut.strip_width_mm
    count = 2 if cut.into == "halves" else cut.into
    if strip is not None and strip > room:
        raise Refusal(
            "STRIP_WIDER_THAN_BOARD",
            f"Strips of {in_both(strip)} are wider than a {size}, which offers {in_both(room)}.",
            "A strip is at most as wide as the board, less its rounded edges where they are ripped off.",
            "Choose a wider board or narrower strips.",
            fields=("strip_width_mm",),
        )
    if strip is None:
        assert isinstance(count, int)
        strip = (room - (count - 1) * cut.kerf_mm) / count
        if strip <= cut.kerf_mm:
            raise _too_many(
                f"{count} strips of a {size}",
                "The kerfs take most of it.",
                "Ask for fewer strips, such as --into 2.",
            )
    fit = math.floor((room + cut.kerf_mm) / (strip + cut.kerf_mm) + 1e-9)
    if count is None or (cut.at_most and isinstance(count, int)):
        count = fit if count is None else min(int(count), fit)
    if not isinstance(count, int) or count > fit:
        raise _too_many(
            f"{count} strips of {in_both(strip)} with a kerf of {in_both(cut.kerf_mm)} between",
            f"A {size} yields {fit} of them.",
            f"Type --into {fit}, or narrower strips.",
        )
    waste = room - count * (strip + cut.kerf_mm)
    starts = [-width / 2 + trim + number * (strip + cut.kerf_mm) for number in range(count)]
    near = [Piece(start, start + strip, 0.0, thickness) for start in starts]
    far = [Piece(-piece.right_mm, -piece.left_mm, 0.0, thickness) for piece in near]
    splits = range(count, -1, -1) if waste > 0 else (count,)
    return tuple((*near[:first], *far[: count - first]) for first in splits)


def _too_many(what: str, allowed: str, instead: str) -> Refusal:
    return Refusal(
        "TOO_MANY_STRIPS",
        f"There is no room for {what}.",
        allowed,
        instead,
        fields=("into",),
    )
