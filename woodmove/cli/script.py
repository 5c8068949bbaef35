"""Any question, asked from a script."""

from importlib import import_module
from typing import TYPE_CHECKING, Any, cast

from woodmove.cli.build import all_commands
from woodmove.cli.execute import DRAWS, SEED
from woodmove.contract.answer import Answer
from woodmove.contract.params import Param, Request
from woodmove.contract.refusal import Refusal, Refusals
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.params import read_all

if TYPE_CHECKING:
    from woodmove.extend.catalogue import Places


def ask(question: str, /, *, draws: int = DRAWS, seed: int = SEED, **values: Any) -> Answer[Any]:
    """The answer to a question, of woodmove itself or of a plugin.

    :param question: as typed after ``woodmove``: ``"slots"``, ``"climate show"``
    :param draws: behind each Range
    :param seed: of the draws
    :param values: texts by the name of their option (``width="30in"``), or values in base units by the
        parameter's own name (``top_width_mm=762.0``)
    :raises Refusal, Refusals: no such question or parameter, a value that is not allowed, or what cannot be
        answered
    """
    catalogue = Catalogue(places=lambda: cast("Places", import_module("woodmove.files.air.places")))
    spec = next((spec for spec in all_commands(catalogue) if spec.name == question), None)
    if spec is None:
        raise Refusal("UNKNOWN_QUESTION", f"There is no question {question!r}.", "", "Type woodmove -h.")
    by_option = {_typed(param): param for param in spec.params if param.option}
    by_name = {param.name: param for param in spec.params}
    texts: dict[str, str] = {}
    ready: dict[str, Any] = {}
    for name, value in values.items():
        if name in by_option and isinstance(value, str):
            texts[by_option[name].name] = value
        elif name in by_name:
            ready[name] = value
        else:
            known = ", ".join(sorted(by_option))
            raise Refusal("UNKNOWN_PARAMETER", f"{question} takes no {name}.", f"It takes {known}.")
    left = [param for param in spec.params if param.name not in ready]
    found, faults = read_all(left, texts)
    faults += catalogue.unknown_names(spec.params, found | ready, [*texts, *ready])
    if faults:
        raise Refusals(faults)
    given = frozenset([*texts, *ready])
    return spec.run(Request(found | ready, draws, seed, None, given=given), catalogue)


def _typed(param: Param[Any]) -> str:
    return param.option.strip("-").replace("-", "_").lower()
