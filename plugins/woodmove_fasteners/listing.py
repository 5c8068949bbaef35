"""woodmove fasteners: the screws and washers that are known."""

from woodmove.extend.api import Catalogue, CommandSpec, Request, Stage, UntypedAnswer, know, note


def run(request: Request, catalogue: Catalogue) -> UntypedAnswer:
    """Every screw and washer, by its sizes."""
    screws = [
        {
            "key": key,
            "major_mm": screw.major_mm,
            "root_mm": screw.root_mm,
            "head_mm": screw.head_mm,
            "clearance_mm": screw.clearance_mm,
            "slides": not screw.countersunk,
            "name": screw.name,
            "status": screw.known.status.value,
            "source": screw.known.source,
            "provider": catalogue.screws.provider(key),
        }
        for key, screw in catalogue.screws
    ]
    washers = [
        {
            "key": key,
            "inside_mm": washer.inside_mm,
            "outside_mm": washer.outside_mm,
            "thickness_mm": washer.thickness_mm,
            "name": washer.name,
            "status": washer.known.status.value,
            "source": washer.known.source,
            "provider": catalogue.washers.provider(key),
        }
        for key, washer in catalogue.washers
    ]
    return UntypedAnswer(
        "fasteners",
        request.inputs(),
        {"screws": screws, "washers": washers},
        sources=tuple(row["source"] for row in (*screws, *washers)),
        verdict=know(SLIDES_OR_NOT()),
        key=("screws",),
        columns={
            "screws": ("key", "major_mm", "head_mm", "clearance_mm", "slides", "status"),
            "washers": ("key", "inside_mm", "outside_mm", "thickness_mm", "status"),
        },
    )


SLIDES_OR_NOT = note(
    "SLIDES_OR_NOT", "A screw that slides has a flat head on a washer; a cone locks in its slot."
)

FASTENERS = CommandSpec(
    "fasteners",
    "Every screw and washer that is known, by its sizes.",
    ("woodmove fasteners", "woodmove fasteners --units mm"),
    (),
    run,
    table="screws",
    line="Screws and washers that are known",
    stage=Stage.FIX,
)
