"""How a top moves with moisture, in draws: what `width` and the slots both stand on."""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from woodmove.advice.air.climate import air_warnings
from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.doubt.wood import species_draws
from woodmove.contract.notes import Assumption, Warning, assumption
from woodmove.contract.refusal import Refusal
from woodmove.domain.season import Season
from woodmove.domain.top import EdgeStrips, Rings, Top
from woodmove.physics.arrays import Array
from woodmove.physics.shrinkage import COEFFICIENT_RANGE, across_grain, size_at_mc_mm

# Thickness of the strips of a top of which nothing is said but that they stand on edge: dressed
# two-by lumber (source: ps-20).
TWO_BY_MM = 38.1
# Wood this far from the moisture that it is going to is far from settled: glued or flattened so, it will move
# more than its joints and its faces should (status: derived from the 2 points that neighbours may differ).
FAR_POINTS = 2.0
# What a hand feels at a seam or under a straightedge: 0.003 in (status: common practice).
FELT_MM = 0.003 * 25.4
# Flat, unless told otherwise: a straightedge over the width shows no more than this (status: judgement).
FLAT_MM = 25.4 / 64


STRIPS_EVENLY = assumption(
    "STRIPS_EVENLY",
    "Strips: {yields}, the pith under the middle of each board. The top holds as many strips from each "
    "place in a board.",
    yields=None,
)


SPECIES_EVENLY = assumption(
    "SPECIES_EVENLY",
    "Strips: {shares}. Each counts for its share, and they lie anywhere in the top.",
    shares=None,
)


def far_from_service(mc_pct: float, service_pct: float, which: str = "") -> tuple[Warning, ...]:
    """What to say of strips that would be glued far from the moisture they will live at.

    :param which: words behind their moisture content, such as "on the mean"
    """
    if abs(mc_pct - service_pct) <= FAR_POINTS:
        return ()
    text = "The strips are at {mc_pct}" + (f" {which}" if which else "")
    return (
        Warning(
            "FAR_FROM_SERVICE",
            text + " and will live at {service_pct}: glue them within 2 points of that.",
            {"mc_pct": mc_pct, "service_pct": service_pct},
        ),
    )


@dataclass(frozen=True, slots=True)
class Movement:
    """Coefficients of a top [per % MC], the central one first and the draws behind, shape (draws + 1,).

    :param width: of the width, or of a span of it
    :param thickness: of the thickness
    :param fibre_saturation_pct: MC at which shrinkage begins [%]
    """

    width: Array
    thickness: Array
    fibre_saturation_pct: Array


def movement(top: Top, draws: Draws, span_mm: float | None = None) -> Movement:
    """The movement of a top, or of a span of its width.

    Scatter between pieces averages out over the strips that the span holds, and scatter between logs
    over its logs; the species mean does not average out. Of a top of several woods each counts for its share
    of the strips. A top that is not of strips on edge is taken
    as one piece.

    :param span_mm: part of the width that counts [mm]; all of it where None
    """
    span_mm = top.width_mm if span_mm is None else min(span_mm, top.width_mm)
    woods = [species_draws(wood, draws) for wood, _ in top.wood.parts]
    parts = np.array([part for _, part in top.wood.parts])
    share = _tangential_share(top, draws, span_mm)
    common = draws.factor(doubt.SPECIES_MEAN) * draws.factor(doubt.STRAIGHT_LINE)
    pieces = max(1.0, span_mm / _strip_mm(top))
    logs = _logs_within(top, pieces)
    scatter = 1.0 + draws.deviation(doubt.LOGS, logs**-0.5) + draws.deviation(doubt.PIECES, pieces**-0.5)
    # The thickness of a top is what one piece of it does.
    single = 1.0 + draws.deviation(doubt.LOGS) + draws.deviation(doubt.PIECES)
    choice = _choice(top, span_mm)

    def of_woods(share: Array, choice: float) -> Array:
        each = np.array([across_grain(radial, tangential, share) for radial, tangential, _ in woods])
        if len(each) == 1:
            return each[0]
        mean = parts @ each
        spread = np.sqrt(parts @ (each - mean) ** 2)
        return mean + spread * draws.deviation(doubt.STRIP_SPECIES, choice**0.5)

    return Movement(
        of_woods(share, choice) * common * scatter,
        of_woods(1.0 - share, 1.0) * common * single,
        parts @ np.array([saturation for *_, saturation in woods]),
    )


def _tangential_share(top: Top, draws: Draws, span_mm: float) -> Array:
    """Tangential share of the width of a span, shape (draws + 1,)."""
    if isinstance(top.grain, Rings):
        return np.asarray(top.grain.width_shares(draws.deviation(doubt.RING_ANGLE)))
    strips = strip_shares(top.grain, draws)
    mean = strips @ top.grain.weights
    scatter = np.sqrt((strips - mean[:, None]) ** 2 @ top.grain.weights)
    return mean + scatter * draws.deviation(doubt.STRIP_ORDER, _choice(top, span_mm) ** 0.5)


