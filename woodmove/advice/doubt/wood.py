"""The coefficients of a species or a mix, in draws."""

import numpy as np

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.domain.species import Wood
from woodmove.physics.arrays import Array


def species_draws(wood: Wood, draws: Draws) -> tuple[Array, Array, Array]:
    """Radial and tangential coefficients and fibre saturation, shape (draws + 1,) each.

    Of a mix each member is equally likely, and its central value is their mean. Where no edition is
    asked for, the newest is central and an older one may hold.
    """
    member = draws.pick(doubt.MEMBER, [1 / len(wood.candidates)] * len(wood.candidates))
    older = draws.pick(doubt.EDITION, [1 - doubt.EDITION.sd, doubt.EDITION.sd])
    newest = wood.coefficients
    other = [
        candidate.coefficients[-1] if wood.edition is None else central
        for candidate, central in zip(wood.candidates, newest, strict=True)
    ]

    def drawn(values: list[tuple[float, float]]) -> Array:
        table = np.array(values)
        return np.concatenate(([float(table[:, 0].mean())], table[member, older]))

    pairs = list(zip(newest, other, strict=True))
    return (
        drawn([(new.radial, old.radial) for new, old in pairs]),
        drawn([(new.tangential, old.tangential) for new, old in pairs]),
        drawn([(c.fibre_saturation_pct, c.fibre_saturation_pct) for c in wood.candidates]),
    )
