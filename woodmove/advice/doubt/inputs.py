"""Doubt: inputs as distributions, seeded draws of them through the same relations, Ranges out.

An input becomes an array whose first element is its central value and whose others are the draws. The
relations take arrays, so one call gives the central result and all drawn ones. Draws are stratified:
each input takes every one of `draws` equal slices of its distribution once, in an order that depends on
the seed and on the input's name alone, so that a new input does not disturb the others.
"""

from dataclasses import replace

from woodmove.contract.ranges import Distribution, Measurement
from woodmove.sources import Status

# 90 % of a normal distribution lie within this many standard deviations: how a published "within
# so much" becomes a standard deviation.
BOUND_90 = 1.645
# Scatter of the transverse shrinkage of single pieces: coefficient of variation (source: fpl-gtr-282).
PIECE_SCATTER = 0.15
# Share of its variance that lies between logs rather than within one (status: judgement).
LOG_SHARE = 0.5

# Measurements that lessen the doubt of several inputs.
MARK_A_PANEL = Measurement(
    "MARK_A_PANEL", "Mark a width on a finished panel of the same boards and measure it a season later."
)
READ_THE_SLOPE = Measurement("READ_THE_SLOPE", "Read the slope of grain on the wide face: slope.", ("slope",))
DRY_A_SLICE = Measurement(
    "DRY_A_SLICE", "Meter three boards, dry a slice of each in the oven, and log both.", ("readings add",)
)
RIP_ONE_BOARD = Measurement(
    "RIP_ONE_BOARD",
    "Rip one board and say what it did: kerf_closed and kerf_at, strip_crook.",
    ("kerf_closed", "kerf_at", "strip_crook"),
)
RIP_ONE_STRIP = Measurement(
    "RIP_ONE_STRIP",
    "Rip one strip off and say what it did: kerf_closed and kerf_at, strip_crook.",
    ("kerf_closed", "kerf_at", "strip_crook"),
)

LOGS = Distribution(
    "between logs",
    PIECE_SCATTER * LOG_SHARE**0.5,
    "of the value",
    "mean shrinkage of a log: half the variance of the published 15 % scatter, by judgement",
    Status.JUDGEMENT,
    "fpl-gtr-282",
    MARK_A_PANEL,
)
PIECES = Distribution(
    "between pieces",
    PIECE_SCATTER * (1.0 - LOG_SHARE) ** 0.5,
    "of the value",
    "shrinkage of a piece within its log: the other half; it averages out over many strips",
    Status.JUDGEMENT,
    "fpl-gtr-282",
)
SPECIES_MEAN = Distribution(
    "species mean",
    0.05,
    "of the value",
    "mean of the trees at your yard against the table's",
    Status.JUDGEMENT,
    measure=MARK_A_PANEL,
)
EDITION = Distribution(
    "edition or source",
    0.25,
    "chance",
    "the older edition of the table holds, or the source that lies farthest off, where they differ",
    Status.JUDGEMENT,
    picked=True,
)
MEMBER = Distribution(
    "member of the mix",
    0.0,
    "equal chances",
    "which species of a lumber-yard mix it is",
    Status.JUDGEMENT,
    measure=Measurement("TELL_THE_SPECIES", "Find out which species the mix is, by its stamp or its look."),
    picked=True,
)
STRAIGHT_LINE = Distribution(
    "straight line",
    0.05 / BOUND_90,
    "of the value",
    "shrinkage taken as a straight line: the published 5 % of the true change, as a 90 % bound by judgement",
    Status.JUDGEMENT,
    "fpl-gtr-190",
)
RING_ANGLE = Distribution(
    "ring angle",
    6.0,
    "°",
    "ring angle read by eye",
    Status.JUDGEMENT,
    measure=Measurement("READ_THE_RINGS", "Read the ring angle on more end grain, with a protractor."),
)
PITH_DEPTH = Distribution(
    "pith depth",
    6.0,
    "mm",
    "pith depth read on the end grain",
    Status.JUDGEMENT,
    measure=Measurement("READ_MORE_PITHS", "Read the pith depth on more boards: lay a compass to the rings."),
)
STRIP_ORDER = Distribution(
    "strip order",
    1.0,
    "of the spread between strips",
    "which strips of the boards came to lie in this part of the top",
    Status.DERIVED,
    measure=Measurement("NOTE_THE_PLACES", "Note from which place in its board each strip came."),
)
STRIP_SPECIES = Distribution(
    "species of the strips",
    1.0,
    "of the spread between woods",
    "strips of which species came to lie in this part of the top",
    Status.DERIVED,
    measure=Measurement("NOTE_THE_SPECIES", "Write its species on each strip."),
)
METER_BIAS = Distribution(
    "meter bias",
    1.0 / BOUND_90,
    "% MC",
    "mean of corrected readings against the true mean: within 1 %, as a 90 % bound",
    Status.PUBLISHED,
    "fpl-gtr-190",
    DRY_A_SLICE,
)
METER_NOISE = Distribution(
    "meter noise",
    1.0,
    "% MC",
    "one reading against the mean of the pile; it averages out over readings",
    Status.JUDGEMENT,
    measure=Measurement("METER_MORE", "Meter more boards, in more places."),
)
HYGROMETER = Distribution(
    "hygrometer",
    5.0 / BOUND_90,
    "% RH",
    "a cheap hygrometer: 5 % RH, as a 90 % bound",
    Status.JUDGEMENT,
    measure=Measurement("CHECK_THE_HYGROMETER", "Check the hygrometer against a second, calibrated one."),
)
THERMOMETER = Distribution(
    "thermometer",
    1.0 / BOUND_90,
    "°C",
    "a cheap thermometer: 1 °C, as a 90 % bound",
    Status.JUDGEMENT,
    measure=Measurement("CHECK_THE_THERMOMETER", "Check the thermometer against a second one."),
)
SORPTION = Distribution(
    "sorption",
    0.85 / BOUND_90,
    "% MC",
    "wood against the EMC equation, by species and by drying or wetting: 0.7 to 1 % MC, as a 90 % bound",
    Status.DERIVED,
    "skaar-siau",
    Measurement(
        "LAY_OUT_AN_OFFCUT",
        "Leave a thin offcut of the same wood in the room for a week, weigh it and dry it.",
        ("readings add",),
    ),
)
YEAR = Distribution(
    "year",
    0.15,
    "of the value",
    "swing of one year about the swing of the normal year",
    Status.JUDGEMENT,
    measure=Measurement("LOG_THE_ROOM", "Log temperature and humidity of the room for a year."),
)

