"""What a resaw would release holds nobody up who resaws nothing: acclimate, the forecast of a log, a plan."""

from pathlib import Path

import pytest

STACKED = "--species douglas-fir-coast --temp 68F --rh 40 --mc-now 13 --draws 256"
SIZES = {"2x4": "--stock '1-1/2in x 3-1/2in'", "2x12": "--stock '1-1/2in x 11-1/4in'"}
JOB = """[wood]
species = "douglas-fir-coast"
strips_from = "2x12"
[stock]
mc_now = "13%"
temp = "68F"
rh = "40%"
[pile]
into = {into}
[plan]
sections = ["lumber"]
"""


def acclimate(cli, more: str) -> dict[str, object]:
    return cli.json(f"acclimate {STACKED} {more}")


def forecast(cli, more: str) -> dict[str, object]:
    if not Path("log.csv").exists():
        for day, mc in (("01", 13), ("08", 11.8), ("15", 11)):
            assert cli(f"readings add log.csv A 'mc={mc} date=2026-12-{day}'").code == 0
    return cli.json(f"acclimate --log log.csv {STACKED} --from 2026-12-01 --today 2026-12-15 {more}")


def days(answer: dict[str, object]) -> float:
    """From the stacking on: the log of the forecast ends two weeks later."""
    results = answer["results"]
    if "boards" in results:
        return 14 + results["boards"][0]["days_left"]["expected"]
    return results["days_to_ready"]["expected"]


@pytest.mark.parametrize("ask", [acclimate, forecast])
@pytest.mark.parametrize("into", ["", "--into 3", "--into halves"])
def test_a_board_that_is_not_resawn_is_ready_when_it_is_dry_and_even(cli, ask, into):
    """Boards of one thickness dry through the same faces. A 2x12 takes longer than a 2x4 by no more than it
    has less surface for its volume, (1/1.5 + 1/3.5) to (1/1.5 + 1/11.25); the pieces that it will be ripped
    into change nothing."""
    narrow, wide = (days(ask(cli, f"{SIZES[size]} {into}")) for size in ("2x4", "2x12"))
    assert narrow < wide < 1.26 * narrow + 1  # a day is a whole day
    assert days(ask(cli, f"{SIZES['2x12']} {into} --strip-width 3in")) == wide


@pytest.mark.parametrize("ask", [acclimate, forecast])
def test_a_wide_board_that_is_resawn_waits_until_its_halves_stay_straight(cli, ask):
    plain, resawn, ripped_first = (
        days(ask(cli, f"{SIZES['2x12']} {more}"))
        for more in ("", "--into resaw", "--into resaw --strip-width 3in")
    )
    assert resawn > 1.5 * plain
    assert ripped_first == pytest.approx(plain)


def test_boards_that_nobody_dates_are_stacked_today(cli):
    line = f"acclimate {SIZES['2x4']} --species douglas-fir-coast --mc-now 13 --place minneapolis --draws 128"
    dated, undated = (
        cli.json(f"{line} {day} --today 2026-12-01")["results"]["ready_even_on"]
        for day in ("--from 2026-12-01", "")
    )
    assert undated == dated > "2026-12-01"


def test_no_word_of_a_resaw_where_none_is_planned(cli):
    plain, resawn = (acclimate(cli, f"{SIZES['2x12']} {more}") for more in ("", "--into resaw"))
    for name in ("wait_for_release_days", "release_limit_mm"):
        assert plain["results"][name] is None
        assert resawn["results"][name] is not None
    page = cli(f"acclimate {STACKED} {SIZES['2x12']}").out
    assert "saw" not in page
    (means,) = [note["text"] for note in resawn["assumptions"] if note["code"] == "READY_MEANS"]
    assert "sawn through" in means


def test_a_plan_waits_for_a_resaw_only_if_its_pile_is_resawn(cli):
    def waits(into: str) -> dict[str, object]:
        Path("job.toml").write_text(JOB.format(into=into), encoding="utf-8")
        (section,) = cli.results("plan job.toml --draws 256")["sections"]
        return section["answer"]["results"]

    ripped, resawn = waits("3"), waits('"resaw"')
    assert ripped["release_limit_mm"] is None
    assert resawn["days_to_ready"]["expected"] > 1.5 * ripped["days_to_ready"]["expected"]
