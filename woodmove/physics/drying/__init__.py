"""Moisture in boards through time: what a board is, and how it dries and wets."""

from woodmove.physics.drying.boards import STILL_AIR_M_S as STILL_AIR_M_S
from woodmove.physics.drying.boards import Boards as Boards
from woodmove.physics.drying.boards import CellProfile as CellProfile
from woodmove.physics.drying.boards import History as History
from woodmove.physics.drying.boards import graded_cells as graded_cells
from woodmove.physics.drying.solver import simulate as simulate
