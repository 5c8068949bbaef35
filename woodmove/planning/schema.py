"""From a job file as it stands on disk to a Job, and from a Job to the answers of its sections."""

import difflib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import TYPE_CHECKING, Any
from weakref import WeakKeyDictionary

from woodmove.contract.notes import Assumption
from woodmove.contract.params import Param
from woodmove.contract.plan import Section
from woodmove.contract.refusal import Refusal, Refusals
from woodmove.domain.job import Job
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import TODAY
from woodmove.extend.guard import quiet
from woodmove.extend.params import DATE, TEXT, read_all, text_with_unit, with_units
from woodmove.extend.rooms import RoomsTold
from woodmove.files.job import RawField, RawJob
from woodmove.files.pieces.table import names_file
from woodmove.planning.came_out import CAME_OUT
from woodmove.planning.lumber import LUMBER
from woodmove.planning.measured import beside, looks_like_path, measured
from woodmove.planning.order import Circle, in_order
from woodmove.questions import sections as questions_in_plan
from woodmove.questions.cut_list import PARTS
from woodmove.questions.layup import STRIP_LIST
from woodmove.questions.shared.boards import PILE_BOARDS

if TYPE_CHECKING:
    from woodmove.extend.manager import Plugin


CORE_PROVIDER = "woodmove"

JOB_PARAMS = (
    Param("job_name", "", TEXT, "What the work is called", "assembly table", "job.name"),
    Param("job_units", "", TEXT, "Units of what is printed, and of numbers without one", "in", "job.units",
          choices=("in", "mm")),
    Param("build_date", "", DATE, "Day on which the top is screwed down", "2027-01-15", "job.build_date"),
    Param("plan_sections", "", TEXT, "Sections wanted, all of them if not told", "air", "plan.sections"),
    Param("plan_done", "", TEXT, "Sections whose work is done, which leave the card", "rip", "plan.done"),
)  # fmt: skip


@cache
def core_sections() -> tuple[Section[Any], ...]:
    """The sections of woodmove itself."""
    return (*questions_in_plan(), LUMBER, CAME_OUT)


# Kept, so that a section that is refused is named once.
_SCHEMAS: WeakKeyDictionary[Catalogue, "Schema"] = WeakKeyDictionary()


@dataclass(frozen=True, slots=True)
class Schema:
    """What a job file may hold.

    :param sections: in the order of the plan, each with its provider
    """

    sections: tuple[tuple[Section[Any], str], ...]

    @classmethod
    def of(cls, catalogue: Catalogue) -> "Schema":
        """The schema that core and the loaded plugins make together, one for each catalogue."""
        if catalogue not in _SCHEMAS:
            _SCHEMAS[catalogue] = cls._gathered(catalogue)
        return _SCHEMAS[catalogue]

    @classmethod
    def _gathered(cls, catalogue: Catalogue) -> "Schema":
        registry = catalogue.plan_sections
        providers = {section.key: CORE_PROVIDER for section in core_sections()}
        sections = list(core_sections())
        for key, section in registry:
            if key in providers:
                catalogue.manager.say(
                    f"plan section {key!r} of plugin {registry.provider(key)} was refused: "
                    "woodmove itself already provides it"
                )
            else:
                sections.append(section)
                providers[key] = registry.provider(key)
        ordered = _without_circles(sections, providers, catalogue)
        return cls(tuple((section, providers[section.key]) for section in ordered))

    @property
    def params(self) -> dict[str, Param[Any]]:
        """Every parameter that has a place in a job file, by that place."""
        params = {param.job: param for param in JOB_PARAMS}
        for section, _ in self.sections:
            for param in section.command.params:
                # Of two parameters with one place, the one that is typed like it explains it best.
                if param.job and (param.job not in params or param.option == _typed(param.job)):
                    params[param.job] = param
        return params


def _without_circles(
    sections: list[Section[Any]], providers: Mapping[str, str], catalogue: Catalogue
) -> list[Section[Any]]:
    """Sections in their order; those of plugins that wait for one another are set aside."""
    from woodmove.extend.manager import SetAside

    try:
        return in_order(sections)
    except Circle as circle:
        ours = {section.key for section in core_sections()}
        for key in sorted(set(circle.keys) - ours):
            plugin = catalogue.manager.named(providers[key])
            catalogue.manager.set_item_aside(plugin, SetAside("plan section", (key,), str(circle)))
        left = [section for section in sections if section.key in ours or section.key not in circle.keys]
        return _without_circles(left, providers, catalogue)


def _typed(place: str) -> str:
    return "--" + place.partition(".")[2].replace("_", "-")


