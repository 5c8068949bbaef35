"""What a shop works by, in inches or in millimetres: its steps, its bits, the screws that stores stock.

All of it is common practice, for which there is no source, unless it says otherwise.
"""

from dataclasses import dataclass

from woodmove.extend.api import Request

INCH = 25.4


@dataclass(frozen=True, slots=True)
class Shop:
    """A shop, by its units.

    :param step_mm: to which a slot is marked and cut, and of the bits that cut it
    :param bit_mm: step of the bits for pilot holes
    :param inset_mm: of the outer screws inside the edges, where nobody says where they are
    :param spacing_mm: of the screws at the most, likewise
    :param screws: by the thickness of the top, up to which [mm]
    """

    step_mm: float
    bit_mm: float
    inset_mm: float
    spacing_mm: float
    screws: tuple[tuple[float, str], ...]


INCHES = Shop(
    INCH / 16,
    INCH / 64,
    2.5 * INCH,
    12 * INCH,
    ((1.0 * INCH, "no-8"), (2.0 * INCH, "no-10"), (float("inf"), "no-12")),
)
MILLIMETRES = Shop(1.0, 0.5, 60.0, 300.0, ((25.0, "4mm"), (50.0, "5mm"), (float("inf"), "6mm")))

# Lengths of wood screws.
INCH_LENGTHS = tuple(INCH * n for n in (0.5, 0.625, 0.75, 0.875, 1, 1.25, 1.5, 1.75, 2, 2.25, 2.5, 2.75, 3,
                                        3.5, 4, 4.5, 5, 6))  # fmt: skip
METRIC_LENGTHS = (12.0, 16.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0,
                  120.0, 140.0, 160.0)  # fmt: skip
# Longest that stores stock, by the diameter, up to which [mm].
_SOLD_INCH = ((3.6, 2 * INCH), (5.6, 3 * INCH), (6.3, 4 * INCH), (float("inf"), 6 * INCH))
_SOLD_METRIC = ((3.6, 50.0), (4.6, 70.0), (5.6, 80.0), (6.6, 100.0), (float("inf"), 160.0))


def shop_of(request: Request) -> Shop:
    """The shop of whoever reads the answer."""
    return MILLIMETRES if request.prints == "mm" else INCHES


def lengths_sold_mm(diameter_mm: float, inch: bool) -> tuple[float, ...]:
    """Lengths in which a screw is easy to find [mm].

    :param inch: True for a screw of the inch system
    """
    longest = next(most for up_to, most in (_SOLD_INCH if inch else _SOLD_METRIC) if diameter_mm <= up_to)
    return tuple(length for length in (INCH_LENGTHS if inch else METRIC_LENGTHS) if length <= longest)
