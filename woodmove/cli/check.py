"""woodmove check"""

from woodmove.cli.jobs import read, run_sections
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.contracts import CommandSpec
from woodmove.extend.groups import TODAY
from woodmove.extend.params import TEXT, Param, Request
from woodmove.files.job import read_job
from woodmove.report.words import sentence
from woodmove.shop.answer import Answer, Refusal, Refusals


def run(request: Request, catalogue: Catalogue) -> Answer:
    """Every bad field of a job file with its line: those that cannot be read, else those that make a
    section fail."""
    path = request["job"]
    job = read(read_job(path), catalogue, request["today"])
    sections, _ = run_sections(job, catalogue, request.draws, request.seed)
    faults: list[Refusal] = []
    for section in sections:
        fault = section.fault or (
            Refusal("PLUGIN_FAILED", f"[{section.key}] {section.reason}", file=path, exit_code=4)
            if section.cause
            else None
        )
        # What several sections need, and miss, is one fault of the file.
        if fault is not None and all((fault.text, fault.line) != (f.text, f.line) for f in faults):
            faults.append(fault)
        if section.answer is not None:
            faults += [
                Refusal("BAD_ROW", f"[{section.key}] {sentence(warning, 'in')}", file=path)
                for warning in section.answer.warnings
                if warning.code.endswith(("BAD_ROW", "BAD_ROWS"))
            ]
    if faults:
        raise Refusals(faults)
    return Answer(
        "check",
        {**request.inputs(), "units": job.units},
        {
            "fields_read": len(job.lines),
            "faults": 0,
            "sections_done": ", ".join(s.key for s in sections if s.status == "done"),
            "sections_skipped": "; ".join(
                f"{s.key}: {s.reason.rstrip('.')}" for s in sections if s.status == "skipped"
            )
            or None,
        },
    )


CHECK = CommandSpec(
    "check",
    "Read a job file and report every bad field with its line.",
    ("woodmove check job.toml",),
    (Param("job", "JOB", TEXT, "Job file", "job.toml", required=True), TODAY),
    run,
)

COMMANDS = (CHECK,)
