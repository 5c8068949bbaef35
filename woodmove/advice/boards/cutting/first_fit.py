"""Parts put one by one where there is room first: quick, and never far off."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from woodmove.advice.boards.cutting.mixes import SLACK_MM, Cuts, Mix
from woodmove.domain.cutting import Lane, Length, Part, Stock


@dataclass(slots=True)
class _Strip:
    """A strip of a length: what is left of it behind its parts."""

    width_mm: float
    side: int
    left_mm: float
    parts: list[int]


@dataclass(slots=True)
class _Open:
    """A length that takes more: what is left of its width on each side of the pith."""

    length_mm: float
    left_mm: list[float]
    strips: list[_Strip] = field(default_factory=list[_Strip])


def first_fit(
    stocks: Sequence[Stock], parts: Sequence[Part], order: Sequence[int], kerf_mm: float
) -> tuple[Mix, tuple[Cuts, ...]]:
    """Each part behind another of its width, else beside others in a length, else behind a wider one, else in
    a length of its own.

    :param order: places of the parts in their list, those first that are put first
    """
    made: list[list[_Open]] = [[] for _ in stocks]
    left = [stock.usable_mm for stock in stocks]
    got = [0] * len(parts)
    for n in order:
        start = 0  # boards before it had no room for the last one either
        for _ in range(parts[n].count):
            while start < len(stocks) and not _put(
                n, parts[n], stocks[start], made[start], left, start, kerf_mm
            ):
                start += 1
            if start == len(stocks):
                break
            got[n] += 1
    return tuple(got), tuple(tuple(map(_closed, lengths)) for lengths in made)


def _put(
    n: int, part: Part, stock: Stock, lengths: list[_Open], left: list[float], at: int, kerf: float
) -> bool:
    if part.length_mm > stock.longest_mm + SLACK_MM:
        return False
    for length in lengths:
        for strip in length.strips:
            if abs(strip.width_mm - part.width_mm) < SLACK_MM and _behind(n, part, strip, kerf):
                return True
        if part.length_mm <= length.length_mm + SLACK_MM and _beside(n, part, length, kerf):
            return True
    for length in lengths:
        for strip in length.strips:
            if part.width_mm < strip.width_mm and _behind(n, part, strip, kerf):
                return True
    if part.length_mm > left[at] + SLACK_MM:
        return False
    fresh = _Open(part.length_mm, list(stock.widths_mm))
    if not _beside(n, part, fresh, kerf):
        return False
    lengths.append(fresh)
    left[at] -= part.length_mm + kerf
    return True


def _behind(n: int, part: Part, strip: _Strip, kerf: float) -> bool:
    if part.length_mm > strip.left_mm + SLACK_MM:
        return False
    strip.parts.append(n)
    strip.left_mm -= part.length_mm + kerf
    return True


def _beside(n: int, part: Part, length: _Open, kerf: float) -> bool:
    for side, room in enumerate(length.left_mm):
        if part.width_mm <= room + SLACK_MM:
            length.left_mm[side] -= part.width_mm + kerf
            length.strips.append(_Strip(part.width_mm, side, length.length_mm - part.length_mm - kerf, [n]))
            return True
    return False


def _closed(length: _Open) -> Length:
    strips = sorted(length.strips, key=lambda strip: strip.side)
    return Length(
        length.length_mm, tuple(Lane(strip.width_mm, tuple(strip.parts), strip.side) for strip in strips)
    )
