"""Dates: nothing is advised for a day that is over, or for nothing; what contradicts is told."""

import re
from datetime import date, timedelta
from pathlib import Path

import pytest
from said_days import days_in

from woodmove.cli.script import ask
from woodmove.contract.commands import CommandSpec
from woodmove.contract.notes import Note
from woodmove.contract.plan import Check, Part, Section
from woodmove.contract.stage import Stage
from woodmove.domain.climate import MONTHS
from woodmove.domain.job import Job
from woodmove.files.job import demo_text
from woodmove.planning.dates import Calendar
from woodmove.planning.run import Run

TODAY = date(2026, 11, 27)
FEW = "--draws 256"
SLAB = (
    "flatten --species douglas-fir-coast --rings on-edge --width 32in --thickness 3in "
    f"--place burlington {FEW}"
)
GLUE = (
    "glue-up --species douglas-fir-coast --strips 8 --strip-thickness 1-3/8in --strip-width 3-1/4in "
    f"--length 47in --mc-now 8 --temp 66F --rh 40 --clamps 16 {FEW}"
)
STOCK = f"acclimate --species douglas-fir-coast --stock 2x8 --mc-now 13 --place burlington {FEW}"
WIDTH = (
    "width --species northern-red-oak --width 36in --thickness 1in --rings flat --mc-now 8 --place fargo "
    f"{FEW}"
)


def check_days(results: dict) -> list[date]:
    return [date.fromisoformat(row["date"]) for row in results["checks"] if row.get("date")]


def texts(document: dict, code: str) -> list[str]:
    return [note["text"] for note in document["warnings"] if note["code"] == code]


# One command


def test_flattenings_are_dated_from_today_on(cli):
    """What sets in 2 days and rests for 12 is flat a fortnight from today at the earliest."""
    rough, final = (TODAY + timedelta(days=days) for days in (2, 14))
    for days in (15, 13, 11):
        build = TODAY + timedelta(days=days)
        found = ask(
            "flatten", draws=256, species="douglas-fir-coast", rings="on-edge", width="32in",
            thickness="3in", place="burlington", mc_now="6", today=f"{TODAY}", build_date=f"{build}",
            joint_wait_days=14, joint_set_days=2,
        )  # fmt: skip
        assert found.results.rest_between_days.expected == 12
        assert [row.date for row in found.results.checks] == [rough, final]
        late = [note.values for note in found.warnings if note.code == "FLAT_TOO_LATE"]
        assert len(late) == (days < 14)
        assert found.verdict.state == ("wait" if late else "go")
        if late:
            assert late[0] == {"start": rough, "day": final, "build": build}


def test_a_final_flattening_that_has_come_is_for_today(cli):
    (day,) = check_days(cli.results(f"{SLAB} --mc-now 6 --from 2026-10-01 --today {TODAY}"))
    assert day == TODAY


def test_glue_is_spread_from_today_on(cli):
    wait = cli.results(GLUE)["glue_water"]["wait_days"]["expected"]
    for days in (int(wait), int(wait) - 1):
        build = TODAY + timedelta(days=days)
        found = cli.json(f"{GLUE} --build-date {build} --today {TODAY}")
        late = texts(found, "LEVEL_TOO_LATE")
        assert check_days(found["results"]) == [TODAY, TODAY + timedelta(days=wait)]
        assert len(late) == (days < wait)
        if late:
            assert days_in(late[0]) == [TODAY, TODAY + timedelta(days=wait), build]
    (level,) = check_days(cli.results(f"{GLUE} --on 2026-10-01 --today {TODAY}"))
    assert level == TODAY


