"""Field names and values in the words of the shop. The unit of a field is at the end of its name."""

import re
from datetime import date
from typing import Any, cast

from woodmove.contract.notes import Note
from woodmove.contract.quantity import Quantity
from woodmove.contract.ranges import Range
from woodmove.report.quantities import number_text, with_unit
from woodmove.units import show
from woodmove.units.show import day_text, printable, show_number, stem
from woodmove.units.systems import System

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
    "air_emc_pct": "EMC of the air where it stands",
    "never_ready_pct": "chance that this air never makes it ready",
    "hold_rh_pct": "RH that makes it ready",
    "hold_days": "held for",
    "mc_when_ready_pct": "MC on the day on which it is ready",
    "mc_at_build_pct": "MC on the build day",
    "ready_even_on": "ready, as likely as not, on",
    "ready_likely_on": "ready, 8 in 10, on",
    "days_to_ready": "ready after",
    "wait_for_mean_days": "until the mean is near enough",
    "wait_for_core_shell_days": "until core and shell agree",
    "wait_for_release_days": "until a resaw releases little",
    "core_shell_limit_points": "core and shell within",
    "release_limit_mm": "a resaw releases less than",
    "tolerance_points": "mean within",
    "faster": "what would speed it up",
    "into": "into",
    "kerf": "kerf of the first cut",
    "lift_mm": "corner lift",
    "rest_days": "rest before jointing",
    "takes_width_mm": "takes\nwidth",
    "takes_thickness_mm": "takes\nthickness",
    "finished_width_mm": "finished\nwidth",
    "finished_thickness_mm": "finished\nthickness",
    "budget": "stock budget, by what is expected",
    "reasons": "why",
    "measure_next": "what to measure next",
    "grid": "EMC at each temperature and RH",
    "board_mc_pct": "a board in this air",
    "service_width_mm": "width wanted in service",
    "counts": "the nearest counts",
    "takes_mm": "planing takes",
    "clean_up_chance_pct": "chance that a strip cleans up",
    "one_person_limit_kg": "the lifting equation allows each",
    "people": "people that it takes",
    "lifters": "people",
    "lifting_index": "lifting index",
    "shared": "shared among",
    "each_kg": "each at most",
    "laid": "the order, from left to right",
    "plane": "plane",
    "each_face_step_mm": "step on each face",
    "rest_between_days": "rest before the final flattening",
    "one_face_rest_days": "rest it would take, planed off one face alone",
    "now_cup_mm": "planed flat today off one face, it would cup by",
    "rested_cup_mm": "planed flat then off one face, by",
    "per_point_cup_mm": "cup for each point between its faces",
    "planed_face_gets": "the planed face gets",
    "by_its_rings": "cup by its rings, at its driest or dampest",
    "one_way_up_cup_mm": "outer edges all up",
    "turned_anyhow_cup_mm": "turned anyhow",
    "planed_cup_mm": "cup",
    "flat_cup_mm": "flat within",
    "uneven_points": "core less shell",
    "plane_mm": "final pass",
    "joint_wait_days": "joints need",
    "joint_set_days": "joints set in",
    "joined_sections": "sections",
    "unstressed_h": "unstressed before it is machined for",
    "by_day": "planed flat on day",
    "one_dog_play_mm": "play that one dog needs",
    "one_dog_bore_mm": "bore for one dog",
    "template_play_mm": "play that a template over all rows needs",
    "stays_free_chance_pct": "chance that a dog stays free in it",
    "pitch_drift_mm": "pitch",
    "across_drift_mm": "all across",
    "along_drift_mm": "all along",
    "hole_drift_mm": "hole",
    "seasons": "drift since the drilling",
    "diagonal_deg": "diagonal turns",
    "hole_diameter_mm": "hole",
    "dog_diameter_mm": "dog",
    "glued_m2": "area of the joints",
    "takes_min": "takes",
    "allowed_min": "the glue allows",
    "in_time_chance_pct": "chance of being in time",
    "glue_water": "water of the glue",
    "glue_to_spread_g": "glue",
    "glue_to_buy_ml": "glue to buy, at least",
    "glue_ups": "the glue-ups",
    "what": "glued at once",
    "temp_least_c": "wood, air and glue at least",
    "more_clamps": "more clamps to get",
    "steps": "step by step",
    "on_joint_mpa": "on the joint",
    "hands": "people",
    "level_step_mm": "seam level within",
    "adds_points": "adds",
    "wider_mm": "makes the top wider by",
    "after_a_day_step_mm": "seam stands up after a day, at most",
    "after_a_week_step_mm": "after a week, at most",
    "wait_days": "wait before planing the joints for good",
    "instead": "instead",
    "coefficient_per_pct": "coefficient",
}
_ABBREVIATIONS = {"emc": "EMC", "mc": "MC", "rh": "RH", "od": "OD", "csv": "CSV", "mee": "MEE"}


def label(name: str) -> str:
    """A field name as a reader sees it: ``emc_drying_pct`` gives ``EMC drying``."""
    if name in _LABELS:
        return _LABELS[name]
    return " ".join(_ABBREVIATIONS.get(word, word) for word in stem(name).split("_"))


def titled(text: str) -> str:
    """Words with a capital in front."""
    return text[:1].upper() + text[1:]


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
    if isinstance(value, list | tuple):
        return ", ".join(bare(name, item, system) for item in cast("list[Any]", value))
    if isinstance(value, date):
        return day_text(value)
    if isinstance(value, str) and re.fullmatch(r"\d{4}-\d\d-\d\d", value):
        return day_text(date.fromisoformat(value))  # as JSON holds it
    return printable(str(value))


def full(name: str, value: Any, system: System) -> str:
    """A value with its unit."""
    text = bare(name, value, system)
    if isinstance(value, Range) and "(" in text:
        expected, _, bounds = text.partition(" (")
        return f"{show.with_unit(name, expected, system)} ({bounds}"
    return text if isinstance(value, str | Note | date) else show.with_unit(name, text, system)


def _declared(quantity: Quantity, value: Any, system: System) -> str:
    """A value within a sentence, by its quantity."""
    if value is None:
        return ""
    if isinstance(value, list):
        values = cast("list[float]", value)
        shown = [number_text(quantity, one, system, in_sentence=True) for one in values]
        return with_unit(quantity, ", ".join(shown), system)
    if isinstance(value, Range):
        low, middle, high = (
            number_text(quantity, one, system, in_sentence=True)
            for one in (value.low, value.expected, value.high)
        )
        return with_unit(quantity, middle if low == high else f"{low} to {high}", system)
    return with_unit(quantity, number_text(quantity, value, system, in_sentence=True), system)


def sentence(note: Note, system: System) -> str:
    """The text of a note with its values filled in."""

    def fill(match: re.Match[str]) -> str:
        name = match[1]
        if name not in note.values:
            return match[0]
        if (quantity := note.quantities.get(name)) is not None:
            return _declared(quantity, note.values[name], system)
        value = note.values[name]
        return day_text(value) if isinstance(value, date) else full(name, value, system)

    return re.sub(r"\{(\w+)\}", fill, note.text).strip()
