"""A reply as a page to read: what to do, the few figures behind it, what to beware of. ``--details`` adds the
rest."""

import re
import textwrap
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from woodmove.contract.answer import Answer, Verdict
from woodmove.contract.notes import Note
from woodmove.contract.reply import Reply
from woodmove.report.figures import Figure, Rows, figures_of, group_of, rows_of
from woodmove.report.tables import table_text
from woodmove.report.words import full, label, sentence, titled
from woodmove.sources import citation
from woodmove.units.show import printable
from woodmove.units.systems import System

PAGE = 88
LEAST_WIDTH = 40
# Lines of a page that answers one question, and rows that a table has at the least.
LINES, LEAST_ROWS = 30, 3
CAUTION_LINES = 3
CAUSES = 4

_STATES = {"go": "GO", "wait": "WAIT", "stop": "STOP", "know": ""}


def render(reply: Reply, system: System, *, details: bool = False, width: int = PAGE) -> str:
    """The page of a reply, with a line break at its end.

    :param details: all that there is, instead of what one decides by
    :param width: of the terminal; a page is never wider than 88 columns
    """
    width = max(min(width, PAGE), LEAST_WIDTH)
    parts = _details(reply, system, width) if details else _brief(reply, system, width)
    return "\n\n".join(part for part in parts if part) + "\n"


def _brief(reply: Reply, system: System, width: int) -> Iterator[str]:
    answer = reply.answer
    # Of what there is nothing of, nothing is said.
    figures = [figure for figure in figures_of(answer) if figure.value not in (None, (), [])]
    single = [
        f for f in figures if f.level != "detail" and rows_of(f.value) is None and not group_of(f.value)
    ]
    single.sort(key=lambda figure: figure.level != "headline")
    table = next((f for f in figures if f.level != "detail" and rows_of(f.value) is not None), None)
    head = [verdict_text(answer.verdict, system, width)]
    head += [_single(single, system, width)] if single else []
    watch = notes_text("Watch", answer.warnings, system, width)
    safety, left_out = _cautions(answer.cautions, system, width)
    # How what was typed was understood.
    read = _wrap(" ".join(sentence(note, system) for note in reply.more), width) if reply.more else ""
    below = [*watch, safety, read]
    hidden = len(answer.cautions) if left_out else 0
    shown = {f.name for f in (*single, *([table] if table else []))}
    more = _more(reply, [f for f in figures if f.name not in shown], hidden)
    yield from head
    if table is not None:
        rows = rows_of(table.value)
        assert rows is not None
        used = sum(part.count("\n") + 2 for part in (*head, *below, more) if part)
        yield _table(table, rows.main, system, width, LINES - used)
    yield from below
    yield more


