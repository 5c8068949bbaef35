"""How far each screw of a row travels in its year: the top, its season and its doubt, made into slots."""

from dataclasses import dataclass, replace

import numpy as np

from woodmove.extend.api import Draws, Season, Top
from woodmove.extend.science import Array, YearlyMoisture, movement
from woodmove_fasteners.geometry import Slot, travel_mm


@dataclass(frozen=True, slots=True)
class Row:
    """A row of screws across a top, and the year that it stands through.

    :param top: on the day of assembly
    :param course: how it follows its air, None where that is not known
    :param fixed_mm: the line that does not move, from the front edge
    :param positions_mm: of the screws, from the front edge
    :param width_mm: of a slot
    :param step_mm: of the shop
    """

    top: Top
    season: Season
    course: YearlyMoisture | None
    draws: Draws
    fixed_mm: float
    positions_mm: tuple[float, ...]
    width_mm: float
    step_mm: float

    def slots(self) -> list[Slot]:
        """The slots of the row, for a top as wet and dry as its air."""
        bounds = movement.extremes(self.season, self.draws)
        return [self._slot(position, bounds) for position in self.positions_mm]

    def farthest(self) -> Slot:
        """The slot of the screw that travels farthest."""
        return self._farthest(movement.extremes(self.season, self.draws))

    def farthest_lagged(self) -> Slot | None:
        """The same of a top slowed by its thickness and finish; None where nobody knows how it lags."""
        return None if self.course is None else self._farthest((self.course.low_pct, self.course.high_pct))

    def assembled_at(self, mc_pct: float) -> "Row":
        """The same row, put together at another moisture content."""
        return replace(self, top=replace(self.top, mc_now_pct=mc_pct))

    def _farthest(self, bounds: tuple[Array, Array]) -> Slot:
        return self._slot(max(self.positions_mm, key=lambda mm: abs(mm - self.fixed_mm)), bounds)

    def _slot(self, position_mm: float, bounds: tuple[Array, Array]) -> Slot:
        distance = position_mm - self.fixed_mm
        moves = movement.movement(self.top, self.draws, max(abs(distance), 1.0))
        # Above fibre saturation nothing moves.
        dry, wet = (np.minimum(mc, moves.fibre_saturation_pct) for mc in bounds)
        now = movement.mc_now(self.top, self.draws)
        if now is None:
            # Nobody knows where in the slot the screw stands: the whole travel must fit on either side.
            out, _ = travel_mm(distance, moves.width, dry, dry, wet)
            back = out
        else:
            now = np.minimum(now, moves.fibre_saturation_pct)
            out, back = travel_mm(distance, moves.width, now, dry, wet)
        return Slot(
            position_mm,
            distance,
            self.draws.range(out),
            self.draws.range(back),
            self.draws.range(out + back),
            self.width_mm,
            self.step_mm,
        )
