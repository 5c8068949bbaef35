"""woodmove readings, and the log in a plan."""

from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

FORECAST = (
    "acclimate --log readings.csv --species northern-red-oak --stock '38mm x 140mm' "
    "--from 2026-12-01 --today 2026-12-21 --draws 256"
)
AIR = "--temp 20C --rh 33"


def codes(document: dict, kind: str = "warnings") -> list[str]:
    return [note["code"] for note in document[kind]]


@pytest.fixture
def logged(cli):
    """A log with three boards that have been metered four times."""
    for visit, mc in enumerate((13.2, 12.1, 11.3, 10.6)):
        for board in "ABC":
            day = date(2026, 12, 6) + timedelta(days=5 * visit)
            done = cli(f"readings add readings.csv {board} 'mc={mc + ord(board) % 3 / 5} date={day}'")
            assert done.code == 0, done.err
    return cli


def test_add_list_undo(cli):
    added = cli.results("readings add readings.csv 'oak 1' 'mc=12.5 temp=60F depth=3/8in date=2026-12-10'")
    assert (added["number"], added["line"]) == (1, 2)
    assert cli("readings add readings.csv 'oak 1' 'weight=3lb4oz date=2026-12-11'").code == 0
    rows = cli.results("readings list readings.csv")["readings"]
    assert rows[0] | {"wood_temp_c": None} == {
        "number": 1, "date": "2026-12-10", "board": "oak 1", "mc_pct": 12.5, "weight_g": None,
        "wood_temp_c": None, "depth_mm": 9.525, "state": "", "line": 2, "dry_g": None, "kind": "reading",
    }  # fmt: skip
    assert rows[1]["weight_g"] == pytest.approx(1474.2, abs=0.1)
    before = Path("readings.csv").read_bytes()
    assert cli.results("readings undo readings.csv 1")["taken_back"] == 1
    assert Path("readings.csv").read_bytes().startswith(before)
    found = cli.results("readings list readings.csv")
    assert (found["counted"], found["taken_back"]) == (1, 1)
    assert found["readings"][0]["state"] == "taken back"


def test_a_log_that_grows_a_column_says_so(cli):
    Path("readings.csv").write_text("date,board,mc_pct\n2026-12-04,A,12.4\n", encoding="utf-8")
    added = cli.json("readings add readings.csv A 'weight=1350g date=2026-12-10'")
    assert codes(added)[-1] == "LOG_COLUMNS_ADDED"
    rows = cli.results("readings list readings.csv")["readings"]
    assert [(row["mc_pct"], row["weight_g"]) for row in rows] == [(12.4, None), (None, 1350.0)]
    assert codes(cli.json("readings undo readings.csv")) == []


def test_today_is_the_day_if_nobody_says_so(cli):
    cli("readings add readings.csv A 'mc=12'")
    found = cli.results("readings list readings.csv")["readings"][0]["date"]
    assert found in (date.today().isoformat(), (date.today() - timedelta(days=1)).isoformat())


def test_broken_rows_are_told_by_line(logged):
    with open("readings.csv", "a", encoding="utf-8") as file:
        file.write("99,2026-12-30,A,wet,,,,,,reading\n")
    found = logged.json("readings list readings.csv")
    assert codes(found) == ["BAD_ROW"]
    assert "Line 14" in found["warnings"][0]["text"]
    assert "BAD_ROW" in codes(logged.json(f"{FORECAST} --mc-now 15 {AIR}"))


def test_forecast(logged):
    found = logged.json(f"{FORECAST} --mc-now 15 {AIR}")
    rows = found["results"]["boards"]
    assert [row["board"] for row in rows] == ["A", "B", "C"]
    for row in rows:
        assert row["ready_even_on"] <= row["ready_likely_on"]
        assert row["mc_now_pct"]["low"] < 11 < row["mc_now_pct"]["high"]
    assert found["results"]["last_reading"] == "2026-12-21"
    # Nine tenths of three are three, and they are ready no sooner than the last one.
    assert found["results"]["boards_waited_for"] == 3
    assert found["results"]["ready_even_on"] >= max(row["ready_even_on"] for row in rows)
    assert found["results"]["ready_likely_on"] >= max(row["ready_likely_on"] for row in rows)
    text = str(found["assumptions"])
    assert "within a factor of 2.4 and of 2.0" in text
    assert "1.0 points" in text
    page = logged(f"{FORECAST} --mc-now 15 {AIR}").out
    assert "as likely as not" in page


