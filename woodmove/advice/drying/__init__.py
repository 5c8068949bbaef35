"""When lumber is ready: by what is told of it, or by its log."""

# Modules that answer a question, and those that several share.
QUESTIONS: tuple[str, ...] = ("forecast", "readiness")
PARTS: tuple[str, ...] = ("air", "course", "courses", "goal", "measure_next", "sampler", "sooner", "stock")
