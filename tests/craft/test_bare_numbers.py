"""A number that is typed without a unit is in the units that its reader works in.

What a maker expects, counted by hand (common practice): a rule in millimetres is read in millimetres, a
thermometer in °F is read in °F, and a number of the one is never taken for the other.
"""

from typing import Annotated

import pytest

from woodmove.cli import execute as app
from woodmove.cli.build import all_commands
from woodmove.contract.answer import Answer, Verdict
from woodmove.contract.notes import Note
from woodmove.contract.shown import Shown, results
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.manager import PluginManager, installed

COMMANDS = all_commands(Catalogue(lambda: PluginManager(installed())))
MONTHS = 12


@results
class Done:
    """What every question answers here."""

    done: Annotated[bool, Shown("done")]


def holding(unit):
    """Commands that take a bare number of a unit, as parameters of a test."""
    specs = [spec for spec in COMMANDS if any(param.kind.bare_unit == unit for param in spec.params)]
    assert len(specs) > 5
    return pytest.mark.parametrize("spec", specs, ids=lambda spec: spec.name)


def typed_numbers(spec, unit):
    """Each number of a command that has a unit: the parameter that is typed, that of the number, and the text
    around it."""
    for param in spec.params:
        if not param.option or param.kind.metavar == "SIZE":
            continue
        if not param.kind.parts and param.kind.bare_unit == unit:
            yield param, param, "{}"
        for number, (key, part) in enumerate(param.kind.parts):
            if part.kind.bare_unit == unit:
                before = [f"{before.example} x " for _, before in param.kind.parts[:number]]
                yield param, part, "".join(before) + "{}" if " x " in param.kind.metavar else f"{key}={{}}"


@pytest.fixture
def understood(cli, monkeypatch):
    """Types a command and returns the values that its question is asked with; none where it is refused."""
    asked = []

    def answer(spec, request, catalogue):
        asked.append(request.values)
        return Answer(Verdict("know", (Note("DONE", "Done."),)), Done(done=True))

    monkeypatch.setattr(app, "_answer", answer)

    def type_in(spec, texts, *more):
        needed = {param.name: param.example for param in spec.params if param.required} | texts
        words = [
            word
            for param in spec.params
            if param.name in needed
            for word in ([] if param.is_argument else [param.option]) + [needed[param.name]]
        ]
        done = cli([*spec.name.split(), *words, *more])
        return asked.pop() if done.code == 0 else done.err

    return type_in


@holding("in")
def test_120_of_a_reader_in_millimetres_is_120_mm(understood, spec):
    """C19. Where 120 mm is too much for what is asked, 12 or 1 is typed."""
    for whole, param, text in typed_numbers(spec, "in"):
        typed = next(n for n in (120, 12, 1) if n <= (param.high or n))
        values = understood(spec, {whole.name: text.format(typed)}, "--units", "mm")
        assert values[param.name] in (typed, (typed,)), whole.option


@holding("in")
def test_a_section_of_a_reader_in_millimetres(understood, spec):
    for param in spec.params:
        if param.kind.metavar == "SIZE":
            size = understood(spec, {param.name: "38 x 184"}, "--units", "mm")[param.name]
            assert (size.thickness_mm, size.width_mm) == (38, 184)
            # As sold: a 2x10 is dressed to 1-1/2 x 9-1/4 in (PS 20) for every reader.
            for units in ("in", "mm"):
                sold = understood(spec, {param.name: "2x10"}, "--units", units)[param.name]
                assert (sold.thickness_mm, sold.width_mm) == pytest.approx((38.1, 234.95))


@holding("°C")
def test_40_of_a_reader_in_inches_is_40_degrees_fahrenheit_or_nothing(understood, spec):
    """C20. 40 °F is 4.44 °C; 104 °F, which is 40 °C, never."""
    for whole, param, text in typed_numbers(spec, "°C"):
        count = MONTHS if param.kind.metavar.endswith(",...") else 1
        for units in ((), ("--units", "in")):
            values = understood(spec, {whole.name: text.format(",".join(["40"] * count))}, *units)
            if isinstance(values, str):
                assert f"{param.option} cannot be 40F" in values
            else:
                read = values[param.name]
                assert read == pytest.approx([40 / 9] * count if count > 1 else 40 / 9)


@holding("°C")
def test_20_of_a_reader_in_millimetres_is_20_degrees_celsius(understood, spec):
    for whole, param, text in typed_numbers(spec, "°C"):
        count = MONTHS if param.kind.metavar.endswith(",...") else 1
        typed = text.format(",".join(["20"] * count))
        read = understood(spec, {whole.name: typed}, "--units", "mm")[param.name]
        assert read == ((20.0,) * count if count > 1 else 20.0)


def test_bare_numbers_beside_a_job_are_in_its_units(cli, tmp_path):
    """A job in millimetres: its list's bare lengths, and what is typed beside it, are millimetres."""
    path = tmp_path / "job.toml"
    path.write_text(
        '[job]\nunits = "mm"\n[wood]\nspecies = "norway-spruce"\n[pile]\ninto = 2\n'
        'boards = "name=A size=45x195 length=2400 pith_depth=40, name=B size=45x195 pith_depth=40"\n'
    )
    found = cli.json(f"rip --job {path} --draws 128")
    strips = found["results"]["strips_in_ends"]
    assert {strip["width_mm"] for strip in strips} == {195.0}
    assert {strip["pith_depth_mm"] for strip in strips} == {40.0}
    typed = cli.json(f"width --job {path} --width 700 --rings flat --mc-now 8 --mc-low 7 --mc-high 11")
    assert typed["inputs"]["top_width_mm"] == 700.0
