"""How wet will wood become in this air, and which air holds it where it is?"""

from typing import TYPE_CHECKING, Annotated

import numpy as np

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.contract.answer import Answer, Table, Verdict
from woodmove.contract.notes import Warning, note
from woodmove.contract.quantity import HUMIDITY, MOISTURE, TEMPERATURE
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal
from woodmove.contract.shown import Shown, results
from woodmove.physics import air
from woodmove.physics.arrays import Array, FloatOrArray, in_blocks
from woodmove.physics.sorption import (
    DRYING_ENDS_POINTS,
    EMC_RH_RANGE,
    EMC_TEMP_RANGE,
    GAINING_ENDS_POINTS,
    HYSTERESIS_RH_RANGE,
    HYSTERESIS_TEMP_RANGE,
    emc_drying_pct,
    emc_pct,
    emc_wetting_pct,
    rh_for_mc_pct,
)
from woodmove.physics.validity import Validity

if TYPE_CHECKING:
    from woodmove.domain.climate import AirTable

SOURCES = ("simpson-1973", "fpl-gtr-282")
LOOP_SOURCES = ("skaar-siau", "maas-wittel-2026", "wengert-storage")
GRID_TEMP_C = np.arange(0.0, 41.0, 5.0)
GRID_RH_PCT = np.arange(20, 91, 10)


def rh_of_air_pct(
    temp_c: float, rh_pct: float | None, dew_point_c: float | None, wet_bulb_c: float | None
) -> float:
    """Relative humidity [%] from whichever one of the three is given.

    :raises Refusal: none given, two given, or a combination that no air can have
    """
    given = [name for name, value in
             (("rh_pct", rh_pct), ("dew_point_c", dew_point_c), ("wet_bulb_c", wet_bulb_c))
             if value is not None]  # fmt: skip
    if len(given) != 1:
        raise Refusal(
            "HUMIDITY_TWICE" if given else "NO_HUMIDITY",
            "The humidity is given more than once." if given else "Nothing says how humid the air is.",
            "Besides the temperature, exactly one of RH, dew point and wet bulb is needed.",
            "Type --temp 70F --rh 50, for example.",
            fields=given or ("rh_pct", "temp_c"),
            exit_code=2,
        )
    try:
        if dew_point_c is not None:
            return float(air.rh_from_dew_point_pct(temp_c, dew_point_c))
        if wet_bulb_c is not None:
            return float(air.rh_from_wet_bulb_pct(temp_c, wet_bulb_c))
    except ValueError as problem:
        raise Refusal(
            "IMPOSSIBLE_AIR",
            f"No air is like that: {problem}.",
            "Dew point and wet bulb lie at or below the temperature.",
            "Check the readings and their units: 70F is 70 °F, 21C is 21 °C.",
            fields=(*given, "temp_c"),
        ) from None
    assert rh_pct is not None
    return rh_pct


@results
class OfAir:
    """What air does to wood."""

    temp_c: Annotated[float, Shown("temperature", TEMPERATURE)]
    rh_pct: Annotated[float, Shown("relative humidity", HUMIDITY)]
    emc_pct: Annotated[float, Shown("EMC", MOISTURE, "headline")]
    emc_drying_pct: Annotated[float, Shown("wood that dries stops at", MOISTURE, "key")]
    emc_wetting_pct: Annotated[float, Shown("wood that gains stops at", MOISTURE, "key")]
    board_mc_pct: Annotated[Range, Shown("a board that lay here for long", MOISTURE, "key")]


@results
class Holding:
    """Which air holds wood where it is."""

    temp_c: Annotated[float, Shown("temperature", TEMPERATURE)]
    mc_pct: Annotated[float, Shown("moisture content", MOISTURE)]
    rh_pct: Annotated[float, Shown("relative humidity to hold", HUMIDITY, "headline")]
    rh_drying_pct: Annotated[float | None, Shown("for wood that has been drying", HUMIDITY, "key")]
    rh_wetting_pct: Annotated[float | None, Shown("for wood that has been gaining", HUMIDITY, "key")]


@results
class Grid:
    """EMC over temperature and humidity."""

    grid: Annotated[Table, Shown("EMC at each temperature and RH", None, "key")]


@results
class OfReadings:
    """What the air of many readings does to wood."""

    row_count: Annotated[int, Shown("readings")]
    mean_emc_pct: Annotated[float, Shown("EMC of their mean", MOISTURE, "headline")]
    rows: Annotated[Table, Shown("readings", None, "key")]


COMES_TO = note("COMES_TO", "Wood left in this air for weeks comes to {emc_pct}.", emc_pct=MOISTURE)
HOLD = note("HOLD", "Hold the air at {rh_pct} RH to keep wood at {mc_pct}.", rh_pct=HUMIDITY, mc_pct=MOISTURE)
FOR_THE_WALL = note("FOR_THE_WALL", "Find your air: the number is what wood comes to in it.")
MEAN_COUNTS = note(
    "MEAN_COUNTS", "Wood follows the mean of weeks, not a reading: it comes to {emc_pct}.", emc_pct=MOISTURE
)


