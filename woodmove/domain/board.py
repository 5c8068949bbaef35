"""Boards as sold: nominal and dressed sizes."""

import re
from collections.abc import Callable
from dataclasses import dataclass

from woodmove.contract.refusal import Refusal

# Minimum dressed, dry sizes of softwood dimension lumber [in] by nominal size
# (source: ps-20, status: published). Nominal 1 in is a board, the rest dimension lumber.
_DRESSED_THICKNESS_IN = {"1": 0.75, "2": 1.5, "2-1/2": 2.0, "3": 2.5, "3-1/2": 3.0, "4": 3.5, "4-1/2": 4.0}
_DRESSED_WIDTH_IN = {
    "2": 1.5, "2-1/2": 2.0, "3": 2.5, "3-1/2": 3.0, "4": 3.5, "4-1/2": 4.0, "5": 4.5, "6": 5.5, "8": 7.25,
    "10": 9.25, "12": 11.25, "14": 13.25, "16": 15.25,
}  # fmt: skip
MM_PER_INCH = 25.4


def in_both(mm: float) -> str:
    """A length in both systems, for a message that is written before anyone asked for one."""
    inches = f"{mm / MM_PER_INCH:.3f}".rstrip("0").rstrip(".")
    return f"{inches} in ({mm:.1f} mm)"


@dataclass(frozen=True, slots=True)
class BoardSize:
    """Section of a board as dressed: `name` as sold ("2x8") or as measured, thickness and width [mm]."""

    name: str
    thickness_mm: float
    width_mm: float

    def __str__(self) -> str:
        return self.name

    @property
    def shares(self) -> "tuple[tuple[BoardSize, float], ...]":
        """The sizes of the lumber, this one, and their shares of its boards."""
        return ((self, 1.0),)


@dataclass(frozen=True, slots=True)
class MixedSizes:
    """Boards of several sizes, from which the strips of one top are ripped.

    :param shares: sizes, and the share of the boards that each makes up, which sum to 1
    """

    shares: tuple[tuple[BoardSize, float], ...]

    @property
    def thickness_mm(self) -> float:
        """Of the thinnest: what all strips can be planed from."""
        return min(size.thickness_mm for size, _ in self.shares)

    @property
    def width_mm(self) -> float:
        """Of the narrowest: what all strips can be ripped from."""
        return min(size.width_mm for size, _ in self.shares)

    @property
    def name(self) -> str:
        """As typed, equal shares left out: ``2x6:1, 2x10:2``."""
        least = min(share for _, share in self.shares)
        if all(share == least for _, share in self.shares):
            return ", ".join(size.name for size, _ in self.shares)
        return ", ".join(f"{size.name}:{share / least:.4g}" for size, share in self.shares)

    def __str__(self) -> str:
        return self.name


Lumber = BoardSize | MixedSizes


def read_lumber(text: str, length_mm: Callable[[str], float]) -> Lumber:
    """Lumber of one size, or of several with the shares of their boards: ``2x6:1, 2x10:2``, equal where none
    is said.

    :param length_mm: reads a length with its unit
    :raises ValueError: no size, a size twice, or shares of some and not of others
    """
    parts = [part.partition(":") for part in text.split(",")]
    sizes = [read_size(size.strip(), length_mm) for size, _, _ in parts]
    if len(sizes) == 1 and not parts[0][1]:
        return sizes[0]
    if len({size.name for size in sizes}) < len(sizes):
        raise ValueError(f"{text!r} names a size twice")
    if len({bool(colon) for _, colon, _ in parts}) > 1:
        raise ValueError(f"{text!r} gives a share of some sizes and not of others")
    shares = [_share(share) if colon else 1.0 for _, colon, share in parts]
    whole = sum(shares)
    return MixedSizes(tuple((size, share / whole) for size, share in zip(sizes, shares, strict=True)))


def _share(text: str) -> float:
    if not re.fullmatch(r"\s*\d+(\.\d+)?\s*", text) or not 0 < float(text) <= 10_000:
        raise ValueError(f"{text.strip()!r} is no share of the boards, such as 2")
    return float(text)


def read_size(text: str, length_mm: Callable[[str], float]) -> BoardSize:
    """A section as sold (``2x10``) or as measured (``50mm x 100mm``).

    :param length_mm: reads a length with its unit
    :raises ValueError: neither
    """
    if not re.search(r"mm|cm|in|[\"']", text):
        try:
            return dressed_size(text.strip())
        except Refusal as unknown:
            raise ValueError(f"{unknown.wrong.rstrip('.')}. {unknown.allowed.rstrip('.')}") from None
    sides = [side.strip() for side in re.split(r"[xX×]", text)]
    parts = [length_mm(side) for side in sides]
    if len(parts) != 2 or not all(1 <= part <= 1000 for part in parts):
        raise ValueError(f"{text!r} is not a thickness and a width between 1 mm and 1 m")
    return BoardSize(" x ".join(sides), min(parts), max(parts))


def require_pith_within(pith_depth_mm: float, thickness_mm: float) -> None:
    """Refuse a pith that lies beyond the far face of its board."""
    if pith_depth_mm < -thickness_mm:
        raise Refusal(
            "PITH_BEYOND_BOARD",
            "The pith lies beyond the far face of the board.",
            "Pith depth is measured down from the face nearest the pith; inside the board it is "
            "negative, and at most one board thickness.",
            "Turn the board over, measure again and type the depth below that face, such as 1in.",
            fields=("pith_depth_mm",),
        )


def dressed_size(nominal: str) -> BoardSize:
    """The dressed, dry size of a nominal one, "2x8" or "2-1/2 x 10".

    :raises Refusal: a size that is not sold
    Source: ps-20.
    """
    parts = [part.strip() for part in re.split(r"[xX×]", nominal)]
    if len(parts) == 2 and parts[0] in _DRESSED_THICKNESS_IN and parts[1] in _DRESSED_WIDTH_IN:
        return BoardSize(
            f"{parts[0]}x{parts[1]}",
            _DRESSED_THICKNESS_IN[parts[0]] * MM_PER_INCH,
            _DRESSED_WIDTH_IN[parts[1]] * MM_PER_INCH,
        )
    raise Refusal(
        "UNKNOWN_NOMINAL_SIZE",
        f"{nominal!r} is not a nominal lumber size.",
        f"Thickness is one of {', '.join(_DRESSED_THICKNESS_IN)}, width one of "
        f"{', '.join(_DRESSED_WIDTH_IN)}.",
        "Type a size as sold, such as 2x8, or the measured size, such as '38mm x 184mm'.",
        fields=("strips_from",),
    )
