"""The lumber of a job, as a section of its plan: by its log where it has one."""

from collections.abc import Iterable
from datetime import date

from woodmove.advice.drying.forecast import Forecast
from woodmove.advice.drying.readiness import Ready
from woodmove.contract.notes import Note, note
from woodmove.contract.plan import Hand, Section, on_their_days
from woodmove.contract.quantity import DAYS
from woodmove.contract.stage import Stage
from woodmove.extend.groups import GLUED_MC, MC_NOW, READY_DATE
from woodmove.questions.acclimate import ACCLIMATE
from woodmove.questions.shared.lumber import FROM_DATE, STOCK_ROOM, STOCK_TEMP


def _moisture_pct(found: Ready | Forecast) -> float | None:
    """On the day of the build, else as its log says or once it is ready. No meter tells more than a tenth of
    a percent."""
    if found.mc_at_build_pct is not None:
        return round(found.mc_at_build_pct.expected, 1)
    return round(found.mc_now_pct.expected, 1) if isinstance(found, Forecast) else _glued_pct(found)


def _glued_pct(found: Ready | Forecast) -> float | None:
    if isinstance(found, Forecast) or found.mc_when_ready_pct is None:
        return None
    return round(found.mc_when_ready_pct.expected, 1)


def _ready(found: Ready | Forecast, begun: date) -> date | None:
    """The day on which it is ready."""
    return found.checks[0].date if found.checks else None


def _sooner(found: Ready | Forecast) -> Iterable[Note]:
    """The measure that saves most days, where one saves any."""
    faster = () if isinstance(found, Forecast) else found.faster
    if saving := [(row.saves_days, row.measure) for row in faster if row.saves_days]:
        days, measure = max(saving, key=lambda pair: pair[0])
        yield SOONER(measure=measure, saves_days=days)


SOONER = note("SOONER", "{measure}: {saves_days} sooner.", measure=None, saves_days=DAYS)

LEAVES = note("LEAVES", "Until the lumber is ready: {days}.", days=None)

LUMBER = Section(
    "lumber",
    "When the lumber is ready",
    ACCLIMATE,
    Stage.SETTLE,
    "Lumber",
    needs=((FROM_DATE, STOCK_TEMP, STOCK_ROOM),),
    hands=(
        Hand(MC_NOW, _moisture_pct, span=lambda found: found.mc_at_build_pct),
        Hand(GLUED_MC, _glued_pct),
        Hand(READY_DATE, lambda found: _ready(found, date.min)),
    ),
    day=FROM_DATE,
    ends=_ready,
    checks=lambda found: on_their_days(found.checks),
    card=_sooner,
    leaves=lambda found: ((row.code, LEAVES(days=row.leaves)) for row in found.measures),
)
