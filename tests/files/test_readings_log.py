"""The log of readings: it only grows, loses nothing that was acknowledged, and never rewrites a row."""

import errno
import os
from datetime import date
from pathlib import Path

import pytest
from campaigns import fuzz_readers, log_kill
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from woodmove.contract.refusal import Refusal
from woodmove.domain.reading import OFFCUT, OVEN_DRY, Reading
from woodmove.files import locks, readings
from woodmove.files.readings import COLUMNS, add_reading, read_readings, undo_reading

DAY = date(2027, 1, 15)
HEAD = ",".join(COLUMNS) + "\n"


@pytest.fixture
def path(tmp_path) -> str:
    return str(tmp_path / "log.csv")


def text(path: str) -> str:
    return Path(path).read_bytes().decode()


def put(path: str, content: str | bytes) -> None:
    Path(path).write_bytes(content if isinstance(content, bytes) else content.encode())


def metered(board: str = "A1", mc: float = 12.5, **more) -> Reading:
    return Reading(None, DAY, board, mc, **more)


def test_a_reading_comes_back(path):
    done = add_reading(path, metered(wood_temp_c=18.0, depth_mm=9.5)).reading
    assert (done.number, done.line) == (1, 2)
    weighed = add_reading(path, Reading(None, DAY, "oak, 3", weight_g=1234.5)).reading
    assert (weighed.number, weighed.line) == (2, 3)
    log = read_readings(path)
    assert log.readings == (done, weighed)
    assert log.boards == ("A1", "oak, 3")
    assert not log.faults
    assert text(path) == HEAD + (
        '1,2027-01-15,A1,12.5,,18,9.5,,,reading\n2,2027-01-15,"oak, 3",,1234.5,,,,,reading\n'
    )


def test_undo_marks_and_erases_nothing(path):
    for mc in (12, 13, 14):
        add_reading(path, metered(mc=mc))
    before = text(path)
    assert undo_reading(path, 2, DAY).reading.mc_pct == 13
    assert text(path).startswith(before)
    log = read_readings(path)
    assert [r.mc_pct for r in log.readings] == [12, 14]
    assert [r.mc_pct for r in log.undone] == [13]
    assert undo_reading(path, None, DAY).reading.mc_pct == 14
    assert [r.mc_pct for r in read_readings(path).readings] == [12]
    with pytest.raises(Refusal, match="no reading 2 that counts"):
        undo_reading(path, 2, DAY)
    undo_reading(path, None, DAY)
    with pytest.raises(Refusal, match="no reading to take back"):
        undo_reading(path, None, DAY)
    assert add_reading(path, metered()).reading.number == 7  # numbers are never used again


GOOD = "1,2027-01-15,A1,12.5,,,,,,reading\n"
WHOLE = "2,2027-01-15,A1,12.25,900,18,9.5,,,reading"


@pytest.mark.parametrize("cut", range(1, len(WHOLE), 4))
def test_a_torn_last_line_is_told_and_the_next_row_begins_on_its_own(path, cut):
    put(path, HEAD + GOOD + WHOLE[:cut])
    log = read_readings(path)
    assert [fault.line for fault in log.faults] == [3]
    done = add_reading(path, metered(mc=11)).reading
    assert text(path) == HEAD + GOOD + WHOLE[:cut] + f"\n{done.number},2027-01-15,A1,11,,,,,,reading\n"
    log = read_readings(path)
    assert [r.mc_pct for r in log.readings] == [12.5, 11]
    assert [fault.line for fault in log.faults] == [3]


def test_a_torn_undo_takes_nothing_back(path):
    rows = "".join(f"{i},2027-01-15,A1,12,,,,,,reading\n" for i in range(1, 13))
    put(path, HEAD + rows + "13,2027-01-16,,,,,,1")  # of 12
    log = read_readings(path)
    assert len(log.readings) == 12
    assert len(log.faults) == 1


