"""A pile of boards, ranked: which are calm, and what each is good for."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from woodmove.advice.boards import allowance as budget
from woodmove.advice.boards import warp as warping
from woodmove.advice.boards import words as rip_words
from woodmove.advice.boards.arrays import BoardArrays
from woodmove.advice.boards.rip import (
    SOURCES,
    STUD_LIMITS_MM,
    Service,
    over_limits,
    risk_word,
    stud_twist_deg_per_m,
)
from woodmove.advice.boards.warp import MODES, Pile, bounds
from woodmove.advice.doubt.draws import Draws
from woodmove.contract.notes import Assumption, Warning
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal, Refusals
from woodmove.contract.untyped import UntypedAnswer
from woodmove.domain.species import Wood
from woodmove.domain.stock import Cut, SawnBoard
from woodmove.physics.arrays import Array
from woodmove.physics.warp import kerf_closure_mm

# Boards times draws that are computed; a large pile gets fewer draws each.
WORK = 2_000_000
LEAST_DRAWS = 200
BLOCK = 120_000  # of them at a time, in each of so many threads
THREADS = 4
# Milling may take this much from a strip before it is called good for its length (status: judgement).
WIDTH_TO_SPARE_MM, THICKNESS_TO_SPARE_MM = 3.2, 6.4
MOST_FAULTS = 20
GOOD_FOR = (
    "full-length strips",
    "half-length strips",
    "third-length strips",
    "quarter-length strips",
    "stickers, short blocks",
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
) -> UntypedAnswer:
    """The boards of a pile, the calmest first, those that hold their pith last: near it the chance of a strip
    beyond a limit is nearly 1 wherever the pith lies, and tells them apart no more.

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
    pile = Pile(draws, BoardArrays.of(mates, cut) if mates else None)
    lot = BoardArrays.of([board for board, _ in uncut], cut)
    found = _found(lot, wood, service, draws, pile)
    order = np.lexsort((_burden(found.sizes), np.round(found.chance, 2), found.holds_pith)).tolist()
    chances = found.chance.tolist()
    ranges = {
        mode: [Range(*each) for each in np.transpose(sizes).tolist()] for mode, sizes in found.sizes.items()
    }
    rows = [
        {
            "rank": place,
            "board": uncut[i][0].name,
            "line": uncut[i][1],
            "risk": risk_word(chances[i]),
            "over_stud_limit_chance_pct": 100.0 * chances[i],
            **{mode: each[i] for mode, each in ranges.items()},
            **({} if found.closes is None else {"kerf_closes_chance_pct": 100.0 * float(found.closes[i])}),
            "good_for": GOOD_FOR[int(found.lengths[i])] + (", pith in it" if found.holds_pith[i] else ""),
        }
        for place, i in enumerate(order, start=1)
    ]
    return UntypedAnswer(
        "rip",
        inputs,
        {
            "boards": rows,
            "bad_rows": [{"line": fault.line, "wrong": fault.wrong} for fault in faults],
            **_learned(mates, pile, draws),
        },
        warnings=_warnings(boards, [uncut[i][0].name for i in np.flatnonzero(found.holds_pith)], faults),
        cautions=rip_words.cautions(cut, cut.pieces(boards[0].size)),
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


@dataclass(frozen=True)
class _Found:
    """What the boards of a pile do, arrays of shape (boards,).

    :param chance: that a strip goes beyond the Stud grade
    :param closes: chance that the first kerf closes, None where nothing is ripped
    :param sizes: expected, low and high of the worst strip, by mode
    :param lengths: number in GOOD_FOR
    :param holds_pith: True where the pith lies in the board, and not in what is left beside its strips
    """

    chance: Array
    closes: Array | None
    sizes: Mapping[str, tuple[Array, Array, Array]]
    lengths: Array
    holds_pith: Array


def _found(lot: BoardArrays, wood: Wood, service: Service, draws: Draws, pile: Pile) -> _Found:
    """All boards, some at a time, so that their draws stay in the cache."""
    from concurrent.futures import ThreadPoolExecutor  # loads logging, which few commands need

    block = max(1, BLOCK // (draws.draws * lot.left_mm.shape[1]))
    blocks = [lot.part(slice(start, start + block)) for start in range(0, lot.boards, block)]
    with ThreadPoolExecutor(THREADS) as pool:  # NumPy lets the others work meanwhile
        parts = list(pool.map(lambda part: _part(part, wood, service, draws, pile), blocks))

    def joined(name: str) -> Array:
        return np.concatenate([getattr(part, name) for part in parts])

    def sizes(mode: str) -> tuple[Array, Array, Array]:
        expected, low, high = (np.concatenate([part.sizes[mode][i] for part in parts]) for i in range(3))
        return expected, low, high

    return _Found(
        joined("chance"),
        None if parts[0].closes is None else joined("closes"),
        {mode: sizes(mode) for mode in MODES},
        joined("lengths"),
        joined("holds_pith"),
    )


def _part(lot: BoardArrays, wood: Wood, service: Service, draws: Draws, pile: Pile) -> _Found:
    warps = warping.warps(lot, wood, service.drawn(draws), pile, states=("in_service",))
    closes = None
    if np.isfinite(lot.first).all():
        where = np.asarray(kerf_closure_mm(lot.kerf_mm, warps.closing_per_m[:, 1:]))
        closes = (where < lot.length_mm[:, None]).mean(axis=1)
    modes = {mode: warps.modes[mode]["in_service"] for mode in MODES}
    across = budget.width_loss_mm(np.abs(modes["crook_mm"][..., 0]))
    through = [np.abs(modes[mode][..., 0]) for mode in ("bow_mm", "cup_mm", "lift_mm")]
    burden = across / WIDTH_TO_SPARE_MM + budget.thickness_loss_mm(*through) / THICKNESS_TO_SPARE_MM
    worst = burden.argmax(axis=1)
    own = np.arange(lot.boards)
    return _Found(
        over_limits(warps, lot.length_mm[:, None, None])[:, 1:].mean(axis=1),
        closes,
        {mode: bounds(values[own, worst]) for mode, values in modes.items()},
        _lengths(across[own, worst], *(size[own, worst] for size in through)),
        _holds_pith(lot),
    )


def _holds_pith(lot: BoardArrays) -> Array:
    left, right = lot.left_mm.min(axis=1), lot.right_mm.max(axis=1)
    beside = (lot.pith_offset_mm < left) | (lot.pith_offset_mm > right)  # not where nobody read it
    return np.logical_or(lot.pith_inside, lot.pith_depth_mm < 0) & ~beside


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


def _warnings(
    boards: Sequence[SawnBoard], holding_pith: Sequence[str], faults: Sequence[Refusal]
) -> tuple[Warning, ...]:
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
    if holding_pith:
        notes.append(
            Warning(
                "PITH_INSIDE",
                "The pith is in {boards}. Severe twist is found within 3 in (75 mm) of it only: such a board "
                "ranks last.",
                {"boards": _names(holding_pith)},
            )
        )
    wet = [
        board.name
        for board in boards
        if board.mc_now_pct is not None and board.mc_now_pct > rip_words.DRY_PCT
    ]
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
        rip_words.JUDGEMENT,
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
