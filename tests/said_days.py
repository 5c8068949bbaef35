"""Days as sentences say them."""

import re
from datetime import date, datetime


def said(day: date) -> str:
    """28 November 2026"""
    return f"{day.day} {day:%B} {day.year}"


def days_in(text: str) -> list[date]:
    """The days that a sentence names."""
    return [
        datetime.strptime(day, "%d %B %Y").date() for day in re.findall(r"\d{1,2} [A-Z][a-z]+ \d{4}", text)
    ]
