"""The top: its strips, its glue-up, and how it moves through the year."""

# Modules that answer a question, and those that several share.
QUESTIONS: tuple[str, ...] = ("flatten", "handling", "holes", "layup", "strips", "width")
PARTS: tuple[str, ...] = (
    "arrangement", "faces", "held", "milling", "movement", "order", "rest", "seams", "season",
    "layup_drawing", "section_drawing", "wind",
)  # fmt: skip
