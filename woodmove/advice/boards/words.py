"""What there is to say of a rip besides its numbers: reasons, warnings, cautions, assumptions."""

from collections.abc import Mapping, Sequence

import numpy as np

from woodmove.advice.boards import warp as warping
from woodmove.advice.boards.allowance import (
    CAUL_CROOK_MM,
    CLOSING_KN,
    CLOSING_TWIST_DEG,
    CORE_SHELL_POINTS,
    JOINTED_CROOK_MM,
    REST_TEMP_C,
    RESTED_POINTS,
    SPARE_MM,
    STRIP_FORCE,
    Asked,
)
from woodmove.advice.boards.arrays import PITH_DEPTH_MM, SEVERE_TWIST_WITHIN_MM
from woodmove.advice.boards.warp import STATES, Warps
from woodmove.contract.notes import Assumption, Caution, Note, Warning, assumption, note
from woodmove.contract.quantity import ANGLE, LENGTH
from woodmove.domain.stock import Cut, Piece, SawnBoard
from woodmove.physics import warp
from woodmove.physics.arrays import Array

# 1 in 12: the limit of Select Structural (grading rules, read second hand).
STEEP_SLOPE_DEG = 4.76
# Crook of 1/2 in in 8 ft: rough mills crosscut such boards first (FDMC Magazine on side bend).
SIDE_BEND_MM, FULL_LENGTH_MM = 12.7, 2438.4
# Drier than this lumber may be called dry [% MC] (source: ps-20).
DRY_PCT = 19.0
# A prong that moves no more than 1/8 in shows no practical stress (source: prong-test).
PRONG_CALM_MM = 3.175
# Below this width of a strip a push stick is told for (saw makers' manuals).
PUSH_STICK_BELOW_MM = 152.4
# The word for the chance that a strip of a board fails; likely and hardly are the second and the third bound
# (status: judgement, fixed before any pile was seen).
RISKS = ((0.2, "low"), (0.5, "moderate"), (0.8, "high"), (1.1, "very high"))
LIKELY, VERY_HIGH = 0.5, 0.8
GOOD_FOR = (
    "full-length strips",
    "half-length strips",
    "third-length strips",
    "quarter-length strips",
    "stickers, short blocks",
)
WEDGES_READY = note("WEDGES_READY", "wedges ready: it may close on the blade")
# What is said of what a cut leaves over.
MIDDLE_IS_WASTE = note("MIDDLE_IS_WASTE", "The middle is waste.")
REST_IS_WASTE = note("REST_IS_WASTE", "The rest is waste.")
PITH_STAYS = note("PITH_STAYS", "The pith stays in a strip.")
ONE_OFF_EACH_EDGE = note("ONE_OFF_EACH_EDGE", "One strip off each edge. {rest}", rest=None)
OFF_BOTH_EDGES = note(
    "OFF_BOTH_EDGES", "{first} off one edge, then {other} off the other. {rest}",
    first=None, other=None, rest=None,
)  # fmt: skip
OFF_THE_FAR_EDGE = note("OFF_THE_EDGE_AWAY", "All strips off the edge away from the pith. {rest}", rest=None)
OFF_ONE_EDGE = note("OFF_ONE_EDGE", "All strips off one edge.")
IN_A_LAMINATION = assumption(
    "IN_A_LAMINATION",
    "The strips are glued on edge into a top. Clamps take {twist_deg} of twist and {crook_mm} of crook. More "
    "crook than that is jointed off, {more_mm} at most.",
    twist_deg=ANGLE, crook_mm=LENGTH, more_mm=LENGTH,
)  # fmt: skip
BOW_TAKEN = assumption(
    "BOW_TAKEN", "Clamps take {closing_kn} of bow. More of it is planed off.", closing_kn=STRIP_FORCE
)
STIFFNESS_UNKNOWN = assumption(
    "STIFFNESS_UNKNOWN",
    "No table gives the stiffness of this wood, so clamps are taken to close all of its bow. Press a strip "
    "flat by hand: plane off what stays.",
)
STRAIGHT_ON_ITS_OWN = assumption(
    "STRAIGHT_ON_ITS_OWN", "Each strip must be straight on its own: no clamp holds it."
)
COMMON_ALLOWANCE = assumption(
    "COMMON_ALLOWANCE", "Milling may take {spare_mm} each way: no finished size is given.", spare_mm=LENGTH
)
PITH_INSIDE = note("PITH_INSIDE", "The pith is in the board: its strips twist most.")
PITH_IN_THE_WASTE = note("PITH_IN_THE_WASTE", "The pith is in the board. The cut leaves it in the waste.")
COMPRESSION_WOOD = note(
    "COMPRESSION_WOOD",
    "A dark, dull, hard edge is compression wood. Such a board is straight until it is ripped.",
)
TWIST_SEEN = note("TWIST_SEEN", "The twist that it has was measured. It stays, and may grow a little.")
KERF_UNKNOWN = note("KERF_UNKNOWN", "Whether the kerf closes is unknown until the first rip.")
TWIST_FREE = assumption("TWIST_FREE", "It dried with nothing to hold it, and took on all of its twist.")
TWIST_HELD = assumption(
    "TWIST_HELD", "The stack in the kiln held about half of its twist. What it dries now, nothing holds."
)
JUDGEMENT = Assumption(
    "JUDGEMENT",
    "Spiral grain, locked-in strain and juvenile wood are by judgement: nobody has published them for "
    "framing lumber (woodmove list doubts lists them). Wane, knots and splits are not in the sum.",
)


