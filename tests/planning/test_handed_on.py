"""The whole plan: what one part hands on to the next, and what does not go together."""

import math
import re
from datetime import date, timedelta
from pathlib import Path

import pytest
from said_days import days_in, said

from woodmove.files.job import demo_text

FEW = "--draws 512"


@pytest.fixture
def plan(cli):
    def run(text: str):
        Path("job.toml").write_text(text, encoding="utf-8")
        done = cli(f"plan job.toml --today 2026-11-28 --json {FEW}")
        assert done.code == 0, done.err
        return {row["key"]: row for row in done.json["results"]["sections"]}, done.json

    return run


def test_the_demo_holds_the_glue_up(plan):
    sections, found = plan(demo_text())
    for key in ("strips", "glue-up", "flatten", "holes", "weight", "slots"):
        assert sections[key]["status"] == "done", sections[key]["reason"]
    assert sections["lay-up"]["status"] == "blocked"
    strips, glue = (sections[key]["answer"]["results"] for key in ("strips", "glue-up"))
    # What is glued at once is the widest section.
    assert glue["strip_count"] == max(row["strips_each"] for row in strips["top_sections"])
    assert any(row["check"].startswith("Glue the strips") for row in found["results"]["checks"])
    assert sections["slots"]["answer"]["results"]["why_slots"].startswith("Screwed tight")


def test_thickness_and_width_are_handed_on_where_the_job_does_not_say_them(plan):
    text = demo_text().replace('thickness = "3in"\n', "").replace('width = "32in"\n', "")
    text = text.replace("[strips]\n", '[strips]\nwidth = "32in"\n')
    sections, found = plan(text)
    assert sections["slots"]["status"] == "done"
    strips = sections["strips"]["answer"]["results"]
    slots = sections["slots"]["answer"]
    assert slots["inputs"]["top_thickness_mm"] == pytest.approx(strips["flat_thickness_mm"]["expected"])
    assert slots["inputs"]["top_width_mm"] == pytest.approx(strips["width_needed_mm"])
    handed = [note["text"] for note in found["assumptions"] if note["code"] == "HANDED_ON"]
    assert any("top.thickness" in text for text in handed)


def test_a_list_of_strips_is_laid_up(plan):
    text = demo_text().replace(
        "[strips]\n", '[strips]\nlist = ["name=a mc=7 rings=20", "name=b mc=8 rings=40", "name=c mc=7.5"]\n'
    )
    sections, _ = plan(text)
    assert sections["lay-up"]["status"] == "done"
    assert len(sections["lay-up"]["answer"]["results"]["laid"]) == 3


def test_a_file_of_strips_stands_beside_the_job(cli):
    folder = Path("there")
    folder.mkdir()
    (folder / "strips.csv").write_text("strip,mc\na,7\nb,8\n", encoding="utf-8")
    text = demo_text().replace("[strips]\n", '[strips]\nlist = "strips.csv"\n')
    (folder / "job.toml").write_text(text, encoding="utf-8")
    done = cli(f"plan there/job.toml --json {FEW}")
    assert done.code == 0, done.err
    sections = {row["key"]: row for row in done.json["results"]["sections"]}
    assert sections["lay-up"]["status"] == "done", sections["lay-up"]["reason"]


def warnings_of(found) -> dict[str, str]:
    return {note["code"]: note["text"] for note in found["warnings"]}


def test_a_meter_reading_that_the_lumber_contradicts_is_told(plan):
    text = demo_text().replace("[wood]\n", '[wood]\nmc_now = "11%"\n')
    sections, found = plan(text)
    expected = sections["lumber"]["answer"]["results"]["mc_at_build_pct"]
    assert expected["high"] < 11
    assert "11.0 % (wood.mc_now)" in warnings_of(found)["SAID_OTHERWISE"]
    assert f"{expected['expected']:.1f} %" in warnings_of(found)["SAID_OTHERWISE"]
    assert "SAID_OTHERWISE" not in warnings_of(plan(text.replace('"11%"', '"6.6%"'))[1])


def test_a_list_shorter_than_the_top_is_told(plan):
    text = demo_text().replace("[strips]\n", '[strips]\nlist = ["name=a mc=7", "name=b mc=8"]\n')
    sections, found = plan(text)
    needed = sections["strips"]["answer"]["results"]["strip_count"]
    told = warnings_of(found)["STRIPS_MISSING"]
    assert [int(number) for number in re.findall(r"\d+", told)] == [2, needed, needed - 2]
    rows = [f"s{n},7" for n in range(needed)]
    Path("strips.csv").write_text("\n".join(["strip,mc", *rows, ""]), encoding="utf-8")
    enough = demo_text().replace("[strips]\n", '[strips]\nlist = "strips.csv"\n')
    assert "STRIPS_MISSING" not in warnings_of(plan(enough)[1])


