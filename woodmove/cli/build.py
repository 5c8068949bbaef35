"""From command specs to a command line."""

from __future__ import annotations

import inspect
import textwrap
from collections.abc import Callable, Sequence
from importlib.metadata import version
from typing import TYPE_CHECKING, Any

import typer
from typer.core import TyperGroup

from woodmove.cli.core import CORE, TABLES, core_commands
from woodmove.cli.execute import COMMON, CSV, execute
from woodmove.cli.outputs import params_of
from woodmove.cli.reader import units_of_help
from woodmove.cli.show import shows_of
from woodmove.contract.commands import LONGEST_LINE, CommandSpec
from woodmove.contract.params import Param
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.params import FLAG, WORDS
from woodmove.units.show import show_number, with_unit
from woodmove.units.systems import System, reader_unit

if TYPE_CHECKING:
    from woodmove.extend.manager import SetAside


# Those that are about the job as a whole and stand first.
JOB_FIRST = ("new", "plan", "check")
GROUPS = {
    "climate": "Places and their air, outdoors and in a room",
    "readings": "The log of your readings, and what it forecasts",
    "list": "What is known: woods, places, screws and more, a table each",
    "show": "All that is known of one of them",
    "plugins": "Whether every plugin works",
}


def all_commands(catalogue: Catalogue) -> list[CommandSpec]:
    """Every command: core's, then those of plugins, then those that come of a plugin's listing."""
    commands = [spec for word in CORE for spec in core_commands(word)]
    # First word -> who has it, and whether it is a group of commands.
    taken: dict[str, tuple[str, bool]] = dict.fromkeys(CORE, ("woodmove itself", False))
    names = {spec.name for spec in commands}
    for name, spec in catalogue.commands:
        word, *more = name.split()
        provider = catalogue.commands.provider(name)
        owner, is_group = taken.get(word, (provider, bool(more)))
        if word in TABLES and more and name not in names:
            owner, is_group = provider, True
        if owner == "woodmove itself" or is_group != bool(more):
            catalogue.manager.say(
                f"command {name!r} of plugin {provider} was refused: {owner} already provides {word!r}"
            )
        elif fault := _unmakable(spec, catalogue):
            catalogue.manager.set_item_aside(catalogue.manager.named(provider), fault)
        else:
            taken.setdefault(word, (owner, is_group))
            commands.append(spec)
    return [*commands, *shows_of(commands)]


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