def test_forecast_with_logged_air(logged):
    rows = "".join(
        f"2026-12-{1 + h // 24:02d} {h % 24:02d}:00,20.0,{33 + 3 * (h % 24 > 12)}\n" for h in range(24 * 21)
    )
    Path("shop.csv").write_text("time,temp_c,rh\n" + rows, encoding="utf-8")
    alone = logged.json(f"{FORECAST} --air shop.csv")
    assert "last two weeks" in str(alone["assumptions"])
    assert "START" in codes(alone, "assumptions")
    then = logged.json(f"{FORECAST} --mc-now 15 --air shop.csv --place burlington --room heated")
    assert "then the room from" in str(then["assumptions"])


def shop_air(humidities: list[str], temp: str = "20.0") -> None:
    """A logger's file from 1 December on, a row every half hour."""
    begin = datetime(2026, 12, 1)
    rows = "".join(f"{begin + timedelta(minutes=30 * i)},{temp},{rh}\n" for i, rh in enumerate(humidities))
    Path("shop.csv").write_text("time,temp_c,rh\n" + rows, encoding="utf-8")


def test_one_odd_humidity_changes_no_forecast(logged):
    shop_air(["0.45"] * 2880)
    good = logged.json(f"{FORECAST} --air shop.csv")
    assert "ROWS_LEFT_OUT" not in codes(good)
    shop_air(["0.45"] * 1398 + ["1.01"] + ["0.45"] * 1481)
    odd = logged.json(f"{FORECAST} --air shop.csv")
    assert odd["results"] == good["results"]
    (note,) = (note["text"] for note in odd["warnings"] if note["code"] == "ROWS_LEFT_OUT")
    assert "1 of 2880 rows of shop.csv" in note
    assert "line 1400" in note


@pytest.mark.parametrize(("rh", "emc"), [("5", "1.3"), ("99", "27.7"), ("99.7", "28.5")])
def test_air_that_no_room_has_stops_a_forecast(logged, rh, emc):
    """Simpson's equation at 20 °C: 5 % RH holds wood at 1.3 %, 99 % RH at 27.7 %."""
    shop_air([rh] * 2880)
    done = logged(f"{FORECAST} --air shop.csv")
    assert done.code == 1
    assert f"{rh} % RH" in done.err
    assert f"{emc} %" in done.err
    assert "woodmove climate log shop.csv" in done.err


@pytest.mark.parametrize("rh", ["10", "94"])
def test_dry_and_damp_rooms_that_there_are_stop_nothing(logged, rh):
    """A heated house in a cold winter, and a shed in fog: the 2 % and 25 % lie beyond both."""
    shop_air([rh] * 2880)
    assert logged(f"{FORECAST} --air shop.csv").code == 0


@pytest.mark.parametrize(
    ("line", "says"),
    [("readings add readings.csv A", "READING is missing"),
     ("readings add readings.csv A date=2026-12-22", "No reading is given"),
     ("readings add readings.csv A mc=12,5", "decimal comma"),
     ("readings add readings.csv A 'mc=12 weight=3kg'", "Both a meter reading and a weight"),
     ("readings add readings.csv =A 'mc=12 date=2026-12-22'", "no name for a board"),
     ("readings add readings.csv A 'mc=wet'", "not a number"),
     ("readings add readings.csv A 'mc=12 date=1/2/2027'", "not a date"),
     ("readings add . A 'mc=12'", "directory"), ("readings list none.csv", "no file"),
     ("readings undo none.csv", "cannot be written"),
     ("readings undo readings.csv 77", "no reading 77"),
     (f"{FORECAST} --mc-now 15", "what air the lumber stands in"),
     (f"{FORECAST} {AIR} --mc-now 15 --meter radar", "no meter"),
     (FORECAST.replace("2026-12-01", "2026-12-10") + f" {AIR}", "--from 2026-12-06"),
     (FORECAST.replace("readings.csv", "none.csv") + f" {AIR}", "no file"),
     (f"{FORECAST} --air none.csv", "no file")],
)  # fmt: skip
def test_refusals(logged, line, says):
    done = logged(line)
    assert done.code in (1, 2)
    assert says in done.err
    again = logged(f"{line} --json")
    assert again.json["error"]["text"]


