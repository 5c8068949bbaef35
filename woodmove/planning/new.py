"""woodmove new"""

import sys
from typing import Any

from woodmove.contract.answer import Verdict
from woodmove.contract.commands import CommandSpec
from woodmove.contract.notes import note
from woodmove.contract.params import Param, Request
from woodmove.contract.refusal import Refusal
from woodmove.contract.untyped import UntypedAnswer
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.params import FLAG, TEXT, read_param, text_with_unit
from woodmove.files.job import refuse_existing, write_new
from woodmove.planning.schema import Schema
from woodmove.units.parse import in_millimetres
from woodmove.units.show import printable
from woodmove.units.systems import System, reader_unit

# What a new job file sets from the start, by its place in the file: the values are those that
# --defaults writes and that the questions offer. All other places are written as comments.
ASKED = {
    "job.name": "my top",
    "job.units": "in",
    "wood.species": "douglas-fir-coast",
    "wood.rings": "flat",
    "wood.mc_now": "12",
    "top.width": "30in",
    "top.thickness": "1-1/2in",
    "room.place": "minneapolis",
    "room.indoor": "heated",
    "room.heat_to": "68F",
}
METRIC = ASKED | {"job.units": "mm", "top.width": "760mm", "top.thickness": "38mm", "room.heat_to": "20C"}
_UNIT_WORDS = {"in": "inches", "mm": "millimetres"}
TABLES = {
    "job": "The work.",
    "shop": "The air of the shop today, by hygrometer.",
    "wood": "The wood: what it is, how its rings lie, how wet it is.",
    "top": "The top as it is today.",
    "room": "Where it will live: a place and a room, or the driest and dampest moisture content.",
    "stock": "The lumber while it settles: the day on which it is stacked in that room, or its own air.",
    "plan": "What the plan holds: all sections if nothing is said.",
}


def run(request: Request, catalogue: Catalogue) -> UntypedAnswer:
    """Write a commented job file, from questions or from defaults."""
    path = request["job"]
    refuse_existing(path)
    params = Schema.of(catalogue).params
    units = request.units or "in"
    answers = dict(_offered(units))
    if not request["defaults"]:
        for place in ASKED:
            answers[place] = _ask(params[place], _offered(units)[place], units, catalogue)
            # Asked early, it counts for what is asked after it.
            units = "mm" if answers["job.units"] == "mm" else "in"
    write_new(path, _text(params, answers, units))
    return UntypedAnswer(
        "new",
        request.inputs(),
        {"written": path, "next": f"woodmove plan {path}"},
        verdict=Verdict("go", (NEXT(path=path),)),
    )


NEXT = note("NEXT", "Written. Next: woodmove plan {path}.", path=None)


def _offered(units: System) -> dict[str, str]:
    return METRIC if units == "mm" else ASKED


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


def _text(params: dict[str, Param[Any]], answers: dict[str, str], units: System) -> str:
    tables: dict[str, list[Param[Any]]] = {}
    for param in params.values():
        tables.setdefault(param.job.partition(".")[0], []).append(param)
    # A plugin's own tables come after those that everybody needs.
    ordered = sorted(tables, key=lambda table: list(TABLES).index(table) if table in TABLES else len(TABLES))
    lines = [
        "# A woodmove job. Lines that begin with # are not read: take the # away to use one.",
        "# A length or a temperature carries its unit, in quotes; without one it is read in job.units.",
        "# Then: woodmove plan THIS_FILE",
    ]
    for table in ordered:
        active = any(param.job in answers for param in tables[table])
        lines += ["", f"# {TABLES.get(table, 'Values of the plan section ' + table + '.')}"]
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
    ),
    run,
    line="Write a job file",
)

COMMANDS = (NEW,)
