"""What many boards do when they are cut and when their moisture changes, in draws.

Everything here is arrays of shape (boards, pieces, draws + 1), the central value first. The relations
are those of :mod:`woodmove.physics.warp`; the distributions and their judgement are in
:mod:`woodmove.advice.doubt`, the central values of inputs that nobody read stand below.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from woodmove.advice.boards.arrays import BoardArrays
from woodmove.advice.boards.pith import AboutPith, Spiral, about_pith, evenly, fitting, shares, spiral_grain
from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.doubt.normal import JointNormal, standard
from woodmove.advice.doubt.wood import species_draws
from woodmove.domain.species import Wood
from woodmove.physics import warp
from woodmove.physics.arrays import Array
from woodmove.physics.shrinkage import across_grain, total_shrinkage_pct

MODES = ("twist_deg", "lift_mm", "crook_mm", "bow_mm", "cup_mm")
STATES = ("at_cut", "in_service")

# Central values of what nobody read (status: judgement, see the distributions in doubt).
MC_BOUGHT_PCT = 14.5
MC_DRESSED_PCT = 15.0
CORE_LESS_SHELL_POINTS = 1.0
# Closed rings count fully in a piece about the pith, and this much of the way in one far from it.
CLOSURE = 1.0 / 3.0
# Of the twist of free wood, what comes of shrinking under the stack of the kiln.
HELD = 0.5
# Compression wood along one side: so many times the one-sided strain and the uneven shrinkage of other
# wood. It is straight as a board, and moves when it is ripped (source of that: compression-wood; the factor:
# judgement).
REACTION_TIMES = 4.0
# Lengthwise shrinkage [per % MC]: normal wood 0.15 % over 30 points (fpl-gtr-190), and juvenile wood more,
# falling outward; together near the mean of 0.011 % per point that is published for spruce (spruce-sticks).
LENGTHWISE_PER_PCT = 5.0e-5
JUVENILE_PER_PCT, JUVENILE_MM = 2.0e-4, 40.0
# Locked-in strain of the edges, of the faces, and set across the grain: in compression.
LOCKED_STRAIN, LOCKED_THROUGH_STRAIN, SET_STRAIN = -1.0e-4, -1.0e-4, -1.0e-3
# Half of a normal distribution lies within this many standard deviations: the typical size of what may go
# either way.
TYPICAL = 0.6745

_NUMBERS = (doubt.LOCKED_PILE, doubt.SKEW_PILE, doubt.LOCKED_BOARD, doubt.SKEW_BOARD, doubt.CROOK_THERE)
_MEANS = np.array([LOCKED_STRAIN, 0.0, 0.0, 0.0, 0.0])


@dataclass(frozen=True)
class Warps:
    """What the pieces do.

    :param modes: twist [°] (left-handed positive), lift, crook, bow and cup [mm], each at the cut and in
        service, shape (boards, pieces, draws + 1). The sign of crook, bow and cup is that of one draw;
        their central value is a typical size where nothing tells the direction
    :param closing_per_m: curvature with which the sides of the first kerf come together, (boards, draws + 1)
    :param mc_now_pct: moisture content today, (boards, 1, draws + 1)
    :param pith_mm: distance of the middle of each piece from the pith, central, (boards, pieces)
    """

    modes: Mapping[str, Mapping[str, Array]]
    closing_per_m: Array
    mc_now_pct: Array
    pith_mm: Array


class Pile:
    """What is believed of the locked-in strain of a pile, after the boards that were ripped first.

    :param draws: of the doubt
    :param mates: boards that were ripped first and said something, as a lot
    """

    def __init__(self, draws: Draws, mates: BoardArrays | None = None) -> None:
        self.draws = draws
        prior = np.array(
            [[mean + draws.deviation(each) for mean, each in zip(_MEANS, _NUMBERS, strict=True)]]
        )
        self.belief = JointNormal(prior, np.diag([each.sd**2 for each in _NUMBERS])[None])
        for number in range(mates.boards if mates is not None else 0):
            assert mates is not None
            self._learn(mates.part(slice(number, number + 1)), number + 1)

    def _learn(self, mate: BoardArrays, number: int) -> None:
        """Take in one board that was ripped; it tells of itself and of the pile."""
        before = self.belief
        draws = Draws(self.draws.draws, self.draws.seed + number)  # another board: other deviations
        own = np.array([[draws.deviation(each) for each in _NUMBERS[2:]]])
        belief = JointNormal(np.concatenate((before.draws[:, :2], own), axis=1), before.covariance)
        after = _read(belief, mate, draws)
        covariance = before.covariance.copy()
        covariance[:, :2, :2] = after.covariance[:, :2, :2]
        self.belief = JointNormal(
            np.concatenate((after.draws[:, :2], before.draws[:, 2:]), axis=1), covariance
        )

    def of(self, lot: BoardArrays) -> JointNormal:
        """What is believed of each board of a lot, its own readings taken in."""
        belief = self.belief
        if lot.reaction.any():
            times = np.ones((lot.boards, len(_NUMBERS)))
            times[lot.reaction, _NUMBERS.index(doubt.SKEW_BOARD)] = REACTION_TIMES
            belief = JointNormal(
                belief.draws * times[..., None], belief.covariance * times[:, :, None] * times[:, None, :]
            )
        return _read(belief, lot, self.draws)


def _read(belief: JointNormal, lot: BoardArrays, draws: Draws) -> JointNormal:
    """Crook against a string, closing of the first kerf, crook of the first strip."""
    zero = np.zeros(lot.boards)
    crook = np.stack((zero, zero, zero, zero, zero + 1.0), axis=-1)
    strip, closing = _first_strip(lot), _closing(lot)
    read = np.stack((lot.crook_per_m, lot.closing_per_m, lot.first_strip_per_m), axis=-1)
    if not np.isfinite(read).any():
        return belief
    sd = np.stack((lot.string_per_m, lot.closing_sd, lot.string_per_m), axis=-1)
    errors = np.stack(
        [standard(draws, each) for each in (doubt.STRING_READING, doubt.KERF_READING)]
        + [standard(draws, doubt.STRING_READING, " of the strip")]
    )
    return belief.updated(
        np.nan_to_num(np.stack((crook, closing, strip), axis=1)),
        read,
        np.nan_to_num(sd) ** 2,
        np.nan_to_num(sd)[..., None] * errors,
    )


def _release(left: Array, right: Array, width_mm: Array) -> Array:
    """Weights of the locked-in numbers in the crook of pieces, shape (boards, pieces, numbers)."""
    even, skew = (
        np.asarray(warp.rip_release_per_m(a, b, left, right, width_mm)) for a, b in ((1.0, 0.0), (0.0, 1.0))
    )
    return np.stack((even, skew, even, skew, np.ones_like(even)), axis=-1)


def _first_strip(lot: BoardArrays) -> Array:
    return _release(lot.first[:, 0], lot.first[:, 1], lot.width_mm)


def _closing(lot: BoardArrays) -> Array:
    """Weights of the locked-in numbers in the closing of the first kerf; crook there already cancels."""
    away = _first_strip(lot) - _release(lot.first[:, 2], lot.first[:, 3], lot.width_mm)
    return away * np.where(lot.first[:, 0] < lot.first[:, 2], 1.0, -1.0)[:, None]


def warps(
    lot: BoardArrays,
    wood: Wood,
    mc_service_pct: float | Array,
    pile: Pile,
    length_mm: Array | None = None,
    states: Sequence[str] = STATES,
) -> Warps:
    """What the pieces of a lot do at the cut and in service.

    :param mc_service_pct: a number, or draws of it, shape (draws + 1,)
    :param pile: of which the boards are
    :param length_mm: of the pieces where the boards are crosscut first, shape (boards,)
    :param states: which of "at_cut" and "in_service" are wanted
    """
    draws = pile.draws
    place = about_pith(lot, draws)
    width, thickness = (lot.right_mm - lot.left_mm)[..., None], (lot.high_mm - lot.low_mm)[..., None]
    length = (lot.length_mm if length_mm is None else length_mm)[:, None, None]
    radial, tangential, saturation = _total_shrinkage(wood, draws)
    now = _mc_now(lot, draws, saturation)
    mc: dict[str, Array] = {"at_cut": now, "in_service": np.minimum(mc_service_pct, saturation)}
    dressed = np.clip(MC_DRESSED_PCT + draws.deviation(doubt.MC_DRESSED), 0.0, saturation)
    dried = now - mc["in_service"]
    drying = _Drying(tangential, saturation, np.maximum(dressed, now), _held(lot, draws))
    spiral = spiral_grain(lot, draws, place.reach)
    if np.isfinite(lot.twist_deg).any():
        place, spiral = _with_seen_twist(lot, draws, place, drying, now)
    across, through = place.across, place.through
    twisting = _Twisting.of(draws, across, through, (width, thickness))
    radius, juvenile, per_strain = twisting.radius, twisting.juvenile, twisting.per_strain(spiral)
    face = np.maximum(width, thickness)

    belief = pile.of(lot)
    weights = _release(lot.left_mm * 2.0 / lot.width_mm[:, None], lot.right_mm * 2.0 / lot.width_mm[:, None],
                       lot.width_mm[:, None])  # fmt: skip
    crook, crook_var = belief.of(weights)
    bow, bow_var = _bow(lot, draws)
    # Lengthwise shrinkage grows toward the pith, and changes across the board in ways that nobody sees.
    toward_pith = juvenile / (JUVENILE_MM * 1e-3 * radius)
    uneven = doubt.LENGTHWISE.sd * np.where(lot.reaction, REACTION_TIMES, 1.0)[:, None, None]
    edge_y = (-toward_pith * across + uneven * standard(draws, doubt.LENGTHWISE)) * dried
    edge_z = (-toward_pith * through + uneven * standard(draws, doubt.LENGTHWISE, " through")) * dried
    grain_var = (uneven[..., 0] * dried[..., 0]) ** 2

    found: dict[str, dict[str, Array]] = {mode: {} for mode in MODES}
    cups = _cups(lot, draws, across, through, (radial, tangential), saturation)
    for state in states:
        later = state == "in_service"
        twist = per_strain * drying.strain(mc[state], juvenile) * length * 1e-3
        if later:
            twist = twist + draws.deviation(doubt.TWIST_BY_ITSELF) * length * 1e-3
        found["twist_deg"][state] = twist
        found["lift_mm"][state] = np.asarray(warp.corner_lift_mm(face, twist))
        for mode, curve, variance, change in (
            ("crook_mm", crook, crook_var, edge_y),
            ("bow_mm", bow, bow_var, edge_z),
        ):
            total = curve + change if later else curve + 0.0 * change
            unseen = variance + (grain_var if later else 0.0)
            total[..., 0] = np.sqrt(total[..., 0] ** 2 + TYPICAL**2 * unseen)
            found[mode][state] = np.asarray(warp.arc_height_mm(total, length))
        found["cup_mm"][state] = cups(dressed, mc[state], later)
    closing = (
        belief.of(_closing(lot)[:, None, :])[0][:, 0]
        if np.isfinite(lot.first).all()
        else np.zeros((lot.boards, 1))
    )
    return Warps(found, closing, now, np.hypot(across[..., 0], through[..., 0]))


@dataclass(frozen=True)
class _Drying:
    """What twists the wood: how far it has shrunk, and how much of that the stack of the kiln held.

    :param kiln_pct: moisture at which it left the kiln, no drier than it is now
    :param free: share of the twist that it took on until then
    """

    tangential: Array
    saturation: Array
    kiln_pct: Array
    free: Array

    def strain(self, mc_pct: Array, juvenile: Array) -> Array:
        """Tangential less lengthwise shrinkage from green [-], what was held left out."""

        def from_green(mc: Array) -> Array:
            lengthwise = (LENGTHWISE_PER_PCT + juvenile) * (self.saturation - mc)
            return self.tangential * (1.0 - mc / self.saturation) - lengthwise

        return from_green(mc_pct) - (1.0 - self.free) * from_green(self.kiln_pct)


def _held(lot: BoardArrays, draws: Draws) -> Array:
    free = np.minimum(HELD * np.exp(draws.deviation(doubt.HELD_IN_THE_KILN)), 1.0)
    return np.where(lot.dried_free[:, None, None], 1.0, free)


@dataclass(frozen=True)
class _Twisting:
    """What decides the twist of pieces at some places: their radius of gyration about the pith [mm], juvenile
    wood, and how closed the rings act; shapes (boards, pieces, draws + 1)."""

    radius: Array
    juvenile: Array
    closure: Array

    @classmethod
    def of(cls, draws: Draws, across: Array, through: Array, section: tuple[Array, Array]) -> "_Twisting":
        own = (section[0] ** 2 + section[1] ** 2) / 12.0
        from_pith2 = across**2 + through**2
        radius = np.sqrt(from_pith2 + own)  # torsion weighs the rings by it
        juvenile = JUVENILE_PER_PCT * np.exp(draws.deviation(doubt.JUVENILE) - radius / JUVENILE_MM)
        about_it = CLOSURE + (1.0 - CLOSURE) * own / (from_pith2 + own)
        return cls(radius, juvenile, np.clip(about_it + draws.deviation(doubt.RING_CLOSURE), 0.0, 1.0))

    def per_strain(self, spiral: Spiral) -> Array:
        """Twist per strain [°/m]."""
        return self._of_grain(*spiral.at(self.radius))

    def weights(self) -> tuple[Array, Array]:
        """Twist per strain and per degree of the spiral grain by the pith, and of that far out [1/m]."""
        core, outer = shares(self.radius)
        return self._of_grain(*core), self._of_grain(*outer)

    def _of_grain(self, angle: Array, gradient: Array) -> Array:
        closed = warp.twist_closed_deg_per_m(1.0, angle, self.radius)
        free = warp.twist_pith_free_deg_per_m(1.0, angle, self.radius, gradient)
        return np.asarray(self.closure * closed + (1.0 - self.closure) * free)


def _with_seen_twist(
    lot: BoardArrays, draws: Draws, place: AboutPith, drying: _Drying, now: Array
) -> tuple[AboutPith, Spiral]:
    """Where the pith is and how the grain spirals, after somebody saw how much the whole board twists
    already.

    Where the pith is given, the twist is a weighted sum of the spiral grain by the pith and of that far
    out, and
    the reading updates both exactly. How well each place of the pith goes with it decides which stay.
    Which hand the twist has was not seen: each draw takes one, by how well either goes with it.
    """
    read = np.isfinite(lot.twist_deg)[:, None, None]
    per_m = 1e3 / lot.length_mm[:, None, None]
    noise = lot.twist_sd_deg[:, None, None] * per_m
    seen = np.nan_to_num(lot.twist_deg)[:, None, None] * per_m
    section = (lot.width_mm[:, None, None], lot.thickness_mm[:, None, None])

    def whole(place: AboutPith) -> tuple[Spiral, tuple[Array, Array], Array, Array]:
        """The spiral, its weights in the twist of the board, and mean and variance of the reading."""
        spiral = spiral_grain(lot, draws, place.reach)
        board = _Twisting.of(draws, place.offset, place.depth, section)
        strain = drying.strain(now, board.juvenile)
        core, outer = (strain * weight for weight in board.weights())
        return spiral, (core, outer), spiral.expected((core, outer)), spiral.spread((core, outer)) + noise**2

    _, _, mean, spread = whole(place)
    fits = np.logaddexp(*(-0.5 * (hand * seen - mean) ** 2 / spread for hand in (1.0, -1.0)))
    fits = np.where(read, fits - 0.5 * np.log(spread), 0.0)[:, 0, 1:]
    weight = np.exp(fits - fits.max(axis=-1, keepdims=True))
    place = place.redrawn(fitting(weight, draws, doubt.TWIST_READING))
    spiral, weights, mean, spread = whole(place)
    left = evenly(draws, doubt.TWIST_READING, "hand") < 1.0 / (1.0 + np.exp(-2.0 * seen * mean / spread))
    error = noise * standard(draws, doubt.TWIST_READING)
    twist = np.where(read, np.where(left, seen, -seen), np.nan)
    return place, spiral.updated(weights, twist, error, noise**2)


def _total_shrinkage(wood: Wood, draws: Draws) -> tuple[Array, Array, Array]:
    """Radial and tangential shrinkage from green to oven-dry [-] of one piece, and fibre saturation [%]."""
    radial, tangential, saturation = species_draws(wood, draws)
    factor = draws.factor(doubt.SPECIES_MEAN) * draws.factor(doubt.STRAIGHT_LINE)
    factor = factor * (1.0 + draws.deviation(doubt.LOGS) + draws.deviation(doubt.PIECES))
    both = [np.asarray(total_shrinkage_pct(c, saturation)) / 100.0 * factor for c in (radial, tangential)]
    return both[0], both[1], saturation


def _mc_now(lot: BoardArrays, draws: Draws, saturation: Array) -> Array:
    metered = np.isfinite(lot.mc_now_pct)
    now = np.zeros((lot.boards, draws.draws + 1))
    if metered.any():
        now[metered] = (
            lot.mc_now_pct[metered, None]
            + draws.deviation(doubt.METER_BIAS)
            + draws.deviation(doubt.METER_NOISE)
        )
    if not metered.all():
        now[~metered] = MC_BOUGHT_PCT + draws.deviation(doubt.MC_UNMETERED)
    return np.clip(now, 0.0, saturation)[:, None, :]


def _bow(lot: BoardArrays, draws: Draws) -> tuple[Array, Array]:
    """Curvature flatwise [1/m], positive where the bark side is hollow, and its variance: what is there
    already, and what a resaw releases. Shapes (boards, pieces, draws + 1) and (boards, pieces)."""
    there = draws.deviation(doubt.BOW_THERE)[None]
    variance = np.full(lot.boards, doubt.BOW_THERE.sd**2)
    read = np.isfinite(lot.bow_per_m)
    if read.any():
        noise = lot.string_per_m**2
        gain = np.where(read, variance / (variance + noise), 0.0)
        error = lot.string_per_m[:, None] * standard(draws, doubt.STRING_READING, " of the bow")
        # A bow is stated as positive where the pith side is hollow.
        there = there + gain[:, None] * (np.nan_to_num(-lot.bow_per_m)[:, None] - there - error)
        variance = variance * (1.0 - gain)
    pieces = lot.left_mm.shape
    bow = np.broadcast_to(there[:, None, :], (*pieces, draws.draws + 1)).copy()
    spread = np.broadcast_to(variance[:, None], pieces).copy()
    if lot.resaw:
        release = _through(lot)
        bow += release[..., None] * (LOCKED_THROUGH_STRAIN + draws.deviation(doubt.LOCKED_THROUGH))
        spread += (release * doubt.LOCKED_THROUGH.sd) ** 2
    return bow, spread


def _through(lot: BoardArrays) -> Array:
    """Curvature that a piece takes on per strain locked into the faces [1/m], (boards, pieces)."""
    deep = lot.thickness_mm[:, None]
    low, high = (2.0 * end / deep - 1.0 for end in (lot.low_mm, lot.high_mm))
    return np.asarray(warp.rip_release_per_m(1.0, 0.0, low, high, deep))


def _cups(
    lot: BoardArrays,
    draws: Draws,
    across: Array,
    through: Array,
    shrinkage: tuple[Array, Array],
    saturation: Array,
):
    """A function that gives the cup of the pieces [mm], bark side hollow positive.

    A piece that holds the pith is not free to cup: its two faces pull against each other, and about the
    pith nothing is left.
    """
    radial, tangential = shrinkage
    half = (lot.right_mm - lot.left_mm)[..., None] / 2.0
    thick = (lot.high_mm - lot.low_mm)[..., None] / 2.0
    depth = np.maximum(np.abs(through), thick)
    side = through / depth  # -1 or 1 where the pith is outside, falling to 0 about it
    release: Array | float = 0.0
    dried: Array | float = 0.0
    if lot.resaw:
        # Set across the grain, a prong test taken in.
        set_strain = SET_STRAIN + draws.deviation(doubt.CASE_HARDENING)[None]
        read = np.isfinite(lot.set_strain)
        if read.any():
            variance = doubt.CASE_HARDENING.sd**2
            sd = np.nan_to_num(lot.set_sd)
            gain = np.where(read, variance / (variance + sd**2), 0.0)[:, None]
            error = sd[:, None] * standard(draws, doubt.PRONG_READING)
            set_strain = set_strain + gain * (np.nan_to_num(lot.set_strain)[:, None] - set_strain - error)
        release = (
            _through(lot)[..., None]
            * np.broadcast_to(set_strain, (lot.boards, set_strain.shape[1]))[:, None, :]
        )
        wetter = (
            np.where(np.isfinite(lot.core_less_shell), 0.0, 1.0)[:, None]
            * (CORE_LESS_SHELL_POINTS + draws.deviation(doubt.SHELL_AND_CORE))
            + np.nan_to_num(lot.core_less_shell)[:, None]
        )
        share = through**2 / (across**2 + through**2 + 1e-9)
        per_pct = np.asarray(across_grain(radial, tangential, share)) / saturation
        # A parabola is twice as deep as the difference of core and shell.
        curve = warp.resaw_parabola_per_m(per_pct, 2.0 * wetter[:, None, :], lot.thickness_mm[:, None, None])
        dried = curve * np.sign(lot.thickness_mm[:, None] / 2.0 - lot.low_mm - thick[..., 0])[..., None]

    def cup(before: Array, after: Array, settled: bool) -> Array:
        points = (before - after) / saturation
        free = warp.cup_mm(across - half, across + half, depth, tangential * points, radial * points)
        curve = release + dried if settled else release
        return side * free + warp.arc_height_mm(curve, 2.0 * half)

    return cup


def bounds(values: Array) -> tuple[Array, Array, Array]:
    """Expected size, and bounds that hold 90 % of the draws of the size, of signed values.

    The bounds are those of the central 90 %. Where the expected size lies outside them, they are moved
    to hold it and still 90 %.

    :param values: the central value first, shape (..., draws + 1)
    :returns: three arrays of shape (...)
    """
    expected = np.abs(values[..., 0])
    sizes = np.sort(np.abs(values[..., 1:]), axis=-1)
    below = (sizes < expected[..., None]).mean(axis=-1)
    start = np.minimum(np.maximum(np.minimum(0.05, below), below - 0.9), 0.1)
    low, high = _quantile(sizes, start), _quantile(sizes, start + 0.9)
    return expected, np.minimum(low, expected), np.maximum(high, expected)


def _quantile(rising: Array, part: Array) -> Array:
    place = part * (rising.shape[-1] - 1)
    low = np.clip(place.astype(int), 0, rising.shape[-1] - 2)
    lower, upper = (np.take_along_axis(rising, (low + step)[..., None], -1)[..., 0] for step in (0, 1))
    return lower + (place - low) * (upper - lower)
