"""The meter that somebody reads, as commands and job files tell it."""

from dataclasses import dataclass

from woodmove.contract.params import Param, ParamType
from woodmove.contract.refusal import Refusal
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.params import TEXT


def read_gravity(text: str) -> float:
    """A specific gravity.

    :raises ValueError: what is none
    """
    value = float(text) if text.replace(".", "", 1).isdigit() else -1.0
    if not 0.05 <= value <= 1.5:
        raise ValueError(f"{text!r} is no specific gravity from 0.05 to 1.5")
    return value


@dataclass(frozen=True, slots=True)
class MeterTold:
    """A kind of meter, and what it is set to.

    :param kind: name of the kind
    :param species: name of the species that it is set to, empty for the wood's own
    :param gravity: specific gravity that it is set to, None where it is set to none
    """

    kind: str
    species: str = ""
    gravity: float | None = None

    @property
    def names(self) -> tuple[str, ...]:
        """The kind, which stands in the catalogue."""
        return (self.kind,)

    def __str__(self) -> str:
        set_to = self.species or (f"{self.gravity:g}" if self.gravity else "")
        return f"{self.kind} set_to={set_to}" if set_to else self.kind

    def setting(self, catalogue: Catalogue) -> str:
        """Key of the species that it is set to, empty for the wood's own.

        :raises Refusal: no such species
        """
        try:
            return catalogue.species.get(self.species).key if self.species else ""
        except Refusal as fault:
            fault.fields = (METER.name,)
            raise


def _meter(text: str) -> MeterTold:
    """``pin``, ``pin set_to=douglas-fir-coast``, ``pinless set_to=0.5``"""
    kind, told, setting = TEXT.parse(text).partition(" set_to=")
    if "=" in kind or (told and not setting):
        raise ValueError(
            f"{text!r} is no meter: write its kind, and what it is set to, as in pin set_to=teak"
        )
    if setting[:1].isdigit() or setting.startswith("."):
        return MeterTold(kind, gravity=read_gravity(setting))
    return MeterTold(kind, setting)


METER = Param(
    "meter", "--meter", ParamType("METER", _meter),
    'Kind of meter; one not set to the wood says to which species, or specific gravity: "pinless set_to=0.5"',
    "pin", "readings.meter", default=MeterTold("pin"), registry="meters",
)  # fmt: skip
