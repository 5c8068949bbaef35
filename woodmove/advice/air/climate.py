"""What is the air of this place, outdoors and in the room, and what does it make of wood?"""

from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np

from woodmove.contract.notes import Assumption, Warning
from woodmove.contract.untyped import UntypedAnswer
from woodmove.domain.air import MonthlyAir
from woodmove.domain.climate import MONTHS, Climate, Room
from woodmove.domain.season import Season
from woodmove.physics.sorption import EMC_TEMP_RANGE


def listing(climates: Iterable[tuple[Climate, str]]) -> UntypedAnswer:
    """Every place.

    :param climates: each with the name of its provider
    """
    rows = [
        {"key": climate.key, "name": climate.name, "region": climate.region, "provider": provider}
        for climate, provider in climates
    ]
    return UntypedAnswer("climate list", {}, {"places": rows})


def show(climate: Climate, room: Room, inputs: Mapping[str, Any]) -> UntypedAnswer:
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
                validity=room.indoor == "open",
            ),
        )
    return UntypedAnswer(
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
        assumptions=(*season.assumptions, *_assumptions(climate, room)),
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
    if room.indoor == "conditioned" and room.dehumidify_to_pct is None:
        notes.append(
            Assumption(
                "COOLING_DRIES",
                "The cooling is taken to hold the room at or below {rh_pct} RH.",
                {"rh_pct": room.upper_rh_pct},
            )
        )
    return tuple(notes)
