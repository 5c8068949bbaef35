"""Boards as sold: nominal and dressed sizes."""

import re
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
