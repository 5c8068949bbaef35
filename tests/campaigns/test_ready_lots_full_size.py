"""When lumber is ready beside another solver; how often the day named 8 in 10 holds. Prints with ``-s``."""

from campaigns import ready_lots


def test_twelve_cases():
    found = [ready_lots.beside(case) for case in ready_lots.CASES]
    print()
    for line in ready_lots.table(found):
        print(line)
    ready_lots.agree(found)


def test_lots_at_random():
    """Forty cases of 64 lots: places, woods, sizes and months drawn, and each lot's wood and room."""
    share, named = ready_lots.held([ready_lots.beside(case, seed=11) for case in ready_lots.drawn(40, 3)])
    print(f"\n{named} cases name a day of 8 in 10: it holds in {100 * share:.1f} % of their lots")
    assert 0.76 <= share <= 0.84
