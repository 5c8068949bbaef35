"""The whole plan of a job: the answers of its sections, made into one."""

from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

from woodmove.advice.doubt import MEASURES
from woodmove.shop.answer import Answer, Assumption, Range, Refusal, Warning
from woodmove.shop.climate import MONTHS
from woodmove.shop.job import Job

MEASUREMENTS = 3
# How far metered strips may lie from what the job reckons with before it is told (status: judgement).
APART_POINTS = 1.0
TOO_SOON, PAST, NEVER = "BUILD_DATE_TOO_SOON", "BUILD_DATE_PAST", "LUMBER_NOT_READY"
# Codes of the checks that a section counts back from the build.
_COUNTED_BACK = {"LAST_JOINT", "FLATTEN_ROUGHLY"}
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
    notes = tuple(_at_odds(job, results))
    built, today = _built(job, results), job.values["today"]
    checks = [dated(check, built, today) for answer in answers for check in answer.results.get("checks", ())]
    checks = _kept(sorted(checks, key=lambda check: check["order"]), job, {note.code for note in notes})
    rows = [{name: check[name] for name in ("when", "date", "check")} for check in checks]
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
            "checks": rows,
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


def _kept(checks: Sequence[dict[str, Any]], job: Job, told: Set[str]) -> list[dict[str, Any]]:
    """The checks, in order of time, without those that the job, another one or today overtakes."""
    codes = {"LAST_JOINT"} if job.values.get("glue_date") is not None else set()
    if told & {TOO_SOON, NEVER}:
        # Nor is the top in its room on the day that its first season is counted from.
        codes = _COUNTED_BACK | {"MEASURE_WIDTH"}
    if PAST in told:
        codes = _COUNTED_BACK | {"READY"}
    today = job.values["today"].isoformat()
    kept = []
    for check in checks:
        # That of a plugin may be bare words.
        code = getattr(check["check"], "code", "")
        if code not in codes and (check["date"] is None or check["date"] >= today):
            kept.append(check)
        if code == "LAST_JOINT":
            codes.add(code)  # of several the earliest counts
    return kept


# Days of a job in the order of the work: name of the value, its place in the job file.
_IN_ORDER = (
    ("from_date", "stock.from"),
    ("glue_date", "glue.on"),
    ("flatten_from", "flatten.from"),
    ("build_date", "job.build_date"),
)


def _out_of_order(job: Job) -> Iterator[Warning]:
    days = [(place, job.values[name]) for name, place in _IN_ORDER if job.values.get(name) is not None]
    for (first, first_day), (then, then_day) in pairwise(days):
        if then_day < first_day:
            yield Warning(
                "DATES_OUT_OF_ORDER",
                "The job says {first} = {first_day} and {then} = {then_day}: lumber is stacked, glued, "
                "flattened and screwed down in this order. Mend one of them.",
                {
                    "first": first,
                    "first_day": first_day.isoformat(),
                    "then": then,
                    "then_day": then_day.isoformat(),
                },
            )


def _at_odds(job: Job, results: _Results) -> Iterator[Warning]:
    """Where what the sections find does not go together."""
    yield from _out_of_order(job)
    yield from _no_go(results)
    yield from _two_moistures(job, results)
    yield from _strips(job, results)
    yield from _hands(job, results)
    yield from _too_soon(job, results)


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


def _too_soon(job: Job, results: _Results) -> Iterator[Warning]:
    """A build date that is over, or that comes before the work can be done. Each section that tells how long
    something takes counts by itself: where one fails, what the others say still holds."""
    today, build = job.values["today"], job.build_date
    if build is None:
        return
    if build < today:
        text = "The build date, {build}, is past. If the top is not screwed down yet, write another day."
        yield Warning(PAST, text, {"build": build})
        return
    if _never_ready(job, results):
        text = (
            "No day is known on which the lumber is ready, so none is told for the glue-up and the "
            "flattening: the section on the lumber says why."
        )
        yield Warning(NEVER, text)
        return
    if build >= (earliest := _first_day(job, results)):
        return
    begun, ready, rest = _begun(job, results), _ready(results), _rest(results)
    steps = ["the lumber is ready on {ready}" if begun == ready else "the last joint is glued on {begun}"]
    if "joint_set_days" in job.values:
        steps.append("joints set in {set_days}")
    if rest is not None:
        steps.append("the glued top rests {rest_days}")
    *first, last = steps
    text = f"{', '.join(first)} and {last}" if first else last
    yield Warning(
        TOO_SOON,
        f"By what is expected {text}: it can be screwed down from {{earliest}} on"
        f"{'' if rest else ' at the earliest'}, and not on {{build}} already.",
        {
            "ready": ready,
            "begun": begun,
            "set_days": job.values.get("joint_set_days"),
            "rest_days": rest,
            "earliest": earliest,
            "build": build,
        },
    )


def _first_day(job: Job, results: _Results) -> date:
    """The first day on which the top can be screwed down, by what is expected."""
    today = job.values["today"]
    # From there on its own section tells whether it is in time.
    if job.values.get("flatten_from") is not None:
        return today
    rest = _rest(results)
    days = (job.values.get("joint_set_days") or 0) + (0 if rest is None else rest.expected)
    return max(_begun(job, results) + timedelta(days=days), today)


def _built(job: Job, results: _Results) -> date | None:
    """The day on which the top is screwed down: as the job says, and not before it can be, unless that is
    over."""
    build = job.build_date
    if build is None or build < job.values["today"]:
        return build
    return max(build, _first_day(job, results))


def _begun(job: Job, results: _Results) -> date:
    """The day on which the last joint is glued, at the earliest."""
    today, glued = job.values["today"], job.values.get("glue_date")
    if glued is not None and glued <= today:
        return glued
    return max(glued or today, _ready(results) or today)


def _ready(results: _Results) -> date | None:
    """The day on which the lumber is ready, None where nobody knows."""
    dated = (check["date"] for check in results.get("lumber", {}).get("checks", ()) if check.get("date"))
    return next(map(date.fromisoformat, dated), None)


def _never_ready(job: Job, results: _Results) -> bool:
    """True where lumber that is still drying has no day."""
    glued = job.values.get("glue_date") or job.values.get("flatten_from")
    drying = "from_date" in job.values and (glued is None or glued > job.values["today"])
    return drying and "lumber" in results and _ready(results) is None


def _rest(results: _Results) -> Range | None:
    return results.get("flatten", {}).get("rest_between_days")


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


def dated(check: dict[str, Any], built: date | None, today: date) -> dict[str, Any]:
    """A check with the words for when it is due and its place in time. One with a date of its own keeps it;
    one of a month comes in the year after the top is built, where that is known, and again each year."""
    if check.get("date"):
        day = date.fromisoformat(check["date"])
        return {**check, "when": f"{MONTHS[day.month - 1]} {day.year}", "order": day.toordinal()}
    month = check["month_number"]
    if built is None:
        return {**check, "date": None, "when": MONTHS[month - 1], "order": month}
    year = max(built.year + (month <= built.month), today.year + (month < today.month))
    when = f"{MONTHS[month - 1]} {year}"
    return {**check, "date": None, "when": when, "order": date(year, month, 15).toordinal()}
