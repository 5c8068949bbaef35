"""PILE.csv: boards as somebody noted them down, a row a board; and how their texts are read."""

import re
from collections.abc import Callable
from typing import Any

from woodmove.domain.board import BoardSize, read_size
from woodmove.domain.stock import DRIED, PITH_WORDS
from woodmove.files.pieces.table import PieceTable, between
from woodmove.physics.warp import ring_radius_mm, slope_deg
from woodmove.units.parse import parse_length_mm, parse_moisture_pct


def parse_section(text: str) -> BoardSize:
    """A section as sold (``2x10``) or as measured (``50mm x 100mm``).

    :raises ValueError: neither
    """
    return read_size(text, parse_length_mm)


def parse_slope(text: str) -> float:
    """Slope of grain as an angle [°], left-handed positive: ``1 in 12``, ``1:12``, a scribed line such as
    ``1/2in over 10in``, each with ``right`` behind it for a right-handed one.

    :raises ValueError: not a slope, or steeper than 1 in 1
    """
    words = text.strip().lower()
    right = words.endswith("right")
    body = re.sub(r"\s*(right|left)$", "", words)
    scribed = re.fullmatch(r"(.+?)\s+over\s+(.+)", body)
    if scribed:
        # Where neither has a unit, any unit gives the same slope.
        any_unit = "" if re.search(r"[^-\d\s./]", "".join(scribed.groups())) else "mm"
        rise, run = (parse_length_mm(part + any_unit) for part in scribed.groups())
    else:
        ratio = re.fullmatch(r"1\s*(?:in|:|/)\s*(\d+\.?\d*|\.\d+)", body)
        if not ratio:
            raise ValueError(f"{text!r} is neither 1 in N nor a scribed line such as '1/2in over 10in'")
        rise, run = 1.0, float(ratio[1])
    if rise < 0 or run <= 0:
        raise ValueError(
            f"{text!r}: rise and run of a slope are above 0; write right behind it for the other hand"
        )
    if rise > run:
        raise ValueError(f"{text!r} is steeper than 1 in 1, which no sawn board is")
    angle = 0.0 if rise == 0 else float(slope_deg(run / rise))
    return -angle if right else angle


def parse_ring(text: str) -> float:
    """Radius of a ring [mm]: a length, or chord and rise such as ``3in rise 3/8in``. Bounds are the caller's.

    :raises ValueError: not a radius
    """
    measured = re.fullmatch(r"(.+?)\s+rise\s+(.+)", text.strip().lower())
    if measured:
        chord, rise = (parse_length_mm(part) for part in measured.groups())
        if chord <= 0 or rise <= 0:
            raise ValueError(
                f"{text!r}: chord and rise are above 0; a ring without rise lies far from its pith"
            )
        return float(ring_radius_mm(chord, rise))
    return parse_length_mm(text)


def _yes(text: str) -> bool:
    word = text.lower()
    if word in ("yes", "true", "y", "x", "1"):
        return True
    if word in ("no", "false", "n", "0"):
        return False
    raise ValueError(f"{text!r} is neither yes nor no")


def _dried(text: str) -> str:
    if text.lower() not in DRIED:
        raise ValueError(f"{text!r} is neither {' nor '.join(DRIED)}")
    return text.lower()


def parse_pith(text: str) -> str:
    """Where the pith lies, in words: in-it, under-the-face, well-off; with blanks too.

    :raises ValueError: none of them
    """
    words = "-".join(re.split(r"[\s_-]+", text.strip().lower()))
    found = [place for place in PITH_WORDS if place == words or place.startswith(f"{words}-")]
    if not found:
        raise ValueError(f"{text!r} is none of {', '.join(PITH_WORDS)}")
    return found[0]


_LENGTH = parse_length_mm
_MC = between(parse_moisture_pct, 0.0, 200.0, "a moisture content from 0 to 200 %")
_WARP = between(_LENGTH, -500.0, 500.0, "a warp within 500 mm")
COLUMNS: dict[str, tuple[str, Callable[[str], Any]]] = {
    "board": ("name", str),
    "name": ("name", str),
    "nominal": ("strips_from", parse_section),
    "size": ("strips_from", parse_section),
    "length": ("stock_length_mm", between(_LENGTH, 10.0, 10_000.0, "a length from 10 mm to 10 m")),
    "bad_ends": ("bad_ends_mm", between(_LENGTH, 0.0, 10_000.0, "a length from 0 to 10 m")),
    "mc_now": ("stock_mc_pct", _MC),
    "mc_core": ("mc_core_pct", _MC),
    "mc_shell": ("mc_shell_pct", _MC),
    "pith": ("pith_place", parse_pith),
    "pith_depth": ("pith_depth_mm", between(_LENGTH, -1000.0, 2000.0, "a depth from -1 to 2 m")),
    "pith_offset": ("pith_offset_mm", between(_LENGTH, -1000.0, 1000.0, "an offset within 1 m")),
    "ring_radius": ("ring_radius_mm", between(parse_ring, 1.0, 5000.0, "a radius from 1 mm to 5 m")),
    "slope": ("slope_deg", parse_slope),
    "crook": ("crook_mm", _WARP),
    "bow": ("bow_mm", _WARP),
    "twist": ("twist_mm", between(_LENGTH, 0.0, 500.0, "a lift of a corner up to 500 mm")),
    "reaction": ("reaction", _yes),
    "dried": ("dried", _dried),
    "prong_in": ("prong_in_mm", between(_LENGTH, -100.0, 100.0, "a movement within 100 mm")),
    "prong_length": ("prong_length_mm", between(_LENGTH, 10.0, 1000.0, "a length from 10 mm to 1 m")),
    "kerf_closed": ("kerf_closed_mm", between(_LENGTH, -100.0, 100.0, "a movement within 100 mm")),
    "kerf_at": ("kerf_at_mm", between(_LENGTH, 10.0, 10_000.0, "a distance from 10 mm to 10 m")),
    "strip_crook": ("strip_crook_mm", _WARP),
}
PILE_TABLE = PieceTable(
    "board",
    "pile",
    COLUMNS,
    "board,nominal,length,mc_now,pith,crook,twist",
    "name=A1 pith=under-the-face mc_now=13",
    "pile_boards",
    facts=(
        ("stock_mc_pct", "mc_core_pct", "mc_shell_pct"),
        ("pith_place", "pith_depth_mm", "pith_offset_mm", "ring_radius_mm"),
    ),
)
