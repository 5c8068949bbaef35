"""The sections of a plan, run one after another, each with what those before it hand on."""

import re
from collections.abc import Iterator, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from woodmove.contract.answer import Answer
from woodmove.contract.notes import Assumption, Note, Warning
from woodmove.contract.params import Param, Request, telling
from woodmove.contract.plan import Check, Part, Section
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal, Refusals
from woodmove.contract.reply import Reply
from woodmove.domain.job import Job
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.guard import PluginFault, guarded
from woodmove.extend.params import TYPED, hint_in
from woodmove.extend.typed import checked_answer, checked_items
from woodmove.planning.came_out import CAME_OUT, as_measured
from woodmove.planning.schema import CORE_PROVIDER, Schema
from woodmove.units.systems import System


@dataclass(frozen=True, slots=True)
class Run:
    """A section that has been run, with what it says to the plan.

    :param card: what the card says of it
    :param checks: what to look at later
    :param ends: by the day on which it is begun, the day from which the next step may begin
    :param faults: what it was refused for
    :param without: of a part that is not planned yet, the job's keys that it waits for
    """

    section: Section[Any]
    part: Part
    card: tuple[Note, ...] = ()
    checks: tuple[Check, ...] = ()
    faults: tuple[Refusal, ...] = ()
    without: tuple[str, ...] = ()

    @property
    def answer(self) -> Answer[Any] | None:
        """Its answer, None unless it is done."""
        return None if self.part.answer is None else self.part.answer.answer

    @property
    def title(self) -> str:
        """What it is about, in the middle of a sentence."""
        return self.section.title[:1].lower() + self.section.title[1:]

    def ends(self, begun: date) -> date | None:
        """The day from which the next step may begin; None where no day is known."""
        return begun if self.answer is None else self.section.ends(self.answer.results, begun)


def run_sections(
    job: Job, catalogue: Catalogue, draws: int, seed: int, prints: System
) -> tuple[list[Run], Job, list[Warning]]:
    """Run the sections of a job, each on its own: one that fails does not stop the others. What the job does
    not say, those after it take from what those before it hand on.

    :param prints: units in which the plan is printed
    :returns: the sections that are asked for, the job as they took it, and where the job says otherwise than
        what a section has found
    """
    runs: list[Run] = []
    conflicts: list[Warning] = []
    handed: list[Assumption] = []
    sections = Schema.of(catalogue).sections
    for number, (section, provider) in enumerate(sections):
        asked = not job.asked or section.key in job.asked
        later = [other for other, _ in sections[number + 1 :] if other.key in job.asked]
        # A section says the same whichever others are printed.
        if not asked and not (section.hands and later):
            continue
        run = _run(section, provider, job, catalogue, draws, seed, prints)
        if run.without and not section.missed:
            continue
        if run.answer is not None:
            job, told, taken = _handed_on(section, run.answer.results, job)
            conflicts += told
            handed += taken
        if asked:
            runs.append(run)
    return runs, replace(job, assumptions=(*job.assumptions, *handed)), conflicts


def _handed_on(section: Section[Any], results: Any, job: Job) -> tuple[Job, list[Warning], list[Assumption]]:
    """The job with what a section has found where it says nothing itself, where it says otherwise, and what
    was taken over."""
    values = dict(job.values)
    conflicts: list[Warning] = []
    taken: list[Assumption] = []
    for hand in section.hands:
        said = values.get(hand.param.name) if hand.param.name in job.lines else None
        span = hand.span(results) if hand.span else None
        if said is None:
            value = hand.value(results)
            if value is not None:
                values[hand.param.name] = value
                if hand.param.job:
                    taken.append(_taken(hand.param, value, section.title))
        elif span is not None and not span.low <= said <= span.high:
            conflicts.append(_conflict(hand.param, said, span, section.title))
    return replace(job, values=values), conflicts, taken


def _taken(param: Param[Any], value: Any, title: str) -> Assumption:
    return Assumption(
        "HANDED_ON",
        f"{{what}} ({{place}}): {{{param.name}}}, as \"{{title}}\" finds.",
        {"what": param.help.partition(";")[0].partition(",")[0], "place": param.job, param.name: value,
         "title": title},
    )  # fmt: skip


def _conflict(param: Param[Any], said: float, span: Range, title: str) -> Warning:
    name = f"said{param.name.removeprefix(param.name.rsplit('_', 1)[0])}"
    found = name.replace("said", "found")
    return Warning(
        "SAID_OTHERWISE",
        f"The job says {{{name}}} ({{place}}). {{title}}: {{{found}}} is expected. Take the line out, or "
        "measure again.",
        {name: said, found: span, "place": param.job, "title": title},
    )


