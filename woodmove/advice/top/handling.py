"""What a piece weighs, how many people move it, and how."""

from collections.abc import Mapping
from typing import Annotated, Any

import numpy as np

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.contract import quantity
from woodmove.contract.answer import Answer, Verdict
from woodmove.contract.notes import Caution, Note, assumption, caution, note, warning
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal
from woodmove.contract.shown import Shown, results
from woodmove.domain.board import in_both
from woodmove.domain.species import Wood
from woodmove.physics.arrays import Array
from woodmove.physics.density import density_kg_m3
from woodmove.physics.lifting import LOAD_CONSTANT_KG, recommended_limit_kg

# Moisture content of wood of which nobody says how wet it is: that of the tables.
TABLE_MC_PCT = 12.0
# Nobody carries more than the equation's constant, its limit in the best posture (source: niosh-94-110): so
# many people carry a piece between them (status: common practice).
CARRIES_KG = LOAD_CONSTANT_KG
# More people than this do not get a hand on it (status: judgement).
MOST_PEOPLE = 6
# From so many people on a hoist is one of the ways (status: judgement).
HOIST_FROM = 4
# What so many people do with a piece, and the words for it.
CARRIED, TIPPED, LEFT = "carried", "tipped", "left"
_WORDS = {CARRIED: "carry it", TIPPED: "slide and tip it", LEFT: "leave it"}
# Width of a board: a nominal 8 in (source: ps-20).
BOARD_MM = 184.15
INDEX = quantity.Quantity("_index", ("", 0.1, 0.1), ("", 0.1, 0.1))


@results
class Step:
    """A step of moving a piece."""

    step: Annotated[int, Shown("step", None, "key")]
    do: Annotated[Note, Shown("do", None, "key")]


@results
class Sharing:
    """What so many people do with a piece."""

    lifters: Annotated[int, Shown("people", None, "key")]
    each_kg: Annotated[float, Shown("each", quantity.WEIGHT, "key")]
    lifting_index: Annotated[float | None, Shown("lifting index", INDEX, "key")]
    can: Annotated[str, Shown("can", None, "key")]


@results
class Lift:
    """What a piece weighs, and who moves it how; no weight where no table gives the density."""

    weight_kg: Annotated[Range | None, Shown("weight", quantity.WEIGHT, "headline")]
    people: Annotated[int | None, Shown("people that it takes", None, "key")]
    one_person_limit_kg: Annotated[float, Shown("the lifting equation allows each", quantity.WEIGHT, "key")]
    lifting_index: Annotated[float | None, Shown("lifting index", INDEX, "key")]
    how: Annotated[tuple[Step, ...], Shown("how", None, "key")]
    shared: Annotated[tuple[Sharing, ...], Shown("by how many are there")]


ALONE = note("ALONE", "One person can carry it: it weighs {weight_kg}.", weight_kg=quantity.WEIGHT)
CARRY = note(
    "CARRY", "{people} people carry it: {each_kg} each at most.", people=None, each_kg=quantity.WEIGHT
)
PEOPLE = note(
    "PEOPLE", "{people} people: it weighs {weight_kg}, {each_kg} each at most.",
    people=None, weight_kg=quantity.WEIGHT, each_kg=quantity.WEIGHT,
)  # fmt: skip
MORE_PEOPLE = note(
    "MORE_PEOPLE", "{more} more to carry it: it weighs {weight_kg}.", more=None, weight_kg=quantity.WEIGHT
)
HOW = note("HOW", "Slide it, tip it onto its edge, and set it down in steps, on blocks.")
DO_NOT_CARRY = note(
    "DO_NOT_CARRY", "Until then do not carry it: slide it, tip it onto its edge and walk it on a blanket."
)
TOO_HEAVY = note(
    "TOO_HEAVY", "Do not move it by hand: it weighs {weight_kg}, too much for {people} even to tip.",
    weight_kg=quantity.WEIGHT, people=None,
)  # fmt: skip
USE_A_HOIST = note("USE_A_HOIST", "Use a hoist, an engine crane or a lift table.")
GET_PEOPLE = note("GET_PEOPLE", "Get {people} people, or a hoist.", people=None)
COME_NEARER = note(
    "COME_NEARER", "Do not lift it like this: the hands are out of reach. Come nearer, or set it lower."
)
WEIGH_IT = note(
    "WEIGH_IT",
    "No table gives the density of {wood}: put one end after the other on a scale and add.",
    wood=None,
)

