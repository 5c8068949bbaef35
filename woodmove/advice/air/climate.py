"""What is the air of this place, outdoors and in the room, and what does it make of wood?"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Annotated

import numpy as np

from woodmove.advice.doubt.inputs import BOUND_90
from woodmove.contract.answer import Answer, Verdict
from woodmove.contract.notes import Assumption, Note, Warning, assumption, note, warning
from woodmove.contract.quantity import ANGLE, HUMIDITY, MOISTURE, POINTS, TEMPERATURE, VAPOUR
from woodmove.contract.shown import Shown, results
from woodmove.domain.air import MonthlyAir
from woodmove.domain.climate import MONTHS, Climate
from woodmove.domain.room import Room
from woodmove.domain.season import Season
from woodmove.domain.stay import Stay, day_words, moves
from woodmove.physics.sorption import EMC_TEMP_RANGE


@results
class PlaceRow:
    """A place of the list."""

    key: Annotated[str, Shown("key", None, "key")]
    name: Annotated[str, Shown("name", None, "key")]
    region: Annotated[str, Shown("region", None, "key")]
    provider: Annotated[str, Shown("plugin")]


@results
class Places:
    """The places that there are."""

    places: Annotated[tuple[PlaceRow, ...], Shown("places", None, "key")]


@results
class MonthOfAir:
    """The air of a month, and what it holds wood at."""

    month: Annotated[str, Shown("month", None, "key")]
    outdoor_c: Annotated[float | None, Shown("outdoors", TEMPERATURE, "key")]
    outdoor_rh_pct: Annotated[float | None, Shown("RH", HUMIDITY, "key")]
    outdoor_emc_pct: Annotated[float | None, Shown("EMC", MOISTURE, "key")]
    indoor_c: Annotated[float, Shown("indoors", TEMPERATURE, "key")]
    indoor_rh_pct: Annotated[float, Shown("RH", HUMIDITY, "key")]
    indoor_emc_pct: Annotated[float, Shown("EMC", MOISTURE, "key")]


@results
class LaterRoom:
    """A room that the top moves to."""

    day: Annotated[date, Shown("from", None, "key")]
    room: Annotated[str, Shown("room", None, "key")]
    mean_emc_pct: Annotated[float, Shown("wood there, the year's mean", MOISTURE, "key")]
    low_emc_pct: Annotated[float, Shown("driest month", MOISTURE, "key")]
    high_emc_pct: Annotated[float, Shown("dampest month", MOISTURE, "key")]


@results
class AirOfPlace:
    """The air of a place through its year, outdoors and in a room."""

    mean_emc_pct: Annotated[float, Shown("wood here, the year's mean", MOISTURE, "headline")]
    indoor_emc_low_pct: Annotated[float, Shown("driest month", MOISTURE, "key")]
    indoor_emc_high_pct: Annotated[float, Shown("dampest month", MOISTURE, "key")]
    key: Annotated[str, Shown("place")]
    name: Annotated[str, Shown("name", None, "key")]
    region: Annotated[str | None, Shown("region")]
    country: Annotated[str | None, Shown("country")]
    station: Annotated[str, Shown("station")]
    latitude_deg: Annotated[float | None, Shown("latitude", ANGLE)]
    longitude_deg: Annotated[float | None, Shown("longitude", ANGLE)]
    period: Annotated[str, Shown("period")]
    status: Annotated[str, Shown("status")]
    driest_month: Annotated[str, Shown("driest month")]
    dampest_month: Annotated[str, Shown("dampest month")]
    months: Annotated[tuple[MonthOfAir, ...], Shown("the air by month", None, "key")]
    room: Annotated[str, Shown("room")]
    later_rooms: Annotated[tuple[LaterRoom, ...], Shown("rooms that the top moves to")]


PICK_A_PLACE = note("PICK_A_PLACE", "Take the nearest of {count} places, or log your own room for two weeks.",
                    count=None)  # fmt: skip
LIVES_BETWEEN = note(
    "LIVES_BETWEEN", "Wood in this {room} lives between {low_pct} ({driest}) and {high_pct} ({dampest}).",
    room=None, low_pct=MOISTURE, high_pct=MOISTURE, driest=None, dampest=None,
)  # fmt: skip
LATER_BETWEEN = note(
    "LATER_BETWEEN", "From {day} on the top stands in the {room}, between {low_pct} and {high_pct}.",
    day=None, room=None, low_pct=MOISTURE, high_pct=MOISTURE,
)  # fmt: skip
STAYS_NEAR = note(
    "STAYS_NEAR", "Wood in this {room} stays near {mean_pct} all year.", room=None, mean_pct=MOISTURE
)
# A season's swing that no meter shows (status: judgement).
STEADY_POINTS = 0.5
COLDER = (
    "Outdoors, some months are colder than {low_c}, where the EMC table begins: their EMC is extrapolated."
)
OUTDOORS_TOO_COLD = warning("OUTSIDE_EMC_RANGE", COLDER, low_c=TEMPERATURE)
OUTDOORS_IN_AN_OPEN_ROOM = warning("OUTSIDE_EMC_RANGE", COLDER, validity=True, low_c=TEMPERATURE)
AIM_FOR = note("AIM_FOR", "Aim for {mean_pct}, the year's mean.", mean_pct=MOISTURE)


ROOM = assumption(
    "ROOM",
    "Room: {room} ({words}). Such rooms differ by up to {within_points} of EMC: log yours.",
    room=None, words=None, within_points=POINTS,
)  # fmt: skip
ADDS_VAPOUR = assumption(
    "ADDS_VAPOUR",
    "Life in it adds {gain_kpa} of vapour at {cold_c} outdoors and below, and less the warmer it is (from "
    "the classes of ISO 13788, memory). RH outdoors is over water, below freezing too.",
    gain_kpa=VAPOUR, cold_c=TEMPERATURE,
)  # fmt: skip
COOLING_DRIES = assumption(
    "COOLING_DRIES", "The room is assumed to stay at or below {rh_pct} RH.", rh_pct=HUMIDITY
)


def listing(climates: Iterable[tuple[Climate, str]]) -> Answer[Places]:
    """Every place.

    :param climates: each with the name of its provider
    """
    rows = tuple(
        PlaceRow(
            key=climate.key, name=climate.name, region=climate.region or climate.country, provider=provider
        )
        for climate, provider in climates
    )
    return Answer(Verdict("know", (PICK_A_PLACE(count=len(rows)),)), Places(places=rows))


def show(climate: Climate, room: Room, later: Sequence[Stay] = ()) -> Answer[AirOfPlace]:
    """The air of a place by month, outdoors and in a room, and the EMC of both.

    :param later: the rooms that the top moves to
    """
    stays = (Stay(climate, room), *later)
    season, room = Season.in_room(climate, room), climate.room(room)
    assert season.room_air is not None
    warnings = (*air_warnings(season), *freezing_room(climate))
    if EMC_TEMP_RANGE.outside(climate.air().temp_c) and not any(w.validity for w in warnings):
        # Indoors nothing depends on it.
        found = OUTDOORS_IN_AN_OPEN_ROOM if room.kind == "open" else OUTDOORS_TOO_COLD
        warnings += (found(low_c=EMC_TEMP_RANGE.low),)
    driest, dampest = (MONTHS[(number or 1) - 1] for number in (season.driest_month, season.dampest_month))
    found = AirOfPlace(
        mean_emc_pct=season.mean_pct,
        indoor_emc_low_pct=season.low_pct,
        indoor_emc_high_pct=season.high_pct,
        key=climate.key,
        name=climate.name,
        region=climate.region or None,
        country=climate.country or None,
        station=climate.station,
        latitude_deg=climate.latitude_deg,
        longitude_deg=climate.longitude_deg,
        period=climate.period,
        status=climate.known.status.value,
        driest_month=driest,
        dampest_month=dampest,
        months=tuple(_months(None if climate.indoors else climate.air(), season.room_air)),
        room=room.of_kind.noun,
        later_rooms=tuple(_later(stays)),
    )
    return Answer(
        Verdict("know", (*card(found), AIM_FOR(mean_pct=season.mean_pct))),
        found,
        (
            *moves(stays, [stay.season for stay in stays]),
            *warnings,
            *season.assumptions,
            *room_assumptions(climate, room),
            *_assumptions(climate, room),
        ),
        season.sources,
    )


def _later(stays: Sequence[Stay]) -> Iterator[LaterRoom]:
    for stay in stays[1:]:
        assert stay.start is not None
        year = stay.season
        yield LaterRoom(
            day=stay.start,
            room=stay.named(stays),
            mean_emc_pct=year.mean_pct,
            low_emc_pct=year.low_pct,
            high_emc_pct=year.high_pct,
        )


def card(found: AirOfPlace) -> Iterator[Note]:
    """Between which moisture contents wood lives, where a meter can tell these apart, in each room."""
    low, high = found.indoor_emc_low_pct, found.indoor_emc_high_pct
    if high - low < STEADY_POINTS:
        yield STAYS_NEAR(room=found.room, mean_pct=found.mean_emc_pct)
    else:
        yield LIVES_BETWEEN(
            room=found.room,
            low_pct=low,
            high_pct=high,
            driest=found.driest_month,
            dampest=found.dampest_month,
        )
    for room in found.later_rooms:
        yield LATER_BETWEEN(
            day=day_words(room.day), room=room.room, low_pct=room.low_emc_pct, high_pct=room.high_emc_pct
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
            "the place anew with woodmove climate add NAME FILE --outdoors.",
            {"place": climate.name, "months": ", ".join(cold)},
        ),
    )


def _months(outdoor: MonthlyAir | None, indoor: MonthlyAir) -> Iterator[MonthOfAir]:
    def of(air: MonthlyAir | None, number: int) -> tuple[float, float, float] | tuple[None, None, None]:
        if air is None:
            return None, None, None
        return float(air.temp_c[number]), float(air.rh_pct[number]), float(air.emc_pct[number])

    for number, month in enumerate(MONTHS):
        temp, rh, emc = of(outdoor, number)
        yield MonthOfAir(
            month=month,
            outdoor_c=temp,
            outdoor_rh_pct=rh,
            outdoor_emc_pct=emc,
            indoor_c=float(indoor.temp_c[number]),
            indoor_rh_pct=float(indoor.rh_pct[number]),
            indoor_emc_pct=float(indoor.emc_pct[number]),
        )


def room_assumptions(climate: Climate, room: Room) -> tuple[Assumption, ...]:
    """What kind of room was assumed, and what of it was guessed."""
    kind = room.of_kind
    if climate.indoors:
        return ()
    notes = [ROOM(room=room.kind, words=kind.words, within_points=BOUND_90 * room.sd_points(climate.air()))]
    if room.gain_kpa:
        notes.append(ADDS_VAPOUR(gain_kpa=room.gain_kpa, cold_c=0.0))
    return tuple(notes)


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
    if room.of_kind.at_most_pct is not None and room.dehumidify_to_pct is None:
        notes.append(COOLING_DRIES(rh_pct=room.upper_rh_pct))
    return tuple(notes)
