"""Warp: twist, crook, bow, cup and diamonding, and what a rip or a resaw releases.

Arrays in, arrays out. Strains are positive for shrinkage, and so negative where wood swells. Curvature is
per metre, positive where the side of larger coordinate becomes the hollow one. Spiral grain is positive
where it is left-handed, and twist has the hand of the spiral that causes it on drying.
"""

import numpy as np

from woodmove.physics.arrays import Array, FloatOrArray
from woodmove.physics.shrinkage import thickness_tangential_share_about_pith
from woodmove.physics.validity import Validity, require

MM_PER_M = 1000.0
# Lines across a strip along which its rings are averaged.
_LINES = 24
# Beyond this distance from face to pith cup is negligible in practice; read in an abstract that names
# narrow sections, so it is context for boards up to about 100 mm wide.
CUP_NEGLIGIBLE_BEYOND_MM, CUP_NEGLIGIBLE_UP_TO_WIDTH_MM = 60.0, 100.0
CUP_LINEAR_RANGE = Validity("cup in proportion to moisture", 0.0, 20.0, "% MC", "balodis-1972")


# Arcs.


def sagitta_mm(curvature_per_m: FloatOrArray, length_mm: FloatOrArray) -> FloatOrArray:
    """Height of an even arc over the chord of its ends [mm]; the sign is that of the curvature.

    :param curvature_per_m: 1 / radius [1/m]; the chord is at most the diameter
    :param length_mm: of the chord [mm]
    :raises ValueError: a chord longer than the diameter
    Derived (circle; c²k/8 where the arc is flat, written so that a straight line gives 0).
    """
    k, c = np.asarray(curvature_per_m, float) / MM_PER_M, np.asarray(length_mm, float)
    half = k * c / 2.0
    require(bool(np.all(np.abs(half) <= 1.0)), "an arc's chord is at most its diameter")
    return k * c * c / (4.0 * (1.0 + np.sqrt(1.0 - half * half)))


def arc_height_mm(curvature_per_m: FloatOrArray, arc_mm: FloatOrArray) -> FloatOrArray:
    """Height of an even arc over its chord [mm], for the length of the piece itself: any curvature will do.

    :param curvature_per_m: 1 / radius [1/m]
    :param arc_mm: length along the arc [mm]
    Derived (circle): (1 - cos(k s / 2)) / k; a piece cut in n equal parts keeps 1/n² of it, nearly.
    """
    k, s = np.asarray(curvature_per_m, float) / MM_PER_M, np.asarray(arc_mm, float)
    # sinc takes its argument in half turns.
    return k * s * s / 8.0 * np.sinc(k * s / (4.0 * np.pi)) ** 2


def curvature_per_m(sagitta_mm: FloatOrArray, length_mm: FloatOrArray) -> FloatOrArray:
    """Curvature [1/m] of an even arc from its height over the chord [mm].

    :param sagitta_mm: height, either sign [mm]
    :param length_mm: chord, above 0 [mm]
    Derived (circle): 1 / (c²/(8d) + d/2).
    """
    d, c = np.asarray(sagitta_mm, float), np.asarray(length_mm, float)
    return MM_PER_M * 8.0 * d / (c * c + 4.0 * d * d)


def ring_radius_mm(chord_mm: FloatOrArray, rise_mm: FloatOrArray) -> FloatOrArray:
    """Radius of a growth ring [mm] from the chord under a piece of it and the rise over that chord.

    :param chord_mm: above 0 [mm]
    :param rise_mm: above 0 [mm]; the radius is as uncertain as the rise
    :raises ValueError: a rise that is not above 0
    Derived (circle): c²/(8h) + h/2.
    """
    rise = np.asarray(rise_mm, float)
    require(bool(np.all(rise > 0)), "the rise of a ring over its chord is above 0")
    return np.asarray(chord_mm, float) ** 2 / (8.0 * rise) + rise / 2.0


