"""The lumber of a job, as a section of its plan: by its log where it has one."""

from dataclasses import replace

from woodmove.contract.answer import Answer
from woodmove.contract.params import Param, Request
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import STOCK_MC
from woodmove.extend.params import TEXT
from woodmove.questions.acclimate import ACCLIMATE
from woodmove.questions.readings import FORECAST, METER, SETTING

# Of a job: its log, and what it says of the lumber on the day of stacking, since the log says what it is now.
READINGS_LOG = Param(
    "readings_log", "--log", TEXT, "Log of readings, beside this file: what it says counts, once it is there",
    "readings.csv", "readings.log",
)  # fmt: skip
STACKED_MC = STOCK_MC.replace(name="stacked_mc_pct", option="", job="")


def run_lumber(request: Request, catalogue: Catalogue) -> Answer:
    """When the lumber of a job is ready: by its log where it has one, else by what is told of it."""
    log = request["readings_log"]
    spec = ACCLIMATE if log is None else FORECAST
    values = {param.name: request.get(param.name) for param in spec.params}
    if log is not None:
        values |= {"log": log, STOCK_MC.name: request[STACKED_MC.name]}
    return spec.run(replace(request, values=values), catalogue)


LUMBER_SECTION = replace(
    ACCLIMATE,
    params=(*ACCLIMATE.params, READINGS_LOG, METER, SETTING, STACKED_MC),
    run=run_lumber,
)
