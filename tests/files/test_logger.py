"""Logger files: whatever program wrote them, the same air comes out, and no row is lost in silence."""

from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from campaigns import fuzz_readers
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from logger_styles import DATES, Style, write

from woodmove.contract.refusal import Refusal
from woodmove.domain.records import LoggedAir
from woodmove.files.air.logger import (
    CLOCK_CHANGE,
    DUPLICATE,
    IMPOSSIBLE,
    NO_NUMBER,
    NO_TIME,
    SAME_TIME,
    SPIKE,
    TOO_LONG,
    UNLIKE,
    Hints,
    read_logger,
)
from woodmove.files.air.stamps import AmbiguousDates, letters_of, read_stamps

FILES = sorted((Path(__file__).parent / "loggers").iterdir())
WITH_FAULTS = {"11-with-faults.csv", "12-autumn-clock-change.csv"}
# What all files say: sixty readings, one each half hour.
COUNT = 60
TEMP_C = np.round(19 + 2.5 * np.sin(np.arange(COUNT) / 9), 1)
RH_PCT = np.round(44 + 6 * np.cos(np.arange(COUNT) / 11), 1)
TIMES = np.datetime64("2026-03-28T14:00:00") + np.arange(COUNT) * np.timedelta64(1800, "s")


def conserved(found: LoggedAir, rows: int) -> None:
    assert found.rows_in == rows
    assert found.rows_in == found.rows_used + found.rows_dropped
    lines = [line for lines in found.dropped.values() for line in lines]
    assert len(set(lines)) == len(lines)


def test_there_are_twelve_styles():
    assert len(FILES) == 12
    assert {file.name for file in FILES} >= WITH_FAULTS


@pytest.mark.parametrize("file", [f for f in FILES if f.name not in WITH_FAULTS], ids=lambda f: f.stem)
def test_every_style_says_the_same(file):
    found = read_logger(str(file))
    conserved(found, COUNT)
    assert not found.dropped
    np.testing.assert_array_equal(found.air.times, TIMES)
    np.testing.assert_allclose(found.air.temp_c, TEMP_C, atol=0.003)  # °F with two decimals
    np.testing.assert_allclose(found.air.rh_pct, RH_PCT, atol=1e-9)
    assert found.interval_s == 1800
    assert not found.gaps


def test_faults_are_dropped_with_their_lines():
    (file,) = (file for file in FILES if file.name == "11-with-faults.csv")
    found = read_logger(str(file))
    conserved(found, 57)
    assert found.dropped == {NO_TIME: (52,), NO_NUMBER: (12, 58), DUPLICATE: (23,), SPIKE: (32,)}
    assert len(found.gaps) == 1


def test_the_repeated_hour_of_a_clock_change_is_dropped():
    (file,) = (file for file in FILES if file.name == "12-autumn-clock-change.csv")
    found = read_logger(str(file))
    conserved(found, COUNT)
    assert found.dropped == {CLOCK_CHANGE: (28, 29)}


@pytest.fixture
def logger(tmp_path):
    """Writes text as a file and reads it."""

    def read(text: str | bytes, hints: Hints | None = None) -> LoggedAir:
        path = tmp_path / "log.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return read_logger(str(path), hints)

    return read


def rows(first: str, *, minutes: int = 60, count: int = 30, form: str = "%Y-%m-%d %H:%M") -> list[str]:
    start = datetime.fromisoformat(first)
    return [f"{start + timedelta(minutes=minutes * i):{form}},20.5,45.0" for i in range(count)]


HEAD = "time,temp_c,rh\n"


# Dates.


def test_days_and_months_are_told_apart_by_a_number_above_12(logger):
    found = logger(HEAD + "\n".join(rows("2026-01-10", minutes=720, form="%d/%m/%Y %H:%M")))
    assert "day first" in found.understood["dates"]
    found = logger(HEAD + "\n".join(rows("2026-01-10", minutes=720, form="%m/%d/%Y %H:%M")))
    assert "month first" in found.understood["dates"]
    assert found.air.times[0] == np.datetime64("2026-01-10")


@pytest.mark.parametrize(
    ("form", "order"), [("%d/%m/%Y %H:%M", "day first"), ("%m/%d/%Y %H:%M", "month first")]
)
def test_days_and_months_are_told_apart_by_days_that_follow_each_other(logger, form, order):
    found = logger(HEAD + "\n".join(rows("2026-01-02", form=form, count=72)))
    assert found.understood["dates"] == f"{order} (only so do the days follow each other)"
    assert found.air.times[0] == np.datetime64("2026-01-02")


