"""Advice and physics for plugins that compute: provisional, so that names may change with any release."""

from woodmove.advice.air import climate as climate_advice
from woodmove.advice.air import emc as emc_advice
from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.response import at_time, interpolate, nodes, settled_after
from woodmove.advice.top import faces as faces_advice
from woodmove.advice.top import held as held_advice
from woodmove.advice.top import movement
from woodmove.advice.top import season as season_advice
from woodmove.advice.top.season import Exposure, YearlyMoisture
from woodmove.advice.top.width import width
from woodmove.physics import air, density, diffusivity, drying, restraint, shrinkage, sorption
from woodmove.physics.arrays import Array
from woodmove.physics.validity import Validity

__all__ = [
    # what is known of a top, its air, its year
    "movement", "width", "season_advice", "YearlyMoisture", "Exposure", "emc_advice", "climate_advice",
    "held_advice", "faces_advice",
    # doubt
    "doubt", "interpolate", "nodes", "settled_after", "at_time",
    # relations
    "Array", "Validity", "air", "density", "diffusivity", "drying", "restraint", "shrinkage", "sorption",
]  # fmt: skip
