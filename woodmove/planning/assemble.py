"""The whole plan of a job: what its parts say, made into one answer."""

from collections.abc import Iterable, Mapping, Sequence

from woodmove.contract.answer import Answer, State, Verdict
from woodmove.contract.notes import Assumption, Note, Warning, assumption, note, once
from woodmove.contract.plan import CardLine, Measure, PlanResults
from woodmove.contract.ranges import Measurement
from woodmove.domain.job import Job
from woodmove.planning.came_out import is_over
from woodmove.planning.dates import Calendar
from woodmove.planning.run import Run

MEASUREMENTS = 3

NO_BUILD_DATE = assumption("NO_BUILD_DATE", "No build date is given (job.build_date), so the year's checks "
                                            "carry months only.")  # fmt: skip
BLOCKED = note("BLOCKED", "{parts}.", parts=None)
FAILED = note("FAILED", "{parts}: {reason}", parts=None, reason=None)
MEND_FIRST = note("MEND_FIRST", "Mend what failed before you go on: {parts}.", parts=None)
NOTHING = note("NOTHING_PLANNED", "Nothing is planned yet.")
ALL_GO = note("ALL_GO", "Nothing stands in the way. Next: {step}.", step=None)


def plan(
    job: Job, runs: Sequence[Run], conflicts: Sequence[Warning], measures: Mapping[str, Measurement]
) -> Answer[PlanResults]:
    """One answer of a job's sections, in their order.

    :param runs: the sections that were run
    :param conflicts: where the job says otherwise than a section has found
    :param measures: what lessens a doubtful input, by its name

    Warnings, cautions, assumptions and sources are brought together, each once; they also stay with their
    part.
    """
    calendar = Calendar(job, runs)
    answers = [run.answer for run in runs if run.answer is not None]
    at_odds, stuck = (*calendar.warnings(), *conflicts), tuple(calendar.stuck())
    left = [
        run for run in runs if run.section.key not in job.done and not is_over(job.values, run.section.stage)
    ]
    return Answer(
        _verdict(left, at_odds, stuck),
        PlanResults(
            job_name=job.name,
            today=calendar.today,
            build_date=job.build_date,
            card=tuple(_card([run for run in left if not calendar.misleads(run)])),
            checks=calendar.checks(),
            measurements=tuple(_measurements(left, measures)),
            sections=tuple(run.part for run in runs),
        ),
        notes=(
            *once([*at_odds, *stuck, *(one for answer in answers for one in answer.warnings)]),
            *once([one for answer in answers for one in answer.cautions]),
            *once([*_assumptions(job), *(one for answer in answers for one in answer.assumptions)]),
        ),
        sources=tuple(dict.fromkeys(source for answer in answers for source in answer.sources)),
    )


def _assumptions(job: Job) -> Iterable[Assumption]:
    yield from job.assumptions
    if job.build_date is None:
        yield NO_BUILD_DATE()


def _verdict(runs: Sequence[Run], at_odds: Sequence[Warning], stuck: Sequence[Warning]) -> Verdict:
    """What to do with the whole: what contradicts first, then the first part that stops or waits.

    :param stuck: the step of which nobody knows when it is done
    """
    states = [(run, run.answer.verdict) for run in runs if run.answer is not None and run.answer.verdict]
    state: State = "go"
    says: list[Note] = list(at_odds[:2])
    for wanted in ("stop", "wait"):
        found = [verdict for _, verdict in states if verdict.state == wanted]
        if found and state == "go":
            state = wanted
        says += [verdict.says[0] for verdict in found]
    failed = [run.title for run in runs if run.part.status == "failed"]
    if failed:
        says.append(MEND_FIRST(parts=", ".join(failed)))
    says += stuck
    if (at_odds or failed or stuck) and state == "go":
        state = "wait"
    if says:
        return Verdict(state, tuple(once(says)[:3]))
    if not states:
        return Verdict("know", (NOTHING(),))
    going = next((run for run, verdict in states if verdict.state == "go"), states[0][0])
    return Verdict(state, (ALL_GO(step=going.title),))


def _card(runs: Sequence[Run]) -> Iterable[CardLine]:
    for run in runs:
        if run.card:
            yield CardLine(head=run.section.head or run.section.title, says=run.card)
    failed: dict[str, list[str]] = {}  # what several parts need, and miss, is told once
    for run in runs:
        if run.part.status == "failed":
            failed.setdefault(run.part.reason, []).append(run.title)
    for reason, titles in failed.items():
        parts = ", ".join(titles)
        yield CardLine(head="Failed", says=(FAILED(parts=parts[:1].upper() + parts[1:], reason=reason),))
    blocked = [run for run in runs if run.without]
    if blocked:
        words = "; ".join(f"{run.title} ({', '.join(run.without)})" for run in blocked)
        yield CardLine(head="Not planned yet", says=(BLOCKED(parts=words),))


def _measurements(runs: Sequence[Run], measures: Mapping[str, Measurement]) -> Iterable[Measure]:
    """The measurements that would narrow the Ranges of these sections most, each section counting alike;
    before them what is guessed until it is measured, and what tells in a week when the work can begin."""
    doubtful = [
        causes for run in runs
        if run.answer is not None and run.section.decides and (causes := run.answer.causes())
    ]  # fmt: skip
    shares: dict[str, float] = {}
    found: dict[str, Measurement] = {}
    for causes in doubtful:
        for name, share in causes.items():
            if measure := measures.get(name):
                shares[measure.code] = shares.get(measure.code, 0.0) + share / len(doubtful)
                found[measure.code] = measure
    leaves = {
        code: left
        for run in runs if run.answer is not None
        for code, left in run.section.leaves(run.answer.results)
    }  # fmt: skip
    for code, share in sorted(
        shares.items(), key=lambda item: (not found[item[0]].guessed, item[0] not in leaves, -item[1])
    )[:MEASUREMENTS]:
        # Taking a share of the variance away narrows a Range by this part of its width.
        narrows = 100.0 * (1.0 - (1.0 - min(share, 1.0)) ** 0.5)
        yield Measure(code=code, measure=found[code].text, narrows_pct=narrows, leaves=leaves.get(code))
