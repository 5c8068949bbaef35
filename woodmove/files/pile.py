"""PILE.csv: boards as somebody noted them down, a row a board; and how their texts are read."""

import csv
import io
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from woodmove import units
from woodmove.files.texts import read_text
from woodmove.physics.warp import ring_radius_mm, slope_deg
from woodmove.shop.answer import Refusal
from woodmove.shop.board import BoardSize, dressed_size


def parse_section(text: str) -> BoardSize:
    """A section as sold (``2x10``) or as measured (``50mm x 100mm``).

    :raises ValueError: neither
    """
    if not re.search(r"mm|cm|in|[\"']", text):
        try:
            return dressed_size(text.strip())
        except Refusal as unknown:
            raise ValueError(f"{unknown.wrong.rstrip('.')}. {unknown.allowed.rstrip('.')}") from None
    parts = [units.parse_length_mm(part) for part in re.split(r"[xX×]", text)]
    if len(parts) != 2 or not all(1 <= part <= 1000 for part in parts):
        raise ValueError(f"{text!r} is not a thickness and a width between 1 mm and 1 m")
    return BoardSize(text.strip(), min(parts), max(parts))


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
        rise, run = (units.parse_length_mm(part) for part in scribed.groups())
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
        chord, rise = (units.parse_length_mm(part) for part in measured.groups())
        if chord <= 0 or rise <= 0:
            raise ValueError(
                f"{text!r}: chord and rise are above 0; a ring without rise lies far from its pith"
            )
        return float(ring_radius_mm(chord, rise))
    return units.parse_length_mm(text)


def _yes(text: str) -> bool:
    word = text.lower()
    if word in ("yes", "true", "y", "x", "1"):
        return True
    if word in ("no", "false", "n", "0"):
        return False
    raise ValueError(f"{text!r} is neither yes nor no")


def _between(parse: Callable[[str], float], low: float, high: float, words: str) -> Callable[[str], float]:
    def read(text: str) -> float:
        value = parse(text)
        if not low <= value <= high:
            raise ValueError(f"{text!r} is not {words}")
        return value

    return read


_LENGTH = units.parse_length_mm
_MC = _between(units.parse_percent, 0.0, 200.0, "a moisture content from 0 to 200 %")
_WARP = _between(_LENGTH, -500.0, 500.0, "a warp within 500 mm")
# Column -> name of the value in base units, and how its text is read.
COLUMNS: dict[str, tuple[str, Callable[[str], Any]]] = {
    "board": ("name", str),
    "name": ("name", str),
    "nominal": ("strips_from", parse_section),
    "size": ("board_size", parse_section),
    "length": ("stock_length_mm", _between(_LENGTH, 10.0, 10_000.0, "a length from 10 mm to 10 m")),
    "mc_now": ("stock_mc_pct", _MC),
    "mc_core": ("mc_core_pct", _MC),
    "mc_shell": ("mc_shell_pct", _MC),
    "pith_depth": ("pith_depth_mm", _between(_LENGTH, -1000.0, 2000.0, "a depth from -1 to 2 m")),
    "pith_offset": ("pith_offset_mm", _between(_LENGTH, -1000.0, 1000.0, "an offset within 1 m")),
    "pith_inside": ("pith_inside", _yes),
    "ring_radius": ("ring_radius_mm", _between(parse_ring, 1.0, 5000.0, "a radius from 1 mm to 5 m")),
    "slope": ("slope_deg", parse_slope),
    "crook": ("crook_mm", _WARP),
    "bow": ("bow_mm", _WARP),
    "prong_in": ("prong_in_mm", _between(_LENGTH, -100.0, 100.0, "a movement within 100 mm")),
    "prong_length": ("prong_length_mm", _between(_LENGTH, 10.0, 1000.0, "a length from 10 mm to 1 m")),
    "kerf_closed": ("kerf_closed_mm", _between(_LENGTH, -100.0, 100.0, "a movement within 100 mm")),
    "kerf_at": ("kerf_at_mm", _between(_LENGTH, 10.0, 10_000.0, "a distance from 10 mm to 10 m")),
    "strip_crook": ("strip_crook_mm", _WARP),
}
NAMELESS = "row"


