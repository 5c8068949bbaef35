"""woodmove finishes: how much moisture each finish kept out in the published test."""

from collections.abc import Iterable
from math import sqrt
from typing import Any

from woodmove.extend.api import Answer, Assumption, Catalogue, Caution, CommandSpec, Finish, Request, Warning

_DAYS = {1: "1_day_pct", 7: "7_days_pct", 14: "14_days_pct"}

SLOWS = Warning(
    "FINISH_ONLY_SLOWS",
    "A finish slows moisture and never stops it. In the long run finished wood comes to the same EMC as bare "
    "wood: a finish narrows the swing of a season, and does not move its middle.",
)
TEST = Assumption(
    "FINISH_TEST",
    "MEE is 100 % where a finish keeps all moisture out, 0 % where it does no more than bare wood, after so "
    "many days at 90 % RH and 27 °C, of ponderosa pine balanced at 30 % RH. The fitted values come from one "
    "resistance per finish in a simulation of that test; misfit is their root mean square distance from the "
    "printed ones. The size of the specimen, 5/8 x 3 x 5 in, is recalled; air and diffusivity are our own "
    "choice.",
)
ALIKE = Assumption(
    "FINISHED_ALIKE",
    "Both faces, the edges and the end grain carry the same finish, whole and unworn. A top finished on one "
    "face only takes up moisture through the other, and cups.",
)
# Status of both: common practice.
CAUTIONS = (
    Caution(
        "OILY_RAGS",
        "Rags with oil finish, oil-based varnish or stain on them can heat by themselves and burn. Dry them "
        "spread out flat in the open, or keep them under water in a closed metal can, and follow the local "
        "rules for their disposal.",
    ),
    Caution(
        "SOLVENTS_AND_DUST",
        "Solvents burn and harm the lungs, and so does dust from sanding finishes. Work in moving fresh air, "
        "away from flames and sparks, with the protection that the maker's safety data sheet names, and by "
        "the local rules.",
    ),
)


def misfit_points(finish: Finish) -> float | None:
    """Root mean square distance of the fitted from the printed MEE, over the printed days [points].

    None where one day is printed: one resistance meets one value, and that proves nothing.
    """
    if len(finish.effectiveness_pct) == 1:
        return None
    misses = [finish.fitted_pct[day] - printed for day, printed in finish.effectiveness_pct.items()]
    return sqrt(sum(miss * miss for miss in misses) / len(misses))


def rows(finishes: Iterable[Finish]) -> list[dict[str, Any]]:
    """One row per finish: the test as printed, the test as fitted, and how well the two agree."""
    return [
        {"key": finish.key, "name": finish.name, "coats": finish.coats or None}
        | {f"mee_{day}": finish.effectiveness_pct.get(days) for days, day in _DAYS.items()}
        | {f"fitted_{day}": finish.fitted_pct[days] for days, day in _DAYS.items()}
        | {
            "misfit_points": misfit_points(finish),
            "resistance_s_m": finish.resistance_s_m,
            "status": finish.known.status.value,
            "source": finish.known.source,
            "remark": finish.known.remark,
        }
        for finish in finishes
    ]


def run(request: Request, catalogue: Catalogue) -> Answer:
    """Every finish on the shelf."""
    finishes = [finish for _, finish in catalogue.finishes]
    return Answer(
        "finishes",
        request.inputs(),
        {"finishes": rows(finishes)},
        warnings=(SLOWS,),
        cautions=CAUTIONS,
        assumptions=(TEST, ALIKE),
        sources=tuple(finish.known.source for finish in finishes),
        columns={
            "finishes": ("key", "coats", *(f"mee_{day}" for day in _DAYS.values()), "misfit_points"),
        },
    )


FINISHES = CommandSpec(
    "finishes",
    "Finishes, by how much moisture they keep out after 1, 7 and 14 days of damp air (MEE).",
    ("woodmove finishes",),
    (),
    run,
    table="finishes",
)
