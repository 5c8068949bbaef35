"""The lumber of a job, as a section of its plan: by its log where it has one."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from typing import Any

from woodmove.contract.answer import Answer
from woodmove.contract.notes import Note, note
from woodmove.contract.params import Param, Request
from woodmove.contract.plan import Hand, Section
from woodmove.contract.quantity import DAYS
from woodmove.contract.stage import Stage
from woodmove.contract.untyped import UntypedAnswer
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import GLUED_MC, MC_NOW, READY_DATE, STOCK_MC
from woodmove.extend.params import TEXT
from woodmove.questions.acclimate import ACCLIMATE
from woodmove.questions.readings import FORECAST, METER, SETTING
from woodmove.questions.shared.lumber import FROM_DATE, STOCK_ROOM, STOCK_TEMP

# Of a job: its log, and what it says of the lumber on the day of stacking, since the log says what it is now.
READINGS_LOG = Param(
    "readings_log", "--log", TEXT, "Log of readings, beside this file: what it says counts, once it is there",
    "readings.csv", "readings.log",
)  # fmt: skip
STACKED_MC = STOCK_MC.replace(name="stacked_mc_pct", option="", job="")


def run_lumber(request: Request, catalogue: Catalogue) -> Answer[Any] | UntypedAnswer:
    """When the lumber of a job is ready: by its log where it has one, else by what is told of it."""
    log = request["readings_log"]
    spec = ACCLIMATE if log is None else FORECAST
    values = {param.name: request.get(param.name) for param in spec.params}
    if log is not None:
        values |= {"log": log, STOCK_MC.name: request[STACKED_MC.name]}
    return spec.run(replace(request, values=values), catalogue)


QUESTION = replace(
    ACCLIMATE,
    params=(*ACCLIMATE.params, READINGS_LOG, METER, SETTING, STACKED_MC),
    run=run_lumber,
)


def _moisture_pct(found: dict[str, Any]) -> float | None:
    """On the day of the build, else as its log says or once it is ready. No meter tells more than a tenth of
    a percent."""
    expected = found.get("mc_at_build_pct") or found.get("mc_now_pct") or found.get("mc_when_ready_pct")
    return None if expected is None else round(expected.expected, 1)


def _glued_pct(found: dict[str, Any]) -> float | None:
    ready = found.get("mc_when_ready_pct")
    return None if ready is None else round(ready.expected, 1)


def _ready(found: dict[str, Any], begun: date) -> date | None:
    """The day on which it is ready."""
    days = [check["date"] for check in found.get("checks", ()) if check.get("date")]
    return date.fromisoformat(days[0]) if days else None


def _sooner(found: dict[str, Any]) -> Iterable[Note]:
    """The measure that saves most days, where one saves any."""
    saving = [row for row in found.get("faster") or () if row["saves_days"]]
    if saving:
        best = max(saving, key=lambda row: row["saves_days"])
        yield SOONER(measure=best["measure"], saves_days=best["saves_days"])


SOONER = note("SOONER", "{measure}: {saves_days} sooner.", measure=None, saves_days=DAYS)

LUMBER = Section(
    "lumber",
    "When the lumber is ready",
    QUESTION,
    Stage.SETTLE,
    "Lumber",
    needs=((FROM_DATE, STOCK_TEMP, STOCK_ROOM),),
    hands=(
        Hand(MC_NOW, _moisture_pct, span=lambda found: found.get("mc_at_build_pct")),
        Hand(GLUED_MC, _glued_pct),
        Hand(READY_DATE, lambda found: _ready(found, date.min)),
    ),
    day=FROM_DATE,
    ends=_ready,
    card=_sooner,
)
