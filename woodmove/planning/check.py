"""woodmove check"""

from typing import Annotated

from woodmove.contract.answer import Answer, Verdict
from woodmove.contract.commands import CommandSpec
from woodmove.contract.notes import note
from woodmove.contract.params import Param, Request
from woodmove.contract.refusal import Refusal, Refusals
from woodmove.contract.shown import Shown, results
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import TODAY, today_of
from woodmove.extend.params import TEXT
from woodmove.files.job import read_job
from woodmove.planning.run import run_sections
from woodmove.planning.schema import read
from woodmove.report.words import sentence
from woodmove.units.systems import System


@results
class Checked:
    """A job file without a fault."""

    fields_read: Annotated[int, Shown("fields read")]
    faults: Annotated[int, Shown("faults")]
    units: Annotated[System | None, Shown("units")]
    sections_done: Annotated[str, Shown("sections done", None, "key")]
    sections_blocked: Annotated[str | None, Shown("sections blocked", None, "key")]


def ask(request: Request, catalogue: Catalogue) -> Answer[Checked]:
    """Every bad field of a job file with its line: those that cannot be read, else those that make a
    section fail."""
    path = request["job"]
    job = read(read_job(path), catalogue, today_of(request))
    runs, _, _ = run_sections(job, catalogue, request.draws, request.seed, request.prints)
    faults: list[Refusal] = []
    for run in runs:
        part, found = run.part, run.faults
        if part.cause and not found:
            text = f"[{part.key}] {part.reason}"
            found = (Refusal("PLUGIN_FAILED", text, file=path, exit_code=4),)
        if run.answer is not None:
            found += tuple(
                Refusal("BAD_ROW", sentence(warning, "in"), file=path)
                for warning in run.answer.warnings
                if warning.code.endswith(("BAD_ROW", "BAD_ROWS"))
            )
        # What several sections need, and miss, is one fault of the file; so is a row that several read.
        told = {(fault.text, fault.line) for fault in faults}
        faults += [fault for fault in found if (fault.text, fault.line) not in told]
    if faults:
        raise Refusals(faults)
    blocked = [f"{run.part.key}: {run.part.reason.rstrip('.')}" for run in runs if run.without]
    return Answer(
        Verdict("go", (NO_FAULT(count=len(job.lines)),)),
        Checked(
            fields_read=len(job.lines),
            faults=0,
            units=job.units,
            sections_done=", ".join(run.part.key for run in runs if run.part.status == "done"),
            sections_blocked="; ".join(blocked) or None,
        ),
        job.assumptions,
    )


NO_FAULT = note("NO_FAULT", "The job is sound: {count} values, no fault.", count=None)

CHECK = CommandSpec(
    "check",
    "Read a job file and report every bad field with its line.",
    ("woodmove check job.toml",),
    (Param("job", "JOB", TEXT, "Job file", "job.toml", required=True), TODAY),
    ask,
    line="Every fault of a job file",
)

COMMANDS = (CHECK,)
