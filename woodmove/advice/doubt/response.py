"""Ranges of results that are too slow to compute for every draw, and when a course of them has settled.

A simulation is run on a grid of a few values of each doubtful input, and its results are interpolated at
the draws: smooth results of few inputs lose nothing by it.
"""

import itertools
from collections.abc import Sequence

import numpy as np

from woodmove.physics.arrays import Array

# What has died away so far is gone.
_NOTHING = 1e-6


def nodes(axes: Sequence[Array]) -> list[Array]:
    """Every combination of the values of some inputs: one array per input, shape (combinations,)."""
    return [np.array(values) for values in zip(*itertools.product(*axes), strict=True)]


def interpolate(axes: Sequence[Array], table: Array, points: Sequence[Array]) -> Array:
    """Results at points, by straight lines between those at the nodes in each input; beyond the outer
    nodes the outer lines go on.

    :param axes: values of each input, rising
    :param table: results at :func:`nodes`, shape (combinations, ...)
    :param points: values of each input, shape (points,)
    :returns: shape (points, ...)
    """
    return weighted(weights_at(axes, points), table)


def weights_at(axes: Sequence[Array], points: Sequence[Array]) -> Array:
    """What each node counts at the points, shape (points, combinations): for several tables at one time."""
    weights = np.ones((len(points[0]), 1))
    for axis, values in zip(axes, points, strict=True):
        own = np.zeros((len(values), len(axis)))
        row = np.arange(len(values))
        below = np.clip(np.searchsorted(axis, values) - 1, 0, max(len(axis) - 2, 0))
        if len(axis) > 1:
            own[row, below + 1] = (values - axis[below]) / (axis[below + 1] - axis[below])
        own[row, below] = 1.0 - own.sum(axis=1)
        weights = (weights[:, :, None] * own[:, None, :]).reshape(len(values), -1)
    return weights


def weighted(weights: Array, table: Array) -> Array:
    """A table of results at the nodes as it is at the points of :func:`weights_at`, shape (points, ...)."""
    # One product of matrices: most weights are zeros, and it is ten times as fast as picking the others.
    table = np.asarray(table)
    return (weights @ table.reshape(len(table), -1)).reshape(len(weights), *table.shape[1:])


def at_time(sizes: Array, times: Array, time: float) -> Array:
    """What dies away, at a time: by straight lines of the logarithm of its size, as :func:`settled_after`
    reads it.

    :param sizes: at the times, of either sign, shape (..., times)
    :param times: rising, shape (times,)
    :param time: between the first and the last of them
    :returns: shape (...), not negative
    """
    after = int(np.clip(np.searchsorted(times, time), 1, len(times) - 1))
    part = (time - times[after - 1]) / (times[after] - times[after - 1])
    before, then = (_log(np.abs(sizes[..., place])) for place in (after - 1, after))
    return np.exp(before * (1.0 - part) + then * part)


def _log(sizes: Array) -> Array:
    return np.log(np.maximum(sizes, _NOTHING))


def settled_after(measure: Array, times: Array) -> Array:
    """Last time at which a measure is above 1, by straight lines of its logarithm; 0 where it never is,
    the last time where it still is.

    :param measure: at the times, shape (..., times)
    :param times: rising, shape (times,)
    """
    late = measure > 1.0
    last = np.where(late.any(axis=-1), late.shape[-1] - 1 - late[..., ::-1].argmax(axis=-1), 0)
    after = np.minimum(last + 1, len(times) - 1)
    over, under = (_log(np.take_along_axis(measure, place[..., None], -1)[..., 0]) for place in (last, after))
    part = np.clip(np.divide(over, over - under, out=np.zeros_like(over), where=over > under), 0.0, 1.0)
    return np.where(late.any(axis=-1), times[last] + part * (times[after] - times[last]), 0.0)
