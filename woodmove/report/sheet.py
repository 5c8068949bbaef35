"""A reply as a sheet: all that it says in the words of its reader, for whoever makes a file of it."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from pathlib import PurePath

from woodmove.contract.answer import Verdict
from woodmove.contract.drawing import Drawing, Text
from woodmove.contract.notes import Note
from woodmove.contract.output import Due, Grid, Leaf, Sheet
from woodmove.contract.plan import Part, PlanResults
from woodmove.contract.quantity import Quantity
from woodmove.contract.reply import Reply
from woodmove.report.card import STATUSES, card_lines, measure_next
from woodmove.report.figures import Figure, Rows, figures_of, group_of, rows_of
from woodmove.report.page import citations, closed
from woodmove.report.quantities import number_text, scale_of, unit_text
from woodmove.report.words import sentence, titled
from woodmove.units.show import day_text, printable
from woodmove.units.systems import System


class InUnits:
    """The words of a reader of inches, or of millimetres."""

    def __init__(self, system: System) -> None:
        self.system: System = system

    def text(self, text: Text) -> str:
        """Words, the values of a note filled in."""
        return printable(sentence(text, self.system) if isinstance(text, Note) else text)

    def day(self, day: date) -> str:
        """A day as it is said."""
        return day_text(day)

    def number(self, quantity: Quantity, value: float) -> str:
        """A number in base units as printed in a table, without its unit."""
        return number_text(quantity, value, self.system, in_sentence=False)

    def unit(self, quantity: Quantity) -> str:
        """The unit of a quantity, as printed."""
        return unit_text(quantity, self.system)

    def scale(self, quantity: Quantity) -> tuple[float, float, float]:
        """Factor and offset from the base unit to the printed one, and the step of a table in it."""
        return scale_of(quantity, self.system)


def sheet_of(reply: Reply, system: System, drawings: Mapping[str, Sequence[Drawing]]) -> Sheet:
    """The sheet of a reply.

    :param drawings: by the key of the part that gives them; of a plan itself, or a single question, by its
        command
    """
    words, answer = InUnits(system), reply.answer
    if isinstance(answer.results, PlanResults):
        plan = answer.results
        title = plan.job_name or PurePath(str(reply.inputs.get("job", ""))).stem or "Plan"
        today, build = plan.today, plan.build_date
        card = tuple((head, tuple(lines)) for head, lines in card_lines(answer, system))
        measure = measure_next(plan, system)
        due = tuple(_due(plan, words))
        leaves = tuple(_of_part(part, words, drawings.get(part.key, ())) for part in plan.sections)
        whole = drawings.get(reply.command, ())
    else:
        title, today, build, card, measure, due = titled(reply.command), None, None, (), "", ()
        whole = ()
        leaves = (_leaf(reply.command, title, reply, words, drawings.get(reply.command, ())),)
    verdict = answer.verdict
    return Sheet(
        title=printable(title),
        today=today,
        build=build,
        state=verdict.state,
        says=_said(verdict, words),
        card=card,
        due=due,
        measure=measure,
        leaves=leaves,
        warnings=_texts(answer.warnings, words),
        cautions=_texts(answer.cautions, words),
        assumptions=_texts(reply.assumptions, words),
        sources=citations(answer.sources),
        words=words,
        drawings=tuple(whole),
    )


def _due(plan: PlanResults, words: InUnits) -> Iterable[Due]:
    for check in plan.checks:
        day = check.date or check.yearly_from
        if day is not None:
            yearly = check.date is None
            yield Due(check.key, day, yearly, check.when, closed(words.text(check.check)))


def _of_part(part: Part, words: InUnits, drawings: Sequence[Drawing]) -> Leaf:
    title = printable(part.title)
    if part.answer is None:
        return Leaf(part.key, title, None, (f"{STATUSES[part.status]}: {printable(part.reason)}",))
    return _leaf(part.key, title, part.answer, words, drawings)


def _leaf(key: str, title: str, reply: Reply, words: InUnits, drawings: Sequence[Drawing]) -> Leaf:
    answer = reply.answer
    singles: list[tuple[Figure, tuple[str, str]]] = []
    grids: list[Grid] = []
    more_grids: list[Grid] = []
    for figure in figures_of(answer):
        if figure.value is None:
            continue
        rows = rows_of(figure.value)
        if rows is not None:
            main = figure.level != "detail" and not grids
            shown = rows.main if main else rows
            (grids if main else more_grids).append(_grid(figure.label, shown, words))
            if main and len(shown.columns) < len(rows.columns):
                more_grids.append(_grid(f"{figure.label}, all columns", rows, words))
        elif (group := group_of(figure.value, figure.quantity)) is not None:
            singles += [
                (one, (f"{titled(figure.label)}: {one.label}", one.full(words.system)))
                for one in group
                if one.value is not None and rows_of(one.value) is None
            ]
        elif not isinstance(figure.value, list | tuple) and reply.inputs.get(figure.name) != figure.value:
            singles.append((figure, (titled(figure.label), figure.full(words.system))))
    singles.sort(key=lambda pair: pair[0].level != "headline")
    verdict = answer.verdict
    return Leaf(
        key=key,
        title=title,
        state=verdict.state,
        says=_said(verdict, words),
        figures=tuple(pair for figure, pair in singles if figure.level != "detail"),
        grids=tuple(grids),
        more=tuple(pair for figure, pair in singles if figure.level == "detail"),
        more_grids=tuple(more_grids),
        warnings=_texts(answer.warnings, words),
        cautions=_texts(answer.cautions, words),
        drawings=tuple(drawings),
    )


def _grid(title: str, rows: Rows, words: InUnits) -> Grid:
    columns = rows.columns
    return Grid(
        titled(title),
        tuple(printable(column.heading(words.system, ", ")).replace("\n", " ") for column in columns),
        tuple(not all(isinstance(cell, str | Note | None) for cell in column.value) for column in columns),
        tuple(
            zip(*(tuple(c.bare(cell, words.system) for cell in c.value) for c in columns), strict=True)
        ),
    )  # fmt: skip


def _said(verdict: Verdict, words: InUnits) -> tuple[str, ...]:
    return _texts((*verdict.needs, *verdict.says), words)


def _texts(notes: Iterable[Note], words: InUnits) -> tuple[str, ...]:
    return tuple(titled(closed(words.text(note))) for note in notes)