SLIDE = note("SLIDE", "Slide it to the edge, on a blanket or waxed strips.")
TIP = note(
    "TIP", "Tip it onto its edge: one edge stays down, and the hands take half of it, {half_kg} at most.",
    half_kg=quantity.WEIGHT,
)  # fmt: skip
WALK = note("WALK", "Walk it on a blanket, one lower corner at a time. Wait for help to set it down.")
STEPS = note("STEPS", "Set it down in steps: bench, sawhorse, low blocks, floor. Rest at each.")
BLOCKS = note("BLOCKS", "Keep blocks under it, so that no fingers are between it and the floor.")
HOIST = note("HOIST", "Or hang it from a hoist or an engine crane, in two slings: one way, not the only one.")

OVER_LIMIT = warning(
    "OVER_LIMIT",
    "The lifting equation allows {limit_kg} each in this posture, and each lifts {each_kg}: the risk to the "
    "back grows. Lift it seldom, from knuckle height, close to the body.",
    limit_kg=quantity.WEIGHT, each_kg=quantity.WEIGHT,
)  # fmt: skip
AT_TABLE_MC = assumption("AT_TABLE_MC", "No moisture is given: taken at {mc_pct}.", mc_pct=quantity.MOISTURE)
RARE_LIFT = assumption(
    "RARE_LIFT",
    "The lifting equation is made for one person who lifts with both hands, standing, on a floor that does "
    "not slip, at work, again and again. It stands beside what shops do. Here: hands {reach_mm} from the "
    "ankles and {height_mm} over the floor, raised by {raise_mm}, turned by {turn_deg}, grip {grip}. Above "
    "an index of 1 the risk grows, from 3 it is high. Sharing is an approximation.",
    reach_mm=quantity.LENGTH, height_mm=quantity.LENGTH, raise_mm=quantity.LENGTH, turn_deg=quantity.ANGLE,
    grip=None,
)  # fmt: skip
SHOP_LIMIT = assumption(
    "SHOP_LIMIT",
    "Nobody carries more than {carries_kg} of it, the most that the equation allows at its best (common "
    "practice). Shares are of the heaviest that it may be.",
    carries_kg=quantity.WEIGHT,
)
LIFTING = caution(
    "LIFTING",
    "Keep it close to the body, do not turn with it; agree on the way and the word before. Wear boots, and "
    "keep fingers out from under. Local rules come first.",
)


def weight_kg(wood: Wood, size_mm: tuple[float, float, float], mc_pct: float | None) -> float:
    """Weight of a solid block [kg] at a moisture content, by the mean of the candidates; of several woods,
    each in its share.

    :param size_mm: width, thickness, length
    """
    return float(_weights(wood, size_mm, TABLE_MC_PCT if mc_pct is None else mc_pct))


def _weights(wood: Wood, size_mm: tuple[float, float, float], mc_pct: float | Array) -> Array:
    densities = [share * _density(each, mc_pct) for each, share in wood.parts]
    return np.sum(densities, axis=0) * float(np.prod(size_mm)) * 1e-9


def _density(wood: Wood, mc_pct: float | Array) -> Array:
    gravity = wood.gravity_12
    assert gravity is not None
    saturation = float(np.mean([member.fibre_saturation_pct for member in wood.candidates]))
    return np.asarray(density_kg_m3(gravity, mc_pct, saturation))


