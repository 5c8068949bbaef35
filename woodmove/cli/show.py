"""`show TABLE KEY` for every table without a `show` of its own: its listing is asked, the row told whole."""

from collections.abc import Iterator, Sequence
from dataclasses import is_dataclass, make_dataclass, replace
from keyword import iskeyword
from typing import Annotated, Any, cast

from woodmove.contract.answer import Answer, Table, know
from woodmove.contract.commands import CommandSpec
from woodmove.contract.notes import note
from woodmove.contract.params import Param, Request
from woodmove.contract.refusal import Refusal
from woodmove.contract.shown import Shown, fields_of
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.params import TEXT
from woodmove.extend.registry import closest
from woodmove.extend.slug import slug

# The cells of a row: the name of the column, how it is shown, what stands in it.
Row = list[tuple[str, Shown, Any]]

ROW = note("ROW", "{key}: one of {count} in {listing}.", key=None, count=None, listing=None)


def shows_of(commands: Sequence[CommandSpec]) -> list[CommandSpec]:
    """A command for each listing among some commands, but for tables that bring a `show` themselves."""
    names = {spec.name for spec in commands}
    return [
        _show(spec)
        for spec in commands
        if spec.name.startswith("list ") and _named(spec) not in names
        and not any(param.name == "key" for param in spec.params)
    ]  # fmt: skip


def provider_of(spec: CommandSpec, catalogue: Catalogue) -> str:
    """Name of the plugin that a command comes from, or the table of which it shows a row."""
    own = spec.name in dict(catalogue.commands)
    return catalogue.commands.provider(spec.name if own else spec.name.replace("show ", "list ", 1))


def _named(listing: CommandSpec) -> str:
    return listing.name.replace("list ", "show ", 1)


def _show(listing: CommandSpec) -> CommandSpec:
    typed = f"woodmove {listing.name}"

    def run(request: Request, catalogue: Catalogue) -> Answer[Any]:
        answer = listing.run(request, catalogue)
        rows = {str(row[0][2]): row for row in _rows(answer.results)}
        row = _found(request["key"], rows, typed)
        cells = [value for _, _, value in row]
        return replace(
            answer,
            verdict=know(ROW(key=str(cells[0]), count=len(rows), listing=typed)),
            results=_whole(row),
            sources=tuple(source for source in answer.sources if source in cells),
        )

    return CommandSpec(
        _named(listing),
        f"One row of {typed}, with all that is known of it.",
        (typed,),
        (Param("key", "KEY", TEXT, f"Key of the row: {typed} prints them", "KEY", required=True),
         *listing.params),
        run,
        line=listing.line,
        stage=listing.stage,
    )  # fmt: skip


def _rows(results: Any) -> Iterator[Row]:
    """The rows of every table of the results of a listing."""
    for field in fields_of(cast("type[Any]", type(results))):
        value = getattr(results, field.name)
        if isinstance(value, Table):
            for cells in value.rows:
                yield [
                    (name, how, cell) for (name, how), cell in zip(value.columns.items(), cells, strict=True)
                ]
        elif isinstance(value, tuple):
            for row in filter(is_dataclass, cast("tuple[Any, ...]", value)):
                yield [(one.name, one.shown, getattr(row, one.name)) for one in fields_of(type(row))]


def _found(key: str, rows: dict[str, Row], typed: str) -> Row:
    names = {slug(known): known for known in rows}
    if slug(key) in names:
        return rows[names[slug(key)]]
    near = closest(key, names)
    raise Refusal(
        "UNKNOWN_KEY",
        f"There is no {key!r} in {typed}.",
        f"The closest known: {', '.join(near)}." if near else "Nothing there comes close.",
        f"Type {typed} to see all of them.",
        fields=("key",),
    )


def _whole(row: Row) -> Any:
    """Results whose figures are the cells of a row, all of them to be printed."""
    shown = [(_identifier(name), Annotated[Any, replace(how, level="key")]) for name, how, _ in row]
    return make_dataclass("Row", shown, frozen=True)(*(value for _, _, value in row))


def _identifier(name: str) -> str:
    """The name of a column, which may be any text where it is made of a reader's file."""
    word = "".join(letter if letter.isalnum() else "_" for letter in name)
    return f"_{word}" if iskeyword(word) or not word.isidentifier() else word