def slope_deg(one_in: FloatOrArray) -> FloatOrArray:
    """Angle [degrees] of a slope of grain of 1 in `one_in`.

    :param one_in: run along the board for a rise of 1, above 0
    Derived: slope of grain is the tangent of the angle (source of the definition: fpl-gtr-282).
    """
    return np.degrees(np.arctan(1.0 / np.asarray(one_in, float)))


# Twist.


def twist_closed_deg_per_m(
    strain_difference: FloatOrArray, spiral_deg: FloatOrArray, radius_mm: FloatOrArray
) -> FloatOrArray:
    """Twist per length [°/m] of a ring that is forced to stay closed: the upper bound.

    :param strain_difference: tangential less lengthwise shrinkage [-]
    :param spiral_deg: spiral grain, left-handed positive [°]
    :param radius_mm: from the pith, above 0 [mm]
    Derived (first order, 2 (sT - sL) a / r; of the ring-curvature family of stevens-johnston-1960).
    """
    return 2.0 * strain_difference * np.asarray(spiral_deg, float) / (np.asarray(radius_mm) / MM_PER_M)


def twist_pith_free_deg_per_m(
    strain_difference: FloatOrArray,
    spiral_deg: FloatOrArray,
    radius_mm: FloatOrArray,
    gradient_deg_per_mm: FloatOrArray = 0.0,
) -> FloatOrArray:
    """Twist per length [°/m] of a piece that does not hold the pith: the lower bound.

    :param strain_difference: tangential less lengthwise shrinkage [-]
    :param spiral_deg: spiral grain at `radius_mm`, left-handed positive [°]
    :param radius_mm: from the pith, above 0 [mm]
    :param gradient_deg_per_mm: change of the spiral grain outward [°/mm]
    Derived: (sT - sL) (a/r + da/dr), the section free to warp. It has the two terms that ekevad-2005
    describes, but its coefficients are not taken from there.
    """
    along = np.asarray(spiral_deg, float) / (np.asarray(radius_mm) / MM_PER_M)
    return strain_difference * (along + np.asarray(gradient_deg_per_mm) * MM_PER_M)


def twist_of_shells_deg_per_m(
    strain_difference: FloatOrArray, spiral_deg: Array, radius_mm: Array
) -> FloatOrArray:
    """Twist per length [°/m] of a round piece about the pith: its closed rings, weighted by stiffness.

    :param strain_difference: tangential less lengthwise shrinkage [-]
    :param spiral_deg: at each radius [°], shape (..., radii)
    :param radius_mm: rising from 0 to the outside [mm], shape (radii,)
    Derived: 2 (sT - sL) ∫ a r² dr / ∫ r³ dr (the concept is that of backstrom-johansson-2006).
    """
    r = np.asarray(radius_mm, float) / MM_PER_M
    steps, middle = np.diff(r), (r[1:] + r[:-1]) / 2.0
    spiral = np.asarray(spiral_deg, float)
    between = (spiral[..., 1:] + spiral[..., :-1]) / 2.0
    # ∫ r² over a step in closed form keeps a constant angle exact.
    return (
        2.0 * strain_difference * np.sum(between * (middle**2 + steps**2 / 12) * steps, -1) / (r[-1] ** 4 / 4)
    )


def corner_lift_mm(width_mm: FloatOrArray, twist_deg: FloatOrArray) -> FloatOrArray:
    """Lift of the free corner [mm] of a twisted face whose other end lies flat.

    :param width_mm: of the face [mm]
    :param twist_deg: over the whole length [°]
    Derived: w sin(twist).
    """
    return width_mm * np.sin(np.radians(twist_deg))


def twist_from_lift_deg(lift_mm: FloatOrArray, width_mm: FloatOrArray) -> FloatOrArray:
    """Twist [°] from the lift of the free corner.

    :param lift_mm: at most the width [mm]
    :param width_mm: of the face [mm]
    Derived: asin(lift / width).
    """
    return np.degrees(np.arcsin(np.asarray(lift_mm, float) / width_mm))


# Crook and bow.