def _table(table: Figure, rows: Rows, system: System, width: int, room: int) -> str:
    """A table in so many lines, its last rows left out where it is longer."""
    title, count = titled(table.label), rows.count
    text = table_text(rows, system, width, title)
    while (lines := text.count("\n") + 1) > room and count > LEAST_ROWS:
        count = max(LEAST_ROWS, min(count - 1, count * room // lines))
        text = table_text(rows, system, width, title, count)
    return text


def _more(reply: Reply, figures: Sequence[Figure], cautions: int) -> str:
    """What ``--details`` adds."""
    answer = reply.answer
    counts = (
        (len(figures), "figure"), (len(answer.assumptions), "assumption"), (cautions, "caution in full"),
        (len(citations(answer.sources)), "source"),
    )  # fmt: skip
    words = [f"{count} {_plural(word, count)}" for count, word in counts if count]
    return f"{', '.join(words)}: --details" if words else ""


def _plural(word: str, count: int) -> str:
    first, _, rest = word.partition(" ")
    return (first + "s" * (count != 1) + " " + rest).rstrip()


def verdict_text(verdict: Verdict, system: System, width: int) -> str:
    """What to do: the state in capitals, what it says and what it needs."""
    state, said = _STATES[verdict.state], [*verdict.says, *verdict.needs]
    if state == "GO" and verdict.needs:
        state, said = "GO WITH", [*verdict.needs, *verdict.says]
    lead = f"{state}  " if state else ""
    first, *others = (closed(sentence(note, system)) for note in said)
    text = " ".join([first, *map(titled, others)])
    return textwrap.fill(printable(text), width, initial_indent=lead, subsequent_indent=" " * len(lead))


def closed(text: str) -> str:
    """A sentence with its stop."""
    return text if text.endswith((".", "?", "!", ":", ";")) else f"{text}."


def _cautions(notes: Sequence[Note], system: System, width: int) -> tuple[str, bool]:
    """The first sentence of each caution that has room in three lines, and whether anything is left out."""
    firsts = [re.split(r"(?<=[.]) (?=[A-Z])", sentence(note, system))[0] for note in notes]
    kept: list[str] = []
    for first in firsts:
        tried = _wrap(" ".join([*kept, first]), width)
        if tried.count("\n") >= CAUTION_LINES:
            break
        kept.append(first)
    whole = [sentence(note, system) for note in notes]
    return _wrap(" ".join(kept), width) if kept else "", kept != whole


def _details(reply: Reply, system: System, width: int) -> Iterator[str]:
    answer = reply.answer
    yield verdict_text(answer.verdict, system, width)
    yield from _inputs(reply, system, width)
    yield from results_text(answer, system, width, inputs=reply.inputs)
    yield from notes_text("Watch", answer.warnings, system, width)
    yield from notes_text("Safety", answer.cautions, system, width)
    yield from notes_text("Assumed", reply.assumptions, system, width)
    yield sources_text(answer.sources, width)


def _inputs(reply: Reply, system: System, width: int) -> Iterator[str]:
    # Those of the job file; the page shows its own.
    inputs = {name: value for name, value in reply.inputs.items() if name != "units"}
    for title, names in (
        ("You said", [name for name in inputs if name in reply.given]),
        ("Taken where nothing was said", [name for name in inputs if name not in reply.given]),
    ):
        words = [
            f"{label(name)} {full(name, inputs[name], system)}" if inputs[name] is not True else label(name)
            for name in names
        ]
        if words:
            yield _wrap(f"{title}: {', '.join(words)}.", width)


def results_text(
    answer: Answer[Any], system: System, width: int, *, inputs: Mapping[str, Any]
) -> Iterator[str]:
    """All results of an answer.

    :param inputs: results that repeat one of these are left out
    """
    figures = [f for f in figures_of(answer) if f.value is not None]
    single = [
        f for f in figures
        if rows_of(f.value) is None and group_of(f.value) is None and not isinstance(f.value, list | tuple)
        and inputs.get(f.name) != f.value
    ]  # fmt: skip
    if single:
        yield _single(single, system, width)
    for figure in figures:
        if (group := group_of(figure.value, figure.quantity)) is not None:
            known = [one for one in group if one.value is not None]
            yield f"{titled(figure.label)}\n{_single(known, system, width)}"
    for figure in figures:
        rows = rows_of(figure.value)
        if rows is not None:
            yield table_text(rows, system, width, titled(figure.label))
    causes = list(answer.causes().items())
    if causes:
        words = ", ".join(f"{name} {100 * share:.0f} %" for name, share in causes[:CAUSES])
        yield _wrap(f"Least sure: {words}.", width)


def _single(figures: Sequence[Figure], system: System, width: int) -> str:
    wide = max((len(figure.label) for figure in figures), default=0)
    return "\n".join(
        textwrap.fill(
            f"{figure.label.replace(chr(10), ' '):<{wide}}  {figure.full(system)}", width,
            subsequent_indent=" " * (wide + 2),
        )
        for figure in figures
    )  # fmt: skip


def notes_text(title: str, notes: Iterable[Note], system: System, width: int) -> list[str]:
    lines = [_item(sentence(note, system), width) for note in notes]
    return [title + "\n" + "\n".join(lines)] if lines else []


def citations(sources: Sequence[str]) -> tuple[str, ...]:
    """What people read of the sources, each once: two keys may be two tables of one book."""
    return tuple(dict.fromkeys(citation(source) for source in sources if source))


def sources_text(sources: Sequence[str], width: int) -> str:
    words = "; ".join(citations(sources))
    return _wrap(f"Sources: {words}.", width) if words else ""


def _item(text: str, width: int) -> str:
    return textwrap.fill(printable(text), width, initial_indent="- ", subsequent_indent="  ")


def _wrap(text: str, width: int) -> str:
    return textwrap.fill(printable(text), width)
