"""Files that people would rather look at than read: a calendar, a page, a template at full size.

What they are made with is imported when one of them is asked for, and may be missing.
"""

from woodmove.extend.api import Output, Sheet, hookimpl

WOODMOVE_PLUGIN_API = 1


def _calendar(sheet: Sheet, ending: str) -> bytes:
    from woodmove_drawings.calendar import calendar

    return calendar(sheet)


def _page(sheet: Sheet, ending: str) -> bytes:
    from woodmove_drawings.page import page

    return page(sheet)


@hookimpl
def woodmove_outputs() -> list[Output]:
    """The files."""
    return [
        Output(
            "--calendar", "Dated checks as a calendar file (.ics)", ("plan",), (".ics",), "checks", _calendar
        ),
        Output(
            "--html",
            "One page to read and to print, with drawings",
            ("plan",),
            (".html", ".htm"),
            "plan",
            _page,
        ),
    ]