def torsion_constant_mm4(thick_mm: FloatOrArray, wide_mm: FloatOrArray) -> FloatOrArray:
    """Stiffness in torsion of a bar, divided by its shear modulus [mm⁴].

    :param thick_mm: one side of its section [mm]
    :param wide_mm: the other side [mm]
    Derived: Saint-Venant's torsion of a rectangle, by the usual fit to its series, within 0.5 % (memory; a
    test holds it to the series).
    """
    short, long = np.minimum(thick_mm, wide_mm), np.maximum(thick_mm, wide_mm)
    ratio = short / long
    return long * short**3 * (1.0 / 3.0 - 0.21 * ratio * (1.0 - ratio**4 / 12.0))


def slab_twist_deg(twist_deg: Array, thick_mm: float, deep_mm: float) -> FloatOrArray:
    """Twist [°] of a slab, let go by the clamps, of equal strips that were held flat while they were glued.

    What the strips still want to turn by is shared by a slab that is stiffer than they were, one by one.

    :param twist_deg: of each strip over its length, free, left-handed positive, shape (strips, ...) [°]
    :param thick_mm: of a strip, across the slab [mm]
    :param deep_mm: of a strip, and of the slab [mm]
    :returns: shape of one strip's twist; that of the strip itself where there is one, never over their mean
    Derived: torque of the strips against the stiffness of the slab, one shear modulus, no creep under the
    clamps.
    """
    count = len(twist_deg)
    strips = count * torsion_constant_mm4(thick_mm, deep_mm)
    return np.mean(twist_deg, axis=0) * strips / torsion_constant_mm4(count * thick_mm, deep_mm)


def lengthwise_curvature_per_m(strain_difference: FloatOrArray, apart_mm: FloatOrArray) -> FloatOrArray:
    """Curvature [1/m] from a difference in lengthwise shrinkage; the side that shrinks more gets hollow.

    :param strain_difference: between the two edges (crook) or faces (bow) [-]
    :param apart_mm: distance between them [mm]
    Derived (plane sections).
    """
    return np.asarray(strain_difference, float) / (np.asarray(apart_mm) / MM_PER_M)


def free_shape(
    strain: Array, place_mm: Array, weight: Array, stiffness: FloatOrArray = 1.0
) -> tuple[Array, Array]:
    """Mean shrinkage and curvature [1/m] that a free strip takes on from any strain across it.

    What the strip cannot follow stays in it as stress: stiffness times (mean + curvature (y - yc) - strain),
    with neither force nor moment.

    :param strain: shrinkage without stress at points of the strip [-], shape (..., points)
    :param place_mm: of the points across the strip [mm], shape (points,)
    :param weight: part of the strip that each point stands for, shape (points,); midpoints of equal cells
        or Gauss points, say
    :param stiffness: at the points, in any unit
    :returns: mean at the (stiffness-weighted) centre, and curvature, shape (...)
    Derived (beam theory: the straight line nearest to the strain).
    """
    share = np.asarray(weight, float) * stiffness
    y = np.asarray(place_mm, float) / MM_PER_M
    total = np.sum(share, -1, keepdims=True)
    arm = y - np.sum(share * y, -1, keepdims=True) / total
    mean = np.sum(share * strain, -1) / total[..., 0]
    return mean, np.sum(share * strain * arm, -1) / np.sum(share * arm * arm, -1)


def rip_release_per_m(
    edge_strain: FloatOrArray,
    skew_strain: FloatOrArray,
    left: FloatOrArray,
    right: FloatOrArray,
    width_mm: FloatOrArray,
) -> FloatOrArray:
    """Curvature [1/m] that a strip takes on when it is cut free of a board with locked-in stress.

    The locked-in strain is ``edge P2(t) + skew P3(t)``, tension positive, t from -1 to 1 across the board
    (Legendre polynomials: neither force nor moment in the whole board). An even or a linear strain releases
    nothing.

    :param edge_strain: of both edges, in tension positive [-]; minus half of it in the middle
    :param skew_strain: of the right edge, in tension positive [-]; the left edge has the opposite
    :param left: of the strip, part of the width from -1 (left edge) to 1
    :param right: of the strip, part of the width from -1 to 1
    :param width_mm: of the board [mm]
    Derived: the slope of the nearest straight line; for the even part 12 edge (c - 1/2) / H, whatever
    the width of the strip.
    """
    centre, half = (np.asarray(left) + right) / 2.0, (np.asarray(right) - left) / 2.0
    even = 3.0 * centre
    skew = 1.5 * (5.0 * centre * centre + half * half - 1.0)
    return (edge_strain * even + skew_strain * skew) * 2.0 / (np.asarray(width_mm) / MM_PER_M)


