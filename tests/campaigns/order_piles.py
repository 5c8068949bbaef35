"""The sorted order of random piles of strips, against the best there is.

No row has a better worst step than the worst edge of the least tree that joins all strips: a row is such a
tree. The tree is SciPy's. Of a thousand piles, one lies a little more than a felt step over this bound, which
few orders reach.
"""

from functools import cache

import numpy as np
from scipy.sparse.csgraph import minimum_spanning_tree

from woodmove.advice.doubt.draws import Draws
from woodmove.advice.top import layup, order
from woodmove.domain.room import Room
from woodmove.domain.season import Season
from woodmove.domain.strip import GRAINS, SIDES, Laid, Strip
from woodmove.extend.catalogue import Catalogue
from woodmove.physics.arrays import Array

DEPTH_MM, THICKNESS_MM, BATCH_PCT = 76.2, 38.1, 8.0


@cache
def catalogue() -> Catalogue:
    return Catalogue()


def pile(rng: np.random.Generator, count: int) -> list[Strip]:
    """Strips as somebody might note them down: metered, with gaps, defects and grain; the rings of one pile
    read as angles, those of the next as piths."""
    by_angle = rng.random() < 0.5

    def rings() -> dict[str, float]:
        if rng.random() < 0.1:
            return {}
        if by_angle:
            return {"ring_angle_deg": float(rng.uniform(0, 90))}
        return {
            "pith_depth_mm": float(rng.uniform(-10, 80)),
            "pith_offset_mm": float(rng.uniform(-80, 80)),
        }

    return [
        Strip(
            f"{number}",
            mc_pct=float(rng.normal(BATCH_PCT, 0.7)),
            crook_mm=float(rng.normal(0, 1.5)) if rng.random() < 0.8 else None,
            bow_mm=float(rng.normal(0, 3.0)) if rng.random() < 0.8 else None,
            defects=frozenset(side for side in SIDES if rng.random() < 0.15),
            grain=str(rng.choice(GRAINS)) if rng.random() < 0.5 else None,
            **rings(),
        )
        for number in range(count)
    ]


def movement_mm(strips: list[Strip], season: Season) -> Array:
    """Of a face of each strip at the driest and at the dampest, shape (2, strips)."""
    wood = catalogue().wood("douglas-fir-coast")
    mc = np.array([strip.mc_pct for strip in strips])
    lamination = layup.Lamination(wood, DEPTH_MM, THICKNESS_MM, BATCH_PCT)
    return 0.5 * DEPTH_MM * layup.swellings(strips, mc, lamination, season, Draws(2)).central


def least_worst_step_mm(moved_mm: Array) -> float:
    """What the worst step of no order is below."""
    steps = np.abs(moved_mm[:, :, None] - moved_mm[:, None, :]).max(axis=0)
    # SciPy takes a zero for no edge.
    return float(minimum_spanning_tree(np.triu(steps + 1e-9, 1)).toarray().max())


def excesses_mm(piles: int, most: int, seed: int = 13) -> Array:
    """By how much the worst step of each pile exceeds that bound: 6 to `most` strips, each pile in a heated
    house at one of the places, shape (piles,)."""
    rng = np.random.default_rng(seed)
    places = catalogue().climates
    keys = [key for key, _ in places]
    found = []
    for _ in range(piles):
        season = Season.in_room(places.get(str(rng.choice(keys))), Room("house"))
        strips = pile(rng, int(rng.integers(6, most + 1)))
        moved = movement_mm(strips, season)
        row = order.sorted_row(strips, moved)
        assert sorted(row) == list(range(len(strips))), "a strip is missing or there twice"
        found.append(order.worst_step_mm(row, moved) - least_worst_step_mm(moved))
    return np.array(found)


def crook_left_mm(strips: list[Strip], laid: list[Laid]) -> float:
    """Of strips that are glued into one section and take on their mean."""
    crooks = [(strips[one.number].crook_mm or 0.0) * (1 if one.mark_up else -1) for one in laid]
    return abs(float(np.mean(crooks)))
