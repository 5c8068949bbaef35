"""From command specs to a command line, and from Answers and Refusals to output and exit codes."""

from __future__ import annotations

import inspect
import os
import sys
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from importlib import import_module
from typing import TYPE_CHECKING, Any, cast

import typer

from woodmove import __version__
from woodmove.cli.reader import units_of, units_of_help
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.contracts import CommandSpec
from woodmove.extend.params import FLAG, TEXT, WHOLE, Param, Request, read_all, with_units
from woodmove.shop.answer import Answer, Refusal, Refusals
from woodmove.units import System

if TYPE_CHECKING:
    from woodmove.extend.catalogue import Places
    from woodmove.extend.manager import PluginManager, SetAside

# First word of a core command -> module that holds it as COMMANDS. Only the one that is typed is
# imported, so that a quick question gets a quick answer.
CORE = {
    "emc": "woodmove.cli.emc",
    "climate": "woodmove.cli.climate",
    "species": "woodmove.cli.species",
    "buy": "woodmove.cli.buy",
    "acclimate": "woodmove.cli.acclimate",
    "readings": "woodmove.cli.readings",
    "rip": "woodmove.cli.rip",
    "strips": "woodmove.cli.strips",
    "lay-up": "woodmove.cli.layup",
    "lift": "woodmove.cli.lift",
    "flatten": "woodmove.cli.flatten",
    "width": "woodmove.cli.width",
    "holes": "woodmove.cli.holes",
    "plan": "woodmove.cli.plan",
    "new": "woodmove.cli.new",
    "check": "woodmove.cli.check",
    "doubt": "woodmove.cli.doubt",
    "plugins": "woodmove.cli.plugins",
}
GROUPS = {
    "climate": "Places and their air, outdoors and in a room.",
    "species": "Species of wood and what the tables know of them.",
    "readings": "The log of a job's meter readings and weights, and what it forecasts.",
    "plugins": "Plugins: what is loaded, what failed and why.",
}

UNITS = Param("units", "--units", TEXT,
              "Units of what is printed, and of numbers typed without one; else those of the job file, the "
              "settings file, or inches", "mm", choices=("in", "mm"))  # fmt: skip
DRAWS = Param("draws", "--draws", WHOLE, "Draws behind each Range", "8192", low=100, high=1_000_000,
              default=8192)  # fmt: skip
SEED = Param("seed", "--seed", WHOLE, "Seed of the draws", "1", low=0, high=2**32 - 1, default=1)
COMMON = (
    UNITS,
    Param("strict", "--strict", FLAG, "Refuse values outside a stated validity range (exit 3)", ""),
    DRAWS,
    SEED,
    Param("json", "--json", FLAG, "One JSON document, in base units", ""),
)
CSV = Param("csv", "--csv", FLAG, "The rows as CSV, in base units", "")


def run(arguments: list[str]) -> int:
    """Run one command line; returns the exit code."""
    as_json = "--json" in arguments
    catalogue = Catalogue(
        lambda: _plugins(enabled="--no-plugins" not in arguments),
        places=lambda: cast("Places", import_module("woodmove.files.places")),
    )
    try:
        command = typer.main.get_command(_app(arguments, catalogue))
        code = command.main(args=arguments or ["--help"], prog_name="woodmove", standalone_mode=False)
        return code if isinstance(code, int) else 0
    except Refusal as fault:
        return _refuse([fault], as_json)
    except Refusals as faults:
        return _refuse(faults.faults, as_json)
    except (KeyboardInterrupt, typer.Abort):
        print("woodmove: interrupted", file=sys.stderr)
        return 130
    except OSError:  # of the system, told by `main`
        raise
    except Exception as problem:
        # Typer's own usage errors; its exception classes have no public name.
        if hasattr(problem, "format_message") and hasattr(problem, "exit_code"):
            return _refuse([_usage(problem, arguments, catalogue)], as_json)
        if os.environ.get("WOODMOVE_TRACEBACK"):
            raise
        text = f"Something went wrong inside woodmove: {type(problem).__name__}: {problem}."
        hint = "This is a fault of woodmove. Set WOODMOVE_TRACEBACK=1 to see where, and report it."
        return _refuse([Refusal("INTERNAL", text, "", hint)], as_json)


def _plugins(*, enabled: bool) -> PluginManager:
    from woodmove.extend.manager import PluginManager

    return PluginManager(enabled=enabled)


