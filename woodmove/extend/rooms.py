"""Rooms as commands and job files tell them: one, and several in a row."""

import shlex
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
from woodmove.extend.params import DATE, HUMIDITY, TEMPERATURE, TEXT, WHOLE, read_param

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
    rooms = tuple(RoomTold(dict(_told(words))) for words in _parts(text))
    starts = [each.start for each in rooms]
    if any(start is None for start in starts[1:]):
        raise ValueError("each room after the first says from=DATE, the day on which the wood comes there")
    known = [start for start in starts if start is not None]
    if any(later <= earlier for earlier, later in pairwise(known)):
        raise ValueError("the days of the rooms do not rise")
    return RoomsTold(rooms, text)


def _parts(text: str) -> Iterator[list[str]]:
    """The words of each room."""
    lexer = shlex.shlex(text, posix=True, punctuation_chars=",")
    lexer.whitespace_split, lexer.commenters = True, ""
    part: list[str] = []
    for word in (*lexer, ","):
        if word != ",":
            part.append(word)
        elif part:
            yield part
            part = []
        else:
            raise ValueError(f"{text!r} names a room too few")


def _told(words: list[str]) -> Iterator[tuple[str, Any]]:
    """What the words of a room say; a bare word first is its kind."""
    for number, word in enumerate(words):
        key, equals, value = word.partition("=")
        if not equals and not number:
            key, value = "kind", word
        param = _KEYS.get(key)
        if param is None:
            raise ValueError(f"{word!r} is none of {', '.join(f'{known}=' for known in _KEYS)}")
        try:
            yield param.name, read_param(param, value, key)
        except Refusal as fault:
            raise ValueError(f"{fault.wrong.rstrip('.')}; {fault.allowed.rstrip('.')}") from None


ROOMS = ParamType("ROOMS", _rooms)


def _kind_or_rooms(text: str) -> str | RoomsTold:
    """A kind, or all that is said of a room; of a top that moves house that of each.

    :raises ValueError: what is no row of rooms, or a place of the first
    """
    if not {",", "="} & set(text):
        return TEXT.parse(text)
    told = _rooms(text)
    if told.rooms[0].place is not None:
        raise ValueError("place= of the first room is said by itself (--place)")
    return told


def _one_room(text: str) -> str | RoomsTold:
    """The same of a room that wood stays in.

    :raises ValueError: several
    """
    told = _kind_or_rooms(text)
    if rooms_after(told):
        raise ValueError("one room is told here")
    return told


# The room of a top, which may move house.
ROOM = (
    _KIND.replace(
        option="--room",
        example="house heat_to=68F",
        kind=ParamType("ROOM", _kind_or_rooms),
        help='Kind of room, or all that is said of it: "house heat_to=68F humidify_to=35"; of a top that '
             'moves house "house, basement from=2027-05-01"',
    ),
    *SAID_OF_A_ROOM,
)  # fmt: skip
# A room of which nothing counts but what is said here.
ONE_ROOM = ROOM[0].replace(kind=ParamType("ROOM", _one_room), default=None, job="",
                           help='Kind of room, or all that is said of it: "heated heat_to=68F"')  # fmt: skip


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
    """The room of the values of ROOM; what the text of the room says goes before a job's single values.

    :param value: of a parameter by its name, asked only where the room hangs on it
    """
    kind = value("room")
    if isinstance(kind, RoomsTold):
        own = kind.rooms[0].values
        kind = own.get("room", _KIND.default)
    else:
        own = {}

    def said(name: str) -> Any:
        return own[name] if name in own else value(name)

    gain = said("moisture_gain")
    if kind == "open":
        gain = None  # It is outdoors: it gains nothing.
    elif kind in TOLD and gain is None:
        gain = TOLD_GAIN
    return Room(kind, said("heat_to_c"), gain, said("humidify_to_pct"), said("dehumidify_to_pct"))


LOGGED_ROOM = warning(
    "LOGGED_ROOM",
    "{place} is a room as it was logged: what else its kind, its heat and its vapour are told to be changes "
    "nothing. If it was logged outdoors, make the place anew with woodmove climate add NAME --outdoors.",
    place=None,
)  # fmt: skip


def told_for_nothing(values: Mapping[str, Any], place: Climate) -> tuple[Warning, ...]:
    """What to know of a room that is told, at a place that is a room already: a log is a room.

    :param values: of a request that takes ROOM; nothing depends on them here
    """
    told = values["room"]
    own = dict(told.rooms[0].values) if isinstance(told, RoomsTold) else {"room": told}
    said = any({**values, "room": None, **own}[name] not in (None, _KIND.default) for name in _OF_OUTDOORS)
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