def lift(
    wood: Wood,
    size_mm: tuple[float, float, float],
    mc_pct: float | None,
    mc_readings: int,
    posture: Mapping[str, Any],
    draws: Draws,
    people: int | None = None,
) -> Answer[Lift]:
    """What a piece weighs, how many people move it and how, and what the lifting equation says to that.

    :param size_mm: width, thickness, length
    :param posture: arguments of :func:`woodmove.physics.lifting.recommended_limit_kg`
    :param people: who are there, None where nobody said so
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
            "Type a smaller way down, or a greater height, such as --lift 'height=30in raise=-10in'.",
            fields=("height_mm", "raise_mm"),
        )
    limit = recommended_limit_kg(**posture)
    if wood.gravity_12 is None:
        unweighed = Lift(
            weight_kg=None, people=None, one_person_limit_kg=limit, lifting_index=None, how=(), shared=()
        )
        return Answer(
            Verdict("stop", (WEIGH_IT(wood=wood.species.name),)), unweighed, cautions(), ("niosh-94-110",)
        )
    mc: float | Array = TABLE_MC_PCT
    if mc_pct is not None:
        noise = draws.deviation(doubt.METER_NOISE, mc_readings**-0.5)
        mc = np.maximum(mc_pct + draws.deviation(doubt.METER_BIAS) + noise, 0.0)
    # A piece wider than a board is of several, and their scatter averages out.
    boards = max(1.0, size_mm[0] / BOARD_MM)
    weight = draws.range(_weights(wood, size_mm, mc) * draws.factor(doubt.DENSITY, boards**-0.5))
    needed = int(np.ceil(weight.high / CARRIES_KG - 1e-9))
    lifts = people or min(needed, MOST_PEOPLE)
    each = weight.high / lifts
    over = limit > 0 and each > limit and _can(weight, lifts) == CARRIED
    verdict = _verdict(weight, needed, people, limit)
    how = () if verdict.state == "stop" else _how(weight, needed, people)
    return Answer(
        verdict,
        Lift(
            weight_kg=weight,
            people=needed if needed <= MOST_PEOPLE else None,
            one_person_limit_kg=limit,
            lifting_index=each / limit if limit > 0 else None,
            how=tuple(Step(step=number, do=words) for number, words in enumerate(how, 1)),
            shared=tuple(
                Sharing(
                    lifters=number,
                    each_kg=weight.high / number,
                    lifting_index=weight.high / number / limit if limit > 0 else None,
                    can=_WORDS[_can(weight, number)],
                )
                for number in range(1, max(4, min(needed, MOST_PEOPLE)) + 1)
            ),
        ),
        (
            *((OVER_LIMIT(limit_kg=limit, each_kg=each),) if over else ()),
            *cautions(),
            *((AT_TABLE_MC(mc_pct=TABLE_MC_PCT),) if mc_pct is None else ()),
            SHOP_LIMIT(carries_kg=CARRIES_KG),
            RARE_LIFT(**posture),
        ),
        ("niosh-94-110", "fpl-gtr-190", "fpl-gtr-282"),
    )


def _can(weight: Range, people: int) -> str:
    """What so many do with it: nobody carries more than his share, and who tips it takes half of it, with the
    other edge down."""
    if weight.high <= people * CARRIES_KG:
        return CARRIED
    return TIPPED if weight.expected / 2.0 <= people * CARRIES_KG else LEFT


def _verdict(weight: Range, needed: int, people: int | None, limit_kg: float) -> Verdict:
    """What to do, by who is there."""
    if limit_kg <= 0:
        return Verdict("stop", (COME_NEARER(),))
    middle = weight.expected
    if people is None and needed > MOST_PEOPLE:
        return Verdict("stop", (TOO_HEAVY(weight_kg=middle, people=MOST_PEOPLE), USE_A_HOIST()))
    if needed == 1:
        return Verdict("go", (ALONE(weight_kg=middle),))
    if people is None:
        need = PEOPLE(people=needed, weight_kg=middle, each_kg=weight.high / needed)
        return Verdict("go", (HOW(),), (need,))
    can = _can(weight, people)
    if can == CARRIED:
        return Verdict("go", (CARRY(people=people, each_kg=weight.high / people), HOW()))
    more: tuple[Note, ...] = (USE_A_HOIST(),)
    if needed <= MOST_PEOPLE:
        more = (GET_PEOPLE(people=needed),)
    if can == LEFT or needed > MOST_PEOPLE:
        return Verdict("stop", (TOO_HEAVY(weight_kg=middle, people=people), *more))
    return Verdict("go", (DO_NOT_CARRY(),), (MORE_PEOPLE(more=needed - people, weight_kg=middle),))


def _how(weight: Range, needed: int, people: int | None) -> tuple[Note, ...]:
    """How a shop moves it; nothing for what one person carries."""
    if needed < 2:
        return ()
    if people is not None and people < needed:
        return (SLIDE(), TIP(half_kg=weight.high / 2.0), WALK())
    hoist = (HOIST(),) if needed >= HOIST_FROM else ()
    return (SLIDE(), TIP(half_kg=weight.high / 2.0), STEPS(), BLOCKS(), *hoist)


def cautions() -> tuple[Caution, ...]:
    """What can hurt when a heavy piece is moved."""
    return (LIFTING(),)
