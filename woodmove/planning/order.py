"""The order of the sections of a plan: by the stage of the work, then by who hands what to whom."""

from collections.abc import Sequence
from graphlib import CycleError, TopologicalSorter
from typing import Any

from woodmove.contract.plan import Section


class Circle(ValueError):
    """Sections that wait for one another.

    :param keys: theirs, in the order of waiting
    """

    def __init__(self, keys: Sequence[str]) -> None:
        super().__init__(f"plan sections wait for one another: {' -> '.join(keys)}")
        self.keys = tuple(keys)


def taken_by(section: Section[Any]) -> set[str]:
    """Names of the parameters that a section looks at."""
    return {param.name for param in section.command.params}


def in_order(sections: Sequence[Section[Any]]) -> list[Section[Any]]:
    """Sections as they are run: a section that hands a value on stands before those that take it, otherwise
    the stage of the work counts, then the place in the list.

    :raises Circle: sections that wait for one another
    """
    place = {section.key: (section.stage, number) for number, section in enumerate(sections)}
    by_key = {section.key: section for section in sections}
    before = TopologicalSorter(
        {
            section.key: [
                other.key
                for other in sections
                if other is not section and {hand.param.name for hand in other.hands} & taken_by(section)
                # A hand of a later stage is for what comes after it.
                and other.stage <= section.stage
            ]
            for section in sections
        }
    )  # fmt: skip
    try:
        before.prepare()
    except CycleError as circle:
        raise Circle(circle.args[1]) from None
    ordered: list[Section[Any]] = []
    ready: list[str] = []
    while before.is_active():
        ready = sorted([*ready, *before.get_ready()], key=place.__getitem__)
        key = ready.pop(0)
        ordered.append(by_key[key])
        before.done(key)
    return ordered