def test_lumber_that_has_been_ready_for_weeks_is_ready_today(cli):
    """Stickered since April it has long come to the room's summer, and the room dries it out again by
    Christmas."""
    line = f"{STOCK} --from 2026-04-01"
    early = cli.results(f"{line} --today 2026-04-01")
    ready, over = (date.fromisoformat(early[name]) for name in ("ready_even_on", "keeps_until"))
    between = ready + (over - ready) / 2
    found = cli.json(f"{line} --today {between}")
    assert found["verdict"]["state"] == "go"
    assert check_days(found["results"]) == [between]
    assert found["results"]["ready_even_on"] == between.isoformat()
    assert found["results"]["keeps_until"] == over.isoformat()
    # Once it is out of the target again, the next time counts.
    again = cli.results(f"{line} --today {over + timedelta(days=7)}")
    assert again["ready_even_on"] > (over + timedelta(days=30)).isoformat()
    assert check_days(again) == [date.fromisoformat(again["ready_even_on"])]


def test_a_day_before_the_stacking_changes_nothing(cli):
    line = f"{STOCK} --from 2026-12-01 --build-date 2027-01-15"
    assert (
        cli.results(f"{line} --today 2026-12-01")
        == cli.results(f"{line} --today 2026-06-01")
    )  # fmt: skip


def test_of_lumber_of_years_ago_no_day_is_told(cli):
    found = cli.json(f"{STOCK} --from 2024-11-01 --today {TODAY}")
    assert {note["code"] for note in found["warnings"]} == {"STACKED_LONG_AGO"}
    assert found["results"]["days_to_ready"] is None
    assert [note["code"] for note in found["verdict"]["says"]] == ["METER_AGAIN"]
    assert not found["results"]["checks"]


def test_the_width_is_measured_at_the_next_turn(cli):
    def turns(today: date) -> list[date]:
        found = cli.results(f"{WIDTH} --build-date 2026-01-10 --today {today}")["turns"]
        return sorted(date.fromisoformat(turn["day"]) for turn in found)

    first, second = turns(date(2026, 1, 10))
    assert date(2026, 1, 10) < first < second < date(2027, 2, 1)
    kept = turns(second)
    assert second in kept
    assert all(day >= second for day in kept)


def test_today_is_that_of_the_clock_if_nobody_says_so(cli, monkeypatch):
    class Day(type(date)):
        def __instancecheck__(cls, value):
            return isinstance(value, date)

    class Clock(date, metaclass=Day):
        @classmethod
        def today(cls):
            return date(2031, 5, 6)

    monkeypatch.setattr("woodmove.cli.execute.date", Clock)
    assert cli.json(f"{STOCK} --from 2031-05-01")["inputs"]["today"] == "2031-05-06"
    Path("job.toml").write_text("[job]\nbuild_date = 2031-05-05\n[room]\nplace = 'fargo'\n", encoding="utf-8")
    found = cli.json(f"plan job.toml {FEW}")
    assert found["inputs"]["today"] == "2031-05-06"
    assert texts(found, "BUILD_DATE_PAST")
    # Where no day is given none counts.
    assert "today" not in cli.json(STOCK.replace("--place burlington", "--temp 20C --rh 40"))["inputs"]


# A rest


@pytest.mark.parametrize("mc", [5, 7, 9, 11])
@pytest.mark.parametrize("apart", [-2, 0.5, 1, 1.6])
@pytest.mark.parametrize("joints", [None, 9])
def test_a_rest_that_makes_nothing_flatter_is_not_advised(mc, apart, joints):
    """What a hand feels is 0.003 in (common practice): a rest of weeks gives at least that, against planing
    today and against planing when the joints have set and dried."""
    answer = ask(
        "flatten", draws=256, species="douglas-fir-coast", rings="on-edge", width="32in",
        thickness="3in", place="burlington", mc_now=f"{mc}", core_less_shell=f"{apart}",
        build_date="2027-02-15", today="2026-08-01", joint_wait_days=joints,
    )  # fmt: skip
    found, anyhow = answer.results, 8 if joints else 1
    rests = 0 if found.rest_between_days is None else found.rest_between_days.expected
    if rests > anyhow:
        assert found.now_cup_mm.expected - found.rested_cup_mm.expected >= 0.003 * 25.4 - 1e-6
    assert rests == 0 or rests >= anyhow
    # Planed off one face on the day that is told it is flat, nearly so, or that is told.
    if rests and found.rested_cup_mm.expected > 1.2 * 25.4 / 64:
        assert "RESTS_IN_VAIN" in {note.code for note in answer.warnings}


