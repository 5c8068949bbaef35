"""What plugin authors import: the contract, parameters, the nouns. What is computed with stands in
:mod:`woodmove.extend.science`.

Everything here keeps its name and meaning for as long as :data:`PLUGIN_API` stays the same.
A plugin is a module, named by an entry point of the group ``woodmove.plugins``, that sets
``WOODMOVE_PLUGIN_API = 1`` and implements hooks of :mod:`woodmove.extend.hookspecs`.
"""

from woodmove.advice.doubt.draws import Draws
from woodmove.contract import quantity
from woodmove.contract.answer import Answer, Table, Verdict, know
from woodmove.contract.commands import CommandSpec
from woodmove.contract.drawing import Axis, Band, Box, Drawing, Label, Line, Shape, band_of, line_of
from woodmove.contract.notes import Assumption, Caution, Note, Warning, assumption, caution, note, warning
from woodmove.contract.output import Due, Grid, Leaf, Output, Sheet, Words
from woodmove.contract.params import Param, ParamType, Request
from woodmove.contract.plan import Check, Dated, Hand, Section, on_their_days
from woodmove.contract.ranges import Distribution, Measurement, Range
from woodmove.contract.refusal import Refusal
from woodmove.contract.shown import Shown, results
from woodmove.contract.stage import Stage
from woodmove.domain.adhesive import Adhesive
from woodmove.domain.base import Base
from woodmove.domain.climate import MONTHS, Climate
from woodmove.domain.fastener import Screw, Washer
from woodmove.domain.finish import Faces, Finish
from woodmove.domain.meter import Accuracy, Corrected, Meter, SpeciesPair, mc_of_weights_pct, target_weight_g
from woodmove.domain.room import Room
from woodmove.domain.season import Season
from woodmove.domain.species import (
    AcrossGrain,
    Coefficients,
    Known,
    Shrinkage,
    Species,
    SpecificGravity,
    StiffnessRatios,
    Wood,
)
from woodmove.domain.strip import balanced, sections_text, strips_for
from woodmove.domain.top import EdgeStrips, Rings, Top
from woodmove.extend import groups
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.hookspecs import PLUGIN_API, hookimpl
from woodmove.extend.params import (
    DATE,
    FLAG,
    LENGTH,
    LENGTHS,
    MASS,
    MOISTURE,
    PERCENT,
    TEMPERATURE,
    TEXT,
    TIME,
    WHOLE,
    noun,
    sized,
)
from woodmove.extend.slug import slug
from woodmove.sources import SOURCES, Source, Status
from woodmove.units.parse import parse_length_mm
from woodmove.units.show import length_text

__all__ = [
    # the contract
    "PLUGIN_API", "hookimpl", "CommandSpec", "Section", "Stage", "Hand", "Check", "Dated", "on_their_days",
    "Catalogue", "Request",
    # parameters
    "Param", "ParamType", "LENGTH", "LENGTHS", "MASS", "TEMPERATURE", "MOISTURE", "PERCENT", "WHOLE", "DATE",
    "TIME", "TEXT", "FLAG", "noun", "sized", "slug", "parse_length_mm", "length_text", "groups",
    # the answer
    "Answer", "Verdict", "know", "Table", "results", "Shown", "quantity",
    "Range", "Distribution", "Measurement", "Draws",
    "note", "warning", "caution", "assumption", "Note", "Warning", "Caution", "Assumption", "Refusal",
    # drawings and files
    "Drawing", "Axis", "Band", "Line", "Box", "Label", "Shape", "band_of", "line_of",
    "Output", "Sheet", "Leaf", "Grid", "Due", "Words",
    # the nouns
    "Species", "Wood", "Coefficients", "Shrinkage", "SpecificGravity", "AcrossGrain", "StiffnessRatios",
    "Known", "Climate", "Room", "Season", "MONTHS", "Screw", "Washer", "Finish", "Faces",
    "Meter", "Accuracy", "Corrected", "SpeciesPair", "mc_of_weights_pct", "target_weight_g",
    "Adhesive", "Base", "Top", "Rings", "EdgeStrips", "strips_for", "balanced", "sections_text",
    # sources
    "Source", "SOURCES", "Status",
]  # fmt: skip
