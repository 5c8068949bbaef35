"""The order of the work."""

from enum import IntEnum


class Stage(IntEnum):
    """Where in the work a question belongs, and its heading in the help."""

    AIR = 1
    WOOD = 2
    BUY = 3
    SETTLE = 4
    RIP = 5
    STRIPS = 6
    GLUE = 7
    FLATTEN = 8
    FIX = 9
    YEAR = 10

    @property
    def heading(self) -> str:
        """What the help calls it."""
        return _HEADINGS[self]


_HEADINGS = {
    Stage.AIR: "The air",
    Stage.WOOD: "The wood",
    Stage.BUY: "At the yard",
    Stage.SETTLE: "When it is ready",
    Stage.RIP: "At the saw",
    Stage.STRIPS: "The strips",
    Stage.GLUE: "The glue-up",
    Stage.FLATTEN: "Flattening",
    Stage.FIX: "The base",
    Stage.YEAR: "Through the year",
}