def test_a_rest_that_helps_is_advised(cli):
    line = SLAB.replace("--thickness 3in", "--thickness 2in")
    found = cli.results(f"{line} --mc-now 8 --core-less-shell 2 --temp 66F --rh 35")
    assert 7 < found["rest_between_days"]["expected"] <= 28
    assert found["rested_cup_mm"]["expected"] <= 25.4 / 64 < 0.75 * found["now_cup_mm"]["expected"]


# The plan


def test_a_check_that_is_over_is_left_out():
    days = {TODAY - timedelta(days=1): "Late.", TODAY: "In time."}
    checks = tuple(Check(Note("CHECK", words), day) for day, words in days.items())
    command = CommandSpec("shed", "Shed.", ("woodmove shed",), (), lambda request, catalogue: None)
    section = Section("shed", "Shed", command, Stage.YEAR)
    part = Part(key="shed", title="Shed", provider="", status="done", reason="", cause="", answer=None)
    job = Job("shed", "in", None, (), {"today": TODAY}, "job.toml", {})
    found = Calendar(job, [Run(section, part, checks=checks)]).checks()
    assert [row.check.text for row in found] == ["In time."]


@pytest.fixture
def plan(cli):
    def run(text: str, today: date, code: int = 0) -> dict:
        Path("job.toml").write_text(text, encoding="utf-8")
        done = cli(f"plan job.toml --json {FEW} --today {today}")
        assert done.code == code, done.err
        return done.json

    return run


@pytest.mark.parametrize(
    ("build", "today"),
    [
        ("2026-12-05", "2026-11-28"),
        ("2027-01-16", "2026-11-28"),
        ("2027-01-16", "2027-01-05"),
        ("2027-01-16", "2027-01-15"),
        ("2027-01-16", "2027-11-01"),
        ("2027-02-20", "2026-12-31"),
    ],
)
def test_all_dates_of_a_plan_come_from_today_on_and_in_the_order_of_the_work(plan, build, today):
    build, today = date.fromisoformat(build), date.fromisoformat(today)
    found = plan(demo_text().replace("2027-01-16", f"{build}"), today)
    checks = found["results"]["checks"]
    assert all(day >= today for day in check_days(found["results"]))
    months = [re.fullmatch(r"(?:\d+ )?(\w+) (\d{4})", row["when"]).groups() for row in checks]
    placed = [(int(year), MONTHS.index(month)) for month, year in months]
    assert placed == sorted(placed)
    assert placed[0] >= (today.year, today.month - 1)
    # By what follows the names of the work: read, glue, flatten, then the screws.
    work = (
        "meter core and shell", "Glue the strips", "Flatten the top roughly", "Flatten the top finally",
        "Measure the width",
    )  # fmt: skip
    stages = [number for row in checks for number, words in enumerate(work) if words in row["check"]]
    assert stages == sorted(stages)
    # The top is flat on the day from which it may be built on.
    codes = {note["code"] for note in found["warnings"]}
    soon = next((text for text in texts(found, "TOO_SOON") if "screw slots" in text), "")
    final = [row["date"] for row in checks if "Flatten the top finally" in row["check"]]
    assert bool(final) == (build >= today)
    if soon:
        assert final == [f"{days_in(soon)[-1]}"]
    assert ("BUILD_DATE_PAST" in codes) == (build < today)


