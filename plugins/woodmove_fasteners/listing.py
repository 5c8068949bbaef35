"""woodmove list fasteners: the screws and washers that are known."""

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


@results
class ScrewRow:
    """A screw by its sizes."""

    key: Annotated[str, Shown("key", None, "key")]
    major_mm: Annotated[float, Shown("major", quantity.GAP, "key")]
    root_mm: Annotated[float | None, Shown("root", quantity.GAP)]
    head_mm: Annotated[float | None, Shown("head", quantity.GAP, "key")]
    clearance_mm: Annotated[float, Shown("clearance", quantity.GAP, "key")]
    slides: Annotated[bool, Shown("slides", None, "key")]
    name: Annotated[str, Shown("name")]
    status: Annotated[str, Shown("status", None, "key")]
    source: Annotated[str, Shown("source")]
    provider: Annotated[str | None, Shown("plugin")]


@results
class WasherRow:
    """A washer by its sizes."""

    key: Annotated[str, Shown("key", None, "key")]
    inside_mm: Annotated[float, Shown("inside", quantity.GAP, "key")]
    outside_mm: Annotated[float, Shown("outside", quantity.GAP, "key")]
    thickness_mm: Annotated[float, Shown("thickness", quantity.GAP, "key")]
    name: Annotated[str, Shown("name")]
    status: Annotated[str, Shown("status", None, "key")]
    source: Annotated[str, Shown("source")]
    provider: Annotated[str | None, Shown("plugin")]


@results
class Fasteners:
    """Every screw and washer."""

    screws: Annotated[tuple[ScrewRow, ...], Shown("screws", None, "key")]
    washers: Annotated[tuple[WasherRow, ...], Shown("washers")]


def ask(request: Request, catalogue: Catalogue) -> Answer[Fasteners]:
    """Every screw and washer, by its sizes."""
    screws = tuple(
        ScrewRow(
            key=key,
            major_mm=screw.major_mm,
            root_mm=screw.root_mm,
            head_mm=screw.head_mm,
            clearance_mm=screw.clearance_mm,
            slides=not screw.countersunk,
            name=screw.name,
            status=screw.known.status.value,
            source=screw.known.source,
            provider=catalogue.screws.provider(key),
        )
        for key, screw in catalogue.screws
    )
    washers = tuple(
        WasherRow(
            key=key,
            inside_mm=washer.inside_mm,
            outside_mm=washer.outside_mm,
            thickness_mm=washer.thickness_mm,
            name=washer.name,
            status=washer.known.status.value,
            source=washer.known.source,
            provider=catalogue.washers.provider(key),
        )
        for key, washer in catalogue.washers
    )
    return Answer(
        know(SLIDES_OR_NOT()),
        Fasteners(screws=screws, washers=washers),
        sources=tuple(row.source for row in (*screws, *washers)),
    )


SLIDES_OR_NOT = note(
    "SLIDES_OR_NOT", "A screw that slides has a flat head on a washer; a cone locks in its slot."
)

FASTENERS = CommandSpec(
    "list fasteners",
    "Every screw and washer that is known, by its sizes.",
    ("woodmove list fasteners", "woodmove list fasteners --units mm"),
    (),
    ask,
    table="screws",
    line="Screws and washers that are known",
    stage=Stage.FIX,
)
