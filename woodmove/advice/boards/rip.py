"""Which boards will move when they are ripped, how much, and what to leave."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from woodmove.advice.boards import allowance as budget
from woodmove.advice.boards import warp as warping
from woodmove.advice.boards import words as rip_words
from woodmove.advice.boards.arrays import BoardArrays
from woodmove.advice.boards.warp import MODES, STATES, Pile, Warps, bounds
from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.contract.notes import Note, Warning
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal
from woodmove.contract.untyped import UntypedAnswer
from woodmove.domain.species import Wood
from woodmove.domain.stock import Cut, Piece, Pith, SawnBoard
from woodmove.physics import warp
from woodmove.physics.arrays import Array, FloatOrArray

# Stud grade: warp of a nominal 2x4, 8 ft long [mm] (source: stud-grade; cup: derived, half of medium).
STUD_LENGTH_MM, STUD_FACE_MM = 2438.4, 88.9
STUD_LIMITS_MM = {"crook_mm": 6.35, "bow_mm": 19.05, "lift_mm": 9.525, "cup_mm": 0.79375}
RISKS = ((0.2, "low"), (0.5, "moderate"), (0.8, "high"), (1.1, "very high"))
SOURCES = (
    "straze-2011", "spruce-studs", "spruce-sticks", "stud-grade", "fpl-gtr-282", "fpl-r1093", "balodis-1972",
)  # fmt: skip
MODE_WORDS = {"twist_deg": "twist", "crook_mm": "crook", "bow_mm": "bow", "cup_mm": "cup"}


@dataclass(frozen=True, slots=True)
class Service:
    """Where the wood will live: its moisture content [%], a number or draws of it, and words for it."""

    mc_pct: float | Array
    words: str

    def drawn(self, draws: Draws) -> Array:
        """Shape (draws + 1,)."""
        return np.broadcast_to(np.asarray(self.mc_pct, float), (draws.draws + 1,))


def rip(
    board: SawnBoard,
    cut: Cut,
    wood: Wood,
    service: Service,
    draws: Draws,
    inputs: Mapping[str, Any],
    *,
    strip_length_mm: float | None = None,
    mate: SawnBoard | None = None,
) -> UntypedAnswer:
    """What the strips of one board will do, and what to leave for it.

    :param strip_length_mm: length of the strips where the board is crosscut first, None for its whole length
    :param mate: another board of the pile, ripped first in the same way, with what it did
    :raises Refusal: strips that the board does not yield, a strip of which nothing would be left
    """
    if cut.whole and (board.first_cut or mate):
        raise Refusal(
            "HOW_WAS_IT_CUT",
            "The first cut did something, but nothing says how it was cut.",
            "What a cut releases depends on the width of the strip that it frees.",
            "Add --into and --strip-width as the first board was cut.",
            fields=("into",),
            exit_code=2,
        )
    length = board.length_mm if strip_length_mm is None else min(strip_length_mm, board.length_mm)
    mates = BoardArrays.of([mate], cut) if mate is not None else None
    found = _warps(board, length, cut, wood, service, draws, mates)
    pieces = cut.pieces(board.size)
    strips = _strips(found, pieces, board, draws)
    shapes = [_shape(strip) for strip in strips]
    rounded = [budget.rounded_mm(piece, board.size.width_mm, cut.edges) for piece in pieces]
    parent = (board.size.width_mm, board.size.thickness_mm)
    budgets = [
        budget.steps(number, piece, parent, shape, edge, cut.kerf_mm)
        for number, (piece, shape, edge) in enumerate(zip(pieces, shapes, rounded, strict=True), start=1)
    ]
    worst = max(range(len(pieces)), key=lambda i: shapes[i].width_loss_mm + shapes[i].thickness_loss_mm)
    over = over_limits(found, length)
    chance = float(over[0, 1:].mean())
    kerf = _kerf(found.closing_per_m[0], cut, length, draws)
    mc = {"at_cut": found.mc_now_pct[0, 0], "in_service": service.drawn(draws)}
    widened, unknown = _inputs(board, length, cut, wood, service, draws, mates, found)
    results: dict[str, Any] = {
        "risk": risk_word(chance),
        "over_stud_limit_chance_pct": 100.0 * chance,
        "strips": strips,
        "leave": _leave(found, pieces, rounded, draws),
        "rest_days": budget.rest_days(pieces[worst], length, wood, mc, draws),
        "kerf": kerf,
        "reasons": [{"reason": note} for note in rip_words.reasons(board, found, pieces, mc)],
        "budget": [row for rows in budgets for row in rows],
        "crosscut_first": budget.crosscuts(pieces[worst], shapes[worst], length, rounded[worst]),
        "stud_limits": _limits(length, pieces[worst].width_mm, shapes[worst], strips[worst]),
        "measure_next": unknown,
    }
    return UntypedAnswer(
        "rip",
        inputs,
        {name: value for name, value in results.items() if value is not None},
        warnings=(*widened, *rip_words.warnings(board, cut, mc)),
        cautions=rip_words.cautions(cut, pieces),
        assumptions=rip_words.assumptions(board, cut, service.words),
        sources=(
            *SOURCES,
            *(() if cut.whole else ("8-ccr-4296", "29-cfr-1910.213")),
            *(("prong-test",) if board.prong else ()),
            *(c.known.source for c in wood.coefficients),
        ),
        columns={
            "strips": ("strip", "twist_deg", "lift_mm", "crook_mm", "bow_mm", "cup_mm", "hand"),
            "budget": (
                "strip", "step", "takes_width_mm", "takes_thickness_mm", "leaves_width_mm",
                "leaves_thickness_mm",
            ),
        },
    )  # fmt: skip


def _warps(
    board: SawnBoard,
    length_mm: float,
    cut: Cut,
    wood: Wood,
    service: Service,
    draws: Draws,
    mates: BoardArrays | None,
) -> Warps:
    lot = BoardArrays.of([board], cut)
    found = warping.warps(lot, wood, service.drawn(draws), Pile(draws, mates), np.array([length_mm]))
    return found


def _strips(found: Warps, pieces: Sequence[Piece], board: SawnBoard, draws: Draws) -> list[dict[str, Any]]:
    rows = []
    for number, piece in enumerate(pieces):
        twist = found.modes["twist_deg"]["in_service"][0, number]
        left = float(np.mean(twist[1:] > 0))
        hand = "left" if twist[0] >= 0 else "right"
        rows.append(
            {
                "strip": number + 1,
                "width_mm": piece.width_mm,
                "thickness_mm": piece.thickness_mm,
                **{
                    mode: {state: size_range(found.modes[mode][state][0, number], draws) for state in STATES}
                    for mode in MODES
                },
                "hand": hand,
                "hand_chance_pct": 100.0 * (left if hand == "left" else 1.0 - left),
            }
        )
    return rows


def size_range(values: Array, draws: Draws) -> Range:
    """The Range of a size, whatever the direction, with its causes."""
    expected, low, high = bounds(values)
    return Range(float(expected), float(low), float(high), draws.causes(np.abs(values[1:])))


def _shape(strip: Mapping[str, Any]) -> budget.Shape:
    """Expected warp at the time of jointing: as cut, or as settled, whichever is more."""
    size = {
        mode: max(strip[mode][state].expected for state in STATES)
        for mode in ("crook_mm", "bow_mm", "cup_mm", "lift_mm")
    }
    return budget.Shape(**size)


def _leave(found: Warps, pieces: Sequence[Piece], rounded: Sequence[float], draws: Draws) -> dict[str, Range]:
    """What to leave on each strip over its finished size: the worst strip of each draw."""

    def most(mode: str) -> Array:
        return np.maximum(*(np.abs(found.modes[mode][state][0]) for state in STATES))

    across = np.max(budget.width_loss_mm(most("crook_mm")) + np.array(rounded)[:, None], axis=0)
    through = np.max(budget.thickness_loss_mm(most("bow_mm"), most("cup_mm"), most("lift_mm")), axis=0)
    spare = 2.0 * budget.CLEAN_UP_MM
    return {"width_mm": size_range(across + spare, draws), "thickness_mm": size_range(through + spare, draws)}


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


def risk_word(chance: float) -> str:
    """A word for the chance that a strip goes beyond the warp of the Stud grade (status: judgement)."""
    return next(word for bound, word in RISKS if chance < bound)


def _limits(
    length_mm: float, width_mm: float, shape: budget.Shape, strip: Mapping[str, Any]
) -> list[dict[str, Any]]:
    """The Stud grade beside the worst strip: context, not a rule for this size."""
    curve = (length_mm / STUD_LENGTH_MM) ** 2
    lift = float(warp.corner_lift_mm(width_mm, stud_twist_deg_per_m() * length_mm * 1e-3))
    scaled = {
        "crook_mm": STUD_LIMITS_MM["crook_mm"] * curve,
        "bow_mm": STUD_LIMITS_MM["bow_mm"] * curve,
        "lift_mm": lift,
    }
    return [
        {
            "warp": {"lift_mm": "corner lift"}.get(mode, mode.removesuffix("_mm")),
            "stud_8ft_mm": STUD_LIMITS_MM[mode],
            "scaled_mm": limit,
            "worst_strip_mm": strip[mode]["in_service"],
        }
        for mode, limit in scaled.items()
    ]


def _kerf(closing: Array, cut: Cut, length_mm: float, draws: Draws) -> dict[str, Any] | None:
    if cut.whole or cut.into == "resaw":
        return None
    where = np.asarray(warp.kerf_closure_mm(cut.kerf_mm, closing))
    chance = float(np.mean(where[1:] < length_mm))
    found: dict[str, Any] = {"closes_chance_pct": 100.0 * chance}
    if where[0] < length_mm:
        # Where it does not close within the board, the length of the board stands for it.
        found["closes_behind_blade_mm"] = draws.range(np.minimum(where, length_mm))
    return found


def _inputs(
    board: SawnBoard,
    length_mm: float,
    cut: Cut,
    wood: Wood,
    service: Service,
    draws: Draws,
    mates: BoardArrays | None,
    found: Warps,
) -> tuple[tuple[Warning, ...], Note | None]:
    """Which inputs widened the Ranges by what they said, and which missing one would narrow them most."""
    width = _whole_width(found)
    widened = []
    for words, without in _less(board):
        other = _warps(without, length_mm, cut, wood, service, Draws(draws.draws, draws.seed), mates)
        if width > 1.02 * _whole_width(other):
            widened.append(
                Warning(
                    "WIDER_FOR_KNOWING",
                    "What you said of {words} is out of the ordinary: with it the Ranges are wider than "
                    "without. That is what it means, not a fault.",
                    {"words": words},
                )
            )
    given = _given(board)
    shares: dict[str, float] = {}
    texts: dict[str, str] = {}
    for mode in MODES:
        for piece in np.abs(found.modes[mode]["in_service"][0, :, 1:]):
            for cause in draws.causes(piece):
                measure = doubt.MEASURES.get(cause.input)
                if measure is not None and measure.options and not given.intersection(measure.options):
                    shares[measure.code] = shares.get(measure.code, 0.0) + cause.share
                    texts[measure.code] = measure.text
    best = max(shares, key=lambda code: shares[code], default=None)
    note = Note("MEASURE_NEXT", texts[best]) if best else None
    return tuple(widened), note


def _given(board: SawnBoard) -> set[str]:
    """Options of what was said of a board already: what is left of their doubt is nature's."""
    said = {
        "--pith-depth": board.pith.depth_mm is not None or board.pith.ring_radius_mm is not None,
        "--mc-now": board.mc_now_pct is not None,
        "--mc-core": board.core_less_shell_points is not None,
        "--slope": board.slope_deg is not None,
        "--crook": board.crook_mm is not None,
        "--bow": board.bow_mm is not None,
        "--prong-in": board.prong is not None,
        "--kerf-closed": board.first_cut is not None,
    }
    # The offset of the pith has a measure of its own, which names no depth.
    return {option for option, given in said.items() if given}


def _less(board: SawnBoard) -> list[tuple[str, SawnBoard]]:
    """The board without each of the things that were said of it."""
    lists = [
        ("the pith", board.pith != Pith(), replace(board, pith=Pith())),
        ("its moisture", board.mc_now_pct is not None, replace(board, mc_now_pct=None)),
        ("the slope of its grain", board.slope_deg is not None, replace(board, slope_deg=None)),
        ("the first cut", board.first_cut is not None, replace(board, first_cut=None)),
        ("the prong test", board.prong is not None, replace(board, prong=None)),
    ]
    return [(words, other) for words, said, other in lists if said]


def _whole_width(found: Warps) -> float:
    """Width of all Ranges in service, each mode counting by its Stud limit."""
    total = 0.0
    for mode, limit in (*STUD_LIMITS_MM.items(),):
        _, low, high = bounds(found.modes[mode]["in_service"])
        total += float(np.sum(high - low)) / limit
    return total
