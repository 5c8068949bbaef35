"""Text as a key."""

import re


def slug(text: str) -> str:
    """Text as a key: lower-case words joined by hyphens. ``No. 10`` and ``#10`` give ``no-10``."""
    numbered = re.sub(r"(?:\bno\.?|#|\bnumber)\s*-?(?=\d)", "no-", text.lower().replace("'", ""))
    joined = re.sub(r"(?<=\d)\s*(mm|in)\b", r"\1", numbered)
    # A dot counts only within a number.
    undotted = re.sub(r"(?<!\d)\.|\.(?!\d)", " ", joined)
    return re.sub(r"[^a-z0-9.]+", "-", undotted).strip("-")
