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

# What is said of one room.
ONE_ROOM = (
    Param(
        "room", "--room", TEXT, "What kind of room it is", "house", "room.kind",
        choices=NAMED, default=NAMED[0],
    ),
    Param(
        "indoor", "--indoor", TEXT, "What the room does to the outdoor air, instead of --room", "heated",
        "room.indoor", choices=TOLD,
    ),
    Param(
        "heat_to_c", "--heat-to", TEMPERATURE, "Temperature that the room is heated to in winter", "68F",
        "room.heat_to", low=-20, high=45,
    ),
    Param(
        "moisture_gain", "--moisture-gain", WHOLE,
        "Vapour that people and work add: ISO 13788 class, 1 dry storage, 2 dwelling, 3 unknown, 4 kitchen",
        "1", "room.moisture_gain", low=min(MOISTURE_GAIN_KPA), high=max(MOISTURE_GAIN_KPA),
    ),
    Param(
        "humidify_to_pct", "--humidify-to", HUMIDITY, "RH that a humidifier holds at the least", "35",
        "room.humidify_to", low=1, high=100,
    ),
    Param(
        "dehumidify_to_pct", "--dehumidify-to", HUMIDITY, "RH that a dehumidifier holds at the most", "55",
        "room.dehumidify_to", low=1, high=100,
    ),
)  # fmt: skip
PLACE = Param(
    "place", "--place", TEXT, "Place whose outdoor air is taken, or a room that you logged",
    "burlington", "room.place",
    registry="climates",
)  # fmt: skip
# What works in a room that was logged, too.
MACHINES = ("humidify_to_pct", "dehumidify_to_pct")
_FROM = Param("from_date", "", DATE, "Day from which it is there", "2027-01-15", "room.from")
# What is said of a room in a row, by its key.
_KEYS = {param.job.partition(".")[2]: param for param in (*ONE_ROOM, PLACE, _FROM)}


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
        defaults = {param.name: param.default for param in ONE_ROOM}
        return room_from(lambda name: self.values.get(name, defaults[name]))

    @property
    def of_outdoors(self) -> bool:
        """True if it is told as what is made of outdoor air."""
        return not self.values.keys().isdisjoint(("room", "indoor", "heat_to_c", "moisture_gain"))


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
    """A kind; or the rooms of a top that moves house, each after the first with all that is said of it.

    :raises ValueError: what is no row of rooms, or more of its first room than its kind
    """
    if not {",", "="} & set(text):
        return TEXT.parse(text)
    told = _rooms(text)
    first = told.rooms[0]
    for key, param in _KEYS.items():
        if param.name in first.values and key not in ("kind", "from"):
            raise ValueError(f"{key}= of the first room is said by itself (--{key.replace('_', '-')})")
    return told if len(told.rooms) > 1 else first.room.kind


# The same of the room of a top, which may move house.
ROOM = (
    ONE_ROOM[0].replace(
        kind=ParamType("ROOM", _kind_or_rooms),
        help='What kind of room it is; of a top that moves house "house, basement from=2027-05-01"',
    ),
    *ONE_ROOM[1:],
)


def _first_kind(told: str | RoomsTold) -> str:
    return told.rooms[0].room.kind if isinstance(told, RoomsTold) else told


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
    """The room of the values of ROOM: as it is told by what it does, else by its kind.

    :param value: of a parameter by its name, asked only where the room hangs on it
    """
    told, gain = value("indoor"), value("moisture_gain")
    if told == "open":
        gain = None  # It is outdoors: it gains nothing.
    elif told is not None and gain is None:
        gain = TOLD_GAIN
    return Room(
        told or _first_kind(value("room")),
        value("heat_to_c"),
        gain,
        value("humidify_to_pct"),
        value("dehumidify_to_pct"),
    )


LOGGED_ROOM = warning(
    "LOGGED_ROOM",
    "{place} is a room as it was logged: {said} changes nothing. If it was logged outdoors, make the place "
    "anew with woodmove climate add NAME FILE --outdoors.",
    place=None, said=None,
)  # fmt: skip


def told_for_nothing(values: Mapping[str, Any], place: Climate) -> tuple[Warning, ...]:
    """What to know of a room that is told, at a place that is a room already: a log is a room.

    :param values: of a request that takes ROOM; nothing depends on them here
    """
    said = [
        p.option
        for p in ROOM
        if p.name not in MACHINES
        and values[p.name] not in (None, p.default)
        and not isinstance(values[p.name], RoomsTold)
    ]
    if not place.indoors or not said:
        return ()
    return (LOGGED_ROOM(place=place.name, said=", ".join(said)),)


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
