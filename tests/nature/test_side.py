"""The side of the EMC equation on which lumber ends, from a log of spruce and from partly cycled lumber."""

from datetime import date

import numpy as np
import pytest

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.drying.air import Air
from woodmove.advice.drying.goal import Goal
from woodmove.advice.drying.readiness import acclimate
from woodmove.advice.drying.stock import Stock
from woodmove.domain.air import MonthlyAir
from woodmove.extend.catalogue import Catalogue
from woodmove.physics.sorption import DRYING_ENDS_POINTS, GAINING_ENDS_POINTS, ends_pct, rh_for_mc_pct

from . import spruce

SHIPPED = {"drying": DRYING_ENDS_POINTS, "gaining": GAINING_ENDS_POINTS}
TODAY = date(2026, 11, 27)
FIR = Catalogue().wood("douglas-fir-coast")


@pytest.mark.parametrize("branch", SHIPPED)
def test_what_ships_is_half_way_between_the_two(branch):
    half_way = 0.5 * (spruce.of_spruce(branch) + spruce.of_cycled(branch))
    assert SHIPPED[branch] == pytest.approx(round(half_way, 1))


def test_its_doubt_is_what_parts_the_two_and_what_humidity_does():
    """Half of their distance, and the scatter of the log about its own side from 20 to 90 % RH."""
    for branch in SHIPPED:
        apart = 0.5 * (spruce.of_spruce(branch) - spruce.of_cycled(branch))
        states = [
            spruce.off_points(row)
            for row in spruce.rows()
            if row["branch"] == branch and 20.0 < float(row["rh_pct"]) < 90.0
        ]
        assert np.hypot(apart, np.std(states, ddof=1)) == pytest.approx(0.5, abs=0.06), branch
    assert doubt.SORPTION.sd == pytest.approx(0.5, abs=0.02)


# Where it counts.


def slat(mc_pct: float) -> Stock:
    """Thin enough to end in two months."""
    return Stock(FIR, 6.0, 40.0, 600.0, mc_pct, mc_pct)


def air(emc_pct: float) -> Air:
    return Air.steady(20.0, float(rh_for_mc_pct(20.0, emc_pct)))


def in_two_months(mc_pct: float, emc_pct: float) -> float:
    found = acclimate(
        slat(mc_pct), air(emc_pct), Goal(emc_pct, "the EMC of the room"), Draws(64), today=TODAY
    )
    return found.results.milestones[-1].mc_pct.expected


def test_lumber_that_dries_ends_above_the_equation_and_lumber_that_gains_below_it():
    assert in_two_months(14.0, 9.0) == pytest.approx(9.4, abs=0.02)
    assert in_two_months(5.0, 9.0) == pytest.approx(8.2, abs=0.02)


def test_where_the_air_turns_the_wood_round_the_equation_stands():
    year = 9.0 + 3.0 * np.sin(np.linspace(0.0, 2.0 * np.pi, 13))
    assert ends_pct(10.0, year) == pytest.approx(year)
    assert ends_pct(12.5, year) == pytest.approx(year + 0.4)
    assert ends_pct(5.5, year) == pytest.approx(year - 0.8)


def test_a_room_through_the_year_tells_the_side_by_all_of_its_months():
    months = np.arange(12)
    outdoor = MonthlyAir(np.full(12, 20.0), 45.0 + 15.0 * np.sin(months * np.pi / 6.0))
    room = Air.of_room(outdoor, date(2026, 11, 1))
    days = np.arange(0.0, 700.0, 7.0)
    emc = room.at(days)[1]
    assert room.ends_at(days, 14.0)[1] == pytest.approx(emc + 0.4)
    assert room.ends_at(days, 8.5)[1] == pytest.approx(emc)


def test_what_the_equation_misses_in_a_wood_it_misses_in_the_goal_too(cli):
    """So it moves the day less than where a meter sets the goal."""
    line = (
        "acclimate --species douglas-fir-coast --stock '6mm x 40mm' --board-length 600mm --mc-now 14 "
        "--temp 20C --rh 50 --tolerance 1 --draws 2048"
    )

    def share(more: str) -> float:
        causes = cli.results(line + more)["days_to_ready"]["causes"]
        return sum(cause["share"] for cause in causes if cause["input"] == "sorption")

    assert share(" --target-mc 9.3") > 2.0 * share("")
