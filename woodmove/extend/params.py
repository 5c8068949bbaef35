"""How the texts of parameters are read: those of a command line and of a job file alike."""

import re
from collections.abc import Callable, Iterable, Mapping
from itertools import zip_longest
from typing import Any

from woodmove.contract.notes import Assumption
from woodmove.contract.params import Param, ParamType, in_a_file, missing, quoted
from woodmove.contract.refusal import Refusal
from woodmove.extend.guard import described
from woodmove.extend.told import pairs_of, parts_of, sides_of
from woodmove.units.parse import (
    TwoReadingsError,
    parse_date,
    parse_humidity_pct,
    parse_length_mm,
    parse_mass_g,
    parse_moisture_pct,
    parse_percent,
    parse_temperature_c,
    parse_time_min,
    parse_whole,
    with_unit_given,
)
from woodmove.units.show import length_text, with_unit
from woodmove.units.systems import SYSTEM_WORDS, System


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
    return tuple(parse_length_mm(part) for part in text.split(","))


LENGTH = ParamType("LENGTH", parse_length_mm, "in")
LENGTHS = ParamType("LENGTH,...", _lengths, "in")
TEMPERATURE = ParamType("TEMP", parse_temperature_c, "°C")
PERCENT = ParamType("PERCENT", parse_percent, "%")
# Of moisture content.
MOISTURE = ParamType("PERCENT", parse_moisture_pct, "%")
HUMIDITY = ParamType("PERCENT", parse_humidity_pct, "%")
MASS = ParamType("WEIGHT", parse_mass_g, "g")
TIME = ParamType("TIME", parse_time_min)
WHOLE = ParamType("NUMBER", parse_whole)
DATE = ParamType("DATE", parse_date)
TEXT = ParamType("TEXT", _text)
# What a shell takes for several words, without quotes: an argument that ends its line.
WORDS = ParamType("TEXT ...", TEXT.parse)
FLAG = ParamType("", _yes)


def text_with_unit(kind: ParamType[Any], text: str, system: System) -> str:
    """The text as `kind` parses it: bare lengths and temperatures have the unit of a system."""
    for key, part in kind.parts:
        if part.kind.bare_unit:
            text = re.sub(
                rf"(?<=\b{key}=)[^\s,]+",
                lambda found, of=part.kind: with_unit_given(found[0], of.bare_unit, system),
                text,
            )
    if len(names := kind.metavar.split(" x ")) > 1:
        sides = sides_of(text)
        given = [
            with_unit_given(side, kind.bare_unit, system) if name == "LENGTH" else side
            for side, name in zip_longest(sides, names[: len(sides)])
        ]
        return " x ".join(given) if given != sides else text
    # Elsewhere a comma stands in a number, and is refused as such.
    several = kind.metavar.endswith(",...") or kind.metavar == "SIZE"
    parts = text.split(",") if several else [text]
    return ",".join(with_unit_given(part, kind.bare_unit, system) for part in parts)


def read_param(param: Param[Any], text: str, label: str | None = None, system: System = "in") -> Any:
    """The value of a parameter in base units.

    :param label: how to name the parameter in an error, e.g. as the key of a job file
    :param system: of the reader, for the examples in it
    :raises Refusal: text that is not of this kind (exit 2) or a value that is not allowed (exit 1)
    """
    label = label or param.option
    try:
        value = param.kind.parse(text)
    except Exception as problem:
        # ValueError says what is wrong with the text; a plugin's own kind may not say it so well.
        why = str(problem) if isinstance(problem, ValueError) else f"it cannot be read ({described(problem)})"
        raise Refusal(
            "UNREADABLE",
            f"{label}: {why}.",
            f"{label} takes {_allowed(param, system)}.",
            _instead(param, label, _meant(param, text, problem, system)),
            fields=(param.name,),
            exit_code=2,
        ) from None
    # What is more than a word, its kind has judged.
    words = () if param.registry else param.choices
    wrong_word = words and isinstance(value, str | int) and str(value) not in words
    numbers = value if isinstance(value, tuple) else (value,)
    out_of_bounds = any(
        (param.low is not None and number < param.low) or (param.high is not None and number > param.high)
        for number in numbers
        if isinstance(number, int | float)
    )
    if wrong_word or out_of_bounds:
        raise Refusal(
            "NOT_ALLOWED" if wrong_word else "OUT_OF_BOUNDS",
            f"{label} cannot be {text}.",
            f"{label} takes {_allowed(param, system)}.",
            _instead(param, label, param.example_in(system)),
            fields=(param.name,),
            exit_code=2 if wrong_word else 1,
        )
    return value


