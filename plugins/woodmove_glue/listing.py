"""woodmove list adhesives: the types of adhesive that are known."""

from typing import Annotated

from woodmove.extend.api import (
    Answer,
    Catalogue,
    CommandSpec,
    Request,
    Shown,
    Stage,
    know,
    note,
    quantity,
    results,
)

# Three quarters of an hour are told as such.
HOURS = quantity.Quantity("_h", ("h", 0.05, 0.05), ("h", 0.05, 0.05))


@results
class AdhesiveRow:
    """A type of adhesive: its times and what it needs."""

    key: Annotated[str, Shown("key", None, "key")]
    name: Annotated[str, Shown("name")]
    open_min: Annotated[float, Shown("open", quantity.MINUTES, "key")]
    assembly_min: Annotated[float, Shown("assembly", quantity.MINUTES, "key")]
    clamp_h: Annotated[float, Shown("clamp", HOURS, "key")]
    full_h: Annotated[float, Shown("full", HOURS, "key")]
    driest_mc_pct: Annotated[float, Shown("driest MC", quantity.MOISTURE, "key")]
    wettest_mc_pct: Annotated[float, Shown("wettest MC", quantity.MOISTURE, "key")]
    coldest_c: Annotated[float, Shown("coldest", quantity.TEMPERATURE, "key")]
    gap_step_mm: Annotated[float | None, Shown("gap", quantity.STEP, "key")]
    status: Annotated[str, Shown("status", None, "key")]
    source: Annotated[str, Shown("source")]
    remark: Annotated[str, Shown("remark", None, "key")]
    provider: Annotated[str | None, Shown("plugin")]


@results
class Adhesives:
    """Every adhesive."""

    adhesives: Annotated[tuple[AdhesiveRow, ...], Shown("adhesives", None, "key")]


def ask(request: Request, catalogue: Catalogue) -> Answer[Adhesives]:
    """Every adhesive, with its times and what it needs."""
    rows = tuple(
        AdhesiveRow(
            key=key,
            name=adhesive.name,
            open_min=adhesive.open_min,
            assembly_min=adhesive.assembly_min,
            clamp_h=adhesive.clamp_h,
            full_h=adhesive.full_h,
            driest_mc_pct=adhesive.mc_low_pct,
            wettest_mc_pct=adhesive.mc_high_pct,
            coldest_c=adhesive.temp_low_c,
            gap_step_mm=adhesive.gap_mm,
            status=adhesive.known.status.value,
            source=adhesive.known.source,
            remark=f"{adhesive.name}. {adhesive.practice} {adhesive.known.remark}",
            provider=catalogue.adhesives.provider(key),
        )
        for key, adhesive in catalogue.adhesives
    )
    return Answer(
        know(READ_THE_BOTTLE()), Adhesives(adhesives=rows), sources=tuple(row.source for row in rows)
    )


READ_THE_BOTTLE = note("READ_THE_BOTTLE", "Your bottle comes first; these are usual values of each type.")

ADHESIVES = CommandSpec(
    "list adhesives",
    "Types of adhesive: how long they stay open, what they need. No brands; read your bottle first.",
    ("woodmove list adhesives",),
    (),
    ask,
    table="adhesives",
    line="Types of adhesive that are known",
    stage=Stage.GLUE,
)