def test_the_log_replaces_what_the_plan_assumed(logged):
    text = OAK_TOP.partition("[readings]")[0]
    Path("job.toml").write_text(text, encoding="utf-8")
    before = logged.json("plan job.toml --today 2026-12-22 --draws 128")
    assert before["inputs"]["mc_now_pct"] == 12
    Path("job.toml").write_text(text + '\n[readings]\nlog = "readings.csv"\n', encoding="utf-8")
    after = logged.json("plan job.toml --today 2026-12-22 --draws 128")
    assert after["inputs"]["mc_now_pct"] == pytest.approx(10.8, abs=0.21)
    assert after["inputs"]["mc_readings"] == 3
    (note,) = (note for note in after["assumptions"] if note["code"] == "MC_FROM_LOG")
    assert "not the 12 % of the job file" in note["text"]


def test_a_log_that_is_not_there_is_a_fault_of_the_job_file(cli):
    assert cli("new job.toml --defaults").code == 0
    with open("job.toml", "a", encoding="utf-8") as file:
        file.write('\n[readings]\nlog = "none.csv"\n')
    lines = len(Path("job.toml").read_text(encoding="utf-8").splitlines())
    for command in ("plan", "check"):
        done = cli(f"{command} job.toml")
        assert done.code == 1
        assert f"job.toml:{lines}: " in done.err
        assert "none.csv" in done.err


def test_without_a_day_of_stacking_the_first_reading_counts(logged):
    line = f"{FORECAST} {AIR}".replace(" --from 2026-12-01", "")
    found = logged.json(line)
    assert found["results"] == logged.json(f"{line} --from 2026-12-06")["results"]
    (note,) = (note for note in found["assumptions"] if note["code"] == "FOLLOWED_FROM")
    assert "from 6 December 2026 on, the day of their first reading" in note["text"]


def test_a_reading_of_a_day_to_come_does_not_count_before_it(logged):
    """A year mistyped must not say that the lumber is ready: 4 % on a day a year from now (arithmetic)."""
    before = logged.results(f"{FORECAST} {AIR}")
    added = logged.json("readings add readings.csv A 'mc=4 date=2099-12-21'")
    assert codes(added) == ["DAY_TO_COME"]
    after = logged.json(f"{FORECAST} {AIR}")
    assert after["results"] == before
    (note,) = (note for note in after["warnings"] if note["code"] == "BAD_ROW")
    assert "Line 14" in note["text"]
    assert "2099-12-21, is still to come" in note["text"]


def test_a_log_of_days_to_come_alone_is_refused_by_their_line(cli):
    assert cli("readings add readings.csv A 'mc=12 date=2099-12-21'").code == 0
    done = cli(f"{FORECAST} {AIR}")
    assert done.code == 1
    assert "still to come" in done.err
    assert "Mend the date" in done.err


def test_of_a_log_of_years_ago_no_day_is_told(logged):
    found = logged.json(f"{FORECAST.replace('2026-12-21', '2029-01-01')} {AIR} --mc-now 15")
    assert codes(found) == ["STACKED_LONG_AGO"]
    assert found["results"]["ready_even_on"] is None
    assert not found["results"]["checks"]


# The plan of a job with a log, and the log alone.

OAK_TOP = """[job]
name = "top"
build_date = 2027-02-01
[wood]
species = "northern-red-oak"
strips_from = "38mm x 140mm"
rings = "flat"
mc_now = "12"
[top]
width = "700mm"
thickness = "38mm"
[room]
place = "burlington"
heat_to = "66F"
[readings]
log = "readings.csv"
"""
OAK = (
    "--species northern-red-oak --place burlington --room 'heat_to=66F' --strip-width 38mm "
    "--build-date 2027-02-01"
)
STEADY = ('temp = "20C"\nrh = "33"\n', "--temp 20C --rh 33")
# How wet the boards were when they were stacked on 1 December, None where nobody says so; what they read on
# four visits; their air where it is not that of the room.
LOGS = {
    "usual": (15, [13.2, 12.1, 11.3, 10.6], ("", "")),
    "slow": (15, [14.8, 14.5, 14.3, 14.1], ("", "")),
    "fast": (15, [11.0, 9.2, 8.4, 8.0], ("", "")),
    "nobody says the start": (None, [13.2, 12.1, 11.3, 10.6], ("", "")),
    "steady air": (15, [13.2, 12.1, 11.3, 10.6], STEADY),
    "one that is dry already": (7, [7.0, 7.1, 6.9, 7.0], STEADY),
}