@pytest.mark.parametrize(
    ("row", "says"),
    [("2,2027-13-15,A1,12,,,,,,reading", "2027-13-15"), ("2,,A1,12,,,,,,reading", "date"),
     ("2,2027-01-15,,12,,,,,,reading", "board"), ("2,2027-01-15,A1,,,,,,,reading", "neither"),
     ("2,2027-01-15,A1,wet,,,,,,reading", "wet"), ("x,2027-01-15,A1,12,,,,,,reading", "number"),
     ("2,2027-01-15,A1,300,,,,,,reading", "mc_pct"), ("2,2027-01-15,A1,12,,,,,,reading,9", "more cells"),
     ("2,2027-01-15", "cut off"), ("1,2027-01-15,A1,12,,,,,,reading", "already"),
     ("2,2027-01-15,,,,,,,9,undo", "takes back"), ('2,"2027', "cut off"), ('"x', "cut off"),
     ("2,3/4/2027,A1,12,,,,,,reading", "day or its month"), ("2,2027-01-15,A1,nan,,,,,,reading", "nan"),
     ("2,2027-01-15,A1,12", "cut off"), ("2,2027-01-15,A1,12,,,,,,undo", "cut off")],
)  # fmt: skip
def test_a_broken_row_is_told_by_line_and_never_rewritten(path, row, says):
    put(path, HEAD + GOOD + f"{row}\n3,2027-01-16,A1,12,,,,,,reading\n")
    before = text(path)
    log = read_readings(path)
    assert [fault.line for fault in log.faults] == [3]
    assert says in log.faults[0].wrong
    assert [r.number for r in log.readings] == [1, 3]
    assert add_reading(path, metered()).reading.number == 4
    assert text(path).startswith(before)


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252"])
def test_a_log_that_a_spreadsheet_has_saved_goes_on_as_it_is(path, end, encoding):
    head = "Number;Date;Board;MC_pct;weight_g;wood_temp_c;depth_mm;undoes;kind"
    put(path, end.join([head, "1;15.01.2027;Größe;12,5;;18,0;;;Reading", ";;;;;;;;", ""]).encode(encoding))
    log = read_readings(path)
    assert [(r.board, r.mc_pct, r.wood_temp_c, r.day) for r in log.readings] == [("Größe", 12.5, 18.0, DAY)]
    assert not log.faults
    add_reading(path, Reading(None, DAY, "Länge", 11.25))
    raw = Path(path).read_bytes()
    assert raw.endswith(
        f"2;2027-01-15;Länge;11,25;;;;;reading{end}".encode("cp1252" if encoding == "cp1252" else "utf-8")
    )
    assert [r.mc_pct for r in read_readings(path).readings] == [12.5, 11.25]


def test_rows_typed_by_hand_need_no_number(path):
    put(path, "date,board,mc_pct\n2027-01-15,A1,12\n")
    assert read_readings(path).readings == (Reading(None, DAY, "A1", 12.0, line=2),)
    with pytest.raises(Refusal, match="no reading to take back"):
        undo_reading(path, None, DAY)


@pytest.mark.parametrize(
    "content", ["a,b\n1,2\n", "time,temp_c,rh\n", "\x00", "date,board,board,mc_pct\n", "n\n1\n2\n"]
)
def test_what_is_no_log_is_never_appended_to(path, content):
    put(path, content)
    with pytest.raises(Refusal):
        add_reading(path, metered())
    assert text(path) == content
    with pytest.raises(Refusal):
        read_readings(path)
    with pytest.raises(Refusal):
        undo_reading(path, None, DAY)


def test_undo_makes_no_file(path):
    with pytest.raises(Refusal):
        undo_reading(path, None, DAY)
    assert not Path(path).exists()


# Headings. A heading may stand in any line, and names the columns of the rows below it; so a log that lacks
# a column grows one without a row of it being touched.

BY_HAND = "date,board,mc_pct\n2027-01-14,A1,12\n"


def weighed(board: str = "A1", grams: float = 1350.0) -> Reading:
    return Reading(None, DAY, board, weight_g=grams)


def codes(taken) -> list[str]:
    return [note.code for note in taken.notes]


def test_a_weight_in_a_log_without_a_weight_column_is_kept(path):
    put(path, BY_HAND)
    taken = add_reading(path, weighed())
    assert codes(taken) == ["LOG_COLUMNS_ADDED"]
    assert "weight_g" in str(taken.notes[0].values)
    log = read_readings(path)
    assert [(r.mc_pct, r.weight_g) for r in log.readings] == [(12.0, None), (None, 1350.0)]
    assert log.readings[-1] == taken.reading
    assert not log.faults
    # Nothing above has changed, and the second weight needs no third heading.
    assert text(path).startswith(BY_HAND)
    assert codes(add_reading(path, weighed(grams=1340))) == []
    assert read_readings(path).headings == (1, 3)


def test_other_columns_of_a_log_stay_where_they_are(path):
    put(path, 'board;date;mc_pct;"rain; or sun"\nA1;2027-01-14;12,5;sun\n')
    add_reading(path, weighed())
    head, row = text(path).splitlines()[2:]
    assert head.startswith('board;date;mc_pct;"rain; or sun";')
    assert head.endswith(";kind")  # a row that was cut off shows by its last cell
    assert row.startswith("A1;2027-01-15;;;")
    put(path, text(path) + "A1;2027-01-16;12;rain\n")
    assert [r.mc_pct for r in read_readings(path).readings] == [12.5, None, 12.0]


