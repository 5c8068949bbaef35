"""The dated checks of a plan as a calendar file (RFC 5545).

An event keeps its UID for as long as its check keeps its place in the job, and its SEQUENCE grows from day to
day: a calendar that takes in a later plan moves the event that it has. Nothing in it hangs on the clock.
"""

import re
from datetime import UTC, date, datetime, timedelta
from uuid import UUID, uuid5

from woodmove.extend.api import Due, Refusal, Sheet
from woodmove_drawings.needed import libraries

# Of our own, so that no other program makes the same UIDs.
_OURS = UUID("6b3b1d0a-6f0e-4d8e-9f55-0f3c1e6a2b47")
# Sequence numbers count the days from here.
_FIRST = date(2020, 1, 1)
# What a calendar shows of a title, and what a clause of it must have to stand alone.
_TITLE, _CLAUSE = 70, 16


def calendar(sheet: Sheet) -> bytes:
    """The calendar of a plan.

    :raises Refusal: there is nothing to date, or the library is missing
    """
    with libraries("A calendar"):
        from icalendar import Calendar, Event

    if not sheet.due or sheet.today is None:
        raise Refusal(
            "NOTHING_DATED",
            "No check of this plan has a day.",
            "A calendar holds the checks that have one.",
            "Say the place (room.place) and the day of the build (job.build_date) in the job file.",
        )
    book = Calendar()
    book.add("prodid", "-//woodmove//dated checks//EN")
    book.add("version", "2.0")
    book.add("method", "PUBLISH")
    book.add("x-wr-calname", sheet.title)
    stamp = datetime(sheet.today.year, sheet.today.month, sheet.today.day, tzinfo=UTC)
    for due in sheet.due:
        event = Event()
        event.add("uid", f"{uuid5(_OURS, f'{sheet.title}/{due.key}')}@woodmove")
        event.add("dtstamp", stamp)
        event.add("last-modified", stamp)
        event.add("sequence", max(0, (sheet.today - _FIRST).days))
        event.add("dtstart", due.day)
        event.add("dtend", due.day + timedelta(days=1))
        if due.yearly:
            event.add("rrule", {"freq": "yearly"})
        event.add("summary", _summary(due))
        event.add("description", f"{sheet.title}\n{due.when}: {due.text}")
        event.add("transp", "TRANSPARENT")
        book.add_component(event)
    return book.to_ical()


def _summary(due: Due) -> str:
    """What to do, short enough for a line of a month."""
    first = due.text.partition(". ")[0].rstrip(".")
    if len(first) <= _TITLE:
        return first
    clause = re.split(r"[:,;] ", first)[0]
    return clause if _CLAUSE <= len(clause) <= _TITLE else f"{first[:_TITLE].rpartition(' ')[0]} …"
