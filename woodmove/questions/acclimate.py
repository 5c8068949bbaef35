"""woodmove acclimate"""

from dataclasses import replace
from typing import Any

from woodmove.advice.doubt.draws import Draws
from woodmove.advice.drying import readiness as advice
from woodmove.contract.answer import Answer
from woodmove.contract.commands import CommandSpec
from woodmove.contract.params import Request
from woodmove.contract.stage import Stage
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import of_one_species, today_of
from woodmove.questions.shared.drawings import lumber_drawings
from woodmove.questions.shared.log import FOLLOWED, READINGS_LOG, follow
from woodmove.questions.shared.lumber import LUMBER, goal_of, stacked_on, stock_of, surroundings_of

# Whole courses are kept for each draw; more of them move no date.
MOST_DRAWS = 2048


@of_one_species
def ask(request: Request, catalogue: Catalogue) -> Answer[Any]:
    """Days until the lumber is ready: by its log where there is one, else by what is told of it."""
    return _told(request, catalogue) if request.get(READINGS_LOG) is None else follow(request, catalogue)


def _told(request: Request, catalogue: Catalogue) -> Answer[advice.Ready]:
    in_a_room = request["place"] is not None or request["stock_room"] is not None
    if in_a_room and request["stock_temp_c"] is None:
        # Boards that nobody dates are stacked today.
        start = stacked_on(request) or today_of(request)
        request = replace(request, values={**request.values, "from_date": start})
    stock = stock_of(request, catalogue)
    around = surroundings_of(request, catalogue)
    return advice.acclimate(
        stock,
        around.air,
        goal_of(request, around, stock.mean_pct),
        Draws(min(request.draws, MOST_DRAWS), request.seed),
        # Days are counted from the stacking, whichever day that was, where nobody dates it.
        today=request.clock if request["from_date"] is None else today_of(request),
        start=request["from_date"],
        build=request["build_date"],
        home=around.home,
        top_width_mm=request["top_width_mm"],
    )


ACCLIMATE = CommandSpec(
    "acclimate",
    "How many days until lumber is ready to work, and what would speed it up.",
    (
        "woodmove acclimate --species douglas-fir-coast --stock 2x8 --mc-now 13 --temp 68F --rh 35",
        "woodmove acclimate --species northern-red-oak --stock '2in x 6in' --mc-core 14 "
        "--mc-shell 11 --place burlington --room heated --from 2026-12-01 --today 2026-11-27 "
        "--stack dead:4",
        "woodmove acclimate --log readings.csv --species northern-red-oak --stock '1-1/2in x 6in' "
        "--from 2026-12-01 --mc-now 13 --temp 68F --rh 38 --today 2026-12-18",
    ),
    (*LUMBER, *FOLLOWED),
    ask,
    table="milestones",
    line="When lumber is ready, and what makes it sooner",
    stage=Stage.SETTLE,
    draw=lumber_drawings,
)

COMMANDS = (ACCLIMATE,)