ROOM = Distribution(
    "room",
    0.75,
    "% MC",
    "EMC of a house against what is computed from the air outdoors, one value all year; 1.0 for a garage, a "
    "basement, a shed or a shop",
    Status.JUDGEMENT,
    "tampere-trh",
    Measurement("LOG_THE_ROOM", "Log temperature and humidity of the room for a year."),
)
WINTER = Distribution(
    "winter temperature",
    2.0,
    "°C",
    "how warm a room is in winter, where nobody said or measured it: 19 °C is assumed",
    Status.JUDGEMENT,
    measure=Measurement(
        "MEASURE_THE_WINTER", "Measure how warm the room is in winter: heat_to of the room.", ("--room",),
        guessed=True,
    ),
)  # fmt: skip
OTHER_ROOM = replace(
    ROOM,
    name="room of the top",
    meaning="the same of the room where the top will live, where the lumber dries in another",
)
LATER_ROOM = replace(
    ROOM, name="later room", meaning="the same of a room that the top moves to", measure=None
)
# A factor of 2.4 either way holds 90 %: of the natural logarithm.
DIFFUSIVITY = Distribution(
    "diffusivity",
    0.8755 / BOUND_90,
    "of its logarithm",
    "diffusivity of this wood against the model: a factor of 2.4 either way, as a 90 % bound; the scatter of "
    "what was measured",
    Status.DERIVED,
    "siau-transport",
    Measurement(
        "WEIGH_A_BOARD",
        "Weigh a board now and in a week, and log it: how fast it dries tells the day.",
        ("readings add",),
    ),
)
# A factor of two.
EMISSION = Distribution(
    "surface emission",
    0.6931 / BOUND_90,
    "of its logarithm",
    "how readily the surface takes moisture from still air: a factor of two either way, as a 90 % bound",
    Status.MEMORY,
    "nordic-creep",
)

