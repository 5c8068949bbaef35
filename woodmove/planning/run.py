"""The sections of a plan, run one after another, each with what those before it hand on."""

import math
import re
from collections.abc import Sequence
from contextlib import nullcontext
from dataclasses import replace
from datetime import date
from typing import Any

from woodmove.contract.commands import PlanSection
from woodmove.contract.params import Param, Request
from woodmove.contract.refusal import Refusal, Refusals
from woodmove.domain.job import Job
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.guard import PluginFault, guarded
from woodmove.extend.typed import checked_answer
from woodmove.planning.assemble import Section
from woodmove.planning.dates import due
from woodmove.planning.schema import CORE_PROVIDER, Schema


def run_sections(job: Job, catalogue: Catalogue, draws: int, seed: int) -> tuple[list[Section], Job]:
    """Run the sections of a job, each on its own: one that fails does not stop the others.

    Where nobody says how wet the wood will be when it is assembled, or how thick its strips leave the top,
    the sections that follow take what the sections before them expect.

    :returns: the sections, and the job as they took it
    """
    sections: list[Section] = []
    unasked: list[Section] = []
    schema = Schema.of(catalogue).sections
    for number, (section, provider) in enumerate(schema):
        new = {
            name: value
            for name, value in _handed_on(job, [*unasked, *sections]).items()
            if name not in job.values
        }
        if new:
            job = replace(job, values={**job.values, **new})
        if not job.asked or section.key in job.asked:
            sections.append(_run(section, provider, job, catalogue, draws, seed))
        # A section says the same whichever others are printed.
        elif section.key in _HANDING and any(later.key in job.asked for later, _ in schema[number:]):
            unasked.append(_run(section, provider, job, catalogue, draws, seed))
    return sections, job


# Sections whose results stand in for values of those that follow.
_HANDING = ("lumber", "strips", "glue-up")


def _handed_on(job: Job, sections: Sequence[Section]) -> dict[str, Any]:
    """What the sections so far make of values that the job may not hold itself."""
    results = {section.key: section.answer.results for section in sections if section.answer is not None}
    handed: dict[str, Any] = {}
    if "lumber" in results:
        expected = results["lumber"].get("mc_at_build_pct") or results["lumber"].get("mc_now_pct")
        # No meter tells more than a tenth of a percent.
        handed["mc_now_pct"] = (
            job.values.get("stock_mc_pct") if expected is None else round(expected.expected, 1)
        )
    checks = results.get("lumber", {}).get("checks", ())
    ready = (date.fromisoformat(row["date"]) for row in checks if row.get("date"))
    # On the day of the glue-up the lumber is taken to be ready.
    handed["ready_date"] = job.values.get("glue_date") or next(ready, None)
    glued = results.get("glue-up", {})
    wait = glued.get("glue_water", {}).get("wait_days")
    if wait is not None:
        handed["joint_wait_days"] = int(wait.expected)
        handed["joint_set_days"] = math.ceil(glued["unstressed_h"] / 24.0)
    if "strips" in results:
        strips = results["strips"]
        handed["top_width_mm"] = strips["width_needed_mm"]
        handed["glue_strips"] = strips["top_sections"][0]["strips_each"]
        handed["joined_sections"] = sum(row["sections"] for row in strips["top_sections"])
        handed["strip_thickness_mm"] = strips["strip_thickness_mm"]
        if "flat_thickness_mm" in strips:
            handed["top_thickness_mm"] = strips["flat_thickness_mm"].expected
    return {name: value for name, value in handed.items() if value is not None}


def _run(
    section: PlanSection, provider: str, job: Job, catalogue: Catalogue, draws: int, seed: int
) -> Section:
    params = section.command.params
    missing = [param.job or param.name for param in params if param.required and param.name not in job.values]
    values = {param.name: job.values.get(param.name, param.default) for param in params}
    try:
        with nullcontext() if provider == CORE_PROVIDER else guarded(Refusal, Refusals):
            reason = f"the job has no {', '.join(missing)}" if missing else section.skip(job.values)
            if reason:
                return Section(section.key, section.title, provider, "skipped", f"{reason}.")
            answer = section.command.run(Request(values, draws, seed, job.units), catalogue)
            if provider != CORE_PROVIDER:
                for check in checked_answer(answer).results.get("checks", ()):
                    due(check, job.build_date, job.values["today"])
    except (Refusal, Refusals) as refused:
        faults = refused.faults if isinstance(refused, Refusals) else (refused,)
        text = " ".join(_placed(fault, job, params) for fault in faults)
        return Section(section.key, section.title, provider, "failed", text, cause="data", faults=faults)
    except PluginFault as fault:
        plugin = catalogue.manager.named(provider)
        catalogue.manager.set_aside(plugin, str(fault))
        asked = section.key in job.asked or any(
            param.job.startswith(f"{section.key}.") and param.name in job.values for param in params
        )
        return Section(
            section.key,
            section.title,
            provider,
            "failed",
            f"{plugin.reason}.",
            cause="plugin" if asked else "",
        )
    return Section(
        section.key, section.title, provider, "done", answer=answer, shows=section.shows,
        decides=section.decides,
    )  # fmt: skip


def _placed(fault: Refusal, job: Job, params: Sequence[Param]) -> str:
    """The words of a fault, with the line of the job that it is about: of the value, or of the file named."""
    names = fault.fields or [name for name, value in job.values.items() if value == fault.file]
    line = next((job.lines[name] for name in names if name in job.lines), None)
    if fault.line is None and (line is not None or fault.file is None):
        fault.file, fault.line = job.source, line
    fault.instead = _for_a_file(fault.instead, params)
    fault.exit_code = fault.exit_code if fault.exit_code == 4 else 1
    where = f"{fault.file}:{fault.line}: " if fault.line else ""
    return f"{where}{fault.text} {fault.instead}".strip()


def _for_a_file(instead: str, params: Sequence[Param]) -> str:
    """What to type on a command line, as what to write in a job file."""
    text = re.sub(r"^(Type|Add) (woodmove \w+ )?(?=--)", "Write ", instead)
    for param in params:
        if param.job:
            text = re.sub(rf"{re.escape(param.option)} ('[^']*'|(?!(?:and|or)\b)[\w./-]*\w)",
                          lambda m, place=param.job: f'{place} = "{m[1].strip(chr(39))}"', text)  # fmt: skip
            text = re.sub(rf"{re.escape(param.option)}(?![\w-])", param.job, text)
    # Two values are two lines of a file.
    return re.sub(r'(?<=") (?=\w+\.\w+ = ")', " and ", text)
