"""Array helpers that every relation shares; they know nothing of wood."""

from collections.abc import Callable
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Array: TypeAlias = NDArray[np.float64]
FloatOrArray: TypeAlias = float | Array

# Eight-byte numbers per block: a dozen temporaries of this length stay in a second-level cache.
BLOCK = 8192


def rows_at(wanted: FloatOrArray, places: Array, rows: Array) -> Array:
    """Each row of a table at other places, by straight lines; beyond the ends, the values there.

    :param wanted: one place, or several of shape (wanted,)
    :param places: of the columns, rising, shape (columns,)
    :param rows: shape (rows, columns)
    :returns: shape (rows,) or (rows, wanted)
    """

    def at(row: Array) -> Array:
        return np.asarray(np.interp(wanted, places, row))

    return np.array([at(row) for row in rows])


def in_blocks(function: Callable[..., FloatOrArray], *arguments: FloatOrArray, block: int = BLOCK) -> Array:
    """Evaluate an element-wise `function` over large arrays, one cache-sized block at a time.

    A relation written as its printed equation makes a temporary array for each operation; over
    millions of points these leave the cache and the memory bus sets the pace. Block by block
    they stay inside it, and the relation stays readable.

    :param function: element-wise, of as many arguments as are given
    :param arguments: floats or arrays that broadcast to one shape
    :param block: elements per block
    :returns: an array of the broadcast shape
    """
    shape = np.broadcast_shapes(*(np.shape(a) for a in arguments))
    flat = [np.broadcast_to(np.asarray(a, float), shape).reshape(-1) if np.ndim(a) else a for a in arguments]
    out = np.empty(int(np.prod(shape)))
    for start in range(0, out.size, block):
        part = slice(start, start + block)
        out[part] = function(*(a[part] if isinstance(a, np.ndarray) else a for a in flat))
    return out.reshape(shape)