def test_ambiguous_dates_are_asked_for_and_never_guessed(logger):
    text = HEAD + "\n".join(rows("2026-05-04", form="%m/%d/%Y %H:%M", count=20))
    with pytest.raises(Refusal) as fault:
        logger(text)
    assert fault.value.code == "AMBIGUOUS_DATES"
    assert "--dates day-first or --dates month-first" in fault.value.instead
    assert logger(text, Hints("month first")).air.times[0] == np.datetime64("2026-05-04")
    assert logger(text, Hints("day first")).air.times[0] == np.datetime64("2026-04-05")


def test_a_file_in_two_orders_is_asked_for(logger):
    text = HEAD + "13/01/2026 10:00,20,45\n01/14/2026 10:00,20,45\n"
    with pytest.raises(Refusal, match="13/01/2026"):
        logger(text)


def test_one_stray_date_does_not_turn_a_file_round(logger):
    text = HEAD + "\n".join([*rows("2026-01-10", form="%m/%d/%Y %H:%M", count=200), "31/01/2026 10:00,20,45"])
    found = logger(text)
    conserved(found, 201)
    assert "month first" in found.understood["dates"]
    assert found.dropped == {NO_TIME: (202,)}


@given(
    st.datetimes(datetime(1990, 1, 1), datetime(2150, 1, 1)),
    st.sampled_from([*DATES, "%d-%B-%Y %H:%M", "%B %d, %Y %I:%M %p", "%Y/%m/%d", "%d.%m.%y %H:%M"]),
)
def test_stamps_are_read_as_the_standard_library_writes_them(when, form):
    if "%y" in form and when.year not in range(2000, 2069):
        when = when.replace(year=2026, day=min(when.day, 28))
    order = "month first" if form.startswith("%m") else "day first"
    (found,) = read_stamps(letters_of([when.strftime(form)]), order).times
    assert found == np.datetime64(datetime.strptime(when.strftime(form), form))


@pytest.mark.parametrize(
    "text",
    ["", "x", "2026-02-30 10:00", "2026-13-01", "31/04/2026", "10:00", "2026-01-01 25:00", "2026-01-01 10:61",
     "20260101", "1/1", "99999999999999999999", "2026-01-01 13:00 PM", "é" * 60],
)  # fmt: skip
def test_what_is_no_time(text):
    if text == "20260101":
        assert read_stamps(letters_of([text])).times[0] == np.datetime64("2026-01-01")
    else:
        assert np.isnat(read_stamps(letters_of([text]), "day first").times[0])


def test_offsets_keep_the_clock_of_the_first_row():
    found = read_stamps(letters_of(["2026-03-29T01:30:00+01:00", "2026-03-29T03:00:00+02:00",
                                    "2026-03-29T01:30:00Z"]))  # fmt: skip
    assert [str(t)[11:16] for t in found.times] == ["01:30", "02:00", "02:30"]


def test_midnight_may_be_twenty_four(logger):
    found = logger(HEAD + "2026-01-01 23:00,20,45\n2026-01-01 24:00,20,45\n")
    assert found.air.times[-1] == np.datetime64("2026-01-02")


def test_ambiguous_dates_name_an_example():
    with pytest.raises(AmbiguousDates) as fault:
        read_stamps(letters_of(["2/2/2026", "3/2/2026"]))
    assert fault.value.example == "3/2/2026"


# Units.


def test_fahrenheit_by_its_values(logger):
    found = logger("time,temp,rh\n" + "\n".join(r.replace("20.5", "68.0") for r in rows("2026-01-10")))
    assert found.air.temp_c[0] == pytest.approx(20.0)
    assert not found.notes


def test_a_unit_that_nothing_tells_is_assumed_and_said(logger):
    text = "time,temp,rh\n" + "\n".join(rows("2026-01-10"))
    found = logger(text)
    assert [note.code for note in found.notes] == ["UNIT_ASSUMED"]
    assert logger(text, Hints(temp_unit="F")).air.temp_c[0] == pytest.approx((20.5 - 32) / 1.8)


def test_fractions_are_known_by_their_values(logger):
    found = logger("time,temp_c,rh (%)\n2026-01-10 10:00,20,0.45\n2026-01-10 11:00,20,0.5\n")
    assert found.air.rh_pct.tolist() == [45.0, 50.0]


