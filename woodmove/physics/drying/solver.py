"""Moisture in boards through time."""

import numpy as np

from woodmove.physics.arrays import Array, FloatOrArray, rows_at
from woodmove.physics.diffusivity import DIFFUSIVITIES
from woodmove.physics.drying.boards import (
    ALONG_TO_ACROSS,
    ENDLESS_MM,
    Boards,
    CellProfile,
    History,
    graded_cells,
    half,
)
from woodmove.physics.validity import require

SECONDS_PER_DAY = 86400.0


class _Grid:
    """The cells of a batch, and one backward Euler step on them. Moisture has shape (ny, nx, boards):
    the boards last, so that each operation runs along them.

    Half the width will do, since both edges are alike; half the thickness too, where both faces are.
    """

    def __init__(self, boards: Boards, nx: int, ny: int, alike: bool) -> None:
        self.boards = boards
        self.alike = alike
        self.weight_x = half(graded_cells(nx)) if alike else graded_cells(nx)
        self.weight_y = half(graded_cells(2 * ny)) if ny > 1 else np.ones(1)
        self.deep = np.asarray(boards.thickness_mm) * (0.5e-3 if alike else 1e-3)
        self.dx = self.weight_x[:, None] * self.deep
        width = np.minimum(np.asarray(boards.width_mm), ENDLESS_MM)
        self.dy = self.weight_y[:, None] * width * 0.5e-3 if ny > 1 else None
        self.weight = self.weight_y[:, None, None] * self.weight_x[None, :, None]
        self.end_counts = bool(np.isfinite(boards.length_mm).any())
        self.function = DIFFUSIVITIES[boards.model].function

    def step(self, mc: Array, seconds: float, temp_c: Array, air_pct: Array) -> tuple[Array, Array]:
        """One backward Euler step; moisture afterwards and what entered, in points of the mean."""
        new, entered = self._through_thickness(mc, seconds, temp_c, air_pct)
        if self.dy is not None:
            new, more = self._through_width(mc, new, seconds, temp_c, air_pct)
            entered = entered + more
        if self.end_counts:
            new, more = self._through_ends(mc, new, seconds, temp_c, air_pct)
            entered = entered + more
        return new, entered

    def _diffusivity(self, mc: Array, temp_c: Array) -> Array:
        return np.asarray(self.function(mc, temp_c, self.boards.gravity)) * self.boards.factor

    def _between(self, size: Array, mc: Array, temp_c: Array) -> Array:
        """Conductance between neighbours along the first axis [m/s]: the diffusivity is that of the moisture
        at the face between them."""
        near, far = size[:-1], size[1:]
        at_face = (mc[:-1] * far + mc[1:] * near) / (near + far)
        return 2.0 * self._diffusivity(at_face, temp_c) / (near + far)

    def _to_air(self, size: Array, mc: Array, temp_c: Array, air_pct: Array, emission_m_s: Array) -> Array:
        """Conductance from the middle of a surface cell to the air [m/s]; none through a sealed face. The
        diffusivity is that half-way to the moisture of the surface."""
        to_surface = 2.0 * self._diffusivity(mc, temp_c) / size
        surface = (to_surface * mc + emission_m_s * air_pct) / (to_surface + emission_m_s)
        to_surface = 2.0 * self._diffusivity(0.5 * (mc + surface), temp_c) / size
        return emission_m_s * to_surface / (to_surface + emission_m_s)

    def _through_thickness(
        self, mc: Array, seconds: float, temp_c: Array, air_pct: Array
    ) -> tuple[Array, Array]:
        through = mc.swapaxes(0, 1)
        size = self.dx[:, None, :]
        inner = seconds * self._between(size, through, temp_c)
        top = seconds * self._to_air(size[0], through[0], temp_c, air_pct, np.asarray(self.boards.top_m_s))
        if self.alike:  # the middle of the board, which nothing passes
            bottom = np.zeros_like(top)
        else:
            bottom_m_s = np.asarray(self.boards.bottom_m_s)
            bottom = seconds * self._to_air(size[-1], through[-1], temp_c, air_pct, bottom_m_s)
        new = np.empty_like(mc)
        _solve(size, inner, top, bottom, through, air_pct, new.swapaxes(0, 1))
        flux = top * (air_pct - new[:, 0]) + bottom * (air_pct - new[:, -1])
        return new, (self.weight_y[:, None] * flux).sum(axis=0) / self.deep

    def _through_width(
        self, before: Array, mc: Array, seconds: float, temp_c: Array, air_pct: Array
    ) -> tuple[Array, Array]:
        assert self.dy is not None
        size = self.dy[:, None, :]
        inner = seconds * self._between(size, before, temp_c)
        edge = seconds * self._to_air(size[0], before[0], temp_c, air_pct, np.asarray(self.boards.edge_m_s))
        new = np.empty_like(mc)
        _solve(size, inner, edge, np.zeros_like(edge), mc, air_pct, new)
        flux = edge * (air_pct - new[0])
        return new, (self.weight_x[:, None] * flux).sum(axis=0) / self.dy.sum(axis=0)

    def _through_ends(
        self, before: Array, mc: Array, seconds: float, temp_c: Array, air_pct: Array
    ) -> tuple[Array, Array]:
        """The ends as an exchange with the air in every cell, at the rate of the slowest mode along the
        grain: right in the long run for an even board, and 5 to 23 % late at half the way for ordinary
        blocks, since the first hours at an end run ahead of that mode."""
        along = ALONG_TO_ACROSS * self._diffusivity(before, temp_c)
        half = 0.5e-3 * np.minimum(np.asarray(self.boards.length_mm), ENDLESS_MM)
        emission = np.asarray(self.boards.end_m_s)
        # Slowest root b of b tan b = Bi, as its known limits in series: sqrt(Bi) and pi/2.
        bi = emission * half / along
        root_squared = 1.0 / (1.0 / np.maximum(bi, 1e-300) + 4.0 / np.pi**2)
        rate = seconds * root_squared * along / half**2
        new = (mc + rate * air_pct) / (1.0 + rate)
        return new, (self.weight * (new - mc)).sum(axis=(0, 1))

    def whole(self, through: Array) -> Array:
        """A profile over the cells, shape (cells, boards), through the whole thickness."""
        return np.concatenate((through, through[::-1])) if self.alike else through