def kerf_closure_mm(kerf_mm: FloatOrArray, closing_per_m: FloatOrArray) -> FloatOrArray:
    """Distance behind the blade [mm] at which the two sides of a kerf touch; infinite where it opens.

    :param kerf_mm: width of the kerf [mm]
    :param closing_per_m: curvature of the left side less that of the right [1/m]
    Derived: the sides come together by (difference) x² / 2. A screening number: a riving knife holds
    only a kerf that the board has not closed already.
    """
    closing = np.asarray(closing_per_m, float)
    with np.errstate(divide="ignore", invalid="ignore"):
        found = np.sqrt(2.0 * np.asarray(kerf_mm) * MM_PER_M / np.maximum(closing, 0.0))
    return np.where(closing > 0, found, np.inf)[()]


def closing_force_kn(
    width_mm: FloatOrArray,
    thickness_mm: FloatOrArray,
    length_mm: FloatOrArray,
    height_mm: FloatOrArray,
    stiffness_gpa: FloatOrArray,
) -> FloatOrArray:
    """Force [kN], spread evenly over its length, that presses the curve out of a strip.

    :param width_mm: of the strip, square to the curve [mm]
    :param thickness_mm: in the plane of the curve [mm]
    :param length_mm: of the strip [mm]
    :param height_mm: of the curve over its chord [mm]
    :param stiffness_gpa: along the grain [GPa]
    Derived (beam on two ends under an even load: height = 5 F L³ / (384 E I), I = width thickness³ / 12).
    """
    inertia = np.asarray(width_mm, float) * np.asarray(thickness_mm, float) ** 3 / 12.0
    return 384.0 * np.asarray(stiffness_gpa) * inertia * height_mm / (5.0 * np.asarray(length_mm, float) ** 3)


# Across the grain.


def cup_mm(
    left_mm: FloatOrArray,
    right_mm: FloatOrArray,
    depth_mm: FloatOrArray,
    tangential: FloatOrArray,
    radial: FloatOrArray,
) -> FloatOrArray:
    """Cup of a face [mm], exact: each point moves about the pith by the polar map of even shrinkage.

    :param left_mm: edge of the face from the foot of the pith [mm]
    :param right_mm: other edge [mm]
    :param depth_mm: distance of the plane of the face from the pith, above 0 [mm]
    :param tangential: shrinkage [-]
    :param radial: shrinkage [-]
    :returns: height of the middle under the chord of the edges; positive where the bark side gets hollow
        (drying), negative where it gets round (wetting)
    Derived: r' = r (1 - sR), angle' = angle (1 - sT)/(1 - sR). A piece that holds the pith is not free to
    do so.
    Measurements support the premise: balodis-1972.
    """
    tall = 1.0 - np.asarray(radial, float)
    turn = (1.0 - np.asarray(tangential, float)) / tall
    depth = np.asarray(depth_mm, float)

    def moved(x: FloatOrArray) -> tuple[Array, Array]:
        # Turned by what the angle gains, far from a right angle: a pile has millions of points, and the
        # sine and cosine of the whole angle take twice as long.
        sine = np.sin(np.arctan(x / depth) * (turn - 1.0))
        cosine = np.sqrt(1.0 - sine**2)
        return tall * (x * cosine + depth * sine), tall * (depth * cosine - x * sine)

    (x1, z1), (x2, z2) = moved(left_mm), moved(right_mm)
    x, z = moved((np.asarray(left_mm) + right_mm) / 2.0)
    # Distance of the middle from the chord, measured toward the pith.
    dx, dz = x2 - x1, z2 - z1
    return ((x - x1) * dz - (z - z1) * dx) / np.hypot(dx, dz)


