"""woodmove check"""

from woodmove.contract.commands import CommandSpec
from woodmove.contract.params import Param, Request
from woodmove.contract.refusal import Refusal, Refusals
from woodmove.contract.untyped import UntypedAnswer
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import TODAY, today_of
from woodmove.extend.params import TEXT
from woodmove.files.job import read_job
from woodmove.planning.run import run_sections
from woodmove.planning.schema import read
from woodmove.report.words import sentence


def run(request: Request, catalogue: Catalogue) -> UntypedAnswer:
    """Every bad field of a job file with its line: those that cannot be read, else those that make a
    section fail."""
    path = request["job"]
    job = read(read_job(path), catalogue, today_of(request))
    sections, _ = run_sections(job, catalogue, request.draws, request.seed)
    faults: list[Refusal] = []
    for section in sections:
        found = section.faults
        if section.cause and not found:
            text = f"[{section.key}] {section.reason}"
            found = (Refusal("PLUGIN_FAILED", text, file=path, exit_code=4),)
        # What several sections need, and miss, is one fault of the file.
        told = {(fault.text, fault.line) for fault in faults}
        faults += [fault for fault in found if (fault.text, fault.line) not in told]
        if section.answer is not None:
            faults += [
                Refusal("BAD_ROW", f"[{section.key}] {sentence(warning, 'in')}", file=path)
                for warning in section.answer.warnings
                if warning.code.endswith(("BAD_ROW", "BAD_ROWS"))
            ]
    if faults:
        raise Refusals(faults)
    return UntypedAnswer(
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
        assumptions=job.assumptions,
    )


CHECK = CommandSpec(
    "check",
    "Read a job file and report every bad field with its line.",
    ("woodmove check job.toml",),
    (Param("job", "JOB", TEXT, "Job file", "job.toml", required=True), TODAY),
    run,
)

COMMANDS = (CHECK,)
