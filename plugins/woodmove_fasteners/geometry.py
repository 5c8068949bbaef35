"""Slot geometry: how far a screw travels, and the slot that lets it, as a shop cuts it.

The screw stands in the top and moves with it; the slot is in the rigid base. Distances are from the
fixed point, along which the top does not move against the base.
"""

import math
from dataclasses import dataclass

import numpy as np

from woodmove.extend.api import Range

# Movement that a screw in wood takes up by its own give (status: judgement, from slip moduli of about
# 2 to 4 kN/mm and the stiffness of the wood).
NEGLIGIBLE_MM = 0.25


def travel_mm(distance_mm, coefficient_per_pct, mc_now_pct, mc_dry_pct, mc_wet_pct):
    """Travel of a screw away from the fixed point and toward it [mm], both at least 0.

    Covers the hull of the moisture content at assembly and the extremes in service: wood that is
    assembled wetter than it will ever be again still has to travel down from there.

    :param distance_mm: from the fixed point, across the grain of the top
    :param coefficient_per_pct: of the top's width [per % MC]
    :param mc_now_pct: at assembly [%]
    :returns: (out, in), of the broadcast shape
    Derived: swelling x C (max(now, wet) - now), shrinking x C (now - min(now, dry)); together
    x C (max(now, wet) - min(now, dry)).
    """
    reach = np.abs(distance_mm) * coefficient_per_pct
    out = reach * (np.maximum(mc_now_pct, mc_wet_pct) - mc_now_pct)
    back = reach * (mc_now_pct - np.minimum(mc_now_pct, mc_dry_pct))
    return out, back


def up_to(mm: float, step_mm: float) -> float:
    """A length rounded up to a step; a hair above one is rounding of the computer's, and no reason to cut a
    step more."""
    return step_mm * math.ceil(mm / step_mm - 1e-6)


@dataclass(frozen=True, slots=True)
class Slot:
    """A slot as it is cut, and the screw in it on the day of assembly.

    Width and ways are on the step of the shop, so that what is printed adds up, and each side holds its
    travel 19 times in 20. Together the ways have a step to spare: rounded each by itself, a top that is
    assembled wetter could get a shorter slot.

    :param position_mm: of the screw, from the front edge of the top
    :param distance_mm: of the screw from the fixed point, positive toward the back
    :param travel_out: away from the fixed point [mm]
    :param travel_in: toward it [mm]
    :param travel: both together [mm]
    :param width_mm: of the bit
    :param step_mm: of the shop
    """

    position_mm: float
    distance_mm: float
    travel_out: Range
    travel_in: Range
    travel: Range
    width_mm: float
    step_mm: float

    @property
    def slides(self) -> bool:
        """False where a round hole will do."""
        return self.travel_out.high + self.travel_in.high > NEGLIGIBLE_MM

    @property
    def cut_out_mm(self) -> float:
        """Way of the screw away from the fixed point, in the slot as it is cut."""
        if not self.slides:
            return 0.0
        both = up_to(self.travel_out.high + self.travel_in.high, self.step_mm) + self.step_mm
        return both - self.cut_in_mm

    @property
    def cut_in_mm(self) -> float:
        """Way of the screw toward it."""
        return up_to(self.travel_in.high, self.step_mm) if self.slides else 0.0

    @property
    def cut_length_mm(self) -> float:
        """The slot, end to end."""
        return self.width_mm + self.cut_out_mm + self.cut_in_mm

    @property
    def screw_from_end_mm(self) -> float:
        """Middle of the screw from the inner end of the slot."""
        return self.cut_in_mm + self.width_mm / 2

    @property
    def ends_mm(self) -> tuple[float, float]:
        """Front and back end of the slot, from the front edge of the top [mm]."""
        toward_back = self.distance_mm >= 0
        before, behind = (
            (self.cut_in_mm, self.cut_out_mm) if toward_back else (self.cut_out_mm, self.cut_in_mm)
        )
        half = self.width_mm / 2
        return self.position_mm - before - half, self.position_mm + behind + half
