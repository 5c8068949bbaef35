"""Which boards will move when they are ripped, how much, and what to leave."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Annotated, Literal

import numpy as np
from numpy.typing import NDArray

from woodmove.advice.boards import allowance as budget
from woodmove.advice.boards import stud
from woodmove.advice.boards import warp as warping
from woodmove.advice.boards import words as rip_words
from woodmove.advice.boards.arrays import BoardArrays
from woodmove.advice.boards.pith import holds_pith
from woodmove.advice.boards.stud import STUD_LIMITS_MM, StudLimit
from woodmove.advice.boards.warp import MODES, STATES, Pile, Warps, bounds
from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.contract.answer import Answer, Verdict
from woodmove.contract.notes import Note, Warning, note, warning
from woodmove.contract.quantity import ANGLE, CHANCE, DAYS, FINE_LENGTH, HARDLY_PCT, LENGTH, SURELY_PCT
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal
from woodmove.contract.shown import Shown, results
from woodmove.domain.species import Wood
from woodmove.domain.stock import Cut, Piece, Pith, SawnBoard
from woodmove.physics import warp
from woodmove.physics.arrays import Array

# A kerf that closes in fewer boards than this wants no wedges at hand (status: judgement).
CLOSES_SELDOM = 0.05
SOURCES = (
    "straze-2011", "spruce-studs", "spruce-sticks", "stud-grade", "fpl-gtr-282", "fpl-r1093", "balodis-1972",
)  # fmt: skip

RIP_IT = note("RIP_IT", "Rip it. All strips clean up in {chance_pct} of boards like this.", chance_pct=CHANCE)
RIP_SURELY = note("RIP_IT", "Rip it. All its strips will almost surely clean up.")
MAY_LOSE_ONE = note(
    "MAY_LOSE_ONE",
    "It may lose a strip. All clean up in {chance_pct} of boards like this.",
    chance_pct=CHANCE,
)
LOOK_AGAIN = note("LOOK_AGAIN", "Look at the strips after the first cut, and again tomorrow.")
NOT_THIS_BOARD = note(
    "NOT_THIS_BOARD",
    "Not this board. All strips clean up in only {chance_pct} of boards like this.",
    chance_pct=CHANCE,
)
NEVER_THIS_BOARD = note(
    "NOT_THIS_BOARD", "Not this board. All strips clean up in less than 1 in 20 boards like this."
)
TOO_MUCH = {
    "twist": note("TOO_MUCH_TWIST", "They twist more than clamps take out."),
    "crook": note("TOO_MUCH_CROOK", "They bend edgewise more than cauls and a jointer take out."),
    "bow": note("TOO_MUCH_BOW", "They bow and cup more than there is to plane away."),
}
LOOK_FIRST = note("NOT_ENOUGH_SEEN", "Look at the end grain first: not enough seen to judge this board.")
SAY_THE_PITH = note("SAY_THE_PITH", "Then say where the pith is, such as pith=well-off.")
DRY_IT = note("DRY_IT", "Let it dry below 19 % before you rip it.")
CUT_SHORT = note(
    "CUT_SHORT", "Crosscut to {length_mm} first. Then all strips clean up in {chance_pct}.",
    length_mm=LENGTH, chance_pct=CHANCE,
)  # fmt: skip
CUT_SHORT_SURELY = note(
    "CUT_SHORT", "Crosscut to {length_mm} first. Then all strips almost surely clean up.", length_mm=LENGTH
)
CLAMP_IT = note(
    "CLAMP_IT", "Its expected bow takes {force_kn} to clamp straight.", force_kn=budget.STRIP_FORCE
)
PLANE_IT = note("PLANE_IT", "Planed flat on its own, {left_mm} of thickness is left.", left_mm=FINE_LENGTH)
BASE_PARTS = note("BASE_PARTS", "Use it for short parts of the base.")
RETURN_IT = note("RETURN_IT", "Not sawn yet, it can go back to the yard.")
WIDER_FOR_KNOWING = warning(
    "WIDER_FOR_KNOWING",
    "Less sure than most boards: what you said of {words} is out of the ordinary.",
    words=None,
)
LOOKS = (
    note("SEE_THE_PITH", "Ends: is the pith in it, under the face, or well off (over 3 in)?"),
    note("SEE_THE_EDGE", "Down an edge: crook. Down a face: bow."),
    note("SEE_THE_TWIST", "Flat on a table: does a corner lift?"),
    note("SEE_COMPRESSION", "One edge or face dark, dull and hard: compression wood."),
)


@dataclass(frozen=True, slots=True)
class Service:
    """Where the wood will live: its moisture content [%], a number or draws of it, and words for it."""

    mc_pct: float | Array
    words: str

    def drawn(self, draws: Draws) -> Array:
        """Shape (draws + 1,)."""
        return np.broadcast_to(np.asarray(self.mc_pct, float), (draws.draws + 1,))


@results
class Leave:
    """What to leave over the finished size of a strip."""

    width_mm: Annotated[Range, Shown("width", LENGTH)]
    thickness_mm: Annotated[Range, Shown("thickness", FINE_LENGTH)]


@results
class LookFor:
    """What to look for on a board of which nothing was seen."""

    look_for: Annotated[Note, Shown("", None, "key")]


@results
class Instead:
    """What becomes of a board whose strips hardly clean up, or of a strip that warped."""

    what_else: Annotated[Note, Shown("", None, "key")]


@results
class States:
    """A size at the cut and in service; what kind of number it is says the field that holds it."""

    at_cut: Annotated[Range, Shown("at cut")]
    in_service: Annotated[Range, Shown("in service")]


@results
class Strip:
    """What a strip does, sizes of warp over its length; twist goes to one hand."""

    strip: Annotated[int, Shown("strip", None, "key")]
    width_mm: Annotated[float, Shown("width", LENGTH)]
    thickness_mm: Annotated[float, Shown("thickness", LENGTH)]
    twist_deg: Annotated[States, Shown("twist", ANGLE, "key")]
    lift_mm: Annotated[States, Shown("corner lift", LENGTH, "key")]
    crook_mm: Annotated[States, Shown("crook", LENGTH, "key")]
    bow_mm: Annotated[States, Shown("bow", LENGTH, "key")]
    cup_mm: Annotated[States, Shown("cup", FINE_LENGTH, "key")]
    hand: Annotated[Literal["left", "right"], Shown("hand")]
    hand_chance_pct: Annotated[float, Shown("chance of that hand", CHANCE)]


@results
class Kerf:
    """What the first kerf does."""

    closes_chance_pct: Annotated[float, Shown("chance that it closes", CHANCE)]
    closes_behind_blade_mm: Annotated[Range | None, Shown("closes behind the blade at", LENGTH)]


@results
class Why:
    """A reason."""

    reason: Annotated[Note, Shown("")]


@results
class Crosscut:
    """What the worst strip finishes at when the board is crosscut first, and what that gains."""

    lengths: Annotated[int, Shown("lengths")]
    length_mm: Annotated[float, Shown("length", LENGTH)]
    finished_width_mm: Annotated[float, Shown("finished\nwidth", FINE_LENGTH)]
    finished_thickness_mm: Annotated[float, Shown("finished\nthickness", FINE_LENGTH)]
    gains_width_mm: Annotated[float, Shown("gains\nwidth", FINE_LENGTH)]
    gains_thickness_mm: Annotated[float, Shown("gains\nthickness", FINE_LENGTH)]


@results
class Rip:
    """What the strips of one board do. The first table that is there is printed: what to do instead, what to
    look for, or the strips."""

    risk: Annotated[str | None, Shown("risk")]
    all_clean_up_chance_pct: Annotated[
        float | None, Shown("chance that all strips clean up", CHANCE, "headline")
    ]
    cut: Annotated[Note | None, Shown("cut", None, "key")]
    leave: Annotated[Leave, Shown("leave over the finished size")]
    instead: Annotated[tuple[Instead, ...] | None, Shown("instead", None, "key")]
    look_for: Annotated[tuple[LookFor, ...] | None, Shown("look for", None, "key")]
    strips: Annotated[tuple[Strip, ...], Shown("strips", None, "key")]
    rest_days: Annotated[Range | None, Shown("rest before jointing", DAYS)]
    kerf: Annotated[Kerf | None, Shown("kerf of the first cut")]
    reasons: Annotated[tuple[Why, ...], Shown("why")]
    budget: Annotated[tuple[budget.Step, ...], Shown("stock budget, by what is expected")]
    crosscut_first: Annotated[tuple[Crosscut, ...], Shown("the worst strip, crosscut first")]
    over_stud_limit_chance_pct: Annotated[float, Shown("chance beyond Stud grade", CHANCE)]
    stud_limits: Annotated[
        tuple[StudLimit, ...],
        Shown("the Stud grade, for context (scaled to this length as physics, not a rule)"),
    ]
    measure_next: Annotated[Note | None, Shown("what to measure next")]


def _how_was_it_cut() -> Refusal:
    return Refusal(
        "HOW_WAS_IT_CUT",
        "The first cut did something, but nothing says how it was cut.",
        "What a cut releases depends on the width of the strip that it frees.",
        "Add --into and --strip-width as the first board was cut.",
        fields=("into",),
        exit_code=2,
    )


def rip(
    board: SawnBoard,
    cut: Cut,
    wood: Wood,
    service: Service,
    draws: Draws,
    *,
    asked: budget.Asked,
    strip_length_mm: float | None = None,
) -> Answer[Rip]:
    """What the strips of one board will do, and what to leave for it.

    :param asked: of each strip
    :param strip_length_mm: length of the strips where the board is crosscut first, None for its whole length
    :raises Refusal: strips that the board does not yield, a strip of which nothing would be left
    """
    if cut.whole and (board.first_cut):
        raise _how_was_it_cut()
    length = board.length_mm if strip_length_mm is None else min(strip_length_mm, board.length_mm)
    lot = BoardArrays.of([board], cut)
    found = _warps(board, length, cut, wood, service, draws)
    pieces = cut.layouts(board.size)[int(lot.layout[0])]
    strips = _strips(found, pieces, draws)
    sawn = budget.Sawn.of(lot, np.array([length]), cut.edges)
    milled = _Milled.of(found, sawn, asked)
    worst = int((milled.across[:, 0] + milled.through[:, 0]).argmax())
    clean = float(milled.good.all(axis=0).mean())
    mc = {"at_cut": found.mc_now_pct[0, 0], "in_service": service.drawn(draws)}
    widened, unknown = _inputs(board, length, cut, wood, service, draws, found)
    told = board.first_cut is not None or bool(board.reaction)
    kerf = _kerf(found.closing_per_m[0], cut, length, draws) if told else None
    stays = bool(holds_pith(lot)[0])
    reasons = rip_words.reasons(board, found, pieces, mc, pith_stays=stays)
    if kerf is None and not cut.whole and cut.into != "resaw":
        reasons.append(rip_words.KERF_UNKNOWN())
    hopeless = board.seen and not rip_words.is_wet(board) and 1.0 - clean >= rip_words.LIKELY
    results = Rip(
        risk=rip_words.risk_word(1.0 - clean) if board.seen else None,
        all_clean_up_chance_pct=100.0 * clean if board.seen else None,
        cut=rip_words.cut_words(board, cut, int(lot.layout[0]), pith_stays=stays),
        leave=Leave(
            width_mm=size_range(np.max(milled.across, axis=0), draws),
            thickness_mm=size_range(np.max(milled.through, axis=0), draws),
        ),
        instead=_instead(sawn, asked, milled, length, board) if hopeless else None,
        look_for=None if board.seen else tuple(LookFor(look_for=look()) for look in LOOKS),
        strips=strips,
        rest_days=budget.rest_days(pieces[worst], length, wood, mc, draws),
        kerf=kerf,
        reasons=tuple(Why(reason=reason) for reason in reasons),
        budget=_budget(board, pieces, milled),
        crosscut_first=_crosscuts(found, sawn, asked, worst, length),
        over_stud_limit_chance_pct=100.0 * float(stud.over_limits(found, length)[0, 1:].mean()),
        stud_limits=stud.beside(
            length,
            pieces[worst].width_mm,
            {mode: getattr(strips[worst], mode).in_service for mode in ("crook_mm", "bow_mm", "lift_mm")},
        ),
        measure_next=unknown,
    )
    return Answer(
        _verdict(board, clean, milled, kerf, cut),
        results,
        (
            *widened,
            *rip_words.warnings(board, cut, mc),
            *rip_words.cautions(cut, pieces),
            *rip_words.assumptions(board, cut, service.words),
            *rip_words.rule(asked),
        ),
        _sources(board, cut, wood),
    )


def _sources(board: SawnBoard, cut: Cut, wood: Wood) -> tuple[str, ...]:
    return (
        *SOURCES,
        *(() if cut.whole else ("8-ccr-4296", "29-cfr-1910.213")),
        *(("prong-test",) if board.prong else ()),
        *(c.known.source for c in wood.coefficients),
    )


def _budget(board: SawnBoard, pieces: Sequence[Piece], milled: "_Milled") -> tuple[budget.Step, ...]:
    """What each step takes of each strip."""
    parent = (board.size.width_mm, board.size.thickness_mm)
    strips = zip(pieces, milled.across[:, 0], milled.through[:, 0], strict=True)
    return tuple(
        step
        for number, (piece, across, through) in enumerate(strips, start=1)
        for step in budget.steps(number, piece, parent, (float(across), float(through)))
    )


@dataclass(frozen=True)
class _Milled:
    """What milling takes of the strips of one board, at the cut or in service, whichever is more.

    :param across, through: width and thickness [mm], shape (pieces, draws + 1)
    :param good: whether they clean up in service, (pieces, draws)
    :param warped: sizes of warp in service, (1, pieces, draws + 1)
    """

    across: Array
    through: Array
    good: NDArray[np.bool_]
    warped: budget.Warped

    @classmethod
    def of(cls, found: Warps, sawn: budget.Sawn, asked: budget.Asked) -> "_Milled":
        states = [budget.Warped.of({m: found.modes[m][state] for m in MODES}) for state in STATES]
        across = np.maximum(*(asked.takes_width_mm(each, sawn)[0] for each in states))
        through = np.maximum(*(asked.takes_thickness_mm(each, sawn)[0] for each in states))
        return cls(across, through, asked.cleans_up(states[-1], sawn)[0, :, 1:], states[-1])


def _verdict(board: SawnBoard, clean: float, milled: _Milled, kerf: Kerf | None, cut: Cut) -> Verdict:
    if rip_words.is_wet(board):
        return Verdict("wait", (DRY_IT(),))
    if not board.seen:
        return Verdict("wait", (LOOK_FIRST(), SAY_THE_PITH()))
    chance = 100.0 * clean
    if 1.0 - clean >= rip_words.VERY_HIGH:
        leave = NEVER_THIS_BOARD() if chance < HARDLY_PCT else NOT_THIS_BOARD(chance_pct=chance)
        return Verdict("stop", (leave, TOO_MUCH[_most(milled.warped)]()))
    may_close = kerf is None or kerf.closes_chance_pct >= 100.0 * CLOSES_SELDOM
    needs = (rip_words.WEDGES_READY(),) if may_close and not cut.whole and cut.into != "resaw" else ()
    if chance > SURELY_PCT:
        return Verdict("go", (RIP_SURELY(), LOOK_AGAIN()), needs)
    says = RIP_IT if 1.0 - clean < rip_words.LIKELY else MAY_LOSE_ONE
    return Verdict("go", (says(chance_pct=chance), LOOK_AGAIN()), needs)


def _most(warped: budget.Warped) -> str:
    """The kind of warp that most often keeps a strip from cleaning up."""
    shares = {
        "twist": np.mean(warped.twist_deg > budget.CLOSING_TWIST_DEG),
        "crook": np.mean(warped.crook_mm > budget.MOST_CROOK_MM),
        "bow": np.mean(warped.bow_mm + warped.cup_mm > budget.SPARE_MM),
    }
    return max(shares, key=lambda kind: shares[kind])


def _instead(
    sawn: budget.Sawn, asked: budget.Asked, milled: _Milled, length: float, board: SawnBoard
) -> tuple[Instead, ...]:
    """What becomes of a board whose strips hardly clean up, or of a strip that warped."""
    warped = milled.warped
    rows: list[Note] = []
    for pieces in budget.CROSSCUTS[1:]:
        good = asked.cleans_up(warped.crosscut(pieces), sawn.crosscut(pieces))[..., 1:]
        chance = 100.0 * float(good.all(axis=1).mean())
        if chance > 100.0 * (1.0 - rip_words.LIKELY):
            short = length / pieces
            rows.append(
                CUT_SHORT_SURELY(length_mm=short)
                if chance > SURELY_PCT
                else CUT_SHORT(length_mm=short, chance_pct=chance)
            )
            break
    bow = float(warped.bow_mm[0, :, 0].max())
    if asked.stiffness_gpa is not None:
        section = (float(sawn.width_mm.min()), float(sawn.thickness_mm.min()) - budget.SPARE_MM, length)
        force = float(warp.closing_force_kn(*section, bow, asked.stiffness_gpa))
        rows.append(CLAMP_IT(force_kn=force))
    free = replace(asked, use="free").takes_thickness_mm(warped, sawn)[0, :, 0].max()
    if board.size.thickness_mm - free > 0.0:
        rows.append(PLANE_IT(left_mm=board.size.thickness_mm - float(free)))
    return tuple(Instead(what_else=row) for row in (*rows, BASE_PARTS(), RETURN_IT()))


def _crosscuts(
    found: Warps, sawn: budget.Sawn, asked: budget.Asked, worst: int, length_mm: float
) -> tuple[Crosscut, ...]:
    """What the worst piece finishes at when it is crosscut first, and what that gains."""
    states = [budget.Warped.of({m: found.modes[m][state] for m in MODES}) for state in STATES]
    rows: list[Crosscut] = []
    for count in budget.CROSSCUTS:
        across, through = (
            max(
                float(getattr(asked, takes)(each.crosscut(count), sawn.crosscut(count))[0, worst, 0])
                for each in states
            )
            for takes in ("takes_width_mm", "takes_thickness_mm")
        )
        width = float(sawn.width_mm[0, worst, 0]) - across
        thickness = float(sawn.thickness_mm[0, worst, 0]) - through
        whole = (rows[0].finished_width_mm, rows[0].finished_thickness_mm) if rows else (width, thickness)
        rows.append(
            Crosscut(
                lengths=count,
                length_mm=length_mm / count,
                finished_width_mm=width,
                finished_thickness_mm=thickness,
                gains_width_mm=width - whole[0],
                gains_thickness_mm=thickness - whole[1],
            )
        )
    return tuple(rows)


def _warps(
    board: SawnBoard,
    length_mm: float,
    cut: Cut,
    wood: Wood,
    service: Service,
    draws: Draws,
) -> Warps:
    lot = BoardArrays.of([board], cut)
    return warping.warps(lot, wood, service.drawn(draws), Pile(draws), np.array([length_mm]))


def _strips(found: Warps, pieces: Sequence[Piece], draws: Draws) -> tuple[Strip, ...]:
    rows: list[Strip] = []
    for number, piece in enumerate(pieces):
        twist: Array = found.modes["twist_deg"]["in_service"][0, number]
        left = float(np.mean(twist[1:] > 0))
        hand = "left" if twist[0] >= 0 else "right"
        sizes = {
            mode: States(
                at_cut=size_range(found.modes[mode]["at_cut"][0, number], draws),
                in_service=size_range(found.modes[mode]["in_service"][0, number], draws),
            )
            for mode in MODES
        }
        rows.append(
            Strip(
                strip=number + 1,
                width_mm=piece.width_mm,
                thickness_mm=piece.thickness_mm,
                hand=hand,
                hand_chance_pct=100.0 * (left if hand == "left" else 1.0 - left),
                **sizes,
            )
        )
    return tuple(rows)


def size_range(values: Array, draws: Draws) -> Range:
    """The Range of a size, whatever the direction, with its causes."""
    expected, low, high = bounds(values)
    return Range(float(expected), float(low), float(high), draws.causes(np.abs(values[1:])))


def _kerf(closing: Array, cut: Cut, length_mm: float, draws: Draws) -> Kerf | None:
    if cut.whole or cut.into == "resaw":
        return None
    where = np.asarray(warp.kerf_closure_mm(cut.kerf_mm, closing))
    return Kerf(
        closes_chance_pct=100.0 * float(np.mean(where[1:] < length_mm)),
        # Where it does not close within the board, the length of the board stands for it.
        closes_behind_blade_mm=draws.range(np.minimum(where, length_mm)) if where[0] < length_mm else None,
    )


def _inputs(
    board: SawnBoard,
    length_mm: float,
    cut: Cut,
    wood: Wood,
    service: Service,
    draws: Draws,
    found: Warps,
) -> tuple[tuple[Warning, ...], Note | None]:
    """Which inputs widened the Ranges by what they said, and which missing one would narrow them most."""
    width = _whole_width(found)
    widened: list[str] = []
    for words, without in _less(board):
        other = _warps(without, length_mm, cut, wood, service, Draws(draws.draws, draws.seed))
        if width > 1.02 * _whole_width(other):
            widened.append(words)
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
    unknown = Note("MEASURE_NEXT", texts[best]) if best else None
    return (WIDER_FOR_KNOWING(words=" and of ".join(widened)),) if widened else (), unknown


def _given(board: SawnBoard) -> set[str]:
    """Columns and options of what was said of a board already: what is left of their doubt is nature's."""
    said = {
        "pith_depth": board.pith.depth_mm is not None or board.pith.ring_radius_mm is not None,
        "--mc-now": board.mc_now_pct is not None,
        "mc_core": board.core_less_shell_points is not None,
        "slope": board.slope_deg is not None,
        "crook": board.crook_mm is not None,
        "bow": board.bow_mm is not None,
        "prong_in": board.prong is not None,
        "twist": board.twist_mm is not None,
        "kerf_closed": board.first_cut is not None,
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
        ("its twist", board.twist_mm is not None, replace(board, twist_mm=None)),
        ("the prong test", board.prong is not None, replace(board, prong=None)),
    ]
    return [(words, other) for words, said, other in lists if said]


def _whole_width(found: Warps) -> float:
    """Width of all Ranges in service, each mode counting by its Stud limit."""
    total = 0.0
    for mode, limit in STUD_LIMITS_MM.items():
        _, low, high = bounds(found.modes[mode]["in_service"])
        total += float(np.sum(high - low)) / limit
    return total
