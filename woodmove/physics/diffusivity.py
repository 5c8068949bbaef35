"""Moisture through time: diffusion of bound water in boards, many boards at once.

Finite volumes on a grid that is finer at the surfaces, implicit in time. A step is taken once whole and
once in two halves by the backward Euler method, each keeping the diffusivity of its start; the two
results are combined so that the first-order errors (of the method, of the lagged diffusivity, of the
splitting between thickness and width) cancel. Where that would leave the range of the board and its
air, the halved step stands alone. Every ingredient moves water between cells and through faces without
making or losing any, so the content changes by what passed the faces, to rounding.

Valid below fibre saturation only: free water moves by other laws.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np

from woodmove.physics.air import saturation_pressure_over_water_kpa
from woodmove.physics.arrays import Array, FloatOrArray
from woodmove.physics.sorption import emc_pct
from woodmove.physics.validity import Validity
from woodmove.sources import Status

GAS_CONSTANT = 8.314  # J/(mol K)
# In moving air, of a fan or outdoors: 2e-7 to 8e-7 (source: carlson-2007, status: derived, from dowels that
# were weighed outdoors).
MOVING_AIR_M_S = 4.0e-7


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
    rows: list[Array] = []
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