def with_odd(values: str, odd: str, at: tuple[int, ...], *, head: str, count: int = 2880) -> str:
    """A log whose rows all say the same, but for those lines."""
    start = datetime.fromisoformat("2026-10-01")
    lines = [
        f"{start + timedelta(minutes=30 * i):%Y-%m-%d %H:%M},{odd if i + 2 in at else values}"
        for i in range(count)
    ]
    return head + "\n".join(lines)


@pytest.mark.parametrize(
    ("values", "odd"),
    [("20.5,0.45", "20.5,1.01"), ("20.5,0.45", "20.5,45"), ("20.5,45", "20.5,0.45"), ("20.5,45", "20.5,1")],
)
def test_the_bulk_of_the_rows_says_what_a_humidity_is(logger, values, odd):
    """No hygrometer in air that wood is worked in reads 1 % or less, and none more than 100 %."""
    lines = (3, 700, 701, 1500, 2000, 2001)
    found = logger(with_odd(values, odd, lines, head=HEAD))
    conserved(found, 2880)
    np.testing.assert_allclose(found.air.rh_pct, 45.0)
    assert found.dropped == {UNLIKE: lines}
    (note,) = found.left_out
    assert note.values["count"] == 6
    assert "lines 3, 700, 701, 1500 and 2 more" in str(note.values["why"])


def test_nothing_is_said_of_a_log_without_a_fault(logger):
    assert logger(HEAD + "\n".join(rows("2026-01-10"))).left_out == ()


def test_saturated_air_is_a_fraction_too(logger):
    found = logger(with_odd("20.5,0.95", "20.5,1.00", (100, 101), head=HEAD))
    assert found.rows_used == 2880
    assert found.air.rh_pct.max() == 100.0


def test_the_bulk_of_the_rows_says_what_a_temperature_is(logger):
    """Where no heading does: 68 among readings of 20 is one in °F, 20 among readings of 68 one in °C."""
    run = tuple(range(500, 520))
    found = logger(with_odd("20.0,45", "68.0,45", run, head="time,temp,rh\n"))
    assert found.dropped == {UNLIKE: run}
    np.testing.assert_allclose(found.air.temp_c, 20.0)
    found = logger(with_odd("68.0,45", "20.0,45", (500,), head="time,temp,rh\n"))
    assert found.dropped == {SPIKE: (500,)}
    np.testing.assert_allclose(found.air.temp_c, 20.0)


# Rows.


@pytest.mark.parametrize(
    ("row", "reason"),
    [("2026-01-20 10:00,,45", NO_NUMBER), ("2026-01-20 10:00,20,", NO_NUMBER),
     ("2026-01-20 10:00,20", NO_NUMBER), ("2026-01-20 10:00,nan,45", NO_NUMBER),
     ("2026-01-20 10:00,2e1,45", NO_NUMBER),
     ("2026-01-20 10:00,2.0.1,45", NO_NUMBER), ("2026-01-20 10:00,--,45", NO_NUMBER),
     ("", NO_TIME), (",,", NO_TIME), ("x,20,45", NO_TIME), ("2026-01-20 10:00,20,45,7", TOO_LONG),
     ("2026-01-20 10:00,20,145", IMPOSSIBLE), ("2026-01-20 10:00,20,0", IMPOSSIBLE),
     ("2026-01-20 10:00,-99,45", IMPOSSIBLE), ("2026-01-20 10:00,20,-5", IMPOSSIBLE),
     ("2026-01-10 05:00,20.5,45.0", DUPLICATE), ("2026-01-10 05:00,21,46", SAME_TIME),
     ('"2026-01-20 10:00,20,45,7', NO_NUMBER)],
)  # fmt: skip
def test_a_bad_row_is_dropped_with_its_reason_and_line(logger, row, reason):
    good = rows("2026-01-10")
    found = logger(HEAD + "\n".join([*good[:10], row, *good[10:]]))
    conserved(found, 31)
    assert found.dropped == {reason: (12,)}


@pytest.mark.parametrize(
    "row",
    ["2026-01-20 10:00,20,45,", '2026-01-20 10:00,"20","45"', " 2026-01-20 10:00 , 20 , 45 ",
     "2026-01-20 10:00,+20,45", '"2026-01-20 10:00,20,45', "2026-01-20 10:00,\u221220,45"],
)  # fmt: skip
def test_an_odd_row_is_still_a_reading(logger, row):
    found = logger(HEAD + "\n".join([*rows("2026-01-10"), row]))
    assert found.rows_used == 31


def test_rows_in_disorder_are_put_in_order(logger):
    good = rows("2026-01-10")
    found = logger(HEAD + "\n".join([*good[15:], *good[:15]]))
    assert found.rows_used == 30
    assert np.all(np.diff(found.air.times) > np.timedelta64(0, "s"))


