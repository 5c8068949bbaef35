"""What a piece weighs, and who can lift it."""

from collections.abc import Mapping
from typing import Any

import numpy as np

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.contract.notes import Assumption, Caution, Warning
from woodmove.contract.refusal import Refusal
from woodmove.contract.untyped import UntypedAnswer
from woodmove.domain.board import in_both
from woodmove.domain.species import Wood
from woodmove.physics.arrays import Array
from woodmove.physics.density import density_kg_m3
from woodmove.physics.lifting import KNUCKLES_MM, recommended_limit_kg

# Moisture content of wood of which nobody says how wet it is: that of the tables.
TABLE_MC_PCT = 12.0
# Lifting index above which the risk grows, and from which it is high for many (source: niosh-94-110).
INDEX_RAISED, INDEX_HIGH = 1.0, 3.0
MOST_PEOPLE = 4
# Width of a board: a nominal 8 in (source: ps-20).
BOARD_MM = 184.15


def weight_kg(wood: Wood, size_mm: tuple[float, float, float], mc_pct: float | None) -> float:
    """Weight of a solid block [kg] at a moisture content, by the mean of the candidates.

    :param size_mm: width, thickness, length
    """
    return float(_weights(wood, size_mm, TABLE_MC_PCT if mc_pct is None else mc_pct))


def _weights(wood: Wood, size_mm: tuple[float, float, float], mc_pct: float | Array) -> Array:
    gravity = wood.gravity_12
    assert gravity is not None
    saturation = float(np.mean([member.fibre_saturation_pct for member in wood.candidates]))
    return np.asarray(density_kg_m3(gravity, mc_pct, saturation)) * float(np.prod(size_mm)) * 1e-9


def lift(
    wood: Wood,
    size_mm: tuple[float, float, float],
    mc_pct: float | None,
    mc_readings: int,
    posture: Mapping[str, Any],
    draws: Draws,
    inputs: Mapping[str, Any],
) -> UntypedAnswer:
    """What a piece weighs, what one person should lift in this posture, and how many it takes.

    :param size_mm: width, thickness, length
    :param posture: arguments of :func:`woodmove.physics.lifting.recommended_limit_kg`
    :returns: without the weight where no table gives the density
    :raises Refusal: hands that end below the floor
    """
    end = posture["height_mm"] + posture["raise_mm"]
    if end < 0:
        raise Refusal(
            "BELOW_THE_FLOOR",
            f"Hands that start at {in_both(posture['height_mm'])} and go down by "
            f"{in_both(-posture['raise_mm'])} end below the floor.",
            "The way up or down begins at the height of the hands.",
            "Type a smaller way down, such as --raise -10in, or a greater --height.",
            fields=("height_mm", "raise_mm"),
        )
    limit = recommended_limit_kg(**posture)
    if wood.gravity_12 is None:
        unknown = Warning(
            "NO_DENSITY",
            "No table gives the density of {wood}: put the piece on a scale, one end after the other.",
            {"wood": wood.species.name},
        )
        return UntypedAnswer(
            "lift", inputs, {"one_person_limit_kg": limit, "shared": []}, (unknown,), cautions(),
            sources=("niosh-94-110",),
        )  # fmt: skip
    mc: float | Array = TABLE_MC_PCT
    if mc_pct is not None:
        noise = draws.deviation(doubt.METER_NOISE, mc_readings**-0.5)
        mc = np.maximum(mc_pct + draws.deviation(doubt.METER_BIAS) + noise, 0.0)
    # A piece wider than a board is of several, and their scatter averages out.
    boards = max(1.0, size_mm[0] / BOARD_MM)
    weight = draws.range(_weights(wood, size_mm, mc) * draws.factor(doubt.DENSITY, boards**-0.5))
    people = next((n for n in range(1, MOST_PEOPLE + 1) if weight.high / n <= limit), None)
    indices = [
        {
            "lifters": number,
            "each_kg": weight.high / number,
            "lifting_index": weight.high / number / limit if limit > 0 else None,
        }
        for number in (1, 2, 3, 4)
    ]
    notes = []
    if limit <= 0:
        notes.append(
            Warning(
                "OUT_OF_REACH",
                "So far away, so high or so turned nobody should lift anything: come nearer first.",
            )
        )
    elif people is None:
        low = posture["height_mm"] < KNUCKLES_MM
        notes.append(
            Warning(
                "HOIST",
                "Not even {people} people should lift this by hand in this posture: use a hoist or a lift "
                "table" + (", or raise it from trestles at knuckle height." if low else "."),
                {"people": MOST_PEOPLE},
            )
        )
    elif people > 1:
        notes.append(
            Warning(
                "NOT_ALONE",
                "One person should lift at most {limit_kg} so: it takes {people}, or a hoist.",
                {"limit_kg": limit, "people": people},
            )
        )
    return UntypedAnswer(
        "lift",
        inputs,
        {
            "weight_kg": weight,
            "one_person_limit_kg": limit,
            "people": people,
            "shared": indices,
        },
        warnings=tuple(notes),
        cautions=cautions(),
        assumptions=(
            *(
                (
                    Assumption(
                        "AT_TABLE_MC",
                        "Nobody says how wet it is: taken at {mc_pct}.",
                        {"mc_pct": TABLE_MC_PCT},
                    ),
                )
                if mc_pct is None
                else ()
            ),
            Assumption(
                "RARE_LIFT",
                "The limit is for a rare lift with both hands, standing, on a floor that does not slip: "
                "hands {reach_mm} from the ankles and {height_mm} over the floor, raised by {raise_mm}, "
                "turned by {turn_deg}, grip {grip}. Shares are of the heaviest that it may be; above an "
                "index of 1 the risk grows, from 3 it is high. Sharing is an approximation: the equation was "
                "made for one person.",
                dict(posture),
            ),
        ),
        sources=("niosh-94-110", "fpl-gtr-190", "fpl-gtr-282"),
    )


def cautions() -> tuple[Caution, ...]:
    """What can hurt when a heavy piece is moved."""
    return (
        Caution(
            "LIFTING",
            "Lift with a helper or a hoist, close to the body, without turning; agree on the way and the "
            "word before. Wear boots, and keep fingers out from under. Local rules come first.",
        ),
    )
