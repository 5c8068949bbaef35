"""From the texts of a command line to an Answer, and from that to what is printed and an exit code."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Mapping
from contextlib import nullcontext
from datetime import date
from typing import Any

from woodmove.cli import outputs
from woodmove.cli.busy import busy
from woodmove.cli.core import is_core
from woodmove.cli.outputs import Asked
from woodmove.cli.reader import units_of
from woodmove.cli.show import provider_of
from woodmove.contract.answer import Answer
from woodmove.contract.commands import CommandSpec
from woodmove.contract.notes import Assumption, assumption
from woodmove.contract.params import Param, Request, telling
from woodmove.contract.plan import PlanResults
from woodmove.contract.refusal import Refusal, Refusals
from woodmove.contract.reply import Reply
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.params import FLAG, TEXT, hint_in, read_all, with_units
from woodmove.units.show import one_line
from woodmove.units.systems import System

# Columns of a page that goes to no terminal.
PAGE = 88
UNITS = Param("units", "--units", TEXT,
              "Units of what is printed, and of numbers typed without one; else those of the job file, the "
              "settings file, or inches", "mm", choices=("in", "mm"))  # fmt: skip
# Draws behind each Range, and their seed: nothing that a shop would choose.
DRAWS, SEED = 8192, 1
JOB_FILE = "woodmove.toml"
JOB = Param("job_file", "--job", TEXT, "Job file for what is not typed; woodmove.toml of this folder, if "
                                       "there is one", "job.toml")  # fmt: skip
COMMON = (
    JOB,
    UNITS,
    Param("strict", "--strict", FLAG, "Refuse values outside a stated validity range (exit 3)", ""),
    Param("json", "--json", FLAG, "One JSON document, in base units", ""),
    Param("details", "--details", FLAG, "All results, what was assumed, sources", ""),
)
# Those that wait for the reader, not the reader for them.
ASKS_BACK = ("new",)
CSV = Param("csv", "--csv", FLAG, "The rows as CSV, in base units", "")


def execute(spec: CommandSpec, texts: dict[str, Any], catalogue: Catalogue) -> int:
    if is_core(spec):
        with nullcontext() if spec.name in ASKS_BACK else busy(spec.name):
            reply, text = _answered(spec, texts, catalogue)
        sys.stdout.write(text)
        return _exit_code(reply.answer)
    from woodmove.extend.guard import PluginFault, guarded

    try:
        with guarded(Refusal, Refusals), busy(spec.name):
            _, text = _answered(spec, texts, catalogue)
    except PluginFault as fault:
        raise Refusal(
            "PLUGIN_FAILED",
            f"The command {spec.name} of plugin {provider_of(spec, catalogue)} failed: {fault}.",
            "",
            "Tell its author, or take it out.",
            exit_code=4,
        ) from None
    sys.stdout.write(text)
    return 0


def _answered(spec: CommandSpec, texts: dict[str, Any], catalogue: Catalogue) -> tuple[Reply, str]:
    """The answer to a command line, and what to print of it."""
    flags = {name: bool(texts.pop(name, False)) for name in ("strict", "json", "csv", "details")}
    asked = Asked.taken_from(texts, spec, catalogue)
    switches = [param.name for param in spec.params if param.kind is FLAG]
    texts = {name: str(text) for name, text in texts.items() if name not in switches or text}
    # A name that is none is told below, with all other faults.
    path = read_all((JOB,), texts)[0]["job_file"]
    job, from_job, of_job = _of_job(spec, path, texts, catalogue)
    reader = of_job if of_job and "units" not in texts else units_of(texts.get("units"))
    texts, bare = with_units(spec.params, texts, reader)
    values, faults = read_all((*spec.params, *COMMON), texts, system=reader)
    faults = [fault for fault in faults if not (fault.code == "MISSING" and set(fault.fields) <= set(job))]
    values |= job
    faults = [fault for fault in faults if not set(fault.fields) & {"strict", "json", "details"}]
    faults += catalogue.unknown_names(spec.params, values, list(texts))
    if flags["json"] and flags["csv"]:
        faults.append(
            Refusal("TWO_FORMATS", "--json and --csv are both given.", "One run prints one format.",
                    "Leave one of them out.", exit_code=2)
        )  # fmt: skip
    if faults:
        raise Refusals(faults)
    common = {param.name: values.pop(param.name) for param in COMMON}
    # The one place where the clock is read.
    request = Request(values, DRAWS, SEED, reader, date.today(), frozenset(texts), prints=reader)
    reply = Reply.to(spec.name, request, _answer(spec, request, catalogue), (*bare, *from_job), spec.draw)
    system = common["units"] or reply.inputs.get("units") or reader
    if flags["strict"]:
        _hold_to_validity(reply.answer, system)
    if asked:
        outputs.write(asked, reply, spec, system, catalogue)
    return reply, _text(reply, spec, system, flags)


FROM_JOB = assumption("FROM_JOB", "From {file}: {places}.", file=None, places=None)


def _of_job(
    spec: CommandSpec, path: str | None, texts: Mapping[str, str], catalogue: Catalogue
) -> tuple[dict[str, Any], tuple[Assumption, ...], System | None]:
    """What the job file says of the parameters that were not typed, a note of it, and the job's units."""
    # What has neither a place in a job nor an option is what a job makes of others.
    # What is typed of a noun stands for all that the job says of it.
    told = {name for param in spec.params if param.name in texts for name in (param.name, *param.kind.names)}
    wanted = [param for param in spec.params if (param.job or not param.option) and param.name not in told]
    if path is None and (not wanted or not os.path.exists(JOB_FILE)):
        return {}, (), None
    from woodmove.files.job import read_job
    from woodmove.planning.came_out import as_measured
    from woodmove.planning.schema import read

    job = read(read_job(path or JOB_FILE), catalogue, date.today())
    said = as_measured(job.values, spec.stage) if spec.stage else job.values
    found = {param.name: said[param.name] for param in wanted if param.name in said}
    places = [param.job for param in wanted if param.job and param.name in found]
    notes = (FROM_JOB(file=path or JOB_FILE, places=", ".join(places)),) if places else ()
    return found, notes, job.units