def test_a_log_whose_kind_is_not_last_keeps_its_rows_whole(path):
    put(path, "number,date,board,mc_pct,kind\n1,2027-01-14,A1,12,reading\n")
    add_reading(path, weighed(grams=1350))
    assert text(path).splitlines()[2].endswith("weight_g,wood_temp_c,depth_mm,dry_g,undoes,kind")
    put(path, text(path).removesuffix("reading\n"))  # cut off behind the weight
    assert [r.weight_g for r in read_readings(path).readings] == [None]


def test_undo_needs_its_column_too(path):
    put(path, "number,date,board,mc_pct\n1,2027-01-14,A1,12\n2,2027-01-14,A2,13\n")
    assert undo_reading(path, 1, DAY).reading.board == "A1"
    log = read_readings(path)
    assert [r.board for r in log.readings] == ["A2"]
    assert [r.board for r in log.undone] == ["A1"]
    assert not log.faults


def test_a_heading_that_a_spreadsheet_has_filled_up(path):
    put(path, BY_HAND)
    add_reading(path, weighed())
    wide = max(line.count(",") for line in text(path).splitlines())
    put(path, "".join(line + "," * (wide - line.count(",")) + "\n" for line in text(path).splitlines()))
    log = read_readings(path)
    assert [(r.mc_pct, r.weight_g) for r in log.readings] == [(12.0, None), (None, 1350.0)]
    assert not log.faults


@pytest.mark.parametrize("start", ["", "\ufeff", "\n", "\r\n\r\n", " \n", "\ufeff\n", ",,,\n"], ids=ascii)
def test_a_log_without_a_heading_gets_one(path, start):
    put(path, start)
    assert read_readings(path).readings == ()
    taken = add_reading(path, weighed())
    assert text(path).startswith(start)
    assert codes(taken) == (["LOG_HEADING_ADDED"] if start else [])
    log = read_readings(path)
    assert log.readings == (taken.reading,)
    assert not log.faults


@pytest.mark.parametrize("start", ["\n", "\ufeff\n\n", ";;;\r\n"], ids=ascii)
def test_a_heading_below_blank_lines_counts(path, start):
    end = "\r\n" if "\r" in start else "\n"
    put(path, start + HEAD.replace("\n", end) + GOOD.replace("\n", end))
    assert [r.mc_pct for r in read_readings(path).readings] == [12.5]
    taken = add_reading(path, weighed())
    assert (taken.reading.number, codes(taken)) == (2, [])
    assert len(read_readings(path).readings) == 2


@pytest.mark.parametrize("start", ["", BY_HAND])
def test_wherever_a_new_heading_was_cut_off_the_log_goes_on(path, start):
    """Killed within the first write that a log needs, at any byte of it."""
    put(path, start)
    add_reading(path, weighed())
    whole = text(path)
    for cut in range(len(start), len(whole)):
        put(path, whole[:cut])
        before = len(read_readings(path).readings)
        taken = add_reading(path, weighed("B"))
        assert text(path).startswith(whole[:cut])
        log = read_readings(path)
        assert log.readings[-1] == taken.reading
        assert len(log.readings) == before + 1
        assert len(log.faults) <= 1
        # A log that was cut off once is as good as any other.
        assert codes(add_reading(path, weighed("C"))) == []


def test_a_torn_heading_is_told_by_line(path):
    put(path, "number,date,boa")
    taken = add_reading(path, weighed())
    assert codes(taken) == ["LOG_HEADING_ADDED"]
    assert taken.reading.line == 3
    (fault,) = read_readings(path).faults
    assert fault.line == 1
    assert "cut off" in fault.wrong


def test_a_line_above_the_heading_is_told_and_takes_nothing_with_it(path):
    """Some spreadsheets write such a line for themselves; people write a title."""
    put(path, "sep=;\n" + HEAD.replace(",", ";") + GOOD.replace(",", ";"))
    log = read_readings(path)
    assert [r.mc_pct for r in log.readings] == [12.5]
    assert [fault.line for fault in log.faults] == [1]
    assert add_reading(path, metered()).reading.number == 2