def test_a_build_date_before_the_wood_is_ready_is_told(plan):
    sections, found = plan(demo_text().replace("2027-01-16", "2026-12-20"))
    ready = next(row["date"] for row in sections["lumber"]["answer"]["results"]["checks"] if row.get("date"))
    rest = sections["flatten"]["answer"]["results"]["rest_between_days"]["expected"]
    sets = math.ceil(sections["glue-up"]["answer"]["results"]["unstressed_h"] / 24)
    # The sections are glued, then joined: each sets before the next step (common practice).
    earliest = date.fromisoformat(ready) + timedelta(days=2 * sets + round(rest))
    assert days_in(warnings_of(found)["TOO_SOON"]) == [date(2026, 12, 20), earliest]
    assert "TOO_SOON" not in warnings_of(plan(demo_text())[1])


def test_check_names_the_rows_that_cannot_be_read(cli):
    Path("strips.csv").write_text("strip,mc\na,7\nb,wet\nc,8\nd,9\n", encoding="utf-8")
    text = demo_text().replace("[strips]\n", '[strips]\nlist = "strips.csv"\n')
    Path("job.toml").write_text(text, encoding="utf-8")
    done = cli("check job.toml")
    assert done.code == 1
    assert "'wet'" in done.err
    Path("strips.csv").write_text("strip,mc\na,7\nb,7\nc,8\nd,9\n", encoding="utf-8")
    assert cli("check job.toml").code == 0


@pytest.mark.parametrize("key", ["glue-up", "flatten", "slots"])
def test_a_section_says_the_same_alone(plan, key):
    """What others hand on to it counts, printed or not."""
    whole, _ = plan(demo_text())
    alone, _ = plan(demo_text() + f'\n[plan]\nsections = "{key}"\n')
    assert list(alone) == [key]
    assert alone[key]["answer"]["results"] == whole[key]["answer"]["results"]


def test_wet_wood_does_not_fail_the_plan(plan):
    sections, _ = plan(demo_text().replace("[wood]\n", '[wood]\nmc_now = "30"\n'))
    assert sections["glue-up"]["answer"]["results"]["because"] == "too wet"
    assert sections["flatten"]["status"] == "done"


def test_strips_need_no_table_of_their_own(plan):
    text = re.sub(r"\[strips\].*?(?=\[glue\])", "", demo_text(), flags=re.DOTALL)
    sections, _ = plan(text)
    assert sections["strips"]["status"] == sections["glue-up"]["status"] == "done"


def test_strips_of_which_nothing_is_left_fail_alone(cli):
    text = (
        demo_text()
        .replace('strip_width = "3-1/4in"', 'strip_width = "3mm"')
        .replace('thickness = "3in"\n', "")
    )
    Path("job.toml").write_text(text, encoding="utf-8")
    done = cli(f"plan job.toml --json {FEW}")
    sections = {row["key"]: row for row in done.json["results"]["sections"]}
    assert done.code == 1
    assert sections["strips"]["status"] == "failed"
    assert "nothing would be left" in sections["strips"]["reason"]
    assert sections["slots"]["status"] == "blocked"


@pytest.mark.parametrize(
    ("was", "now", "hint"),
    [
        ('planer = "13in"', 'planer = "2in"', "or with a router and leave out strips.planer."),
        ('place = "burlington"', "", 'room.place = "burlington"'),
        (
            'strips_from = "2x6:1, 2x8:2"', 'strips_from = "2x6:1, 2x8:2"\nrings = "flat"',
            "Leave out wood.rings, or leave out wood.pith_depth.",
        ),
    ],
)  # fmt: skip
def test_hints_are_in_the_words_of_a_job_file(cli, was, now, hint):
    Path("job.toml").write_text(demo_text().replace(was, now), encoding="utf-8")
    assert hint in cli(f"plan job.toml {FEW}").err


