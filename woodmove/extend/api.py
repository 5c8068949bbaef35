"""The one module that plugin authors import.

Everything here keeps its name and meaning for as long as :data:`PLUGIN_API` stays the same.
A plugin is a module, named by an entry point of the group ``woodmove.plugins``, that sets
``WOODMOVE_PLUGIN_API = 1`` and implements hooks of :mod:`woodmove.extend.hookspecs`.
"""

from woodmove.advice import climate as climate_advice
from woodmove.advice import doubt, movement
from woodmove.advice import emc as emc_advice
from woodmove.advice import held as held_advice
from woodmove.advice import season as season_advice
from woodmove.advice.doubt import Draws
from woodmove.advice.response import at_time, interpolate, nodes, settled_after
from woodmove.advice.season import Course, Stay
from woodmove.advice.width import width
from woodmove.extend import groups
from woodmove.extend.catalogue import Catalogue, slug
from woodmove.extend.contracts import PLUGIN_API, CommandSpec, PlanSection
from woodmove.extend.hookspecs import hookimpl
from woodmove.extend.params import (
    DATE,
    FLAG,
    LENGTH,
    LENGTHS,
    MASS,
    PERCENT,
    TEMPERATURE,
    TEXT,
    TIME,
    WHOLE,
    Kind,
    Param,
    Request,
)
from woodmove.physics import air, density, diffusion, shrinkage, sorption
from woodmove.physics.arrays import Array
from woodmove.physics.validity import Validity
from woodmove.shop.adhesive import Adhesive
from woodmove.shop.answer import Answer, Assumption, Caution, Note, Range, Refusal, Warning
from woodmove.shop.climate import MONTHS, Climate, Room
from woodmove.shop.fastener import Screw, Washer
from woodmove.shop.finish import Faces, Finish
from woodmove.shop.meter import Accuracy, Corrected, Meter, SpeciesPair, mc_of_weights_pct, target_weight_g
from woodmove.shop.season import Season
from woodmove.shop.species import (
    AcrossGrain,
    Coefficients,
    Known,
    Shrinkage,
    Species,
    SpecificGravity,
    StiffnessRatios,
    Wood,
)
from woodmove.shop.strip import balanced, sections_text, strips_for
from woodmove.shop.top import EdgeStrips, Rings, Top
from woodmove.sources import SOURCES, Source, Status
from woodmove.units import length_text, parse_length_mm

__all__ = [
    # the contract
    "PLUGIN_API", "hookimpl", "CommandSpec", "PlanSection", "Catalogue", "Request",
    # parameters
    "Param", "Kind", "LENGTH", "LENGTHS", "MASS", "TEMPERATURE", "PERCENT", "WHOLE", "DATE", "TIME", "TEXT",
    "FLAG",
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
    "Draws", "doubt", "movement", "width", "season_advice", "Course", "Stay", "emc_advice", "climate_advice",
    "held_advice", "interpolate", "nodes", "settled_after", "at_time",
    # sources and physics
    "Array", "Source", "SOURCES", "Status", "Validity", "air", "sorption", "shrinkage",
    "density", "diffusion",
]  # fmt: skip
