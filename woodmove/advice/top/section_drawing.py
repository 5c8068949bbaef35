"""The end of a top through the year, drawn: as built, at its driest and at its dampest."""

from collections.abc import Iterable, Mapping
from typing import Any

from woodmove.advice.top.width import Width
from woodmove.contract.drawing import Box, Drawing, Line, Shape
from woodmove.contract.notes import note
from woodmove.contract.quantity import FINE_LENGTH, LENGTH

# How many times larger than it is a change may be drawn, and what part of the width it then takes at most.
TIMES_LARGER = (1, 2, 5, 10, 20, 50, 100)
MOST_SHARE = 0.12

SECTION_SAYS = note(
    "DRAWN_SECTION",
    "The end of the top, three times: {now_mm} wide as built, {low_mm} at its narrowest, {high_mm} at its "
    "widest.",
    now_mm=LENGTH, low_mm=LENGTH, high_mm=LENGTH,
)  # fmt: skip
LARGER = note(
    "DRAWN_LARGER",
    "The change of width is drawn {times} times as large as it is. Broken lines: the width as built.",
    times=None,
)
AS_BUILT = note("AS_BUILT", "as built: {width_mm}", width_mm=LENGTH)
SAID = note("SAID", "{word}: {change_mm} {way}", word=None, change_mm=FINE_LENGTH, way=None)
# What no rule shows.
UNSEEN_MM = 0.4


def section_drawings(found: Width, inputs: Mapping[str, Any]) -> Iterable[Drawing]:
    """The end of a top as built, and where it is narrowest and widest, as expected."""
    thick = found.thickness_now_mm
    if thick is None:
        return
    now = found.width_now_mm
    ends = (("narrowest", found.narrowest_mm.expected - now), ("widest", found.widest_mm.expected - now))
    most = max(abs(change) for _, change in ends)
    times = max(factor for factor in TIMES_LARGER if factor * most <= MOST_SHARE * now or factor == 1)
    # Between two of them.
    gap = 0.35 * thick
    shapes: list[Shape] = [Box(0.0, 0.0, now, thick, AS_BUILT(width_mm=now))]
    for number, (word, change) in enumerate(ends, start=1):
        way = "less" if change < 0 else "more"
        label = (
            f"{word}: as built"
            if abs(change) < UNSEEN_MM
            else SAID(word=word, change_mm=abs(change), way=way)
        )
        shapes.append(
            Box(-times * change / 2, -number * (thick + gap), now + times * change, thick, label)
        )  # fmt: skip
    shapes += [Line((x, x), (-2 * (thick + gap), thick), role="limit") for x in (0.0, now)]
    yield Drawing(
        "section", "The end of the top",
        SECTION_SAYS(now_mm=now, low_mm=now + ends[0][1], high_mm=now + ends[1][1]), tuple(shapes),
        remark=LARGER(times=times) if times > 1 else "",
    )  # fmt: skip