def _answer(spec: CommandSpec, request: Request, catalogue: Catalogue) -> Answer[Any]:
    try:
        answer = spec.run(request, catalogue)
    except Refusal as fault:
        fault.instead = hint_in(request.prints, fault.instead, spec.params)
        raise _labelled(fault, spec) from None
    if is_core(spec):
        return answer
    from woodmove.extend.typed import checked_answer

    return checked_answer(answer)


def _labelled(fault: Refusal, spec: CommandSpec) -> Refusal:
    """The fault with the options that it is about in front, unless a file and a line say where."""
    named = {param.name: telling(spec.params, param.name) or param for param in spec.params}
    labels = list(dict.fromkeys(named[name].option for name in fault.fields if name in named))
    if labels and not fault.line and not fault.wrong.startswith(labels[0]):
        fault.wrong = f"{', '.join(labels)}: {fault.wrong}"
    return fault


def _hold_to_validity(answer: Answer[Any], system: System) -> None:
    from woodmove.report.words import sentence

    outside = [warning for warning in answer.warnings if warning.validity]
    if outside:
        raise Refusals(
            [
                Refusal(
                    warning.code,
                    sentence(warning, system),
                    "",
                    "Leave out --strict to compute it all the same.",
                    exit_code=3,
                )
                for warning in outside
            ]
        )  # fmt: skip


def _text(reply: Reply, spec: CommandSpec, system: System, flags: dict[str, bool]) -> str:
    if flags["json"]:
        from woodmove.report import document

        return document.render(reply, system)
    if flags["csv"]:
        return _csv(reply, spec, system)
    width = shutil.get_terminal_size().columns if sys.stdout.isatty() else PAGE
    if isinstance(reply.answer.results, PlanResults):
        from woodmove.report import card

        return card.render(reply, reply.answer, system, details=flags["details"], width=width)
    from woodmove.report import page

    return page.render(reply, system, details=flags["details"], width=width)


def _csv(reply: Reply, spec: CommandSpec, system: System) -> str:
    from woodmove.report import rows
    from woodmove.report.figures import figures_of
    from woodmove.report.words import sentence

    tables = {figure.name: figure.value for figure in figures_of(reply.answer) if rows.is_table(figure.value)}
    if not tables:
        raise Refusal(
            "NO_ROWS", f"This answer has no {spec.table} to print as CSV.", "",
            "Leave out --csv, or ask for --json.", exit_code=2,
        )  # fmt: skip
    text = rows.render(tables.get(spec.table, next(iter(tables.values()))))
    # Rows have no place for them, and some tell of rows that are not there.
    for warning in reply.answer.warnings:
        print(f"woodmove: {one_line(sentence(warning, system))}", file=sys.stderr)
    return text


def _exit_code(answer: Answer[Any]) -> int:
    """0, or what a failed part of a plan makes of it; says which failed."""
    if not isinstance(answer.results, PlanResults):
        return 0
    failed = [part for part in answer.results.sections if part.cause]
    # What several parts need, and miss, is told once.
    for reason in dict.fromkeys(part.reason for part in failed):
        keys = [part.key for part in failed if part.reason == reason]
        noun = "section" if len(keys) == 1 else "sections"
        print(f"woodmove: plan {noun} {', '.join(keys)} failed: {one_line(reason)}", file=sys.stderr)
    causes = [part.cause for part in failed]
    if "plugin" in causes:
        return 4
    return 1 if "data" in causes else 0
