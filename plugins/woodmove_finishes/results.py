"""What the finishes are, as they are shown."""

from typing import Annotated

from woodmove.extend.api import Shown, quantity, results


@results
class FinishRow:
    """A finish: the published test, the same from its one resistance, and what it leaves of a top's swing."""

    key: Annotated[str, Shown("key", None, "key")]
    coats: Annotated[int | None, Shown("coats", None, "key")]
    mee_1_day_pct: Annotated[float | None, Shown("MEE, day 1", quantity.HUMIDITY, "key")]
    mee_7_days_pct: Annotated[float | None, Shown("day 7", quantity.HUMIDITY, "key")]
    mee_14_days_pct: Annotated[float | None, Shown("day 14", quantity.HUMIDITY, "key")]
    swing_mm: Annotated[float | None, Shown("the top moves", quantity.FINE_LENGTH, "key")]
    fitted_1_day_pct: Annotated[float, Shown("fitted, day 1", quantity.HUMIDITY)]
    fitted_7_days_pct: Annotated[float, Shown("day 7", quantity.HUMIDITY)]
    fitted_14_days_pct: Annotated[float, Shown("day 14", quantity.HUMIDITY)]
    misfit_points: Annotated[float | None, Shown("misfit", quantity.POINTS)]
    resistance_s_m: Annotated[float, Shown("resistance in s/m")]
    status: Annotated[str, Shown("status")]
    name: Annotated[str, Shown("name")]
    source: Annotated[str, Shown("source")]
    remark: Annotated[str, Shown("remark")]


@results
class SecondFace:
    """What waiting with the second face costs."""

    wait_days: Annotated[float, Shown("second face after", quantity.DAYS)]
    cup_mm: Annotated[float, Shown("cups by", quantity.GAP)]
    shape: Annotated[str, Shown("which way")]


@results
class Finishes:
    """Every finish that there is."""

    bare_swing_mm: Annotated[float | None, Shown("bare, the top moves", quantity.FINE_LENGTH, "headline")]
    finishes: Annotated[tuple[FinishRow, ...], Shown("finishes", None, "key")]
    second_face_later: Annotated[tuple[SecondFace, ...], Shown("the second face later")]
