"""From the texts of a command line to an Answer, and from that to what is printed and an exit code."""

from __future__ import annotations

import sys
from dataclasses import replace
from datetime import date
from typing import Any

from woodmove.cli.core import is_core
from woodmove.cli.reader import units_of
from woodmove.contract.answer import Answer
from woodmove.contract.commands import CommandSpec
from woodmove.contract.params import Param, Request
from woodmove.contract.refusal import Refusal, Refusals
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.params import FLAG, TEXT, WHOLE, read_all, with_units
from woodmove.units.show import one_line
from woodmove.units.systems import System

UNITS = Param("units", "--units", TEXT,
              "Units of what is printed, and of numbers typed without one; else those of the job file, the "
              "settings file, or inches", "mm", choices=("in", "mm"))  # fmt: skip
DRAWS = Param("draws", "--draws", WHOLE, "Draws behind each Range", "8192", low=100, high=1_000_000,
              default=8192)  # fmt: skip
SEED = Param("seed", "--seed", WHOLE, "Seed of the draws", "1", low=0, high=2**32 - 1, default=1)
COMMON = (
    UNITS,
    Param("strict", "--strict", FLAG, "Refuse values outside a stated validity range (exit 3)", ""),
    DRAWS,
    SEED,
    Param("json", "--json", FLAG, "One JSON document, in base units", ""),
)
CSV = Param("csv", "--csv", FLAG, "The rows as CSV, in base units", "")


def execute(spec: CommandSpec, texts: dict[str, Any], catalogue: Catalogue) -> int:
    if is_core(spec):
        answer, text = _answered(spec, texts, catalogue)
        sys.stdout.write(text)
        return _exit_code(answer)
    from woodmove.extend.guard import PluginFault, guarded

    try:
        with guarded(Refusal, Refusals):
            _, text = _answered(spec, texts, catalogue)
    except PluginFault as fault:
        raise Refusal(
            "PLUGIN_FAILED",
            f"The command {spec.name} of plugin {catalogue.commands.provider(spec.name)} failed: {fault}.",
            "",
            "Tell its author, or take it out.",
            exit_code=4,
        ) from None
    sys.stdout.write(text)
    return 0


def _answered(spec: CommandSpec, texts: dict[str, Any], catalogue: Catalogue) -> tuple[Answer, str]:
    """The answer to a command line, and what to print of it."""
    flags = {name: bool(texts.pop(name, False)) for name in ("strict", "json", "csv")}
    switches = [param.name for param in spec.params if param.kind is FLAG]
    texts = {name: str(text) for name, text in texts.items() if name not in switches or text}
    reader = units_of(texts.get("units"))
    texts, bare = with_units(spec.params, texts, reader)
    values, faults = read_all((*spec.params, *COMMON), texts)
    faults = [fault for fault in faults if not set(fault.fields) & {"strict", "json"}]
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
    request = Request(values, common["draws"], common["seed"], reader, date.today())
    answer = _answer(spec, request, catalogue)
    answer = replace(answer, assumptions=(*bare, *answer.assumptions))
    system = common["units"] or answer.inputs.get("units") or reader
    if flags["strict"]:
        _hold_to_validity(answer, system)
    return answer, _text(answer, spec, system, flags)


def _answer(spec: CommandSpec, request: Request, catalogue: Catalogue) -> Answer:
    try:
        answer = spec.run(request, catalogue)
    except Refusal as fault:
        raise _labelled(fault, spec) from None
    if is_core(spec):
        return answer
    from woodmove.extend.typed import checked_answer

    return checked_answer(answer)


def _labelled(fault: Refusal, spec: CommandSpec) -> Refusal:
    """The fault with the options that it is about in front, unless a file and a line say where."""
    options = {param.name: param.option for param in spec.params}
    labels = [options[name] for name in fault.fields if name in options]
    if labels and not fault.line and not fault.wrong.startswith(labels[0]):
        fault.wrong = f"{', '.join(labels)}: {fault.wrong}"
    return fault


def _hold_to_validity(answer: Answer, system: System) -> None:
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


def _text(answer: Answer, spec: CommandSpec, system: System, flags: dict[str, bool]) -> str:
    if flags["json"]:
        from woodmove.report import document

        return document.render(answer, system)
    if flags["csv"]:
        from woodmove.report import rows
        from woodmove.report.words import sentence

        tables = [name for name, value in answer.results.items() if isinstance(value, list) and value]
        if not tables:
            raise Refusal(
                "NO_ROWS", f"This answer has no {spec.table} to print as CSV.", "",
                "Leave out --csv, or ask for --json.", exit_code=2,
            )  # fmt: skip
        text = rows.render(answer, spec.table if spec.table in tables else tables[0])
        # Rows have no place for them, and some tell of rows that are not there.
        for warning in answer.warnings:
            print(f"woodmove: {one_line(sentence(warning, system))}", file=sys.stderr)
        return text
    from woodmove.report import page

    return page.render(answer, system)


def _exit_code(answer: Answer) -> int:
    """0, or what a failed section of a plan makes of it; says which failed."""
    failed = [row for row in answer.results.get("sections", ()) if row.get("cause")]
    # What several sections need, and miss, is told once.
    for reason in dict.fromkeys(row["reason"] for row in failed):
        keys = [row["key"] for row in failed if row["reason"] == reason]
        noun = "section" if len(keys) == 1 else "sections"
        print(f"woodmove: plan {noun} {', '.join(keys)} failed: {one_line(reason)}", file=sys.stderr)
    causes = [row["cause"] for row in failed]
    if "plugin" in causes:
        return 4
    return 1 if "data" in causes else 0