def _solve(size: Array, inner: Array, first: Array, last: Array, mc: Array, air: Array, out: Array) -> None:
    """Solve the tridiagonal system of an implicit step along the first axis, for all others at once.

    :param size: of the cells, broadcastable to `mc`
    :param inner: conductance times seconds between neighbours, one fewer than cells
    :param first: conductance times seconds of the first cell to the air
    :param last: the same of the last cell
    """
    cells = len(mc)
    ratio: list[Array] = []
    carried: list[Array] = []
    pivot = size[0] + first + (inner[0] if cells > 1 else last)
    value = size[0] * mc[0] + first * air + (last * air if cells == 1 else 0.0)
    for i in range(1, cells):
        coupling = inner[i - 1]
        share = coupling / pivot
        ratio.append(share)
        carried.append(value / pivot)
        beyond = inner[i] if i < cells - 1 else last
        value = size[i] * mc[i] + share * value
        if i == cells - 1:
            value = value + last * air
        pivot = size[i] + coupling * (1.0 - share) + beyond
    out[-1] = value / pivot
    for i in range(cells - 2, -1, -1):
        out[i] = carried[i] + ratio[i] * out[i + 1]


def simulate(
    boards: Boards,
    start_pct: "FloatOrArray | CellProfile",
    times_days: Array,
    temp_c: FloatOrArray,
    air_pct: FloatOrArray,
    *,
    cells: int = 32,
    cells_across: int = 16,
    steps: int = 1,
    profiles: bool = False,
) -> History:
    """Moisture content of boards through time.

    :param boards: the batch
    :param start_pct: MC at the start [%], below fibre saturation: a number, shape (boards,), or a profile
        through the thickness of shape (boards, n) at n evenly spaced depths, upper face first; a
        :class:`CellProfile` gives every cell its own value, so that no water is lost in between
    :param times_days: times of the air and of the results, rising, the first one the start, shape (times,)
    :param temp_c: temperature of air and wood [°C] at these times: a number, (times,) or (boards, times)
    :param air_pct: EMC of the air [%] at these times, in the same shapes; straight lines between
    :param cells: through the thickness, an even number of at least 8
    :param cells_across: over half the width, for boards with a finite width
    :param steps: between two times; each is solved whole and in halves
    :param profiles: True to keep the profile of every time
    :returns: results at each time
    :raises ValueError: times that do not rise, values that are not numbers, a start above 30 %
    Derived (source: crank-1956 for the equations; finite volumes and backward Euler steps are our own).
    """
    times = np.asarray(times_days, float)
    require(times.ndim == 1 and len(times) > 1 and bool(np.all(np.diff(times) > 0)), "times do not rise")
    shape = (boards.count, len(times))
    require(cells >= 8 and cells % 2 == 0, "cells is an even number of at least 8")
    temp = np.broadcast_to(np.asarray(temp_c, float), shape)
    air = np.broadcast_to(np.asarray(air_pct, float), shape)
    require(bool(np.isfinite(temp).all() and np.isfinite(air).all()), "the air has gaps")
    ny = cells_across if np.isfinite(boards.width_mm).any() else 1
    given = start_pct.mc_pct if isinstance(start_pct, CellProfile) else np.asarray(start_pct, float)
    alike = given.ndim < 2 and bool(np.all(boards.top_m_s == boards.bottom_m_s))
    grid = _Grid(boards, cells, ny, alike)
    weight = graded_cells(cells)
    depth = np.cumsum(weight) - weight / 2.0
    mc = np.empty((ny, len(grid.weight_x), boards.count))
    mc[:] = _start(given, boards.count, depth, as_cells=isinstance(start_pct, CellProfile))
    low, high = mc.min(axis=(0, 1)), mc.max(axis=(0, 1))
    quarter = depth < 0.25
    parts = {"mean": np.ones(cells, bool), "top": quarter, "bottom": quarter[::-1],
             "core": ~(quarter | quarter[::-1])}  # fmt: skip
    results = {name: np.empty(shape) for name in (*parts, "passed")}
    kept = np.empty((*shape, cells)) if profiles else None
    passed = np.zeros(boards.count)
    through = grid.whole((grid.weight_y[:, None, None] * mc).sum(axis=0))
    for number in range(len(times)):
        if number:
            seconds = (times[number] - times[number - 1]) / steps * SECONDS_PER_DAY
            for part in range(steps):
                temps, airs = (_within(each[:, number - 1 : number + 1], part, steps) for each in (temp, air))
                low, high = np.minimum.reduce([low, *airs]), np.maximum.reduce([high, *airs])
                mc, entered = _advance(grid, mc, seconds, temps, airs, low, high)
                passed = passed + entered
        through = grid.whole((grid.weight_y[:, None, None] * mc).sum(axis=0))
        for name, inside in parts.items():
            share = weight * inside
            results[name][:, number] = share @ through / share.sum()
        results["passed"][:, number] = passed
        if kept is not None:
            kept[:, number] = through.T
    mean, top, bottom, core, passed = results.values()
    return History(mean, core, top, bottom, passed, through.T, depth, weight, kept)


