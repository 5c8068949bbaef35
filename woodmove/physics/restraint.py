"""Wood that is held across the grain while its moisture changes: stress and cracking."""

import numpy as np

from woodmove.physics.arrays import FloatOrArray

# The stiffness along the grain of the bending tables includes shear: the axial one is so much higher
# (source: fpl-gtr-282 chapter 5).
AXIAL_OVER_BENDING = 1.1
KPA_PER_GPA = 1e6
# Poisson's ratio, tangential strain under radial stress: that of Douglas-fir, taken for every species; it
# counts for a tenth of the shear beside it (source: fpl-gtr-282 Table 5-2; status: judgement for the others).
POISSON_RT = 0.39


def stiffness_across_gpa(bending_along_gpa: FloatOrArray, ratio: FloatOrArray) -> FloatOrArray:
    """Stiffness across the grain [GPa], from that along it as the bending tables give it.

    :param bending_along_gpa: stiffness along the grain in bending [GPa]
    :param ratio: E_T/E_L or E_R/E_L
    Source: fpl-gtr-282 chapter 5.
    """
    return AXIAL_OVER_BENDING * np.asarray(bending_along_gpa, float) * ratio


def slanted_stiffness_gpa(
    radial_gpa: FloatOrArray,
    tangential_gpa: FloatOrArray,
    shear_rt_gpa: FloatOrArray | None,
    tangential_share: FloatOrArray,
) -> FloatOrArray:
    """Stiffness [GPa] in a direction between radial and tangential, where wood rolls in shear and is
    softer than in either.

    :param radial_gpa: across the rings [GPa]
    :param tangential_gpa: along the rings [GPa]
    :param shear_rt_gpa: rolling shear modulus [GPa]; None where no table gives it: then the straight line
        between the two, which is too stiff
    :param tangential_share: sin² of the angle from radial, 0 to 1
    Derived (compliance of an orthotropic plane under rotation).
    """
    share = np.asarray(tangential_share, float)
    if shear_rt_gpa is None:
        return radial_gpa + (np.asarray(tangential_gpa, float) - radial_gpa) * share
    compliance = (
        (1.0 - share) ** 2 / radial_gpa
        + share**2 / tangential_gpa
        + share * (1.0 - share) * (1.0 / np.asarray(shear_rt_gpa, float) - 2.0 * POISSON_RT / radial_gpa)
    )
    return 1.0 / compliance


def blocked_stress_kpa(
    coefficient: FloatOrArray, drop_points: FloatOrArray, stiffness_gpa: FloatOrArray
) -> FloatOrArray:
    """Tension across the grain [kPa] of wood that is held rigidly while it dries; negative where it wets.

    :param coefficient: dimensional change coefficient in that direction [per % MC]
    :param drop_points: fall of moisture content [% MC]
    :param stiffness_gpa: across the grain [GPa]
    Derived (Hooke: strain that is blocked, times stiffness). Elastic: creep leaves less of it in time.
    """
    return coefficient * np.asarray(drop_points, float) * stiffness_gpa * KPA_PER_GPA


def cracking_drop_points(
    strength_kpa: FloatOrArray, stiffness_gpa: FloatOrArray, coefficient: FloatOrArray
) -> FloatOrArray:
    """Fall of moisture content [points] at which the blocked stress reaches the strength, on an elastic
    basis.

    :param strength_kpa: tension strength across the grain of clear wood [kPa]
    :param stiffness_gpa: across the grain [GPa]
    :param coefficient: dimensional change coefficient in that direction [per % MC]
    Derived: strength / (stiffness times coefficient). A lower bound: creep and slip let real wood bear more,
    knots and checks less.
    """
    return np.asarray(strength_kpa, float) / (stiffness_gpa * KPA_PER_GPA * coefficient)
