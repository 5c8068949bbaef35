"""STRIPS.csv: strips as somebody noted them down before the glue-up, a row a strip."""

import re
from typing import Any

from woodmove.domain.strip import GRAINS, SIDES
from woodmove.files.pieces.table import PieceTable, between
from woodmove.units.parse import parse_angle_deg, parse_length_mm, parse_moisture_pct


def _rings(text: str) -> float:
    word = text.lower()
    angle = {"flat": 0.0, "quarter": 90.0}.get(word)
    if angle is None:
        angle = parse_angle_deg(word)
    if not 0 <= angle <= 90:
        raise ValueError(f"rings lie at 0 to 90 degrees to the wide face, not {angle:g}")
    return angle


def _sides(text: str) -> frozenset[str]:
    words = re.split(r"[\s+/]+", text.lower())
    if words == ["none"]:
        return frozenset()
    wrong = [word for word in words if word not in SIDES]
    if wrong:
        raise ValueError(f"{wrong[0]!r} is no side: {', '.join(SIDES)}, several with + between, or none")
    return frozenset(words)


def _grain(text: str) -> Any:
    if text.lower() not in GRAINS:
        raise ValueError(f"{text!r} is neither {' nor '.join(GRAINS)}")
    return text.lower()


_WARP = between(parse_length_mm, -500.0, 500.0, "a warp within 500 mm")

STRIP_TABLE = PieceTable(
    "strip",
    "strip list",
    {
        "strip": ("name", str),
        "name": ("name", str),
        "mc": ("mc_pct", between(parse_moisture_pct, 0.0, 200.0, "a moisture content from 0 to 200 %")),
        "rings": ("ring_angle_deg", _rings),
        "pith_depth": (
            "pith_depth_mm",
            between(parse_length_mm, -1000.0, 2000.0, "a depth from -1 to 2 m"),
        ),
        "pith_offset": (
            "pith_offset_mm",
            between(parse_length_mm, -1000.0, 1000.0, "an offset within 1 m"),
        ),
        "crook": ("crook_mm", _WARP),
        "bow": ("bow_mm", _WARP),
        "twist": ("twist_mm", between(parse_length_mm, 0.0, 500.0, "a lift of a corner up to 500 mm")),
        "defect": ("defects", _sides),
        "grain": ("grain", _grain),
        "species": ("species", str),
    },
    "strip,mc,rings,crook,defect",
    "name=1 mc=9.2 rings=20 crook=1/16in",
    "strip_list",
)
