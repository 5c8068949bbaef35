"""Parameters as data: what a command takes, how its text is read, and where it stands in a job file.

One Param serves the command line, the job file, the help and the error messages, so that all four
agree.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from woodmove import units
from woodmove.extend.guard import told
from woodmove.shop.answer import Assumption, Refusal
from woodmove.units import System


@dataclass(frozen=True, slots=True)
class Kind:
    """How the text of a parameter is read.

    :param metavar: what the help prints for the value; with ``,...`` at its end for several, commas between
    :param parse: text to a value in base units; raises ValueError, with what is wrong as its message
    :param bare_unit: what a number without a unit means. "in" stands for lengths and "°C" for temperatures:
        theirs is the reader's unit, and `parse` is handed the number with it
    """

    metavar: str
    parse: Callable[[str], Any]
    bare_unit: str = ""

    def with_unit(self, text: str, system: System) -> str:
        """The text as `parse` takes it: bare lengths and temperatures have the unit of a system."""
        # Elsewhere a comma stands in a number, and is refused as such.
        parts = text.split(",") if self.metavar.endswith(",...") else [text]
        return ",".join(units.with_unit_given(part, self.bare_unit, system) for part in parts)


def _text(text: str) -> str:
    if not text.strip():
        raise ValueError("there is nothing in it")
    if any(ord(c) < 32 or 127 <= ord(c) < 160 for c in text):
        raise ValueError("it holds control characters")
    return text.strip()


def _yes(text: str) -> bool:
    if text.lower() not in ("true", "false"):
        raise ValueError(f"{text!r} is neither true nor false")
    return text.lower() == "true"


def _lengths(text: str) -> tuple[float, ...]:
    return tuple(units.parse_length_mm(part) for part in text.split(","))


LENGTH = Kind("LENGTH", units.parse_length_mm, "in")
LENGTHS = Kind("LENGTH,...", _lengths, "in")
TEMPERATURE = Kind("TEMP", units.parse_temperature_c, "°C")
PERCENT = Kind("PERCENT", units.parse_percent, "%")
MASS = Kind("WEIGHT", units.parse_mass_g, "g")
TIME = Kind("TIME", units.parse_time_min, "min")
WHOLE = Kind("NUMBER", units.parse_whole)
DATE = Kind("DATE", units.parse_date)
TEXT = Kind("TEXT", _text)
FLAG = Kind("", _yes)


@dataclass(frozen=True, slots=True)
class Param:
    """One parameter of a command.

    :param name: key in the request, in base units with the unit at its end: ``top_width_mm``
    :param option: as typed: ``--top-width``; without dashes for a positional argument
    :param kind: how its text is read
    :param help: one line
    :param example: a value that works, for error messages and for the job file
    :param job: ``table.key`` in a job file, empty if it has no place there
    :param required: True if the command cannot do without
    :param default: value in base units when it is not given
    :param low: lowest value allowed, in base units
    :param high: highest value allowed, in base units
    :param choices: the words allowed, empty for any
    :param shelf: shelf of the catalogue that the value names an item of: "species", "climates",
        "screws", "washers" or none; unknown names are refused and the shell completes known ones
    """

    name: str
    option: str
    kind: Kind
    help: str
    example: str
    job: str = ""
    required: bool = False
    default: Any = None
    low: float | None = None
    high: float | None = None
    choices: tuple[str, ...] = ()
    shelf: str = ""

    def but(self, **changes: Any) -> "Param":
        """The same parameter with some fields changed."""
        return replace(self, **changes)

    @property
    def is_argument(self) -> bool:
        """True for a positional argument."""
        return not self.option.startswith("-")

    def read(self, text: str, label: str | None = None) -> Any:
        """The value in base units.

        :param label: how to name the parameter in an error, e.g. as the key of a job file
        :raises Refusal: text that is not of this kind (exit 2) or a value that is not allowed (exit 1)
        """
        label = label or self.option
        try:
            value = self.kind.parse(text)
        except Exception as problem:
            # ValueError says what is wrong with the text; a plugin's own kind may not say it so well.
            why = str(problem) if isinstance(problem, ValueError) else f"it cannot be read ({told(problem)})"
            raise Refusal(
                "UNREADABLE",
                f"{label}: {why}.",
                f"{label} takes {self._allowed()}.",
                self._instead(label, self._meant(text)),
                fields=(self.name,),
                exit_code=2,
            ) from None
        wrong_word = self.choices and str(value) not in self.choices
        numbers = value if isinstance(value, tuple) else (value,)
        out_of_bounds = any(
            (self.low is not None and number < self.low) or (self.high is not None and number > self.high)
            for number in numbers
            if isinstance(number, int | float)
        )
        if wrong_word or out_of_bounds:
            raise Refusal(
                "NOT_ALLOWED" if wrong_word else "OUT_OF_BOUNDS",
                f"{label} cannot be {text}.",
                f"{label} takes {self._allowed()}.",
                self._instead(label, self.example),
                fields=(self.name,),
                exit_code=2 if wrong_word else 1,
            )
        return value

    def _instead(self, label: str, example: str) -> str:
        if self.is_argument:
            return f"Type {example} in its place, for example."
        if label != self.option:
            return _in_a_file(label, example)
        return f"Type {label} {example}, for example."

    def _meant(self, unreadable: str) -> str:
        """The same text with points for decimal commas where that reads, or the example."""

        def reads(text: str) -> bool:
            try:
                self.kind.parse(self.kind.with_unit(text, "in"))
            except Exception:
                return False
            return True

        pointed = re.sub(r"(?<=\d),(?=\d)", ".", unreadable)
        return pointed if reads(pointed) and not reads(unreadable) else self.example

    def _allowed(self) -> str:
        if self.choices:
            return "one of " + ", ".join(self.choices)
        if self.kind is FLAG:
            return "true or false"
        kinds = {
            "LENGTH": "a length", "LENGTH,...": "lengths with commas between, each", "TEMP": "a temperature",
            "PERCENT": "a percentage", "NUMBER": "a whole number", "DATE": "a date", "DEGREES": "an angle",
            "WEIGHT": "a weight", "TIME": "a span of time",
            "SIZE": "a size as sold, such as 2x8, or as measured, such as 38mm x 184mm",
        }  # fmt: skip
        words = [kinds.get(word, word) for word in self.kind.metavar.split("|")]
        what = " or ".join(words) if self.kind is not TEXT else f"text such as {self.example}"
        bounds = [self._bound(b) for b in (self.low, self.high)]
        if bounds[0] and bounds[1]:
            return f"{what} from {bounds[0]} to {bounds[1]}"
        if bounds[0]:
            return f"{what} of at least {bounds[0]}"
        return f"{what} of at most {bounds[1]}" if bounds[1] else what

    def _bound(self, bound: float | None) -> str:
        if bound is None:
            return ""
        if self.kind.bare_unit == "in":
            return units.length_text(bound)
        return units.with_unit(self.name, f"{bound:.10g}", "mm")


@dataclass(frozen=True, slots=True)
class Request:
    """The values of a command's parameters, in base units; a parameter that was not given has its default.

    :param draws: how many draws go into each Range
    :param seed: of the draws; the same seed gives the same Ranges
    :param units: those of bare lengths in lists, such as the rows of a pile; None where nobody says, and
        each must carry its own
    :param clock: the day by the computer's clock, which the edge reads once
    """

    values: Mapping[str, Any]
    draws: int = 8192
    seed: int = 1
    units: System | None = "in"
    clock: date = date.min

    def __getitem__(self, name: str) -> Any:
        return self.values[name]

    def get(self, name: str) -> Any:
        """The value, or None if this command has no such parameter."""
        return self.values.get(name)

    def inputs(self) -> dict[str, Any]:
        """What an Answer says of its inputs: every value that is there, the defaults too."""
        plain = (str, int, float, tuple, date)
        return {
            name: value if isinstance(value, plain) else str(value)
            for name, value in self.values.items()
            if value is not None and value is not False
        }


def _in_a_file(place: str, example: str) -> str:
    table, _, key = place.partition(".")
    return f'Write {key} = "{example}" in [{table}], for example.'


def _add(param: Param, label: str) -> str:
    if param.is_argument:
        return f"Type {param.example} there, for example."
    if label == param.option:
        return f"Add {label} {param.example}, for example."
    return _in_a_file(label, param.example)


def with_units(
    params: Iterable[Param],
    texts: Mapping[str, str],
    system: System,
    label: Callable[[Param], str] = lambda p: p.option,
) -> tuple[dict[str, str], tuple[Assumption, ...]]:
    """The texts of several parameters, bare lengths and temperatures with the unit of a system.

    :param label: how a parameter is named
    :returns: the texts, and a note of those that got a unit, if any did
    """
    given, told = dict(texts), []
    for param in params:
        if param.name in texts:
            given[param.name] = text = param.kind.with_unit(texts[param.name], system)
            if text != texts[param.name]:
                told.append(f"{label(param)} {text}")
    words = f"Numbers without a unit are read in {units.SYSTEM_WORDS[system]}: {', '.join(told)}."
    return given, (Assumption("BARE_NUMBERS", words),) if told else ()


def read_all(
    params: Iterable[Param], texts: Mapping[str, str], label: Callable[[Param], str] = lambda p: p.option
) -> tuple[dict[str, Any], list[Refusal]]:
    """Read the texts of several parameters, by parameter name.

    :param label: how an error names a parameter
    :returns: the values, defaults filled in, and every fault
    """
    values: dict[str, Any] = {}
    faults: list[Refusal] = []
    for param in params:
        values[param.name] = False if param.kind is FLAG else param.default
        if param.name in texts:
            try:
                values[param.name] = param.read(texts[param.name], label(param))
            except Refusal as fault:
                faults.append(fault)
        elif param.required:
            faults.append(
                Refusal(
                    "MISSING",
                    f"{label(param)} is missing.",
                    f"It is needed: {param.help[0].lower()}{param.help[1:].rstrip('.')}.",
                    _add(param, label(param)),
                    fields=(param.name,),
                    exit_code=2,
                )
            )
    return values, faults
