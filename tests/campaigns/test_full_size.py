"""The campaigns at full size. With ``-s`` they print what they find."""

import pytest

from campaigns import (
    coverage,
    forecast_coverage,
    fuzz_readers,
    hourly_weather,
    log_kill,
    order_piles,
    shares,
    stability,
)

TOPS = 5000


@pytest.mark.parametrize("family", ["on edge", "strips from a board", "flat panel"])
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


def test_a_year_of_hourly_weather() -> None:
    far = hourly_weather.farthest(364)
    print(f"\na year of hourly weather: within {far:.3f} % MC of SciPy on every day")
    assert far < 0.05


def test_shares() -> None:
    worst = shares.worst(60)
    print(f"\nshares of a linear case, 60 seeds: within {worst:.4f}")
    print(f"  with 4096 draws: {shares.worst(60, 4096):.4f}")
    assert worst < 0.02


def test_forecast() -> None:
    found = forecast_coverage.run(500)
    print(f"\n{found.boards} boards; prior {found.prior.low:.0f} to {found.prior.high:.0f} days")
    for count, after in found.found.items():
        print(
            f"  {count} readings: {100 * after.covered:.1f} % inside, width {after.narrowing:.2f} of the "
            f"prior's (limit of the readings {after.limit:.2f}), median off by {100 * after.bias:+.1f} %"
        )
        assert 0.85 <= after.covered <= 0.95
        assert abs(after.bias) < 0.05
    assert found.found[4].narrowing <= 0.75
    assert found.found[8].narrowing <= 0.6


def test_log_under_bad_luck(tmp_path) -> None:
    killed = log_kill.kill_at_random(tmp_path, runs=10, appends=300)
    print(f"\n{killed}")
    assert (killed.lost, killed.torn) == (0, 0)
    (tmp_path / "log.csv").unlink()
    assert log_kill.write_together(tmp_path, 2, 500) == (1000, 1000, 0)


def test_mangled_files(tmp_path) -> None:
    print("\nloggers:", fuzz_readers.fuzz_loggers(tmp_path, 20_000))
    print("logs:", fuzz_readers.fuzz_log(tmp_path, 20_000))


def test_orders() -> None:
    excesses_mm = order_piles.excesses_mm(200, 24)
    print(f"\n{len(excesses_mm)} piles: worst steps at most {excesses_mm.max() / 25.4:.4f} in over the least")
    assert excesses_mm.max() < 0.003 * 25.4
