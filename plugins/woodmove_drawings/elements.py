"""What drawings in SVG are made of: their measures, and single elements.

Colours, line widths and patterns are those of the page, by the role of a shape.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from html import escape

# User units of all drawings: a narrow phone shows some 330 of its pixels for these, and the letters stay
# legible.
WIDE = 400.0
FONT = 13.0
LINE = 15.0
# An average letter of a wide font, as a share of the height of the letters.
LETTER = 0.6


@dataclass(frozen=True)
class Scale:
    """From numbers of an axis to places on the page."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """The place of a number."""
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)


def number_of(value: float | date) -> float:
    """A place along an axis as a number."""
    return float(value.toordinal()) if isinstance(value, date) else value


def plain(value: float) -> str:
    """A coordinate."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def path(points: Iterable[tuple[float, float]], kind: str, *, close: bool = False) -> str:
    """A course, open or closed."""
    course = " ".join(f"{plain(x)},{plain(y)}" for x, y in points)
    return f'<{"polygon" if close else "polyline"} class="{kind}" points="{course}"/>'


def text_at(x: float, y: float, text: str, kind: str = "", anchor: str = "start") -> str:
    """A line of words."""
    return (
        f'<text class="{kind or "label"}" x="{plain(x)}" y="{plain(y)}" text-anchor="{anchor}">'
        f"{escape(text, quote=False)}</text>"
    )


def wide(text: str) -> float:
    """How wide a line of words comes out, about."""
    return len(text) * FONT * LETTER


def letters(width: float) -> int:
    """How many letters fit a width."""
    return max(1, int(width / (FONT * LETTER)))


def wrapped(text: str, most: int) -> list[str]:
    """Words in lines of at most so many letters, where they have gaps; a longer word is cut."""
    lines: list[str] = []
    for word in text.split():
        piece = word if len(word) <= most else f"{word[: max(1, most - 3)]}…"
        if lines and len(lines[-1]) + len(piece) < most:
            lines[-1] += f" {piece}"
        else:
            lines.append(piece)
    return lines
