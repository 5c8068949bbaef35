"""Lumber that settles: what it is, the air that it stands in, and when it is ready."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from woodmove.advice.drying.air import Air
from woodmove.advice.drying.goal import TOLERANCE_POINTS, Goal
from woodmove.advice.drying.stock import Stock
from woodmove.contract.notes import Warning, once, warning
from woodmove.contract.params import Param, ParamType, Request
from woodmove.contract.refusal import Refusal
from woodmove.domain.season import Season
from woodmove.domain.stay import Stay, day_words
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import (
    BOARD_LENGTH,
    BUILD_DATE,
    INTO,
    MC_READINGS,
    PLACE,
    ROOM,
    SPECIES,
    STOCK_MC,
    STRIP_WIDTH,
    STRIPS_FROM,
    TARGET_MC,
    TODAY,
    TOP_THICKNESS,
    TOP_WIDTH,
    place_of,
    room_year_of,
    stays_until_built,
    wood_of,
)
from woodmove.extend.params import DATE, MOISTURE, PERCENT, TEMPERATURE
from woodmove.extend.rooms import ROOMS, stays_told


def _stack(text: str) -> str:
    word = text.strip().lower()
    if word in ("stickered", "face-down", "wrapped"):
        return word
    piled = re.fullmatch(r"dead:(\d+)", word)
    if not piled or not 1 <= int(piled[1]) <= 100:
        raise ValueError(f"{text!r} is neither stickered, dead:N (1 to 100 boards), face-down nor wrapped")
    return word


STACK = ParamType("stickered|dead:N|face-down|wrapped", _stack)

MC_CORE = Param(
    "mc_core_pct", "--mc-core", MOISTURE, "Moisture content in the middle of the thickness", "14",
    "stock.mc_core", low=1, high=200,
)  # fmt: skip
MC_SHELL = Param(
    "mc_shell_pct", "--mc-shell", MOISTURE, "Moisture content of the outer quarters", "11",
    "stock.mc_shell", low=1, high=200,
)  # fmt: skip

STOCK_TEMP = Param(
    "stock_temp_c", "--temp", TEMPERATURE, "Temperature of the air, if it stays the same", "68F",
    "stock.temp", low=-20, high=60,
)  # fmt: skip
FROM_DATE = Param(
    "from_date", "--from", DATE, "Day on which it is stacked in the room; today if not told", "2026-12-01",
    "stock.from",
)  # fmt: skip
STOCK_ROOM = Param(
    "stock_room", "--dries-in", ROOMS,
    'Room that it dries in, if not that of the top; or "garage from=2026-10-01, basement from=2026-11-15"',
    "garage", "stock.room",
)  # fmt: skip
LUMBER = (
    SPECIES,
    STRIPS_FROM.replace(help="Lumber as sold or as measured, for thickness and width"),
    BOARD_LENGTH,
    STRIP_WIDTH.replace(help="Width of the pieces it will be cut into; else all of it"),
    TOP_THICKNESS.replace(option=""),
    INTO.replace(help="How it will be cut: a resaw (through the thickness) waits until its halves stay "
                      "straight"),
    STOCK_MC,
    MC_READINGS,
    MC_CORE,
    MC_SHELL,
    Param("stack", "--stack", STACK, "How it is stacked", "stickered", "stock.stack", default="stickered"),
    STOCK_TEMP,
    Param("stock_rh_pct", "--rh", MOISTURE, "Relative humidity of the air, if it stays the same", "40",
          "stock.rh", low=1, high=99),
    STOCK_ROOM,
    PLACE,
    *ROOM,
    FROM_DATE,
    TARGET_MC.replace(help="Moisture content to reach; else the room's yearly mean, else where the air takes "
                           "it"),
    Param("tolerance_points", "--tolerance", PERCENT, "How near the mean must come to it, in points", "2",
          "stock.tolerance", low=0.1, high=10, default=TOLERANCE_POINTS),
    TOP_WIDTH.replace(required=False, help="Width of the top, for what it costs to glue too early"),
    BUILD_DATE,
    TODAY,
)  # fmt: skip


def stock_of(request: Request, catalogue: Catalogue) -> Stock:
    """The lumber of a request."""
    lumber = request["strips_from"]
    if lumber is None:
        raise Refusal(
            "NO_STOCK_SIZE",
            "The size of the lumber is not known.",
            "Thickness and width decide how long it takes.",
            "Type --stock 2x8, or --stock '1-1/2in x 7-1/4in'.",
            fields=("strips_from",),
            exit_code=2,
        )
    sizes = [size for size, _ in lumber.shares]
    core, shell = request["mc_core_pct"], request["mc_shell_pct"]
    if (core is None) != (shell is None):
        raise Refusal(
            "HALF_A_GRADIENT",
            "Only one of core and shell is given.",
            "A gradient has both; without one, the mean is enough.",
            "Type --mc-core 14 --mc-shell 11, or --mc-now 12.",
            fields=("mc_core_pct" if core is None else "mc_shell_pct",),
            exit_code=2,
        )
    if core is None:
        core = shell = request["stock_mc_pct"]
    if core is None:
        raise Refusal(
            "NO_MC_NOW",
            "The moisture content of the lumber is not known.",
            "How far it has to go decides how long it takes.",
            "Meter it and type --mc-now 12, or --mc-core 14 --mc-shell 11.",
            fields=("stock_mc_pct",),
            exit_code=2,
        )
    stacking, _, count = request["stack"].partition(":")
    return Stock(
        wood_of(request, catalogue),
        # Of several sizes the thickest and widest dries last.
        max(size.thickness_mm for size in sizes),
        max(size.width_mm for size in sizes),
        request["stock_length_mm"],
        core,
        shell,
        stacking,
        int(count or 1),
        request["strip_width_mm"] or request["top_thickness_mm"],
        request["mc_readings"],
        request["into"] == "resaw",
    )


@dataclass(frozen=True)
class Surroundings:
    """The air that lumber stands in, and the year of the room where the top will live.

    :param air: from its first day on
    :param season: of the room of the top, None where no place is given
    :param home: the air of that room, None where the lumber dries in it
    """

    air: Air
    season: Season | None = None
    home: Air | None = None


def surroundings_of(request: Request, catalogue: Catalogue) -> Surroundings:
    """The air that it stands in, as told, or of its rooms, one after another; the year where the top will
    live. Where no room is told it dries in that of the top, and with it moves house until the build."""
    place = season = home = None
    top: tuple[Stay, ...] = ()
    if request["place"] is not None:
        place, season = place_of(request, catalogue), room_year_of(request, catalogue)
        top = stays_until_built(request, catalogue)
    start = request["from_date"]
    air = steady_air(request, "stock_temp_c", "stock_rh_pct")
    notes = () if season is None else season.warnings
    at_home = air is None
    if start is not None and air is None and request["stock_room"] is not None:
        stays = tuple(stays_told(request["stock_room"].rooms, catalogue, STOCK_ROOM.name, place))
        air = _in_turn(stays, start)
        notes = (*_named(stays, top[-1] if top else None), *notes)
        at_home = bool(top) and stays[-1].same_room(top[-1])
    if top and start is not None:
        home = _in_turn(top, start)
        if air is None and len(top) > 1:
            notes = (*_named(top, top[-1]), *notes)
        air, home = (home if air is None else air), (None if at_home else home)
    if air is None:
        raise Refusal(
            "NO_AIR",
            "Nothing says what air the lumber stands in.",
            "Air is a temperature and a humidity, or a place.",
            "Type --temp 68F --rh 40, or --place burlington.",
            fields=("from_date",) if place is not None else ("stock_temp_c", "stock_rh_pct", "place"),
            exit_code=2,
        )
    return Surroundings(replace(air, notes=tuple(once(notes))), season, home)


def _in_turn(stays: Sequence[Stay], start: date) -> Air:
    """The air of rooms in a row from a day on."""
    if len(stays) == 1:
        return Air.of_place(stays[0].place, stays[0].room, start)
    return Air.in_turn(
        [Air.of_place(stay.place, stay.room, start) for stay in stays],
        [0.0 if stay.start is None else float((stay.start - start).days) for stay in stays],
    )


DRIES_ELSEWHERE = warning(
    "DRIES_ELSEWHERE", "It dries in the {rooms}; the top will live in the {home}.", rooms=None, home=None
)
DRIES_IN = warning("DRIES_IN", "It dries in the {rooms}.", rooms=None)


def _named(stays: Sequence[Stay], top: Stay | None) -> Iterator[Warning]:
    """Where the lumber dries and where the top will live, and what to know of the rooms."""
    among = (*stays, *([top] if top else []))
    words = ", then the ".join(
        stay.named(among) if not number else f"{stay.named(among)} (from {day_words(stay.start)})"
        for number, stay in enumerate(stays)
    )
    if top is None:
        yield DRIES_IN(rooms=words)
    elif stays[-1].same_room(top):
        yield DRIES_IN(rooms=f"{words}, where the top will live")
    else:
        yield DRIES_ELSEWHERE(rooms=words, home=top.named(among))
    for stay in stays:
        yield from stay.season.warnings


def stacked_on(request: Request) -> date | None:
    """Day on which lumber is stacked, by the first of its rooms where nothing else says it."""
    told = request["stock_room"]
    return request["from_date"] or (None if told is None else told.rooms[0].start)


def steady_air(request: Request, temp_name: str, rh_name: str) -> Air | None:
    """Air that stays the same, as told; None where it is not.

    :raises Refusal: half of it
    """
    temp, rh = request[temp_name], request[rh_name]
    if (temp is None) != (rh is None):
        raise Refusal(
            "HALF_AN_AIR",
            "Only one of temperature and humidity is given.",
            "Steady air is a temperature and a humidity.",
            "Type --temp 68F --rh 40.",
            fields=(temp_name if temp is None else rh_name,),
            exit_code=2,
        )
    return None if temp is None or rh is None else Air.steady(temp, rh)


def goal_of(request: Request, around: Surroundings, start_pct: float) -> Goal:
    """What ready means: the target as told, else the yearly mean of the room of the top, else where the air
    takes lumber of this moisture."""
    tolerance, season = request["tolerance_points"], around.season
    if request["target_mc_pct"] is not None:
        return Goal(request["target_mc_pct"], "as told", tolerance, told=True)
    if season is not None:
        words = "the yearly mean EMC of the room of the top"
        return Goal(
            season.mean_pct, words, tolerance, sd_points=season.sd_points, same_room=around.home is None
        )
    ends = float(around.air.ends_at(around.air.days, start_pct)[1][0])
    return Goal(ends, "where this air takes lumber of this moisture", tolerance)
