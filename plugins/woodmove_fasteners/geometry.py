"""Slot geometry: how far a screw travels, and the slot that lets it.

The screw stands in the top and moves with it; the slot is in the rigid base. Distances are from the
fixed point, along which the top does not move against the base.
"""

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


@dataclass(frozen=True, slots=True)
class Slot:
    """A slot, and the screw in it on the day of assembly.

    :param position_mm: of the screw, from the front edge of the top
    :param distance_mm: of the screw from the fixed point, positive toward the back
    :param travel_out: away from the fixed point [mm]
    :param travel_in: toward it [mm]
    :param length: end to end [mm]
    :param width_mm: across the travel: the clearance in which the screw slides
    """

    position_mm: float
    distance_mm: float
    travel_out: Range
    travel_in: Range
    length: Range
    width_mm: float

    @property
    def slides(self) -> bool:
        """False where a round hole will do."""
        return self.travel_out.high + self.travel_in.high > NEGLIGIBLE_MM

    @property
    def cut_start_mm(self) -> float:
        """Centre of the screw from the inner end of the travel [mm], in the slot as it is to be cut."""
        return self.travel_in.high if self.slides else 0.0

    @property
    def cut_length_mm(self) -> float:
        """The slot to cut, end to end [mm]: it covers both travels with their doubt."""
        return self.width_mm + (self.travel_out.high + self.travel_in.high if self.slides else 0.0)

    @property
    def ends_mm(self) -> tuple[float, float]:
        """Front and back end of the slot as it is to be cut, from the front edge of the top [mm]."""
        outward = self.cut_length_mm - self.width_mm - self.cut_start_mm
        toward_back = self.distance_mm >= 0
        before, behind = (self.cut_start_mm, outward) if toward_back else (outward, self.cut_start_mm)
        half = self.width_mm / 2
        return self.position_mm - before - half, self.position_mm + behind + half
