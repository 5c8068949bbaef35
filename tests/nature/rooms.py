"""The one place that knows how a room is made of outdoor air: exchange it here, and all sets follow.

``python -m tests.nature`` prints what each kind of room makes of the air of some places, beside what is
recommended for interiors there.
"""

from collections.abc import Iterator

import numpy as np
from tabulate import tabulate

from woodmove.advice.doubt import inputs as doubt
from woodmove.domain.air import MonthlyAir
from woodmove.domain.room import KINDS, NAMED, Room
from woodmove.domain.season import Season
from woodmove.extend.catalogue import Catalogue
from woodmove.physics.arrays import Array

# Interior woodwork and furniture: average and range of pieces [%] (source: fpl-gtr-190 Table 13-2, status:
# published; for places outside the USA none is given).
MOST_OF_THE_USA, DRY_SOUTHWEST, DAMP_COAST = (8, 6, 10), (6, 4, 9), (11, 8, 13)
# The last one is the southernmost place in Finland that there is.
PLACES = {
    "minneapolis": MOST_OF_THE_USA, "chicago": MOST_OF_THE_USA, "burlington": MOST_OF_THE_USA,
    "boston": MOST_OF_THE_USA, "atlanta": MOST_OF_THE_USA, "phoenix": DRY_SOUTHWEST,
    "seattle": MOST_OF_THE_USA, "new-orleans": DAMP_COAST, "helsinki": None,
}  # fmt: skip
# Where the house lies more than this from the average, and why [points].
NEAR_POINTS = 1.5
OUTLIERS = {"new-orleans": "it is taken as cooled; one as open as a garage lives at the 11 % of the table"}
WINTER, SUMMER = [11, 0, 1], [5, 6, 7]

# The room of a request that says nothing of it.
HOUSE = Room("house")


def house(outdoor: MonthlyAir) -> tuple[MonthlyAir, Array]:
    """The air of a lived-in house, and the standard deviation of its EMC by month [points]."""
    inside, _ = HOUSE.air(outdoor)
    emc = inside.emc_pct
    return inside, np.hypot(HOUSE.sd_points(outdoor), abs(emc - emc.mean()) * doubt.YEAR.sd)


def outdoors_sd() -> float:
    """Standard deviation of the EMC of wood outdoors against that of the mean air [points]."""
    return KINDS["open"].sd_points


def made(place: str, kind: str) -> dict[str, float]:
    """Mean EMC [%] of a room in winter, in summer and over its year, and the swing of its months [points]."""
    season = Season.in_room(Catalogue().climates.get(place), Room(kind))
    emc = season.monthly_pct
    assert emc is not None
    return {
        "winter": float(emc[WINTER].mean()),
        "summer": float(emc[SUMMER].mean()),
        "swing": float(np.ptp(emc)),
        "year": float(emc.mean()),
    }


def rows() -> Iterator[tuple[str, ...]]:
    """A row for each kind of room at each place."""
    for place, recommended in PLACES.items():
        told = "none given" if recommended is None else "{} ({} to {})".format(*recommended)
        for number, kind in enumerate(NAMED):
            figures = (f"{value:.1f}" for value in made(place, kind).values())
            yield (place if not number else "", kind, *figures, told if not number else "")


def table() -> str:
    """Them as Markdown, and below it what lies far from what is recommended."""
    headers = ("place", "room", "winter", "summer", "swing", "year", "recommended interior")
    far = [f"The house in {place} lies farther off: {why}." for place, why in OUTLIERS.items()]
    return "\n".join((tabulate(rows(), headers, tablefmt="pipe", disable_numparse=True), "", *far))