def _run(
    section: Section[Any],
    provider: str,
    job: Job,
    catalogue: Catalogue,
    draws: int,
    seed: int,
    prints: System,
) -> Run:
    params = section.command.params
    without = tuple(_without(section, job))
    said = job.values if section is CAME_OUT else as_measured(job.values, section.stage)
    # What a job takes for granted hangs on its own units, not on those that it is printed in.
    units = job.units or prints
    values = {param.name: said.get(param.name, param.default_in(units)) for param in params}
    given = frozenset(job.lines)

    def part(status: Any, reason: str = "", cause: Any = "", answer: Reply | None = None) -> Part:
        return Part(key=section.key, title=section.title, provider=provider, status=status, reason=reason,
                    cause=cause, answer=answer)  # fmt: skip

    if without:
        return Run(section, part("blocked", f"Say {' and '.join(without)}."), without=without)
    try:
        with _guard(provider):
            request = Request(values, draws, seed, job.units, job.values["today"], given, prints=prints)
            answer = section.command.run(request, catalogue)
            if provider != CORE_PROVIDER:
                answer = checked_answer(answer)
            reply = Reply.to(section.command.name, request, answer, draw=section.command.draw)
            card = checked_items(section.card(answer.results), Note)
            checks = checked_items(section.checks(answer.results), Check)
    except (Refusal, Refusals) as refused:
        faults = refused.faults if isinstance(refused, Refusals) else (refused,)
        text = " ".join(_placed(fault, job, params) for fault in faults)
        return Run(section, part("failed", text, "data"), faults=tuple(faults))
    except PluginFault as fault:
        plugin = catalogue.manager.named(provider)
        catalogue.manager.set_aside(plugin, str(fault))
        asked = section.key in job.asked or any(
            param.job.startswith(f"{section.key}.") and param.name in job.values for param in params
        )
        return Run(section, part("failed", f"{plugin.reason}.", "plugin" if asked else ""))
    if not card:
        card = (*answer.verdict.needs, *answer.verdict.says[:1])
    return Run(section, part("done", answer=reply), card, checks)


def _guard(provider: str) -> AbstractContextManager[Any]:
    return nullcontext() if provider == CORE_PROVIDER else guarded(Refusal, Refusals)


def _without(section: Section[Any], job: Job) -> Iterator[str]:
    """The job's keys that a section waits for."""
    for param in section.command.params:
        if param.required and param.name not in job.values:
            yield param.job or param.name
    for group in section.needs:
        if not any(job.values.get(param.name) is not None for param in group):
            yield group[0].job


def _placed(fault: Refusal, job: Job, params: Sequence[Param[Any]]) -> str:
    """The words of a fault, with the line of the job that it is about: of the value, or of the file named."""
    names = fault.fields or [name for name, value in job.values.items() if value == fault.file]
    told = [param.name for name in names if (param := telling(params, name))]
    line = next((job.lines[name] for name in (*names, *told) if name in job.lines), None)
    if fault.line is None and (line is not None or fault.file is None):
        fault.file, fault.line = job.source, line
    fault.instead = _for_a_file(hint_in(job.units or "in", fault.instead, params), params)
    fault.exit_code = fault.exit_code if fault.exit_code == 4 else 1
    where = f"{fault.file}:{fault.line}: " if fault.line else ""
    return f"{where}{fault.text} {fault.instead}".strip()


def _for_a_file(instead: str, params: Sequence[Param[Any]]) -> str:
    """What to type on a command line, as what to write in a job file."""
    text = re.sub(r"^(Type|Add) (woodmove \w+ )?(?=--)", "Write ", instead)
    for param in params:
        if param.job and param.option:
            text = re.sub(rf"{re.escape(param.option)} {TYPED}",
                          lambda m, place=param.job: f'{place} = "{m[1].strip(chr(39))}"', text)  # fmt: skip
            whole = any(part.job not in ("", param.job) for _, part in param.kind.parts)
            named = f"[{param.job.partition('.')[0]}]" if whole else param.job
            text = re.sub(rf"{re.escape(param.option)}(?![\w-])", named, text)
    # Two values are two lines of a file.
    return re.sub(r'(?<=") (?=\w+\.\w+ = ")', " and ", text)
