"""The days of a plan: from when each step can be done, what contradicts, and which checks are due when."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from typing import Any

from woodmove.contract.notes import Warning, warning
from woodmove.contract.plan import Check, DatedCheck
from woodmove.contract.stage import Stage
from woodmove.domain.climate import MONTHS
from woodmove.domain.job import Job
from woodmove.planning.came_out import is_over
from woodmove.planning.run import Run
from woodmove.units.show import day_text

OUT_OF_ORDER = warning(
    "DATES_OUT_OF_ORDER",
    "The job says {first} = {first_day} and {then} = {then_day}: that is the wrong order. Change one.",
    first=None, first_day=None, then=None, then_day=None,
)  # fmt: skip
TOO_SOON = warning(
    "TOO_SOON", "{step}: not on {said} ({place}). It can be done from {earliest} on.",
    step=None, said=None, place=None, earliest=None,
)  # fmt: skip
PAST = warning(
    "BUILD_DATE_PAST",
    "The build date, {build}, is past. If the top is not screwed down yet, say another day.",
    build=None,
)  # fmt: skip
NEVER = warning("NO_DAY_KNOWN", "No day is known yet for {step}, nor for the steps after it.", step=None)


@dataclass(frozen=True, slots=True)
class Step:
    """A section that takes time or has a day.

    :param said: the day on which the job does it, None where it says none
    :param earliest: the day from which it can be done, None where no day is known
    :param over: True where a later step is begun already
    """

    run: Run
    said: date | None
    earliest: date | None
    over: bool = False


@dataclass(frozen=True)
class Calendar:
    """The steps of a job in the order of the work, each from the day on which the one before it has ended.

    :param runs: the sections of the plan, in their order
    """

    job: Job
    runs: Sequence[Run]

    @property
    def today(self) -> date:
        """Today, before which nothing is advised."""
        return self.job.values["today"]

    @property
    def steps(self) -> list[Step]:
        """The steps, each with its days. One that is begun already is where the next one counts from."""
        steps: list[Step] = []
        earliest: date | None = self.today
        begun_later = [run for run in self.runs if (day := self._said(run)) is not None and day <= self.today]
        last = begun_later[-1] if begun_later else None
        waiting = last is not None
        for run in self.runs:
            said = self._said(run)
            waiting = waiting and run is not last
            over = waiting or is_over(self.job.values, run.section.stage)
            steps.append(Step(run, said, earliest, over))
            # What the shop is already past holds nobody up.
            if over:
                continue
            if earliest is not None and run.answer is not None:
                earliest = run.ends(said if run is last and said else max(earliest, said or earliest))
                earliest = None if earliest is None else max(earliest, self.today)
        return steps

    def _said(self, run: Run) -> date | None:
        return self.job.values.get(run.section.day.name) if run.section.day is not None else None

    @property
    def build(self) -> date | None:
        """The day on which the top is screwed down: as the job says, and not before it can be; None where
        nobody said so, or no day is known."""
        build = self.job.build_date
        step = next((step for step in self.steps if step.said == build), None) if build else None
        if build is None or build < self.today or step is None:
            return build
        return None if step.earliest is None else max(build, step.earliest)

    def warnings(self) -> Iterator[Warning]:
        """Where one day contradicts another, or today."""
        said = [step for step in self.steps if step.said is not None and step.run.section.day is not None]
        for one, other in pairwise(said):
            if one.said and other.said and other.said < one.said:
                yield OUT_OF_ORDER(
                    first=_place(one), first_day=one.said, then=_place(other), then_day=other.said
                )
        if self.job.build_date is not None and self.job.build_date < self.today:
            yield PAST(build=self.job.build_date)
        for step in said:
            if step.over:
                continue
            if step.said and step.earliest and self.today <= step.said < step.earliest:
                yield TOO_SOON(
                    step=step.run.section.title, said=step.said, place=_place(step), earliest=step.earliest
                )

    def stuck(self) -> Iterator[Warning]:
        """The step of which nobody knows when it is done."""
        for step, after in pairwise(self.steps):
            if step.earliest is not None and after.earliest is None:
                yield NEVER(step=step.run.title)

    def misleads(self, run: Run) -> bool:
        """True for a step that names days on its card, and comes after one of which nobody knows the day."""
        names_days = any(isinstance(value, date) for note in run.card for value in note.values.values())
        return names_days and any(step.earliest is None for step in self.steps if step.run is run)

    def checks(self) -> tuple[DatedCheck, ...]:
        """The checks of all sections in order of time, without those of a day that is over, or before the
        step that they belong to can be done."""
        kept: list[tuple[int, DatedCheck]] = []
        keys: Counter[str] = Counter()
        for step in self.steps:
            for check in () if step.over and step.run.section.stage >= Stage.SETTLE else step.run.checks:
                place, when, day, yearly = due(check, self.build, self.today)
                if day is not None and (step.earliest is None or day < self.today):
                    continue
                key = _key(step.run.section.key, check)
                keys[key] += 1
                key = key if keys[key] == 1 else f"{key}-{keys[key]}"
                dated = DatedCheck(key=key, when=when, date=day, yearly_from=yearly, check=check.check)
                kept.append((place, dated))
        return tuple(check for _, check in sorted(kept, key=lambda pair: pair[0]))


def _key(section: str, check: Check) -> str:
    """What a check is called, whatever its day: its section, its code, and the words in it."""
    words = [one for one in check.check.values.values() if isinstance(one, str) and one.isalpha()]
    return "-".join([section, check.check.code.lower().replace("_", "-"), *words])


def _place(step: Step) -> str:
    day: Any = step.run.section.day
    return day.job


def due(check: Check, built: date | None, today: date) -> tuple[int, str, date | None, date | None]:
    """Place of a check in time, the words for it, its day, and from when on it comes each year. One with a
    date of its own keeps it; one of a month comes in the year after the top is built, and again each year;
    behind all days where that is not known."""
    if check.day is not None:
        return check.day.toordinal(), day_text(check.day), check.day, None
    month = check.month or 1
    year = today.year + (month < today.month)
    if built is None:
        return date.max.toordinal() + month, MONTHS[month - 1], None, date(year, month, 15)
    first = date(max(built.year + (month <= built.month), year), month, 15)
    return first.toordinal(), f"{MONTHS[month - 1]} {first.year}", None, first
