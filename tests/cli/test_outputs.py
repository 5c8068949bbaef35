"""Files that are made of an answer: all of them or none, and never over what is there unasked."""

import json
import resource
import subprocess
import sys
from pathlib import Path

import pytest
from plugins_as_text import HEAD, lay

FEW = "--draws 128"
PLAN = f"plan --demo {FEW}"
SLIPS = (
    HEAD
    + """
def slip(sheet, ending):
    return f"{ending} {sheet.title}: {sheet.says[0]}".encode()

def broken(sheet, ending):
    raise RuntimeError("the printer is out of paper")

def no_file(sheet, ending):
    return "text"

@hookimpl
def woodmove_outputs():
    return [
        Output("slip", "A slip.", ("plan", "slots"), (".txt", ".slip"), slip),
        Output("broken", "A slip that fails.", ("plan",), (".txt",), broken),
        Output("no-file", "Text.", ("plan",), (".txt",), no_file),
        Output("slip", "A second of one name.", ("plan",), (".txt",), slip),
    ]
"""
)


@pytest.fixture
def slips(cli, own):
    lay(own, "slips", SLIPS)
    return cli


def there() -> set[str]:
    """What lies in the folder, and below."""
    return {str(path) for path in Path().rglob("*")}


def test_an_output_of_a_plugin_is_a_file_beside_the_page(slips):
    plain = slips(PLAN)
    done = slips(f"{PLAN} --out slip-a.txt")
    assert (done.code, done.out) == (0, plain.out)
    assert Path("slip-a.txt").read_text().startswith(".txt Bicycle workshop: assembly table: Not ready yet")
    assert slips(f"{PLAN} --out b.slip").code == 0
    assert Path("b.slip").read_text().startswith(".slip ")
    assert there() == {"slip-a.txt", "b.slip"}
    assert "slip.txt (A slip.)" in " ".join(slips("plan -h").out.split())
    assert "--out" not in slips("width -h").out
    assert done.err.count("output 'slip' of plugin slips was refused") == 1


def test_a_command_of_a_plugin_takes_it_too(slips):
    line = f"slots --species teak --width 36in --thickness 1in --rings flat --mc-now 8 --mc-low 6 {FEW}"
    assert slips(f"{line} --mc-high 11 --out a.txt").code == 0
    assert Path("a.txt").read_text().startswith(".txt Slots: ")


@pytest.mark.parametrize(
    ("options", "code", "says"),
    [
        ("--out a.xyz", 2, "a.xyz names no file that can be made"),
        ("--out a.txt", 2, "There are: broken.txt, no-file.txt, slip.txt."),
        ("--out nowhere/slip.txt", 1, "there is no folder nowhere"),
        ("--out slip-mine.txt", 1, "slip-mine.txt is already there"),
        ("--out slip-dir.slip --force", 1, "slip-dir.slip is not a file"),
        ("--out mine", 2, "mine is not a folder"),
        ("--out slip.txt,slip.txt", 2, "Two outputs are to go to slip.txt"),
        ("--out slip.txt,broken.txt", 4, "the printer is out of paper"),
        ("--out slip.txt,no-file.txt", 4, "made a str and not a file"),
        ("--out full,broken.txt", 4, "the printer is out of paper"),
    ],
)
def test_what_cannot_be_written_changes_nothing(slips, options, code, says):
    Path("slip-mine.txt").write_text("mine")
    Path("slip-dir.slip").mkdir()
    Path("mine").write_text("mine")
    done = slips(f"{PLAN} {options}")
    assert (done.code, done.out) == (code, "")
    assert says in done.err
    assert "Traceback" not in done.err
    assert there() == {"slip-mine.txt", "slip-dir.slip", "mine"}
    assert Path("slip-mine.txt").read_text() == "mine"


def test_force_writes_over_files_and_a_failure_leaves_them(slips):
    Path("slip-mine.txt").write_text("mine")
    assert slips(f"{PLAN} --out slip-mine.txt,broken.txt --force").code == 4
    assert Path("slip-mine.txt").read_text() == "mine"
    assert slips(f"{PLAN} --out slip-mine.txt --force").code == 0
    assert Path("slip-mine.txt").read_text().startswith(".txt ")
    assert there() == {"slip-mine.txt"}


def test_a_full_disk_leaves_nothing_behind(tmp_path, clean_environment):
    """The system lets no file grow beyond 100 bytes, as a full disk would; what is there stays."""
    (tmp_path / "a.ics").write_text("mine")
    line = "plan --demo --force --out a.ics,new/folder"
    done = subprocess.run(
        [sys.executable, "-m", "woodmove", *line.split()],
        capture_output=True, text=True, cwd=tmp_path,
        env=clean_environment | {"PYTHONDONTWRITEBYTECODE": "1"},
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100)), check=False,
    )  # fmt: skip
    assert done.returncode == 1
    assert "cannot be written" in done.stderr
    assert "Nothing was written" in done.stderr
    assert [path.name for path in tmp_path.rglob("*")] == ["a.ics"]
    assert (tmp_path / "a.ics").read_text() == "mine"


# A folder with all there is


def test_a_folder_holds_the_plan_whole(slips):
    done = slips(f"{PLAN} --out plan/of-june")
    assert done.code == 0
    folder = Path("plan/of-june")
    assert (folder / "card.txt").read_text() == slips(PLAN).out
    assert (folder / "details.txt").read_text() == slips(f"{PLAN} --details").out
    document = slips.json(PLAN)
    assert json.loads((folder / "plan.json").read_text()) == document
    boards = next(s for s in document["results"]["sections"] if s["key"] == "pile")["answer"]["results"][
        "boards"
    ]
    assert len((folder / "tables" / "pile-boards.csv").read_text().splitlines()) == len(boards) + 1
    assert (folder / "slip.txt").exists()
    # What fails is named and takes nothing else with it.
    assert "left out: broken.txt" in done.err
    assert not (folder / "broken.txt").exists()


def test_a_folder_is_never_written_over_unasked(slips):
    assert slips(f"{PLAN} --out all").code == 0
    before = {path: path.read_bytes() for path in Path("all").rglob("*") if path.is_file()}
    Path("all/notes.txt").write_text("mine")
    Path("all/slip.txt").unlink()
    done = slips(f"{PLAN} --out all --units mm")
    assert done.code == 1
    assert "is already there" in done.err
    assert not Path("all/slip.txt").exists()
    assert slips(f"{PLAN} --out all --units mm --force").code == 0
    after = {path: path.read_bytes() for path in before}
    assert after[Path("all/card.txt")] != before[Path("all/card.txt")]
    assert Path("all/notes.txt").read_text() == "mine"
    assert not [path for path in Path("all").rglob("*") if path.name.startswith(".")]
