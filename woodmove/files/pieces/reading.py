"""A reading in one text: what was read of a board, and when."""

from woodmove.domain.reading import KINDS
from woodmove.files.pieces.table import PieceTable, between
from woodmove.units.parse import (
    parse_date,
    parse_length_mm,
    parse_mass_g,
    parse_moisture_pct,
    parse_temperature_c,
)


def _kind(text: str) -> str:
    if text not in KINDS:
        raise ValueError(f"{text!r} is none of {', '.join(KINDS)}")
    return text


_weight = between(parse_mass_g, 0.01, 1e6, "a weight from 0.01 g to 1000 kg")

READING_TABLE = PieceTable(
    "reading",
    "log of readings",
    {
        "mc": ("reading_pct", between(parse_moisture_pct, 0.0, 200.0, "a moisture content from 0 to 200 %")),
        "weight": ("weight_g", _weight),
        "dry": ("dry_g", _weight),
        "temp": ("wood_temp_c", between(parse_temperature_c, -40.0, 80.0, "a temperature from -40 to 80 °C")),
        "depth": ("depth_mm", between(parse_length_mm, 0.0, 500.0, "a depth from 0 to 500 mm")),
        "date": ("day", parse_date),
        "kind": ("kind", _kind),
    },
    "date,board,mc_pct",
    "12.5 date=2026-12-10",
    "reading",
)
