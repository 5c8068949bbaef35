"""Finishes: a film that slows moisture on its way in and out, and never stops it."""

from dataclasses import dataclass

from woodmove.contract.values import of_values
from woodmove.domain.species import Known
from woodmove.physics.arrays import FloatOrArray


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

    @of_values
    def __post_init__(self) -> None:
        if not 0 <= self.resistance_s_m < 1e15:
            raise ValueError(f"{self.key}: a resistance is at least 0, not {self.resistance_s_m!r}")
        for value in (*self.effectiveness_pct.values(), *self.fitted_pct.values()):
            if not -50 <= value <= 100:
                raise ValueError(f"{self.key}: an effectiveness is at most 100 %, not {value!r}")

    def emission_m_s(self, bare_m_s: FloatOrArray) -> FloatOrArray:
        """Surface emission with the finish on it [m/s], from that of the bare surface."""
        return 1.0 / (1.0 / bare_m_s + self.resistance_s_m)


@dataclass(frozen=True, slots=True)
class Faces:
    """The two wide faces of a top, as moisture meets them.

    :param finish: on them, None for bare wood
    :param finished: "both", or "top" for the upper face alone
    :param underside: "open" to the air, or "closed" by a shelf, a plate or a wall
    :param covered: True where a mat or a sheet lies on the upper face and stays
    """

    finish: Finish | None = None
    finished: str = "both"
    underside: str = "open"
    covered: bool = False

    @property
    def alike(self) -> bool:
        """True if both faces breathe alike."""
        closed = self.underside == "closed"
        return closed == self.covered and (self.finish is None or self.finished == "both")

    def emissions_m_s(self, bare_m_s: FloatOrArray) -> tuple[FloatOrArray, FloatOrArray]:
        """Surface emission of the upper and the lower face [m/s], from that of a bare one."""
        coated = bare_m_s if self.finish is None else self.finish.emission_m_s(bare_m_s)
        lower = coated if self.finished == "both" else bare_m_s
        shut = 0.0 * bare_m_s
        return shut if self.covered else coated, shut if self.underside == "closed" else lower

    def __str__(self) -> str:
        coat = "bare" if self.finish is None else f"{self.finish.name} on {self.finished}"
        return f"{coat}, underside {self.underside}" + (", a mat on top" if self.covered else "")
