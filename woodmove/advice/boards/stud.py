"""The warp that the Stud grade allows: context for a strip, and what weighs one warp against another."""

from collections.abc import Mapping
from typing import Annotated

import numpy as np

from woodmove.advice.boards.warp import Warps
from woodmove.contract.quantity import LENGTH
from woodmove.contract.ranges import Range
from woodmove.contract.shown import Shown, results
from woodmove.physics import warp
from woodmove.physics.arrays import Array, FloatOrArray

# Warp of a nominal 2x4, 8 ft long [mm] (source: stud-grade; cup: derived, half of medium).
STUD_LENGTH_MM, STUD_FACE_MM = 2438.4, 88.9
STUD_LIMITS_MM = {"crook_mm": 6.35, "bow_mm": 19.05, "lift_mm": 9.525, "cup_mm": 0.79375}


@results
class StudLimit:
    """What the grade allows, beside the worst strip."""

    warp: Annotated[str, Shown("warp")]
    stud_8ft_mm: Annotated[float, Shown("2x4, 8 ft", LENGTH)]
    scaled_mm: Annotated[float, Shown("scaled", LENGTH)]
    worst_strip_mm: Annotated[Range, Shown("worst strip", LENGTH)]


def over_limits(found: Warps, length_mm: FloatOrArray) -> Array:
    """Whether any piece goes beyond the warp of the Stud grade, scaled to its length, in service; shape
    (boards, draws + 1)."""
    curve = (np.asarray(length_mm) / STUD_LENGTH_MM) ** 2
    limits = {
        "crook_mm": STUD_LIMITS_MM["crook_mm"] * curve,
        "bow_mm": STUD_LIMITS_MM["bow_mm"] * curve,
        "twist_deg": stud_twist_deg_per_m() * np.asarray(length_mm) * 1e-3,
    }
    over = [np.abs(found.modes[mode]["in_service"]) > limit for mode, limit in limits.items()]
    return np.logical_or.reduce(over).any(axis=1)


def stud_twist_deg_per_m() -> float:
    """Twist of the Stud grade per length [°/m]: 3/8 in over the dressed 3-1/2 in face, in 8 ft."""
    return float(warp.twist_from_lift_deg(STUD_LIMITS_MM["lift_mm"], STUD_FACE_MM)) / STUD_LENGTH_MM * 1e3


def beside(length_mm: float, width_mm: float, worst: Mapping[str, Range]) -> tuple[StudLimit, ...]:
    """The grade, scaled, beside the worst strip: context, not a rule for this size.

    :param worst: its crook, bow and corner lift in service, by mode
    """
    curve = (length_mm / STUD_LENGTH_MM) ** 2
    scaled = {
        "crook_mm": STUD_LIMITS_MM["crook_mm"] * curve,
        "bow_mm": STUD_LIMITS_MM["bow_mm"] * curve,
        "lift_mm": float(warp.corner_lift_mm(width_mm, stud_twist_deg_per_m() * length_mm * 1e-3)),
    }
    return tuple(
        StudLimit(
            warp={"lift_mm": "corner lift"}.get(mode, mode.removesuffix("_mm")),
            stud_8ft_mm=STUD_LIMITS_MM[mode],
            scaled_mm=limit,
            worst_strip_mm=worst[mode],
        )
        for mode, limit in scaled.items()
    )
