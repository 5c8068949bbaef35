"""Shrinkage and swelling: the change of a dimension with moisture, in any grain direction.

Two published methods. The coefficient method is a straight line with the dimension at 10 % MC as its
reference, stated for 6 to 14 % MC. The total-shrinkage method takes the dimension at the start as its
reference, up to fibre saturation; at a start of 10 % MC both are the same line.
"""

import numpy as np

from woodmove.physics.arrays import Array, FloatOrArray
from woodmove.physics.validity import Validity, require

COEFFICIENT_RANGE = Validity("dimensional change coefficients", 6.0, 14.0, "% MC", "fpl-gtr-282")

# Moisture content at which shrinkage begins where the species has no value of its own
# (source: fpl-gtr-282, chapters 4 and 13).
FIBRE_SATURATION_PCT = 30.0


def coefficient_per_pct(
    total_shrinkage_pct: FloatOrArray, fibre_saturation_pct: FloatOrArray = FIBRE_SATURATION_PCT
) -> FloatOrArray:
    """Dimensional change coefficient [per % MC] from total shrinkage, green to oven-dry [%].

    :param fibre_saturation_pct: MC at which shrinkage begins [%], 22 for a few species, else 30
    :raises ValueError: total shrinkage not above 0
    Source: fpl-gtr-282 Eq. 13-2.
    """
    require(np.all(np.asarray(total_shrinkage_pct) > 0), "total shrinkage is above 0 %")
    f = fibre_saturation_pct
    return 1.0 / (100.0 * f / total_shrinkage_pct - f + 10.0)


def total_shrinkage_pct(
    coefficient: FloatOrArray, fibre_saturation_pct: FloatOrArray = FIBRE_SATURATION_PCT
) -> FloatOrArray:
    """Total shrinkage [%] from a coefficient [per % MC]: Eq. 13-2 of fpl-gtr-282, turned round.

    :raises ValueError: coefficient not above 0
    """
    require(np.all(np.asarray(coefficient) > 0), "a dimensional change coefficient is above 0")
    f = fibre_saturation_pct
    return 100.0 * f / (1.0 / np.asarray(coefficient, float) + f - 10.0)


def relative_change(
    coefficient: FloatOrArray, mc_from_pct: FloatOrArray, mc_to_pct: FloatOrArray
) -> FloatOrArray:
    """Change of a dimension relative to itself, by the coefficient method; swelling is positive.

    :param coefficient: [per % MC] in the direction of the dimension
    :param mc_from_pct: MC at the start [%], 6 to 14
    :param mc_to_pct: MC at the end [%], 6 to 14
    Source: fpl-gtr-190 Eq. 13-2, fpl-gtr-282 Eq. 13-3.
    """
    return coefficient * (np.asarray(mc_to_pct, float) - mc_from_pct)


def relative_change_from_total(
    coefficient: FloatOrArray,
    mc_from_pct: FloatOrArray,
    mc_to_pct: FloatOrArray,
    fibre_saturation_pct: FloatOrArray = FIBRE_SATURATION_PCT,
) -> FloatOrArray:
    """Change of a dimension relative to itself, by the total-shrinkage method; swelling is positive.

    Above fibre saturation added water changes no dimension, so moisture above it counts as
    fibre saturation.

    :param coefficient: [per % MC]; stands for the total shrinkage by Eq. 13-2 of fpl-gtr-282
    :param mc_from_pct: MC at the start [%], 0 up
    :param mc_to_pct: MC at the end [%], 0 up
    Source: fpl-gtr-190 Eq. 13-3, fpl-gtr-282 Eq. 13-4 (status: memory for the body of the formula;
    at a start of 10 % it becomes the coefficient method exactly).
    """
    start = np.minimum(mc_from_pct, fibre_saturation_pct)
    end = np.minimum(mc_to_pct, fibre_saturation_pct)
    # 100 F/S - F is what Eq. 13-2 calls 1/C - 10.
    return (end - start) / (1.0 / np.asarray(coefficient, float) - 10.0 + start)