def _usage(problem: Any, arguments: Sequence[str], catalogue: Catalogue) -> Refusal:
    context = getattr(problem, "ctx", None)
    path = context.command_path if context else "woodmove"
    text = problem.format_message().strip()
    if text.startswith("No such command") and (missed := _missed(arguments, catalogue)):
        return Refusal(
            "PLUGIN_FAILED",
            f"{text.rstrip('.')}; it may belong to a plugin that failed: {', '.join(missed)}.",
            "",
            "Type woodmove plugins list to see why.",
            exit_code=4,
        )
    return Refusal(
        "USAGE",
        text if text.endswith((".", "?", ")")) else f"{text}.",
        "",
        f"Type {path} -h for what there is.",
        exit_code=problem.exit_code,
    )


def _missed(arguments: Sequence[str], catalogue: Catalogue) -> list[str]:
    """Names of the plugins that may have brought the command that was typed, of one word or two."""
    words = [argument for argument in arguments if not argument.startswith("-")]
    typed = {" ".join(words[:count]) for count in (1, 2)}
    return sorted({plugin for name in typed for plugin in catalogue.failed_plugins("command", name)})


def _refuse(faults: Sequence[Refusal], as_json: bool) -> int:
    code = max((fault.exit_code for fault in faults), key=(0, 1, 3, 2, 4).index)
    if as_json:
        from woodmove.report.document import render_error

        sys.stdout.write(render_error(faults))
        print(f"woodmove: {_one_line(faults[0].text)}", file=sys.stderr)
        return code
    for fault in faults:
        where = f"{fault.file}:{fault.line}: " if fault.line else ""
        print(f"woodmove: {where}{_one_line(fault.text)}", file=sys.stderr)
        if fault.instead:
            print(f"  {_one_line(fault.instead)}", file=sys.stderr)
    return code


def _one_line(text: str) -> str:
    from woodmove.units import printable

    return printable(" ".join(text.split(" "))).replace("\n", " ").replace("\t", " ")


def core_commands(word: str) -> tuple[CommandSpec, ...]:
    """The core commands whose first word is `word`."""
    return import_module(CORE[word]).COMMANDS


def all_commands(catalogue: Catalogue) -> list[CommandSpec]:
    """Every command: core's, then those of plugins."""
    commands = [spec for word in CORE for spec in core_commands(word)]
    # First word -> who has it, and whether it is a group of commands.
    taken: dict[str, tuple[str, bool]] = dict.fromkeys(CORE, ("woodmove itself", False))
    for name, spec in catalogue.commands:
        word, *more = name.split()
        provider = catalogue.commands.provider(name)
        owner, is_group = taken.get(word, (provider, bool(more)))
        if owner == "woodmove itself" or is_group != bool(more):
            catalogue.manager.say(
                f"command {name!r} of plugin {provider} was refused: {owner} already provides {word!r}"
            )
        elif fault := _unmakable(spec, catalogue):
            catalogue.manager.set_item_aside(catalogue.manager.named(provider), fault)
        else:
            taken[word] = (owner, is_group)
            commands.append(spec)
    return commands


def _unmakable(spec: CommandSpec, catalogue: Catalogue) -> SetAside | None:
    """Why no command line can be made of a command of a plugin; None if one can."""
    from woodmove.extend.guard import PluginFault, guarded
    from woodmove.extend.manager import SetAside

    try:
        with guarded():
            alone = typer.Typer(add_completion=False)
            alone.command(help=_help(spec))(_callback(spec, catalogue, "in"))
            typer.main.get_command(alone)
    except PluginFault as fault:
        return SetAside("command", (spec.name,), str(fault))
    return None


def _app(arguments: Sequence[str], catalogue: Catalogue) -> typer.Typer:
    app = typer.Typer(
        help="Moisture and wood movement: how wet wood is and will be, how it moves, what to leave for it.",
        # Rich markup would swallow unit brackets such as [mm].
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        context_settings={"help_option_names": ["-h", "--help"]},
        no_args_is_help=False,
    )

    def root(
        version: bool = typer.Option(False, "--version", is_eager=True, help="Print the version.",
                                     callback=_version),
        no_plugins: bool = typer.Option(False, "--no-plugins", help="Load no plugin at all."),
    ) -> None:  # fmt: skip
        pass

    app.callback()(root)
    word = next((argument for argument in arguments if not argument.startswith("-")), None)
    commands = core_commands(word) if word in CORE else all_commands(catalogue)
    system = units_of_help(arguments)
    groups: dict[str, typer.Typer] = {}
    for spec in commands:
        *path, name = spec.name.split()
        home = app
        if path:
            if path[0] not in groups:
                mates = [other.name.split()[-1] for other in commands if other.name.split()[0] == path[0]]
                groups[path[0]] = typer.Typer(
                    help=GROUPS.get(path[0], f"Of a plugin: {', '.join(mates)}."), rich_markup_mode=None,
                    context_settings={"help_option_names": ["-h", "--help"]},
                )  # fmt: skip
                app.add_typer(groups[path[0]], name=path[0])
            home = groups[path[0]]
        home.command(name, help=_help(spec))(_callback(spec, catalogue, system))
    return app


