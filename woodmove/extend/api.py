"""The one module that plugin authors import.

Everything here keeps its name and meaning for as long as :data:`PLUGIN_API` stays the same.
A plugin is a module, named by an entry point of the group ``woodmove.plugins``, that sets
``WOODMOVE_PLUGIN_API = 1`` and implements hooks of :mod:`woodmove.extend.hookspecs`.
"""

from woodmove.advice.air import climate as climate_advice
from woodmove.advice.air import emc as emc_advice
from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.doubt.response import at_time, interpolate, nodes, settled_after
from woodmove.advice.top import held as held_advice
from woodmove.advice.top import movement
from woodmove.advice.top import season as season_advice
from woodmove.advice.top.season import Exposure, YearlyMoisture
from woodmove.advice.top.width import width
from woodmove.contract.answer import Answer
from woodmove.contract.commands import CommandSpec, PlanSection
from woodmove.contract.notes import Assumption, Caution, Note, Warning
from woodmove.contract.params import Param, ParamType, Request
from woodmove.contract.ranges import Range
from woodmove.contract.refusal import Refusal
from woodmove.domain.adhesive import Adhesive
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
from woodmove.extend.params import DATE, FLAG, LENGTH, LENGTHS, MASS, PERCENT, TEMPERATURE, TEXT, TIME, WHOLE
from woodmove.extend.slug import slug
from woodmove.physics import air, density, diffusivity, drying, shrinkage, sorption
from woodmove.physics.arrays import Array
from woodmove.physics.validity import Validity
from woodmove.sources import SOURCES, Source, Status
from woodmove.units.parse import parse_length_mm
from woodmove.units.show import length_text

__all__ = [
    # the contract
    "PLUGIN_API", "hookimpl", "CommandSpec", "PlanSection", "Catalogue", "Request",
    # parameters
    "Param", "ParamType", "LENGTH", "LENGTHS", "MASS", "TEMPERATURE", "PERCENT", "WHOLE", "DATE", "TIME",
    "TEXT", "FLAG",
    "slug", "parse_length_mm", "length_text",
    "groups",
    # the answer
    "Answer", "Range", "Note", "Warning", "Caution", "Assumption", "Refusal",
    # the nouns
    "Species", "Wood", "Coefficients", "Shrinkage", "SpecificGravity", "AcrossGrain", "StiffnessRatios",
    "Known", "Climate", "Room", "Season", "MONTHS", "Screw", "Washer", "Finish", "Faces",
    "Meter", "Accuracy", "Corrected", "SpeciesPair", "mc_of_weights_pct", "target_weight_g",
    "Adhesive", "Top", "Rings", "EdgeStrips", "strips_for", "balanced", "sections_text",
    # advice, and the draws behind its Ranges
    "Draws", "doubt", "movement", "width", "season_advice", "YearlyMoisture", "Exposure",
    "emc_advice", "climate_advice", "held_advice", "interpolate", "nodes", "settled_after", "at_time",
    # sources and physics
    "Array", "Source", "SOURCES", "Status", "Validity", "air", "sorption", "shrinkage",
    "density", "diffusivity", "drying",
]  # fmt: skip
