"""A pile of boards, ranked: which are calm, and what each is good for."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from woodmove.advice import budget, warping
from woodmove.advice.doubt import Draws
from woodmove.advice.rip import (
    SOURCES,
    STUD_LIMITS_MM,
    Service,
    cautions,
    over_limits,
    risk_word,
    stud_twist_deg_per_m,
)
from woodmove.advice.warping import MODES, Lot, Pile, bounds
from woodmove.physics.arrays import Array
from woodmove.physics.warp import kerf_closure_mm
from woodmove.shop.answer import Answer, Assumption, Range, Refusal, Refusals, Warning
from woodmove.shop.species import Wood
from woodmove.shop.stock import Cut, SawnBoard

# Boards times draws that are computed; a large pile gets fewer draws each.
WORK = 2_000_000
LEAST_DRAWS = 200
BLOCK = 60_000
# Milling may take this much from a strip before it is called good for its length (status: judgement).
WIDTH_TO_SPARE_MM, THICKNESS_TO_SPARE_MM = 3.2, 6.4
MOST_FAULTS = 20
GOOD_FOR = (
    "full-length strips",
    "strips of half its length",
    "strips of a third of its length",
    "strips of a quarter of its length",
    "stickers and short blocks; or leave it whole",
)


def draws_for(boards: int, asked: int) -> int:
    """How many draws a pile of so many boards gets."""
    return min(asked, max(LEAST_DRAWS, WORK // max(boards, 1)))


def rank(
    boards: Sequence[SawnBoard],
    lines: Sequence[int],
    faults: Sequence[Refusal],
    cut: Cut,
    wood: Wood,
    service: Service,
    draws: Draws,
    inputs: Mapping[str, Any],
) -> Answer:
    """The boards of a pile, the calmest first.

    Boards whose first cut was measured tell of the whole pile.

    :param lines: on which each board stands in its file
    :param faults: rows that could not be read
    :raises Refusals: not one board that could be read
    """
    if not boards:
        raise Refusals(faults[:MOST_FAULTS])
    mates = [board for board in boards if board.first_cut is not None]
    if mates and cut.whole:
        raise Refusal(
            "HOW_WAS_IT_CUT",
            "A board says what its first cut did, but nothing says how it was cut.",
            "What a cut releases depends on the width of the strip that it frees.",
            "Add --into and --strip-width as it was cut.",
            fields=("into",),
            exit_code=2,
        )
    uncut = [(board, line) for board, line in zip(boards, lines, strict=True) if board.first_cut is None]
    if not uncut:
        raise Refusal(
            "ALL_CUT",
            "Every board of the pile has been cut.",
            "Boards that have been cut tell of the rest; there is no rest.",
            "Add the boards that are still whole.",
            fields=("pile_file",),
        )
    pile = Pile(draws, Lot.of(mates, cut) if mates else None)
    lot = Lot.of([board for board, _ in uncut], cut)
    chance, closes, sizes, lengths, near = _sizes(lot, wood, service, draws, pile)
    order = np.lexsort((_burden(sizes), np.round(chance, 2)))
    rows = [
        {
            "rank": place,
            "board": uncut[i][0].name,
            "line": uncut[i][1],
            "risk": risk_word(float(chance[i])),
            "over_stud_limit_chance_pct": 100.0 * float(chance[i]),
            **{
                mode: Range(float(expected[i]), float(low[i]), float(high[i]))
                for mode, (expected, low, high) in sizes.items()
            },
            **({} if closes is None else {"kerf_closes_chance_pct": 100.0 * float(closes[i])}),
            "good_for": GOOD_FOR[lengths[i]] + ("" if not near[i] else "; the pith is in it"),
        }
        for place, i in enumerate(order, start=1)
    ]
    return Answer(
        "rip",
        inputs,
        {
            "boards": rows,
            "bad_rows": [{"line": fault.line, "wrong": fault.text} for fault in faults],
            **_learned(mates, pile, draws),
        },
        warnings=_warnings(boards, faults, cut),
        cautions=cautions(cut, cut.pieces(boards[0].size)),
        assumptions=_assumptions(service, draws, mates),
        sources=(*SOURCES, *(c.known.source for c in wood.coefficients)),
        columns={
            "boards": ("rank", "board", "risk", "twist_deg", "crook_mm", "bow_mm", "cup_mm", "good_for"),
        },
    )


def _learned(mates: Sequence[SawnBoard], pile: Pile, draws: Draws) -> dict[str, Any]:
    """What the boards that were ripped first told: strain locked into the edges, in millionths, tension
    positive."""
    if not mates:
        return {}
    before, after = (1e6 * each.belief.draws[0, 0] for each in (Pile(draws), pile))
    return {
        "learned_from": ", ".join(mate.name for mate in mates),
        "edge_strain_millionths": {"before": draws.range(before), "after": draws.range(after)},
    }


def _sizes(
    lot: Lot, wood: Wood, service: Service, draws: Draws, pile: Pile
) -> tuple[Array, Array | None, dict[str, tuple[Array, Array, Array]], Array, Array]:
    """For each board: the chance that a strip goes beyond the Stud grade, and that the first kerf closes
    (None where nothing is ripped); the Ranges of its worst strip; how
    far it must be crosscut; whether the pith is in it."""
    block = max(1, BLOCK // (draws.draws * lot.left_mm.shape[1]))
    chances, closing, found, lengths, inside = [], [], [], [], []
    rips = bool(np.isfinite(lot.first).all())
    for start in range(0, lot.boards, block):
        part = lot.part(slice(start, start + block))
        warps = warping.warps(part, wood, service.drawn(draws), pile, states=("in_service",))
        length = part.length_mm[:, None, None]
        chances.append(over_limits(warps, length)[:, 1:].mean(axis=1))
        if rips:
            where = np.asarray(kerf_closure_mm(lot.kerf_mm, warps.closing_per_m[:, 1:]))
            closing.append((where < part.length_mm[:, None]).mean(axis=1))
        modes = {mode: warps.modes[mode]["in_service"] for mode in MODES}
        across = budget.width_loss_mm(np.abs(modes["crook_mm"][..., 0]))
        through = [np.abs(modes[mode][..., 0]) for mode in ("bow_mm", "cup_mm", "lift_mm")]
        burden = across / WIDTH_TO_SPARE_MM + budget.thickness_loss_mm(*through) / THICKNESS_TO_SPARE_MM
        worst = burden.argmax(axis=1)
        own = np.arange(part.boards)
        found.append({mode: bounds(values[own, worst]) for mode, values in modes.items()})
        lengths.append(_lengths(across[own, worst], *(t[own, worst] for t in through)))
        inside.append(part.pith_inside | (part.pith_depth_mm < 0))
    sizes = {}
    for mode in MODES:
        expected, low, high = (np.concatenate([each[mode][i] for each in found]) for i in range(3))
        sizes[mode] = (expected, low, high)
    return (
        np.concatenate(chances),
        np.concatenate(closing) if rips else None,
        sizes,
        np.concatenate(lengths),
        np.concatenate(inside),
    )


def _lengths(crook_mm: Array, bow_mm: Array, cup_mm: Array, lift_mm: Array) -> Array:
    """Number of the first entry of GOOD_FOR whose crosscut leaves enough of each board."""
    good = np.stack(
        [
            (budget.width_loss_mm(crook_mm / n**2) <= WIDTH_TO_SPARE_MM)
            & (budget.thickness_loss_mm(bow_mm / n**2, cup_mm, lift_mm / n) <= THICKNESS_TO_SPARE_MM)
            for n in budget.CROSSCUTS
        ]
        + [np.ones(len(crook_mm), bool)]
    )
    return good.argmax(axis=0)


def _burden(sizes: Mapping[str, tuple[Array, Array, Array]]) -> Array:
    """Expected warp, each mode by the Stud grade."""
    limits = STUD_LIMITS_MM | {"twist_deg": stud_twist_deg_per_m()}
    return np.sum([sizes[mode][0] / limits[mode] for mode in ("crook_mm", "bow_mm", "lift_mm")], axis=0)


def _warnings(boards: Sequence[SawnBoard], faults: Sequence[Refusal], cut: Cut) -> tuple[Warning, ...]:
    notes = [
        Warning(
            "BAD_ROW",
            "Line {line} is left out: {wrong}",
            {"line": f"{fault.line} of {fault.file}", "wrong": fault.wrong},
        )
        for fault in faults[:MOST_FAULTS]
    ]
    if len(faults) > MOST_FAULTS:
        notes.append(
            Warning("MORE_BAD_ROWS", "{count} more rows are left out.", {"count": len(faults) - MOST_FAULTS})
        )
    inside = [board.name for board in boards if board.pith.inside or (board.pith.depth_mm or 0.0) < 0]
    if inside:
        notes.append(
            Warning(
                "PITH_INSIDE",
                "The pith is in {boards}: severe twist is found within 75 mm of the pith only.",
                {"boards": _names(inside)},
            )
        )
    wet = [board.name for board in boards if board.mc_now_pct is not None and board.mc_now_pct > 19.0]
    if wet:
        notes.append(
            Warning(
                "WET_BOARD",
                "Wetter than dry lumber may be (19 %): {boards}. Dry before ripping.",
                {"boards": _names(wet)},
            )
        )
    return tuple(notes)


def _names(names: Sequence[str], most: int = 6) -> str:
    more = len(names) - most
    return ", ".join(names[:most]) + (f" and {more} more" if more > 0 else "")


def _assumptions(service: Service, draws: Draws, mates: Sequence[SawnBoard]) -> tuple[Assumption, ...]:
    notes = [
        Assumption("SERVICE", "In service: {words}.", {"words": service.words}),
        Assumption(
            "WORST_STRIP",
            "The Ranges are those of each board's worst strip over its full length in service; {count} "
            "draws each.",
            {"count": draws.draws},
        ),
        Assumption(
            "JUDGEMENT",
            "Spiral grain, locked-in strain and juvenile wood are by judgement: nobody has published "
            "them for framing "
            "lumber (woodmove doubt lists them). Wane, knots and splits are not in the sum.",
        ),
        Assumption(
            "GOOD_FOR",
            "Good for a length: milling is expected to take at most {width_mm} of width and "
            "{thickness_mm} of thickness.",
            {"width_mm": WIDTH_TO_SPARE_MM, "thickness_mm": THICKNESS_TO_SPARE_MM},
        ),
    ]
    if mates:
        notes.append(
            Assumption(
                "LEARNED",
                "What the first cut of {boards} did tells of the stress in the whole pile.",
                {"boards": _names([mate.name for mate in mates])},
            )
        )
    return tuple(notes)