def _version(wanted: bool) -> None:
    if wanted:
        print(f"woodmove {__version__}")
        raise typer.Exit


def _help(spec: CommandSpec) -> str:
    # \b keeps a paragraph as it is.
    return f"{spec.help}\n\n\b\nExamples:\n" + "\n".join(f"  {example}" for example in spec.examples)


def _callback(spec: CommandSpec, catalogue: Catalogue, system: System) -> Callable[..., int]:
    """A function with the signature that Typer reads the command line from.

    :param system: the units of its help
    """
    params = (*spec.params, *COMMON, *((CSV,) if spec.table else ()))
    options = [param.option for param in params]
    if twice := {option for option in options if options.count(option) > 1}:
        raise ValueError(f"it takes {', '.join(twice)} twice")

    def call(**texts: Any) -> int:
        return _execute(spec, {name: text for name, text in texts.items() if text is not None}, catalogue)

    parameters = [
        inspect.Parameter(
            param.name,
            inspect.Parameter.KEYWORD_ONLY,
            default=_typer_parameter(param, catalogue, system),
            annotation=bool if param.kind is FLAG else str | None,
        )
        for param in params
    ]
    call.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
    call.__annotations__ = {parameter.name: parameter.annotation for parameter in parameters}
    return call


def _typer_parameter(param: Param, catalogue: Catalogue, system: System) -> Any:
    if param.kind is FLAG:
        return typer.Option(False, param.option, help=param.help, show_default=False)
    complete = _completion(param, catalogue)
    metavar = "|".join(param.choices) or param.kind.metavar
    if param.is_argument:
        return typer.Argument(
            None, metavar=param.option, help=param.help, autocompletion=complete, show_default=False
        )
    return typer.Option(
        None, param.option, metavar=metavar, help=_param_help(param, system), autocompletion=complete,
        show_default=False,
    )  # fmt: skip


def _param_help(param: Param, system: System) -> str:
    from woodmove import units

    remarks = []
    if param.required:
        remarks.append("needed")
    if param.kind.bare_unit:
        remarks.append(f"bare number: {units.reader_unit(param.kind.bare_unit, system)}")
    if param.default is not None:
        default = param.default
        if isinstance(default, tuple):
            default = ",".join(str(one) for one in default)
        if isinstance(default, int | float):
            default = units.with_unit(param.name, units.show_number(param.name, default, system), system)
        remarks.append(f"default {default}")
    return param.help + (f" [{'; '.join(remarks)}]" if remarks else "")


def _completion(param: Param, catalogue: Catalogue) -> Callable[[str], list[str]] | None:
    if not param.shelf:
        return list_of(param.choices) if param.choices else None

    def complete(incomplete: str) -> list[str]:
        return [key for key, _ in getattr(catalogue, param.shelf) if key.startswith(incomplete)]

    return complete


def list_of(words: Sequence[str]) -> Callable[[str], list[str]]:
    """A completion of fixed words."""

    def complete(incomplete: str) -> list[str]:
        return [word for word in words if word.startswith(incomplete)]

    return complete


def check_names(
    params: Sequence[Param], values: dict[str, Any], given: Sequence[str], catalogue: Catalogue
) -> list[Refusal]:
    """Faults of values that name nothing on their shelf."""
    faults = []
    for param in params:
        if param.shelf and param.name in given and values.get(param.name) is not None:
            try:
                getattr(catalogue, param.shelf).get(values[param.name])
            except Refusal as fault:
                fault.fields = (param.name,)
                faults.append(fault)
    return faults


def _execute(spec: CommandSpec, texts: dict[str, Any], catalogue: Catalogue) -> int:
    if _is_core(spec):
        answer, text = _answered(spec, texts, catalogue)
        sys.stdout.write(text)
        return _exit_code(answer)
    from woodmove.extend.guard import PluginFault, guarded

    try:
        with guarded(Refusal, Refusals):
            _, text = _answered(spec, texts, catalogue)
    except PluginFault as fault:
        raise Refusal(
            "PLUGIN_FAILED",
            f"The command {spec.name} of plugin {catalogue.commands.provider(spec.name)} failed: {fault}.",
            "",
            "Tell its author, or take it out.",
            exit_code=4,
        ) from None
    sys.stdout.write(text)
    return 0


