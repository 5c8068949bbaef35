"""The default diffusivity and its doubt are what the evidence comes to."""

from math import exp, log

import pytest

from woodmove.advice.doubt import inputs as doubt
from woodmove.physics.diffusivity import MOVING_AIR_M_S, synthesis_m2_s
from woodmove.physics.drying.boards import STILL_AIR_M_S

from . import diffusivity


def test_what_ships_is_what_the_evidence_comes_to():
    found = diffusivity.default()
    level = float(synthesis_m2_s(12.0, 20.0, 0.40))
    assert f"{level:.1e}" == f"{found.factor * diffusivity.BASE_M2_S:.1e}"
    assert level == pytest.approx(float(f"{level:.1e}"))  # two digits, no more are known
    either_way = exp(doubt.DIFFUSIVITY.sd * 1.645)
    assert either_way == pytest.approx(round(found.either_way, 1), rel=0.001)
    assert f"factor of {either_way:.1f}" in doubt.DIFFUSIVITY.meaning


def test_the_mean_by_hand():
    """Dowels of 0.65 and 1.0 count as one; sticks (2.0 and 1.6), kilns (1.6) and shop (1.2) half each."""
    dowels, sticks = 0.5 * log(0.65), 0.5 * (log(2.0) + log(1.6))
    whole = (dowels + 0.5 * (sticks + log(1.6) + log(1.2))) / 2.5
    transient = (log(0.75) + 0.5 * (log(1.0) + log(1.6))) / 2.0
    assert diffusivity.of_kinds("whole").factor == pytest.approx(exp(whole))
    assert diffusivity.of_kinds("transient").factor == pytest.approx(exp(transient))
    assert diffusivity.default().factor == pytest.approx(exp((2.5 * whole + 2.0 * transient) / 4.5))


def test_cups_widen_the_band_and_do_not_move_the_level():
    with_cups, without = diffusivity.default(), diffusivity.of_kinds("whole", "transient")
    assert with_cups.factor == without.factor
    assert with_cups.either_way > without.either_way
    # The middle of each kind lies in the band, though they pull apart.
    for kind in diffusivity.KINDS:
        apart = abs(log(diffusivity.of_kinds(kind).factor / with_cups.factor))
        assert apart < log(with_cups.either_way)


def test_factors_belong_to_their_levels():
    """Of rows that say their level at 20 °C and 12 %: over 1.3e-10 (0.40/G)^2.1, as rounded."""
    told = [row for row in diffusivity.rows() if row["level_m2_s"] and row["factor"]]
    assert len(told) == 7
    for row in told:
        of_form = diffusivity.BASE_M2_S * (0.40 / float(row["gravity"])) ** 2.1
        assert float(row["level_m2_s"]) / of_form == pytest.approx(float(row["factor"]), rel=0.02), row


def test_a_prior_is_made_without_what_it_is_tried_on():
    """Without the dowels, which are slow, the level is higher: they are left out, by name."""
    names = {unit.name for unit in diffusivity.units()}
    assert "dowels outdoors" in names
    assert diffusivity.default(["dowels outdoors"]).factor > diffusivity.default().factor


def test_moving_air_takes_two_to_eight_times_what_still_air_does():
    """Dowels outdoors: 2e-7 to 8e-7 m/s; the doubt of the emission, a factor of two, holds just that."""
    either_way = exp(doubt.EMISSION.sd * 1.645)
    assert MOVING_AIR_M_S / either_way == pytest.approx(2e-7, rel=0.01)
    assert MOVING_AIR_M_S * either_way == pytest.approx(8e-7, rel=0.01)
    assert STILL_AIR_M_S == 1e-7
