"""woodmove list species, woodmove show species"""

from woodmove.advice.boards import species as advice
from woodmove.contract.answer import Answer
from woodmove.contract.commands import CommandSpec
from woodmove.contract.params import Request
from woodmove.contract.plan import Section
from woodmove.contract.stage import Stage
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import SPECIES, of_one_species


def run_list(request: Request, catalogue: Catalogue) -> Answer[advice.Woods]:
    """Every species and mix."""
    registry = catalogue.species
    return advice.listing((species, registry.provider(key)) for key, species in registry)


@of_one_species
def run_show(request: Request, catalogue: Catalogue) -> Answer[advice.OfSpecies]:
    """Every value of a species."""
    species = catalogue.species.get(request["species"])
    members = [catalogue.species.get(member) for member in species.members]
    return advice.show(species, members, catalogue.species.provider(species.key))


LIST = CommandSpec(
    "list species",
    "Every species and lumber-yard mix that is known.",
    ("woodmove list species",),
    (),
    run_list,
    table="species",
    line="Woods that are known",
    stage=Stage.WOOD,
)
SHOW = CommandSpec(
    "show species",
    "Every value of a species or mix: coefficients by edition, shrinkage, specific gravity, strength.",
    ("woodmove show species northern-red-oak", "woodmove show species hem-fir"),
    (SPECIES.replace(option="KEY"),),
    run_show,
    table="coefficients",
    line="What the tables know of a wood",
    stage=Stage.WOOD,
)

SECTION = Section("wood", "The wood", SHOW, Stage.WOOD, "Wood", decides=False)

COMMANDS = (LIST, SHOW)
