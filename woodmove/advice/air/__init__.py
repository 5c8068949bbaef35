"""The air of places and rooms, and what it makes of wood."""

# Modules that answer a question, and those that several share.
QUESTIONS: tuple[str, ...] = ("climate", "emc", "fits", "places")
PARTS: tuple[str, ...] = ()
