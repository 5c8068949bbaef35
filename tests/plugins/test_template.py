"""Templates at full size: what lies on the paper, read back by libraries that did not draw it, is what the
document says to 0.05 mm."""

import re
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest
from drawn import demo_with
from pypdf import PdfReader
from woodmove_drawings.template import OVERLAP_MM, extent_of, template, windows

from woodmove.contract.drawing import Box, Drawing
from woodmove.contract.output import Leaf, Sheet
from woodmove.report.sheet import InUnits

FEW = "--draws 128"
SLOTS = (
    "slots --species douglas-fir-coast --width 30in --thickness 3in --stock 2x8 "
    f"--pith-depth 1-1/2in --mc-now 10 --place burlington --at 3in,12in,15in,27in {FEW}"
)
MM = 25.4 / 72
NEAR = 0.05
SVG = "{http://www.w3.org/2000/svg}"


class Course:
    """A path on paper [mm]: its points, and whether it is curved."""

    def __init__(self, points: list[tuple[float, float]], curved: bool) -> None:
        self.points, self.curved = points, curved

    @property
    def left(self) -> float:
        return min(x for x, _ in self.points)

    @property
    def size(self) -> tuple[float, float]:
        xs, ys = zip(*self.points, strict=True)
        return max(xs) - min(xs), max(ys) - min(ys)


def courses(page) -> Iterator[Course]:
    """The paths of a page of a PDF; those of letters are not among them."""
    points: list[tuple[float, float]] = []
    curved = False
    for operands, operator in page.get_contents().operations:
        numbers = [float(one) for one in operands if isinstance(one, int | float)]
        if operator == b"m":
            if points:
                yield Course(points, curved)
            points, curved = [(numbers[0] * MM, numbers[1] * MM)], False
        elif operator in (b"l", b"c", b"v", b"y"):
            curved = curved or operator != b"l"
            points.append((numbers[-2] * MM, numbers[-1] * MM))
    if points:
        yield Course(points, curved)


def svg_courses(path: str) -> dict[str, Course]:
    """The paths of an SVG that have a name, in millimetres."""
    root = ElementTree.parse(path).getroot()
    wide, box = root.get("width"), [float(one) for one in root.get("viewBox").split()]
    assert wide.endswith("pt")
    scale = float(wide[:-2]) / box[2] * MM
    found = {}
    for group in root.iter(f"{SVG}g"):
        for path_ in group.findall(f"{SVG}path"):
            numbers = [float(n) for n in re.findall(r"-?\d+\.?\d*", path_.get("d"))]
            pairs = list(zip(numbers[::2], numbers[1::2], strict=True))
            found[group.get("id")] = Course([(x * scale, y * scale) for x, y in pairs], "C" in path_.get("d"))
    return found


def outlines(row: dict) -> tuple[float, float]:
    """Length and width of a hole, by the document."""
    return row["cut_length_mm"] if row["hole"] == "slot" else row["slot_width_mm"], row["slot_width_mm"]


@pytest.mark.parametrize("units", ["in", "mm"])
def test_the_outlines_of_the_pdf_are_those_of_the_document(cli, units):
    rows = cli.json(f"{SLOTS} --units {units} --out t.pdf")["results"]["fasteners"]
    pages = PdfReader("t.pdf").pages
    sheet = {"in": (279.4, 215.9), "mm": (297.0, 210.0)}[units]
    assert len(pages) == 4
    curved = []
    for page in pages:
        assert (float(page.mediabox.width) * MM, float(page.mediabox.height) * MM) == pytest.approx(sheet)
        found = list(courses(page))
        # Bars: two points, level, 100 mm and 4 in.
        level = [c.size[0] for c in found if len(c.points) == 2 and c.size[1] < 1e-6]
        assert min(abs(long - 100.0) for long in level) < 0.005
        assert min(abs(long - 101.6) for long in level) < 0.005
        curved.append([course for course in found if course.curved and course.size[0] > 3])
    sizes = [course.size for on_page in curved for course in on_page]
    for row in rows:
        wanted = outlines(row)
        assert any(size == pytest.approx(wanted, abs=NEAR) for size in sizes), wanted
    # Two on one sheet stand as far apart as the document says.
    together = [[course.left for course in on_page if 14 < course.left < 250] for on_page in curved]
    starts = sorted(next(lefts for lefts in together if len(lefts) == 2))
    begin = [row["position_mm"] - before(row) for row in rows[1:3]]
    assert starts[1] - starts[0] == pytest.approx(begin[1] - begin[0], abs=NEAR)


