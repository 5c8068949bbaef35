"""Dates and times as loggers and people write them.

A stamp is read by its runs of digits, and rows that have their digits in the same places are read
together: a hundred thousand stamps are a few array operations. Which of two numbers is the day is
decided from all rows, and asked for where they do not tell.
"""

import re
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from woodmove.files.air.cells import WIDEST, Letters, alike, digits_of, runs_of, whole

# Short names of the months, by their first letters, without accents: English, German, French.
_MONTH_NAMES = {
    "jan": 1, "feb": 2, "fev": 2, "mar": 3, "apr": 4, "avr": 4, "may": 5, "mai": 5, "jun": 6, "juin": 6,
    "jul": 7, "juil": 7, "aug": 8, "aou": 8, "sep": 9, "oct": 10, "okt": 10, "nov": 11, "dec": 12, "dez": 12,
}  # fmt: skip
_NAMED = re.compile(
    r"(?:(?P<day>\d{1,2})[ .,/-]*)?(?P<name>[A-Za-zéûä]{3,10})[ .,/-]*(?(day)|(?P<after>\d{1,2})[ ,]+)"
    r"(?P<year>\d{4}|\d{2}(?!\d|:))"
)
_DAYS = np.array([0, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
# Steps longer than this between neighbouring readings speak against an order of day and month.
_LONG_STEP = 36 * 3600
# ... but only in a file with several readings a day.
_SHORT_STEP = 6 * 3600

Times = NDArray[np.datetime64]
_NO_TIME = np.datetime64("NaT", "s")


class AmbiguousDates(ValueError):
    """Nothing in the rows tells the day from the month. `example` is one of them."""

    def __init__(self, example: str, mixed: str = "") -> None:
        super().__init__(example)
        self.example = example
        self.mixed = mixed


@dataclass(frozen=True)
class Stamps:
    """Times as they were read.

    :param times: datetime64[s], NaT where a row holds no time
    :param order: "year first", "day first", "month first" or "seconds since 1970"
    :param why: how the order was decided
    """

    times: Times
    order: str
    why: str


def read_stamps(letters: Letters, order: str = "") -> Stamps:
    """Times of a column.

    Year-first dates, dates with the year last, month names, 12 and 24 hours, fractions of a second,
    offsets from UTC (the clock of the first row then goes on), and seconds since 1970.

    :param letters: its characters, shape (width, rows)
    :param order: "day first" or "month first" where somebody has said so
    :raises AmbiguousDates: rows that would be times in either order of day and month
    """
    edges = (*range(min(50, letters.shape[1])), *range(max(letters.shape[1] - 50, 0), letters.shape[1]))
    sample = " ".join(_text(letters, row) for row in edges)
    if re.search(r"[B-LN-OQ-SU-Yb-ln-oq-su-y]", sample):
        letters = letters_of([_NAMED.sub(_in_numbers, _text(letters, i)) for i in range(letters.shape[1])])
    fields = _Fields(letters)
    for rows, mask in alike(digits_of(letters)):
        fields.read(rows, mask)
    if "m" in sample.lower():
        fields.read_halves()
    return fields.times(order)


def letters_of(texts: list[str]) -> Letters:
    """Texts as characters, shape (width, rows)."""
    cells = np.array([text[:WIDEST].encode("ascii", "replace") for text in texts] or [b" "], dtype=np.bytes_)
    letters = np.ascontiguousarray(cells.view(np.uint8).reshape(len(cells), -1).T)
    return np.where(letters == 0, np.uint8(32), letters)[:, : len(texts)]


def _text(letters: Letters, row: int) -> str:
    return letters[:, row].tobytes().decode("latin-1").strip()


def _in_numbers(match: re.Match[str]) -> str:
    """A date whose month is a name, as year, month and day in numbers."""
    word = match["name"].lower().replace("é", "e").replace("û", "u").replace("ä", "a")
    number = _MONTH_NAMES.get(word[:4]) or _MONTH_NAMES.get(word[:3])
    if not number:
        return match[0]
    year = match["year"] if len(match["year"]) == 4 else f"20{match['year']}"
    return f"{year}-{number:02d}-{int(match['day'] or match['after']):02d}"


class _Fields:
    """The numbers of each row: year or not, the two others of the date, the time of day, the offset."""

    def __init__(self, letters: Letters) -> None:
        self.letters = letters
        count = letters.shape[1]
        self.year, self.one, self.two, self.hour, self.minute, self.second = (
            np.zeros(count, np.int32) for _ in range(6)
        )
        self.offset_s = np.zeros(count, np.int32)
        self.has_offset = np.zeros(count, bool)
        self.epoch_s = np.zeros(count, np.int64)
        self.kind = np.zeros(count, np.int8)  # 1 year first, 2 year last, 3 seconds since 1970
        self.dotted = np.zeros(count, bool)
        self.bad = np.zeros(count, bool)

    def read(self, rows: Any, mask: NDArray[np.bool_]) -> None:
        """Read the rows that have digits where `mask` says."""
        runs = runs_of(mask)
        cells = self.letters[:, rows]

        def number(run: tuple[int, int]) -> NDArray[Any]:
            return whole(cells, run)

        lengths = [end - start for start, end in runs]
        if len(runs) == 1 and lengths[0] in (10, 13):
            self.kind[rows] = 3
            self.epoch_s[rows] = number(runs[0]) // (1000 if lengths[0] == 13 else 1)
            return
        if runs and lengths[0] == 8:  # 20260131, as in 20260131T0930
            start = runs[0][0]
            runs[:1] = [(start, start + 4), (start + 4, start + 6), (start + 6, start + 8)]
            if len(runs) > 3 and runs[3][1] - runs[3][0] in (4, 6):
                start, end = runs[3]
                runs[3:4] = [(at, at + 2) for at in range(start, end, 2)]
            lengths = [end - start for start, end in runs]
        if len(runs) < 3 or max(lengths[:3]) > 4:
            self.bad[rows] = True
            return
        if lengths[0] == 4:
            self.kind[rows] = 1
            self.year[rows], self.one[rows], self.two[rows] = (number(run) for run in runs[:3])
        elif lengths[2] in (2, 4):
            self.kind[rows] = 2
            self.one[rows], self.two[rows] = number(runs[0]), number(runs[1])
            self.year[rows] = number(runs[2]) + (2000 if lengths[2] == 2 else 0)
            self.dotted[rows] = cells[runs[0][1]] == ord(".")
        else:
            self.bad[rows] = True
            return
        self._read_clock(cells, rows, runs[3:], number)

    def _read_clock(self, cells, rows, runs, number) -> None:
        clock = [self.hour, self.minute, self.second]
        offset = []
        for run in runs:
            before = cells[run[0] - 1]
            if offset or (len(clock) < 3 and bool(np.isin(before, (ord("+"), ord("-"))).all())):
                offset.append(run)
            elif clock:
                clock.pop(0)[rows] = number(run)
            # What follows the seconds is a fraction of one.
        if offset:
            value = number(offset[0])
            if offset[0][1] - offset[0][0] == 4:
                minutes = value // 100 * 60 + value % 100
            else:
                minutes = value * 60 + (number(offset[1]) if len(offset) > 1 else 0)
            behind = cells[offset[0][0] - 1] == ord("-")
            self.offset_s[rows] = np.where(behind, -60, 60) * minutes
            self.has_offset[rows] = True
        elif runs:
            self.has_offset[rows] = (cells[runs[-1][1] : runs[-1][1] + 2] == ord("Z")).any(axis=0)

    def read_halves(self) -> None:
        """Read AM and PM: the hours then run from 12 to 11."""
        afternoon, noon, m = (((self.letters | 32) == ord(letter)).any(axis=0) for letter in "pam")
        afternoon, morning = afternoon & m, noon & m & ~afternoon
        self.bad |= (morning | afternoon) & ((self.hour < 1) | (self.hour > 12))
        self.hour = np.where(morning | afternoon, self.hour % 12, self.hour) + np.where(afternoon, 12, 0)

    def times(self, order: str) -> Stamps:
        """The times, in the order of day and month that the rows show."""
        wrong_clock = (
            (self.hour * 3600 + self.minute * 60 + self.second > 86400)
            | (self.minute > 59)
            | (self.second > 60)
        )
        self.bad |= wrong_clock | (self.kind == 0)
        if not len(self.kind) or self.bad.all():
            return Stamps(np.full(len(self.kind), _NO_TIME), "year first", "")
        kind = int(np.bincount(self.kind[~self.bad]).argmax())
        self.bad |= self.kind != kind
        if kind == 3:
            times = self.epoch_s.astype("datetime64[s]")
            times[self.bad] = _NO_TIME
            return Stamps(times, "seconds since 1970", "each is one whole number")
        if kind == 1:
            return Stamps(self._with(self.one, self.two), "year first", "the year has four digits")
        order, why = self._order(order)
        month, day = (self.two, self.one) if order == "day first" else (self.one, self.two)
        return Stamps(self._with(month, day), order, why)

    def _order(self, order: str) -> tuple[str, str]:
        if order:
            return order, "as told"
        good = ~self.bad
        day_one, day_two = self.one > 12, self.two > 12
        firsts, seconds = good & day_one & ~day_two, good & day_two & ~day_one
        if firsts.any() and seconds.any():
            # One stray row does not turn a file round.
            if min(firsts.sum(), seconds.sum()) * 20 > max(firsts.sum(), seconds.sum()):
                raise AmbiguousDates(self._example(firsts), self._example(seconds))
            return (
                ("day first" if firsts.sum() > seconds.sum() else "month first"),
                "most of its numbers above 12 say so",
            )
        if firsts.any():
            return "day first", f"{self._example(firsts)} can be nothing else"
        if seconds.any():
            return "month first", f"{self._example(seconds)} can be nothing else"
        if bool(self.dotted[good].all()):
            return "day first", "dates with dots are written so"
        if bool(np.all(self.one[good] == self.two[good])):
            return "day first", "day and month are the same number"
        long_steps = {}
        for name, month, day in (("day first", self.two, self.one), ("month first", self.one, self.two)):
            times = self._with(month, day)
            steps = np.abs(np.diff(times[~np.isnat(times)]).astype(np.int64))
            if not len(steps) or np.median(steps) > _SHORT_STEP:
                break
            long_steps[name] = int((steps > _LONG_STEP).sum())
        # Read in the wrong order, one day is followed by the same day of the next month.
        if len(long_steps) == 2 and min(long_steps.values()) == 0 < max(long_steps.values()):
            name = min(long_steps, key=lambda name: long_steps[name])
            return name, "only so do the days follow each other"
        raise AmbiguousDates(self._example(good & (self.one != self.two)))

    def _example(self, rows: NDArray[np.bool_]) -> str:
        return _text(self.letters, int(rows.argmax()))

    def _with(self, month: NDArray[Any], day: NDArray[Any]) -> Times:
        bad = self.bad | (month < 1) | (month > 12) | (self.year < 1970) | (self.year > 2200)
        month, year = np.where(bad, 1, month), np.where(bad, 1970, self.year)
        leap = (year % 4 == 0) & ((year % 100 != 0) | (year % 400 == 0))
        bad |= (day < 1) | (day > _DAYS[month] + (leap & (month == 2)))
        # Years are counted from March, so that the leap day comes last.
        from_march = year - (month < 3)
        days = from_march * 365 + from_march // 4 - from_march // 100 + from_march // 400
        days += (153 * ((month + 9) % 12) + 2) // 5 + day - 1 - 719468
        seconds = days.astype(np.int64) * 86400 + (self.hour * 3600 + self.minute * 60 + self.second)
        if self.has_offset.any() and not bad.all():
            # The clock of the first row goes on.
            first = self.offset_s[int((~bad).argmax())]
            seconds += np.where(self.has_offset, first - self.offset_s, 0)
        times = seconds.view("datetime64[s]")
        times[bad] = _NO_TIME
        return times