def _within(ends: Array, part: int, steps: int) -> list[Array]:
    """Values at the start, the middle and the end of a part of a time step, by straight lines: of `ends`,
    shape (boards, 2), three of shape (boards,)."""
    at = [(part + f) / steps for f in (0.0, 0.5, 1.0)]
    return [ends[:, 0] * (1 - f) + ends[:, 1] * f for f in at]


def _advance(
    grid: _Grid, mc: Array, seconds: float, temps: list[Array], airs: list[Array], low: Array, high: Array
) -> tuple[Array, Array]:
    """A whole step and two halves, combined; the halves alone where the combination leaves the range."""
    whole, through_whole = grid.step(mc, seconds, temps[2], airs[2])
    half, through_first = grid.step(mc, seconds / 2.0, temps[1], airs[1])
    halves, through_second = grid.step(half, seconds / 2.0, temps[2], airs[2])
    combined = 2.0 * halves - whole
    inside = (combined.min(axis=(0, 1)) >= low) & (combined.max(axis=(0, 1)) <= high)
    through_halves = through_first + through_second
    return (
        np.where(inside, combined, halves),
        np.where(inside, 2.0 * through_halves - through_whole, through_halves),
    )


def _start(start: Array, count: int, depth: Array, *, as_cells: bool) -> Array:
    require(bool(np.isfinite(start).all()) and bool(np.all((start >= 0) & (start <= 30.0))),
            "the start lies from 0 to 30 %: wetter wood is above fibre saturation")  # fmt: skip
    if as_cells:
        require(start.shape == (count, len(depth)), "a profile by cells has a value for every cell")
        return start.T
    if start.ndim < 2:
        return np.broadcast_to(start, (count,))[None, :]
    places = np.linspace(0.0, 1.0, start.shape[1])
    return rows_at(depth, places, start).T
