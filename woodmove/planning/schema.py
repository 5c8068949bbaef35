"""From a job file as it stands on disk to a Job, and from a Job to the answers of its sections."""

import difflib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

from woodmove.contract.commands import CommandSpec, PlanSection
from woodmove.contract.notes import Assumption
from woodmove.contract.params import Param
from woodmove.contract.refusal import Refusal, Refusals
from woodmove.domain.job import Job
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.groups import TODAY
from woodmove.extend.guard import quiet
from woodmove.extend.params import DATE, TEXT, read_all, text_with_unit, with_units
from woodmove.files.job import RawField, RawJob
from woodmove.planning.lumber import LUMBER_SECTION
from woodmove.planning.measured import beside, looks_like_path, measured
from woodmove.questions import commands

if TYPE_CHECKING:
    from woodmove.extend.manager import Plugin


CORE_PROVIDER = "woodmove"

JOB_PARAMS = (
    Param("job_name", "", TEXT, "What the work is called", "assembly table", "job.name"),
    Param("job_units", "", TEXT, "Units of what is printed, and of numbers without one", "in", "job.units",
          choices=("in", "mm")),
    Param("build_date", "", DATE, "Day on which the top is screwed down", "2027-01-15", "job.build_date"),
    Param("plan_sections", "", TEXT, "Sections wanted, all of them if not told", "air", "plan.sections"),
)  # fmt: skip


def _command(name: str) -> CommandSpec:
    return next(spec for spec in commands(name.split()[0]) if spec.name == name)


def _core_sections() -> list[PlanSection]:
    return [
        PlanSection("shop", "The air of the shop today", _command("emc"), (), 5, _no_shop_air, decides=False),
        PlanSection(
            "air",
            "The air of the room through the year",
            _command("climate show"),
            ("name", "period", "indoor_emc_low_pct", "indoor_emc_high_pct", "outdoor", "indoor"),
            10,
            decides=False,
        ),
        PlanSection(
            "wood",
            "The wood",
            _command("species show"),
            ("name", "fibre_saturation_pct", "members", "coefficients"),
            20,
            decides=False,
        ),
        PlanSection(
            "lumber",
            "When the lumber is ready",
            LUMBER_SECTION,
            ("target_mc_pct", "days_to_ready", "last_reading", "mc_now_pct", "ready_even_on",
             "ready_likely_on", "keeps_until", "never_ready_pct", "still_to_wait", "mc_at_build_pct",
             "chance_pct", "boards", "faster"),
            25,
            _no_stock,
        ),
        PlanSection(
            "pile",
            "The pile, before the saw",
            _command("rip"),
            ("boards", "bad_rows", "learned_from"),
            26,
            _no_pile,
        ),
        PlanSection(
            "strips",
            "The strips of the top",
            _command("strips"),
            ("strip_count", "width_needed_mm", "width_trimmed_mm", "to_trim_mm", "thirty_second_mm",
             "allowance", "flat_thickness_mm", "thickness_chance_pct", "counts", "top_sections"),
            27,
            _no_strips,
        ),
        PlanSection(
            "lay-up",
            "The order of the strips",
            _command("lay-up"),
            ("laid", "orders", "set_aside", "bad_rows"),
            28,
            _no_list_of_strips,
        ),
        PlanSection(
            "flatten",
            "How flat the top stays",
            _command("flatten"),
            ("rest_between_days", "now_cup_mm", "rested_cup_mm", "per_point_cup_mm", "by_its_rings", "seams"),
            30,
        ),
        PlanSection(
            "width",
            "The top through the year",
            _command("width"),
            ("width_low_mm", "width_high_mm", "change_low_mm", "change_high_mm", "season"),
            30,
        ),
        PlanSection("holes", "The bench holes", _command("holes"), (), 35),
        PlanSection(
            "weight",
            "What it weighs",
            _command("lift"),
            ("weight_kg", "one_person_limit_kg", "people"),
            36,
            decides=False,
        ),
    ]  # fmt: skip


def _no_shop_air(values) -> str:
    return "" if "temp_c" in values or "rh_pct" in values else "the job has no [shop] temp and rh"


def _no_stock(values) -> str:
    if "from_date" in values or "stock_temp_c" in values:
        return ""
    return "the job has no [stock] with the day on which the lumber is stacked, or its air"


def _no_pile(values) -> str:
    if "pile_file" in values or "pile_boards" in values:
        return ""
    return "the job has no [pile] with a file of boards, or boards of its own"


