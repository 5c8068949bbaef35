"""C4: four piles of 500 yard boards, made of logs and a cull, not of anything that woodmove believes.

Logs of 11 to 14 in across (near pith) or of 16 to 22 in (far pith) are sawn through from the pith outward,
a board
as likely at one depth as at another, as far out as its width fits. Of those that hold the pith the graders
and the customers before us took every second one away. Sighted crook has a standard deviation of 1/8 in.
"""

import math
import random

import pytest

LOGS_MM = {"near pith": (140.0, 180.0), "far pith": (200.0, 280.0)}
WIDTHS_MM = {"2x8": 184.15, "2x10": 234.95}
THICK_MM, BOARDS = 38.1, 500


def pile(size: str, logs: str, *, crook: bool) -> list[str]:
    dice, width = random.Random(f"{size} {logs}"), WIDTHS_MM[size]
    rows = ["name,nominal,length,mc_now,pith_depth,pith_offset,crook"]
    while len(rows) <= BOARDS:
        radius = dice.uniform(*LOGS_MM[logs])
        outermost = math.sqrt(radius**2 - (width / 2) ** 2) - THICK_MM
        depth = dice.uniform(-THICK_MM / 2, max(outermost, 0.0))
        if depth < 0 and dice.random() < 0.5:
            continue
        sighted = f"{dice.gauss(0.0, 3.2):.1f}mm" if crook else ""
        rows.append(
            f"b{len(rows)},{size},8ft,{dice.gauss(13.5, 1.5):.1f},{depth:.1f}mm,"
            f"{dice.uniform(-12, 12):.1f}mm,{sighted}"
        )
    return rows


@pytest.mark.parametrize("logs", LOGS_MM)
@pytest.mark.parametrize("size", WIDTHS_MM)
@pytest.mark.parametrize(("length", "crook"), [("60in", False), ("85in", True)])
def test_most_boards_of_a_yard_will_do(cli, size, logs, length, crook):
    """At most a fifth "very high", at least two fifths "low" or "moderate": a yard sells straight lumber."""
    with open("pile.csv", "w", encoding="utf-8") as file:
        file.write("\n".join(pile(size, logs, crook=crook)) + "\n")
    line = f"rip pile.csv --species douglas-fir-coast --into 2 --strip-width 3-1/4in --strip-length {length}"
    words = [row["risk"] for row in cli.results(f"{line} --draws 512")["boards"]]
    shares = {word: words.count(word) / BOARDS for word in ("low", "moderate", "high", "very high")}
    print(size, logs, length, shares)
    assert shares["very high"] <= 0.2
    assert shares["low"] + shares["moderate"] >= 0.4
