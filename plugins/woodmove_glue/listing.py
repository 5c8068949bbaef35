"""woodmove adhesives: the types of adhesive that are known."""

from woodmove.extend.api import Catalogue, CommandSpec, Request, Stage, UntypedAnswer, know, note


def run(request: Request, catalogue: Catalogue) -> UntypedAnswer:
    """Every adhesive, with its times and what it needs."""
    rows = [
        {
            "key": key,
            "name": adhesive.name,
            "open_min": adhesive.open_min,
            "assembly_min": adhesive.assembly_min,
            "clamp_h": adhesive.clamp_h,
            "full_h": adhesive.full_h,
            "driest_mc_pct": adhesive.mc_low_pct,
            "wettest_mc_pct": adhesive.mc_high_pct,
            "coldest_c": adhesive.temp_low_c,
            "gap_step_mm": adhesive.gap_mm,
            "status": adhesive.known.status.value,
            "source": adhesive.known.source,
            "practice": adhesive.practice,
            "remark": f"{adhesive.name}. {adhesive.practice} {adhesive.known.remark}",
            "provider": catalogue.adhesives.provider(key),
        }
        for key, adhesive in catalogue.adhesives
    ]
    return UntypedAnswer(
        "adhesives",
        request.inputs(),
        {"adhesives": rows},
        sources=tuple(row["source"] for row in rows),
        verdict=know(READ_THE_BOTTLE()),
        key=("adhesives",),
        columns={
            "adhesives": ("key", "open_min", "assembly_min", "clamp_h", "full_h", "driest_mc_pct",
                          "wettest_mc_pct", "coldest_c", "gap_step_mm", "status", "remark"),
        },
    )  # fmt: skip


READ_THE_BOTTLE = note("READ_THE_BOTTLE", "Your bottle comes first; these are usual values of each type.")

ADHESIVES = CommandSpec(
    "adhesives",
    "Types of adhesive: how long they stay open, what they need. No brands; read your bottle first.",
    ("woodmove adhesives",),
    (),
    run,
    table="adhesives",
    line="Types of adhesive that are known",
    stage=Stage.GLUE,
)
