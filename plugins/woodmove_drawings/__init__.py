"""Files that people would rather look at than read: a calendar, a page, labels, a template at full size.

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


def _labels(sheet: Sheet, ending: str) -> bytes:
    from woodmove_drawings.labels import labels

    return labels(sheet)


def _template(sheet: Sheet, ending: str) -> bytes:
    from woodmove_drawings.template import template

    return template(sheet, ending)


@hookimpl
def woodmove_outputs() -> list[Output]:
    """The files."""
    return [
        Output("checks", "Dated checks as a calendar file", ("plan",), (".ics",), _calendar),
        Output("plan", "One page to read and to print", ("plan",), (".html", ".htm"), _page),
        Output(
            "labels",
            "Labels for boards and strips, to print",
            ("plan",),
            (".html", ".htm"),
            _labels,
        ),
        Output(
            "template",
            "Slots at 1:1: a PDF in sheets, or one SVG for a plotter",
            ("plan", "slots"),
            (".pdf", ".svg"),
            _template,
        ),
    ]
