"""How far the inputs of an answer may lie off, and what that makes of its results."""

# Modules that answer a question, and those that several share.
QUESTIONS: tuple[str, ...] = ()
PARTS: tuple[str, ...] = ("draws", "inputs", "normal", "response", "wood")
