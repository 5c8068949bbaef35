"""Humidities as fractions or as percent: the bulk of the rows says which."""

import numpy as np
from numpy.typing import NDArray

from woodmove.physics.arrays import Array


def in_percent(rh: Array) -> tuple[Array, bool, NDArray[np.bool_]]:
    """Humidities in percent, whether they were fractions, and a mask of those that are of the other kind.

    No air that wood is worked in is at 1 % RH or less: what is at most 1 is a fraction, what is more a
    percentage. One reading of 1.01 makes no percentages of the others, and one of 0.45 no fractions. What is
    neither, 0 or less, is left to the bounds of the caller.

    :param rh: as they were read, NaN where no number was
    """
    with np.errstate(invalid="ignore"):
        fractions = (rh > 0.0) & (rh <= 1.0)
        percents = rh > 1.0
    if fractions.sum() > percents.sum():
        return rh * 100.0, True, percents
    return rh, False, fractions