def write_log(visits: list[float], boards: str = "ABC") -> None:
    rows = ["number,date,board,mc_pct"]
    for visit, mc in enumerate(visits):
        day = date(2026, 12, 6) + timedelta(days=5 * visit)
        rows += [f"{len(rows) + i},{day},{board},{mc + i / 5:.1f}" for i, board in enumerate(boards)]
    Path("readings.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")


@pytest.mark.parametrize("name", LOGS)
@pytest.mark.parametrize("today", ["2026-12-21", "2027-01-10"])
def test_a_log_says_the_same_in_the_plan_and_alone(cli, name, today):
    start, visits, (told, typed) = LOGS[name]
    write_log(visits)
    stock = "[stock]\nfrom = 2026-12-01\n" + told
    stock += f"mc_now = {start}\n" if start is not None else ""
    Path("job.toml").write_text(OAK_TOP + stock, encoding="utf-8")
    now = f"--today {today} --draws 256"
    found = cli.json(f"plan job.toml {now}")
    (lumber,) = (row["answer"] for row in found["results"]["sections"] if row["key"] == "lumber")
    line = f"acclimate --log readings.csv {OAK} --stock '38mm x 140mm' --from 2026-12-01 {now}"
    alone = cli.json(f"{line} {typed}" + (f" --mc-now {start}" if start is not None else ""))
    assert lumber["results"] == alone["results"]
    assert lumber["warnings"] == alone["warnings"]
    # What follows counts on the moisture that the same fits expect on the day of the build.
    expected = alone["results"]["mc_at_build_pct"]["expected"]
    assert found["inputs"]["mc_now_pct"] == pytest.approx(expected, abs=0.051)
    ready = alone["results"]["ready_even_on"]
    checks = [row for row in found["results"]["checks"] if "stacked on 1 December 2026" in row["check"]]
    assert [row["date"] for row in checks] == ([] if ready is None else [ready])
    assert ready is None or ready >= today


def test_faster_boards_are_ready_sooner_in_the_plan_too(cli):
    ready = []
    Path("job.toml").write_text(
        OAK_TOP + '[stock]\nfrom = 2026-12-01\nmc_now = 15\n'
        + STEADY[0], encoding="utf-8",
    )  # fmt: skip
    for name in ("fast", "usual", "slow"):
        write_log(LOGS[name][1])
        found = cli.json("plan job.toml --today 2026-12-21 --draws 256")
        (lumber,) = (row["answer"] for row in found["results"]["sections"] if row["key"] == "lumber")
        ready.append(lumber["results"]["ready_even_on"] or "never")
    assert ready == sorted(ready)
    assert ready[0] < ready[1]


def test_what_the_job_says_of_the_top_gives_way_to_the_log_and_that_is_told(logged):
    stock = "[stock]\nfrom = 2026-12-01\nmc_now = 15\n"
    Path("job.toml").write_text(OAK_TOP + stock, encoding="utf-8")
    found = logged.json("plan job.toml --today 2026-12-21 --draws 128")
    assert (found["inputs"]["from_date"], found["inputs"]["stacked_mc_pct"]) == ("2026-12-01", 15)
    # Today's is the mean of the last visit.
    assert found["inputs"]["stock_mc_pct"] == pytest.approx(10.8, abs=0.21)
    (note,) = (note for note in found["assumptions"] if note["code"] == "MC_FROM_LOG")
    assert "not the 12 % of the job file" in note["text"]


def test_a_log_older_than_the_stacking_fails_its_section_alone(logged):
    stock = "[stock]\nfrom = 2026-12-10\nmc_now = 15\n"
    Path("job.toml").write_text(OAK_TOP + stock, encoding="utf-8")
    done = logged("plan job.toml --today 2026-12-21 --draws 128 --json")
    status = {row["key"]: row["status"] for row in done.json["results"]["sections"]}
    assert done.code == 1
    assert (status["lumber"], status["air"]) == ("failed", "done")
    # Nobody is told to go on over it.
    assert done.json["verdict"]["state"] == "wait"
    assert "when the lumber is ready" in str(done.json["verdict"])
    assert "readings.csv:2: " in done.err
    assert 'Write stock.from = "2026-12-06", or an earlier day.' in done.err


