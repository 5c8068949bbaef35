"""The page of a plan in a browser: on a phone and on a desk, light and dark, and on paper."""

import shutil
import subprocess
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from unicodedata import normalize

import pytest
from pypdf import PdfReader

from campaigns import browser
from campaigns.browser import Page
from woodmove.cli.run import run
from woodmove.files.job import demo_text

PROGRAM = browser.found()
pytestmark = pytest.mark.skipif(PROGRAM is None, reason="no browser")

TODAY = "2026-11-28"
# A phone, a tablet and a desk [CSS px]; papers [in].
WIDTHS = (360, 768, 1280)
PAPERS = {"A4": (8.27, 11.69), "Letter": (8.5, 11.0)}
LONG = "Donaudampfschifffahrtselektrizitaetenhauptbetriebswerkbauunterbeamtengesellschaft" * 2
NAME = f"<script>alert('1')</script> &amp; \\\"top\\\" \u202eטבלה שולחן\u202c 桌子 🪵 {LONG}"
BOARDS = {"name=A ": f"name={LONG} ", "name=B ": "name=<b>B</b>&lt; ", "name=C ": "name=שולחן "}
STRIPS = f"""strip,mc,rings,pith_depth,pith_offset,crook,defect
{LONG},7.5,20,,,1/16in,up
<i>2</i>,7.8,,1in,1/2in,-1/16in,none
שולחן,7.9,,-1/2in,,1/8in,down
4,7.6,85,,,0in,none
"""
JOBS = ("demo", "hostile", "little")


def page_of(name: str, folder: Path) -> Path:
    """The page of a job, by the name of the job."""
    if name == "demo":
        text = demo_text()
    elif name == "hostile":
        text = demo_text().replace("Bicycle workshop: assembly table", NAME)
        text = text.replace("[strips]", '[strips]\nlist = "strips.csv"')
        for old, new in BOARDS.items():
            assert old in text
            text = text.replace(old, new)
        (folder / "strips.csv").write_text(STRIPS, encoding="utf-8")
    else:
        text = '[shop]\ntemp = "64F"\nrh = "40%"\n'
    (folder / "job.toml").write_text(text, encoding="utf-8")
    made = folder / "plan.html"
    assert run(["plan", str(folder / "job.toml"), "--today", TODAY, "--out", str(made)]) == 0
    return made


