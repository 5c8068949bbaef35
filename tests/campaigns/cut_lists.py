"""Cut lists at random, held against first fit decreasing as it stands here, and against their own boards."""

import random

from woodmove.advice.boards.cutting.choose import choose
from woodmove.domain.cutting import Part, Stock

KERF_MM = 3.2
TINY = 0.01


def case(seed: int) -> tuple[list[Stock], list[Part]]:
    """Boards and parts of a shop, in millimetres."""
    chance = random.Random(seed)
    stocks = []
    for n in range(chance.randint(2, 12)):
        width = chance.choice((88.9, 139.7, 184.15, 234.95))
        length = chance.choice((1828.8, 2438.4, 3048.0, 3657.6))
        pith, twisted = chance.random() < 0.1, chance.random() < 0.15
        side = (width - 50.8 - 2 * KERF_MM) / 2
        stocks.append(
            Stock(
                f"B{n}", width, (side, side) if pith else (width,), length,
                length - chance.choice((25.4, 50.8, 254.0)), 609.6 if twisted else float("inf"), pith,
            )
        )  # fmt: skip
    parts = [
        Part(
            f"p{n}", chance.choice((57.0, 82.0, 88.9)), float(chance.randint(300, 1900)), chance.randint(1, 6)
        )
        for n in range(chance.randint(1, 6))
    ]
    return stocks, parts


def first_fit(stocks: list[Stock], parts: list[Part]) -> tuple[float, int]:
    """Longest first, each part into the first free rectangle that takes it, which is crosscut at the part and
    ripped beside it. The face of what comes out [mm²], and the boards that are cut into."""
    free = [[(stock.usable_mm, width) for width in stock.widths_mm] for stock in stocks]
    if any(stock.pith for stock in stocks):
        free = [[*sides] for sides in free]
    face, used = 0.0, set()
    for part in sorted(parts, key=lambda each: (-each.length_mm, -each.width_mm)):
        for _ in range(part.count):
            for n, stock in enumerate(stocks):
                at = next(
                    (
                        k
                        for k, (long, wide) in enumerate(free[n])
                        if part.length_mm <= min(long, stock.longest_mm) + TINY
                        and part.width_mm <= wide + TINY
                    ),
                    None,
                )
                if at is None:
                    continue
                long, wide = free[n].pop(at)
                free[n].append((part.length_mm, wide - part.width_mm - KERF_MM))
                free[n].append((long - part.length_mm - KERF_MM, wide))
                face += part.length_mm * part.width_mm
                used.add(n)
                break
    return face, len(used)


def faults(seed: int) -> list[str]:
    """What is wrong with the cut list of a case: it does not fit, or first fit does better."""
    stocks, parts = case(seed)
    found = choose(stocks, parts, KERF_MM)
    wrong = []
    got = [0] * len(parts)
    for board in found.boards:
        stock = board.stock
        long = sum(each.length_mm + KERF_MM for each in board.lengths) - KERF_MM
        if long > stock.usable_mm + TINY:
            wrong.append(f"{stock.name} is cut longer than it is")
        for length in board.lengths:
            for side, width in enumerate(stock.widths_mm):
                lanes = [lane for lane in length.lanes if lane.side == side]
                if sum(lane.width_mm + KERF_MM for lane in lanes) - KERF_MM > width + TINY:
                    wrong.append(f"{stock.name} is ripped wider than it is")
            for lane in length.lanes:
                run = sum(parts[n].length_mm + KERF_MM for n in lane.parts) - KERF_MM
                if run > length.length_mm + TINY or any(
                    parts[n].width_mm > lane.width_mm + TINY for n in lane.parts
                ):
                    wrong.append(f"{stock.name}: a strip too short or too narrow")
                if any(parts[n].length_mm > stock.longest_mm + TINY for n in lane.parts):
                    wrong.append(f"{stock.name} is twisted and gives a long part")
        for n, count in board.gives().items():
            got[n] += count
    if [part.count - have for part, have in zip(parts, got, strict=True)] != list(found.lacks):
        wrong.append(f"it gives {got} and lacks {found.lacks}")
    face = sum(n * part.width_mm * part.length_mm for n, part in zip(got, parts, strict=True))
    least, boards = first_fit(stocks, parts)
    if face < least - 1 or (abs(face - least) < 1 and len(found.boards) > boards):
        wrong.append(f"first fit: {least:.0f} of {boards} boards; here {face:.0f} of {len(found.boards)}")
    return wrong


if __name__ == "__main__":
    for number in range(500):
        for fault in faults(number):
            print(number, fault)
