"""A plugin of somebody else, one of everything, is used like our own.

With `pip install tests/stranger` the other tests hold beside it, too: `.ci/run` sees to that.
"""

from importlib.metadata import EntryPoint, entry_points
from pathlib import Path

import pytest

from woodmove.extend.hookspecs import RETURNS
from woodmove.extend.manager import GROUP
from woodmove.extend.testkit import check_plugin

NAME = "hayloft"
FEW = "--draws 128"
TOP = f"--species hedge-maple --rings flat --mc-now 8 {FEW}"
JOB = """
[job]
build_date = 2027-03-01
[wood]
species = "hedge-maple"
rings = "flat"
mc_now = "8%"
[top]
width = "30in"
thickness = "1in"
[room]
place = "hayloft-barn"
kind = "heated"
[slots]
screw = "hayloft-5x50"
washer = "hayloft-washer"
[loft]
fill = "95%"
"""


@pytest.fixture
def beside(cli, monkeypatch):
    """Command lines with the stranger's plugin beside our own, whether it is installed or not."""
    monkeypatch.syspath_prepend(Path(__file__).parents[1] / "stranger")
    found = [entry for entry in entry_points(group=GROUP) if entry.name != NAME]
    stranger = EntryPoint(NAME, "woodmove_hayloft", GROUP)
    monkeypatch.setattr("woodmove.extend.manager.entry_points", lambda group: [*found, stranger])
    return cli


def test_it_keeps_the_contract_and_brings_one_of_everything(beside) -> None:
    import woodmove_hayloft  # type: ignore[import-not-found]

    assert check_plugin(woodmove_hayloft) == []
    assert set(RETURNS) <= set(vars(woodmove_hayloft))


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("show plugins hayloft", "hedge-maple"),
        ("show species 'field maple of the hedge' --details", "28.0 %"),
        ("climate show hayloft-barn --room heated", "Hayloft barn"),
        (f"width {TOP} --width 30in --place hayloft-barn --room heated --details", "place hayloft-"),
        (f"width {TOP} --width 30in --thickness 1in --place hayloft-barn --finish 'barn paint' --details",
         "finish barn paint"),
        (f"slots {TOP} --width 30in --thickness 1in --screw hayloft-5x50 --washer hayloft-washer "
         "--mc-low 6 --mc-high 11", "Hayloft 5 x 50"),
        (f"meter read 12 --meter hayloft-pins --species hedge-maple --wood-temp 45F {FEW} --details",
         "temperature"),
        ("list adhesives --details", "hayloft-casein"),
        ("list finishes --details", "hayloft-milk-paint"),
        ("list fasteners --details", "hayloft-5x50"),
        ("list sticks", "larch"),
        ("show sticks larch", "woodmove list sticks. wood larch thick 3/4 in dry after 9 months"),
        ("loft stack --species hedge-maple --fill 95 --details", "Turn the stack when the loft is 95"),
        ("loft stack --species hedge-maple --fill 80 --csv", "layer,sticks,stick_above_mm 1,5,25.4 2,4,"),
        ("loft stack --species hedge-maple --fill 80 --details", "in in -------- -------- 10 20"),
        ("loft stack --species hedge-maple --fill 80 --details --units mm", "254 508"),
        ("loft stack --species hedge-maple --fill 80 --units mm", "1 5 25"),
        ("loft stack --species hedge-maple --fill 80 --json", '{ "Beam A": null, "Beam B": 762.0 }'),
        ("loft --help", "stack"),
        ("--help", "loft"),
    ],
)  # fmt: skip
def test_what_it_brings_is_used(beside, line: str, says: str) -> None:
    done = beside(line)
    assert (done.code, done.err) == (0, "")
    assert says in " ".join(done.out.split())


def test_its_section_is_in_the_plan(beside) -> None:
    Path("job.toml").write_text(JOB, encoding="utf-8")
    results = beside.results(f"plan job.toml {FEW}")
    rows = {row["key"]: row for row in results["sections"]}
    assert (rows["loft"]["status"], rows["loft"]["provider"]) == ("done", NAME)
    assert rows["loft"]["answer"]["results"]["spare_room_pct"] == 5.0
    assert "Turn the stack in the loft." in {check["check"] for check in results["checks"]}
    assert beside("new new.toml --defaults --all").code == 0
    assert "[loft]" in Path("new.toml").read_text(encoding="utf-8")
