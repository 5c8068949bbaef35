"""Moisture through time: diffusion of bound water in boards, many boards at once.

Finite volumes on a grid that is finer at the surfaces, implicit in time. A step is taken once whole and
once in two halves by the backward Euler method, each keeping the diffusivity of its start; the two
results are combined so that the first-order errors (of the method, of the lagged diffusivity, of the
splitting between thickness and width) cancel. Where that would leave the range of the board and its
air, the halved step stands alone. Every ingredient moves water between cells and through faces without
making or losing any, so the content changes by what passed the faces, to rounding.

Valid below fibre saturation only: free water moves by other laws.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cache

import numpy as np

from woodmove.physics.air import saturation_pressure_over_water_kpa
from woodmove.physics.arrays import Array, FloatOrArray
from woodmove.physics.sorption import emc_pct
from woodmove.physics.validity import Validity, require
from woodmove.sources import Status

SECONDS_PER_DAY = 86400.0
GAS_CONSTANT = 8.314  # J/(mol K)

# Surface emission of still indoor air [m/s], on the basis of moisture content: 5e-8 to 2e-7 is the
# practical range (source: nordic-creep, status: memory). Fitted values lie 3 to 10 times below what
# heat transfer alone would give.
STILL_AIR_M_S = 1.0e-7
# In moving air, of a fan or outdoors: 2e-7 to 8e-7 (source: carlson-2007, status: derived, from dowels that
# were weighed outdoors).
MOVING_AIR_M_S = 4.0e-7
# Diffusion along the grain over diffusion across it near 12 % MC: 10 to 15 (source: sonderegger-2011).
ALONG_TO_ACROSS = 12.0


def synthesis_m2_s(mc_pct: FloatOrArray, temp_c: FloatOrArray, gravity: FloatOrArray) -> FloatOrArray:
    """Transverse diffusivity [m²/s]: woodmove's own synthesis, **not** a published equation.

    1.4e-10 (0.40/G)^2.1 exp(9 (u - 0.12)) exp(-4300 (1/T - 1/293.15)), u as a fraction, T in kelvin:
    the level at 12 % and 20 °C of whole pieces that dry and of transient measurements, with the density and
    moisture slopes of Siau's model and the temperature slope of drying models. A factor of 2.4 either way
    holds about 90 %: the scatter of that evidence, of cups and of models. Both are worked out by
    ``python -m tests.nature.diffusivity``.

    :param mc_pct: 4 to 25 %
    :param temp_c: 0 to 45 °C
    :param gravity: specific gravity, oven-dry mass over volume near 12 % MC, 0.30 to 0.80
    Derived (sources: siau-transport, nordic-creep, carlson-2007).
    """
    return (
        1.4e-10
        * (0.40 / gravity) ** 2.1
        * np.exp(
            0.09 * (np.asarray(mc_pct) - 12.0) - 4300.0 * (1.0 / (np.asarray(temp_c) + 273.15) - 1 / 293.15)
        )
    )


def nordic_m2_s(mc_pct: FloatOrArray, temp_c: FloatOrArray, gravity: FloatOrArray) -> FloatOrArray:
    """Transverse diffusivity [m²/s] of the Nordic timber-creep literature: 8e-11 exp(4u).

    Spruce and pine near 20 °C; it knows neither temperature nor density. A prefactor of 8e-10 that is
    also in circulation is ten times too large.

    Source: nordic-creep (status: memory).
    """
    shape = np.broadcast_shapes(np.shape(mc_pct), np.shape(temp_c), np.shape(gravity))
    return np.broadcast_to(8.0e-11 * np.exp(0.04 * np.asarray(mc_pct, float)), shape)[()]


def siau_m2_s(mc_pct: FloatOrArray, temp_c: FloatOrArray, gravity: FloatOrArray) -> FloatOrArray:
    """Transverse diffusivity [m²/s] of Siau's geometric model: cell walls and lumens in series.

    :param mc_pct: 0.5 to 28 %
    :param temp_c: -20 to 100 °C
    :param gravity: specific gravity, oven-dry mass over volume at `mc_pct`
    Source: siau-transport (cell wall published; geometric model memory, rederived from the resistances).
    The slope of the isotherm is that of the EMC equation.
    """
    mc, temp_k = np.asarray(mc_pct, float), np.asarray(temp_c, float) + 273.15
    porosity = 1.0 - gravity * (0.667 + 0.01 * mc)
    side = np.sqrt(porosity)
    wall = 7.0e-6 * np.exp(-(38500.0 - 290.0 * mc) / (GAS_CONSTANT * temp_k))
    in_air = 2.2e-5 * (temp_k / 273.15) ** 1.75
    vapour_kg_m3 = 0.018 * 1000.0 * saturation_pressure_over_water_kpa(temp_c) / (GAS_CONSTANT * temp_k)
    wall_gravity = 1.5 / (1.0 + 1.5 * mc / 100.0)
    lumen = in_air * vapour_kg_m3 * _isotherm_slope(mc, temp_c) / (wall_gravity * 1000.0)
    return wall * lumen / ((1.0 - porosity) * (wall + lumen * (1.0 - side)))


# Grid of the tabulated slope dH/du of the isotherm.
_SLOPE_MC_PCT = np.arange(0.5, 28.01, 0.25)
_SLOPE_TEMP_C = np.arange(-20.0, 100.1, 5.0)


@cache
def _slopes() -> Array:
    """dH/du, RH as a fraction over MC as a fraction, shape (temperatures, moisture contents)."""
    rh = np.linspace(0.0, 100.0, 4001)
    rows = []
    for temp in _SLOPE_TEMP_C:
        emc = np.asarray(emc_pct(float(temp), rh))
        rows.append(np.interp(_SLOPE_MC_PCT, emc, np.gradient(rh, emc)))
    return np.array(rows)


def _isotherm_slope(mc_pct: Array, temp_c: FloatOrArray) -> Array:
    """Bilinear in the table; at its edges the nearest value."""
    table = _slopes()
    mc, temp = np.broadcast_arrays(mc_pct, np.asarray(temp_c, float))
    x = np.clip((mc - _SLOPE_MC_PCT[0]) / 0.25, 0, len(_SLOPE_MC_PCT) - 1.000001)
    y = np.clip((temp - _SLOPE_TEMP_C[0]) / 5.0, 0, len(_SLOPE_TEMP_C) - 1.000001)
    i, j = x.astype(int), y.astype(int)
    right, up = x - i, y - j
    lower = table[j, i] * (1 - right) + table[j, i + 1] * right
    upper = table[j + 1, i] * (1 - right) + table[j + 1, i + 1] * right
    return lower * (1 - up) + upper * up


@dataclass(frozen=True, slots=True)
class Diffusivity:
    """A model of transverse diffusivity.

    :param function: MC [%], temperature [°C], specific gravity in; m²/s out
    :param valid: stated ranges of moisture content, temperature and specific gravity, in this order
    """

    name: str
    function: Callable[[FloatOrArray, FloatOrArray, FloatOrArray], FloatOrArray]
    valid: tuple[Validity, Validity, Validity]
    source: str
    status: Status
    remark: str


def _valid(name: str, source: str, *bounds: tuple[float, float]) -> tuple[Validity, Validity, Validity]:
    units = ("% MC", "°C", "specific gravity")
    mc, temp, gravity = (
        Validity(f"diffusivity {name}", low, high, unit, source)
        for (low, high), unit in zip(bounds, units, strict=True)
    )
    return mc, temp, gravity


DIFFUSIVITIES = {
    model.name: model
    for model in (
        Diffusivity(
            "synthesis",
            synthesis_m2_s,
            _valid("synthesis", "siau-transport", (4.0, 25.0), (0.0, 45.0), (0.30, 0.80)),
            "siau-transport",
            Status.DERIVED,
            "woodmove's own synthesis of published levels and slopes, not a published equation",
        ),
        Diffusivity(
            "siau",
            siau_m2_s,
            _valid("siau", "siau-transport", (0.5, 28.0), (0.0, 100.0), (0.30, 0.80)),
            "siau-transport",
            Status.MEMORY,
            "Siau's cell wall and geometric model",
        ),
        Diffusivity(
            "nordic",
            nordic_m2_s,
            _valid("nordic", "nordic-creep", (5.0, 25.0), (15.0, 25.0), (0.35, 0.50)),
            "nordic-creep",
            Status.MEMORY,
            "Nordic timber-creep literature, spruce and pine near 20 °C",
        ),
    )
}


# What stands for infinity where a batch holds endless boards beside others.
_ENDLESS_MM = 1e9
_BOARD_ARRAYS = (
    "thickness_mm", "gravity", "width_mm", "length_mm", "top_m_s", "bottom_m_s", "edge_m_s", "end_m_s",
    "factor",
)  # fmt: skip


@dataclass(frozen=True)
class Boards:
    """A batch of boards; every field is a number or an array of shape (boards,).

    :param thickness_mm: above 0
    :param gravity: specific gravity, oven-dry mass over volume near 12 % MC
    :param width_mm: infinity where the edges do not count
    :param length_mm: infinity where the ends do not count
    :param top_m_s: surface emission of the upper face [m/s]; 0 where it is sealed or lies on another board
    :param bottom_m_s: surface emission of the lower face [m/s]
    :param edge_m_s: surface emission of both edges [m/s]
    :param end_m_s: surface emission of both ends [m/s]
    :param factor: of the diffusivity, for its doubt
    :param model: name in :data:`DIFFUSIVITIES`
    :raises ValueError: a size that is not above 0, a negative emission, or an unknown model
    """

    thickness_mm: FloatOrArray
    gravity: FloatOrArray
    width_mm: FloatOrArray = np.inf
    length_mm: FloatOrArray = np.inf
    top_m_s: FloatOrArray = STILL_AIR_M_S
    bottom_m_s: FloatOrArray = STILL_AIR_M_S
    edge_m_s: FloatOrArray = STILL_AIR_M_S
    end_m_s: FloatOrArray = STILL_AIR_M_S
    factor: FloatOrArray = 1.0
    model: str = "synthesis"
    count: int = field(init=False)

    def __post_init__(self) -> None:
        arrays = np.broadcast_arrays(
            *(np.atleast_1d(np.asarray(getattr(self, n), float)) for n in _BOARD_ARRAYS)
        )
        for name, values in zip(_BOARD_ARRAYS, arrays, strict=True):
            bad = np.isnan(values) | (values < 0)
            if name not in ("width_mm", "length_mm"):
                bad |= np.isinf(values)
            if name in ("thickness_mm", "gravity", "width_mm", "length_mm", "factor"):
                bad |= values == 0
            require(not bad.any(), f"{name} of a board is above 0" if "m_s" not in name else f"{name} < 0")
            object.__setattr__(self, name, values)
        require(self.model in DIFFUSIVITIES, f"there is no diffusivity {self.model!r}")
        object.__setattr__(self, "count", len(arrays[0]))

    @classmethod
    def joined(cls, batches: "Sequence[Boards]") -> "Boards":
        """Several batches of one diffusivity model as one.

        :raises ValueError: different models
        """
        require(len({batch.model for batch in batches}) == 1, "the batches differ in their diffusivity")
        arrays = {name: np.concatenate([getattr(b, name) for b in batches]) for name in _BOARD_ARRAYS}
        return cls(**arrays, model=batches[0].model)


@dataclass(frozen=True, slots=True)
class CellProfile:
    """Moisture content at the start, cell by cell [%], upper face first, shape (boards, cells), the cells
    those of :func:`graded_cells`."""

    mc_pct: Array


@dataclass(frozen=True)
class History:
    """Moisture content of boards at the asked times.

    :param mean_pct: of the whole section, shape (boards, times)
    :param core_pct: of the middle half of the thickness, shape (boards, times)
    :param top_pct: of the upper quarter of the thickness, shape (boards, times)
    :param bottom_pct: of the lower quarter, shape (boards, times)
    :param passed_pct: moisture that has entered through all faces since the start, in points of the
        mean, shape (boards, times); equals the change of `mean_pct` to rounding
    :param profile_pct: last profile through the thickness, averaged over the width, shape (boards, cells)
    :param profiles_pct: the same at all times, shape (boards, times, cells); None where nobody asked for it
    :param depth: centres of its cells, 0 upper face to 1 lower face, shape (cells,)
    :param weight: thickness of its cells, together 1, shape (cells,)
    """

    mean_pct: Array
    core_pct: Array
    top_pct: Array
    bottom_pct: Array
    passed_pct: Array
    profile_pct: Array
    depth: Array
    weight: Array
    profiles_pct: Array | None = None

    @property
    def shell_pct(self) -> Array:
        """Of both outer quarters, shape (boards, times): the shell of a shell-and-core test."""
        return 0.5 * (self.top_pct + self.bottom_pct)


def graded_cells(count: int) -> Array:
    """Thickness of `count` cells, together 1, finer toward both ends. Derived."""
    s = np.linspace(0.0, 1.0, count + 1)
    # A straight line and a cosine, mixed: surfaces are resolved without starving the middle.
    faces = 0.4 * s + 0.6 * (1.0 - np.cos(np.pi * s)) / 2.0
    return np.diff(faces)


def _half(cells: Array) -> Array:
    """The first half of symmetric cells, together 1 again."""
    return cells[: len(cells) // 2] * 2.0


class _Grid:
    """The cells of a batch, and one backward Euler step on them. Moisture has shape (ny, nx, boards):
    the boards last, so that each operation runs along them.

    Half the width will do, since both edges are alike; half the thickness too, where both faces are.
    """

    def __init__(self, boards: Boards, nx: int, ny: int, alike: bool) -> None:
        self.boards = boards
        self.alike = alike
        self.weight_x = _half(graded_cells(nx)) if alike else graded_cells(nx)
        self.weight_y = _half(graded_cells(2 * ny)) if ny > 1 else np.ones(1)
        self.deep = np.asarray(boards.thickness_mm) * (0.5e-3 if alike else 1e-3)
        self.dx = self.weight_x[:, None] * self.deep
        width = np.minimum(np.asarray(boards.width_mm), _ENDLESS_MM)
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
        half = 0.5e-3 * np.minimum(np.asarray(self.boards.length_mm), _ENDLESS_MM)
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
    ratio, carried = [], []
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
    watch: Callable[[int, int, Array], bool] | None = None,
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
    :param watch: called after each time with its number, the number of times and the mean; True stops
    :param profiles: True to keep the profile of every time
    :returns: results at each time; after an early stop the rest repeats the last
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
            for part in range(steps):
                at = [(part + f) / steps for f in (0.0, 0.5, 1.0)]
                seconds = (times[number] - times[number - 1]) / steps * SECONDS_PER_DAY
                temps, airs = (
                    [a[:, number - 1] * (1 - f) + a[:, number] * f for f in at] for a in (temp, air)
                )
                low, high = (
                    np.minimum.reduce([low, *airs]),
                    np.maximum.reduce([high, *airs]),
                )
                mc, entered = _advance(grid, mc, seconds, temps, airs, low, high)
                passed = passed + entered
        through = grid.whole((grid.weight_y[:, None, None] * mc).sum(axis=0))
        for name, inside in parts.items():
            share = weight * inside
            results[name][:, number] = share @ through / share.sum()
        results["passed"][:, number] = passed
        if kept is not None:
            kept[:, number] = through.T
        if watch is not None and watch(number, len(times), results["mean"][:, number]):
            for values in results.values():
                values[:, number + 1 :] = values[:, number : number + 1]
            if kept is not None:
                kept[:, number + 1 :] = kept[:, number : number + 1]
            break
    return History(
        results["mean"],
        results["core"],
        results["top"],
        results["bottom"],
        results["passed"],
        through.T,
        depth,
        weight,
        kept,
    )


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
    return np.array([np.interp(depth, places, row) for row in start]).T
