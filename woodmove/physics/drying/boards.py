"""Boards for the drying solver, and what it tells of them."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from woodmove.physics.arrays import Array, FloatOrArray
from woodmove.physics.diffusivity import DIFFUSIVITIES
from woodmove.physics.validity import require

# Surface emission of still indoor air [m/s], on the basis of moisture content: 5e-8 to 2e-7 is the
# practical range (source: nordic-creep, status: memory). Fitted values lie 3 to 10 times below what
# heat transfer alone would give.
STILL_AIR_M_S = 1.0e-7
# Diffusion along the grain over diffusion across it near 12 % MC: 10 to 15 (source: sonderegger-2011).
ALONG_TO_ACROSS = 12.0


# What stands for infinity where a batch holds endless boards beside others.
ENDLESS_MM = 1e9
_BOARD_ARRAYS = (
    "thickness_mm", "gravity", "width_mm", "length_mm", "top_m_s", "bottom_m_s", "edge_m_s", "end_m_s",
    "factor",
)  # fmt: skip


@dataclass(frozen=True)
class Boards:
    """A batch of boards; every field is a number or an array of shape (boards,).

    :param thickness_mm: above 0
    :param gravity: specific gravity, oven-dry mass over volume near 12 % MC
    :param width_mm: infinity where the edges do not count
    :param length_mm: infinity where the ends do not count
    :param top_m_s: surface emission of the upper face [m/s]; 0 where it is sealed or lies on another board
    :param bottom_m_s: surface emission of the lower face [m/s]
    :param edge_m_s: surface emission of both edges [m/s]
    :param end_m_s: surface emission of both ends [m/s]
    :param factor: of the diffusivity, for its doubt
    :param model: name in :data:`DIFFUSIVITIES`
    :raises ValueError: a size that is not above 0, a negative emission, or an unknown model
    """

    thickness_mm: FloatOrArray
    gravity: FloatOrArray
    width_mm: FloatOrArray = np.inf
    length_mm: FloatOrArray = np.inf
    top_m_s: FloatOrArray = STILL_AIR_M_S
    bottom_m_s: FloatOrArray = STILL_AIR_M_S
    edge_m_s: FloatOrArray = STILL_AIR_M_S
    end_m_s: FloatOrArray = STILL_AIR_M_S
    factor: FloatOrArray = 1.0
    model: str = "synthesis"
    count: int = field(init=False)

    def __post_init__(self) -> None:
        arrays = np.broadcast_arrays(
            *(np.atleast_1d(np.asarray(getattr(self, n), float)) for n in _BOARD_ARRAYS)
        )
        for name, values in zip(_BOARD_ARRAYS, arrays, strict=True):
            bad = np.isnan(values) | (values < 0)
            if name not in ("width_mm", "length_mm"):
                bad |= np.isinf(values)
            if name in ("thickness_mm", "gravity", "width_mm", "length_mm", "factor"):
                bad |= values == 0
            require(not bad.any(), f"{name} of a board is above 0" if "m_s" not in name else f"{name} < 0")
            object.__setattr__(self, name, values)
        require(self.model in DIFFUSIVITIES, f"there is no diffusivity {self.model!r}")
        object.__setattr__(self, "count", len(arrays[0]))

    @classmethod
    def joined(cls, batches: "Sequence[Boards]") -> "Boards":
        """Several batches of one diffusivity model as one.

        :raises ValueError: different models
        """
        require(len({batch.model for batch in batches}) == 1, "the batches differ in their diffusivity")
        arrays = {name: np.concatenate([getattr(b, name) for b in batches]) for name in _BOARD_ARRAYS}
        return cls(**arrays, model=batches[0].model)


@dataclass(frozen=True, slots=True)
class CellProfile:
    """Moisture content at the start, cell by cell [%], upper face first, shape (boards, cells), the cells
    those of :func:`graded_cells`."""

    mc_pct: Array


@dataclass(frozen=True)
class History:
    """Moisture content of boards at the asked times.

    :param mean_pct: of the whole section, shape (boards, times)
    :param core_pct: of the middle half of the thickness, shape (boards, times)
    :param top_pct: of the upper quarter of the thickness, shape (boards, times)
    :param bottom_pct: of the lower quarter, shape (boards, times)
    :param passed_pct: moisture that has entered through all faces since the start, in points of the
        mean, shape (boards, times); equals the change of `mean_pct` to rounding
    :param profile_pct: last profile through the thickness, averaged over the width, shape (boards, cells)
    :param profiles_pct: the same at all times, shape (boards, times, cells); None where nobody asked for it
    :param depth: centres of its cells, 0 upper face to 1 lower face, shape (cells,)
    :param weight: thickness of its cells, together 1, shape (cells,)
    """

    mean_pct: Array
    core_pct: Array
    top_pct: Array
    bottom_pct: Array
    passed_pct: Array
    profile_pct: Array
    depth: Array
    weight: Array
    profiles_pct: Array | None = None

    @property
    def shell_pct(self) -> Array:
        """Of both outer quarters, shape (boards, times): the shell of a shell-and-core test."""
        return 0.5 * (self.top_pct + self.bottom_pct)


def graded_cells(count: int) -> Array:
    """Thickness of `count` cells, together 1, finer toward both ends. Derived."""
    s = np.linspace(0.0, 1.0, count + 1)
    # A straight line and a cosine, mixed: surfaces are resolved without starving the middle.
    faces = 0.4 * s + 0.6 * (1.0 - np.cos(np.pi * s)) / 2.0
    return np.diff(faces)


def half(cells: Array) -> Array:
    """The first half of symmetric cells, together 1 again. Derived."""
    return cells[: len(cells) // 2] * 2.0
