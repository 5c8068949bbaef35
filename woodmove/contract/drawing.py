"""What a question draws, as plain shapes in base units: whoever lays them out knows no result.

A drawing with axes is a chart: its numbers are those of the axes' quantities. One without is to scale, in
millimetres, x to the right and y up.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal, TypeAlias

from woodmove.contract.notes import Note
from woodmove.contract.quantity import Quantity
from woodmove.contract.ranges import Range

Text: TypeAlias = Note | str
# A number in the quantity of its axis, or a day.
Place: TypeAlias = float | date
# What a shape stands for; how that looks is for the medium.
Role: TypeAlias = Literal["main", "other", "limit", "now", "wood", "cut", "waste", "guide"]


@dataclass(frozen=True, slots=True)
class Axis:
    """An axis of a chart.

    :param label: what runs along it, in lower case; an empty one upward is of places that have no scale
    :param quantity: of its numbers; None for days, and for plain counts
    :param names: of its places 1, 2, 3, ..., where they have names, such as months
    """

    label: str
    quantity: Quantity | None = None
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Band:
    """What lies between two lines: where a number is in nine cases of ten, or what is allowed.

    :raises ValueError: not as many of one as of the other
    """

    x: tuple[Place, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    label: Text = ""
    role: Role = "main"

    def __post_init__(self) -> None:
        if not len(self.x) == len(self.low) == len(self.high):
            raise ValueError("a band has as many bounds as places")


@dataclass(frozen=True, slots=True)
class Line:
    """Points joined by straight lines; a single one is a mark.

    :raises ValueError: not as many of one as of the other
    """

    x: tuple[Place, ...]
    y: tuple[float, ...]
    label: Text = ""
    role: Role = "main"

    def __post_init__(self) -> None:
        if len(self.x) != len(self.y) or not self.x:
            raise ValueError("a line has as many places as numbers, one at the least")


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle by its lower left corner, its corners rounded: a board, a rail, a slot. One as wide as
    high, rounded by half of that, is a round hole.

    :param says: what is written beside it in full size, a line each
    """

    x: float
    y: float
    width: float
    height: float
    label: Text = ""
    role: Role = "wood"
    corner: float = 0.0
    says: tuple[Text, ...] = ()


@dataclass(frozen=True, slots=True)
class Label:
    """Words at a place."""

    x: Place
    y: float
    text: Text


Shape: TypeAlias = Band | Line | Box | Label


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing that a question gives beside its answer.

    :param key: its own among those of the question
    :param title: as printed over it
    :param says: what it shows, for who cannot see it
    :param shapes: those behind first
    :param x: the axis to the right, None for a drawing to scale
    :param y: the axis upward, None for a drawing to scale
    :param remark: what the reader must know of it: what is drawn larger than it is, say
    :param full_size: True for one that is laid on the work, at 1:1
    """

    key: str
    title: str
    says: Text
    shapes: tuple[Shape, ...]
    x: Axis | None = None
    y: Axis | None = None
    remark: Text = ""
    full_size: bool = False


def band_of(x: Sequence[Place], ranges: Sequence[Range], label: Text = "", role: Role = "main") -> Band:
    """The band of Ranges."""
    return Band(
        tuple(x), tuple(one.low for one in ranges), tuple(one.high for one in ranges), label, role
    )  # fmt: skip


def line_of(x: Sequence[Place], ranges: Sequence[Range], label: Text = "", role: Role = "main") -> Line:
    """What is expected of Ranges."""
    return Line(tuple(x), tuple(one.expected for one in ranges), label, role)
