"""The campaigns at full size. With ``-s`` they print what they find."""

import pytest

from campaigns import coverage, shares, stability

TOPS = 5000

@pytest.mark.parametrize(
    "family", ["on edge", "strips from a board", "flat panel"]
)
def test_coverage(family: str) -> None:
    cases = coverage.cases(family, TOPS)
    worlds = {
        "as the Ranges assume": coverage.AS_ASSUMED,
        **coverage.WRONG,
        "scatter of pieces doubled": coverage.PIECES_DOUBLED,
    }
    found = {title: coverage.covered(cases, world) for title, world in worlds.items()}
    print(f"\n{family}, {TOPS} stated tops, a truth each")
    for title, figures in found.items():
        print(f"  {title}:", ", ".join(f"{name} {100 * share:.1f} %" for name, share in figures.items()))
    assert not coverage.missed(found["as the Ranges assume"])


def test_stability() -> None:
    moves = stability.worst(20)
    print(f"\nends of {len(moves) // 2} Ranges over 20 pairs of seeds; those that moved most:")
    for move in moves[:5]:
        print(f"  {move.of_width_pct:.2f} % of its width: {move.end} of {move.where}, seeds {move.seeds}")
    assert moves[0].of_width_pct < stability.MOST_PCT


def test_shares() -> None:
    worst = shares.worst(60)
    print(f"\nshares of a linear case, 60 seeds: within {worst:.4f}")
    print(f"  with 4096 draws: {shares.worst(60, 4096):.4f}")
    assert worst < 0.02
