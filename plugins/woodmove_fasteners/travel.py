"""How far each screw of a row travels in its year: the top, its season and its doubt, made into slots."""

from dataclasses import dataclass, replace

import numpy as np

from woodmove.extend.api import Draws, Refusal, Season, Top
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

    def slots(self, bound: str) -> list[Slot]:
        """The slots of the row.

        :param bound: "air": for a top as wet and dry as its air; "lagged": slowed by its thickness and finish
        :raises Refusal: how the top lags is not known
        """
        bounds = self._bounds_pct(bound)
        return [self._slot(position, bounds) for position in self.positions_mm]

    def farthest(self, bound: str) -> Slot:
        """The slot of the screw that travels farthest."""
        position = max(self.positions_mm, key=lambda mm: abs(mm - self.fixed_mm))
        return self._slot(position, self._bounds_pct(bound))

    def assembled_at(self, mc_pct: float) -> "Row":
        """The same row, put together at another moisture content."""
        return replace(self, top=replace(self.top, mc_now_pct=mc_pct))

    def _bounds_pct(self, bound: str) -> tuple[Array, Array]:
        """Driest and dampest moisture content in service [%], in draws."""
        if bound == "air":
            return movement.extremes(self.season, self.draws)
        if self.course is None:
            raise Refusal(
                "NO_LAG",
                "How far the top lags behind its air is not known.",
                "The lag needs a place, and a species whose density is known.",
                "Leave out --bound lagged, or give --place burlington instead of the extremes.",
                fields=("bound",),
            )
        return self.course.low_pct, self.course.high_pct

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
