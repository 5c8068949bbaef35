"""Sentences that a craftsman took the wrong way, or would not have acted on (status: common practice)."""

import re

WIDTH = "width --species southern-pine --width 36in --rings on-edge --place atlanta --draws 256"


def test_a_top_that_only_shrinks_is_not_said_to_widen(cli):
    """At 12 % it is wider than it will ever be in a house in Atlanta (7 to 10 %): no slot is laid outward."""
    says = cli.json(f"{WIDTH} --mc-now 12")["verdict"]["says"][0]["text"]
    assert re.search(r"under today; by \w+ .* wider again, and no wider than today", says)


def test_a_top_that_only_swells_is_not_said_to_narrow(cli):
    says = cli.json(f"{WIDTH} --mc-now 6")["verdict"]["says"][0]["text"]
    assert re.search(r"over today; by \w+ .* narrower again, and no narrower than today", says)


def test_one_board_is_not_they(cli):
    assert cli("readings add log.csv A 'mc=12 date=2026-11-20'").code == 0
    line = "acclimate --log log.csv --species douglas-fir-coast --stock 2x8 --from 2026-11-15 --mc-now 14"
    says = " ".join(
        note["text"]
        for note in cli.json(f"{line} --place burlington --today 2026-11-28 --draws 256")["verdict"]["says"]
    )
    assert "It keeps until" in says
    assert "They" not in says


def test_nobody_is_told_to_cut_a_thick_slice_of_a_thin_offcut(cli):
    done = cli("readings add log.csv off 'kind=offcut weight=12g dry=11g'")
    assert done.code == 2
    assert "a larger offcut, as thin" in done.err
    assert "1 in thick" not in done.err
    assert "1 in thick" in cli("readings add log.csv A 'weight=12g dry=11g'").err


def test_strips_have_a_plural(cli):
    line = "cut-list 'name=A nominal=2x4 length=8ft' --parts 'name=strip width=3in length=47in"
    assert "Short of 3 strips." in cli(f"{line} count=5'").out
    assert "Short of 1 strip." in cli(f"{line} count=3'").out


def test_species_without_shares_are_told_how_to_say_them(cli):
    done = cli("width --species 'southern-pine, teak' --width 36in --rings flat --mc-now 8 --place atlanta")
    assert done.code == 1
    assert 'Type "southern-pine:1, teak:1", with the share of each.' in done.err


def test_a_table_that_there_is_not_names_those_that_there_are(cli):
    done = cli("list screws")
    assert done.code == 2
    for table in ("species", "places", "fasteners", "finishes"):
        assert table in done.err
