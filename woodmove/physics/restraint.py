"""Wood that is held across the grain while its moisture changes: stress, cracking, and what screws give."""

import numpy as np

from woodmove.physics.arrays import FloatOrArray

# The stiffness along the grain of the bending tables includes shear: the axial one is so much higher
# (source: fpl-gtr-282 chapter 5).
AXIAL_OVER_BENDING = 1.1
KPA_PER_GPA = 1e6


def stiffness_across_gpa(bending_along_gpa: FloatOrArray, ratio: FloatOrArray) -> FloatOrArray:
    """Stiffness across the grain [GPa], from that along it as the bending tables give it.

    :param bending_along_gpa: stiffness along the grain in bending [GPa]
    :param ratio: E_T/E_L or E_R/E_L
    Source: fpl-gtr-282 chapter 5. Between the two directions wood is softer than either, since it shears.
    """
    return AXIAL_OVER_BENDING * np.asarray(bending_along_gpa, float) * ratio


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


def slip_modulus_n_mm(density_kg_m3: FloatOrArray, diameter_mm: FloatOrArray) -> FloatOrArray:
    """Force per slip of one screw in one shear plane [N/mm], in service.

    :param density_kg_m3: mean density of the two parts [kg/m³]; of unlike ones the geometric mean
    :param diameter_mm: of the screw in a predrilled hole [mm]
    Source: eurocode-5 Table 7.1: density to the power 1.5, times diameter, over 23.
    """
    return np.asarray(density_kg_m3, float) ** 1.5 * diameter_mm / 23.0


def held_share(wood_n_mm: FloatOrArray, fastener_n_mm: FloatOrArray) -> FloatOrArray:
    """Part of the blocked movement that the wood bears as strain, the rest being slip of the fasteners.

    :param wood_n_mm: stiffness of the wood between the two lines of fasteners [N/mm]
    :param fastener_n_mm: of the fasteners of one line together [N/mm]
    Derived: three springs in series. Screws yield and crush their holes long before the slip that this gives
    for a wide top, so the true part is smaller.
    """
    both = np.asarray(fastener_n_mm, float) / 2.0
    return both / (both + wood_n_mm)
