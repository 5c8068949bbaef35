"""The calendar of a plan, read by a library that did not write it."""

import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
import vobject

from woodmove.files.job import demo_text

FEW = "--draws 256"
HOSTILE = r"Café; top, \"A\" \\ <b>2 & 3</b>"


def events(path: str) -> dict[str, vobject.base.Component]:
    """The events of a calendar file, by UID."""
    (book,) = vobject.readComponents(Path(path).read_text(encoding="utf-8"))
    assert book.behavior is vobject.icalendar.VCalendar2_0
    assert book.validate()
    found = {event.uid.value: event for event in book.vevent_list}
    assert len(found) == len(book.vevent_list)
    return found


def job(cli, text: str = "", **changes: str) -> str:
    text = text or demo_text()
    for old, new in changes.items():
        assert old in text
        text = text.replace(old, new)
    Path("job.toml").write_text(text, encoding="utf-8")
    return f"plan job.toml {FEW} --today 2026-11-28"


def test_every_dated_check_is_an_event_on_its_day(cli):
    line = job(cli)
    checks = cli.json(line)["results"]["checks"]
    assert cli(f"{line} --out a.ics").code == 0
    found = events("a.ics").values()
    assert len(found) == len(checks) > 5
    told = {(event.dtstart.value, event.description.value.partition(": ")[2]) for event in found}
    for check in checks:
        day = date.fromisoformat(check["date"] or check["yearly_from"])
        assert any(day == on and check["check"] in text for on, text in told), check
    yearly = [event for event in found if hasattr(event, "rrule")]
    assert [event.rrule.value for event in yearly] == ["FREQ=YEARLY"] * 2
    assert {event.dtstart.value for event in yearly} == {date(2027, 3, 15), date(2027, 9, 15)}
    for event in found:
        assert 0 < len(event.summary.value) <= 72
        assert (event.dtend.value - event.dtstart.value).days == 1


def test_a_later_plan_moves_the_events_that_are_there(cli):
    assert cli(f"{job(cli)} --out a.ics").code == 0
    # A week later, and the lumber was wetter than thought.
    later = job(cli, **{'mc_now = "13%"': 'mc_now = "15%"'}).replace("2026-11-28", "2026-12-05")
    assert cli(f"{later} --out b.ics").code == 0
    old, new = events("a.ics"), events("b.ics")
    assert set(old) == set(new)
    assert any(new[uid].dtstart.value > old[uid].dtstart.value for uid in old)
    assert all(int(new[uid].sequence.value) - int(old[uid].sequence.value) == 7 for uid in old)


def test_two_jobs_share_no_event(cli):
    assert cli(f"{job(cli)} --out a.ics").code == 0
    assert cli(f"{job(cli, **{'assembly table': 'second table'})} --out b.ics").code == 0
    assert not set(events("a.ics")) & set(events("b.ics"))


def test_a_name_with_signs_of_the_format_comes_back_whole(cli):
    name = HOSTILE.encode().decode("unicode_escape").encode("latin-1").decode()
    line = job(cli, **{"Bicycle workshop: assembly table": HOSTILE})
    assert cli(f"{line} --out a.ics").code == 0
    raw = Path("a.ics").read_bytes()
    # RFC 5545, section 3.1: lines end with CR and LF, and hold at most 75 octets.
    lines = raw.split(b"\r\n")
    assert b"\n" not in raw.replace(b"\r\n", b"")
    assert max(map(len, lines)) <= 75
    for event in events("a.ics").values():
        assert event.description.value.startswith(f"{name}\n")


def test_without_a_date_there_is_nothing_to_write(cli):
    Path("job.toml").write_text('[shop]\ntemp = "64F"\nrh = "40%"\n')
    done = cli("plan job.toml --out a.ics")
    assert done.code == 1
    assert "No check of this plan has a day" in done.err
    assert not Path("a.ics").exists()


def test_a_job_without_a_build_date_has_its_months_from_today_on(cli):
    line = job(cli, **{"build_date = 2027-01-16\n": ""})
    assert cli(f"{line} --out a.ics").code == 0
    yearly = [event.dtstart.value for event in events("a.ics").values() if hasattr(event, "rrule")]
    assert yearly
    assert all(date(2026, 11, 1) <= day < date(2027, 11, 1) for day in yearly)


WITHOUT = """
import sys
for name in {names}:
    sys.modules[name] = None
sys.argv = ["woodmove", *{arguments}]
from woodmove.cli import execute
from woodmove.cli.main import main
execute.DRAWS = 128
sys.exit(main())
"""


@pytest.fixture
def without_the_extra(tmp_path, clean_environment):
    """A command line where nothing of the extra is installed."""

    def run(line: str) -> subprocess.CompletedProcess[str]:
        names = ("matplotlib", "jinja2", "icalendar")
        script = WITHOUT.format(names=names, arguments=tuple(line.split()))
        return subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, cwd=tmp_path,
                              env=clean_environment, check=False)  # fmt: skip

    return run


def test_without_the_extra_all_else_works_and_says_what_to_install(without_the_extra, tmp_path):
    plain = without_the_extra("plan --demo")
    assert (plain.returncode, plain.stderr) == (0, "")
    done = without_the_extra("plan --demo --out a.ics")
    assert (done.returncode, done.stdout) == (1, "")
    assert "pip install matplotlib jinja2 icalendar" in done.stderr
    folder = without_the_extra("plan --demo --out all")
    assert folder.returncode == 0
    assert "left out: checks.ics" in folder.stderr
    made = {path.name for path in (tmp_path / "all").iterdir()}
    assert made == {"card.txt", "details.txt", "plan.json", "tables"}
    assert not (tmp_path / "a.ics").exists()