def before(row: dict, fixed: float = 381.0) -> float:
    """How far a hole reaches from its screw toward the front, by the document."""
    if row["hole"] != "slot":
        return row["slot_width_mm"] / 2
    inner = row["screw_from_end_mm"]
    return inner if row["position_mm"] >= fixed else row["cut_length_mm"] - inner


def test_the_outlines_of_the_svg_are_those_of_the_document(cli):
    results = cli.json(f"{SLOTS} --out t.svg")["results"]
    assert results["fixed_mm"] == pytest.approx(381.0)
    found = svg_courses("t.svg")
    assert found["bar 100 mm"].size[0] == pytest.approx(100.0, abs=0.005)
    assert found["bar 4 in"].size[0] == pytest.approx(101.6, abs=0.005)
    # The rail is as long as the top is wide, and begins at its front edge.
    rail = next(course for course in found.values() if course.size[0] == pytest.approx(762.0, abs=NEAR)
                and course.size[1] == pytest.approx(88.9, abs=NEAR))  # fmt: skip
    for number, row in enumerate(results["fasteners"], start=1):
        hole = found[f"cut-{number}"]
        assert hole.size == pytest.approx(outlines(row), abs=NEAR)
        assert hole.left - rail.left == pytest.approx(row["position_mm"] - before(row), abs=NEAR)


def test_along_the_grain_each_slot_has_a_piece_of_the_rail(cli):
    rows = cli.json(f"{SLOTS} --base 'wood direction=along' --out t.svg")["results"]["fasteners"]
    found = svg_courses("t.svg")
    for number, row in enumerate(rows, start=1):
        assert found[f"cut-{number}"].size == pytest.approx(outlines(row)[::-1], abs=NEAR)


def sheet_of(drawing: Drawing, title: str = "Long rail") -> Sheet:
    empty = dict.fromkeys(("says", "card", "due", "warnings", "cautions", "assumptions", "sources"), ())
    leaf = Leaf("rail", "Rail", "know", (), drawings=(drawing,))
    return Sheet(
        title=title,
        today=None,
        build=None,
        state="know",
        measure="",
        leaves=(leaf,),
        words=InUnits("mm"),
        **empty,
    )


LAST = Box(5990.0, 40.0, 8.0, 6.0, role="cut", corner=3.0)
RAIL = Drawing("rail", "Rail", "A rail.", (Box(0.0, 0.0, 6000.0, 90.0), LAST), full_size=True)


def test_a_rail_of_six_metres_goes_over_as_many_sheets_as_it_takes():
    pages = PdfReader(Path(_write(template(sheet_of(RAIL), ".pdf")))).pages
    tiles = windows(extent_of(RAIL))
    assert len(pages) == len(tiles) == 26
    reach = -8.0
    for tile in tiles:
        assert tile.x == pytest.approx(reach - (OVERLAP_MM if tile.number > 1 else 0.0))
        reach = tile.x + tile.width
    assert reach >= 6008.0
    # Every sheet has both bars, and the mark of the last slot is whole on the last.
    for page in pages:
        assert any(abs(course.size[0] - 100.0) < 0.005 for course in courses(page))
    assert any(c.curved and c.size == pytest.approx((8.0, 6.0), abs=NEAR) for c in courses(pages[-1]))
    # A cross lies on the same place of the rail on both sheets: 7.5 mm within each edge of the drawing.
    for left, right in pairwise(tiles):
        assert left.x + left.width - OVERLAP_MM / 2 == pytest.approx(right.x + OVERLAP_MM / 2)


def _write(data: bytes) -> str:
    Path("t.pdf").write_bytes(data)
    return "t.pdf"


@pytest.fixture(autouse=True)
def _here(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)


def test_a_sign_that_the_font_lacks_has_a_box_and_no_sign_is_obeyed():
    text = PdfReader(_write(template(sheet_of(RAIL, "桌子 $x^2$ Tisch"), ".pdf"))).pages[0].extract_text()
    assert "□□ $x^2$ Tisch" in text
    assert "Tisch" in template(sheet_of(RAIL, "桌子 <b> Tisch"), ".svg").decode()


def test_the_same_plan_gives_the_same_file():
    for ending in (".pdf", ".svg"):
        assert template(sheet_of(RAIL), ending) == template(sheet_of(RAIL), ending)


def test_the_plan_has_the_template_of_its_slots(cli):
    done = cli(f"plan {demo_with()} {FEW} --out t.svg --today 2026-11-28")
    assert done.code == 0
    assert {f"cut-{n}" for n in range(1, 6)} <= set(svg_courses("t.svg"))
    Path("little.toml").write_text('[shop]\ntemp = "64F"\nrh = "40%"\n')
    done = cli("plan little.toml --out u.pdf")
    assert done.code == 1
    assert "nothing to draw at full size" in done.err
    assert not Path("u.pdf").exists()