def risk_word(fails: float) -> str:
    """A word for the chance that a strip of a board fails."""
    return next(word for bound, word in RISKS if fails < bound)


def is_wet(board: SawnBoard) -> bool:
    """True where it was metered above what dry lumber may be."""
    return board.mc_now_pct is not None and board.mc_now_pct > DRY_PCT


def crosscut_first(board: SawnBoard) -> bool:
    """True where its crook is more than a rough mill rips."""
    limit = SIDE_BEND_MM * (board.length_mm / FULL_LENGTH_MM) ** 2
    return board.crook_mm is not None and abs(board.crook_mm) > limit


def cut_words(board: SawnBoard, cut: Cut, layout: int, *, pith_stays: bool) -> Note | None:
    """Where the strips are cut off, None where there is no choice.

    :param layout: number of the way, of those of `Cut.layouts`
    :param pith_stays: True where no way leaves it in the waste, as :func:`.pith.holds_pith` tells
    """
    ways = cut.layouts(board.size)
    if len(ways) == 1:
        return None
    other = layout
    first = len(ways[0]) - other
    # One that nobody read how far to the side it lies may well be in the waste.
    stays = pith_stays and board.pith.offset_mm is not None
    if first and other:
        rest = PITH_STAYS() if stays else MIDDLE_IS_WASTE()
        if first == other == 1:
            return ONE_OFF_EACH_EDGE(rest=rest)
        return OFF_BOTH_EDGES(first=first, other=other, rest=rest)
    aside = board.pith.offset_mm or 0.0
    if aside > 0 if first else aside < 0:
        return OFF_THE_FAR_EDGE(rest=PITH_STAYS() if stays else REST_IS_WASTE())
    return OFF_ONE_EDGE()


def rule(asked: Asked) -> tuple[Assumption, ...]:
    """When a strip cleans up."""
    notes = [STRAIGHT_ON_ITS_OWN()]
    if asked.use == "lamination":
        notes = [
            IN_A_LAMINATION(twist_deg=CLOSING_TWIST_DEG, crook_mm=CAUL_CROOK_MM, more_mm=JOINTED_CROOK_MM),
            STIFFNESS_UNKNOWN() if asked.stiffness_gpa is None else BOW_TAKEN(closing_kn=CLOSING_KN),
        ]
    if asked.finished_width_mm is None or asked.finished_thickness_mm is None:
        notes.append(COMMON_ALLOWANCE(spare_mm=SPARE_MM))
    return tuple(notes)