def _choice(top: Top, span_mm: float) -> float:
    """Variance of the mean of the strips of a span, of that between strips: drawing some of the top's strips
    without putting them back, where all of them leave no choice."""
    pieces = max(1.0, span_mm / _strip_mm(top))
    return max(0.0, 1.0 - span_mm / top.width_mm) / pieces


def strip_shares(grain: EdgeStrips, draws: Draws) -> Array:
    """Tangential share of the top's width in a strip from each place in the lumber, with the doubt of the
    pith: shape (draws + 1, places)."""
    draws.deviation(doubt.PITH_DEPTH)  # so that these draws know of it
    return _strip_shares(grain, draws.draws, draws.seed)


@lru_cache(maxsize=4)
def _strip_shares(grain: EdgeStrips, draws: int, seed: int) -> Array:
    """Kept, since each section of a plan and each of its spans asks for them."""
    shares = grain.strip_shares(grain.pith_depth_mm + Draws(draws, seed).deviation(doubt.PITH_DEPTH))
    shares.flags.writeable = False
    return shares


def _strip_mm(top: Top) -> float:
    if isinstance(top.grain, EdgeStrips):
        return top.grain.parent.thickness_mm
    return TWO_BY_MM if top.grain.on_edge else top.width_mm


def _logs_within(top: Top, pieces: float) -> float:
    """How many logs' worth of independence the pieces of a span have: the strips of a log lie anywhere in
    the top, so two pieces of a span share their log as seldom as any two of the top.

    Derived: the variance of the mean of n pieces, any two alike with probability p, is (1/n + (1 - 1/n) p)
    times that of one.
    """
    whole = max(1.0, top.width_mm / _strip_mm(top))
    if whole <= 1.0:
        return 1.0
    alike = (whole / min(whole, _logs(top)) - 1.0) / (whole - 1.0)
    return 1.0 / (1.0 / pieces + (1.0 - 1.0 / pieces) * alike)


def _logs(top: Top) -> float:
    """From how many logs the top comes; if nobody says so, each board from another."""
    if top.logs is not None:
        return top.logs
    strips = top.width_mm / _strip_mm(top)
    return strips / top.grain.strips_per_board if isinstance(top.grain, EdgeStrips) else strips


def mc_now(top: Top, draws: Draws) -> Array | None:
    """Moisture content today [%] with the doubt of the meter, shape (draws + 1,); None if not measured."""
    if top.mc_now_pct is None:
        return None
    noise = draws.deviation(doubt.METER_NOISE, top.mc_readings**-0.5)
    return np.maximum(top.mc_now_pct + draws.deviation(doubt.METER_BIAS) + noise, 0.0)


def needed_mc(top: Top, draws: Draws, why: str) -> Array:
    """The same where it is needed.

    :param why: in a sentence, for whoever has not measured it
    :raises Refusal: not measured
    """
    now = mc_now(top, draws)
    if now is None:
        raise Refusal(
            "NO_MC_NOW",
            "The moisture content of the wood today is not known.",
            why,
            "Measure it and add the moisture content today, such as --mc-now 12.",
            fields=("mc_now_pct",),
            exit_code=2,
        )
    return now


def in_service(season: Season, mc_pct: float | Array, draws: Draws) -> Array:
    """Moisture contents of a season [%] with their doubt, shape (..., draws + 1).

    Extremes that were given are taken as they stand. Those from the air of a room carry the doubt of
    the EMC equation, and a swing about the yearly mean that is not the same every year.

    :param mc_pct: values of the season [%], any shape
    """
    values = np.asarray(mc_pct, float)[..., None]
    return with_year(season, np.broadcast_to(values, (*values.shape[:-1], draws.draws + 1)), draws)


def extremes(season: Season, draws: Draws) -> tuple[Array, Array]:
    """Driest and dampest moisture content of a season [%] with their doubt, shape (draws + 1,) each; of rooms
    in a row the driest and the dampest of all."""
    rooms = season.rooms or (season,)
    return (
        np.min([in_service(room, room.low_pct, draws) for room in rooms], axis=0),
        np.max([in_service(room, room.high_pct, draws) for room in rooms], axis=0),
    )


def with_year(season: Season, mc_pct: Array, draws: Draws) -> Array:
    """Draws of moisture contents of a season [%], shape (..., draws + 1), with the doubt of its air."""
    if season.monthly_pct is None:
        return mc_pct
    mean = float(np.mean(season.monthly_pct))
    swing = (mc_pct - mean) * draws.factor(doubt.YEAR)
    room = (season.sd_points**2 - season.winter_points**2) ** 0.5
    # Houses differ by themselves: one may be drier than is computed, and the next one damper.
    this = doubt.LATER_ROOM if season.moved else doubt.ROOM
    off = draws.deviation(doubt.SORPTION) + draws.deviation(this, room / this.sd)
    if season.winter_points:
        # A cooler room is damper.
        off = off - draws.deviation(doubt.WINTER, season.winter_points / doubt.WINTER.sd)
    return np.maximum(mean + swing + off, 0.0)


