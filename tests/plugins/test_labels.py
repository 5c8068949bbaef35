"""Labels for boards and strips: one for each, with what the plan says of it."""

from pathlib import Path
from typing import Any
from xml.etree.ElementTree import Element

import html5lib
from drawn import demo_with

FEW = "--draws 128 --today 2026-11-28"
XHTML = "{http://www.w3.org/1999/xhtml}"
STRIPS = "strip,mc,rings,crook\n1,7.5,20,1/16in\n<b>2</b>,7.8,40,-1/16in\n3,7.9,60,0in\n"


def words(element: Element) -> str:
    return " ".join(" ".join(element.itertext()).split())


def tags() -> dict[str, str]:
    """What is written on each label, by its head."""
    page = html5lib.HTMLParser(strict=True).parse(Path("labels.html").read_text(encoding="utf-8"))
    found = {words(next(label.iter(f"{XHTML}h2"))): words(label) for label in page.iter(f"{XHTML}li")}
    assert len(found) == len(list(page.iter(f"{XHTML}li")))
    return found


def results(document: dict[str, Any]) -> dict[str, Any]:
    """The results of each part that has any."""
    sections = document["results"]["sections"]
    return {section["key"]: section["answer"]["results"] for section in sections if section["answer"]}


def test_every_board_has_a_label_with_its_cut(cli):
    line = f"plan {demo_with()} {FEW}"
    assert cli(f"{line} --out labels.html").code == 0
    sections = results(cli.json(line))
    found = tags()
    assert list(found) == [f"board {row['board']}" for row in sections["pile"]["boards"]]
    back = sections["cut_list"]["back"]
    assert back
    for row in sections["pile"]["boards"]:
        label = found[f"board {row['board']}"]
        # Nobody rips a board that goes back to the yard.
        assert ("do rip" in label, row["cut"] in label) == (row["board"] not in back,) * 2
    for row in sections["cut_list"]["boards"]:
        assert row["cuts"] in found[f"board {row['board']}"]


def test_every_strip_has_a_label_with_its_place_and_its_mark(cli):
    Path("strips.csv").write_text(STRIPS, encoding="utf-8")
    job = demo_with(**{"[strips]": '[strips]\nlist = "strips.csv"'})
    line = f"plan {job} {FEW}"
    assert cli(f"{line} --out labels.html").code == 0
    laid = results(cli.json(line))["lay-up"]["laid"]
    found = tags()
    assert len([head for head in found if head.startswith("strip ")]) == len(laid) == 3
    for row in laid:
        label = found[f"strip {row['strip']}"]
        assert f"place {row['place']}" in label
        assert f"mark {row['mark']}" in label
        assert f"marked end {row['marked_end']}" in label


def test_a_plan_without_boards_has_no_labels(cli):
    Path("little.toml").write_text('[shop]\ntemp = "64F"\nrh = "40%"\n')
    done = cli("plan little.toml --out labels.html")
    assert done.code == 1
    assert "names no board and no strip" in done.err
    assert not Path("labels.html").exists()
