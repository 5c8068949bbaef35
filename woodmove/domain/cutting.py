"""A cut list: the parts that are wanted, the boards to cut them from, and how a board is cut up."""

from dataclasses import dataclass
from math import inf


@dataclass(frozen=True, slots=True)
class Part:
    """Parts alike [mm]: as thick as the board, the grain along the length."""

    name: str
    width_mm: float
    length_mm: float
    count: int


@dataclass(frozen=True, slots=True)
class Stock:
    """A board as the cut list sees it [mm].

    :param widths_mm: what can be ripped: the whole width, or what is left on either side of the pith
    :param usable_mm: its length without the bad ends
    :param longest_mm: a part is at most as long: that of a twisted board
    :param pith: True where its middle is thrown out
    """

    name: str
    width_mm: float
    widths_mm: tuple[float, ...]
    length_mm: float
    usable_mm: float
    longest_mm: float = inf
    pith: bool = False

    @property
    def face_mm2(self) -> float:
        """Its lumber, bad ends and pith and all."""
        return self.width_mm * self.length_mm

    @property
    def usable_mm2(self) -> float:
        """What parts can come out of."""
        return sum(self.widths_mm) * self.usable_mm

    @property
    def poor(self) -> bool:
        """True for what goes back first: twisted, or with its pith in it."""
        return self.pith or self.longest_mm < inf


@dataclass(frozen=True, slots=True)
class Lane:
    """A strip of a length of board: the parts, by their place in the list, that are crosscut from it."""

    width_mm: float
    parts: tuple[int, ...]
    side: int = 0


@dataclass(frozen=True, slots=True)
class Length:
    """A piece of a board between two crosscuts, and the strips that are ripped from it."""

    length_mm: float
    lanes: tuple[Lane, ...]


@dataclass(frozen=True, slots=True)
class CutBoard:
    """A board and its cuts: crosscut into lengths, these ripped into strips, those crosscut into parts.

    :param left_mm: what is kept off its end in full width
    """

    stock: Stock
    lengths: tuple[Length, ...]
    left_mm: float

    def gives(self) -> dict[int, int]:
        """How many of each part, by its place in the list."""
        found: dict[int, int] = {}
        for length in self.lengths:
            for lane in length.lanes:
                for part in lane.parts:
                    found[part] = found.get(part, 0) + 1
        return found
