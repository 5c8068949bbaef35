"""Finishes: a film that slows moisture on its way in and out, and never stops it."""

from dataclasses import dataclass

from woodmove.shop.species import Known


@dataclass(frozen=True, slots=True)
class Finish:
    """A finish by what it does to moisture.

    :param key: as typed after ``--finish``
    :param coats: how many coats the values stand for
    :param resistance_s_m: resistance that it adds to the surface [s/m], on the basis of moisture content
    :param effectiveness_pct: measured moisture-excluding effectiveness [%] by days of exposure
    :param fitted_pct: the same from `resistance_s_m` alone: how well one number tells the whole
    """

    key: str
    name: str
    coats: int
    resistance_s_m: float
    effectiveness_pct: dict[int, float]
    fitted_pct: dict[int, float]
    known: Known
    aliases: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not 0 <= self.resistance_s_m < 1e15:
            raise ValueError(f"{self.key}: a resistance is at least 0, not {self.resistance_s_m!r}")

    def emission_m_s(self, bare_m_s: float) -> float:
        """Surface emission with the finish on it [m/s], from that of the bare surface."""
        return 1.0 / (1.0 / bare_m_s + self.resistance_s_m)
