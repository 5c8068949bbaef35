"""The coefficients of a species or a mix, in draws."""

import numpy as np

from woodmove.advice.doubt import inputs as doubt
from woodmove.advice.doubt.draws import Draws
from woodmove.advice.doubt.normal import standard
from woodmove.domain.species import Wood
from woodmove.physics.arrays import Array


def species_draws(wood: Wood, draws: Draws) -> tuple[Array, Array, Array]:
    """Radial and tangential coefficients and fibre saturation, shape (draws + 1,) each; of a top of several
    woods those of most strips.

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


def strip_draws(
    wood: Wood, draws: Draws, own: Draws | None = None, name: str = ""
) -> tuple[Array, Array, Array]:
    """The same of one strip, taken anywhere from a top: its wood is as likely as its share of the strips, and
    its central values are the mean of all.

    :param own: draws of what belongs to this strip alone, where those are others
    :param name: of the strip, for one whose wood is drawn independently of another's
    """
    if not wood.others:
        return species_draws(wood, draws)
    shares = np.array([share for _, share in wood.parts])
    which = standard(own or draws, doubt.STRIP_SPECIES, name)[1:]
    # The rank of a draw picks the wood.
    rank = (np.argsort(np.argsort(which)) + 0.5) / draws.draws
    part = np.searchsorted(np.cumsum(shares)[:-1], rank, side="right")
    of_parts = np.array([species_draws(each, draws) for each, _ in wood.parts])
    drawn = of_parts[part, :, 1 + np.arange(draws.draws)].T
    radial, tangential, saturation = np.column_stack([np.tensordot(shares, of_parts[..., 0], 1), drawn])
    return radial, tangential, saturation
