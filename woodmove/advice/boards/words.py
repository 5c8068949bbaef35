"""What there is to say of a rip besides its numbers: reasons, warnings, cautions, assumptions."""

from collections.abc import Mapping, Sequence

import numpy as np

from woodmove.advice.boards import warp as warping
from woodmove.advice.boards.allowance import CORE_SHELL_POINTS, REST_TEMP_C, RESTED_POINTS
from woodmove.advice.boards.pith import PITH_DEPTH_MM
from woodmove.advice.boards.warp import STATES, Warps
from woodmove.contract.notes import Assumption, Caution, Note, Warning
from woodmove.domain.stock import Cut, Piece, SawnBoard
from woodmove.physics import warp
from woodmove.physics.arrays import Array

# Severe twist is found only in pieces whose middle lies this near to the pith (source: spruce-studs).
SEVERE_TWIST_WITHIN_MM = 75.0
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
JUDGEMENT = Assumption(
    "JUDGEMENT",
    "Spiral grain, locked-in strain and juvenile wood are by judgement: nobody has published them for "
    "framing lumber (woodmove doubt lists them). Wane, knots and splits are not in the sum.",
)


def reasons(board: SawnBoard, found: Warps, pieces: Sequence[Piece], mc: Mapping[str, Array]) -> list[Note]:
    notes = []
    pith = board.pith
    known = pith.depth_mm is not None or pith.ring_radius_mm is not None
    if pith.inside or (pith.depth_mm is not None and pith.depth_mm < 0):
        notes.append(Note("PITH_INSIDE", "The pith is in the board: its strips twist most."))
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
    notes = []
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
    straight = (
        board.crook_mm is not None
        and abs(board.crook_mm) > SIDE_BEND_MM * (board.length_mm / FULL_LENGTH_MM) ** 2
    )
    if straight:
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


def assumptions(board: SawnBoard, cut: Cut, service: str) -> tuple[Assumption, ...]:
    notes = [
        Assumption("SERVICE", "In service: {words}.", {"words": service}),
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
        Assumption(
            "TWIST_FREE",
            "Twist is that of wood dried from green without restraint; a heavy stack in the kiln makes "
            "it less.",
        ),
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
