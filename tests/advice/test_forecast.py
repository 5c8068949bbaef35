"""The forecast from readings: honest Ranges, and what it flags."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from campaigns import forecast_coverage as campaign
from scipy.stats import binom

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.drying import forecast as advice
from woodmove.advice.drying.air import HORIZON_DAYS, Air
from woodmove.advice.drying.forecast import BoardOfLog, Instrument, forecast, latest_mc, logged_air
from woodmove.advice.drying.goal import Goal, When, when
from woodmove.advice.drying.sampler import ForecastSampler, Observation, quantiles
from woodmove.advice.drying.stock import Stock, boards_of, profile_of
from woodmove.contract.answer import Answer
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal
from woodmove.domain.air import AirSeries
from woodmove.domain.reading import OFFCUT, OVEN_DRY, Reading, ReadingsLog
from woodmove.extend.api import Catalogue
from woodmove.physics.drying.solver import simulate
from woodmove.physics.sorption import rh_for_mc_pct

CATALOGUE = Catalogue()
OAK = CATALOGUE.wood("northern-red-oak")
PIN = Instrument(CATALOGUE.meters.get("pin"))
START = date(2026, 12, 1)
DAYS = (5, 10, 15, 20)
STOCK = Stock(OAK, 38.0, 140.0, 2400.0, 15.0, 15.0)


_LEARNERS: dict[tuple, ForecastSampler] = {}


@pytest.fixture(autouse=True)
def simulated_once(monkeypatch):
    """One simulation for all tests with the same boards in the same air."""

    def make(stock, air, goal, days, last, draws, **more):
        key = (id(stock), float(air.rh_pct[0]), goal, *sorted(set(days)), last, draws.draws, str(more))
        if key not in _LEARNERS:
            _LEARNERS[key] = ForecastSampler(stock, air, goal, days, last, draws, **more)
        return _LEARNERS[key]

    monkeypatch.setattr(advice, "ForecastSampler", make)


def air(emc_pct: float = 7.0) -> Air:
    return Air.steady(20.0, float(rh_for_mc_pct(20.0, emc_pct)))


def course(factor: float = 1.0, start: float = 15.0, emc_pct: float = 7.0, days=DAYS) -> list[float]:
    """Mean MC of a board on the days."""
    times = np.union1d(np.arange(0.0, max(days) + 1.0), [0.05, 0.2, 0.5])
    boards = boards_of(STOCK, OAK.gravity_12 or 0.6, np.array([1e-7]), np.array([factor]), "synthesis")
    # Lumber that dries ends 0.4 points above the equation.
    temp, emc = air(emc_pct).at(times)
    history = simulate(boards, profile_of(STOCK)[None, :] + start - 15.0, times, temp, emc + 0.4)
    return [float(np.interp(day, times, history.mean_pct[0])) for day in days]


def log(boards: dict[str, list[float]], days=DAYS, **more) -> ReadingsLog:
    rows = [
        Reading(None, START + timedelta(days=day), name, mc, line=2 + i, **more)
        for name, shown in boards.items()
        for i, (day, mc) in enumerate(zip(days, shown, strict=True))
    ]
    return ReadingsLog("readings.csv", tuple(rows))


def answer(readings: ReadingsLog, **more) -> Answer:
    options = {
        "air": air(),
        "goal": Goal(7.0, "the EMC of the air"),
        "instrument": PIN,
        "start_told": True,
        "today": START + timedelta(days=DAYS[-1]),
        "build": None,
    } | more
    return forecast(
        readings, more.pop("stock", STOCK), options["air"], options["goal"], options["instrument"], START,
        Draws(512, 1), start_told=options["start_told"], today=options["today"], build=options["build"],
    )  # fmt: skip


def codes(found: Answer) -> list[str]:
    return [note.code for note in found.warnings]


def boards_of_answer(found: Answer) -> dict[str, BoardOfLog]:
    return {row.board: row for row in found.results.boards}


def test_a_small_campaign():
    found = campaign.run(40, draws=1024)
    # Of 40 boards 90 % are 36; three standard deviations are 6.
    assert found.prior_covered >= 0.75
    for count, most in ((4, 0.75), (8, 0.6)):
        after = found.found[count]
        assert after.covered >= 0.75
        assert after.narrowing <= most + 0.06
        assert abs(after.bias) < 0.12
        assert after.narrowing >= 0.85 * after.limit, "narrower than the readings allow"


def test_a_board_that_follows_faster_is_ready_earlier():
    rows = boards_of_answer(answer(log({"slow": course(0.5), "usual": course(), "fast": course(2.0)})))
    days = [rows[board].days_left.expected for board in ("fast", "usual", "slow")]
    assert days == sorted(days)
    speeds = [rows[board].speed_ratio.expected for board in ("slow", "usual", "fast")]
    assert speeds == sorted(speeds)
    assert rows["slow"].speed_ratio.expected < 0.8 < 1.25 < rows["fast"].speed_ratio.expected


def test_readings_narrow_the_range():
    learner = ForecastSampler(STOCK, air(), Goal(7.0, "the EMC of the air"), DAYS, 20.0, Draws(1024, 1))
    widths = []
    for count in (0, 2, 4):
        fit = learner.fit([Observation(float(d), mc) for d, mc in zip(DAYS[:count], course(), strict=False)])
        found = fit.range(fit.ready)
        widths.append(found.high - found.low)
        assert abs(float(fit.weight.sum()) - 1.0) < 1e-9
    assert widths[0] > widths[1] > widths[2]


def uniform(last: float, never: float = 0.0) -> When:
    """A board that is ready from any day up to a last one on, all alike, and with a chance never."""
    first = np.append(np.linspace(0.0, last, 20_001), HORIZON_DAYS)
    weight = np.append(np.full(20_001, (1.0 - never) / 20_001), never)
    times = np.arange(HORIZON_DAYS + 1.0)
    return when(np.where(times >= first[:, None], 0.5, 2.0), weight, times, 0.0)


@pytest.mark.parametrize(("count", "needed"), [(1, 1), (3, 3), (20, 18)])
def test_a_lot_is_ready_when_nine_tenths_are(count, needed):
    """Where each board goes its own way, the chance that enough are ready is a binomial sum (SciPy). If all
    go alike, the day of one is the day of all. The later day counts."""
    lot = advice._lot([uniform(100.0)] * count, 0.0)
    chance = binom.sf(needed - 1, count, np.clip(np.arange(101) / 100.0, 0.0, 1.0))
    assert lot.likely == pytest.approx(np.argmax(np.minimum(chance, np.arange(101) / 100.0) >= 0.8), abs=1.0)


def test_no_day_is_named_whose_chance_is_less_than_even():
    maybe = [uniform(100.0, never=0.15)] * 4
    assert 0.85**4 > 0.5 > 0.85**5
    assert advice._lot(maybe, 0.0).even is not None
    assert advice._lot([*maybe, maybe[0]], 0.0).even is None


def test_a_day_that_does_not_last_is_not_named():
    """Ready for ten days, and for good from day 100 on."""
    times = np.arange(HORIZON_DAYS + 1.0)
    unready = np.where((times >= 20) & (times < 30) | (times >= 100), 0.5, 2.0)[None, :]
    found = when(unready, np.ones(1), times, 0.0)
    assert (found.even, found.likely, found.until) == (100.0, 100.0, None)
    assert found.first[0] == pytest.approx(20.0, abs=1.0)


def test_a_build_date_changes_no_day():
    """It only asks how wet they are then: a board that follows its species is as wet as it is simulated."""
    shown = {"A": course(), "B": course(1.5)}
    build = START + timedelta(days=40)
    without, told = answer(log(shown)), answer(log(shown), build=build)
    for name in ("ready_even_on", "ready_likely_on", "mc_now_pct"):
        days, other = ([getattr(row, name) for row in each.results.boards] for each in (told, without))
        assert days == other
    assert without.results.mc_at_build_pct is None
    (true,) = course(days=(40,))
    row = boards_of_answer(told)["A"].mc_at_build_pct
    assert row.low < true < row.high
    assert row.expected == pytest.approx(true, abs=0.35)
    # A build date of long ago, or beyond what is followed, asks nothing.
    for other in (START - timedelta(days=1), START + timedelta(days=800)):
        assert answer(log(shown), build=other).results.mc_at_build_pct is None


def test_nobody_is_told_of_a_day_that_is_over():
    shown = {"A": course(2.0), "B": course()}
    early = boards_of_answer(answer(log(shown)))
    later = START + timedelta(days=90)
    found = answer(log(shown), today=later)
    rows = boards_of_answer(found)
    assert early["A"].ready_even_on < later
    for row in rows.values():
        assert later <= row.ready_even_on <= row.ready_likely_on
        assert row.days_left.low >= 0
    assert found.results.ready_even_on >= later
    # And of today it says how wet they are today.
    assert rows["A"].mc_now_pct.expected < early["A"].mc_now_pct.expected


def test_one_seed_gives_one_answer():
    readings = log({"A": course()})
    assert answer(readings) == answer(readings)


def test_a_reading_that_does_not_fit_is_told_by_line_and_hardly_counts():
    shown = course()
    spoilt = [*shown[:2], shown[2] + 7.0, shown[3]]
    found = answer(log({"A": spoilt}))
    (note,) = (note for note in found.warnings if note.code == "ODD_READING")
    assert note.values["line"] == 4
    good = boards_of_answer(answer(log({"A": shown})))["A"].days_left
    bad = boards_of_answer(found)["A"].days_left
    assert bad.expected == pytest.approx(good.expected, rel=0.25)
    assert "ODD_READING" not in codes(answer(log({"A": shown})))


def test_a_board_unlike_its_pile_is_told():
    odd = [mc + 4.0 for mc in course()]
    found = answer(log({"A": course(), "B": course(start=15.3), "C": course(), "odd": odd}))
    assert {n.values["board"] for n in found.warnings if n.code == "UNLIKE_ITS_PILE"} == {"odd"}
    assert "UNLIKE_ITS_PILE" not in codes(answer(log({"A": course(), "B": course(1.3), "C": course(0.8)})))


def test_air_that_never_brings_it_to_target_is_told_with_the_air_that_would():
    found = answer(log({"A": course(emc_pct=12.0)}), air=air(12.0), goal=Goal(7.0, "as told", told=True))
    (note,) = (note for note in found.warnings if note.code == "NEVER_READY")
    assert note.values["rh_pct"] == pytest.approx(float(rh_for_mc_pct(20.0, 7.0)), abs=0.1)
    row = boards_of_answer(found)["A"]
    assert row.ready_even_on is None
    assert row.days_left is None


def test_weights_tell_how_fast_and_give_a_target_weight():
    dry = 1000.0
    days = (0, *DAYS)
    means = [15.0, *course(2.0)]
    rows = [Reading(None, START, "A", 15.0, line=2)] + [
        Reading(None, START + timedelta(days=d), "A", weight_g=dry * (1 + mc / 100), line=3 + i)
        for i, (d, mc) in enumerate(zip(days, means, strict=True))
    ]
    found = answer(ReadingsLog("readings.csv", tuple(rows)))
    row = boards_of_answer(found)["A"]
    metered = boards_of_answer(answer(log({"A": course(2.0)})))["A"].speed_ratio
    # A scale tells more than a meter.
    assert row.speed_ratio.high - row.speed_ratio.low < metered.high - metered.low
    assert row.speed_ratio.low <= 2.0 <= row.speed_ratio.high
    assert row.target_weight_g.low <= dry * 1.07 <= row.target_weight_g.high
    assert "OVEN" in [caution.code for caution in found.cautions]
    assert row.mc_now_pct.low <= means[-1] <= row.mc_now_pct.high


def oven_dry(board: str, day: int, mc: float, **more) -> Reading:
    """A slice of 46 g, oven-dry."""
    row = {"weight_g": 46.0 * (1 + mc / 100), "dry_g": 46.0, "kind": OVEN_DRY, "line": 90} | more
    return Reading(None, START + timedelta(days=day), board, **row)


def sd(found: Range) -> float:
    return (found.high - found.low) / (2 * 1.645)


def test_a_slice_dried_in_the_oven_tells_its_board_to_three_tenths_of_a_point():
    shown = 11.4
    last = START + timedelta(days=5)
    metered, dried = (
        boards_of_answer(answer(ReadingsLog("log.csv", rows), today=last))["A"].mc_now_pct
        for rows in (log({"A": [shown]}, days=(5,)).readings, (oven_dry("A", 5, shown),))
    )
    assert sd(dried) <= 0.32 < 0.6 < sd(metered)
    assert dried.expected == pytest.approx(shown, abs=0.25)


def test_a_slice_of_one_board_checks_the_meter_for_all():
    """The meter reads two points too high, and the slice of A tells it: B is drier than it shows, as A is."""
    rows = log({"A": [12.0, 12.0, 12.0], "B": [12.0, 12.0, 12.0]}, days=(5, 5, 5)).readings
    today = START + timedelta(days=5)
    without = boards_of_answer(answer(ReadingsLog("log.csv", rows), today=today, start_told=False))
    found = answer(ReadingsLog("log.csv", (*rows, oven_dry("A", 5, 10.0))), today=today, start_told=False)
    checked = boards_of_answer(found)
    assert checked["A"].mc_now_pct.expected == pytest.approx(10.1, abs=0.3)
    assert checked["B"].mc_now_pct.expected < without["B"].mc_now_pct.expected - 0.6
    assert "UNLIKE_ITS_PILE" not in codes(found)


def test_an_offcut_tells_where_this_wood_ends_for_lumber_and_goal_alike():
    """In steady air of 7 % lumber that dries ends at 7.4 %: an offcut at 8.4 % is a point above. Of a prior
    of 0.52 and an offcut of 0.36 the mean is 0.52² / (0.52² + 0.36²) = 0.67 of that point, SD 0.30."""
    rows = log({"A": course()}).readings
    offcuts = ((), (oven_dry("offcut", 20, 8.4, kind=OFFCUT),))
    build = START + timedelta(days=700)
    plain, told = (answer(ReadingsLog("log.csv", (*rows, *offcut)), build=build) for offcut in offcuts)
    assert set(boards_of_answer(told)) == {"A"}
    late, later = plain.results.mc_at_build_pct, told.results.mc_at_build_pct
    assert sd(late) == pytest.approx(0.52, abs=0.06)
    assert sd(later) == pytest.approx(0.30, abs=0.05)
    assert later.expected - late.expected == pytest.approx(0.67, abs=0.12)


def test_a_week_of_a_room_that_nobody_logged_tells_less():
    steady, roomy = air(), replace(air(), sd_points=0.75)
    row = oven_dry("offcut", 20, 8.4, kind=OFFCUT)
    (logged,), (told,) = (
        advice.offcuts_of(ReadingsLog("log.csv", (row,)), START, one) for one in (steady, roomy)
    )
    assert logged.sd_points < told.sd_points


def test_pins_in_the_core_read_wetter_than_the_mean():
    """The same readings, taken for the core or for the shell, mean a drier or a wetter board."""
    shown = course()
    core, mean, shell = (
        boards_of_answer(answer(log({"A": shown}, depth_mm=depth)))["A"].mc_now_pct.expected
        for depth in (19.0, 8.0, 1.0)
    )
    assert core < mean < shell


def test_cold_wood_reads_low_and_is_corrected():
    """Half a point for each 5.6 °C below 21.1 °C."""
    cold, warm = (
        latest_mc(log({"A": [12.0] * 4}, wood_temp_c=temp), PIN, "northern-red-oak", 3)[0]
        for temp in (9.9, 21.1)
    )
    assert warm == pytest.approx(12.0)
    assert cold == pytest.approx(13.0, abs=0.01)


def test_an_unknown_setting_widens_the_doubt():
    readings = log({"A": course()})
    told = boards_of_answer(answer(readings))["A"].mc_now_pct
    wrong = answer(readings, instrument=Instrument(PIN.meter, "douglas-fir-coast"))
    row = boards_of_answer(wrong)["A"].mc_now_pct
    assert row.high - row.low > 1.1 * (told.high - told.low)
    assert "UNKNOWN_PAIR" in [note.code for note in wrong.assumptions]


def test_without_a_start_the_first_readings_say_so():
    found = answer(log({"A": course()}), start_told=False)
    assert "START" in [note.code for note in found.assumptions]


@pytest.mark.parametrize(
    ("readings", "code"),
    [
        (ReadingsLog("readings.csv", ()), "NO_READINGS"),
        (
            ReadingsLog("readings.csv", (Reading(1, date(2026, 11, 1), "A", 12.0, line=2),)),
            "BEFORE_THE_START",
        ),
    ],
)
def test_what_cannot_be_forecast(readings, code):
    with pytest.raises(Refusal) as fault:
        answer(readings)
    assert fault.value.code == code
    assert fault.value.instead


# The logged air.


def series(days: int, first: str = "2026-12-01", temp: float = 20.0, rh: float = 40.0) -> AirSeries:
    times = np.datetime64(first, "s") + np.arange(24 * days) * np.timedelta64(3600, "s")
    swing = 8.0 * np.sin(np.arange(24 * days) * 2 * np.pi / 24)
    return AirSeries(times, np.full(24 * days, temp), rh + swing)


def test_logged_air_is_averaged_by_the_day_and_then_held():
    found = logged_air(series(30), START, None)
    temp, emc = found.at(np.array([0.5, 10.0, 29.0, 300.0]))
    assert np.ptp(temp) < 1e-9
    assert np.ptp(emc) < 1e-6
    assert "last two weeks" in found.words


def test_after_the_log_the_options_go_on():
    found = logged_air(series(30), START, Air.steady(25.0, 60.0))
    assert found.at(np.array([10.0]))[0][0] == pytest.approx(20.0)
    assert found.at(np.array([100.0]))[0][0] == pytest.approx(25.0)


def test_a_log_that_ends_before_the_start():
    with pytest.raises(Refusal, match="before the lumber"):
        logged_air(series(10, "2026-10-01"), START, None)


def test_quantiles_of_weighted_draws():
    values = np.arange(1001.0)
    even = np.full(1001, 1 / 1001)
    assert quantiles(values, even, (0.05, 0.5, 0.95)) == pytest.approx([50, 500, 950], abs=0.6)
    # Twice the weight is the same as standing there twice.
    weight = np.where(values < 500, 2.0, 1.0)
    expected = np.quantile(np.concatenate((values, values[:500])), 0.5)
    assert quantiles(values, weight / weight.sum(), (0.5,))[0] == pytest.approx(expected, abs=1.0)


def test_the_noise_and_the_bias_are_those_of_the_table_of_doubts():
    assert doubt.METER_NOISE.sd == campaign.NOISE_SD
    assert doubt.METER_BIAS.sd == pytest.approx(campaign.BIAS_SD)
