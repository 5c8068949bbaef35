"""woodmove new: a job file from questions or from defaults."""

import re
import tomllib
from pathlib import Path

import pytest

FEW = "--draws 128"  # enough where no more than the central values, or the order of a Range, is asked for


def write(text: str, name: str = "job.toml") -> None:
    Path(name).write_text(text, encoding="utf-8")


# new


def test_new_writes_a_job_that_check_and_plan_accept(cli):
    assert cli.results("new job.toml --defaults")["written"] == "job.toml"
    text = Path("job.toml").read_text(encoding="utf-8")
    assert tomllib.loads(text)["top"]["width"]
    assert cli.results("check job.toml")["faults"] == 0
    assert cli(f"plan job.toml {FEW}").code == 0


def template(cli) -> list[tuple[str, str, str]]:
    """Table, key and value of each line that new --all writes, those in comments too."""
    assert cli("new job.toml --defaults --all").code == 0
    found, table = [], ""
    for line in Path("job.toml").read_text(encoding="utf-8").splitlines():
        if header := re.fullmatch(r"(?:# )?\[(\w+)\]", line):
            table = header[1]
        elif entry := re.fullmatch(r'(?:# )?(\w+) = "(.*)"', line):
            found.append((table, entry[1], entry[2]))
    assert len(found) > 30
    return found


def test_new_writes_each_value_once(cli):
    places = [(table, key) for table, key, _ in template(cli)]
    assert sorted(places) == sorted(set(places))


def test_what_new_writes_as_a_comment_can_be_read_as_it_stands(cli):
    tables: dict[str, dict[str, str]] = {}
    for table, key, value in template(cli):
        tables.setdefault(table, {})[key] = value
    del tables["plan"]
    lines = []
    for table, values in tables.items():
        lines += [f"[{table}]", *(f'{key} = "{value}"' for key, value in values.items())]
    write("\n".join(lines), "whole.toml")
    done = cli("check whole.toml --json")
    # Together they contradict each other, which only a section finds.
    unreadable = {"UNKNOWN_KEY", "UNREADABLE", "NO_UNIT", "NOT_ALLOWED", "OUT_OF_BOUNDS", "NOT_TOML"}
    assert not unreadable & {error["code"] for error in done.json.get("errors", [])}


def test_new_never_writes_over_a_file(cli):
    write("mine", "job.toml")
    done = cli("new job.toml --defaults")
    assert done.code == 1
    assert "already there" in done.err
    assert Path("job.toml").read_text(encoding="utf-8") == "mine"
    assert [path.name for path in Path().iterdir()] == ["job.toml"]


def test_new_asks_and_asks_again(cli):
    answers = ('My "best" table', "mm", "", "-3", "1200mm", "1in", "atlantis", "burlington", "cellar",
               "garage", "alderr", "red-alder", "2x10", "", "", "9", "12/5/2026", "2026-12-05")  # fmt: skip
    done = cli("new job.toml", stdin="\n".join(answers) + "\n" * 6)
    assert done.code == 0
    for asked_again in ("cannot be -3", "no place 'atlantis'", "cannot be cellar", "no species 'alderr'",
                        "12/5/2026"):  # fmt: skip
        assert asked_again in done.err
    job = tomllib.loads(Path("job.toml").read_text(encoding="utf-8"))
    assert job["job"] == {"name": 'My "best" table', "units": "mm", "people": "2"}
    assert job["top"] == {
        "width": "760mm",
        "length": "1200mm",
        "thickness": "1in",
    }  # Enter takes what is offered
    assert job["room"] == {"place": "burlington", "kind": "garage"}
    assert job["wood"] == {"species": "red-alder", "strips_from": "2x10", "pith_depth": "50mm"}
    assert job["stock"] == {"length": "2400mm", "mc_now": "9", "from": "2026-12-05"}
    assert cli("check job.toml").code == 0


@pytest.mark.parametrize("units", ["in", "mm"])
def test_enter_alone_gives_a_plan_with_no_part_failed(cli, units):
    assert cli(f"new job.toml --units {units}", stdin="\n" * 30).code == 0
    assert len(Path("job.toml").read_text(encoding="utf-8").splitlines()) < 60
    sections = cli.results(f"plan job.toml {FEW}")["sections"]
    statuses = [part["status"] for part in sections]
    assert "failed" not in statuses
    assert statuses.count("done") > 5


def test_new_that_is_broken_off_writes_nothing(cli):
    done = cli("new job.toml", stdin="My table\n")
    assert (done.code, done.out) == (1, "")
    assert "--defaults" in done.err
    assert list(Path().iterdir()) == []


def test_questions_leave_nothing_on_stdout(cli):
    done = cli("new job.toml", stdin="\n" * 20)
    assert done.code == 0
    assert done.out == done.out.lstrip(" ")


def test_new_looks_for_the_file_before_it_asks(cli):
    write("mine", "job.toml")
    done = cli("new job.toml", stdin="")
    assert (done.code, "already there" in done.err) == (1, True)
