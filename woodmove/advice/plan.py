"""The whole plan of a job: the answers of its sections, made into one."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from woodmove.advice.doubt import INPUTS
from woodmove.shop.answer import Answer, Assumption, Refusal
from woodmove.shop.climate import MONTHS
from woodmove.shop.job import Job

MEASUREMENTS = 3


@dataclass(frozen=True, slots=True)
class Section:
    """A section that has been run.

    :param status: "done", "skipped" or "failed"
    :param reason: why it was skipped or failed
    :param answer: None unless done
    :param cause: of a failure that fails the plan: "data", or "plugin" if the job asked for the section;
        empty where the plan is good without it
    :param decides: True if its Ranges count for what to measure next
    :param fault: what it was refused for, None where it was not
    :param shows: names of the results that the printed plan shows; empty for all
    """

    key: str
    title: str
    provider: str
    status: str
    reason: str = ""
    answer: Answer | None = None
    cause: str = ""
    shows: tuple[str, ...] = ()
    decides: bool = True
    fault: Refusal | None = None


def plan(job: Job, sections: Sequence[Section], inputs: Mapping[str, Any]) -> Answer:
    """One Answer of a job's sections, in their order.

    :param inputs: the job as understood, for the answer

    Dated checks are gathered from the sections' own ``checks`` and put in the order of the year that
    begins with the build. Warnings, cautions, assumptions and sources are brought together, each
    once; they also stay with their section.
    """
    answers = [section.answer for section in sections if section.answer is not None]
    checks = [
        _dated(check, job.build_date) for answer in answers for check in answer.results.get("checks", ())
    ]
    # The year of checks begins with the month after the build, or in January if nobody knows it.
    first = job.build_date.month + 1 if job.build_date else 1
    checks.sort(key=lambda check: (check["month_number"] - first) % 12)
    rows = [{"when": check["when"], "check": check["check"]} for check in checks]
    assumptions = [note for answer in answers for note in answer.assumptions]
    if job.build_date is None:
        assumptions.append(
            Assumption("NO_BUILD_DATE", "No build date is given, so checks carry months only.")
        )
    return Answer(
        "plan",
        inputs,
        {
            "job_name": job.name,
            "build_date": job.build_date,
            "sections": [_row(section) for section in sections],
            "checks": rows,
            "measurements": _measurements([s.answer for s in sections if s.answer and s.decides]),
        },
        warnings=_once([answer.warnings for answer in answers]),
        cautions=_once([answer.cautions for answer in answers]),
        assumptions=_once([assumptions]),
        sources=tuple(source for answer in answers for source in answer.sources),
    )


def _measurements(answers: Sequence[Answer]) -> list[dict[str, Any]]:
    """The measurements that would narrow the Ranges of these answers most, each answer counting alike."""
    doubtful = [causes for causes in (answer.causes() for answer in answers) if causes]
    shares: dict[str, float] = {}
    for causes in doubtful:
        for name, share in causes.items():
            measure = next((d.measure for d in INPUTS if d.name == name), "")
            if measure:
                shares[measure] = shares.get(measure, 0.0) + share / len(doubtful)
    best = sorted(shares.items(), key=lambda item: -item[1])[:MEASUREMENTS]
    # Taking a share of the variance away narrows a Range by this part of its width.
    return [
        {"measure": measure, "narrows_pct": 100.0 * (1.0 - (1.0 - share) ** 0.5)} for measure, share in best
    ]


def _row(section: Section) -> dict[str, Any]:
    return {
        "key": section.key,
        "title": section.title,
        "provider": section.provider,
        "status": section.status,
        "reason": section.reason,
        "cause": section.cause,
        "shows": section.shows,
        "answer": section.answer,
    }


def _once(groups: Sequence[Sequence[Any]]) -> tuple[Any, ...]:
    seen: list[Any] = []
    for note in (note for group in groups for note in group):
        if note not in seen:
            seen.append(note)
    return tuple(seen)


def _dated(check: dict[str, Any], build: date | None) -> dict[str, Any]:
    """A check of the year with its month written out, and its year if the build date is known."""
    month = check["month_number"]
    when = MONTHS[month - 1]
    if build is not None:
        when = f"{when} {build.year + (month <= build.month)}"
    return {**check, "when": when}
