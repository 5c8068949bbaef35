"""The days of a plan: what contradicts, and which checks are due on which day."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

from woodmove.contract.notes import Warning
from woodmove.contract.ranges import Range
from woodmove.domain.climate import MONTHS
from woodmove.domain.job import Job

TOO_SOON, PAST, NEVER = "BUILD_DATE_TOO_SOON", "BUILD_DATE_PAST", "LUMBER_NOT_READY"
# Codes of the checks that a section dates from the day on which the lumber is ready.
_FROM_READY = {"GLUE", "JOINTS_LEVEL", "FLATTEN_ROUGHLY", "FLATTEN"}
# Days of a job in the order of the work: name of the value, its place in the job file.
_IN_ORDER = (
    ("from_date", "stock.from"),
    ("glue_date", "glue.on"),
    ("flatten_from", "flatten.from"),
    ("build_date", "job.build_date"),
)


@dataclass(frozen=True)
class Calendar:
    """What a job says of its days, and what its sections find. Each section that tells how long something
    takes counts by itself: where one fails, what the others say still holds.

    :param results: of the sections that are done, by section
    """

    job: Job
    results: Mapping[str, Mapping[str, Any]]

    @property
    def today(self) -> date:
        """Today, before which nothing is advised."""
        return self.job.values["today"]

    @property
    def glued(self) -> date | None:
        """The day of the glue-up, None where nobody said so."""
        return self.job.values.get("glue_date")

    @property
    def ready(self) -> date | None:
        """The day on which the lumber is expected to be ready, None where nobody knows."""
        checks = self.results.get("lumber", {}).get("checks", ())
        return next((date.fromisoformat(check["date"]) for check in checks if check.get("date")), None)

    @property
    def rest_days(self) -> Range | None:
        """Between the two flattenings, None where nobody knows."""
        return self.results.get("flatten", {}).get("rest_between_days")

    @property
    def begun(self) -> date:
        """The day on which the last joint is glued, at the earliest."""
        if self.glued is not None and self.glued <= self.today:
            return self.glued
        return max(self.glued or self.today, self.ready or self.today)

    @property
    def first_day(self) -> date:
        """The first day on which the top can be screwed down, by what is expected."""
        # Once it is flattened roughly its own section tells whether it is in time.
        if self.job.values.get("flatten_from") is not None:
            return self.today
        sets, rest = self.job.values.get("joint_set_days") or 0, self.rest_days
        days = sets + (0 if rest is None else rest.expected)
        return max(self.begun + timedelta(days=days), self.today)

    @property
    def built(self) -> date | None:
        """The day on which the top is screwed down: as the job says, and not before it can be unless that is
        over; None where nobody said so."""
        build = self.job.build_date
        return build if build is None or build < self.today else max(build, self.first_day)

    @property
    def never_ready(self) -> bool:
        """True where lumber that is still drying has no day."""
        worked = self.glued or self.job.values.get("flatten_from")
        drying = "from_date" in self.job.values and (worked is None or worked > self.today)
        return drying and "lumber" in self.results and self.ready is None

    def warnings(self) -> Iterator[Warning]:
        """Where one day contradicts another, or today."""
        values, build = self.job.values, self.job.build_date
        days = [(place, values[name]) for name, place in _IN_ORDER if values.get(name) is not None]
        for (first, first_day), (then, then_day) in pairwise(days):
            if then_day < first_day:
                yield Warning(
                    "DATES_OUT_OF_ORDER",
                    "The job says {first} = {first_day} and {then} = {then_day}: lumber is stacked, glued, "
                    "flattened and screwed down in this order. Mend one of them.",
                    {"first": first, "first_day": first_day, "then": then, "then_day": then_day},
                )
        if self.glued is not None and self.ready is not None and self.today < self.glued < self.ready:
            yield Warning(
                "GLUED_BEFORE_READY",
                "The job glues on {glued} (glue.on), and the lumber is expected to be ready on {ready}: move "
                "the glue-up, or meter the lumber before it.",
                {"glued": self.glued, "ready": self.ready},
            )
        if build is not None and build < self.today:
            yield Warning(
                PAST,
                "The build date, {build}, is past. If the top is not screwed down yet, write another day.",
                {"build": build},
            )
        elif build is not None and self.never_ready:
            yield Warning(
                NEVER,
                "No day is known on which the lumber is ready, so none is told for the glue-up and the "
                "flattening: the section on the lumber says why.",
            )
        elif build is not None and build < self.first_day:
            yield self._too_soon(build)

    def _too_soon(self, build: date) -> Warning:
        ready = self.begun == self.ready
        steps = ["the lumber is ready on {begun}" if ready else "the last joint is glued on {begun}"]
        if "joint_set_days" in self.job.values:
            steps.append("joints set in {set_days}")
        if self.rest_days is not None:
            steps.append("the glued top rests {rest_days}")
        *before, last = steps
        expected = f"{', '.join(before)} and {last}" if before else last
        return Warning(
            TOO_SOON,
            f"By what is expected {expected}: it can be screwed down from {{earliest}} on, and not on "
            "{build} already.",
            {
                "begun": self.begun,
                "set_days": self.job.values.get("joint_set_days"),
                "rest_days": self.rest_days,
                "earliest": self.first_day,
                "build": build,
            },
        )

    def checks(self) -> list[dict[str, Any]]:
        """The checks of all sections in order of time, each with when it is due; without those that the job,
        another one or today overtakes."""
        found = [check for results in self.results.values() for check in results.get("checks", ())]
        told = {note.code for note in self.warnings()}
        codes: set[str] = set()
        if told & {TOO_SOON, NEVER}:
            # The top is not in its room on the day that its first season is counted from.
            codes |= {"MEASURE_WIDTH"}
        if NEVER in told:
            codes |= _FROM_READY
        if PAST in told:
            codes |= _FROM_READY | {"READY"}
        kept = []
        dated = [(*due(check, self.built, self.today), check["check"]) for check in found]
        for _, when, day, check in sorted(dated, key=lambda row: row[0]):
            # That of a plugin may be bare words.
            code = getattr(check, "code", "")
            if code not in codes and (day is None or day >= self.today):
                kept.append({"when": when, "date": day, "check": check})
        return kept


def due(check: Mapping[str, Any], built: date | None, today: date) -> tuple[int, str, date | None]:
    """Place of a check in time, the words for it, and its day. One with a date of its own keeps it; one of a
    month comes in the year after the top is built, where that is known, and again each year.

    :raises KeyError, TypeError, ValueError: what is no check
    """
    if check.get("date"):
        day = date.fromisoformat(check["date"])
        return day.toordinal(), f"{MONTHS[day.month - 1]} {day.year}", day
    month = check["month_number"]
    if built is None:
        return month, MONTHS[month - 1], None
    year = max(built.year + (month <= built.month), today.year + (month < today.month))
    return date(year, month, 15).toordinal(), f"{MONTHS[month - 1]} {year}", None
