"""The work as it came out beats the plan in every part, and the plan says what follows."""

import json
from datetime import date

import pytest

from woodmove.files.job import demo_text

TODAY = date(2026, 11, 28)
IN = 25.4


@pytest.fixture
def planned(cli, tmp_path):
    """The plan of the demo's job with a table [measured], as a document."""

    def plan(measured: str) -> dict:
        path = tmp_path / "job.toml"
        path.write_text(demo_text().replace("[base]", f"[measured]\n{measured}\n\n[base]"))
        return json.loads(cli(f"plan {path} --today {TODAY} --draws 128", "--json").out)

    return plan


def parts(document: dict) -> dict[str, dict]:
    return {part["key"]: part for part in document["results"]["sections"]}


def results(document: dict, key: str) -> dict:
    return parts(document)[key]["answer"]["results"]


def inputs(document: dict, key: str) -> dict:
    return parts(document)[key]["answer"]["inputs"]


def card(document: dict) -> dict[str, str]:
    return {line["head"]: " ".join(line["says"]) for line in document["results"]["card"]}


def test_nothing_measured_is_no_part(planned):
    assert "measured" not in parts(planned(""))


def test_thinner_strips_take_one_more(planned):
    """32 in of strips at 1-5/16 in: 24 come to 31-1/2, so 25. At 1-1/4 in: 25 come to 31-1/4, so 26."""
    as_planned, thinner = planned(""), planned('strip_thickness = "1-1/4in"')
    assert results(as_planned, "strips")["strip_count"] == 25
    assert results(thinner, "strips")["strip_count"] == 26
    assert inputs(thinner, "glue-up")["strip_thickness_mm"] == 1.25 * IN
    assert card(thinner)["Came out"] == "The strips came out 1/16 in thinner: 26 of them make the top."


def test_a_wider_top_is_what_is_fixed_and_moves(planned):
    """38-5/8 for 38, as the trade says it; here 32-5/8 in for 32: 5/16 in at each edge."""
    found = planned('date = 2026-11-27\ntop_width = "32-5/8in"')
    for key in ("width", "slots", "holes", "flatten"):
        assert inputs(found, key)["top_width_mm"] == 32.625 * IN, key
    assert inputs(found, "strips")["top_width_mm"] == 32.0 * IN
    said = card(found)["Came out"]
    for words in ("5/8 in wider", "for 32-5/8 in now", "5/16 in farther out"):
        assert words in said
    assert results(found, "slots")["fasteners"][-1]["position_mm"] < 32.625 * IN


def test_sections_side_by_side_are_the_top_until_that_is_measured(planned):
    """10-3/4 + 10-11/16 + 10-5/8 = 32-1/16 in (counted)."""
    sections = 'sections = "10-3/4in, 10-11/16in, 10-5/8in"'
    found = planned(sections)
    assert inputs(found, "slots")["top_width_mm"] == pytest.approx(32.0625 * IN)
    assert "32-1/16 in: 1/16 in wider than planned" in card(found)["Came out"]
    both = planned(f'{sections}\ntop_width = "32in"')
    assert inputs(both, "slots")["top_width_mm"] == 32.0 * IN
    assert card(both)["Came out"] == "Width of the top: as planned."


def test_work_that_is_measured_is_done(planned):
    """Whoever has measured the top buys, rips and glues no more, and waits for no lumber."""
    found = planned('top_width = "32-5/8in"')
    heads = card(found)
    assert not {"Buy", "Saw", "Lumber", "Top", "Glue"} & set(heads)
    assert {"Flat", "Fix", "Year"} <= set(heads)
    days = [date.fromisoformat(row["date"]) for row in found["results"]["checks"] if row["date"]]
    assert days
    assert min(days) >= TODAY
    # The water of the glue-up leaves in days, not when the lumber of the forecast would have been ready.
    rough = [row for row in found["results"]["checks"] if row["key"].startswith("flatten")]
    assert (date.fromisoformat(rough[0]["date"]) - TODAY).days <= 7
    strips = planned('strip_thickness = "1-1/4in"')
    assert "Glue" in card(strips)
    assert "Saw" not in card(strips)


def test_a_slip_of_the_pen_is_asked_back(planned):
    found = planned('top_width = "12in"')
    assert [note["code"] for note in found["warnings"]].count("FAR_FROM_PLAN") == 1
    assert found["verdict"]["state"] == "wait"
    assert "off the plan" in found["verdict"]["says"][0]["text"]


def test_a_top_measured_long_ago_is_measured_again(planned):
    assert "MEASURED_LONG_AGO" in {
        n["code"] for n in planned('date = 2026-10-20\ntop_width = "32in"')["warnings"]
    }
    fresh = planned('date = 2026-11-20\ntop_width = "32in"')
    assert "MEASURED_LONG_AGO" not in {note["code"] for note in fresh["warnings"]}


def test_a_day_to_come_is_refused(planned):
    found = parts(planned('date = 2026-12-27\ntop_width = "32in"'))["measured"]
    assert found["status"] == "failed"
    assert "measured.date, 2026-12-27, is a day to come." in found["reason"]
    assert "Write 2026-11-28 or an earlier day." in found["reason"]


def test_a_single_command_takes_it_too(cli, tmp_path):
    path = tmp_path / "job.toml"
    path.write_text(demo_text().replace("[base]", '[measured]\ntop_width = "32-5/8in"\n\n[base]'))
    found = cli.json(f"width --job {path} --mc-now 8 --draws 128")
    assert found["inputs"]["top_width_mm"] == 32.625 * IN


def test_strips_that_were_measured_are_glued_before_the_top_is_flattened(planned):
    """Sections are glued, joined when that glue is hard, and flattened when that of the last joint is: a top
    of measured strips is no exception (status: common practice)."""
    days = [
        (row["date"], row["check"].split()[0])
        for row in planned('strip_thickness = "1-1/4in"')["results"]["checks"]
        if row["check"].split()[0] in ("Glue", "Join", "Flatten")
    ]
    assert [word for _, word in days] == ["Glue", "Join", "Flatten", "Flatten"]
    assert len({day for day, _ in days}) == 4