# A factor of three either way holds 90 %: of the natural logarithm.
_FACTOR_THREE = 1.0986 / BOUND_90
# What is not known of a board before it is ripped; see woodmove.advice.warping for the central values.
PITH_UNSEEN = Distribution(
    "pith not looked for",
    35.0,
    "mm",
    "depth of the pith below a framing board whose end grain nobody read, about 50 mm",
    Status.JUDGEMENT,
    measure=Measurement(
        "LOOK_FOR_THE_PITH",
        "Look at the end grain: pith_depth and pith_offset, pith, or ring_radius.",
        ("pith_depth", "pith_offset", "pith", "ring_radius"),
    ),
)
PITH_SIDEWAYS = Distribution(
    "pith off the middle",
    1.0 / 6.0,
    "of the width",
    "how far the pith lies to one side of mid-width, where nobody read it",
    Status.JUDGEMENT,
    measure=Measurement(
        "READ_THE_OFFSET",
        "Read on the end grain how far the pith lies from mid-width: pith_offset.",
        ("pith_offset",),
    ),
)
PITH_WITHIN = Distribution(
    "place of the pith within",
    0.25,
    "of the section",
    "where in the board a pith lies that is only said to be inside",
    Status.JUDGEMENT,
    measure=Measurement(
        "READ_THE_PITH_WITHIN",
        "Read where in the board the pith lies: pith_depth (negative inside) and pith_offset.",
        ("pith_depth", "pith_offset"),
    ),
)
PITH_OFFSET = Distribution(
    "pith offset",
    6.0,
    "mm",
    "pith offset read on the end grain",
    Status.JUDGEMENT,
)
RING_RADIUS = Distribution(
    "ring radius",
    0.10,
    "of the value",
    "radius of a growth ring by the rim of a coin, or by chord and rise",
    Status.JUDGEMENT,
    measure=Measurement(
        "READ_THE_PITH",
        "Read the pith itself: pith_depth and pith_offset.",
        ("pith_depth", "pith_offset"),
    ),
)
SPIRAL_CORE = Distribution(
    "spiral grain by the pith",
    1.5,
    "°",
    "spiral grain of the core about 3.6° left-handed; made to meet the twist of spruce near its pith",
    Status.JUDGEMENT,
    "straze-2011",
    READ_THE_SLOPE,
)
SPIRAL_OUTER = Distribution(
    "spiral grain far out",
    1.2,
    "°",
    "spiral grain of outer wood about 0°, left or right; made to meet the twist of spruce at 70 mm",
    Status.JUDGEMENT,
    "straze-2011",
    READ_THE_SLOPE,
)
SLOPE_READING = Distribution(
    "slope of grain",
    0.6,
    "°",
    "slope of grain read along a scribed line",
    Status.JUDGEMENT,
)
# A factor of 1.6 either way: 0.3 to 0.8 about 0.5.
HELD_IN_THE_KILN = Distribution(
    "twist left by the kiln",
    0.49 / BOUND_90,
    "of its logarithm",
    "share of its twist that wood takes on under the stack of a kiln: 0.3 to 0.8 about 0.5, as a 90 % bound",
    Status.JUDGEMENT,
    measure=Measurement(
        "LOOK_FOR_TWIST",
        "Lay the board on a flat table, or lay winding sticks across it: twist.",
        ("twist",),
    ),
)
TWIST_BY_ITSELF = Distribution(
    "twist that comes and goes",
    0.205,
    "°/m",
    "twist that changes while the moisture does not: half a degree in 8 ft; most studs change in two weeks",
    Status.JUDGEMENT,
)
TWIST_READING = Distribution(
    "twist reading",
    0.8,
    "mm",
    "lift of a corner on a flat table, or by winding sticks",
    Status.JUDGEMENT,
)
RING_CLOSURE = Distribution(
    "how closed the rings act",
    0.15,
    "of the way",
    "between the pith-free and the closed-ring twist: a third of the way, all of it about the pith",
    Status.JUDGEMENT,
    "straze-2011",
)
MC_UNMETERED = Distribution(
    "moisture not metered",
    3.0,
    "% MC",
    "a bought board about 14.5 %; forum and blog figures of 13 to 15 % with 3 to 4 points between pieces",
    Status.JUDGEMENT,
    measure=Measurement("METER_THE_BOARD", "Meter the board: --mc-now.", ("--mc-now",)),
)
MC_DRESSED = Distribution(
    "moisture when dressed",
    3.0,
    "% MC",
    "moisture at which the mill planed it flat, about 15 %",
    Status.JUDGEMENT,
    "ps-20",
)
SHELL_AND_CORE = Distribution(
    "core less shell",
    1.0,
    "% MC",
    "core of a bought board about 1 point wetter than its shell",
    Status.JUDGEMENT,
    measure=Measurement(
        "METER_CORE_AND_SHELL",
        "Meter core and shell with insulated pins: mc_core and mc_shell.",
        ("mc_core", "mc_shell"),
    ),
)
# A graded lot may hold 5 % below its grade (a grader's tolerance, read second hand).
GRADED_95 = 1.96
CROOK_THERE = Distribution(
    "crook not sighted",
    0.00854 / GRADED_95,
    "1/m",
    "crook that a board has already: 95 % within that of the Stud grade",
    Status.JUDGEMENT,
    "stud-grade",
    Measurement("SIGHT_THE_EDGE", "Sight the edge against a string: crook.", ("crook",)),
)
BOW_THERE = Distribution(
    "bow not sighted",
    0.0256 / GRADED_95,
    "1/m",
    "bow that a board has already: 95 % within that of the Stud grade",
    Status.JUDGEMENT,
    "stud-grade",
    Measurement("SIGHT_THE_FACE", "Sight the face against a string: bow.", ("bow",)),
)
STRING_READING = Distribution(
    "string",
    0.8,
    "mm",
    "crook or bow read against a string",
    Status.JUDGEMENT,
)
LOCKED_PILE = Distribution(
    "locked-in strain of the pile",
    1.4e-4,
    "strain",
    "locked-in lengthwise strain of a pile's edges, about 1e-4 in compression; nobody has published it",
    Status.JUDGEMENT,
    measure=RIP_ONE_BOARD,
)
LOCKED_BOARD = Distribution(
    "locked-in strain of the board",
    1.4e-4,
    "strain",
    "how far the locked-in strain of one board's edges lies from the pile's",
    Status.JUDGEMENT,
    measure=RIP_ONE_STRIP,
)
SKEW_PILE = Distribution(
    "one-sided strain of the pile",
    1.4e-4,
    "strain",
    "locked-in lengthwise strain that differs from edge to edge, over a pile",
    Status.JUDGEMENT,
    measure=RIP_ONE_BOARD,
)
SKEW_BOARD = Distribution(
    "one-sided strain of the board",
    1.4e-4,
    "strain",
    "how far one board's one-sided strain lies from the pile's",
    Status.JUDGEMENT,
    measure=RIP_ONE_STRIP,
)
LOCKED_THROUGH = Distribution(
    "locked-in strain through the thickness",
    2.0e-4,
    "strain",
    "locked-in lengthwise strain of the faces, about 1e-4 in compression: what a resaw releases",
    Status.JUDGEMENT,
)
KERF_READING = Distribution(
    "kerf reading",
    0.4,
    "mm",
    "closing of a kerf, by rule or feeler gauge",
    Status.JUDGEMENT,
)
CASE_HARDENING = Distribution(
    "case-hardening",
    1.0e-3,
    "strain",
    "set across the grain of the faces of kiln-dried framing, about 1e-3 in compression",
    Status.JUDGEMENT,
    measure=Measurement(
        "PRONG_TEST", "Do a prong test: prong_in and prong_length.", ("prong_in", "prong_length")
    ),
)
PRONG_READING = Distribution(
    "prong reading",
    0.8,
    "mm",
    "movement of a prong's tip",
    Status.JUDGEMENT,
)
JUVENILE = Distribution(
    "juvenile wood",
    _FACTOR_THREE,
    "of its logarithm",
    "extra lengthwise shrinkage by the pith, about 0.02 % per point: a factor of three either way",
    Status.JUDGEMENT,
    "spruce-sticks",
)
LENGTHWISE = Distribution(
    "lengthwise shrinkage",
    6.0e-4,
    "strain per % MC and m",
    "change of lengthwise shrinkage across a board, as by compression wood on one side",
    Status.JUDGEMENT,
    "spruce-sticks",
    Measurement(
        "LOOK_FOR_COMPRESSION_WOOD",
        "Look for compression wood: dark, wide, dull latewood on one edge or face. Leave such boards whole.",
    ),
)