def _no_strips(values) -> str:
    if not any(
        param.job.startswith("strips.") and param.name in values for param in _command("strips").params
    ):
        return "the job has no [strips]"
    if not {"service_width_mm", "top_width_mm"} & set(values):
        return "the job has no [top] width and no [strips] width"
    if "strip_thickness_mm" in values or {"strips_from", "strip_width_mm", "top_length_mm"} <= set(values):
        return ""
    return "the job has no [strips] thickness, nor board, strip width and length to work it out from"


def _no_list_of_strips(values) -> str:
    if "strips_file" in values or "strip_list" in values:
        return ""
    return "the job has no [strips] with a file of strips, or a list of its own"


# Kept, so that a section that is refused is named once.
_SCHEMAS: WeakKeyDictionary[Catalogue, "Schema"] = WeakKeyDictionary()


@dataclass(frozen=True, slots=True)
class Schema:
    """What a job file may hold.

    :param sections: in the order of the plan, each with its provider
    """

    sections: tuple[tuple[PlanSection, str], ...]

    @classmethod
    def of(cls, catalogue: Catalogue) -> "Schema":
        """The schema that core and the loaded plugins make together, one for each catalogue."""
        if catalogue not in _SCHEMAS:
            _SCHEMAS[catalogue] = cls._gathered(catalogue)
        return _SCHEMAS[catalogue]

    @classmethod
    def _gathered(cls, catalogue: Catalogue) -> "Schema":
        registry = catalogue.plan_sections
        sections = [(section, CORE_PROVIDER) for section in _core_sections()]
        taken = {section.key for section, _ in sections}
        for key, section in registry:
            if key in taken:
                catalogue.manager.say(
                    f"plan section {key!r} of plugin {registry.provider(key)} was refused: "
                    "woodmove itself already provides it"
                )
            else:
                sections.append((section, registry.provider(key)))
        return cls(tuple(sorted(sections, key=lambda pair: (pair[0].order, pair[0].key))))

    @property
    def params(self) -> dict[str, Param]:
        """Every parameter that has a place in a job file, by that place."""
        params = {param.job: param for param in JOB_PARAMS}
        for section, _ in self.sections:
            for param in section.command.params:
                # Of two parameters with one place, the one that is typed like it explains it best.
                if param.job and (param.job not in params or param.option == _typed(param.job)):
                    params[param.job] = param
        return params


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
        values, unreadable = read_all(given, texts, lambda param: param.job)
    # Files that a job names lie beside it, wherever it is read from.
    paths = [name for name in ("pile_file", "strips_file", "readings_log") if name in values]
    paths += ["place"] if looks_like_path(values.get("place")) else []
    values |= {name: beside(raw.source, values[name]) for name in paths}
    values[TODAY.name] = today
    unreadable += catalogue.unknown_names(given, values, list(texts))
    for fault in unreadable:
        fault.file, fault.line = raw.source, lines[fault.fields[0]]
        fault.exit_code = fault.exit_code if fault.exit_code == 4 else 1
        if fault.fields[0] in bare:
            fault.instead += ' Or write units = "mm", or "in", in [job].'
    known = [section.key for section, _ in schema.sections]
    asked = tuple(values.pop("plan_sections", "").split(",")) if values.get("plan_sections") else ()
    asked = tuple(key.strip() for key in asked)
    for key in asked:
        if key not in known:
            faults.append(_no_section(key, known, raw, lines["plan_sections"], catalogue))
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
            values, notes = measured(values, catalogue)
            assumptions += notes
        except Refusal as fault:
            if fault.line is None:
                fault.file, fault.line = raw.source, lines["readings_log"]
            raise
        lines |= dict.fromkeys(("mc_now_pct", "stock_mc_pct"), lines["readings_log"])
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
    )


def _unknown(field: RawField, raw: RawJob, params: dict[str, Param], catalogue: Catalogue) -> Refusal:
    table = field.place.partition(".")[0]
    tables = {place.partition(".")[0] for place in params}
    missed = catalogue.manager.missed("plan section", table)
    if table not in tables and missed:
        return _lost(f"[{table}]", raw.source, raw.tables.get(table, field.line), missed)
    close = difflib.get_close_matches(field.place, params, n=3, cutoff=0.5)
    there = [place for place in params if place.partition(".")[0] == table]
    return Refusal(
        "UNKNOWN_KEY",
        f"{field.place} is no value of a job file.",
        f"The closest: {', '.join(close)}." if close else f"The tables are {', '.join(sorted(tables))}.",
        f"[{table}] takes {', '.join(place.partition('.')[2] for place in there)}."
        if there
        else "Mend the name of the table, or take the line out.",
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
