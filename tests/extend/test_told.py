"""Nouns that are told in one text: the same words typed, in a job file and from a script."""

import pytest

from woodmove.cli.script import ask
from woodmove.contract.refusal import Refusals
from woodmove.extend.told import pairs_of, parts_of, sides_of

FEW = "--draws 128"
TOP = {
    "species": "douglas-fir-coast", "rings": "45", "width": "30in", "thickness": "3in", "mc_now": "8",
    "mc_low": "6", "mc_high": "11",
}  # fmt: skip
LINE = "slots " + " ".join(f"--{name.replace('_', '-')} {text}" for name, text in TOP.items()) + f" {FEW}"
JOB = """\
[wood]
species = "douglas-fir-coast"
rings = "45"
mc_now = 8
[top]
width = "30in"
thickness = "3in"
[room]
mc_low = 6
mc_high = 11
[base]
"""


@pytest.fixture
def job(tmp_path):
    def written(base: str) -> str:
        path = tmp_path / "job.toml"
        path.write_text(JOB + base, encoding="utf-8")
        return str(path)

    return written


def planned(cli, path: str):
    (slots,) = (part for part in cli.results(f"plan {path} {FEW}")["sections"] if part["key"] == "slots")
    return slots


def test_a_base_says_the_same_typed_and_in_a_job(cli, job):
    typed = cli.json(f"{LINE} --base 'white-oak mc=13 width=3in rails=3 counterbore=1/2in'")
    path = job('material = "white-oak"\nmc = 13\nwidth = "3in"\nrails = 3\ncounterbore = "1/2in"\n')
    assert planned(cli, path)["answer"] == typed
    assert typed["inputs"]["rail_width_mm"] == pytest.approx(76.2)
    assert typed["results"]["rails"]["under_head_mm"] == pytest.approx(25.4)
    # Oak moves more than the fir of the top.
    fir = cli.results(f"{LINE} --base 'wood mc=13 width=3in rails=3 counterbore=1/2in'")["rails"]
    assert typed["results"]["rails"]["shrinks_mm"]["high"] > fir["shrinks_mm"]["high"]


def test_a_base_that_is_typed_replaces_that_of_the_job(cli, job):
    path = job('material = "wood"\nmc = 13\nthickness = "1-1/2in"\n')
    found = cli.json(f"slots --job {path} --base steel {FEW}")
    assert found["results"]["rails"]["material"] == "steel"
    assert found["results"]["rails"]["under_head_mm"] == pytest.approx(3.175)  # the usual one
    (said,) = (note["text"] for note in found["assumptions"] if note["code"] == "FROM_JOB")
    assert "base." not in said
    (said,) = (
        note["text"]
        for note in cli.json(f"slots --job {path} {FEW}")["assumptions"]
        if note["code"] == "FROM_JOB"
    )
    assert "base.material, base.mc, base.thickness" in said


def test_what_a_text_and_a_key_both_say_is_refused_at_its_line(cli, job):
    path = job('material = "wood mc=12"\nmc = 13\n')
    done = cli(f"check {path}")
    assert done.code == 1
    assert "job.toml:12: base.material tells what is told beside it too" in done.err


def test_a_species_that_is_none_is_refused_at_its_line(cli, job):
    path = job('material = "glass"\n')
    done = cli(f"check {path}")
    assert done.code == 1
    assert "job.toml:12: There is no species 'glass'" in done.err
    assert "Or say wood, plywood, steel, aluminium." in done.err


def test_a_job_is_told_what_to_write(cli, job):
    long = 'material = "wood"\nthickness = "3in"\n[slots]\nscrew = "no-10 x 2in"\n'
    for base, says in (
        (long, "(counterbore= in [base])"),
        ("mc = 12\n", 'Write base.material = "wood", for example.'),
    ):
        path = job(base)
        done = cli(f"check {path}")
        assert done.code == 1
        assert says in " ".join(done.err.split())


def test_a_text_of_a_job_tells_the_finish_the_screw_and_the_span(cli, job):
    path = job(
        'material = "wood"\n[slots]\nscrew = "no-10 x 2-1/2in"\nhardware = "swivel=3/4in"\n'
        '[holes]\npitch = "4in"\nspan = "20in x 40in"\n'
    )
    parts = {part["key"]: part for part in cli.results(f"plan {path} {FEW}")["sections"]}
    slots, holes = parts["slots"]["answer"], parts["holes"]["answer"]
    assert slots["results"]["screw_length_mm"] == pytest.approx(63.5)
    assert slots["inputs"]["swivel_mm"] == pytest.approx(19.05)
    assert [holes["results"][f"{way}_mm"] for way in ("across", "along")] == pytest.approx([508, 1016])


def test_a_script_tells_a_noun_as_text_or_by_its_values():
    as_text = ask("slots", draws=128, base="wood mc=13 width=80mm", **TOP)
    by_values = ask(
        "slots", draws=128, rail_material="wood", rail_mc_pct=13.0, rail_width_mm=80.0, **TOP
    )  # fmt: skip
    assert as_text.results == by_values.results
    with pytest.raises(Refusals, match="There is no species 'glass'"):
        ask("slots", rail_material="glass", **TOP)


def test_lengths_without_a_unit_are_the_readers(cli):
    inches = cli.json(f"{LINE} --base 'wood width=3 rails=3'")
    assert inches["inputs"]["rail_width_mm"] == pytest.approx(76.2)
    assert inches["inputs"]["rails"] == 3
    assert "width=3in rails=3" in next(
        n["text"] for n in inches["assumptions"] if n["code"] == "BARE_NUMBERS"
    )


def test_words_of_a_text():
    (words,) = parts_of("white oak width=3\" mc='12 %'", "base")
    assert dict(pairs_of(words, ("material", "width", "mc"), "material")) == {
        "material": "white oak", "width": "3in", "mc": "12 %",
    }  # fmt: skip
    (words,) = parts_of('garage place="New York"', "room")
    assert words == ["garage", "place=New York"]
    assert dict(pairs_of(["covered", "faces=top"], ("covered", "faces"), "finish", ("covered",))) == {
        "covered": "true", "faces": "top",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("text", "sides"),
    [("no-10 x 2-1/2in", ["no-10", "2-1/2in"]), ("5mmx60mm", ["5mm", "60mm"]), ('1/4" x 2"', ['1/4"', '2"']),
     ("24in × 40in", ["24in", "40in"]), ("hex 10", ["hex 10"]), ("barn-5x50", ["barn-5x50"]),
     ("barn-5x50 x 60mm", ["barn-5x50", "60mm"]),
     ("#10x2-1/2in", ["#10", "2-1/2in"]), ("24in x 40", ["24in", "40"]), ("no-10", ["no-10"])],
)  # fmt: skip
def test_sides_of_a_text(text, sides):
    assert sides_of(text) == sides
