"""The table, read into finishes.

`mee_*` columns hold the effectiveness as printed, empty where the source is silent; `status`, `source`
and `remark` say how it is known. The resistance and the `fitted_*` columns were worked out from it by
:mod:`woodmove_finishes.fit`, so that no run has to; `fit_status` says so.
"""

import csv
from importlib.resources import files

from woodmove.extend.api import Finish, Known, Status

# Days of exposure, and the columns of a day. The names carry the day for whoever reads the table.
MEASURED = {1: "mee_1_day_pct", 7: "mee_7_days_pct", 14: "mee_14_days_pct"}
FITTED = {1: "fitted_1_day_pct", 7: "fitted_7_days_pct", 14: "fitted_14_days_pct"}


def load() -> list[Finish]:
    """The finishes, in the order of the table. `coats` is 0 where the source gives no number of coats.

    :raises ValueError: a value outside the bounds of its dataclass, or an unknown status word
    """
    text = files("woodmove_finishes").joinpath("tables", "finishes.csv").read_text(encoding="utf-8")
    return [_finish(row) for row in csv.DictReader(text.splitlines())]


def _finish(row: dict[str, str]) -> Finish:
    coats = int(row["coats"] or 0)
    # One product stands in several rows: without the coats its name would mean the first of them.
    name = f"{row['name']}, {coats} coat{'s' * (coats > 1)}" if coats else row["name"]
    return Finish(
        row["key"],
        name,
        coats,
        float(row["resistance_s_m"]),
        {day: float(row[column]) for day, column in MEASURED.items() if row[column]},
        {day: float(row[column]) for day, column in FITTED.items()},
        Known(Status(row["status"]), row["source"], row["remark"]),
        tuple(filter(None, row["aliases"].split("|"))),
    )
