"""PARTS.csv: the parts that a job needs, a row for parts that are alike."""

from woodmove.files.pieces.table import PieceTable, between
from woodmove.units.parse import parse_length_mm, parse_whole

MOST = 1000


def _count(text: str) -> int:
    count = parse_whole(text)
    if not 1 <= count <= MOST:
        raise ValueError(f"{text!r} is not a count from 1 to {MOST}")
    return count


PARTS_TABLE = PieceTable(
    "part",
    "part list",
    {
        "part": ("name", str),
        "name": ("name", str),
        "width": ("width_mm", between(parse_length_mm, 3.0, 1000.0, "a width from 3 mm to 1 m")),
        "length": ("length_mm", between(parse_length_mm, 10.0, 10_000.0, "a length from 10 mm to 10 m")),
        "count": ("count", _count),
    },
    "part,width,length,count",
    "name=leg width=3-1/2in length=34in count=4",
    "parts",
)
