"""woodmove climate list, woodmove climate show"""

from woodmove.advice import climate as advice
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.contracts import CommandSpec
from woodmove.extend.groups import PLACE, ROOM, place_of, room_of
from woodmove.extend.params import Request
from woodmove.shop.answer import Answer


def run_list(request: Request, catalogue: Catalogue) -> Answer:
    """Every place."""
    places = catalogue.climates
    return advice.listing((climate, places.provider(key)) for key, climate in places)


def run_show(request: Request, catalogue: Catalogue) -> Answer:
    """The air of a place by month."""
    return advice.show(place_of(request, catalogue), room_of(request), request.inputs())


LIST = CommandSpec(
    "climate list", "Every place that is known.", ("woodmove climate list",), (), run_list, table="places"
)
SHOW = CommandSpec(
    "climate show",
    "The air of a place by month, outdoors and in a room, and the EMC of both.",
    (
        "woodmove climate show minneapolis",
        "woodmove climate show burlington --indoor heated --heat-to 66F --moisture-gain 1 --dehumidify-to 55",
        "woodmove climate show seattle --indoor open --csv",
    ),
    (PLACE.but(option="KEY", required=True), *ROOM),
    run_show,
    table="indoor",
)

COMMANDS = (LIST, SHOW)
