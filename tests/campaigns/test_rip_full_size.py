"""The campaign of the strips at full size. With ``-s`` it prints what it finds."""

import pytest

from campaigns import rip_coverage

BOARDS, DRAWS = 3000, 1500


@pytest.mark.parametrize("name", rip_coverage.READINGS)
def test_coverage(name: str) -> None:
    found = rip_coverage.campaign(name, BOARDS, DRAWS)
    print(f"\n{name}, {BOARDS} boards")
    for (mode, state), share in found.covered.items():
        print(f"  {mode} {state}: {100 * share:.1f} % covered, mean width {found.width[mode, state]:.2f}")
    assert not rip_coverage.missed(found)


def test_learning() -> None:
    before, after = rip_coverage.learned(3000)
    for title, found in (("before", before), ("after", after)):
        print(
            f"\nanother board of the pile, {title} the first was ripped:",
            dict(found.covered),
            dict(found.width),
        )
        assert not rip_coverage.missed(found)