def test_rows_below_a_heading_that_somebody_broke_are_not_thrown_away(path):
    """What stands there are readings, so nothing is guessed, and what to write is said."""
    put(path, "number,date,boa\n" + GOOD)
    with pytest.raises(Refusal) as fault:
        add_reading(path, metered())
    assert fault.value.line == 2
    assert ",".join(COLUMNS) in fault.value.text
    assert text(path) == "number,date,boa\n" + GOOD


# What is said to be taken has been read back.


def test_a_reading_that_does_not_read_back_is_not_taken(path, monkeypatch):
    add_reading(path, metered())
    before = text(path)
    real = readings._row
    monkeypatch.setattr(readings, "_row", lambda values, shape: real({**values, "weight_g": None}, shape))
    with pytest.raises(Refusal) as fault:
        add_reading(path, weighed())
    assert fault.value.code == "NOT_READ_BACK"
    assert text(path) == before


def test_a_value_that_no_log_reads_is_not_taken(path):
    with pytest.raises(Refusal, match="does not read back"):
        add_reading(path, metered(mc=300.0))
    assert text(path) == ""


def test_a_name_that_the_file_cannot_hold(path):
    put(path, (HEAD + "1,2027-01-15,Größe,12,,,,,,reading\n").encode("cp1252"))
    before = Path(path).read_bytes()
    with pytest.raises(Refusal, match="木"):
        add_reading(path, metered("木"))
    assert Path(path).read_bytes() == before


def test_writers_killed_while_a_log_grows_a_column_lose_nothing(tmp_path):
    found = log_kill.kill_at_random(tmp_path, runs=3, appends=30, start=BY_HAND)
    assert found.lost == 0
    assert found.torn <= found.runs
    assert found.kept > 1


@pytest.mark.parametrize("name", ["", " ", "=1+1", "-A", "@x", "a\nb", "a\x1bb"])
def test_names_that_a_spreadsheet_or_a_terminal_would_obey(path, name):
    with pytest.raises(Refusal, match="no name for a board"):
        add_reading(path, metered(name))
    assert not Path(path).exists()


# Bad luck.


@pytest.mark.parametrize("after", [0, 1, 7, 20])
@pytest.mark.parametrize("first", [True, False])
def test_a_full_disk_leaves_the_log_as_it_was(path, monkeypatch, after, first):
    if not first:
        add_reading(path, metered())
    before = Path(path).read_bytes() if not first else b""
    real = os.write
    written = 0

    def full(descriptor, data):
        nonlocal written
        room = after - written
        if room <= 0:
            raise OSError(errno.ENOSPC, "No space left on device")
        done = real(descriptor, bytes(data)[:room])
        written += done
        return done

    monkeypatch.setattr(readings.os, "write", full)
    with pytest.raises(Refusal, match="No space left") as fault:
        add_reading(path, metered())
    assert "not taken" in fault.value.wrong
    monkeypatch.undo()
    assert Path(path).read_bytes() == before
    add_reading(path, metered())
    assert len(read_readings(path).readings) == (1 if first else 2)
    assert not read_readings(path).faults


def test_a_disk_that_cannot_flush_acknowledges_nothing(path, monkeypatch):
    add_reading(path, metered())
    before = text(path)

    def broken(descriptor):
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(readings.os, "fsync", broken)
    with pytest.raises(Refusal, match="Input/output"):
        add_reading(path, metered())
    assert text(path) == before


def test_a_disk_that_can_neither_write_nor_cut_leaves_a_torn_line_that_is_told(path, monkeypatch):
    add_reading(path, metered())
    real = os.write
    tries = iter([5, 0])

    def full(descriptor, data):
        room = next(tries)
        if not room:
            raise OSError(errno.ENOSPC, "No space left on device")
        return real(descriptor, bytes(data)[:room])

    def broken(descriptor, length):
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(readings.os, "write", full)
    monkeypatch.setattr(readings.os, "ftruncate", broken)
    with pytest.raises(Refusal):
        add_reading(path, metered())
    monkeypatch.undo()
    assert len(read_readings(path).faults) == 1
    add_reading(path, metered())
    log = read_readings(path)
    assert (len(log.readings), len(log.faults)) == (2, 1)


@pytest.mark.parametrize("system", ["own", "none"])
def test_one_writer_at_a_time(path, monkeypatch, system):
    if system == "none":
        monkeypatch.setattr(locks, "fcntl", None)
        monkeypatch.setattr(locks, "msvcrt", None)
    monkeypatch.setattr(locks, "PATIENCE_S", 0.05)
    add_reading(path, metered())
    holder = os.open(path, os.O_RDWR)
    with locks.locked(holder, path), pytest.raises(Refusal, match="locked"):
        add_reading(path, metered())
    os.close(holder)
    add_reading(path, metered())
    assert len(read_readings(path).readings) == 2
    assert not Path(path + ".lock").exists()


