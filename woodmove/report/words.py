"""Field names and values in the words of the shop. The unit of a field is at the end of its name."""

import re
from typing import Any

from woodmove.shop.answer import Note, Range
from woodmove.units import System, printable, show_number, stem, unit_of, with_unit

# Names that say too little on their own.
_LABELS = {
    "emc_drying_pct": "EMC, coming down",
    "emc_wetting_pct": "EMC, coming up",
    "rh_drying_pct": "RH for wood that has been drying",
    "rh_wetting_pct": "RH for wood that has been wetting",
    "width_low_mm": "width at its driest, if it follows the air at once",
    "width_high_mm": "width at its dampest, if it follows the air at once",
    "change_low_mm": "change to its driest",
    "change_high_mm": "change to its dampest",
    "thickness_low_mm": "thickness at its driest",
    "thickness_high_mm": "thickness at its dampest",
    "thickness_change_low_mm": "thickness change, driest",
    "thickness_change_high_mm": "thickness change, dampest",
    "mc_low_pct": "MC at its driest",
    "mc_high_pct": "MC at its dampest",
    "swing_mm": "swing, driest to dampest",
    "fixed_mm": "fixed line, from the front edge",
    "thinning_mm": "thinner at its driest by",
    "cut_length_mm": "slot to cut",
    "screw_from_end_mm": "screw centre from inner end",
    "cut_start_mm": "screw centre from inner end of travel",
    "fasteners": "slots in the rail",
    "et_over_el": "ET/EL",
    "er_over_el": "ER/EL",
    "glr_over_el": "GLR/EL",
    "glt_over_el": "GLT/EL",
    "grt_over_el": "GRT/EL",
    "mc_amplitude_ratio": "share of the air's swing that it follows",
    "lag_days": "lags the air by",
    "mc_low_lagged_pct": "MC at its driest",
    "mc_high_lagged_pct": "MC at its dampest",
    "width_low_lagged_mm": "width at its driest",
    "width_high_lagged_mm": "width at its dampest",
    "swing_lagged_mm": "swing, driest to dampest",
    "season": "as thick and as finished as it is",
    "core_less_shell_points": "core less shell",
    "days": "ready in",
    "air_emc_pct": "EMC of the air today",
    "days_to_ready": "days until it is ready",
    "half_time_days": "half the way is done in",
    "wait_for_mean_days": "until the mean is near enough",
    "wait_for_core_shell_days": "until core and shell agree",
    "wait_for_release_days": "until a resaw releases little",
    "core_shell_limit_points": "core and shell within",
    "release_limit_mm": "a resaw releases less than",
    "tolerance_points": "mean within",
    "faster": "what would speed it up",
    "into": "into",
    "over_stud_limit_chance_pct": "chance beyond Stud grade",
    "stud_limits": "the Stud grade, for context (scaled to this length as physics, not a rule)",
    "stud_8ft_mm": "2x4, 8 ft",
    "worst_strip_mm": "worst strip",
    "closes_chance_pct": "chance that it closes",
    "closes_behind_blade_mm": "closes behind the blade at",
    "kerf_closes_chance_pct": "kerf closes",
    "kerf": "kerf of the first cut",
    "leave": "leave over the finished size",
    "lift_mm": "corner lift",
    "rest_days": "rest before jointing",
    "takes_width_mm": "takes\nwidth",
    "takes_thickness_mm": "takes\nthickness",
    "leaves_width_mm": "leaves\nwidth",
    "leaves_thickness_mm": "leaves\nthickness",
    "finished_width_mm": "finished\nwidth",
    "finished_thickness_mm": "finished\nthickness",
    "gains_width_mm": "gains\nwidth",
    "gains_thickness_mm": "gains\nthickness",
    "crosscut_first": "the worst strip, crosscut first",
    "budget": "stock budget, by what is expected",
    "reasons": "why",
    "measure_next": "what to measure next",
    "edge_strain_millionths": "strain locked into the edges, in millionths",
    "grid": "EMC at each temperature and RH",
    "board_mc_pct": "a board in this air",
    "radial_per_pct": "radial",
    "tangential_per_pct": "tangential",
    "coefficient_per_pct": "coefficient",
}
_ABBREVIATIONS = {"emc": "EMC", "mc": "MC", "rh": "RH", "od": "OD", "csv": "CSV", "mee": "MEE"}


def label(name: str) -> str:
    """A field name as a reader sees it: ``emc_drying_pct`` gives ``EMC drying``."""
    if name in _LABELS:
        return _LABELS[name]
    return " ".join(_ABBREVIATIONS.get(word, word) for word in stem(name).split("_"))


def bare(name: str, value: Any, system: System, *, narrow: bool = False) -> str:
    """A value without its unit, for a column that names it once.

    :param narrow: True to print of a Range only its bounds
    """
    if value is None:
        return ""
    if isinstance(value, Note):
        return sentence(value, system)
    if isinstance(value, Range):
        expected, low, high = (show_number(name, n, system) for n in (value.expected, value.low, value.high))
        if low == high:
            return expected
        return f"{low} to {high}" if narrow else f"{expected} ({low} to {high})"
    if isinstance(value, bool | int | float):
        return show_number(name, value, system)
    if isinstance(value, list):
        return ", ".join(bare(name, item, system) for item in value)
    return printable(str(value))


def full(name: str, value: Any, system: System) -> str:
    """A value with its unit."""
    text = bare(name, value, system)
    if isinstance(value, Range) and "(" in text:
        expected, _, bounds = text.partition(" (")
        return f"{with_unit(name, expected, system)} ({bounds}"
    return text if isinstance(value, str | Note) else with_unit(name, text, system)


def heading(name: str, system: System) -> str:
    """Head of a column: the label, and the unit under it."""
    unit = unit_of(name, system)
    return f"{printable(label(name))}\n{unit}" if unit else printable(label(name))


def sentence(note: Note, system: System) -> str:
    """The text of a note with its values filled in."""

    def fill(match: re.Match[str]) -> str:
        name = match[1]
        return full(name, note.values[name], system) if name in note.values else match[0]

    return re.sub(r"\{(\w+)\}", fill, note.text).strip()