# What is not known of a glue-up.
PLANED = Distribution(
    "thickness off the planer",
    0.2 / BOUND_90,
    "mm",
    "all strips against the planer's scale, as a 90 % bound",
    Status.JUDGEMENT,
    measure=Measurement("MEASURE_A_PACK", "Clamp ten planed strips together and measure the pack."),
)
LYING = Distribution(
    "how the crooks lie",
    1.0,
    "of what the strips leave",
    "which way the crook of each strip of a glue-up points, where nobody laid them out",
    Status.DERIVED,
    measure=Measurement("LAY_THEM_OUT", "Sight the strips and lay them out: woodmove lay-up."),
)
OUT_OF_LINE = Distribution(
    "strips out of line",
    0.8 / BOUND_90,
    "mm",
    "how far the worst strip of a section slips up or down before the glue holds, with cauls, as a 90 % "
    "bound",
    Status.JUDGEMENT,
)
DENSITY = Distribution(
    "density of the piece",
    0.10,
    "of the value",
    "density of a piece against the mean of its species: coefficient of variation of about 10 %",
    Status.PUBLISHED,
    "A meter manual: specific gravity within a species",
    Measurement("WEIGH_A_STRIP", "Weigh a strip and measure it."),
)
ADHESIVE_TIME = Distribution(
    "time of the adhesive",
    0.2624 / BOUND_90,
    "of its logarithm",
    "open and assembly time of an adhesive against its type: 1.3 times either way, as a 90 % bound",
    Status.JUDGEMENT,
    measure=Measurement(
        "READ_THE_BOTTLE",
        "Read the times on the bottle: --bottle 'open=8min whole=15min'.",
        ("--bottle",),
    ),
)
HANDS = Distribution(
    "speed of the hands",
    0.4055 / BOUND_90,
    "of its logarithm",
    "spreading, laying and clamping: 1.5 times either way, as a 90 % bound",
    Status.JUDGEMENT,
    measure=Measurement(
        "DRY_RUN",
        "Time one strip and one clamp in a dry run: --pace 'strip=30s clamp=20s'.",
        ("--pace",),
    ),
)
GLUE_SPREAD = Distribution(
    "glue on a joint",
    0.3 / BOUND_90,
    "of the value",
    "how much is spread, less what squeezes out",
    Status.JUDGEMENT,
    measure=Measurement("WEIGH_THE_BOTTLE", "Weigh the bottle before and after."),
)
TENSION_ACROSS = Distribution(
    "strength across the grain",
    0.25,
    "of the value",
    "tension strength across the grain of a piece against the mean of its species: coefficient of variation",
    Status.MEMORY,
    "fpl-gtr-190",
)
STIFFNESS_ACROSS = Distribution(
    "stiffness across the grain",
    0.22,
    "of the value",
    "stiffness of a piece against the mean of its species: coefficient of variation",
    Status.MEMORY,
    "fpl-gtr-190",
)
RELAXED = Distribution(
    "stress that stays",
    0.2 / BOUND_90,
    "of the elastic stress",
    "what creep leaves of the stress of held wood over months: about half, 0.3 to 0.7",
    Status.MEMORY,
)

