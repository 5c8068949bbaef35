"""An Answer as a page to read: short lists, tables that fit the page, then what to beware of."""

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from woodmove.contract.answer import Answer, Verdict
from woodmove.contract.notes import Note
from woodmove.report.words import bare, full, heading, label, sentence
from woodmove.sources import citation
from woodmove.units.show import printable, unit_of
from woodmove.units.systems import System

PAGE = 88
CAUSES = 4
LEAST_COLUMN = 16

_ENDS = (("warnings", "Watch"), ("cautions", "Safety"), ("assumptions", "Taken for granted"))


def render(answer: Answer, system: System) -> str:
    """The page of an Answer, with a line break at its end."""
    sections = answer.results.get("sections")
    parts = list(_plan(answer, sections, system)) if sections else list(_body(answer, system))
    for name, title in _ENDS:
        if sections and name == "warnings":
            continue  # each stands with its section
        parts += _notes(title, getattr(answer, name), system)
    if answer.sources:
        parts.append(_wrap("Sources: " + "; ".join(citation(source) for source in answer.sources) + "."))
    return "\n\n".join(part for part in parts if part) + "\n"


_STATES = {"go": "GO", "wait": "WAIT", "stop": "STOP", "know": ""}


def _verdict(verdict: Verdict, system: System) -> str:
    """What to do: the state in capitals, what it says and what it needs."""
    state, said = _STATES[verdict.state], [*verdict.says, *verdict.needs]
    if state == "GO" and verdict.needs:
        state, said = "GO WITH", [*verdict.needs, *verdict.says]
    lead = f"{state}  " if state else ""
    text = " ".join(sentence(note, system) for note in said)
    return textwrap.fill(printable(text), PAGE, initial_indent=lead, subsequent_indent=" " * len(lead))


def _body(answer: Answer, system: System) -> Iterator[str]:
    if answer.verdict is not None:
        yield _verdict(answer.verdict, system)
    if answer.inputs:
        yield _given(answer.inputs, system)
    yield from _results(answer, system)
    # Those of a month only are for the plan, which knows the year.
    if dated := [row["check"] for row in answer.results.get("checks", ()) if row.get("date")]:
        yield "Dated checks\n" + "\n".join(_item(bare("check", check, system)) for check in dated)


def _plan(answer: Answer, sections: Sequence[dict[str, Any]], system: System) -> Iterator[str]:
    title = printable(answer.results.get("job_name") or "Plan")
    yield f"{title}\n{'=' * len(title)}"
    yield _given(answer.inputs, system)
    # What stands in no section is about all of them.
    within = [warning for row in sections if row["answer"] is not None for warning in row["answer"].warnings]
    yield from _notes("Watch", [warning for warning in answer.warnings if warning not in within], system)
    for number, section in enumerate(sections, start=1):
        head = f"{number}. {printable(section['title'])}"
        yield f"{head}\n{'-' * len(head)}"
        if section["answer"] is None:
            yield _wrap(f"{section['status'].capitalize()}: {printable(section['reason'])}")
            continue
        yield from _results(section["answer"], system, section["shows"])
        yield from _notes("Watch", section["answer"].warnings, system)
    if checks := answer.results.get("checks"):
        lines = [_item(f"{check['when']}: {bare('check', check['check'], system)}") for check in checks]
        yield "Dated checks\n" + "\n".join(lines)
    if measurements := answer.results.get("measurements"):
        lines = [
            _item(f"{row['measure']} (narrows the Ranges by up to {row['narrows_pct']:.0f} %)")
            for row in measurements
        ]
        yield "What to measure next\n" + "\n".join(lines)


def _given(inputs: Mapping[str, Any], system: System) -> str:
    words = [
        f"{label(name)} {full(name, value, system)}" if value is not True else label(name)
        for name, value in inputs.items()
        if name != "units"  # those of the job file; the page shows its own
    ]
    return _wrap("Given: " + ", ".join(words) + ".")


def _results(answer: Answer, system: System, shows: Sequence[str] = ()) -> Iterator[str]:
    results = {name: value for name, value in answer.results.items() if not shows or name in shows}
    single = {
        name: value
        for name, value in results.items()
        if value is not None and not isinstance(value, list | dict) and answer.inputs.get(name) != value
    }
    if single:
        yield _single(single, system)
    for name, value in results.items():
        if isinstance(value, dict):
            yield f"{_title(label(name))}\n{_single(value, system)}"
    tables = {
        name: _columns(value, answer.columns.get(name))
        for name, value in results.items()
        if isinstance(value, list) and value and isinstance(value[0], dict) and name != "checks"
    }
    for names in _side_by_side(tables):
        yield _table(names, tables, system)
    if causes := list(answer.causes(shows).items())[:CAUSES]:
        words = ", ".join(f"{name} {100 * share:.0f} %" for name, share in causes)
        yield _wrap(f"The doubt comes from: {words}.")


def _single(values: dict[str, Any], system: System) -> str:
    wide = max(len(label(name)) for name in values)
    lines = []
    for name, value in values.items():
        text = f"{label(name):<{wide}}  {full(name, value, system)}"
        lines.append(textwrap.fill(text, PAGE, subsequent_indent=" " * (wide + 2)))
    return "\n".join(lines)