def growth(top: Top, season: Season, now_pct: Array, draws: Draws) -> Callable[[Array], Array]:
    """A function of later moisture contents [%], shape (..., draws + 1), that gives the change of the
    top's width relative to itself since it had `now_pct`: by coefficients where all of the year is in
    their range."""
    moves = movement(top, draws)
    by_coefficient = within_coefficients(top, season)

    def since(later_pct: Array) -> Array:
        return (
            np.asarray(
                size_at_mc_mm(
                    1.0,
                    moves.width,
                    now_pct,
                    later_pct,
                    moves.fibre_saturation_pct,
                    by_coefficient=by_coefficient,
                )
            )
            - 1.0
        )

    return since


def within_coefficients(top: Top, season: Season) -> bool:
    """True where today's moisture content and the extremes of the year lie in the range of the
    coefficients."""
    central = [season.low_pct, season.high_pct]
    central += [] if top.mc_now_pct is None else [top.mc_now_pct]
    return not COEFFICIENT_RANGE.outside(np.array(central, float))


def assumptions(top: Top, season: Season) -> tuple[Assumption, ...]:
    """What the movement of this top in this year takes for granted."""
    notes = list(season.assumptions)
    if isinstance(top.grain, Rings) and top.grain.on_edge:
        notes.append(
            Assumption(
                "ON_EDGE_PURE",
                "Strips on edge are taken as the pure case: flat-sawn before, so the width moves by the "
                "radial coefficient alone. Strips from the outer parts of a wide board move up to twice as "
                "much: say --stock and --pith-depth.",
            )
        )
    if isinstance(top.grain, EdgeStrips):
        yields = Counter(board.name for board in top.grain.sizes)
        notes.append(
            STRIPS_EVENLY(yields=", ".join(f"{count} from each {name}" for name, count in yields.items()))
        )
    if top.mc_now_pct is not None:
        notes.append(
            Assumption(
                "METER_READINGS",
                "The moisture content today is the mean of {count} meter readings, corrected for species and "
                "temperature.",
                {"count": top.mc_readings},
            )
        )
    notes += [
        Assumption(
            "MIX",
            "{name} may be any of: {members}. The Range spans them all.",
            {"name": wood.species.name, "members": ", ".join(member.name for member in wood.candidates)},
        )
        for wood, _ in top.wood.parts
        if len(wood.candidates) > 1
    ]
    if top.wood.others:
        shares = (f"{100.0 * share:.0f} % {wood.species.name}" for wood, share in top.wood.parts)
        notes.append(SPECIES_EVENLY(shares=" and ".join(shares)))
    if season.monthly_pct is None:
        notes.append(
            Assumption(
                "EXTREMES_GIVEN",
                "The driest and dampest moisture contents are taken as given, without doubt of their own.",
            )
        )
    else:
        notes.append(
            Assumption(
                "FOLLOWS_AIR",
                "The widest bound: wood that follows the monthly mean air without delay, up and down the "
                "whole EMC curve. In a year wood turns back before its end (10 to 30 % less is plausible, "
                "memory); thick wood lags and moves less besides, as shown beside it where that is known.",
            )
        )
    return tuple(notes)


def warnings(top: Top, season: Season) -> tuple[Warning, ...]:
    """What to know about this top in this year."""
    notes: list[Warning] = []
    saturation = min(member.fibre_saturation_pct for member in top.wood.members)
    values = {"mc_now_pct": top.mc_now_pct, "mc_low_pct": season.low_pct, "mc_high_pct": season.high_pct}
    wettest = max(season.high_pct, top.mc_now_pct or 0.0)
    if wettest > saturation:
        notes.append(
            Warning(
                "ABOVE_FIBRE_SATURATION",
                "{mc_pct} is above fibre saturation ({fibre_saturation_pct}): shrinkage only begins there, "
                "so it counts as fibre saturation.",
                {"mc_pct": wettest, "fibre_saturation_pct": saturation},
                validity=True,
            )
        )
    if top.mc_now_pct is not None and top.mc_now_pct > season.high_pct:
        notes.append(
            Warning(
                "WETTER_THAN_SERVICE",
                "The wood is at {mc_now_pct} and will never be wetter than {mc_high_pct} in service: "
                "it can only shrink. Dry it before you build.",
                values,
            )
        )
    if top.mc_now_pct is not None and top.mc_now_pct < season.low_pct:
        notes.append(
            Warning(
                "DRIER_THAN_SERVICE",
                "The wood is at {mc_now_pct} and will never be drier than {mc_low_pct} in service: "
                "it can only swell. Let it settle in the room before you build.",
                values,
            )
        )
    return tuple(notes) + air_warnings(season)
