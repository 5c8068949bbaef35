"""The page: read strictly by an HTML parser, looked at as a screen reader does, and held to the JSON.

Contrast and its limits (4.5 for text, 3 for what is drawn): WCAG 2.2, success criteria 1.4.3 and 1.4.11, with
the formulas of its glossary.
"""

import re
import subprocess
import sys
from functools import cache
from importlib.resources import files
from itertools import pairwise
from pathlib import Path
from xml.etree.ElementTree import Element

import html5lib
import pytest
from drawn import demo_with, shapes

FEW = "--draws 128 --today 2026-11-28"
SVG = "{http://www.w3.org/2000/svg}"
XHTML = "{http://www.w3.org/1999/xhtml}"
HOSTILE = "<script>alert('1')</script> &amp; \\\"top\\\" \u202etfel 桌子 🪵"
AS_TEXT = "<script>alert('1')</script> &amp; \"top\" \u202etfel 桌子 🪵"


def parsed(path: str) -> Element:
    """The page as a tree; whatever a browser would have to guess is an error."""
    return html5lib.HTMLParser(strict=True).parse(Path(path).read_text(encoding="utf-8"))


def words(element: Element) -> str:
    return " ".join(" ".join(element.itertext()).split())


def tags(page: Element, name: str) -> list[Element]:
    return list(page.iter(f"{XHTML}{name}"))


@pytest.fixture
def page(cli):
    def make(path: str = "", more: str = "") -> Element:
        done = cli(f"plan {path or demo_with()} {FEW} --out plan.html --force {more}")
        assert done.code == 0, done.err
        assert "left out" not in done.err
        return parsed("plan.html")

    return make


@pytest.mark.parametrize("units", ["in", "mm"])
def test_it_says_what_the_plan_says(cli, page, units):
    made = page(more=f"--units {units}")
    text = words(made)
    card = cli(f"plan job.toml {FEW} --units {units}").out
    assert text.index("Bicycle workshop: assembly table") < text.index("Parts")
    for line in card.splitlines()[2:30]:
        for part in line.split("  "):
            assert " ".join(part.split()) in text
    document = cli.json(f"plan job.toml {FEW} --units {units}")
    sections = document["results"]["sections"]
    heads = [head for head in tags(made, "h2") if head.get("id")]
    assert [words(head).split(" ", 1)[1] for head in heads] == [s["title"] for s in sections]
    for section in sections:
        answer = section["answer"] or {"warnings": [], "cautions": []}
        for note in (*answer["warnings"], *answer["cautions"]):
            assert note["text"].split(". ")[0].rstrip(".")[1:] in text
    for note in document["assumptions"]:
        assert note["text"].rstrip(".")[1:] in text


def test_a_reader_who_cannot_see_finds_the_way(page):
    made = page()
    levels = [int(e.tag[-1]) for e in made.iter() if re.fullmatch(rf"{XHTML}h[1-6]", str(e.tag))]
    assert levels.count(1) == 1
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
    tables = tags(made, "table")
    assert len(tables) > 15
    for table in tables:
        assert words(table.find(f"{XHTML}caption"))
        heads = table.find(f"{XHTML}thead").iter(f"{XHTML}th")
        assert all(head.get("scope") == "col" for head in heads)
        for row in table.find(f"{XHTML}tbody"):
            assert row[0].get("scope") == "row"
    drawings = [svg for svg in made.iter(f"{SVG}svg") if svg.get("aria-hidden") != "true"]
    assert len(drawings) >= 8
    names = {e.get("id"): e for e in made.iter() if e.get("id")}
    assert len(names) == len([e for e in made.iter() if e.get("id")])
    for svg in drawings:
        assert svg.get("role") == "img"
        title, finding = svg.get("aria-labelledby").split()
        assert names[title].tag == f"{SVG}title"
        assert names[finding].tag == f"{SVG}desc"
        # What it shows, with a number or a name in it.
        assert len(words(names[finding])) > 20
        assert re.search(r"\d|: ", words(names[finding]))
    for link in tags(made, "a"):
        assert link.get("href").removeprefix("#") in names
    assert made.get("lang") == "en"


