"""A plan as a card: what to do now, what each step takes, what to look at next. ``--details`` adds the
parts."""

import textwrap
from collections.abc import Iterator

from woodmove.contract.answer import Answer
from woodmove.contract.plan import DatedCheck, PlanResults
from woodmove.contract.reply import Reply
from woodmove.report.page import (
    LEAST_WIDTH,
    PAGE,
    closed,
    notes_text,
    results_text,
    sources_text,
    titled,
    verdict_text,
)
from woodmove.report.words import sentence
from woodmove.units.show import day_text, printable
from woodmove.units.systems import System

LINES = 60
CHECKS = 6  # days
MOST_HEAD, MOST_ON_A_LINE = 10, 2


def render(
    reply: Reply, answer: Answer[PlanResults], system: System, *, details: bool = False, width: int = PAGE
) -> str:
    """The card of a plan, with a line break at its end.

    :param details: with all its parts
    :param width: of the terminal
    """
    width = max(min(width, PAGE), LEAST_WIDTH)
    parts = [*_card(answer, system, width, details=details)]
    if details:
        parts += _parts(reply, answer, system, width)
    else:
        parts.append(_fill(_more(reply, answer), width))
    return "\n\n".join(part for part in parts if part) + "\n"


def _card(answer: Answer[PlanResults], system: System, width: int, *, details: bool) -> Iterator[str]:
    plan = answer.results
    head = printable(plan.job_name or "Plan")
    when = day_text(plan.today)
    if plan.build_date:
        when += f", for a build on {day_text(plan.build_date)}"
    gap = width - len(head) - len(when)
    yield f"{head}{' ' * gap}{when}" if gap > 1 else f"{head}\n{when}"
    yield verdict_text(answer.verdict, system, width)
    lines: list[str] = []
    wide = min(max((len(line.head) for line in plan.card), default=0), MOST_HEAD)
    for word, texts in card_lines(answer, system):
        lines += [_line(word if number == 0 else "", text, wide, width) for number, text in enumerate(texts)]
    yield "\n".join(lines)
    checks = plan.checks if details else _next(plan)
    wide = max((len(check.when) for check in checks), default=0)
    before = ["", *(check.when for check in checks)]
    yield "\n".join(
        _line("" if check.when == last else check.when, sentence(check.check, system), wide, width)
        for check, last in zip(checks, before, strict=False)
    )
    if measure := measure_next(plan, system):
        yield _fill(f"Measure next: {measure}", width)


def card_lines(answer: Answer[PlanResults], system: System) -> Iterator[tuple[str, list[str]]]:
    """The lines of the card: a head, and what is said under it."""
    said = {closed(sentence(note, system)) for note in answer.verdict.says}
    for line in answer.results.card:
        texts = [closed(sentence(note, system)) for note in line.says]
        texts = [text for text in texts if text not in said]
        # A list, such as a line a screw.
        groups = texts if len(texts) > MOST_ON_A_LINE else [" ".join(texts)] if texts else []
        if groups:
            yield printable(line.head), [titled(groups[0]), *groups[1:]]


def measure_next(plan: PlanResults, system: System) -> str:
    """What to measure next, and what for; empty for nothing."""
    if not plan.measurements:
        return ""
    first = plan.measurements[0]
    if first.leaves is not None:
        return f"{first.measure} {sentence(first.leaves, system)}"
    return f"{first.measure} It narrows the numbers by up to {first.narrows_pct:.0f} %."


def _next(plan: PlanResults) -> tuple[DatedCheck, ...]:
    """The checks of the days that come next."""
    days = list(dict.fromkeys(check.when for check in plan.checks))[:CHECKS]
    return tuple(check for check in plan.checks if check.when in days)


def _line(head: str, text: str, wide: int, width: int) -> str:
    lead = f"{head:<{wide}}  "
    return textwrap.fill(printable(text), width, initial_indent=lead, subsequent_indent=" " * (wide + 2))


def _more(reply: Reply, answer: Answer[PlanResults]) -> str:
    plan = answer.results
    done = [part for part in plan.sections if part.status == "done"]
    counts = (
        (len(done), "part"), (len(answer.warnings), "warning"), (len(answer.cautions), "caution"),
        (len(reply.assumptions), "assumption"), (len(plan.checks) - len(_next(plan)), "later check"),
        (len(answer.sources), "source"),
    )  # fmt: skip
    words = [f"{count} {word}{'s' * (count != 1)}" for count, word in counts if count]
    return f"{', '.join(words)}: --details" if words else ""


def _parts(reply: Reply, answer: Answer[PlanResults], system: System, width: int) -> Iterator[str]:
    for number, part in enumerate(answer.results.sections, start=1):
        head = f"{number}. {printable(part.title)}"
        yield f"{head}\n{'-' * len(head)}"
        if part.answer is None:
            yield _fill(f"{STATUSES[part.status]}: {printable(part.reason)}", width)
            continue
        of_part = part.answer.answer
        yield verdict_text(of_part.verdict, system, width)
        yield from results_text(of_part, system, width, inputs=part.answer.inputs)
        yield from notes_text("Watch", of_part.warnings, system, width)
    yield from notes_text("Safety", answer.cautions, system, width)
    yield from notes_text("Assumed", reply.assumptions, system, width)
    yield sources_text(answer.sources, width)


STATUSES = {"blocked": "Not planned yet", "failed": "Failed"}


def _fill(text: str, width: int) -> str:
    return textwrap.fill(printable(text), width)