def values_told(words: list[str], keys: Mapping[str, Param[Any]], first: str = "") -> dict[str, Any]:
    """The values, by name, of a noun that words tell.

    :param first: key of the bare words before any other
    :raises ValueError: a word that says nothing of it, or what cannot be
    """
    values: dict[str, Any] = {}
    flags = [key for key, param in keys.items() if param.kind is FLAG]
    for key, text in pairs_of(words, keys, first, flags):
        try:
            values[keys[key].name] = read_param(keys[key], text, key)
        except Refusal as fault:
            raise ValueError(f"{fault.wrong.rstrip('.')}; {fault.allowed.rstrip('.')}") from None
    return values


def noun(metavar: str, keys: Mapping[str, Param[Any]], first: str = "") -> ParamType[dict[str, Any]]:
    """The kind of a text that tells one noun: ``white-oak width=3in``.

    :param metavar: the noun in capitals
    :param keys: of what is said of it, each with the parameter of that name, which has no option of its own
    :param first: key of the bare words before any other
    """

    def told(text: str) -> dict[str, Any]:
        several = list(parts_of(TEXT.parse(text), metavar.lower()))
        if len(several) > 1:
            raise ValueError(
                f"{text!r} tells several, and there is one {metavar.lower()}: its words have blanks between, "
                "no commas"
            )
        return values_told(several[0], keys, first)

    return ParamType(metavar, told, parts=tuple(keys.items()))


# A length that stands behind something else, with a blank and no x between.
_LENGTH_BEHIND = re.compile(r"(\S+)\s+(\d[\d./-]*(?:mm|cm|in|\"))")


def sized(metavar: str, keys: Mapping[str, Param[Any]]) -> ParamType[dict[str, Any]]:
    """The kind of a text of sides with an x between, the later ones left out or not: ``24in x 40in``.

    :param metavar: such as ``SCREW x LENGTH``
    :param keys: of the sides, each with the parameter of that name, which has no option of its own
    """

    def told(text: str) -> dict[str, Any]:
        sides = sides_of(TEXT.parse(text))
        if len(sides) > len(keys):
            raise ValueError(f"{text!r} is more than {metavar}")
        if len(sides) < len(keys) and (found := _LENGTH_BEHIND.fullmatch(text.strip())):
            raise ValueError(f"{text!r} lacks the x between: write {found[1]} x {found[2]}")
        return values_told([f"{key}={side}" for key, side in zip(keys, sides, strict=False)], keys)

    return ParamType(metavar, told, "in", tuple(keys.items()))


# What follows an option in a hint: a text in quotes, or one word that is no "and" or "or".
TYPED = r"('[^']*'|(?!(?:and|or)\b)[\w./-]*\w)"


def hint_in(system: System, hint: str, params: Iterable[Param[Any]]) -> str:
    """A hint with the examples that a reader of a system would type."""
    for param in params if system == "mm" else ():
        if param.option:
            hint = re.sub(
                rf"(?<={re.escape(param.option)} ){TYPED}", lambda m, of=param: _metric(of, m[0]), hint
            )
    return hint


def _metric(param: Param[Any], text: str) -> str:
    if param.kind is LENGTH and re.search(r"in|ft", text):
        return f"{parse_length_mm(text):.0f}mm"
    return param.example_mm if param.example_mm and text == param.example else text


def _instead(param: Param[Any], label: str, example: str) -> str:
    if param.kind.parts and example == param.example:
        return "Mend that word, and keep the others."
    if param.is_argument:
        return f"Type {example} in its place, for example."
    if label != param.option:
        return in_a_file(label, example)
    return f"Type {label} {quoted(example)}, for example."


def _meant(param: Param[Any], unreadable: str, problem: Exception, system: System) -> str:
    """The percentage where a fraction was typed, the same text with points for decimal commas where that
    reads, or the example."""
    if isinstance(problem, TwoReadingsError) and (param.high is None or problem.meant_pct <= param.high):
        return f"{problem.meant_pct:g}"

    def reads(text: str) -> bool:
        try:
            param.kind.parse(text_with_unit(param.kind, text, "in"))
        except Exception:
            return False
        return True

    pointed = re.sub(r"(?<=\d),(?=\d)", ".", unreadable)
    return pointed if reads(pointed) and not reads(unreadable) else param.example_in(system)


