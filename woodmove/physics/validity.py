"""The ranges in which published relations hold, as data."""

from dataclasses import dataclass

import numpy as np

from woodmove.physics.arrays import FloatOrArray


@dataclass(frozen=True, slots=True)
class Validity:
    """The stated range of one input of a relation.

    :param relation: what is limited, in words for a warning
    :param low: lowest value inside the range, in `unit`
    :param high: highest value inside the range, in `unit`
    :param source: key in :mod:`woodmove.sources`
    """

    relation: str
    low: float
    high: float
    unit: str
    source: str

    def outside(self, value: FloatOrArray) -> bool:
        """True if any value lies outside the stated range."""
        return bool(np.any((np.asarray(value) < self.low) | (np.asarray(value) > self.high)))


def require(condition: bool | np.bool_, message: str) -> None:
    """Raise ValueError unless `condition` holds: for values that no relation can take."""
    if not condition:
        raise ValueError(message)
