"""Rooms in a row: where wood stands, and from which day on."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from woodmove.contract.notes import Note, assumption, warning
from woodmove.contract.quantity import MOISTURE
from woodmove.domain.climate import MONTHS, Climate
from woodmove.domain.room import Room
from woodmove.domain.season import Season

# A later room whose wood lives farther than this from that of the room where the top is built is warned of.
LIKE_POINTS = 1.0
LATER_ROOM = warning(
    "LATER_ROOM",
    "From {day} on the top stands in the {room}: {way}. Wood there lives at {there_pct} on the year's mean, "
    "and at {here_pct} in the {first}, where it is built.",
    day=None, room=None, way=None, there_pct=MOISTURE, here_pct=MOISTURE, first=None,
)  # fmt: skip
LATER_ROOM_ALIKE = assumption(
    "LATER_ROOM_ALIKE",
    "From {day} on the top stands in the {room}, about as damp as the {first} where it is built.",
    day=None, room=None, first=None,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Stay:
    """A room that wood stands in.

    :param start: day from which it does, None from the first day on
    """

    place: Climate
    room: Room
    start: date | None = None

    @property
    def noun(self) -> str:
        """What kind of room it is, within a sentence."""
        return self.place.room(self.room).of_kind.noun

    @property
    def season(self) -> Season:
        """The year of the room."""
        return Season.in_room(self.place, self.room)

    def same_room(self, other: "Stay") -> bool:
        """True where it is the same room, whenever."""
        return (self.place, self.place.room(self.room)) == (other.place, other.place.room(other.room))

    def named(self, among: Sequence["Stay"]) -> str:
        """How it is named in a sentence: where all are at one place, by its kind alone."""
        far = {stay.place.key for stay in (self, *among)}
        return self.noun if len(far) == 1 else f"{self.noun} in {self.place.name}"


def up_to(stays: Sequence[Stay], day: date) -> tuple[Stay, ...]:
    """The rooms that wood has come to by a day; the last of them is where it stands then."""
    return tuple(stay for number, stay in enumerate(stays) if not number or (stay.start or day) <= day)


def day_words(day: date | None) -> str:
    """A day in a sentence, nothing where there is none."""
    return "" if day is None else f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def moves(stays: Sequence[Stay], years: Sequence[Season]) -> Iterator[Note]:
    """What to know of the rooms that a top moves to.

    :param stays: from the room where it is built on, and the year of each
    """
    first = stays[0].named(stays)
    for stay, year in zip(stays[1:], years[1:], strict=True):
        damper = year.mean_pct - years[0].mean_pct
        words = {"day": day_words(stay.start), "room": stay.named(stays), "first": first}
        if abs(damper) > LIKE_POINTS:
            yield LATER_ROOM(
                way="damper" if damper > 0 else "drier",
                there_pct=year.mean_pct,
                here_pct=years[0].mean_pct,
                **words,
            )
        else:
            yield LATER_ROOM_ALIKE(**words)