@dataclass(frozen=True, slots=True)
class PileRow:
    """A board of a pile: its values in base units, and the line that it stands on."""

    values: Mapping[str, Any]
    line: int


@dataclass(frozen=True, slots=True)
class PileFile:
    """The boards of a pile, and the rows that could not be read."""

    source: str
    rows: tuple[PileRow, ...]
    faults: tuple[Refusal, ...]


def read_pile(path: str) -> PileFile:
    """Read a PILE.csv: a line of headings, then a row a board; cells may be empty.

    :raises Refusal: no such file, no rows, or a heading that is none
    """
    text = read_text(path, "pile file")
    reader = csv.reader(io.StringIO(text))
    try:
        lines = [(reader.line_num, cells) for cells in reader]
    except csv.Error as problem:
        raise Refusal(
            "NOT_CSV", f"{path} is not a table: {problem}.", "A pile is a table with a row a board.",
            "Save it again as CSV.", file=path, line=reader.line_num,
        ) from None  # fmt: skip
    lines = [(line, cells) for line, cells in lines if any(cell.strip() for cell in cells)]
    if len(lines) < 2:
        raise Refusal(
            "NO_ROWS", f"{path} has no boards.", "A pile has a line of headings and a row a board.",
            "Write board,nominal,length,mc_now,pith_depth in its first line.", file=path, line=1,
        )  # fmt: skip
    headings = [cell.strip().lower().replace(" ", "_") for cell in lines[0][1]]
    unknown = [heading for heading in headings if heading not in COLUMNS]
    if unknown or len(set(headings)) < len(headings):
        raise Refusal(
            "UNKNOWN_COLUMN",
            f"{path} has a column {unknown[0]!r}." if unknown else f"{path} has two columns of one name.",
            f"The columns of a pile are {', '.join(COLUMNS)}.",
            "Rename it or take it out.",
            file=path,
            line=lines[0][0],
        )
    return _rows(
        path,
        (
            (line, dict(zip(headings, cells, strict=False)), len(cells) - len(headings))
            for line, cells in lines[1:]
        ),
    )


def pile_of_text(text: str, source: str) -> PileFile:
    """A pile in one text: boards with commas between, each ``key=value`` pairs with blanks between."""
    entries = []
    for number, entry in enumerate(text.split(","), start=1):
        pairs = [pair.partition("=") for pair in entry.split()]
        cells = {key.strip().lower(): value.strip() for key, _, value in pairs}
        unknown = next((key for key in cells if key not in COLUMNS), None)
        if unknown is not None or not cells:
            raise Refusal(
                "UNKNOWN_COLUMN",
                f"Board {number} says {unknown or 'nothing'!r}.",
                f"A board is told as key=value, the keys {', '.join(COLUMNS)}.",
                "Write name=A1 pith_depth=1-1/2in mc_now=13, for example.",
                fields=("pile_boards",),
            )
        entries.append((number, cells, 0))
    return _rows(source, entries)


def _rows(source: str, entries: Iterable[tuple[int, dict[str, str], int]]) -> PileFile:
    rows, faults = [], []

    @cache
    def read(column: str, text: str) -> Any:
        return COLUMNS[column][1](text)

    for line, cells, surplus in entries:
        values: dict[str, Any] = {}
        column = ""
        try:
            if surplus > 0:
                raise ValueError(f"it has {surplus} cells more than there are headings")
            for column, text in cells.items():
                if text.strip():
                    values[COLUMNS[column][0]] = read(column, text.strip())
        except ValueError as problem:
            faults.append(bad_row(source, line, f"{column}: {problem}" if not surplus else str(problem)))
            continue
        values.setdefault("name", f"{NAMELESS} {line}")
        rows.append(PileRow(values, line))
    return PileFile(source, tuple(rows), tuple(faults))


def bad_row(source: str, line: int, wrong: str) -> Refusal:
    """The fault of a row."""
    return Refusal(
        "BAD_ROW", f"{wrong.rstrip('.')}.", "The other rows are ranked without it.",
        "Mend the row or take it out.", file=source, line=line,
    )  # fmt: skip