def reasons(
    board: SawnBoard, found: Warps, pieces: Sequence[Piece], mc: Mapping[str, Array], *, pith_stays: bool
) -> list[Note]:
    """:param pith_stays: True where a strip holds the pith, or may"""
    notes: list[Note] = []
    pith = board.pith
    known = pith.depth_mm is not None or pith.ring_radius_mm is not None
    if pith.in_board:
        notes.append(PITH_INSIDE() if pith_stays else PITH_IN_THE_WASTE())
    near = int(np.sum(found.pith_mm[0] < SEVERE_TWIST_WITHIN_MM))
    if near and known:
        notes.append(
            Note(
                "NEAR_PITH",
                "{near} of {count} pieces have their middle within 3 in (75 mm) of the pith; severe "
                "twist is found only there.",
                {"near": near, "count": len(pieces)},
            )
        )
    if not known and not pith.inside:
        notes.append(
            Note("PITH_UNKNOWN", "Nobody looked for the pith, which decides twist more than anything.")
        )
    dries = float(mc["at_cut"][0] - mc["in_service"][0])
    if abs(dries) >= 1.0:
        way = "dry" if dries > 0 else "take on"
        notes.append(
            Note("MOISTURE_TO_GO", f"It will {way} {{points_points}} from now until it is in service.",
                 {"points_points": abs(dries)})
        )  # fmt: skip
    narrow = all(piece.width_mm <= warp.CUP_NEGLIGIBLE_UP_TO_WIDTH_MM for piece in pieces)
    if known and narrow and float(found.pith_mm.min()) > warp.CUP_NEGLIGIBLE_BEYOND_MM:
        notes.append(
            Note(
                "LITTLE_CUP",
                "This narrow, and more than {distance_mm} from the pith, cup is negligible in practice.",
                {"distance_mm": warp.CUP_NEGLIGIBLE_BEYOND_MM},
            )
        )
    if board.slope_deg is not None and abs(board.slope_deg) >= STEEP_SLOPE_DEG:
        notes.append(Note("STEEP_GRAIN", "Its grain slopes more than 1 in 12."))
    if board.reaction:
        notes.append(COMPRESSION_WOOD())
    if board.twist_mm is not None:
        notes.append(TWIST_SEEN())
    if board.first_cut is not None:
        notes.append(Note("FIRST_CUT", "The first cut told how much stress is locked in."))
    if board.prong is not None:
        inward, calm = board.prong.inward_mm, abs(board.prong.inward_mm) <= PRONG_CALM_MM
        words = (
            "no practical stress" if calm else "case-hardening" if inward > 0 else "reverse case-hardening"
        )
        notes.append(
            Note(
                "PRONG_TEST",
                "The prong test shows {words} across the grain; of stress along it, which matters in "
                "ripping, it tells nothing.",
                {"words": words},
            )
        )
    if board.crook_mm is None and board.bow_mm is None:
        notes.append(
            Note("NOT_SIGHTED", "Nobody sighted it for crook and bow; what a straight board has locked "
                                "in shows "
                 "only at the saw.")
        )  # fmt: skip
    return notes


def warnings(board: SawnBoard, cut: Cut, mc: Mapping[str, Array]) -> tuple[Warning, ...]:
    notes: list[Warning] = []
    if mc["at_cut"][0] > DRY_PCT:
        notes.append(
            Warning(
                "WET_BOARD",
                "At {mc_pct} it is wetter than dry lumber may be (19 %): let it dry before you rip it, "
                "or rip it "
                "much wider.",
                {"mc_pct": float(mc["at_cut"][0])},
            )
        )
    mcs = np.array([mc[state][0] for state in STATES])
    if warp.CUP_LINEAR_RANGE.outside(mcs):
        notes.append(
            Warning(
                "CUP_ABOVE_ITS_RANGE",
                "Cup is known to go with moisture in proportion below 20 % MC only.",
                validity=True,
            )
        )
    if crosscut_first(board):
        notes.append(
            Warning(
                "CROSSCUT_FIRST",
                "The crook is more than {limit_mm} in 8 ft: crosscut it before you rip it, as rough "
                "mills do.",
                {"limit_mm": SIDE_BEND_MM},
            )
        )
    if cut.edges == "keep" and not cut.whole:
        notes.append(
            Warning(
                "ROUNDED_EDGES_KEPT",
                "The outer strips keep their rounded factory edges: turn them to the underside of the top.",
            )
        )
    return tuple(notes)


