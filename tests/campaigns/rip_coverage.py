"""Coverage of the warp of strips: how many truths lie in the Ranges, before and after each optional input.

The Ranges come from the product. The truths are made here, board by board and in plain numbers: a board is
grown from the same judgement, read by somebody whose readings are a little off, and cut. Nothing of the
product's draws, of its updates or of its relations is used for them, and its constants are written out a
second time. This checks the software, not nature: nature does not read our judgement.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from random import Random

import numpy as np

from woodmove.advice.boards import warp as warping
from woodmove.advice.boards.arrays import BoardArrays
from woodmove.advice.doubt.draws import Draws
from woodmove.domain.board import dressed_size
from woodmove.domain.stock import Cut, FirstCut, Pith, Prong, SawnBoard
from woodmove.extend.api import Catalogue

LEAST, MOST = 0.88, 0.92
SPECIES, EDITION = "sitka-spruce", "2021"
SIZE = dressed_size("2x8")
WIDTH, THICK, LENGTH = SIZE.width_mm, SIZE.thickness_mm, 2438.4
KERF = 3.2
SERVICE_PCT = 8.0
RIP = Cut(2, 88.9, KERF)
RESAW = Cut("resaw", None, KERF)
BLOCK = 50


@dataclass(frozen=True)
class World:
    """How the truths fall; as it stands, as the Ranges assume."""

    within_90: float = 1.645
    scatter: float = 0.15 * math.sqrt(0.5)
    locked_sd: float = 1.4e-4
    spiral_outer_sd: float = 1.2
    pith_reading_sd: float = 6.0


AS_ASSUMED = World()
# What the Ranges do not assume: the check must be able to fail.
LOCKED_DOUBLED = replace(AS_ASSUMED, locked_sd=2.8e-4)


@dataclass(frozen=True)
class Grown:
    """A board as it is, which nobody knows."""

    pith_y: float
    pith_z: float
    core_deg: float
    outer_deg: float
    free: float
    by_itself: float
    closure: float
    tangential: float
    radial: float
    saturation: float
    mc: float
    dressed: float
    crook: float
    bow: float
    even: float
    skew: float
    even_through: float
    set_strain: float
    core_less_shell: float
    juvenile: float
    grain_y: float
    grain_z: float


@cache
def _coefficients() -> tuple[float, float, float]:
    species = Catalogue().species.get(SPECIES)
    (row,) = (c for c in species.coefficients if c.edition == EDITION)
    return row.radial, row.tangential, species.fibre_saturation_pct


def grown(random: Random, world: World, pile: tuple[float, float]) -> Grown:
    """A board from a pile whose edges hold so much even and skew strain."""
    radial, tangential, saturation = _coefficients()
    factor = random.gauss(1.0, 0.05) * random.gauss(1.0, 0.05 / world.within_90)
    factor *= 1.0 + random.gauss(0.0, world.scatter) + random.gauss(0.0, world.scatter)
    total = [factor * saturation / (1.0 / c + saturation - 10.0) for c in (radial, tangential)]
    return Grown(
        pith_y=random.gauss(0.0, WIDTH / 6),
        pith_z=-random.gauss(50.0, 35.0),
        core_deg=random.gauss(3.6, 1.5),
        outer_deg=random.gauss(0.0, world.spiral_outer_sd),
        free=min(0.5 * math.exp(random.gauss(0.0, 0.49 / world.within_90)), 1.0),
        by_itself=random.gauss(0.0, 0.205),
        closure=random.gauss(0.0, 0.15),
        radial=total[0],
        tangential=total[1],
        saturation=saturation,
        mc=random.gauss(14.5, 3.0),
        dressed=random.gauss(15.0, 3.0),
        crook=random.gauss(0.0, 0.00854 / 1.96),
        bow=random.gauss(0.0, 0.0256 / 1.96),
        even=pile[0] + random.gauss(0.0, world.locked_sd),
        skew=pile[1] + random.gauss(0.0, world.locked_sd),
        even_through=random.gauss(-1e-4, 2e-4),
        set_strain=random.gauss(-1e-3, 1e-3),
        core_less_shell=random.gauss(1.0, 1.0),
        juvenile=2e-4 * math.exp(random.gauss(0.0, math.log(3) / world.within_90)),
        grain_y=random.gauss(0.0, 6e-4),
        grain_z=random.gauss(0.0, 6e-4),
    )


def pile_of(random: Random, world: World) -> tuple[float, float]:
    return random.gauss(-1e-4, world.locked_sd), random.gauss(0.0, world.locked_sd)


def slope_of(points: list[tuple[float, float]]) -> float:
    """Slope of the straight line nearest to points."""
    n = len(points)
    mx, my = sum(x for x, _ in points) / n, sum(y for _, y in points) / n
    return sum((x - mx) * (y - my) for x, y in points) / sum((x - mx) ** 2 for x, _ in points)


def released(even: float, skew: float, start: float, end: float, middle: float, half: float) -> float:
    """Curvature [1/m] that a piece from `start` to `end` takes on, of a board about `middle`."""
    points = []
    for step in range(60):
        x = start + (end - start) * (step + 0.5) / 60
        t = (x - middle) / half
        points.append((x / 1e3, even * (3 * t * t - 1) / 2 + skew * (5 * t**3 - 3 * t) / 2))
    return slope_of(points)


def strips(cut: Cut) -> list[tuple[float, float, float, float]]:
    """Pieces: across from mid-width, through from the near face."""
    if cut is RESAW:
        half = (THICK - KERF) / 2
        return [(-WIDTH / 2, WIDTH / 2, 0.0, half), (-WIDTH / 2, WIDTH / 2, THICK - half, THICK)]
    return [
        (-WIDTH / 2 + i * (88.9 + KERF), -WIDTH / 2 + i * (88.9 + KERF) + 88.9, 0.0, THICK) for i in range(2)
    ]


def twist_per_m(board: Grown, y: float, z: float, own: float, mc: float) -> float:
    """Twist [°/m] of a piece about (y, z) from the pith; what the stack of the kiln held is left out."""
    radius = math.sqrt(y * y + z * z + own)
    fall = math.exp(-((radius / 90.0) ** 2))
    angle = board.outer_deg + (board.core_deg - board.outer_deg) * fall
    gradient = (board.core_deg - board.outer_deg) * fall * -2 * radius / 90.0**2
    closed = min(max(1 / 3 + own / radius**2 * 2 / 3 + board.closure, 0.0), 1.0)
    extra = board.juvenile * math.exp(-radius / 40.0)
    now, dressed = (min(max(each, 0.0), board.saturation) for each in (board.mc, board.dressed))

    def strain(at: float) -> float:
        return board.tangential * (1 - at / board.saturation) - (5e-5 + extra) * (board.saturation - at)

    left = strain(mc) - (1 - board.free) * strain(max(now, dressed))
    return left * (closed * 2 * angle * 1e3 / radius + (1 - closed) * (angle * 1e3 / radius + gradient * 1e3))


def truth(board: Grown, cut: Cut) -> list[dict[tuple[str, str], float]]:
    """What each piece really does, as sizes."""
    found = []
    for left, right, low, high in strips(cut):
        width, deep = right - left, high - low
        y, z = (left + right) / 2 - board.pith_y, (low + high) / 2 - board.pith_z
        own = (width**2 + deep**2) / 12
        radius = math.sqrt(y * y + z * z + own)
        extra = board.juvenile * math.exp(-radius / 40.0)
        piece: dict[tuple[str, str], float] = {}
        now, later = min(max(board.mc, 0.0), board.saturation), SERVICE_PCT
        dressed = min(max(board.dressed, 0.0), board.saturation)
        for state, mc in (("at_cut", now), ("in_service", later)):
            per_m = twist_per_m(board, y, z, own, mc)
            twist = (per_m + (board.by_itself if state == "in_service" else 0.0)) * LENGTH / 1e3
            dried = now - mc
            across = board.crook + dried * (board.grain_y - extra / 0.040 * y / radius)
            through = board.bow + dried * (board.grain_z - extra / 0.040 * z / radius)
            if cut is RESAW:
                through += released(board.even_through, 0.0, low, high, THICK / 2, THICK / 2)
            else:
                across += released(board.even, board.skew, left, right, 0.0, WIDTH / 2)
            piece["twist_deg", state] = abs(twist)
            piece["lift_mm", state] = max(width, deep) * math.sin(math.radians(abs(twist)))
            piece["crook_mm", state] = abs(arc(across, LENGTH))
            piece["bow_mm", state] = abs(arc(through, LENGTH))
            piece["cup_mm", state] = abs(
                cup(board, cut, (left, right, low, high), dressed, mc, state == "in_service")
            )
        found.append(piece)
    return found


def arc(curvature: float, length: float) -> float:
    """Height of an arc of this length [mm]."""
    k = curvature / 1e3
    return 0.0 if abs(k) < 1e-12 else (1 - math.cos(k * length / 2)) / k


def cup(
    board: Grown, cut: Cut, piece: tuple[float, ...], before: float, after: float, settled: bool
) -> float:
    left, right, low, high = piece
    half_deep = (high - low) / 2
    z = (low + high) / 2 - board.pith_z
    depth = max(abs(z), half_deep)
    points = (before - after) / board.saturation
    st, sr = board.tangential * points, board.radial * points

    def moved(x: float) -> complex:
        angle = math.atan(x / depth) * (1 - st) / (1 - sr)
        return (1 - sr) * math.hypot(x, depth) * complex(math.sin(angle), math.cos(angle))

    a, b = moved(left - board.pith_y), moved(right - board.pith_y)
    m = moved((left + right) / 2 - board.pith_y)
    chord = (b - a) / abs(b - a)
    height = -((m - a) * chord.conjugate()).imag * z / depth
    if cut is RESAW:
        curve = released(board.set_strain, 0.0, low, high, THICK / 2, THICK / 2)
        if settled:
            y = (left + right) / 2 - board.pith_y
            share = z * z / (y * y + z * z)
            per_pct = (board.radial + (board.tangential - board.radial) * share) / board.saturation
            lower = 1.0 if low == 0.0 else -1.0
            curve += lower * 2 * per_pct * 2 * board.core_less_shell / (THICK / 1e3)
        height += arc(curve, right - left)
    return height


# Readings: the board as it is in, the board as somebody states it out. A reading of which the Ranges say
# "read, give or take" is made the other way round: stated first, the truth about it.
Read = Callable[[Grown, SawnBoard, Random, World], tuple[Grown, SawnBoard]]


def _nothing(board: Grown, seen: SawnBoard, random: Random, world: World):
    return board, seen


def _pith(board: Grown, seen: SawnBoard, random: Random, world: World):
    depth = max(-board.pith_z, -THICK)
    read = Pith(depth, board.pith_y)
    off = random.gauss(0.0, world.pith_reading_sd), random.gauss(0.0, world.pith_reading_sd)
    return replace(board, pith_z=-depth + off[0], pith_y=board.pith_y + off[1]), replace(seen, pith=read)


def _inside(board: Grown, seen: SawnBoard, random: Random, world: World):
    place = {"pith_z": THICK / 2 - random.gauss(0, 0.25) * THICK, "pith_y": random.gauss(0, 0.25) * WIDTH}
    return replace(board, **place), replace(seen, pith=Pith(inside=True))


def _ring(board: Grown, seen: SawnBoard, random: Random, world: World):
    stated = math.hypot(board.pith_y, THICK / 2 - board.pith_z)
    away = max(stated * random.gauss(1.0, 0.10), 0.0)
    height = math.sqrt(max(away**2 - board.pith_y**2, 0.0))
    return replace(board, pith_z=THICK / 2 - height), replace(seen, pith=Pith(ring_radius_mm=stated))


def _mc(board: Grown, seen: SawnBoard, random: Random, world: World):
    stated = max(board.mc, 1.0)
    truth = stated + random.gauss(0, 1 / world.within_90) + random.gauss(0, 1.0)
    return replace(board, mc=truth), replace(seen, mc_now_pct=stated)


def _twist(board: Grown, seen: SawnBoard, random: Random, world: World):
    now = min(max(board.mc, 0.0), board.saturation)
    whole = twist_per_m(board, -board.pith_y, THICK / 2 - board.pith_z, (WIDTH**2 + THICK**2) / 12, now)
    lift = WIDTH * math.sin(math.radians(abs(whole) * LENGTH / 1e3)) + random.gauss(0, 0.8)
    return board, replace(seen, twist_mm=max(lift, 0.0))


def _slope(board: Grown, seen: SawnBoard, random: Random, world: World):
    radius = math.hypot(board.pith_y, THICK - board.pith_z)
    fall = math.exp(-((radius / 90.0) ** 2))
    angle = board.outer_deg + (board.core_deg - board.outer_deg) * fall
    return board, replace(seen, slope_deg=angle + random.gauss(0, 0.6))


def _crook(board: Grown, seen: SawnBoard, random: Random, world: World):
    return board, replace(seen, crook_mm=arc(board.crook, LENGTH) + random.gauss(0, 0.8))


def _bow(board: Grown, seen: SawnBoard, random: Random, world: World):
    return board, replace(seen, bow_mm=-arc(board.bow, LENGTH) + random.gauss(0, 0.8))


def first_cut(board: Grown, random: Random) -> tuple[float, float]:
    """Closing of the kerf 4 ft from the blade and crook of the first strip, as read [mm]."""
    (left, right, *_), _ = strips(RIP)
    own = released(board.even, board.skew, left, right, 0.0, WIDTH / 2)
    rest = released(board.even, board.skew, right + KERF, WIDTH / 2, 0.0, WIDTH / 2)
    closing = (own - rest) / 1e3 * 1219.2**2 / 2
    return closing + random.gauss(0, 0.4), arc(own + board.crook, LENGTH) + random.gauss(0, 0.8)


def _kerf(board: Grown, seen: SawnBoard, random: Random, world: World):
    return board, replace(seen, first_cut=FirstCut(first_cut(board, random)[0], 1219.2))


def _strip(board: Grown, seen: SawnBoard, random: Random, world: World):
    return board, replace(seen, first_cut=FirstCut(strip_crook_mm=first_cut(board, random)[1]))


def _prong(board: Grown, seen: SawnBoard, random: Random, world: World):
    # The outer quarter bends by the slope of its part of the profile; inward is positive.
    inward = -released(board.set_strain, 0.0, 0.75 * THICK, THICK, THICK / 2, THICK / 2) / 1e3 * 152.4**2 / 2
    return board, replace(seen, prong=Prong(inward + random.gauss(0, 0.8), 152.4))


def _shell(board: Grown, seen: SawnBoard, random: Random, world: World):
    return board, replace(seen, core_less_shell_points=board.core_less_shell)


def _all(*readings: Read) -> Read:
    def read(board: Grown, seen: SawnBoard, random: Random, world: World):
        for each in readings:
            board, seen = each(board, seen, random, world)
        return board, seen

    return read


READINGS: dict[str, tuple[Cut, Read]] = {
    "rip, nothing read": (RIP, _nothing),
    "rip, pith": (RIP, _pith),
    "rip, pith inside": (RIP, _inside),
    "rip, ring": (RIP, _ring),
    "rip, moisture": (RIP, _mc),
    "rip, slope": (RIP, _slope),
    "rip, twist": (RIP, _twist),
    "rip, pith and twist": (RIP, _all(_pith, _twist)),
    "rip, pith and slope": (RIP, _all(_pith, _slope)),
    "rip, crook": (RIP, _crook),
    "rip, bow": (RIP, _bow),
    "rip, kerf": (RIP, _kerf),
    "rip, first strip": (RIP, _strip),
    "rip, everything": (RIP, _all(_pith, _mc, _slope, _crook, _bow, _kerf, _twist)),
    "resaw, nothing read": (RESAW, _nothing),
    "resaw, prong": (RESAW, _prong),
    "resaw, core and shell": (RESAW, _shell),
}


@dataclass(frozen=True)
class Found:
    """Of one kind of reading: share of truths in their Ranges, mean width of a Range, by mode and state."""

    covered: Mapping[tuple[str, str], float]
    width: Mapping[tuple[str, str], float]
    truths: int


def campaign(name: str, boards: int, draws: int = 800, world: World = AS_ASSUMED, seed: int = 5) -> Found:
    """Boards at random, read and cut, against their Ranges."""
    cut, read = READINGS[name]
    random = Random(f"{name} {seed}")
    wood = Catalogue().wood(SPECIES, EDITION)
    hits: dict[tuple[str, str], int] = {}
    widths: dict[tuple[str, str], float] = {}
    pieces = len(strips(cut))
    for start in range(0, boards, BLOCK):
        pairs = [
            read(grown(random, world, pile_of(random, world)), SawnBoard("", SIZE, LENGTH), random, world)
            for _ in range(min(BLOCK, boards - start))
        ]
        # Other draws for each block, so that no chance likeness of two inputs runs through the campaign.
        pile = warping.Pile(Draws(draws, seed + start))
        ranges = warping.warps(BoardArrays.of([seen for _, seen in pairs], cut), wood, SERVICE_PCT, pile)
        truths = [truth(board, cut) for board, _ in pairs]
        for mode, states in ranges.modes.items():
            for state, values in states.items():
                key = (mode, state)
                _, low, high = warping.bounds(values)
                true = np.array([[piece[key] for piece in board] for board in truths])
                hits[key] = hits.get(key, 0) + int(np.sum((low <= true) & (true <= high)))
                widths[key] = widths.get(key, 0.0) + float(np.sum(high - low))
    count = boards * pieces
    return Found(
        {key: number / count for key, number in hits.items()},
        {key: w / count for key, w in widths.items()},
        boards,
    )


def missed(found: Found, *, slack: bool = False) -> list[str]:
    """Modes whose coverage is not 88 to 92 %.

    :param slack: True to widen the bounds by three standard deviations of the binomial distribution, for a
        small campaign; the strips of a board count as one
    """
    wide = [3 * math.sqrt(p * (1 - p) / found.truths) if slack else 0.0 for p in (LEAST, MOST)]
    return [
        f"{mode} {state}: {share:.3f}"
        for (mode, state), share in found.covered.items()
        if not LEAST - wide[0] <= share <= MOST + wide[1]
    ]


def learned(piles: int, draws: int = 800, world: World = AS_ASSUMED, seed: int = 11) -> tuple[Found, Found]:
    """The crook of another board of a pile, before and after the first one was ripped."""
    random = Random(f"learned {seed}")
    wood = Catalogue().wood(SPECIES, EDITION)
    key = ("crook_mm", "at_cut")
    results = []
    for tell in (False, True):
        hits, width = 0, 0.0
        for number in range(piles):
            strain = pile_of(random, world)
            first, other = grown(random, world, strain), grown(random, world, strain)
            closed, curled = first_cut(first, random)
            mate = SawnBoard("", SIZE, LENGTH, first_cut=FirstCut(closed, 1219.2, curled))
            own = Draws(draws, seed + number)
            pile = warping.Pile(own, BoardArrays.of([mate], RIP) if tell else None)
            lot = BoardArrays.of([SawnBoard("", SIZE, LENGTH)], RIP)
            _, low, high = warping.bounds(warping.warps(lot, wood, SERVICE_PCT, pile).modes[key[0]][key[1]])
            true = truth(other, RIP)[0][key]
            hits += bool(low[0, 0] <= true <= high[0, 0])
            width += float(high[0, 0] - low[0, 0])
        results.append(Found({key: hits / piles}, {key: width / piles}, piles))
    return results[0], results[1]
