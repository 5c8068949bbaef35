"""What an arrangement of strips leaves to be felt or seen, and the one that asks the least for as much."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from woodmove.advice.boards.allowance import CLEAN_UP_MM
from woodmove.advice.top import order
from woodmove.advice.top.movement import FELT_MM
from woodmove.domain.strip import Laid, Strip
from woodmove.physics.arrays import Array

# What nobody feels or sees, in the order of `left_over`: a step and a cup that no hand feels, no defect, no
# grain, and curves that one pass of the planer takes off (status: judgement).
UNFELT = np.array([FELT_MM, FELT_MM, 0.0, 0.0, CLEAN_UP_MM, CLEAN_UP_MM, CLEAN_UP_MM])


def arrangements(
    row: order.Row, strips: Sequence[Strip], sections: Sequence[int], leans_mm: Array
) -> Iterator[list[Laid]]:
    """Ways to lay strips up, the least trouble first: as they come; the same with defects turned away; the
    same with all turned; in the order of `row`, all turned."""
    listed = np.arange(len(strips))
    plain = [replace(strip, crook_mm=None, bow_mm=None, grain=None) for strip in strips]
    yield [Laid(number, True, False) for number in range(len(strips))]
    yield order.turned(listed, plain, sections, np.zeros(len(strips)))
    yield order.turned(listed, strips, sections, leans_mm)
    yield order.turned(row, strips, sections, leans_mm)


def least_trouble(ways: Sequence[list[Laid]], left_over: Sequence[Array]) -> list[Laid]:
    """The first way that leaves no more than the last one which anybody feels or sees.

    :param left_over: of each way, as :func:`left_over` gives it
    """
    best = left_over[-1] + UNFELT + 1e-9
    return next(way for way, left in zip(ways, left_over, strict=True) if np.all(left <= best))


def left_over(
    laid: Sequence[Laid],
    strips: Sequence[Strip],
    sections: Sequence[int],
    worst_step_mm: float,
    cup_mm: float,
) -> Array:
    """What an arrangement leaves, shape (7,): worst step and cup [mm], defects seen, show faces that plane
    against the others, crook and bow of the worst section [mm], and how far the outer strips are out of
    straight [mm].

    :param worst_step_mm: on a face between two neighbours
    :param cup_mm: of the whole top, by its rings
    """
    return np.array(
        [
            worst_step_mm,
            cup_mm,
            sum(len(seen(strips, laid, place)) for place in range(len(laid))),
            _against_the_grain(laid, strips),
            crook_left_mm(laid, strips, sections),
            bow_left_mm(laid, strips, sections),
            max(strips[laid[place].number].out_of_straight_mm for place in (0, -1)),
        ]
    )


def cup_by_rings_mm(laid: Sequence[Laid], leans_mm: Array, depth_mm: float, width_mm: float) -> float:
    """Cup of the top from the driest to the dampest [mm], of strips that widen more at one edge.

    :param leans_mm: by how much the marked edge of each strip widens more than the other, over a width of
        the depth of the top
    :param width_mm: of the top
    Derived: their mean bends the top to a curvature of it over the depth squared, and an arc rises by its
    curvature times the width squared, over 8.
    """
    mean = np.mean([leans_mm[one.number] * (1.0 if one.mark_up else -1.0) for one in laid])
    return float(abs(mean)) / depth_mm**2 * width_mm**2 / 8.0


def seen(strips: Sequence[Strip], laid: Sequence[Laid], place: int) -> list[str]:
    """Where a defect of the strip at a place of the row is seen."""
    one = laid[place]
    defects = strips[one.number].defects
    left, right = ("right", "left") if one.turned else ("left", "right")
    sides = {
        "the show face": ("up" if one.mark_up else "down") in defects,
        "the left edge": place == 0 and left in defects,
        "the right edge": place == len(laid) - 1 and right in defects,
    }
    return [where for where, is_seen in sides.items() if is_seen]


def planes(strip: Strip, laid: Laid) -> str:
    """Which way the show face of a strip planes smooth, from the reader; empty where nobody read it."""
    ways = {"away": "toward", "toward": "away"}
    return "" if strip.grain is None else ways[strip.grain] if laid.turned else strip.grain


def _against_the_grain(laid: Sequence[Laid], strips: Sequence[Strip]) -> int:
    """Show faces that plane the other way than most."""
    ways = Counter(way for one in laid if (way := planes(strips[one.number], one)))
    return ways.total() - max(ways.values(), default=0)


def crook_left_mm(laid: Sequence[Laid], strips: Sequence[Strip], sections: Sequence[int]) -> float:
    """Crook of the worst section, whose strips take on the mean of theirs."""
    return _worst_mean(
        [(strips[one.number].crook_mm or 0.0) * (1.0 if one.mark_up else -1.0) for one in laid], sections
    )


def bow_left_mm(laid: Sequence[Laid], strips: Sequence[Strip], sections: Sequence[int]) -> float:
    """Bow of the worst section, likewise."""
    return _worst_mean(
        [(strips[one.number].bow_mm or 0.0) * (-1.0 if one.turned else 1.0) for one in laid], sections
    )


def _worst_mean(values: Sequence[float], sections: Sequence[int]) -> float:
    together, numbers = np.array(values), np.array(sections)
    return max(abs(float(together[numbers == number].mean())) for number in set(sections))