def _columns(rows: list[dict[str, Any]], wanted: tuple[str, ...] | None) -> list[dict[str, Any]]:
    chosen = [{name: row.get(name) for name in wanted} for row in rows] if wanted else rows
    return [line for row in chosen for line in _lines(row)]


def _lines(row: dict[str, Any]) -> list[dict[str, Any]]:
    """A row whose values are told for several cases takes a line for each, the case in its own column."""
    cases = list(dict.fromkeys(case for value in row.values() if isinstance(value, dict) for case in value))
    if not cases:
        return [row]
    (first, start), *rest = row.items()
    lines = []
    for number, case in enumerate(cases):
        line = {first: start if number == 0 else None, "when": label(case)}
        for name, value in rest:
            if isinstance(value, dict):
                line[name] = value.get(case)
            else:
                line[name] = value if number == 0 else None
        lines.append(line)
    return lines


def _side_by_side(tables: dict[str, list[dict[str, Any]]]) -> list[list[str]]:
    """Names of the tables, those with one and the same first column together."""
    groups: list[list[str]] = []
    before: object = None
    for name, rows in tables.items():
        first = next(iter(rows[0]))
        key = (first, [row.get(first) for row in rows])
        if groups and key == before:
            groups[-1].append(name)
        else:
            groups.append([name])
        before = key
    return groups


def _table(names: list[str], tables: dict[str, list[dict[str, Any]]], system: System) -> str:
    together = len(names) > 1
    columns: list[tuple[str, str, list[Any]]] = []  # head, field name, values
    for position, name in enumerate(names):
        rows = tables[name]
        for field in list(dict.fromkeys(field for row in rows for field in row))[1 if position else 0 :]:
            values = [row.get(field) for row in rows]
            if field == "remark":
                continue  # under the table, where there is room for a sentence
            # Words carry no unit: a heading of somebody's own file stays as it was.
            head = heading(field, system)
            if unit_of(field, system) and all(isinstance(value, str) for value in values):
                head = printable(field)
            if together and (position or columns):
                head = f"{label(name)}\n{head}"
            if any(value not in (None, "") for value in values):
                columns.append((head, field, values))
    title = _title(" and ".join(label(name) for name in names))
    note = ""
    if len(tables[names[0]]) > 1 and not together:
        same = [c for c in columns[1:] if all(value == c[2][0] for value in c[2])]
        if same:  # a column that says one thing says it once
            columns = [c for c in columns if c not in same]
            note = _wrap(
                f"Of all {len(tables[names[0]])}: "
                + ", ".join(f"{label(field)} {full(field, values[0], system)}" for _, field, values in same)
                + "."
            )
    text = _fitting(columns, system)
    remarks = [
        _item(f"{row[next(iter(row))]}: {row['remark']}") for row in tables[names[0]] if row.get("remark")
    ]
    return "\n".join(part for part in (title, text, note, *remarks) if part)


def _fitting(columns: list[tuple[str, str, list[Any]]], system: System) -> str:
    """The table as wide as the page; one that no narrowing makes so goes on below, its first column again."""
    text = _grid(columns, system, narrow=False)
    if _wide(text) > PAGE:
        text = _grid(columns, system, narrow=True)
    if _wide(text) > PAGE:
        text = _grid(columns, system, narrow=True, excess=_wide(text) - PAGE)
    if _wide(text) > PAGE:
        tall = [(head.replace(" ", "\n"), field, values) for head, field, values in columns]
        text = _grid(tall, system, narrow=True)
    if _wide(text) <= PAGE or len(columns) < 3:
        return text
    fits = len(columns) - 1
    while fits > 2 and _wide(_grid(columns[:fits], system, narrow=True)) > PAGE:
        fits -= 1
    there = _grid(columns[:fits], system, narrow=True)
    return there + "\n\n" + _fitting([columns[0], *columns[fits:]], system)


def _wide(text: str) -> int:
    return max(map(len, text.splitlines()))


def _grid(columns: list[tuple[str, str, list[Any]]], system: System, *, narrow: bool, excess: int = 0) -> str:
    """The table, its columns of words narrowed by `excess` in all, the widest first."""
    from tabulate import tabulate

    body = {head: [bare(field, v, system, narrow=narrow) for v in values] for head, field, values in columns}
    words = [all(isinstance(value, str | None | Note) for value in values) for _, _, values in columns]
    wide = [
        max(map(len, texts), default=0) if word else 0
        for word, texts in zip(words, body.values(), strict=True)
    ]
    full = list(wide)
    while excess > 0 and max(wide) > LEAST_COLUMN:
        wide[wide.index(max(wide))] -= 1
        excess -= 1
    limits = [now if now < before else None for now, before in zip(wide, full, strict=True)]
    return tabulate(
        body,
        headers="keys",
        tablefmt="simple",
        disable_numparse=True,
        colalign=["left" if word else "right" for word in words],
        maxcolwidths=limits,
    )


def _notes(title: str, notes: Sequence[Note], system: System) -> list[str]:
    if not notes:
        return []
    return [title + "\n" + "\n".join(_item(sentence(note, system)) for note in notes)]


def _title(text: str) -> str:
    return text[:1].upper() + text[1:]


def _item(text: str) -> str:
    return textwrap.fill(printable(text), PAGE, initial_indent="- ", subsequent_indent="  ")


def _wrap(text: str) -> str:
    return textwrap.fill(printable(text), PAGE)