def read(raw: RawJob, catalogue: Catalogue, today: date) -> Job:
    """The job of a job file.

    :param today: before which nothing is advised
    :raises Refusals: every value that cannot be, each with its line
    """
    schema = Schema.of(catalogue)
    params = schema.params
    texts: dict[str, str] = {}
    lines: dict[str, int] = {}
    faults: list[Refusal] = []
    for field in raw.fields:
        param = params.get(field.place)
        if param is None:
            faults.append(_unknown(field, raw, params, catalogue))
        else:
            texts[param.name] = field.text
            lines[param.name] = field.line
    given = [param for param in params.values() if param.name in texts]
    assumptions: tuple[Assumption, ...] = ()
    units = texts.get("job_units")
    bare: set[str] = set()
    if units in ("in", "mm"):
        texts, assumptions = with_units(given, texts, units, lambda param: param.job)
    else:
        bare = {p.name for p in given if text_with_unit(p.kind, texts[p.name], "mm") != texts[p.name]}
    with quiet():
        values, unreadable = read_all(given, texts, lambda param: param.job, "mm" if units == "mm" else "in")
    # Files that a job names lie beside it, wherever it is read from.
    listed = (PILE_BOARDS.name, PARTS.name, STRIP_LIST.name)
    paths = [name for name in listed if name in values and names_file(values[name])]
    paths += ["readings_log"] if "readings_log" in values else []
    paths += ["place"] if looks_like_path(values.get("place")) else []
    values |= {name: beside(raw.source, values[name]) for name in paths}
    for name, value in values.items():
        if isinstance(value, RoomsTold):
            values[name] = value.placed(
                lambda place: beside(raw.source, place) if looks_like_path(place) else place
            )
    values[TODAY.name] = today
    unreadable += catalogue.unknown_names(given, values, list(texts))
    for fault in unreadable:
        fault.file, fault.line = raw.source, lines[fault.fields[0]]
        fault.exit_code = fault.exit_code if fault.exit_code == 4 else 1
        if fault.fields[0] in bare:
            fault.instead += ' Or write units = "mm", or "in", in [job].'
    known = [section.key for section, _ in schema.sections]
    asked, done = (_keys(values.pop(name, None)) for name in ("plan_sections", "plan_done"))
    for name, keys in (("plan_sections", asked), ("plan_done", done)):
        faults += [_no_section(key, known, raw, lines[name], catalogue) for key in keys if key not in known]
    if not raw.fields:
        faults.append(
            Refusal(
                "EMPTY_JOB", f"{raw.source} holds nothing.", "A job file says what is built of which wood.",
                "Start from woodmove new JOB.toml.", file=raw.source, line=1,
            )
        )  # fmt: skip
    if faults or unreadable:
        raise Refusals(sorted(faults + unreadable, key=lambda fault: fault.line or 0))
    if values.get("readings_log"):
        try:
            values, notes = measured(values, catalogue, today)
            assumptions += notes
        except Refusal as fault:
            if fault.line is None:
                fault.file, fault.line = raw.source, lines["readings_log"]
            raise
        if values.get("readings_log"):
            lines |= dict.fromkeys(("mc_now_pct", "stock_mc_pct", "stacked_mc_pct"), lines["readings_log"])
        lines = {name: line for name, line in lines.items() if name in values or name == "readings_log"}
    return Job(
        values.pop("job_name", ""),
        values.pop("job_units", None),
        values.get("build_date"),
        asked,
        values,
        raw.source,
        lines,
        assumptions,
        done,
    )


def _keys(text: str | None) -> tuple[str, ...]:
    return tuple(key.strip() for key in text.split(",")) if text else ()


def _unknown(field: RawField, raw: RawJob, params: dict[str, Param[Any]], catalogue: Catalogue) -> Refusal:
    table = field.place.partition(".")[0]
    tables = {place.partition(".")[0] for place in params}
    missed = catalogue.manager.missed("plan section", table)
    if table not in tables and missed:
        return _lost(f"[{table}]", raw.source, raw.tables.get(table, field.line), missed)
    key = field.place.partition(".")[2]
    # The right key in the wrong table is likelier than any other.
    close = [place for place in params if place.partition(".")[2] == key]
    close = close or difflib.get_close_matches(field.place, params, n=3, cutoff=0.5)
    there = [place for place in params if place.partition(".")[0] == table]
    return Refusal(
        "UNKNOWN_KEY",
        f"There is no {field.place}.",
        f"Did you mean {' or '.join(close[:2])}?"
        if close
        else f"[{table}] takes {', '.join(place.partition('.')[2] for place in there)}."
        if there
        else f"The tables are {', '.join(sorted(tables))}.",
        "Mend the name, or take the line out.",
        file=raw.source,
        line=field.line,
    )


def _lost(what: str, source: str, line: int, missed: "Sequence[Plugin]") -> Refusal:
    return Refusal(
        "PLUGIN_FAILED",
        f"No loaded plugin knows {what}; it may belong to one that failed: "
        f"{'; '.join(f'{plugin.name} ({plugin.faults})' for plugin in missed)}.",
        "A plan that asks for a plugin's section needs that plugin.",
        f"Mend the plugin, or take {what} out of the job file.",
        file=source,
        line=line,
        exit_code=4,
    )


def _no_section(key: str, known: Sequence[str], raw: RawJob, line: int, catalogue: Catalogue) -> Refusal:
    if missed := catalogue.manager.missed("plan section", key):
        return _lost(f"plan section {key!r}", raw.source, line, missed)
    return Refusal(
        "UNKNOWN_SECTION",
        f"There is no plan section {key!r}.",
        f"Sections are {', '.join(known)}.",
        "Mend plan.sections, or take the line out.",
        file=raw.source,
        line=line,
    )
