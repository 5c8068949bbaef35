"""One run of the command line."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import TYPE_CHECKING, Any, cast

import typer

from woodmove.cli.build import make_app
from woodmove.cli.core import TABLES
from woodmove.contract.refusal import Refusal, Refusals
from woodmove.extend.catalogue import Catalogue
from woodmove.units.show import one_line

if TYPE_CHECKING:
    from woodmove.extend.catalogue import Places
    from woodmove.extend.manager import PluginManager


def run(arguments: list[str]) -> int:
    """Run one command line; returns the exit code."""
    as_json = "--json" in arguments
    if not arguments or (len(arguments) == 1 and arguments[0] in TABLES):
        arguments = [*arguments, "--help"]  # which tells what there is
    catalogue = Catalogue(
        lambda: _plugins(enabled="--no-plugins" not in arguments),
        places=lambda: cast("Places", import_module("woodmove.files.air.places")),
    )
    try:
        command = typer.main.get_command(make_app(arguments, catalogue))
        code = command.main(args=arguments, prog_name="woodmove", standalone_mode=False)
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
            "Type woodmove list plugins to see why.",
            exit_code=4,
        )
    tables = getattr(getattr(context, "command", None), "commands", None)
    if text.startswith("No such command") and tables and path.split()[-1] in TABLES:
        return Refusal(
            "USAGE",
            text.replace("No such command", "There is no table"),
            f"There are: {', '.join(tables)}.",
            f"Type {path} {next(iter(tables))}, for example.",
            exit_code=problem.exit_code,
        )
    if "=" in text and text.startswith("Got unexpected extra argument"):
        return Refusal(
            "USAGE", f"{text}.", "A text of several words stands in quotes.",
            "Type --base 'white-oak mc=12', for example.", exit_code=problem.exit_code,
        )  # fmt: skip
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
        print(f"woodmove: {one_line(faults[0].text)}", file=sys.stderr)
        return code
    for fault in faults:
        where = f"{fault.file}:{fault.line}: " if fault.line else ""
        print(f"woodmove: {where}{one_line(fault.text)}", file=sys.stderr)
        if fault.instead:
            print(f"  {one_line(fault.instead)}", file=sys.stderr)
    return code