def cautions(cut: Cut, pieces: Sequence[Piece]) -> tuple[Caution, ...]:
    """What can hurt, for the cut that is meant; none where nothing is ripped."""
    if cut.whole:
        return ()
    notes = [
        Caution(
            "STRAIGHT_EDGE_FIRST",
            "Never rip a board that rocks on the table or has no straight edge: straighten one edge and "
            "one face first, or screw it to a straight carrier.",
        ),
        Caution(
            "RIVING_KNIFE",
            "A kerf that closes pinches the blade and throws the board back: this is kickback. Use a riving "
            "knife or splitter, in line with the blade and thinner than the kerf, and the guard.",
        ),
        Caution(
            "WEDGES",
            "If the kerf closes, stop the saw, wait until the blade stands still, then set wedges in "
            "the kerf "
            "behind it. Never free a jam with the saw running.",
        ),
        Caution(
            "STAND_CLEAR", "Stand beside the line of the cut, not in it, and let nobody stand behind it."
        ),
    ]
    if min(piece.width_mm for piece in pieces) < PUSH_STICK_BELOW_MM and cut.into != "resaw":
        notes.append(
            Caution("PUSH_STICK", "Under 6 in (152 mm) of strip width use a push stick or a push block.")
        )
    if cut.into == "resaw":
        notes.append(
            Caution("RESAW", "Resaw on a band saw with a high fence; on a table saw the kerf pinches "
                             "just as it does in "
                    "ripping.")
        )  # fmt: skip
    notes.append(
        Caution(
            "MANUAL_AND_RULES",
            "Follow the manual of your saw and the rules of your place; they come before this.",
        )
    )
    return tuple(notes)


IN_SERVICE = assumption("SERVICE", "In service: {words}.", words=None)


def assumptions(board: SawnBoard, cut: Cut, service: str) -> tuple[Assumption, ...]:
    notes = [
        IN_SERVICE(words=service),
        Assumption(
            "SIZES",
            "Crook, bow, cup and twist are sizes. Where nothing tells the direction, the expected size "
            "is that "
            "which half of such boards stay under.",
        ),
        JUDGEMENT,
        Assumption(
            "REST",
            "Rest: stickered at {temp_c}, in air that brings it to its moisture in service, until the mean "
            "is within {mean_points} and core and shell within {limit_points}; a night at least (common "
            "practice).",
            {"temp_c": REST_TEMP_C, "mean_points": RESTED_POINTS, "limit_points": CORE_SHELL_POINTS},
        ),
        TWIST_FREE() if board.dried == "free" else TWIST_HELD(),
    ]
    if board.pith.depth_mm is None and board.pith.ring_radius_mm is None and not board.pith.inside:
        notes.append(
            Assumption(
                "PITH_SOMEWHERE",
                "The pith is taken to lie about {depth_mm} below the board, give or take.",
                {"depth_mm": PITH_DEPTH_MM},
            )
        )
    if board.mc_now_pct is None:
        notes.append(
            Assumption(
                "MC_AS_BOUGHT",
                "Not metered: taken as {mc_pct}, as bought.",
                {"mc_pct": warping.MC_BOUGHT_PCT},
            )
        )
    if not cut.whole and cut.into != "resaw":
        notes.append(
            Assumption(
                "CUT_ORDER",
                "Strip 1 is ripped off first, and so on across the board; the kerf is that of the first cut.",
            )
        )
    return tuple(notes)
