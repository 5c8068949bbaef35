"""Rings as they are drawn lie about their pith, and in their wood."""

import math

import pytest

from woodmove.domain.end_grain import EndGrain


@pytest.mark.parametrize("pith", [(0.0, -60.0), (30.0, -5.0), (25.0, 19.0), (-200.0, 19.0), (0.0, -2000.0)])
def test_each_ring_is_an_arc_about_the_pith_within_the_wood(pith: tuple[float, float]) -> None:
    grain = EndGrain(-92.0, 0.0, 184.0, 38.0, *pith)
    rings = list(grain.rings())
    assert len(rings) >= 5
    for xs, ys in rings:
        radii = [math.hypot(x - pith[0], y - pith[1]) for x, y in zip(xs, ys, strict=True)]
        assert max(radii) - min(radii) < 1e-6 * max(radii)
        assert all(-92.0 <= x <= 92.0 and 0.0 <= y <= 38.0 for x, y in zip(xs, ys, strict=True))
    assert grain.holds_pith == (0 <= pith[1] <= 38 and abs(pith[0]) <= 92)