def across_grain(
    radial: FloatOrArray, tangential: FloatOrArray, tangential_share: FloatOrArray
) -> FloatOrArray:
    """A coefficient between radial and tangential, by the strain transformation of a plane.

    :param tangential_share: cos² of the angle between the dimension and the tangent to the rings:
        1 for a dimension along the rings (width of a flat-sawn board), 0 for one square to them
    Derived (engineering strain under rotation; no shear at the edges of the piece).
    """
    return radial + (np.asarray(tangential, float) - radial) * tangential_share


def width_tangential_share(ring_angle_deg: FloatOrArray) -> FloatOrArray:
    """Tangential share of a board's width for rings at `ring_angle_deg` to its wide face.

    :param ring_angle_deg: 0 flat-sawn to 90 quarter-sawn
    The share of the thickness is 1 minus this. Derived.
    """
    return np.cos(np.radians(ring_angle_deg)) ** 2


def thickness_tangential_share_about_pith(
    offset_mm: FloatOrArray, strip_width_mm: float, pith_depth_mm: FloatOrArray, thickness_mm: float
) -> FloatOrArray:
    """Mean tangential share of the *thickness* direction of a strip cut from a board.

    Rings are circles about the pith; the share at a point is y²/(y² + z²), y across the board from
    the pith line and z up from the pith, averaged over the section of the strip.

    :param offset_mm: strip centre from the pith line, across the board [mm], shape (...,)
    :param strip_width_mm: width of the strip across the board [mm], above 0
    :param pith_depth_mm: depth of the pith below the nearer wide face [mm]; negative if it lies inside
        the board; broadcasts with `offset_mm`
    :param thickness_mm: thickness of the board [mm], above 0
    :returns: shares from 0 (rings parallel to the face: the thickness is radial) to 1
    :raises ValueError: a strip or board without size
    Derived: the integral in closed form, exact also where the pith lies in the strip.
    """
    require(strip_width_mm > 0 and thickness_mm > 0, "strip width and thickness are above 0")
    offset, depth = np.asarray(offset_mm, float), np.asarray(pith_depth_mm, float)
    left, right = offset - strip_width_mm / 2, offset + strip_width_mm / 2
    near, far = depth, depth + thickness_mm
    whole = (
        _share_integral(right, far)
        - _share_integral(left, far)
        - _share_integral(right, near)
        + _share_integral(left, near)
    )
    return (whole / (strip_width_mm * thickness_mm))[()]


def _share_integral(y: Array, z: Array) -> Array:
    """Double integral of y²/(y² + z²); its two arctangents count for nothing where y or z is 0."""
    y, z = np.broadcast_arrays(y, z)
    with np.errstate(over="ignore"):  # the arctangent of infinity is a right angle
        z_over_y = np.divide(z, y, out=np.zeros_like(y), where=y != 0)
        y_over_z = np.divide(y, z, out=np.zeros_like(y), where=z != 0)
    return 0.5 * (y * y * np.arctan(z_over_y) + y * z - z * z * np.arctan(y_over_z))


def size_at_mc_mm(
    size_mm: FloatOrArray,
    coefficient: FloatOrArray,
    mc_now_pct: FloatOrArray,
    mc_pct: FloatOrArray,
    fibre_saturation_pct: FloatOrArray = FIBRE_SATURATION_PCT,
    *,
    by_coefficient: bool,
) -> FloatOrArray:
    """A dimension [mm] at another moisture content, by the named method.

    :param by_coefficient: True for the coefficient method, False for the total-shrinkage method
    Source: fpl-gtr-282 Eq. 13-3 and 13-4.
    """
    change = (
        relative_change(coefficient, mc_now_pct, mc_pct)
        if by_coefficient
        else relative_change_from_total(coefficient, mc_now_pct, mc_pct, fibre_saturation_pct)
    )
    return size_mm * (1.0 + change)
