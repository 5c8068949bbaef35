"""Seeded, stratified draws of the doubtful inputs, and the Ranges that they make.

An input becomes an array whose first element is its central value and whose others are the draws. The
relations take arrays, so one call gives the central result and all drawn ones. Draws are stratified:
each input takes every one of `draws` equal slices of its distribution once, in an order that depends on
the seed and on the input's name alone, so that a new input does not disturb the others.
"""

import zlib
from collections.abc import Sequence
from dataclasses import replace
from functools import cache, lru_cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from woodmove.contract.ranges import Cause, Distribution, Range
from woodmove.physics.arrays import Array

# Causes with a smaller share of the variance are not worth a word.
LEAST_SHARE = 0.05


@cache
def _normal_slices(draws: int) -> Array:
    inverse = NormalDist().inv_cdf
    return np.array([inverse((i + 0.5) / draws) for i in range(draws)])


def _scrambled(numbers: NDArray[np.uint64]) -> NDArray[np.uint64]:
    """The finaliser of SplitMix64: every bit of the result depends on every bit of the number."""
    mixed = (numbers + np.uint64(1)) * np.uint64(0x9E3779B97F4A7C15)
    mixed = (mixed ^ (mixed >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    mixed = (mixed ^ (mixed >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return mixed ^ (mixed >> np.uint64(31))


@lru_cache(maxsize=256)
def _order(name: str, draws: int, seed: int) -> NDArray[np.intp]:
    """A shuffled order of the slices, kept for the sections of a plan. Shuffled by a hash and not by a
    generator of NumPy, whose streams may change from one release to the next, and published Ranges with
    them."""
    key = _scrambled(np.array([zlib.crc32(name.encode()) + (seed << 32)], np.uint64))
    hashes = _scrambled(key + np.arange(draws, dtype=np.uint64))
    order = np.argsort(hashes, kind="stable")
    order.flags.writeable = False
    return order


class Draws:
    """Seeded, stratified draws.

    :param draws: how many; each array has one element more, the central value in front
    :param seed: the same seed gives the same draws
    """

    def __init__(self, draws: int = 8192, seed: int = 1) -> None:
        self.draws = draws
        self.seed = seed
        # Name of each input used -> what a result may follow of it, shape (draws, terms), each of mean 0.
        self._terms: dict[str, Array] = {}
        # The inputs that the fit below is for, and the fit.
        self._fitted: tuple[tuple[str, ...], Array, Array, Array] | None = None

    def deviation(self, distribution: Distribution, times: float = 1.0) -> Array:
        """Deviations from the central value, shape (draws + 1,), the first one zero.

        :param times: factor on the standard deviation, as where scatter averages out over pieces
        """
        z = _normal_slices(self.draws)[_order(distribution.name, self.draws, self.seed)]
        if distribution.name not in self._terms:
            self._terms[distribution.name] = np.column_stack([z, z * z - np.mean(z * z)])
        return np.concatenate(([0.0], distribution.sd * times * z))

    def factor(self, distribution: Distribution, times: float = 1.0) -> Array:
        """1 plus the deviations of a relative distribution."""
        return 1.0 + self.deviation(distribution, times)

    def pick(self, distribution: Distribution, chances: Sequence[float]) -> NDArray[np.intp]:
        """Number of the one that is drawn of several, shape (draws,), without a central value.

        :param chances: of each, together 1
        """
        bounds = np.cumsum(chances)[:-1] * self.draws
        picked = np.searchsorted(bounds, _order(distribution.name, self.draws, self.seed) + 0.5)
        is_one = (picked[:, None] == np.arange(1, len(chances))).astype(float)
        self._terms.setdefault(distribution.name, is_one - is_one.mean(axis=0))
        return picked

    def range(self, values: Array) -> Range:
        """The Range of a result, with the inputs that it goes with most; see :meth:`band`."""
        return replace(self.band(values), causes=self.causes(values[1:]))

    def band(self, values: Array) -> Range:
        """The Range of a result without its causes, as for a point of a curve.

        The bounds are those of the central 90 % of the draws. A strongly bent relation can put the
        central result outside them; the bound then moves out to it.

        :param values: shape (draws + 1,), the central result first
        """
        expected, drawn = float(values[0]), values[1:]
        # np.quantile would do, and loads masked arrays for it, which costs a tenth of the start-up.
        places = np.array([0.05, 0.95]) * (len(drawn) - 1)
        low, high = np.interp(places, np.arange(len(drawn)), np.sort(drawn))
        return Range(expected, min(float(low), expected), max(float(high), expected))

    def causes(self, drawn: Array) -> tuple[Cause, ...]:
        """Inputs by the share of the variance that goes with each alone, largest first.

        The result is fitted by a parabola in each normal input and a step for each picked one, all
        together, so that inputs which happen to run alike in the draws are told apart. What the fit leaves,
        inputs that only act together, is in nobody's share.

        :param drawn: result of each draw, shape (draws,)
        """
        centred = drawn - drawn.mean()
        still = float(centred.var()) <= 1e-24 + 1e-18 * float(np.abs(drawn).max()) ** 2
        if still or not self._terms:
            return ()
        names, terms, gram, solver = self._fit()
        weights = solver @ (centred @ terms)
        left = float(np.var(centred - terms @ weights))
        parts: dict[str, float] = {}
        column = 0
        for name in names:
            own = slice(column, column + self._terms[name].shape[1])
            # The terms have no mean, so this is the variance of the input's part of the fit.
            parts[name] = float(weights[own] @ gram[own, own] @ weights[own]) / len(drawn)
            column = own.stop
        whole = sum(parts.values()) + left
        shares = [Cause(name, part / whole) for name, part in parts.items() if part >= LEAST_SHARE * whole]
        return tuple(sorted(shares, key=lambda cause: -cause.share))

    def _fit(self) -> tuple[tuple[str, ...], Array, Array, Array]:
        """Names of the inputs used so far, their terms side by side, the terms' Gram matrix and its inverse;
        kept until another input is used."""
        names = tuple(self._terms)
        if self._fitted is not None and self._fitted[0] == names:
            return self._fitted
        terms = np.column_stack([self._terms[name] for name in names])
        # An input of one value has a term without spread: the pseudo-inverse gives it no weight.
        gram = terms.T @ terms
        fitted = (names, terms, gram, np.asarray(np.linalg.pinv(gram), np.float64))
        self._fitted = fitted
        return fitted