@pytest.fixture(scope="module", params=JOBS)
def page(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """A page that is open in the browser, with all that it hides shown."""
    assert PROGRAM is not None
    made = page_of(request.param, tmp_path_factory.mktemp(request.param))
    with browser.browser(PROGRAM, tmp_path_factory.mktemp("browser")) as opened:
        opened.look(WIDTHS[0])
        opened.open(made)
        opened.run("document.querySelectorAll('details').forEach(one => { one.open = true })")
        yield opened


def test_it_says_nothing_to_the_console_and_asks_for_nothing(page: Page) -> None:
    told = [event for event in page.events if event["method"] in (
        "Runtime.consoleAPICalled", "Runtime.exceptionThrown", "Log.entryAdded")]  # fmt: skip
    assert not told
    asked = [e["params"]["request"]["url"] for e in page.events if e["method"] == "Network.requestWillBeSent"]
    assert len(asked) == 1
    assert asked[0].startswith("file:")
    assert page.run("document.scripts.length") == 0


# What reaches beyond the window, or beyond its own box; a table may, in a region that scrolls by itself.
BEYOND = """[...document.querySelectorAll('body *')].filter(one => !one.closest('.wide table, svg')
    && one.getBoundingClientRect().right > document.documentElement.clientWidth + 0.5
    ).map(one => one.outerHTML.slice(0, 200))"""


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("width", WIDTHS)
def test_it_fits_the_window(page: Page, width: int, dark: bool) -> None:
    page.look(width, dark=dark)
    assert page.run("document.documentElement.scrollWidth") <= width
    assert page.run(BEYOND) == []
    ground = page.run("getComputedStyle(document.body).backgroundColor")
    assert (sum(int(one) for one in ground[4:-1].split(",")) < 384) == dark


# Words of a drawing that lie over other words or beyond its edge, by more than a hair.
CLASHES = """[...document.querySelectorAll('svg.drawing')].flatMap(svg => {
    const edge = svg.viewBox.baseVal, name = svg.querySelector('title').textContent;
    const words = [...svg.querySelectorAll('text')].map(one => [one.textContent, one.getBBox()]);
    return words.flatMap(([text, box], number) => [
        ...(box.x < -1 || box.y < -1
                || box.x + box.width > edge.width + 1 || box.y + box.height > edge.height + 1
            ? [`${name}: "${text}" leaves it`] : []),
        ...words.slice(number + 1).filter(([, other]) =>
            Math.min(box.x + box.width, other.x + other.width) - Math.max(box.x, other.x) > 1
            && Math.min(box.y + box.height, other.y + other.height) - Math.max(box.y, other.y) > 3
        ).map(([other]) => `${name}: "${text}" lies on "${other}"`)]);
})"""
# On a phone [CSS px].
LEAST_LETTERS = 9.5


def test_the_words_of_drawings_are_apart_and_legible(page: Page) -> None:
    page.look(WIDTHS[0])
    assert page.run(CLASHES) == []
    sizes = page.run("""[...document.querySelectorAll('svg.drawing text')].map(one =>
        parseFloat(getComputedStyle(one).fontSize) * one.getScreenCTM().a)""")
    assert all(size >= LEAST_LETTERS for size in sizes)


TABLES = """[...document.querySelectorAll('table')].filter(one => one.checkVisibility()).map(one => ({
    right: one.getBoundingClientRect().right,
    room: one.parentElement.getBoundingClientRect().right,
    cells: [...one.querySelectorAll('th, td')].map(cell => cell.innerText)}))"""
MARGINS_IN = 2 * 12 / 25.4


@pytest.mark.parametrize("paper", PAPERS)
def test_no_table_is_cut_on_paper(page: Page, paper: str) -> None:
    wide, high = PAPERS[paper]
    page.look(round((wide - MARGINS_IN) * 96), media="print")
    tables = page.run(TABLES)
    assert all(table["right"] <= table["room"] + 1 for table in tables)
    page("Emulation.setEmulatedMedia", media="", features=[])
    sheets = PdfReader(BytesIO(page.printed(wide, high))).pages
    # Joined letters, such as those of fi, are taken apart.
    text = normalize("NFKC", "".join("".join(sheet.extract_text().split()) for sheet in sheets))
    # Words that run from right to left are taken out of a PDF in another order, and very long ones break.
    words = {word for table in tables for cell in table["cells"] for word in cell.split()}
    assert not {word for word in words if word.isascii() and len(word) < 30 and word not in text}
    # The light colours, whatever the screen has.
    page.look(WIDTHS[0], dark=True, media="print")
    assert page.run("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"


@pytest.fixture(scope="session")
def axe(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The script of axe-core, which looks for what keeps people out."""
    folder = tmp_path_factory.mktemp("axe")
    npm = shutil.which("npm")
    if npm is not None:
        subprocess.run(
            [npm, "install", "--silent", "--prefix", folder, "axe-core@4"], check=False, timeout=120
        )
    script = folder / "node_modules" / "axe-core" / "axe.min.js"
    if not script.exists():
        pytest.skip("no axe-core: npm does not give it")
    return script.read_text(encoding="utf-8")


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("width", WIDTHS[::2])
def test_it_keeps_nobody_out(page: Page, axe: str, width: int, dark: bool) -> None:
    page.look(width, dark=dark)
    page.run(f"{axe}; 0")
    found = page.run("axe.run().then(found => found.violations.map(one => "
                     "[one.impact, one.id, one.nodes.map(node => node.html).slice(0, 3)]))")  # fmt: skip
    assert [one for one in found if one[0] in ("serious", "critical")] == []
