"""What the log of readings says of the wood of a job: it takes the place of what was assumed."""

import os
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

from woodmove.contract.notes import Assumption
from woodmove.domain.reading import ReadingsLog
from woodmove.domain.species import SpeciesShares
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.meters import METER, MeterTold
from woodmove.questions.shared.log import instrument_of, read_log

# Readings of the last so many days are one visit to the pile (status: judgement).
VISIT_DAYS = 3
# Core and shell as metered on the day of stacking; what the log holds is newer.
_STACKED = ("mc_core_pct", "mc_shell_pct")


def looks_like_path(name: str | None) -> bool:
    """True for the name of a file rather than of a place."""
    return name is not None and (
        os.sep in name or name.lower().endswith((".epw", ".csv", ".tm2", ".txt", ".tsv"))
    )


def beside(source: str, path: str) -> str:
    """A path of a job file, as seen from that file."""
    near = Path(source).parent / path
    return path if os.path.isabs(path) or not os.path.exists(source) else str(near)


def _stacked_pct(values: Mapping[str, Any]) -> float | None:
    """What a job says of its lumber on the day of stacking [%], None where it says nothing."""
    core, shell = (values.get(name) for name in _STACKED)
    return values.get("stock_mc_pct") if core is None or shell is None else (core + shell) / 2.0


def measured(
    values: Mapping[str, Any], catalogue: Catalogue, today: date
) -> tuple[dict[str, Any], tuple[Assumption, ...]]:
    """The values of a job with the moisture content of its log: of the lumber where it is still drying, else
    of the top too; and what was put in whose place.

    :raises Refusal: no log there, or nothing in it that tells a moisture content
    """
    from woodmove.advice.drying.forecast import latest_mc

    log = read_log(values["readings_log"]).as_of(today)
    if not log.readings and any(fault.code == "DAY_TO_COME" for fault in log.faults):
        # Nothing was read yet: the job is planned by what it says itself.
        told = {name: value for name, value in values.items() if name != "readings_log"}
        return told, (_left_out(log),)
    instrument = instrument_of(values.get(METER.name) or MeterTold("pin"), catalogue)
    species = values.get("species")
    name = species.main if isinstance(species, SpeciesShares) else species
    wood = catalogue.species.get(name).key if name else ""
    mc, day, count, boards = latest_mc(log, instrument, wood, VISIT_DAYS)
    changed = {name: value for name, value in values.items() if name not in _STACKED}
    changed |= {"stock_mc_pct": round(mc, 2), "mc_readings": count, "stacked_mc_pct": _stacked_pct(values)}
    # Lumber that still dries is not yet the top: how wet that will be follows from the lumber.
    if "from_date" in values or "stock_temp_c" in values:
        changed.pop("mc_now_pct", None)
    else:
        changed["mc_now_pct"] = round(mc, 2)
    told = values.get("mc_now_pct")
    notes = [
        Assumption(
            "MC_FROM_LOG",
            "The moisture content is that of the log: {mc_pct}, from {count} readings of {boards} boards "
            "up to {day}{instead}.",
            {
                "mc_pct": mc, "count": count, "boards": boards, "day": day,
                "instead": f", and not the {told:g} % of the job file" if told is not None else "",
            },
        )
    ]  # fmt: skip
    if log.faults:
        notes.append(_left_out(log))
    return changed, tuple(notes)


def _left_out(log: ReadingsLog) -> Assumption:
    return Assumption(
        "LOG_ROWS_LEFT_OUT",
        "Rows of the log that cannot be read, or whose day is to come, are left out: lines {lines}.",
        {"lines": ", ".join(str(fault.line) for fault in log.faults)},
    )
