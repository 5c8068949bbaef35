"""Screws and washers, as their standards give them."""

from dataclasses import dataclass

from woodmove.contract.values import of_values
from woodmove.domain.species import Known


@dataclass(frozen=True, slots=True)
class Screw:
    """A screw by its sizes [mm].

    :param key: as typed after ``--screw``
    :param major_mm: outside of the thread, or the shank where that is thicker
    :param root_mm: core of the thread, None where no table gives it
    :param head_mm: largest diameter of the head
    :param countersunk: True for a cone under the head: it centres itself in a slot and locks it
    :param clearance_mm: hole in which it slides freely
    :param inch: True for one of the inch system: its stock lengths and its washers are too
    """

    key: str
    name: str
    standard: str
    major_mm: float
    root_mm: float | None
    head_mm: float | None
    countersunk: bool
    clearance_mm: float
    known: Known
    aliases: tuple[str, ...] = ()
    inch: bool = False

    @of_values
    def __post_init__(self) -> None:
        if not 0 < self.major_mm < 30:
            raise ValueError(f"{self.key}: a screw is between 0 and 30 mm thick")
        # Comparisons stand so that NaN, which compares with nothing, is refused too.
        if not self.major_mm < self.clearance_mm < 60:
            raise ValueError(f"{self.key}: a clearance hole is larger than the screw")
        if self.root_mm is not None and not 0 < self.root_mm <= self.major_mm:
            raise ValueError(f"{self.key}: the core of a thread is thinner than its outside")
        if self.head_mm is not None and not self.major_mm < self.head_mm < 100:
            raise ValueError(f"{self.key}: a head is wider than its screw")


@dataclass(frozen=True, slots=True)
class Washer:
    """A flat washer by its sizes [mm]: hole, outside, thickness.

    :param inch: True for one of the inch system
    """

    key: str
    name: str
    standard: str
    inside_mm: float
    outside_mm: float
    thickness_mm: float
    known: Known
    aliases: tuple[str, ...] = ()
    inch: bool = False

    @of_values
    def __post_init__(self) -> None:
        if not 0 < self.inside_mm < self.outside_mm:
            raise ValueError(f"{self.key}: a washer is wider than its hole")
        if not 0 < self.thickness_mm < 20:
            raise ValueError(f"{self.key}: a washer is between 0 and 20 mm thick")
