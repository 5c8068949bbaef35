"""What is the air of this place, outdoors and in the room, and what does it make of wood?"""

from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np

from woodmove.advice.doubt.inputs import BOUND_90
from woodmove.contract.answer import Answer
from woodmove.contract.notes import Assumption, Warning, assumption
from woodmove.contract.quantity import HUMIDITY, POINTS, TEMPERATURE
from woodmove.domain.air import MonthlyAir
from woodmove.domain.climate import MONTHS, Climate
from woodmove.domain.room import KINDS, Room
from woodmove.domain.season import Season
from woodmove.physics.sorption import EMC_TEMP_RANGE

ROOM = assumption(
    "ROOM",
    "Room: {room} ({words}). Such rooms differ by up to {within_points} of EMC: log yours.",
    room=None, words=None, within_points=POINTS,
)  # fmt: skip
WINTER_GUESSED = assumption(
    "WINTER_GUESSED",
    "Nobody said how warm it is in winter: {temp_c} is assumed, {cooler_c} to {warmer_c} is common. Measure "
    "it first: --heat-to.",
    temp_c=TEMPERATURE, cooler_c=TEMPERATURE, warmer_c=TEMPERATURE,
)  # fmt: skip
COOLING_DRIES = assumption(
    "COOLING_DRIES", "The room is assumed to stay at or below {rh_pct} RH.", rh_pct=HUMIDITY
)


def listing(climates: Iterable[tuple[Climate, str]]) -> Answer:
    """Every place.

    :param climates: each with the name of its provider
    """
    rows = [
        {"key": climate.key, "name": climate.name, "region": climate.region, "provider": provider}
        for climate, provider in climates
    ]
    return Answer("climate list", {}, {"places": rows})


def show(climate: Climate, room: Room, inputs: Mapping[str, Any]) -> Answer:
    """The air of a place by month, outdoors and in a room, and the EMC of both."""
    room = climate.room(room)
    season = Season.in_room(climate, room)
    assert season.room_air is not None
    warnings = (*air_warnings(season), *freezing_room(climate))
    if EMC_TEMP_RANGE.outside(climate.air().temp_c) and not any(w.validity for w in warnings):
        warnings += (
            Warning(
                "OUTSIDE_EMC_RANGE",
                "Outdoors, some months are colder than {low_c}, where the EMC table begins: "
                "their EMC is extrapolated.",
                {"low_c": EMC_TEMP_RANGE.low},
                # Indoors nothing depends on it.
                validity=room.kind == "open",
            ),
        )
    return Answer(
        "climate show",
        inputs,
        {
            "key": climate.key,
            "name": climate.name,
            "region": climate.region,
            "country": climate.country or None,
            "station": climate.station,
            "latitude_deg": climate.latitude_deg,
            "longitude_deg": climate.longitude_deg,
            "period": climate.period,
            "status": climate.known.status.value,
            "driest_month": MONTHS[(season.driest_month or 1) - 1],
            "dampest_month": MONTHS[(season.dampest_month or 1) - 1],
            "indoor_emc_low_pct": season.low_pct,
            "indoor_emc_high_pct": season.high_pct,
            "outdoor": [] if climate.indoors else _rows(climate.air()),
            "indoor": _rows(season.room_air),
        },
        warnings=warnings,
        assumptions=(*season.assumptions, *room_assumptions(climate, room), *_assumptions(climate, room)),
        sources=season.sources,
    )


def air_warnings(season: Season) -> tuple[Warning, ...]:
    """What to know about the air of a season."""
    notes = list(season.warnings)
    if season.saturated_months:
        notes.append(
            Warning(
                "AIR_SATURATED",
                "In {count} month(s) the room would exceed 100 % RH: water condenses there. "
                "Held at 100 %; a dehumidifier or more heat is needed.",
                {"count": len(season.saturated_months)},
            )
        )
    for validity in season.outside:
        notes.append(
            Warning(
                "OUTSIDE_EMC_RANGE",
                f"Some months lie outside {validity.low:g} to {validity.high:g} {validity.unit}, "
                "where the EMC table ends: their EMC is extrapolated.",
                validity=True,
            )
        )
    return tuple(notes)


def freezing_room(climate: Climate) -> tuple[Warning, ...]:
    """What to know of a room that is colder than rooms are wont to be: it may be outdoor air."""
    cold = [MONTHS[month] for month in np.flatnonzero(climate.air().temp_c < 0.0)]
    if not (climate.indoors and cold):
        return ()
    return (
        Warning(
            "FREEZING_ROOM",
            "{place} is below freezing in {months}, and is taken for a room. If this is outdoor air, make "
            "the place anew with woodmove climate add NAME --outdoors.",
            {"place": climate.name, "months": ", ".join(cold)},
        ),
    )


def _rows(air: MonthlyAir) -> list[dict[str, Any]]:
    return [
        {"month": month, "temp_c": temp, "rh_pct": rh, "emc_pct": emc}
        for month, temp, rh, emc in zip(MONTHS, air.temp_c, air.rh_pct, air.emc_pct, strict=True)
    ]


def room_assumptions(climate: Climate, room: Room) -> tuple[Assumption, ...]:
    """What kind of room was assumed, and what of it was guessed."""
    kind = KINDS[room.kind]
    if climate.indoors or kind.words == "":
        return ()
    notes = [ROOM(room=room.kind, words=kind.words, within_points=BOUND_90 * room.sd_points(climate.air()))]
    if room.winter_sd_c:
        notes.append(
            WINTER_GUESSED(
                temp_c=room.heated_to_c,
                cooler_c=(room.heated_to_c or 0.0) - room.winter_sd_c,
                warmer_c=(room.heated_to_c or 0.0) + room.winter_sd_c,
            )
        )
    return tuple(notes)  # fmt: skip


def _assumptions(climate: Climate, room: Room) -> tuple[Assumption, ...]:
    notes = [
        Assumption(
            "MONTHLY_MEANS",
            "EMC is that of the monthly mean air: wood does not follow the day. {remark}",
            {"remark": climate.known.remark},
        )
    ]
    if room.moisture_gain is not None:
        notes.append(
            Assumption(
                "MOISTURE_GAIN",
                "The room adds vapour like the upper limit of ISO 13788 class {moisture_gain} (memory).",
                {"moisture_gain": room.moisture_gain},
            )
        )
    if KINDS[room.kind].at_most_pct is not None and room.dehumidify_to_pct is None:
        notes.append(COOLING_DRIES(rh_pct=room.upper_rh_pct))
    return tuple(notes)
