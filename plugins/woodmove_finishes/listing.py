"""woodmove list finishes: how much moisture each finish kept out in the published test."""

from collections.abc import Iterable, Sequence
from math import sqrt

from woodmove.extend.api import (
    Answer,
    Assumption,
    Catalogue,
    Caution,
    CommandSpec,
    Draws,
    Finish,
    Refusal,
    Request,
    Stage,
    Verdict,
    Warning,
    groups,
    know,
    note,
    quantity,
)
from woodmove.extend.science import movement
from woodmove_finishes import on_top
from woodmove_finishes.results import Finishes, FinishRow, SecondFace

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


def rows(finishes: Iterable[Finish], swings_mm: Iterable[float | None]) -> tuple[FinishRow, ...]:
    """One row per finish: the test as printed, the test as fitted, and what it leaves of a top's swing."""
    return tuple(
        FinishRow(
            key=finish.key,
            name=finish.name,
            coats=finish.coats or None,
            mee_1_day_pct=finish.effectiveness_pct.get(1),
            mee_7_days_pct=finish.effectiveness_pct.get(7),
            mee_14_days_pct=finish.effectiveness_pct.get(14),
            swing_mm=swing,
            fitted_1_day_pct=finish.fitted_pct[1],
            fitted_7_days_pct=finish.fitted_pct[7],
            fitted_14_days_pct=finish.fitted_pct[14],
            misfit_points=misfit_points(finish),
            resistance_s_m=finish.resistance_s_m,
            status=finish.known.status.value,
            source=finish.known.source,
            remark=finish.known.remark,
        )
        for finish, swing in zip(finishes, swings_mm, strict=True)
    )


# Status: common practice.
WHEN = Assumption(
    "WHEN_TO_FINISH",
    "Finish a top when it is at the moisture content of its service, within 2 points, after the final "
    "flattening, and on both faces, the edges and the end grain on the same day: end grain takes up many "
    "times as much.",
)


def ask(request: Request, catalogue: Catalogue) -> Answer[Finishes]:
    """Every finish that there is, and what each does on a top where one is given."""
    finishes = [finish for _, finish in catalogue.finishes]
    bare, swings, later = None, [None] * len(finishes), ()
    if request["species"] is not None:
        top, season = groups.top_of(request, catalogue), groups.season_of(request, catalogue)
        draws = Draws(request.draws, request.seed)
        found = on_top.swings_mm(top, season, finishes, draws)
        if found is None:
            raise Refusal(
                "NO_SWING",
                "The swing of this top cannot be told.",
                "It takes the top's thickness, a species whose density is known, and a place.",
                "Add --thickness 3in --place burlington, for example.",
                fields=("top_thickness_mm", "place"),
                exit_code=2,
            )
        bare, *swings = found
        if (finish := groups.finish_of(request, catalogue)) and request["build_date"]:
            later = on_top.waiting(top, season, finish, request["build_date"], draws)
    return Answer(
        _verdict(later),
        Finishes(bare_swing_mm=bare, finishes=rows(finishes, swings), second_face_later=later),
        (SLOWS, *CAUTIONS, TEST, ALIKE, WHEN),
        tuple(finish.known.source for finish in finishes),
    )


SLOW_NOT_STOP = note("SLOW_NOT_STOP", "A finish slows the wood and stops nothing: finish both faces alike.")
SAME_DAY = note(
    "SAME_DAY", "Finish both faces on one day: {wait_days} between them cups the top by {cup_mm}, {shape}.",
    wait_days=quantity.DAYS, cup_mm=quantity.GAP, shape=None,
)  # fmt: skip
NO_HASTE = note(
    "NO_HASTE", "The second face may wait up to {wait_days}: by then it cups less than a straightedge shows.",
    wait_days=quantity.DAYS,
)  # fmt: skip


def _verdict(later: Sequence[SecondFace]) -> Verdict:
    """What to do about the second face, where that was asked."""
    shows = [row for row in later if abs(row.cup_mm) > movement.FLAT_MM]
    quiet = [row for row in later if abs(row.cup_mm) <= movement.FLAT_MM]
    if shows:
        first = shows[0]
        told = SAME_DAY(wait_days=first.wait_days, cup_mm=abs(first.cup_mm), shape=first.shape)
        return know(SLOW_NOT_STOP(), told)
    return know(SLOW_NOT_STOP(), NO_HASTE(wait_days=quiet[-1].wait_days)) if quiet else know(SLOW_NOT_STOP())


FINISHES = CommandSpec(
    "list finishes",
    "Finishes, by how much moisture they keep out (MEE), and what each leaves of a top's yearly swing.",
    (
        "woodmove list finishes",
        "woodmove list finishes --species douglas-fir-coast --rings on-edge --width 32in "
        "--thickness 3in --place burlington",
        "woodmove list finishes --species douglas-fir-coast --rings on-edge --width 32in "
        "--thickness 3in --place burlington --mc-now 9 "
        "--finish polyurethane-varnish-2 --build-date 2027-01-16",
    ),
    (
        groups.SPECIES.replace(required=False),
        *groups.WOOD[1:],
        groups.TOP_WIDTH.replace(required=False),
        groups.TOP_THICKNESS,
        groups.MC_NOW,
        groups.MC_READINGS,
        *groups.SERVICE,
        groups.FINISH,
        groups.BUILD_DATE,
    ),
    ask,
    table="finishes",
    line="How much moisture each finish keeps out",
    stage=Stage.YEAR,
)
