"""The cells of a large table as arrays of characters, and the numbers in them.

A table of a hundred thousand rows is taken apart by the places of its delimiters and line ends, a column
at a time, without a Python object for any cell.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from woodmove.physics.arrays import Array

WIDEST = 40
_FEW = 8
_BLANK, _QUOTE, _PLUS, _MINUS = (ord(c) for c in ' "+-')
# What may follow a number in its cell: a unit. Above 127 is the degree sign.
_UNIT = np.zeros(256, bool)
_UNIT[128:] = True
_UNIT[[ord(c) for c in " CFcf%RHrhKdeg"]] = True

Letters = NDArray[np.uint8]


@dataclass(frozen=True)
class Cells:
    """Where the cells of a table are.

    :param buffer: its characters
    :param starts: of the lines, shape (rows,)
    :param ends: of the lines
    :param delimiters: places of all delimiters
    :param first: number of the first delimiter at or behind the start of each line
    :param first_line: number of the first line in the file
    :param quoted: True if there are quotation marks
    """

    buffer: Letters
    starts: NDArray[np.int64]
    ends: NDArray[np.int64]
    delimiters: NDArray[np.int64]
    first: NDArray[np.int64]
    first_line: int
    quoted: bool

    def __len__(self) -> int:
        return len(self.starts)

    @property
    def counts(self) -> NDArray[np.int64]:
        """How many cells each row has."""
        return np.diff(np.concatenate((self.first, [len(self.delimiters) - 1]))) + 1

    def column(self, number: int) -> Letters:
        """The characters of a column, shape (width, rows), filled up with blanks; none of a cell that is
        longer than 40 or not there."""
        last = len(self.delimiters) - 1
        start = self.starts if number == 0 else self.delimiters[np.minimum(self.first + number - 1, last)] + 1
        lengths = np.minimum(self.delimiters[np.minimum(self.first + number, last)], self.ends) - start
        if self.quoted:
            quote = self.buffer.take(start, mode="clip") == _QUOTE
            start, lengths = start + quote, lengths - quote
            lengths -= self.buffer.take(start + lengths - 1, mode="clip") == _QUOTE
        lengths[(lengths < 0) | (lengths > WIDEST)] = 0
        width = max(int(lengths.max(initial=0)), 1)
        places = np.arange(width)[:, None]
        letters = self.buffer.take(start + places, mode="clip")
        if not np.all(lengths == width):
            np.putmask(letters, places >= lengths, _BLANK)
        return letters


def read_cells(body: str, delimiter: str, first_line: int, columns: int) -> Cells:
    """The cells of a table without its headings.

    A delimiter within quotation marks parts nothing. Quotation marks count within their line only: one
    that is never closed spoils its own line and swallows no other.

    :param first_line: number of its first line in the file
    :param columns: how many there are headings for
    """
    buffer = np.frombuffer((body + "\n").encode(), np.uint8)
    ends = np.flatnonzero(buffer == ord("\n"))
    starts = np.concatenate(([0], ends[:-1] + 1))
    delimiters = np.flatnonzero(buffer == ord(delimiter))
    first = np.searchsorted(delimiters, starts)
    quoted = '"' in body
    if quoted and bool(np.any(np.diff(first, append=len(delimiters)) != columns - 1)):
        quotes = np.flatnonzero(buffer == _QUOTE)
        before_line = np.searchsorted(quotes, starts)[np.searchsorted(ends, delimiters)]
        delimiters = delimiters[(np.searchsorted(quotes, delimiters) - before_line) % 2 == 0]
        first = np.searchsorted(delimiters, starts)
    # Behind the last delimiter stands the end of the buffer.
    delimiters = np.concatenate((delimiters, [len(buffer)]))
    return Cells(buffer, starts, ends, delimiters, first, first_line, quoted)


def alike(digits: NDArray[np.bool_]) -> Iterator[tuple[Any, NDArray[np.bool_]]]:
    """Rows with their digits in the same places, with these places.

    :param digits: where a digit stands, shape (width, rows), at most 62 wide
    """
    if bool(np.all(digits == digits[:, :1])):
        yield slice(None), digits[:, 0]
        return
    packed = np.zeros(digits.shape[1], np.int64)
    for column in digits:
        packed = packed * 2 + column
    left = np.arange(len(packed))
    # A file has a handful of layouts: they are taken out one by one, the rest by sorting.
    for _ in range(_FEW):
        same = packed[left] == packed[left[0]]
        yield left[same], digits[:, left[0]]
        left = left[~same]
        if not len(left):
            return
    _, first, number = np.unique(packed[left], return_index=True, return_inverse=True)
    order = np.argsort(number, kind="stable")
    bounds = np.searchsorted(number[order], np.arange(len(first) + 1))
    for group, row in enumerate(first):
        yield left[order[bounds[group] : bounds[group + 1]]], digits[:, left[row]]


def digits_of(letters: Letters) -> NDArray[np.bool_]:
    """Where a digit stands."""
    return (letters - np.uint8(48)) <= 9


def runs_of(mask: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Start and end of each run of digits."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], mask, [False])).astype(np.int8)))
    return list(zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True))


def whole(letters: Letters, run: tuple[int, int]) -> NDArray[Any]:
    """The whole number that a run of digits is, of each row."""
    value = np.zeros(letters.shape[1], np.int32 if run[1] - run[0] < 9 else np.int64)
    for column in range(*run):
        value *= 10
        value += letters[column] - np.uint8(48)
    return value


def numbers(letters: Letters, decimal: str) -> Array:
    """The number in each cell, NaN where there is none; a unit may follow it.

    Exact: a decimal number is a whole number over a power of ten, and one division rounds once.

    :param decimal: the decimal sign
    """
    values = np.full(letters.shape[1], np.nan)
    for rows, mask in alike(digits_of(letters)):
        runs = runs_of(mask)
        if not 1 <= len(runs) <= 2 or sum(end - start for start, end in runs) > 15:
            continue
        cells = letters[:, rows]
        good = np.ones(cells.shape[1], bool)
        start, end = runs[0][0], runs[-1][1]
        fraction = runs[-1] if len(runs) == 2 else None
        if fraction:
            good &= (cells[runs[0][1]] == ord(decimal)) & (fraction[0] - runs[0][1] == 1)
        value = whole(cells, runs[0]).astype(np.int64)
        places = np.zeros(cells.shape[1], np.int64)
        if fraction:
            value = value * 10 ** (fraction[1] - fraction[0]) + whole(cells, fraction)
            places += fraction[1] - fraction[0]
        before = start - 1
        if before >= 0 and not fraction:  # .5
            leading = cells[before] == ord(decimal)
            places += np.where(leading, end - start, 0)
            good &= ~leading | (before == 0) | np.isin(cells[max(before - 1, 0)], (_BLANK, _PLUS, _MINUS))
            good &= leading | np.isin(cells[before], (_BLANK, _PLUS, _MINUS))
        elif before >= 0:
            good &= np.isin(cells[before], (_BLANK, _PLUS, _MINUS))
        negative = np.zeros(cells.shape[1], bool)
        for column in range(start):
            sign = cells[column] == _MINUS
            negative |= sign
            good &= sign | np.isin(cells[column], (_BLANK, _PLUS, ord(decimal)))
        for column in range(end, len(cells)):
            good &= _UNIT[cells[column]] | ((cells[column] == ord(decimal)) & (column == end))
        number = value / 10.0**places
        values[rows] = np.where(good, np.where(negative, -number, number), np.nan)
    return values