def of_air(temp_c: float, rh_pct: float, draws: Draws) -> Answer[OfAir]:
    """EMC of air at `temp_c` [°C] and `rh_pct` [%], with the two sides of the loop."""
    middle = float(emc_pct(temp_c, rh_pct))
    return Answer(
        Verdict("know", (COMES_TO(emc_pct=middle),)),
        OfAir(
            temp_c=temp_c,
            rh_pct=rh_pct,
            emc_pct=middle,
            emc_drying_pct=float(emc_drying_pct(middle)),
            emc_wetting_pct=float(emc_wetting_pct(middle)),
            board_mc_pct=draws.range(_board(temp_c, rh_pct, draws)),
        ),
        _outside(*_ranges(temp_c, rh_pct)),
        (*SOURCES, *LOOP_SOURCES),
    )


def _board(temp_c: float, rh_pct: float, draws: Draws) -> Array:
    """What a board that has lain in this air for long would hold [%], by hygrometer and thermometer."""
    temp = temp_c + draws.deviation(doubt.THERMOMETER)
    rh = np.clip(rh_pct + draws.deviation(doubt.HYGROMETER), 0.0, 100.0)
    return np.maximum(emc_pct(temp, rh) + draws.deviation(doubt.SORPTION), 0.0)


def holding_humidity(temp_c: float, mc_pct: float) -> Answer[Holding]:
    """RH that holds wood at `mc_pct` [%] in air of `temp_c` [°C].

    :raises Refusal: a moisture content that no humidity can hold
    """
    highest = float(emc_pct(temp_c, 100.0))
    if mc_pct > highest:
        raise Refusal(
            "NO_HUMIDITY_HOLDS",
            f"No humidity holds wood at {mc_pct:g} % at {temp_c:.0f} °C: even saturated air only "
            f"brings it to {highest:.1f} %.",
            "Wetter wood is green: it dries in any air.",
            f"Type a moisture content of at most {highest:.0f}.",
            fields=("mc_pct",),
        )
    humidity = float(rh_for_mc_pct(temp_c, mc_pct))

    def side(off: float) -> float | None:
        # On the drying side the EMC lies lower than the wood, on the wetting side higher.
        held = mc_pct - off
        return float(rh_for_mc_pct(temp_c, held)) if 0.0 <= held <= highest else None

    return Answer(
        Verdict("know", (HOLD(rh_pct=humidity, mc_pct=mc_pct),)),
        Holding(
            temp_c=temp_c,
            mc_pct=mc_pct,
            rh_pct=humidity,
            rh_drying_pct=side(DRYING_ENDS_POINTS),
            rh_wetting_pct=side(GAINING_ENDS_POINTS),
        ),
        _outside(*_ranges(temp_c, humidity)),
        (*SOURCES, *LOOP_SOURCES),
    )


def grid() -> Answer[Grid]:
    """EMC over temperature and humidity, for the wall of the shop."""
    values = np.asarray(emc_pct(GRID_TEMP_C[:, None], GRID_RH_PCT[None, :].astype(float)))
    columns = {"temp_c": Shown("temperature", TEMPERATURE)} | {
        f"rh_{rh}_pct": Shown(f"{rh} % RH", MOISTURE) for rh in GRID_RH_PCT
    }
    rows = tuple((float(temp), *row) for temp, row in zip(GRID_TEMP_C.tolist(), values.tolist(), strict=True))
    return Answer(Verdict("know", (FOR_THE_WALL(),)), Grid(grid=Table(columns, rows)), sources=SOURCES)


def of_table(table: "AirTable") -> Answer[OfReadings]:
    """The rows of a table of readings, each with its EMC. One reading is not the air that wood lives in:
    wood follows the mean of weeks."""
    middle = in_blocks(emc_pct, table.temp_c, table.rh_pct).tolist()
    mean = float(emc_pct(float(table.temp_c.mean()), float(table.rh_pct.mean())))
    # Their own headings stay as they are, and so do their cells.
    columns = {name: Shown(name) for name in table.rows[0]} | {"emc_pct": Shown("EMC", MOISTURE)}
    rows = tuple((*row.values(), value) for row, value in zip(table.rows, middle, strict=True))
    return Answer(
        Verdict("know", (MEAN_COUNTS(emc_pct=mean),)),
        OfReadings(row_count=len(rows), mean_emc_pct=mean, rows=Table(columns, rows)),
        (
            *table.warnings,
            *_outside((EMC_TEMP_RANGE, table.temp_c), (EMC_RH_RANGE, table.rh_pct)),
        ),
        SOURCES,
    )


def _ranges(temp_c: float, rh_pct: float) -> tuple[tuple[Validity, FloatOrArray], ...]:
    return (
        (EMC_TEMP_RANGE, temp_c),
        (EMC_RH_RANGE, rh_pct),
        (HYSTERESIS_RH_RANGE, rh_pct),
        (HYSTERESIS_TEMP_RANGE, temp_c),
    )


def _outside(*checks: tuple[Validity, FloatOrArray]) -> tuple[Warning, ...]:
    return tuple(
        Warning(
            "OUTSIDE_RANGE",
            f"{validity.relation}: outside the stated {validity.low:g} to {validity.high:g} "
            f"{validity.unit}; extrapolated.",
            validity=True,
        )
        for validity, value in checks
        if validity.outside(value)
    )