def test_a_step_is_no_spike(logger):
    good = rows("2026-01-10")
    found = logger(HEAD + "\n".join([*good[:15], *(row.replace("20.5", "5.0") for row in good[15:])]))
    assert found.rows_used == 30


@pytest.mark.parametrize(
    ("text", "code"),
    [("", "NO_HEADINGS"), ("a,b,c\n1,2,3\n", "NO_HEADINGS"), ("time,temp\n", "NO_HEADINGS"),
     (HEAD, "NO_ROWS"),
     (HEAD + "x,y,z\n", "NO_ROWS"), ("time,temp 1,temp 2,rh\n2026-01-01,1,2,3\n", "NO_HEADINGS"),
     ("time,temp,rh" + "," * 200_000, "NO_ROWS"), ("x," + "y" * 200_000, "NO_HEADINGS"),
     (HEAD + "2026-01-20 10:00,20,5,45,2\n", "DECIMAL_COMMAS"), (b"\x00\x01", "BINARY")],
)  # fmt: skip
def test_what_is_no_logger_file(logger, text, code):
    with pytest.raises(Refusal) as fault:
        logger(text)
    assert fault.value.code == code
    assert fault.value.instead


# Any air in any style.

STYLES = st.builds(
    Style,
    delimiter=st.sampled_from(",;\t|"),
    comma=st.booleans(),
    language=st.sampled_from(["en", "de", "fr"]),
    date=st.sampled_from(DATES),
    split_date=st.booleans(),
    fahrenheit=st.booleans(),
    fraction=st.booleans(),
    units_in_cells=st.booleans(),
    quote_all=st.booleans(),
    preamble=st.integers(0, 6),
    newest_first=st.booleans(),
    other_columns=st.booleans(),
    crlf=st.booleans(),
    encoding=st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252"]),
)


@settings(max_examples=100, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(style=STYLES, data=st.data())
def test_any_air_in_any_style_reads_back(tmp_path, style, data):
    count = data.draw(st.integers(30, 80))
    minutes = data.draw(st.sampled_from([5, 10, 30, 60]))
    # Long enough, or late enough in its month, for the dates to tell themselves.
    start = datetime(2026, data.draw(st.integers(1, 12)), data.draw(st.integers(13, 25)), 13, 0)
    times = [start + timedelta(minutes=minutes * i) for i in range(count)]
    temp = [round(data.draw(st.floats(-20, 30)) + 3 * np.sin(i / 10), 3) for i in range(count)]
    base = data.draw(st.floats(10, 80))
    temp = [round(temp[0] + 2 * np.sin(i / 10), 3) for i in range(count)]
    rh = [round(base + 5 * np.cos(i / 10), 3) for i in range(count)]
    path = tmp_path / "any.csv"
    path.write_bytes(write(times, temp, rh, style))
    found = read_logger(str(path))
    conserved(found, count)
    assert not found.dropped
    assert found.air.times.tolist() == times
    np.testing.assert_allclose(found.air.temp_c, temp, atol=1e-9)
    np.testing.assert_allclose(found.air.rh_pct, rh, atol=1e-9)


@settings(max_examples=100, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(
    body=st.lists(
        st.text(st.characters(codec="utf-8", exclude_characters="\x00\n\r"), max_size=30), max_size=20
    ),
    at=st.integers(0, 20),
)
def test_junk_among_the_rows_is_counted(tmp_path, body, at):
    good = rows("2026-01-10", count=20)
    lines = [*good[:at], *body, *good[at:]]
    while lines and not lines[-1].strip():
        lines.pop()
    path = tmp_path / "junk.csv"
    path.write_text(HEAD + "\n".join(lines), encoding="utf-8", newline="")
    found = read_logger(str(path))
    conserved(found, len((HEAD + "\n".join(lines)).rstrip().split("\n")) - 1)


@settings(max_examples=100, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(junk=st.binary(max_size=400))
def test_any_bytes_are_read_or_refused(tmp_path, junk):
    path = tmp_path / "bytes.csv"
    for content in (junk, HEAD.encode() + junk):
        path.write_bytes(content)
        try:
            found = read_logger(str(path))
        except Refusal:
            continue
        assert found.rows_in == found.rows_used + found.rows_dropped


def test_mangled_files_are_read_or_refused(tmp_path):
    found = fuzz_readers.fuzz_loggers(tmp_path, 300)
    assert found.read > 150