def diamond_angle_deg(tangential: FloatOrArray, radial: FloatOrArray) -> FloatOrArray:
    """Smaller corner angle [°] of square stock whose rings run from corner to corner.

    :param tangential: shrinkage [-]
    :param radial: shrinkage [-]
    Derived: 2 atan((1 - sT)/(1 - sR)).
    """
    return 2.0 * np.degrees(np.arctan((1.0 - np.asarray(tangential, float)) / (1.0 - np.asarray(radial))))


def out_of_square_deg(
    tangential: FloatOrArray, radial: FloatOrArray, ring_angle_deg: FloatOrArray
) -> FloatOrArray:
    """How far the corners of a section leave the right angle [°], for rings at an angle to its sides.

    :param tangential: shrinkage [-]
    :param radial: shrinkage [-]
    :param ring_angle_deg: between rings and a side [°]
    Derived (first order shear: (sT - sR) sin 2 angle).
    """
    shear = (np.asarray(tangential, float) - radial) * np.sin(2.0 * np.radians(ring_angle_deg))
    return np.degrees(shear)


def part_release_per_m(
    coefficient: FloatOrArray,
    mc_pct: Array,
    depth: Array,
    weight: Array,
    thickness_mm: FloatOrArray,
    kept: tuple[float, float],
) -> FloatOrArray:
    """Curvature across the grain [1/m] of the part of a flat board that is kept, once its moisture has evened
    out; positive where its lower face gets hollow.

    A board that is resawn keeps a half; one that is planed on one face keeps all but a shell. At once the
    part springs the other way by as much, as far as the gradient was held by stress alone: planed flat after
    that, it bends by this when its moisture evens out.

    :param coefficient: of the width [per % MC], shape (...)
    :param mc_pct: profile through the thickness, upper face first [%], shape (..., points), as the
        diffusion solver gives it
    :param depth: of the points, 0 upper face to 1 lower face, shape (points,)
    :param weight: part of the thickness that each point stands for, shape (points,)
    :param thickness_mm: of the board [mm]
    :param kept: from and to which depth the board is kept, 0 to 1
    Derived: each layer still has to shrink in proportion to its moisture, and the board was free of stress
    before.
    """
    depth, weight = np.asarray(depth, float), np.asarray(weight, float)
    # A cell that the cut runs through is kept in part.
    above, below = (np.clip(depth - weight / 2.0, *kept), np.clip(depth + weight / 2.0, *kept))
    share = below - above
    inside = share > 0
    place = (above + below)[inside] / 2.0 * MM_PER_M
    strain = np.asarray(coefficient, float)[..., None] * np.asarray(mc_pct, float)[..., inside]
    return free_shape(strain, place, share[inside])[1] / (np.asarray(thickness_mm) / MM_PER_M)


def resaw_release_per_m(
    coefficient: FloatOrArray, mc_pct: Array, depth: Array, weight: Array, thickness_mm: FloatOrArray
) -> FloatOrArray:
    """Curvature across the grain [1/m] of the upper half of a board that was flat, resawn at mid-thickness,
    once its moisture has evened out; positive where the new face gets hollow.

    :param coefficient: of the width [per % MC]
    :param mc_pct: profile through the thickness, upper face first [%], shape (..., points)
    :param depth: of the points, 0 upper face to 1 lower face, shape (points,)
    :param weight: part of the thickness that each point stands for, shape (points,)
    :param thickness_mm: of the board [mm]
    Derived: :func:`part_release_per_m`. For a parabola 2 C (core - surface) / T.
    """
    return part_release_per_m(coefficient, mc_pct, depth, weight, thickness_mm, (0.0, 0.5))


def resaw_parabola_per_m(
    coefficient: FloatOrArray, core_less_surface_pct: FloatOrArray, thickness_mm: FloatOrArray
) -> FloatOrArray:
    """The curvature of :func:`resaw_release_per_m` for a parabola of moisture, in closed form [1/m].

    :param coefficient: of the width [per % MC]
    :param core_less_surface_pct: middle less faces [% MC]
    :param thickness_mm: of the board [mm]
    Derived: 2 C (core - surface) / T. The gap of a slicing test over width b is curvature b² / 4.
    """
    depth = np.asarray(thickness_mm, float) / MM_PER_M
    return 2.0 * np.asarray(coefficient, float) * core_less_surface_pct / depth


