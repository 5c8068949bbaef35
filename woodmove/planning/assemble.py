"""The whole plan of a job: the answers of its sections, made into one."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from woodmove.advice.doubt.inputs import MEASURES
from woodmove.contract.answer import Answer
from woodmove.contract.notes import Assumption, Warning
from woodmove.contract.refusal import Refusal
from woodmove.domain.job import Job
from woodmove.planning.dates import Calendar

MEASUREMENTS = 3
# How far metered strips may lie from what the job reckons with before it is told (status: judgement).
APART_POINTS = 1.0
# Results of the sections that are done, by section.
_Results = Mapping[str, Mapping[str, Any]]


@dataclass(frozen=True, slots=True)
class Section:
    """A section that has been run.

    :param status: "done", "skipped" or "failed"
    :param reason: why it was skipped or failed
    :param answer: None unless done
    :param cause: of a failure that fails the plan: "data", or "plugin" if the job asked for the section;
        empty where the plan is good without it
    :param decides: True if its Ranges count for what to measure next
    :param faults: what it was refused for
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
    faults: tuple[Refusal, ...] = ()


def plan(job: Job, sections: Sequence[Section], inputs: Mapping[str, Any]) -> Answer:
    """One Answer of a job's sections, in their order.

    :param inputs: the job as understood, for the answer

    Dated checks are gathered from the sections' own ``checks`` and put in the order of
    time. Warnings, cautions, assumptions and sources are brought together, each
    once; they also stay with their section.
    """
    answers = [section.answer for section in sections if section.answer is not None]
    results = {section.key: section.answer.results for section in sections if section.answer is not None}
    calendar = Calendar(job, results)
    notes = (*calendar.warnings(), *_at_odds(job, results))
    assumptions = [*job.assumptions, *(note for answer in answers for note in answer.assumptions)]
    if "mc_now_pct" in job.values and "mc_now_pct" not in job.lines:
        assumptions.append(
            Assumption(
                "MC_EXPECTED",
                "The top is taken to be assembled at {mc_now_pct}, as the lumber is expected then. Meter on "
                "the day, write it into the job as wood.mc_now and make the plan again: the screws' starts "
                "hang on it.",
                {"mc_now_pct": job.values["mc_now_pct"]},
            )
        )
    if "top_thickness_mm" in job.values and "top_thickness_mm" not in job.lines:
        assumptions.append(
            Assumption(
                "THICKNESS_EXPECTED",
                "The top is taken to come out {top_thickness_mm} thick, as its strips are expected to "
                "leave it.",
                {"top_thickness_mm": job.values["top_thickness_mm"]},
            )
        )
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
            "checks": calendar.checks(),
            "measurements": _measurements(
                [
                    section.answer.causes(section.shows)
                    for section in sections
                    if section.answer and section.decides
                ]
            ),
        },
        warnings=_once([notes, *(answer.warnings for answer in answers)]),
        cautions=_once([answer.cautions for answer in answers]),
        assumptions=_once([assumptions]),
        sources=tuple(source for answer in answers for source in answer.sources),
    )


def _at_odds(job: Job, results: _Results) -> Iterator[Warning]:
    """Where what the sections find does not go together."""
    yield from _no_go(results)
    yield from _two_moistures(job, results)
    yield from _strips(job, results)
    yield from _hands(job, results)


def _no_go(results: _Results) -> Iterator[Warning]:
    glued = results.get("glue-up", {})
    if glued.get("because") is not None:
        text = "The glue-up is no go as it is planned: {because}."
        yield Warning("NO_GO", text, {"because": glued["because"]})


def _two_moistures(job: Job, results: _Results) -> Iterator[Warning]:
    told = job.values.get("mc_now_pct")
    expected = results.get("lumber", {}).get("mc_at_build_pct")
    if expected is not None and "mc_now_pct" in job.lines and not expected.low <= told <= expected.high:
        yield Warning(
            "TWO_MOISTURES",
            "The job says that the wood of the top is at {mc_now_pct} (wood.mc_now), and all sections of the "
            "top count on it; the lumber is expected at {expected_pct} on the day of the build. Leave "
            "wood.mc_now out until the strips are metered for the glue-up.",
            {"mc_now_pct": told, "expected_pct": expected},
        )


def _strips(job: Job, results: _Results) -> Iterator[Warning]:
    needed = results.get("strips", {}).get("strip_count")
    listed = results.get("lay-up", {}).get("strip_count")
    if needed is not None and listed is not None and listed < needed:
        yield Warning(
            "STRIPS_MISSING",
            "The list holds {listed} strips that can be laid up, and the top takes {needed}: {missing} more.",
            {"listed": listed, "needed": needed, "missing": needed - listed},
        )
    told, metered = job.values.get("mc_now_pct"), results.get("lay-up", {}).get("metered_pct")
    if told is not None and metered is not None and abs(metered - told) > APART_POINTS:
        yield Warning(
            "STRIPS_AT_ODDS",
            "The metered strips of the list are at {listed_pct} on the mean, and all other sections reckon "
            "with {mc_now_pct} at the assembly. If they will be glued as they are, write it into the job as "
            "wood.mc_now.",
            {"listed_pct": metered, "mc_now_pct": told},
        )


def _hands(job: Job, results: _Results) -> Iterator[Warning]:
    hands, lifters = job.values.get("hands"), results.get("weight", {}).get("people")
    if hands is not None and lifters is not None and hands < lifters:
        yield Warning(
            "TOO_FEW_HANDS",
            "The top takes {lifters} people to lift, and the job has {hands} (glue.people): find help or a "
            "hoist before it is turned over.",
            {"lifters": lifters, "hands": hands},
        )


def _measurements(of_sections: Sequence[dict[str, float]]) -> list[dict[str, Any]]:
    """The measurements that would narrow the Ranges of these sections most, each section counting alike.

    :param of_sections: shares of the variance by input
    """
    doubtful = [causes for causes in of_sections if causes]
    shares: dict[str, float] = {}
    texts: dict[str, str] = {}
    for causes in doubtful:
        for name, share in causes.items():
            if measure := MEASURES.get(name):
                shares[measure.code] = shares.get(measure.code, 0.0) + share / len(doubtful)
                texts[measure.code] = measure.text
    best = sorted(shares.items(), key=lambda item: -item[1])[:MEASUREMENTS]
    # Taking a share of the variance away narrows a Range by this part of its width.
    return [
        {"code": code, "measure": texts[code], "narrows_pct": 100.0 * (1.0 - (1.0 - share) ** 0.5)}
        for code, share in best
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