def _is_core(spec: CommandSpec) -> bool:
    return spec.name.split()[0] in CORE


def _answered(spec: CommandSpec, texts: dict[str, Any], catalogue: Catalogue) -> tuple[Answer, str]:
    """The answer to a command line, and what to print of it."""
    flags = {name: bool(texts.pop(name, False)) for name in ("strict", "json", "csv")}
    switches = [param.name for param in spec.params if param.kind is FLAG]
    texts = {name: str(text) for name, text in texts.items() if name not in switches or text}
    reader = units_of(texts.get("units"))
    texts, bare = with_units(spec.params, texts, reader)
    values, faults = read_all((*spec.params, *COMMON), texts)
    faults = [fault for fault in faults if not set(fault.fields) & {"strict", "json"}]
    faults += check_names(spec.params, values, list(texts), catalogue)
    if flags["json"] and flags["csv"]:
        faults.append(
            Refusal("TWO_FORMATS", "--json and --csv are both given.", "One run prints one format.",
                    "Leave one of them out.", exit_code=2)
        )  # fmt: skip
    if faults:
        raise Refusals(faults)
    common = {param.name: values.pop(param.name) for param in COMMON}
    # The one place where the clock is read.
    request = Request(values, common["draws"], common["seed"], reader, date.today())
    answer = _answer(spec, request, catalogue)
    answer = replace(answer, assumptions=(*bare, *answer.assumptions))
    system = common["units"] or answer.inputs.get("units") or reader
    if flags["strict"]:
        _hold_to_validity(answer, system)
    return answer, _text(answer, spec, system, flags)


def _answer(spec: CommandSpec, request: Request, catalogue: Catalogue) -> Answer:
    try:
        answer = spec.run(request, catalogue)
    except Refusal as fault:
        raise _labelled(fault, spec) from None
    if _is_core(spec):
        return answer
    from woodmove.extend.typed import checked_answer

    return checked_answer(answer)


def _labelled(fault: Refusal, spec: CommandSpec) -> Refusal:
    """The fault with the options that it is about in front, unless a file and a line say where."""
    options = {param.name: param.option for param in spec.params}
    labels = [options[name] for name in fault.fields if name in options]
    if labels and not fault.line and not fault.wrong.startswith(labels[0]):
        fault.wrong = f"{', '.join(labels)}: {fault.wrong}"
    return fault


def _hold_to_validity(answer: Answer, system: System) -> None:
    from woodmove.report.words import sentence

    outside = [warning for warning in answer.warnings if warning.validity]
    if outside:
        raise Refusals(
            [
                Refusal(
                    warning.code,
                    sentence(warning, system),
                    "",
                    "Leave out --strict to compute it all the same.",
                    exit_code=3,
                )
                for warning in outside
            ]
        )  # fmt: skip


def _text(answer: Answer, spec: CommandSpec, system: System, flags: dict[str, bool]) -> str:
    if flags["json"]:
        from woodmove.report import document

        return document.render(answer, system)
    if flags["csv"]:
        from woodmove.report import rows
        from woodmove.report.words import sentence

        tables = [name for name, value in answer.results.items() if isinstance(value, list) and value]
        if not tables:
            raise Refusal(
                "NO_ROWS", f"This answer has no {spec.table} to print as CSV.", "",
                "Leave out --csv, or ask for --json.", exit_code=2,
            )  # fmt: skip
        text = rows.render(answer, spec.table if spec.table in tables else tables[0])
        # Rows have no place for them, and some tell of rows that are not there.
        for warning in answer.warnings:
            print(f"woodmove: {_one_line(sentence(warning, system))}", file=sys.stderr)
        return text
    from woodmove.report import page

    return page.render(answer, system)


def _exit_code(answer: Answer) -> int:
    """0, or what a failed section of a plan makes of it; says which failed."""
    failed = [row for row in answer.results.get("sections", ()) if row.get("cause")]
    # What several sections need, and miss, is told once.
    for reason in dict.fromkeys(row["reason"] for row in failed):
        keys = [row["key"] for row in failed if row["reason"] == reason]
        noun = "section" if len(keys) == 1 else "sections"
        print(f"woodmove: plan {noun} {', '.join(keys)} failed: {_one_line(reason)}", file=sys.stderr)
    causes = [row["cause"] for row in failed]
    if "plugin" in causes:
        return 4
    return 1 if "data" in causes else 0
