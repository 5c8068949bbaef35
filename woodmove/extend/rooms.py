"""Rooms as commands and job files tell them: one, and several in a row."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise
from typing import Any

from woodmove.contract.notes import Warning, warning
from woodmove.contract.params import Param, ParamType
from woodmove.contract.refusal import Refusal
from woodmove.domain.climate import Climate
from woodmove.domain.room import MOISTURE_GAIN_KPA, NAMED, TOLD, TOLD_GAIN, Room
from woodmove.domain.stay import Stay
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.params import DATE, HUMIDITY, TEMPERATURE, TEXT, WHOLE, noun, values_told
from woodmove.extend.told import parts_of

_KIND = Param(
    "room", "", TEXT, "What kind of room it is", "house", "room.kind", choices=(*NAMED, *TOLD),
    default=NAMED[0],
)  # fmt: skip
# What is said of a room beside its kind: keys of its table in a job file, words of its text on a command
# line.
SAID_OF_A_ROOM = (
    Param(
        "heat_to_c", "", TEMPERATURE, "Temperature that the room is heated to in winter", "68F",
        "room.heat_to", low=-20, high=45,
    ),
    Param(
        "moisture_gain", "", WHOLE,
        "Vapour that people and work add: ISO 13788 class, 1 dry storage, 2 dwelling, 3 unknown, 4 kitchen",
        "1", "room.moisture_gain", low=min(MOISTURE_GAIN_KPA), high=max(MOISTURE_GAIN_KPA),
    ),
    Param(
        "humidify_to_pct", "", HUMIDITY, "RH that a humidifier holds at the least", "35",
        "room.humidify_to", low=1, high=100,
    ),
    Param(
        "dehumidify_to_pct", "", HUMIDITY, "RH that a dehumidifier holds at the most", "55",
        "room.dehumidify_to", low=1, high=100,
    ),
)  # fmt: skip
PLACE = Param(
    "place", "--place", TEXT, "Place whose outdoor air is taken, or a room that you logged",
    "burlington", "room.place",
    registry="climates",
)  # fmt: skip
# What is made of the air outdoors, and is idle in a room that was logged; machines work there, too.
_OF_OUTDOORS = ("room", "heat_to_c", "moisture_gain")
_FROM = Param("from_date", "", DATE, "Day from which it is there", "2027-01-15", "room.from")
# What is said of a room in a row, by its key.
_KEYS = {param.job.partition(".")[2]: param for param in (_KIND, *SAID_OF_A_ROOM, PLACE, _FROM)}


@dataclass(frozen=True, slots=True)
class RoomTold:
    """One room of a row, by the names of parameters.

    :param values: what is said of it
    """

    values: Mapping[str, Any]

    @property
    def start(self) -> date | None:
        """Day from which it counts, None where nobody said so."""
        return self.values.get(_FROM.name)

    @property
    def place(self) -> str | None:
        """Where it is, None where it is the place of the top."""
        return self.values.get(PLACE.name)

    @property
    def room(self) -> Room:
        """What it makes of the air outdoors."""
        return room_from(lambda name: self.values.get(name, _KIND.default if name == "room" else None))

    @property
    def of_outdoors(self) -> bool:
        """True if it is told as what is made of outdoor air."""
        return not self.values.keys().isdisjoint(_OF_OUTDOORS)


@dataclass(frozen=True, slots=True)
class RoomsTold:
    """Rooms in the order in which wood comes to them.

    :param text: as it was told
    """

    rooms: tuple[RoomTold, ...]
    text: str

    def __str__(self) -> str:
        return self.text

    def placed(self, where: Callable[[str], str]) -> "RoomsTold":
        """The same with each place as `where` makes it."""
        rooms = tuple(
            RoomTold({**each.values, PLACE.name: where(each.place)}) if each.place else each
            for each in self.rooms
        )
        return replace(self, rooms=rooms)


def _rooms(text: str) -> RoomsTold:
    """``garage from=2026-10-01, basement from=2026-11-15``

    :raises ValueError: what is no row of rooms
    """
    rooms = tuple(RoomTold(values_told(words, _KEYS, "kind")) for words in parts_of(text, "room"))
    starts = [each.start for each in rooms]
    if any(start is None for start in starts[1:]):
        raise ValueError("each room after the first says from=DATE, the day on which the wood comes there")
    known = [start for start in starts if start is not None]
    if any(later <= earlier for earlier, later in pairwise(known)):
        raise ValueError("the days of the rooms do not rise")
    return RoomsTold(rooms, text)


ROOMS = ParamType("ROOMS", _rooms)


def _home(text: str) -> dict[str, Any]:
    """What is said of the room of a top, by name; of one that moves house the rooms in a row as its kind.

    :raises ValueError: what is no row of rooms, or a place of the first
    """
    rooms = _rooms(TEXT.parse(text))
    told, *later = rooms.rooms
    first = dict(told.values)
    if PLACE.name in first:
        raise ValueError("place= of the first room is said by itself (--place)")
    first.setdefault(_KIND.name, _KIND.default)
    if later or told.start is not None:
        first[_KIND.name] = rooms
    return {name: value for name, value in first.items() if name != _FROM.name}


_PARTS = tuple((key, param) for key, param in _KEYS.items() if param not in (PLACE, _FROM))
# The room of a top, which may move house.
ROOM = (
    _KIND.replace(
        option="--room",
        kind=ParamType("ROOM", _home, parts=_PARTS),
        choices=(),
        help="Kind of room, and what you know better of it: 'house heat_to=68F humidify_to=35'; of a top "
             "that moves house 'house, basement from=2027-05-01'",
    ),
    *SAID_OF_A_ROOM,
)  # fmt: skip
# A room that wood stays in.
ONE_ROOM = (
    _KIND.replace(option="--room", job="", default=None, choices=(), kind=noun("room", dict(_PARTS), "kind")),
    *(param.replace(job="") for param in SAID_OF_A_ROOM),
)


def rooms_after(told: str | RoomsTold) -> tuple[RoomTold, ...]:
    """The rooms that a top moves to, of a value of --room."""
    return told.rooms[1:] if isinstance(told, RoomsTold) else ()


def stays_told(
    rooms: Sequence[RoomTold], catalogue: Catalogue, field: str, home: Climate | None
) -> Iterator[Stay]:
    """The rooms of a row, each at its place.

    :param field: name of the parameter that tells them
    :param home: the place of those of which nobody says where they are
    :raises Refusal: no place, none of that name, or a room to be made of the air of a room
    """
    for told in rooms:
        place = home if told.place is None else _place_told(told.place, catalogue, field)
        if place is None:
            raise Refusal(
                "NO_PLACE",
                f"Nothing says where the {told.room.of_kind.noun} is.",
                "A room is made of the air of its place.",
                "Add --place burlington, for example.",
                fields=(field,),
                exit_code=2,
            )
        _outdoors_for(told, place, field)
        yield Stay(place, told.room, told.start)


def room_from(value: Callable[[str], Any]) -> Room:
    """The room of the values of ROOM.

    :param value: of a parameter by its name, asked only where the room hangs on it
    """
    told, gain = value("room"), value("moisture_gain")
    kind: str = (told.rooms[0].values.get("room") if isinstance(told, RoomsTold) else told) or NAMED[0]
    if kind == "open":
        gain = None  # It is outdoors: it gains nothing.
    elif kind in TOLD and gain is None:
        gain = TOLD_GAIN
    return Room(kind, value("heat_to_c"), gain, value("humidify_to_pct"), value("dehumidify_to_pct"))


LOGGED_ROOM = warning(
    "LOGGED_ROOM",
    "{place} is a room as it was logged: what else its kind, its heat and its vapour are told to be changes "
    "nothing. If it was logged outdoors, make the place anew with woodmove climate add NAME FILE --outdoors.",
    place=None,
)  # fmt: skip


def told_for_nothing(values: Mapping[str, Any], place: Climate) -> tuple[Warning, ...]:
    """What to know of a room that is told, at a place that is a room already: a log is a room.

    :param values: of a request that takes ROOM; nothing depends on them here
    """
    told = values["room"]
    kind = told.rooms[0].values.get("room") if isinstance(told, RoomsTold) else told
    said = any({**values, "room": kind}[name] not in (None, _KIND.default) for name in _OF_OUTDOORS)
    return (LOGGED_ROOM(place=place.name),) if place.indoors and said else ()


def _place_told(name: str, catalogue: Catalogue, field: str) -> Climate:
    """The place of a room in a row.

    :param field: name of the parameter that tells it
    :raises Refusal: no such place
    """
    try:
        return catalogue.climates.get(name)
    except Refusal as fault:
        fault.fields = (field,)
        raise


def _outdoors_for(told: RoomTold, place: Climate, field: str) -> None:
    """Refuse to make a room of the air of a room.

    :param field: name of the parameter that tells it
    """
    if place.indoors and told.of_outdoors:
        noun = told.room.of_kind.noun
        raise Refusal(
            "NOT_OUTDOORS",
            f"A {noun} is made of air outdoors, and {place.name} is the air of a room.",
            "A logged room is used as it is, without a kind.",
            f"Say the place of the {noun}, such as place=burlington, or leave out its kind.",
            fields=(field,),
            exit_code=2,
        )