def test_metered_strips_that_the_plan_does_not_reckon_with_are_told(plan):
    listed = '[strips]\nlist = ["name=a mc=9.2", "name=b mc=9.6", "name=c mc=9.4"]\n'
    told = warnings_of(plan(demo_text().replace("[strips]\n", listed))[1])["STRIPS_AT_ODDS"]
    assert "9.5 %" in told  # to half a percent
    assert "wood.mc_now" in told
    near = listed.replace("9.", "6.")
    assert "STRIPS_AT_ODDS" not in warnings_of(plan(demo_text().replace("[strips]\n", near))[1])


def test_the_last_joint_is_set_before_the_rough_flattening(plan):
    sections, found = plan(demo_text())
    glued, joined, _ = sections["glue-up"]["answer"]["results"]["checks"]
    rough, final = sections["flatten"]["answer"]["results"]["checks"]
    days = [date.fromisoformat(row["date"]) for row in (glued, joined, rough, final)]
    set_days = math.ceil(sections["glue-up"]["answer"]["results"]["unstressed_h"] / 24)
    assert (days[1] - days[0]).days == (days[2] - days[1]).days == set_days >= 1
    rest = sections["flatten"]["answer"]["results"]["rest_between_days"]["expected"]
    assert (days[3] - days[2]).days == rest
    assert all(row["date"] in [each["date"] for each in found["results"]["checks"]] for row in (rough, final))


@pytest.mark.parametrize(
    ("line", "places"),
    [
        ('[glue]\non = "2027-03-01"\n', ("glue.on", "job.build_date")),
        ('[flatten]\nfrom = "2026-11-01"\n', ("stock.from", "flatten.from")),
    ],
)
def test_dates_that_run_backward_are_told(plan, line, places):
    table = line.splitlines()[0] + "\n"
    text = demo_text().replace(table, line) if table in demo_text() else demo_text() + f"\n{line}"
    told = warnings_of(plan(text)[1])["DATES_OUT_OF_ORDER"]
    assert all(f"{place} = " in told for place in places)
    assert "DATES_OUT_OF_ORDER" not in warnings_of(plan(demo_text())[1])


def checks_of(found) -> list[str]:
    return [row["check"] for row in found["results"]["checks"]]


def test_a_day_of_gluing_that_is_told_is_not_told_back(plan):
    text = demo_text().replace("[glue]\n", '[glue]\non = "2027-01-04"\n')
    sections, found = plan(text)
    assert not any(check.startswith("Glue the strips") for check in checks_of(found))
    _, levelled = (row["date"] for row in sections["glue-up"]["answer"]["results"]["checks"])
    told = [row["when"] for row in found["results"]["checks"] if row["check"].startswith("Plane the glued")]
    assert told == [said(date.fromisoformat(levelled))]
    assert "LEVEL_TOO_LATE" not in warnings_of(found)
    late = warnings_of(plan(text.replace("2027-01-04", "2027-01-10"))[1])["LEVEL_TOO_LATE"]
    assert late.endswith("and not by 16 January 2027.")


def test_no_day_is_told_that_comes_before_the_lumber_is_ready(plan):
    sections, found = plan(demo_text().replace("2027-01-16", "2026-12-20"))
    (ready,) = (row["date"] for row in sections["lumber"]["answer"]["results"]["checks"] if row.get("date"))
    work = [row["date"] for row in found["results"]["checks"] if row["check"].startswith(("Glue", "Flatten"))]
    assert len(work) == 3
    assert all(day >= ready for day in work)


def test_a_glue_up_that_is_no_go_is_told_at_the_top(plan):
    text = demo_text().replace("clamps = 10", "clamps = 4")
    assert text != demo_text()
    assert plan(text)[1]["verdict"]["state"] == "stop"
    assert plan(demo_text())[1]["verdict"]["state"] != "stop"


def test_the_plan_says_what_to_buy_beside_what_is_there(plan):
    """A 2x8 of 8 ft gives two strips of 3-1/4 in to its width and two of 46 in to its length (arithmetic)."""
    start, rest = demo_text().split("boards = [", 1)
    boards, rest = rest.split("]\n", 1)
    few = start + "boards = [" + "\n".join(boards.splitlines()[:4]) + "]\n" + rest
    listed = plan(few)[0]["buy"]["answer"]["results"]["boards_to_buy"]
    unlisted, found = plan(start + rest)
    alone = unlisted["buy"]["answer"]["results"]["boards_to_buy"]
    strips = unlisted["strips"]["answer"]["results"]["strip_count"]
    assert alone >= math.ceil(strips / 4)
    assert alone - 4 <= listed < alone
    (line,) = (row["says"] for row in found["results"]["card"] if row["head"] == "Yard")
    assert "List what you have" in line[-1]
