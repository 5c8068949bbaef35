"""woodmove doubt"""

from woodmove.advice.doubt import BOUND_90, INPUTS
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.contracts import CommandSpec
from woodmove.extend.params import Request
from woodmove.shop.answer import Answer


def run(request: Request, catalogue: Catalogue) -> Answer:
    """Every input that carries doubt: how much, how that is known, what would lessen it."""
    rows = [
        {
            "input": item.name,
            "ninety_within": f"± {item.sd * BOUND_90:.2g} {item.unit}" if item.unit not in ("chance",
                             "equal chances") else f"{item.sd:g} {item.unit}".removeprefix("0 "),
            "status": item.status.value,
            "source": item.source,
            "meaning": item.meaning,
            "measure": item.measure,
        }
        for item in INPUTS
    ]  # fmt: skip
    return Answer(
        "doubt",
        {},
        {"inputs": rows},
        sources=tuple(item.source for item in INPUTS if item.source),
        columns={"inputs": ("input", "ninety_within", "status", "meaning")},
    )


DOUBT = CommandSpec(
    "doubt",
    "What the Ranges are made of: each input that carries doubt, how much, and how that is known.",
    ("woodmove doubt",),
    (),
    run,
    table="inputs",
)

COMMANDS = (DOUBT,)
