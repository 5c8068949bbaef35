"""woodmove new"""

import sys
from collections.abc import Iterable
from typing import Annotated, Any

from woodmove.contract.answer import Answer, Verdict
from woodmove.contract.commands import CommandSpec
from woodmove.contract.notes import note
from woodmove.contract.params import Param, Request
from woodmove.contract.refusal import Refusal
from woodmove.contract.shown import Shown, results
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.params import FLAG, TEXT, read_param, text_with_unit
from woodmove.files.job import refuse_existing, write_new
from woodmove.planning.schema import Schema
from woodmove.units.parse import in_millimetres
from woodmove.units.show import printable
from woodmove.units.systems import System, reader_unit

TODAY = "stock.from"
# What is asked, in the order of the work, by its place in the file: the values are those that --defaults
# writes and that Enter takes, a top of strips on edge. --all writes all other places too, as comments.
ASKED = {
    "job.name": "my top",
    "job.units": "in",
    "top.width": "30in",
    "top.length": "46in",
    "top.thickness": "3in",
    "room.place": "minneapolis",
    "room.kind": "house",
    "wood.species": "douglas-fir-coast",
    "wood.strips_from": "2x8",
    "wood.pith_depth": "2in",
    "stock.length": "8ft",
    "stock.mc_now": "13%",
    TODAY: "",  # filled in on the day
    "pile.strip_width": "3-1/4in",
    "strips.planer": "13in",
    "job.people": "2",
    "glue.clamps": "12",
    "base.material": "wood",
}
METRIC = ASKED | {
    "job.units": "mm", "top.width": "760mm", "top.length": "1170mm", "top.thickness": "76mm",
    "room.place": "berlin", "wood.species": "norway-spruce", "wood.strips_from": "45mm x 195mm",
    "wood.pith_depth": "50mm", "stock.length": "2400mm", "pile.strip_width": "83mm", "strips.planer": "330mm",
}  # fmt: skip
_UNIT_WORDS = {"in": "inches", "mm": "millimetres"}
TABLES = {
    "shop": "The air of the shop today, by hygrometer.",
    "wood": "The wood: what it is, how its rings lie, how wet it is.",
    "room": "Where it will live: a place and a room, or the driest and dampest moisture content. If it moves "
    "house: [[room]] for each, the later ones with from = the day.",
    "stock": "The lumber while it settles: the day on which it is stacked in that room, or its own air.",
    "plan": "What the plan holds: all sections if nothing is said.",
}


@results
class Begun:
    """A job file that was written."""

    written: Annotated[str, Shown("written")]
    next: Annotated[str, Shown("next")]


def ask(request: Request, catalogue: Catalogue) -> Answer[Begun]:
    """Write a commented job file, from questions or from defaults."""
    path = request["job"]
    refuse_existing(path)
    params = Schema.of(catalogue).params
    units = request.units or "in"
    # What a plugin that is not loaded would read is not asked.
    places = [place for place in ASKED if place in params]
    today = {TODAY: request.clock.isoformat()}
    offered = {"in": ASKED | today, "mm": METRIC | today}
    answers = {place: offered[units][place] for place in places}
    if not request["defaults"]:
        for place in places:
            answers[place] = _ask(params[place], offered[units][place], units, catalogue)
            # Asked early, it counts for what is asked after it.
            units = "mm" if answers["job.units"] == "mm" else "in"
    shown = params if request["all"] else {place: params[place] for place in places}
    write_new(path, _text(shown.values(), answers, units))
    return Answer(Verdict("go", (NEXT(path=path),)), Begun(written=path, next=f"woodmove plan {path}"))


NEXT = note("NEXT", "Written. Next: woodmove plan {path}.", path=None)


def _ask(param: Param[Any], default: str, units: System, catalogue: Catalogue) -> str:
    """The answer to a question, a length or a temperature with its unit."""
    unit = reader_unit(param.kind.bare_unit, units)
    question = f"{_explained(param)}, in {_UNIT_WORDS.get(unit, unit)}" if unit else _explained(param)
    while True:
        # Not typer.prompt, which writes to standard output too.
        print(f"{question} [{default}]: ", end="", file=sys.stderr, flush=True)
        line = sys.stdin.readline()
        if not line:
            raise Refusal(
                "NO_ANSWER",
                "The answers ended before the questions did.",
                "Each question takes a line; an empty line takes the value in brackets.",
                "Answer them all, or type --defaults.",
            )
        text = text_with_unit(param.kind, line.strip() or default, units)
        try:
            read_param(param, text, param.job)
            if param.registry:
                getattr(catalogue, param.registry).get(text)
        except Refusal as fault:
            print(printable(fault.text), file=sys.stderr)
        else:
            return text


def _text(params: Iterable[Param[Any]], answers: dict[str, str], units: System) -> str:
    tables: dict[str, list[Param[Any]]] = {}
    for param in params:
        tables.setdefault(param.job.partition(".")[0], []).append(param)
    # In the order in which they are asked; the other tables follow.
    asked = list(dict.fromkeys(place.partition(".")[0] for place in answers))
    ordered = sorted(tables, key=lambda table: asked.index(table) if table in asked else len(asked))
    lines = [
        "# A woodmove job. Lines that begin with # are not read. Then: woodmove plan THIS_FILE",
        "# A length or a temperature carries its unit, in quotes; without one it is read in job.units.",
    ]
    for table in ordered:
        active = table in asked
        lines += ["", *([f"# {TABLES[table]}"] if table in TABLES else [])]
        lines.append(f"[{table}]" if active else f"# [{table}]")
        for param in tables[table]:
            key = param.job.partition(".")[2]
            value = answers.get(param.job)
            lines.append(f"# {_explained(param)}")
            example = in_millimetres(param.example) if units == "mm" else param.example
            lines.append(f'{key} = "{_escaped(value)}"' if value is not None else f'# {key} = "{example}"')
    return "\n".join(lines) + "\n"


def _explained(param: Param[Any]) -> str:
    return f"{param.help} ({', '.join(param.choices)})" if param.choices else param.help


def _escaped(text: str) -> str:
    return text.replace("\\", "\\\\").replace('"', '\\"')


NEW = CommandSpec(
    "new",
    "Write a commented job file, from questions or with --defaults; never over an existing one.",
    ("woodmove new job.toml --defaults",),
    (
        Param("job", "JOB", TEXT, "File to write", "job.toml", required=True),
        Param("defaults", "--defaults", FLAG, "Ask nothing", ""),
        Param("all", "--all", FLAG, "Write every key of every part as a comment", ""),
    ),
    ask,
    line="Write a job file",
)

COMMANDS = (NEW,)
