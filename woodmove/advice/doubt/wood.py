"""The coefficients of a species or a mix, in draws."""

import numpy as np

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.domain.species import Wood
from woodmove.physics.arrays import Array


def species_draws(wood: Wood, draws: Draws) -> tuple[Array, Array, Array]:
    """Radial and tangential coefficients and fibre saturation, shape (draws + 1,) each.

    Of a mix each member is equally likely, and its central value is their mean. Where no edition is
    asked for, the first is central and the last may hold.
    """
    member = draws.pick(doubt.MEMBER, [1 / len(wood.candidates)] * len(wood.candidates))
    odd = draws.pick(doubt.EDITION, [1 - doubt.EDITION.sd, doubt.EDITION.sd])
    first = wood.coefficients
    last = [
        candidate.coefficients[-1] if wood.edition is None else central
        for candidate, central in zip(wood.candidates, first, strict=True)
    ]

    def drawn(values: list[tuple[float, float]]) -> Array:
        table = np.array(values)
        return np.concatenate(([float(table[:, 0].mean())], table[member, odd]))

    pairs = list(zip(first, last, strict=True))
    return (
        drawn([(one.radial, other.radial) for one, other in pairs]),
        drawn([(one.tangential, other.tangential) for one, other in pairs]),
        drawn([(c.fibre_saturation_pct, c.fibre_saturation_pct) for c in wood.candidates]),
    )