INPUTS = (
    LOGS, PIECES, SPECIES_MEAN, EDITION, MEMBER, STRAIGHT_LINE, RING_ANGLE, PITH_DEPTH, STRIP_ORDER,
    STRIP_SPECIES, METER_BIAS, METER_NOISE, HYGROMETER, THERMOMETER, SORPTION, YEAR, ROOM, WINTER, OTHER_ROOM,
    DIFFUSIVITY, EMISSION,
    PITH_UNSEEN, PITH_SIDEWAYS, PITH_WITHIN, PITH_OFFSET, RING_RADIUS, SPIRAL_CORE, SPIRAL_OUTER,
    SLOPE_READING, HELD_IN_THE_KILN, TWIST_BY_ITSELF, TWIST_READING, RING_CLOSURE,
    MC_UNMETERED, MC_DRESSED, SHELL_AND_CORE, CROOK_THERE, BOW_THERE,
    STRING_READING, LOCKED_PILE, LOCKED_BOARD, SKEW_PILE, SKEW_BOARD, LOCKED_THROUGH, KERF_READING,
    CASE_HARDENING, PRONG_READING, JUVENILE, LENGTHWISE, PLANED, LYING, OUT_OF_LINE, DENSITY,
    ADHESIVE_TIME, HANDS, GLUE_SPREAD, TENSION_ACROSS,
    STIFFNESS_ACROSS, RELAXED,
)  # fmt: skip

# What lessens the doubt of an input, by its name.
MEASURES = {item.name: item.measure for item in INPUTS if item.measure is not None}