def test_it_asks_nothing_of_the_network_and_runs_nothing(page):
    made = page()
    for element in made.iter():
        assert str(element.tag).rpartition("}")[2] not in (
            "script",
            "link",
            "img",
            "iframe",
            "object",
            "embed",
        )
        for name, value in element.attrib.items():
            assert not name.startswith("on")
            assert name.rpartition("}")[2] not in ("href", "src", "srcset") or value.startswith("#")
            assert not re.search(r"(?i)javascript:|//", value)
    style = words(tags(made, "style")[0])
    assert "@import" not in style
    assert all(target.startswith("#") for target in re.findall(r"url\(([^)]*)\)", style))


def test_hostile_names_are_words(page):
    path = demo_with(**{"Bicycle workshop: assembly table": HOSTILE})
    made = page(path)
    assert words(tags(made, "h1")[0]) == AS_TEXT
    assert not tags(made, "script")


def test_a_job_that_says_little_has_a_page_too(page):
    Path("little.toml").write_text('[shop]\ntemp = "64F"\nrh = "40%"\n')
    made = page("little.toml")
    assert words(tags(made, "h1")[0]) == "little"
    assert "Not planned yet" in words(made)


# Colours


@cache
def style() -> str:
    return (files("woodmove_drawings") / "templates" / "page.css").read_text("utf-8")


def palettes() -> dict[str, dict[str, str]]:
    found = re.findall(r":root \{(.*?)\}", style(), re.DOTALL)
    light, dark, paper = (dict(re.findall(r"--(\w+): (#\w+)", text)) for text in found)
    return {"light": light, "dark": light | dark, "paper": light | paper}