def make_app(arguments: Sequence[str], catalogue: Catalogue) -> typer.Typer:
    word = next((argument for argument in arguments if not argument.startswith("-")), None)
    commands = core_commands(word) if word in CORE and word not in TABLES else all_commands(catalogue)
    app = typer.Typer(
        cls=_grouped(_headings(commands)) if _wants_help(arguments) else None,
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
    system = units_of_help(arguments)
    groups: dict[str, typer.Typer] = {}
    for spec in commands:
        *path, name = spec.name.split()
        home = app
        if path:
            if path[0] not in groups:
                groups[path[0]] = typer.Typer(
                    help=GROUPS.get(path[0]) or _line_of_group(path[0], commands), rich_markup_mode=None,
                    context_settings={"help_option_names": ["-h", "--help"]},
                )  # fmt: skip
                app.add_typer(groups[path[0]], name=path[0])
            home = groups[path[0]]
        home.command(name, help=_help(spec), short_help=_line(spec))(_callback(spec, catalogue, system))
    return app


def _wants_help(arguments: Sequence[str]) -> bool:
    return not arguments or arguments[0] in ("-h", "--help") or "--help" in arguments or "-h" in arguments


def _headings(specs: Sequence[CommandSpec]) -> dict[str, list[str]]:
    """First words of the commands under headings, in the order of the work."""
    headings: dict[str, list[str]] = {"The job": []}
    staged = [
        (spec.stage, word) for spec in specs
        if spec.stage is not None and (word := spec.name.split()[0]) not in TABLES
    ]  # fmt: skip
    for stage, word in sorted(staged, key=lambda pair: pair[0]):
        if not any(word in words for words in headings.values()):
            headings.setdefault(stage.heading, []).append(word)
    of_all = dict.fromkeys(spec.name.split()[0] for spec in specs)
    for word in of_all:
        if not any(word in words for words in headings.values()):
            headings["The job" if word in JOB_FIRST else "More"] = [
                *headings.get("The job" if word in JOB_FIRST else "More", []), word,
            ]  # fmt: skip
    return headings


def _grouped(headings: dict[str, list[str]]) -> type[TyperGroup]:
    """A group of commands that lists them under headings."""

    class Grouped(TyperGroup):
        def format_commands(self, ctx: Any, formatter: Any) -> None:
            for heading, words in headings.items():
                rows = []
                for word in words:
                    command = self.get_command(ctx, word)
                    if command is not None:
                        rows.append((word, command.get_short_help_str(LONGEST_LINE)))
                if rows:
                    with formatter.section(heading):
                        formatter.write_dl(rows)

    return Grouped


def _version(wanted: bool) -> None:
    if wanted:
        print(f"woodmove {version('woodmove')}")
        raise typer.Exit


def _line(spec: CommandSpec) -> str:
    return spec.line or textwrap.shorten(spec.help.partition(". ")[0], LONGEST_LINE, placeholder="...")


def _line_of_group(word: str, commands: Sequence[CommandSpec]) -> str:
    """What the help says of a plugin's group: of the lines of its questions the shortest, which says least
    of the particular."""
    mates = [spec for spec in commands if spec.name.split()[0] == word]
    return min((_line(spec) for spec in [spec for spec in mates if spec.params] or mates), key=len)


def _help(spec: CommandSpec) -> str:
    # \b keeps a paragraph as it is.
    return f"{spec.help}\n\n\b\nExamples:\n" + "\n".join(f"  {example}" for example in spec.examples)


def _callback(spec: CommandSpec, catalogue: Catalogue, system: System) -> Callable[..., int]:
    """A function with the signature that Typer reads the command line from.

    :param system: the units of its help
    """
    # Those that are needed first.
    own = sorted((param for param in spec.params if param.option), key=lambda param: not param.required)
    params: tuple[Param[Any], ...] = (*own, *COMMON, *((CSV,) if spec.table else ()))
    params += tuple(params_of(spec, catalogue))
    options = [param.option for param in params]
    if twice := {option for option in options if options.count(option) > 1}:
        raise ValueError(f"it takes {', '.join(twice)} twice")

    def call(**texts: Any) -> int:
        # Words that a shell parted are one text again.
        given = {name: text for name, text in texts.items() if text not in (None, [])}
        told = {name: " ".join(text) if isinstance(text, list) else text for name, text in given.items()}
        return execute(spec, told, catalogue)

    parameters = [
        inspect.Parameter(
            param.name,
            inspect.Parameter.KEYWORD_ONLY,
            default=_typer_parameter(param, catalogue, system),
            annotation=_annotation(param),
        )
        for param in params
    ]
    call.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
    call.__annotations__ = {parameter.name: parameter.annotation for parameter in parameters}
    return call


def _annotation(param: Param[Any]) -> Any:
    """What Typer reads for a parameter."""
    if param.kind is FLAG:
        return bool
    return list[str] | None if param.kind is WORDS else str | None


def _typer_parameter(param: Param[Any], catalogue: Catalogue, system: System) -> Any:
    if param.kind is FLAG:
        return typer.Option(False, param.option, help=param.help, show_default=False)
    complete = _completion(param, catalogue)
    metavar = param.kind.metavar if param.registry else "|".join(param.choices) or param.kind.metavar
    if param.is_argument:
        return typer.Argument(
            None, metavar=param.option, help=param.help, autocompletion=complete, show_default=False
        )
    return typer.Option(
        None, param.option, metavar=metavar, help=_param_help(param, system), autocompletion=complete,
        show_default=False,
    )  # fmt: skip


def _word(key: str, part: Param[Any]) -> str:
    """What is typed of a part of a noun."""
    takes = "|".join(part.choices) if part.choices and not part.registry else part.kind.metavar
    return key if part.kind is FLAG else f"{key}={takes}"


def _param_help(param: Param[Any], system: System) -> str:

    remarks = []
    if param.required:
        remarks.append("needed")
    if param.kind.parts and " x " not in param.kind.metavar:
        remarks.append(f"words: {' '.join(_word(key, part) for key, part in param.kind.parts)}")
    if param.kind.bare_unit:
        remarks.append(f"bare number: {reader_unit(param.kind.bare_unit, system)}")
    default = param.default_in(system)
    if default is not None:
        several = default if isinstance(default, tuple) else (default,)
        shown = [
            with_unit(param.name, show_number(param.name, one, system), system)
            if isinstance(one, int | float)
            else str(one)
            for one in several
        ]
        remarks.append(f"default {', '.join(shown)}")
    return param.help + (f" [{'; '.join(remarks)}]" if remarks else "")


def _completion(param: Param[Any], catalogue: Catalogue) -> Callable[[str], list[str]] | None:
    if param.kind.parts:
        # Of a noun the first word.
        param = param.kind.parts[0][1]
    if not param.registry:
        return list_of(param.choices) if param.choices else None

    def complete(incomplete: str) -> list[str]:
        names = (*param.choices, *(key for key, _ in getattr(catalogue, param.registry)))
        return [name for name in names if name.startswith(incomplete)]

    return complete


def list_of(words: Sequence[str]) -> Callable[[str], list[str]]:
    """A completion of fixed words."""

    def complete(incomplete: str) -> list[str]:
        return [word for word in words if word.startswith(incomplete)]

    return complete
