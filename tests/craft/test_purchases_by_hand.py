"""The hand counts of what to buy, asked of woodmove: between what is enough where only one strip in ten is
lost and what an experienced buyer carries home at the most."""

import tomllib
from pathlib import Path

import pytest

CASES = tomllib.loads((Path(__file__).parent / "purchases.toml").read_text(encoding="utf-8"))["case"]
SPECIES = {
    "southern pine": "southern-pine", "Douglas-fir": "douglas-fir-coast", "hem-fir": "hem-fir",
    "spruce-pine-fir": "spruce-pine-fir", "Norway spruce": "norway-spruce", "Scots pine": "scots-pine",
}  # fmt: skip
# Too many are bought: tests/known/test_lumber.py.
KNOWN = {"counter-from-2.4-m"}


def line_of(case: dict) -> str:
    unit, strip = case["units"], case["strip"]

    def size(board: dict) -> str:
        return board["label"] if unit == "in" else f"{board['thickness']}mm x {board['width']}mm"

    sizes = ",".join(dict.fromkeys(map(size, case["stock"])))
    lengths = ",".join(dict.fromkeys(f"{board['length']}{unit}" for board in case["stock"]))
    thickness, width = strip["finished"]
    have = ""
    if "at_home" in case:
        rows = [
            f"{size(board)},{board['length']}{unit}"
            for board in case["at_home"]
            for _ in range(board["boards"])
        ]
        Path("home.csv").write_text("\n".join(["nominal,length", *rows]) + "\n", encoding="utf-8")
        have = "home.csv"
    use = "--use free" if case["use"] == "free" else ""
    return (
        f"buy --species {SPECIES[case['species']]} --strips {case['wanted']} {use} {have} "
        f"--strip-width {strip['width']}{unit} --strip-length {strip['length']}{unit} "
        f"--finished-thickness {thickness}{unit} --finished-width {width}{unit} "
        f"--sizes '{sizes}' --board-length {lengths}"
    )


@pytest.mark.parametrize("case", [pytest.param(case, id=case["id"]) for case in CASES])
def test_boards_to_buy(cli, case):
    found = cli.results(line_of(case))
    assert [row["strips_per_board"] for row in found["sizes"]] == case["each"]
    if case["id"] in KNOWN:
        return
    least, most = case.get("any_mix", (case["usual"], case["most"]))
    assert least <= found["boards_to_buy"] <= most
