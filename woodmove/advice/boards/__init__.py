"""Which boards to buy, which to rip, and what they will do."""

# Modules that answer a question, and those that several share.
QUESTIONS: tuple[str, ...] = ("cut_list", "purchase", "ranking", "rip", "species")
PARTS: tuple[str, ...] = (
    "allowance",
    "arrays",
    "ends",
    "ends_drawing",
    "left_out",
    "pith",
    "stud",
    "warp",
    "words",
    "yard",
)