def prong_curvature_per_m(deflection_mm: FloatOrArray, prong_mm: FloatOrArray) -> FloatOrArray:
    """Curvature [1/m] of a prong of a prong test.

    :param deflection_mm: of the tip, inward positive [mm]
    :param prong_mm: length of the prong [mm]
    Derived: 2 d / l². Times the prong's thickness it is the strain from face to face.
    """
    return 2.0 * np.asarray(deflection_mm, float) / np.asarray(prong_mm) ** 2 * MM_PER_M


# Glued-up tops.


def slab_cup_per_m(
    coefficient: FloatOrArray, difference_pct: FloatOrArray, thickness_mm: FloatOrArray
) -> FloatOrArray:
    """Curvature across the grain [1/m] of a free slab whose faces differ in moisture; positive where the
    upper face is the round one.

    :param coefficient: of the width [per % MC]
    :param difference_pct: upper face less lower face [% MC], in a straight line between them
    :param thickness_mm: of the slab [mm]
    Derived (strain difference over thickness). The cup over a width w is curvature w² / 8.
    """
    return np.asarray(coefficient, float) * difference_pct / (np.asarray(thickness_mm) / MM_PER_M)


def ring_slope_per_m(
    offset_mm: FloatOrArray, strip_width_mm: float, pith_depth_mm: float, thickness_mm: float
) -> Array:
    """Slope of the tangential share of a strip's thickness over its width [1/m]: by it and the difference
    of the two coefficients a strip on edge widens more at one edge than at the other, and bends for each
    point.

    :param offset_mm: strip centre from the pith line, across the board [mm], shape (...)
    :param strip_width_mm: of the strip across the board [mm]
    :param pith_depth_mm: of the pith below the nearer wide face [mm]
    :param thickness_mm: of the board [mm]
    :returns: positive where the edge of larger coordinate moves more, shape (...)
    Derived (rings as circles about the pith; the straight line nearest to the share, :func:`free_shape`).
    """
    lines = strip_width_mm * ((np.arange(_LINES) + 0.5) / _LINES - 0.5)
    centres = np.asarray(offset_mm, float)[..., None] + lines
    share = thickness_tangential_share_about_pith(
        centres, strip_width_mm / _LINES, pith_depth_mm, thickness_mm
    )
    return free_shape(np.asarray(share), lines, np.ones(_LINES))[1]


def seam_step_mm(depth_mm: FloatOrArray, strain_1: FloatOrArray, strain_2: FloatOrArray) -> FloatOrArray:
    """Step between two neighbours of a glued-up top that were flush [mm]: on both faces together, half on
    each where the middle of both stays level.

    :param depth_mm: thickness of the top [mm]
    :param strain_1: swelling of the one through the thickness of the top [-]
    :param strain_2: of the other [-]
    Derived: depth times the difference, as if neither held the other: the most it can be.
    """
    return np.abs(np.asarray(depth_mm) * (np.asarray(strain_1, float) - strain_2))


def skew_deg(
    strain_across: FloatOrArray, strain_along: FloatOrArray, angle_deg: FloatOrArray
) -> FloatOrArray:
    """How far a slanting line on a face turns [°] when the wood swells, toward across the grain positive.

    :param strain_across: swelling across the grain [-]
    :param strain_along: along it [-]
    :param angle_deg: of the line from the grain [°]
    Derived: tan(new) = tan(old) (1 + across) / (1 + along). Lines along and square to the grain stay so.
    """
    angle = np.radians(np.asarray(angle_deg, float))
    across, along = 1.0 + np.asarray(strain_across, float), 1.0 + np.asarray(strain_along, float)
    return np.degrees(np.arctan2(np.sin(angle) * across, np.cos(angle) * along) - angle)
