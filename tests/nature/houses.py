"""Four houses in Finland, lived in, for a year and a half: indoor air from outdoor air, month by month.

A month is foretold from its own outdoor air. Its EMC and its RH count as a reading each.
"""

import numpy as np

from woodmove.advice.doubt.inputs import BOUND_90
from woodmove.domain.air import MonthlyAir
from woodmove.physics.sorption import emc_pct, rh_for_mc_pct

from . import rooms
from .coverage import Tried, Unit
from .evidence import read


def tried() -> Tried:
    """The houses against the room of a request that says nothing of it."""
    found = read("houses", 76)
    units = []
    for name in dict.fromkeys(row["house"] for row in found):
        outdoor_c, outdoor_rh, indoor_c, indoor_rh = np.array(
            [
                [float(row[column]) for row in found if row["house"] == name]
                for column in ("outdoor_c", "outdoor_rh_pct", "indoor_c", "indoor_rh_pct")
            ]
        )
        room, sd = rooms.house(MonthlyAir(outdoor_c, outdoor_rh))
        low, high = (np.maximum(room.emc_pct + sign * BOUND_90 * sd, 0.1) for sign in (-1.0, 1.0))
        emc = emc_pct(indoor_c, indoor_rh)
        rh_low, rh_high = (rh_for_mc_pct(room.temp_c, bound) for bound in (low, high))
        inside = ((low <= emc) & (emc <= high), (rh_low <= indoor_rh) & (indoor_rh <= rh_high))
        units.append(Unit(name, tuple(np.concatenate(inside).tolist())))
    return Tried(
        "houses in Finland: EMC and RH by month",
        tuple(units),
        "one house is damper than the others in autumn",
    )
