"""woodmove plan"""

import os

from woodmove.advice.doubt.inputs import MEASURES
from woodmove.contract.answer import Answer
from woodmove.contract.commands import CommandSpec
from woodmove.contract.params import Param, Request
from woodmove.contract.plan import PlanResults
from woodmove.contract.ranges import Measurement
from woodmove.contract.refusal import Refusal
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import TODAY
from woodmove.extend.params import FLAG, TEXT
from woodmove.files.job import DEMO_DAY, read_demo, read_job
from woodmove.planning.assemble import plan
from woodmove.planning.drawings import plan_drawings
from woodmove.planning.run import run_sections
from woodmove.planning.schema import read

# The job file of a folder, where none is named.
OF_THIS_FOLDER = "woodmove.toml"


def run(request: Request, catalogue: Catalogue) -> Answer[PlanResults]:
    """The whole plan of a job file."""
    path = request["job"] or ""
    if not path and not request["demo"] and os.path.exists(OF_THIS_FOLDER):
        path = OF_THIS_FOLDER
    if bool(path) == request["demo"]:
        raise Refusal(
            "WHICH_JOB",
            "Both a job file and the demo are asked for." if request["demo"] else "No job file is named.",
            "A plan is made of one job file, or of the built-in demo.",
            "Type woodmove plan JOB.toml, or woodmove plan --demo.",
            exit_code=2,
        )
    raw, today = (read_demo(), DEMO_DAY) if request["demo"] else (read_job(path), request.clock)
    job = read(raw, catalogue, request["today"] or today)
    prints = request.prints if job.units is None or "units" in request.given else job.units
    runs, job, conflicts = run_sections(job, catalogue, request.draws, request.seed, prints)
    request.learnt.update({"job": job.source, "units": job.units} | dict(job.values))
    return plan(job, runs, conflicts, measures_of(catalogue))


def measures_of(catalogue: Catalogue) -> dict[str, Measurement]:
    """What lessens a doubtful input, by its name: core's, and those that questions of plugins declare."""
    own = [spec for _, spec in catalogue.commands]
    return MEASURES | {
        doubt.name: doubt.measure for spec in own for doubt in spec.doubts if doubt.measure is not None
    }


PLAN = CommandSpec(
    "plan",
    "The whole plan of a job: the air, the wood, the strips and their glue-up, the top through the year, the "
    "slots, the dated checks.",
    ("woodmove plan --demo", "woodmove plan --demo --json"),
    (
        Param("job", "JOB", TEXT, "Job file; woodmove new writes one", "job.toml"),
        Param("demo", "--demo", FLAG, "The built-in demo job; its numbers are invented", ""),
        TODAY,
    ),
    run,
    line="The card of a job: what to do, and when",
    draw=plan_drawings,
)

COMMANDS = (PLAN,)
