"""Lumber of several sizes in one top, counted by hand in mixed_sizes.toml."""

import tomllib
from pathlib import Path

import pytest

CASES = [
    pytest.param(case, id=case["name"])
    for case in tomllib.loads((Path(__file__).parent / "mixed_sizes.toml").read_text(encoding="utf-8"))[
        "case"
    ]
]
FEW = ["--draws", "256"]


@pytest.mark.parametrize("case", CASES)
def test_strips_and_boards_of_each_size(cli, case):
    found = cli.results(
        ["strips", "--width", case["width"], "--strip-thickness", case["thickness"], *FEW,
         "--strip-width", case["strip"], "--stock", case["lumber"]]
    )  # fmt: skip
    assert found["strip_count"] == case["strips"]
    assert [row["strips_per_board"] for row in found["from_sizes"]] == case["each"]
    assert [row["boards"] for row in found["from_sizes"]] == case["boards"]


@pytest.mark.parametrize("case", CASES)
def test_the_top_moves_in_the_mean_of_its_strips(cli, case):
    found = cli.results(
        ["width", "--species", case["species"], "--width", case["width"], "--thickness", case["strip"], *FEW,
         "--stock", case["lumber"], "--pith-depth", case["pith"], "--mc-now", "8", "--mc-low", "7",
         "--mc-high", "9"]
    )  # fmt: skip
    # Simpson's rule by hand, with three places: to 0.5 %.
    assert found["coefficient_per_pct"]["expected"] == pytest.approx(case["coefficient"], rel=0.005)
    assert sum(row["share_pct"] for row in found["strips"]) == pytest.approx(100.0)


@pytest.mark.parametrize("case", CASES)
def test_the_order_of_the_sizes_changes_nothing(cli, case):
    """And a share of one size is that size."""
    line = [
        "width",
        "--species",
        case["species"],
        "--width",
        case["width"],
        *FEW,
        "--thickness",
        case["strip"],
        "--pith-depth",
        case["pith"],
        "--mc-now",
        "8",
        "--mc-low",
        "7",
        "--mc-high",
        "9",
    ]
    turned = ", ".join(reversed(case["lumber"].split(", ")))
    one, other = (cli.results([*line, "--stock", lumber]) for lumber in (case["lumber"], turned))
    assert one["moves_mm"]["expected"] == pytest.approx(other["moves_mm"]["expected"])
    size = case["lumber"].split(", ")[0].partition(":")[0]
    alone, named = (cli.results([*line, "--stock", lumber]) for lumber in (size, f"{size}:3"))
    assert alone["moves_mm"] == named["moves_mm"]