@pytest.mark.parametrize(
    ("more", "says"),
    [("B 'mc=30.5 date=2026-12-22'", "above fiber saturation"),
     ("A 'mc=115 date=2026-12-22'", "decimal point"),
     ("A 'mc=16.1 date=2026-12-22'", "far from the 11 % of A on 2026-12-21"),
     ("a 'mc=10.6 date=2026-12-22'", "The log has a board A"),
     ("A 'mc=12 date=2026-11-22'", "before the log begins, on 2026-12-06"),
     ("A 'mc=12 date=2026-12-06' --from 2026-12-07", "was stacked, on 2026-12-07")],
)  # fmt: skip
def test_a_slip_is_asked_about_and_yes_writes_it_down(logged, more, says):
    before = Path("readings.csv").read_bytes()
    line = f"readings add readings.csv {more}"
    done = logged(line)
    assert done.code == 2
    assert says in " ".join(done.err.split())
    assert "--yes" in done.err
    assert Path("readings.csv").read_bytes() == before
    assert logged.results(f"{line} --yes")["number"] == 13


@pytest.mark.parametrize(
    "more",
    ["A 'mc=15.9 date=2026-12-22'", "A 'mc=17 date=2027-01-05'",
     "D 'mc=29 date=2026-12-22'", "A 'weight=1350g date=2026-12-22'"],
)  # fmt: skip
def test_what_may_well_be_is_not_asked_about(logged, more):
    """Within 5 points of a reading of two weeks; further off later; of another board; another instrument."""
    assert logged(f"readings add readings.csv {more}").code == 0


def test_a_weight_far_from_the_last_is_asked_about(logged):
    line = "readings add readings.csv A"
    assert logged(f"{line} 'weight=1350g date=2026-12-20'").code == 0
    # 5 % of 1350 g are 67.5 g (arithmetic).
    assert logged(f"{line} 'weight=1417g date=2026-12-21'").code == 0
    assert logged(f"{line} 'weight=1350g date=2026-12-22' --yes").code == 0
    assert logged(f"{line} 'weight=1418g date=2026-12-22'").code == 2


def test_all_that_is_odd_is_told_at_once(logged):
    done = logged("readings add readings.csv a 'mc=40 date=2026-01-22'")
    assert done.code == 2
    assert all(says in done.err for says in ("a board A", "fiber saturation", "the log begins"))


def test_a_dried_slice_and_an_offcut_are_listed_with_their_moisture(cli):
    for more in ("A 'weight=51.6g dry=46.1g", "room 'kind=offcut weight=49g dry=46g"):
        assert cli(f"readings add readings.csv {more} date=2026-12-10'").code == 0
    rows = cli.results("readings list readings.csv")["readings"]
    assert [(row["kind"], round(row["mc_pct"], 1)) for row in rows] == [("oven-dry", 11.9), ("offcut", 6.5)]


@pytest.mark.parametrize(
    ("more", "says"),
    [("weight=46.1g dry=51.6g", "cannot be"), ("mc=12 dry=46g", "One of the two weights is missing"),
     ("weight=50g kind=offcut", "One of the two weights is missing"), ("weight=9g dry=8g", "SMALL_SLICE"),
     ("weight=70g dry=46g", "fiber saturation"),
     ("mc=12 weight=50g dry=46g", "Both a meter reading and a weight")],
)  # fmt: skip
def test_weights_of_a_slice_that_cannot_be_right(cli, more, says):
    done = cli(f"readings add readings.csv A '{more} date=2026-12-10' --json")
    assert done.code in (1, 2)
    assert says in done.out
    assert not Path("readings.csv").exists()


def test_a_row_of_a_day_to_come_stops_neither_a_plan_nor_what_is_read_today(cli):
    """What the log holds of today is nothing: the job is planned by what it says itself."""
    Path("job.toml").write_text(OAK_TOP + "[stock]\nfrom = 2026-12-01\nmc_now = 15\n", encoding="utf-8")
    alone = Path("job.toml").read_text().replace('[readings]\nlog = "readings.csv"\n', "")
    Path("alone.toml").write_text(alone, encoding="utf-8")
    Path("readings.csv").write_text("number,date,board,mc_pct\n1,2099-12-04,A,12.4\n", encoding="utf-8")
    found, told = (cli.results(f"plan {job} --today 2026-12-04") for job in ("job.toml", "alone.toml"))
    days = [
        next(part for part in plan["sections"] if part["key"] == "lumber")["answer"]["results"][
            "days_to_ready"
        ]
        for plan in (found, told)
    ]
    assert days[0] == days[1]
    done = cli("readings add readings.csv A 12.4 date=2026-11-20")
    assert "woodmove readings undo" in done.err