def _allowed(param: Param[Any], system: System) -> str:
    if param.choices:
        return "one of " + ", ".join(param.choices)
    if param.kind is FLAG:
        return "true or false"
    kinds = {
        "LENGTH": "a length", "LENGTH,...": "lengths with commas between, each", "TEMP": "a temperature",
        "PERCENT": "a percentage", "NUMBER": "a whole number", "DATE": "a date", "DEGREES": "an angle",
        "WEIGHT": "a weight", "TIME": "a span of time", "ROOMS": "rooms with commas between",
        "SIZE": "a thickness and a width, such as 45mm x 195mm" if system == "mm"
        else "a size as sold, such as 2x8, or as measured, such as 38mm x 184mm",
    }  # fmt: skip
    words = [kinds.get(word, word) for word in param.kind.metavar.split("|")]
    # A name in capitals that nothing explains says less than an example.
    told = param.kind.parts or any(word.isupper() and word not in kinds for word in words)
    what = f"text such as {param.example_in(system)}" if told else " or ".join(words)
    bounds = [_bound(param, b) for b in (param.low, param.high)]
    if bounds[0] and bounds[1]:
        return f"{what} from {bounds[0]} to {bounds[1]}"
    if bounds[0]:
        return f"{what} of at least {bounds[0]}"
    return f"{what} of at most {bounds[1]}" if bounds[1] else what


def _bound(param: Param[Any], bound: float | None) -> str:
    if bound is None:
        return ""
    if param.kind.bare_unit == "in":
        return length_text(bound)
    if param.kind is TEMPERATURE:
        return f"{bound:.10g} °C ({bound * 1.8 + 32.0:.0f} °F)"
    return with_unit(param.name, f"{bound:.10g}", "mm")


def with_units(
    params: Iterable[Param[Any]],
    texts: Mapping[str, str],
    system: System,
    label: Callable[[Param[Any]], str] = lambda p: p.option,
) -> tuple[dict[str, str], tuple[Assumption, ...]]:
    """The texts of several parameters, bare lengths and temperatures with the unit of a system.

    :param label: how a parameter is named
    :returns: the texts, and a note of those that got a unit, if any did
    """
    given, given_units = dict(texts), []
    for param in params:
        if param.name in texts:
            given[param.name] = text = text_with_unit(param.kind, texts[param.name], system)
            if text != texts[param.name]:
                given_units.append(f"{label(param)} {text}")
    words = f"Numbers without a unit are read in {SYSTEM_WORDS[system]}: {', '.join(given_units)}."
    return given, (Assumption("BARE_NUMBERS", words),) if given_units else ()


def read_all(
    params: Iterable[Param[Any]],
    texts: Mapping[str, str],
    label: Callable[[Param[Any]], str] = lambda p: p.option,
    system: System = "in",
) -> tuple[dict[str, Any], list[Refusal]]:
    """Read the texts of several parameters, by parameter name.

    :param label: how an error names a parameter
    :param system: of the reader: some defaults and examples are round in one or the other
    :returns: the values, defaults filled in, and every fault
    """
    values: dict[str, Any] = {}
    told: dict[str, Any] = {}
    faults: list[Refusal] = []
    for param in params:
        values[param.name] = False if param.kind is FLAG else param.default_in(system)
        if param.name in texts:
            try:
                value = read_param(param, texts[param.name], label(param), system)
            except Refusal as fault:
                faults.append(fault)
                continue
            if not param.kind.parts:
                values[param.name] = value
                continue
            told |= value
            if (value.keys() - {param.name}) & texts.keys():
                faults.append(_twice(param, label(param)))
        elif param.required:
            faults.append(missing(param, label(param), system))
    return values | told, faults


def _twice(param: Param[Any], label: str) -> Refusal:
    """The fault of a text that tells what is told by itself too."""
    return Refusal(
        "SAID_TWICE", f"{label} tells what is told beside it too.", "Each thing is told once.",
        "Take one of them out.", fields=(param.name,), exit_code=2,
    )  # fmt: skip
