"""What each finish leaves of the swing of a certain top, and what it costs to let one face wait."""

from collections.abc import Sequence
from datetime import date

import numpy as np

from woodmove.extend.api import Draws, Finish, Season, Top
from woodmove.extend.science import drying, faces_advice, movement, season_advice
from woodmove_finishes.results import SecondFace

WAITS_DAYS = np.array([1.0, 3.0, 7.0, 14.0, 28.0])


def swings_mm(top: Top, season: Season, finishes: Sequence[Finish], draws: Draws) -> list[float] | None:
    """Swing of the top's width in a year [mm], bare wood first, then under each finish on both faces.

    :returns: None where the top's thickness, density or year is not known
    """
    bare = drying.STILL_AIR_M_S
    emissions = np.array([bare, *(float(finish.emission_m_s(bare)) for finish in finishes)])
    extremes = season_advice.lagged_extremes(top, season, emissions, "synthesis")
    if extremes is None:
        return None
    low, high = extremes
    coefficient = float(movement.movement(top, draws).width[0])
    return (top.width_mm * coefficient * (high - low)).tolist()


def waiting(top: Top, season: Season, finish: Finish, start: date, draws: Draws) -> tuple[SecondFace, ...]:
    """Cup of the top [mm] where its second face is finished so many days after the first; positive where
    the finished upper face becomes round.

    :returns: nothing where the top's thickness, density, year or moisture content is not known
    """
    tilts = season_advice.tilt_while_one_face_waits(top, season, finish, start, WAITS_DAYS, "synthesis")
    if tilts is None:
        return ()
    coefficient = float(movement.movement(top, draws).width[0])
    cups = np.asarray(season_advice.cup_mm(tilts, coefficient, top)).tolist()
    return tuple(
        SecondFace(wait_days=days, cup_mm=cup, shape=faces_advice.shape_of(cup))
        for days, cup in zip(WAITS_DAYS.tolist(), cups, strict=True)
    )