def test_a_month_is_looked_at_again_in_the_years_after(plan):
    def screws(today: date) -> list[str]:
        checks = plan(demo_text(), today)["results"]["checks"]
        return [row["when"] for row in checks if "each screw" in row["check"] or "no screw" in row["check"]]

    assert screws(date(2027, 1, 10)) == screws(date(2027, 3, 31)) == ["March 2027", "September 2027"]
    assert screws(date(2027, 4, 1)) == ["September 2027", "March 2028"]


def test_what_contradicts_is_told_though_another_section_fails(plan):
    """The lumber is not ready by then, whatever else is wrong."""
    text = demo_text().replace("2027-01-16", "2026-12-06")
    whole = texts(plan(text, TODAY), "TOO_SOON")
    assert whole
    for was, now, section in (
        ("[glue]\n", "[flatten]\ncore_less_shell = 19\n[glue]\n", "flatten"),
        ('planer = "13in"', 'planer = "2in"', "strips"),
        ('pitch = "4in"', 'pitch = "4in"\nspan = "5ft"', "holes"),
    ):
        found = plan(text.replace(was, now), TODAY, code=1)
        status = {row["key"]: row["status"] for row in found["results"]["sections"]}
        assert status[section] == "failed"
        told = texts(found, "TOO_SOON")
        assert told
        assert days_in(told[-1])[0] == date(2026, 12, 6) < days_in(told[-1])[1]


def test_dates_out_of_order_are_told_though_every_other_section_fails(plan):
    text = demo_text().replace("[glue]\n", '[glue]\non = "2027-03-01"\n').replace('thickness = "3in"', "")
    found = plan(text.replace('planer = "13in"', 'planer = "2in"'), TODAY, code=1)
    assert texts(found, "DATES_OUT_OF_ORDER")


def test_a_glue_up_before_the_lumber_is_ready_is_told(plan):
    sooner, later = (
        plan(demo_text().replace("[glue]\n", f'[glue]\non = "{day}"\n'), date(2026, 11, 28))
        for day in ("2026-12-10", "2027-01-04")
    )
    (told,) = [text for text in texts(sooner, "TOO_SOON") if "glue-up" in text]
    assert days_in(told)[0] == date(2026, 12, 10)
    assert not [text for text in texts(later, "TOO_SOON") if "glue-up" in text]


def test_lumber_that_never_gets_ready_leaves_no_day_to_glue(plan):
    """Wrapped tight it hardly changes."""
    text = demo_text().replace('stack = "stickered"', 'stack = "wrapped"')
    found = plan(text, date(2026, 11, 28))
    assert texts(found, "NO_DAY_KNOWN")
    said = " ".join(row["check"] for row in found["results"]["checks"])
    assert "Glue" not in said
    assert "Flatten" not in said
    # What is glued already was dry enough for somebody.
    glued = plan(text.replace("[glue]\n", '[glue]\non = "2026-11-28"\n'), date(2026, 11, 30))
    assert not texts(glued, "NO_DAY_KNOWN")


def test_a_glue_up_that_is_done_starts_the_count(plan):
    """Glued on the 2nd, set in 2 days and flattened roughly on the 6th, it rests for 8 and may be built on
    the 16th."""
    text = demo_text().replace("[glue]\n", '[glue]\non = "2027-01-02"\n')
    assert not texts(plan(text, date(2027, 1, 6)), "TOO_SOON")
    assert texts(plan(demo_text(), date(2027, 1, 10)), "TOO_SOON")


def test_wood_at_hand_that_cannot_be_glued_in_time_is_told_too(plan):
    text = re.sub(r"\[stock\].*?(?=\[pile\])", "", demo_text(), flags=re.DOTALL)
    text = text.replace("[wood]\n", '[wood]\nmc_now = "8%"\n')
    assert not texts(plan(text, date(2027, 1, 2)), "TOO_SOON")
    (told,) = texts(plan(text, date(2027, 1, 12)), "TOO_SOON")
    assert days_in(told)[1] > days_in(told)[0] == date(2027, 1, 16)