def test_locks_as_on_windows(path, monkeypatch):
    class Msvcrt:
        LK_NBLCK, LK_UNLCK = 2, 0
        calls: list[int] = []  # noqa: RUF012

        @classmethod
        def locking(cls, descriptor: int, mode: int, count: int) -> None:
            cls.calls.append(mode)

    monkeypatch.setattr(locks, "fcntl", None)
    monkeypatch.setattr(locks, "msvcrt", Msvcrt)
    add_reading(path, metered())
    assert Msvcrt.calls == [2, 0]
    assert len(read_readings(path).readings) == 1


def test_writers_that_are_killed_lose_nothing_acknowledged(tmp_path):
    found = log_kill.kill_at_random(tmp_path, runs=3, appends=60)
    assert found.lost == 0
    assert found.torn <= found.runs
    assert found.acknowledged > 0


def test_two_writers_lose_nothing(tmp_path):
    assert log_kill.write_together(tmp_path, 2, 60) == (120, 120, 0)


# Fuzz.

CELLS = st.text(st.characters(codec="utf-8", exclude_characters="\x00"), max_size=12)


@settings(max_examples=80, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(junk=st.lists(CELLS, max_size=8), tail=CELLS)
def test_no_row_is_lost_in_silence(path, junk, tail):
    """Every line that holds anything is a heading, a reading, a mark, or a fault."""
    lines = [
        "1,2027-01-15,A1,12,,,,",
        *(" ".join(cell.splitlines()) for cell in junk),
        " ".join(tail.splitlines()),
    ]
    put(path, HEAD + "\n".join(lines))
    log = read_readings(path)
    told = {r.line for r in log.readings} | {f.line for f in log.faults} | {r.line for r in log.undone}
    told |= set(log.headings)
    held = {i for i, line in enumerate(lines, 2) if line.replace(",", "").replace('"', "").strip()}
    assert held <= told
    before = Path(path).read_bytes()
    add_reading(path, metered("new"))
    assert Path(path).read_bytes().startswith(before)
    assert read_readings(path).readings[-1].board == "new"


@settings(max_examples=80, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(junk=st.binary(max_size=300))
def test_any_bytes_are_read_or_refused(path, junk):
    for content in (junk, HEAD.encode() + junk):
        put(path, content)
        try:
            log = read_readings(path)
        except Refusal:
            continue
        assert all(fault.line for fault in log.faults)


BOARDS = st.text(
    st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Zl", "Zp"]), min_size=1, max_size=12
)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(
    board=BOARDS.map(str.strip).filter(lambda b: b and b[0] not in "=+-@"),
    mc=st.floats(0, 200),
    depth=st.none() | st.floats(0, 500),
)
def test_any_reading_reads_back(tmp_path, board, mc, depth):
    path = tmp_path / "any.csv"
    path.unlink(missing_ok=True)
    add_reading(str(path), Reading(None, DAY, board, mc, depth_mm=depth))
    (found,) = read_readings(str(path)).readings
    assert found.board == board
    assert found.mc_pct == pytest.approx(mc, abs=5.1e-7)
    assert found.depth_mm == (None if depth is None else pytest.approx(depth, abs=5.1e-7))


def test_mangled_logs_lose_no_row_in_silence(tmp_path):
    found = fuzz_readers.fuzz_log(tmp_path, 500)
    assert found.read > 250


@pytest.mark.parametrize("kind", [OVEN_DRY, OFFCUT])
def test_a_dried_piece_comes_back_as_what_it_is(path, kind):
    add_reading(path, Reading(None, DAY, "A1", weight_g=51.6, dry_g=46.1, kind=kind))
    (found,) = read_readings(path).readings
    # 5.5 g of water in 46.1 g of wood.
    assert (found.kind, found.dried_pct) == (kind, pytest.approx(11.93, abs=0.01))
    assert read_readings(path).boards == (("A1",) if kind == OVEN_DRY else ())


def test_a_slice_typed_by_hand_counts_and_one_that_gains_in_the_oven_does_not(path):
    put(path, "date,board,weight_g,dry_g\n2027-01-15,A1,51.6,46.1\n2027-01-16,A1,46.1,51.6\n")
    log = read_readings(path)
    assert [one.kind for one in log.readings] == [OVEN_DRY]
    assert [fault.line for fault in log.faults] == [3]