def luminance(colour: str) -> float:
    digits = colour[1:] if len(colour) == 7 else "".join(2 * digit for digit in colour[1:])
    parts = [int(digits[n : n + 2], 16) / 255 for n in (0, 2, 4)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_is_that_of_the_standard():
    assert contrast("#000", "#fff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)  # the well-known near miss


@pytest.mark.parametrize("name", ["light", "dark", "paper"])
def test_words_and_lines_stand_out(name):
    colours = palettes()[name]
    for word in ("ink", "soft", "blue", "go", "wait", "stop"):
        for ground in ("paper", "tint"):
            assert contrast(colours[word], colours[ground]) >= 4.5, (word, ground)
    assert contrast(colours["ink"], colours["wood"]) >= 4.5
    for line in ("blue", "rust", "stop"):
        assert contrast(colours[line], colours["paper"]) >= 3


def test_roles_differ_in_more_than_colour():
    """Two lines that may meet in a chart differ in their dashes, two bands in what fills them."""
    dashes = {}
    for role in ("", ".other", ".limit", ".now"):
        rules = re.findall(rf"\.drawing \.line{re.escape(role)} \{{(.*?)\}}", style())
        dashes[role] = re.findall(r"stroke-dasharray: ([\d ]+)", " ".join(rules))
    assert len({tuple(found) for found in dashes.values()}) == len(dashes)
    fills = re.findall(r"\.drawing \.band(?:\.\w+)? \{ fill: ([^;]+);", style())
    assert len(set(fills)) == len(fills) == 3


# Drawings


def test_what_is_drawn_is_what_the_document_says(cli, own):
    drawn, document = shapes(cli, own, f"plan {demo_with()} {FEW}")
    results = {s["key"]: s["answer"] and s["answer"]["results"] for s in document["results"]["sections"]}

    def of(part: str, key: str, kind: str) -> list[dict]:
        return [shape for shape in drawn[part][key] if shape["shape"] == kind]

    months = results["width"]["first_months"]
    for key, name in (("moisture", "mc_pct"), ("width", "width_mm")):
        (band,) = of("width", key, "Band")
        assert band["low"] == [month[name]["low"] for month in months]
        assert band["high"] == [month[name]["high"] for month in months]
        assert band["x"][0] == document["results"]["build_date"]
        assert [m[name]["expected"] for m in months] in [line["y"] for line in of("width", key, "Line")]
    air = next(line for line in of("width", "moisture", "Line") if line["role"] == "other")
    by_month = [month["mc_pct"] for month in results["width"]["months"]]
    assert air["y"] == [by_month[int(day[5:7]) - 1] for day in air["x"]]
    course = of("lumber", "drying", "Band")[1]
    curve = [row["mc_pct"] for row in results["lumber"]["course"] if row["day"] <= 56]
    assert len(curve) > 10
    assert course["low"] == [row["low"] for row in curve]
    assert course["high"] == [row["high"] for row in curve]
    by_day = {row["day"]: row["mc_pct"]["expected"] for row in results["lumber"]["course"]}
    stones = {row["day"]: row["mc_pct"]["expected"] for row in results["lumber"]["milestones"]}
    assert all(by_day[day] == stones[day] for day in (3, 7, 14, 28))
    days = [line["x"][0] for line in of("lumber", "drying", "Line") if line["role"] == "now"]
    assert days == [results["lumber"]["ready_even_on"], results["lumber"]["ready_likely_on"]]
    room = [month["indoor_rh_pct"] for month in results["air"]["months"]]
    assert room in [line["y"] for line in of("air", "humidity", "Line")]
    strips = [box for box in of("strips", "sections", "Box") if box["role"] == "wood"]
    assert len(strips) == results["strips"]["strip_count"]
    ends = [box for box in of("pile", "ends", "Box") if box["role"] == "wood"]
    assert [round(box["width"], 6) for box in ends] == [
        round(row["right_mm"] - row["left_mm"], 6) for row in results["pile"]["strips_in_ends"]
    ]
    ranked = [row["board"] for row in results["pile"]["boards"]]
    assert list(dict.fromkeys(row["board"] for row in results["pile"]["strips_in_ends"])) == ranked
    now, narrowest, widest = (box["width"] for box in of("width", "section", "Box"))
    assert now == results["width"]["width_now_mm"]
    grows = (results["width"][key]["expected"] - now for key in ("narrowest_mm", "widest_mm"))
    (less, more), times = grows, (widest - now) / (results["width"]["widest_mm"]["expected"] - now)
    assert times == pytest.approx(round(times))
    assert (narrowest - now, widest - now) == pytest.approx((times * less, times * more))
    screw = next(line for line in of("slots", "travel", "Line") if line["role"] == "main")
    assert screw["y"] == [row["screw_1_mm"] for row in results["slots"]["screw_months"]]


@pytest.mark.parametrize("units", ["in", "mm"])
def test_no_word_of_a_drawing_leaves_it(page, units):
    for svg in page(more=f"--units {units}").iter(f"{SVG}svg"):
        if svg.get("viewBox") is None:
            continue
        _, _, wide, high = map(float, svg.get("viewBox").split())
        for text in svg.iter(f"{SVG}text"):
            long = 0.6 * (12 if text.get("class") == "tick" else 13) * len(text.text)
            x = float(text.get("x")) - long * {"start": 0, "middle": 0.5, "end": 1}[text.get("text-anchor")]
            assert x >= -1, text.text
            assert x + long <= wide + 6, text.text
            assert 0 < float(text.get("y")) <= high


# What it is made with


@pytest.mark.parametrize(
    ("option", "made_with"),
    [("", set()), ("--out plan.html", {"jinja2"}), ("--out a.ics", {"icalendar"})],
)
def test_a_run_loads_what_it_needs(tmp_path, clean_environment, option, made_with):
    script = (
        "import sys, atexit\n"
        "atexit.register(lambda: print('loaded', *sys.modules, file=sys.stderr))\n"
        f"sys.argv = ['woodmove', *{('plan --demo ' + option).split()!r}]\n"
        "from woodmove.cli import execute\n"
        "execute.DRAWS = 128\n"
        "from woodmove.cli.main import main\n"
        "sys.exit(main())\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, cwd=tmp_path,
                          env=clean_environment, check=False)  # fmt: skip
    assert done.returncode == 0, done.stderr
    loaded = set(done.stderr.splitlines()[-1].split())
    assert loaded & {"matplotlib", "jinja2", "icalendar"} == made_with
