"""woodmove species: what the tables know, and the names that find it."""

from typing import Any

import pytest

from woodmove.contract.params import Request
from woodmove.contract.reply import Reply
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.manager import PluginManager, installed
from woodmove.questions.species import run_show
from woodmove.report import document, page

CATALOGUE = Catalogue(lambda: PluginManager(installed()))
OAK_PER_PCT = 0.00369  # tangential, of the edition of 2010


def codes(answer: dict[str, Any], kind: str = "warnings") -> list[str]:
    return [note["code"] for note in answer[kind]]


# species


def test_species_list(cli):
    rows = {row["key"]: row for row in cli.results("list species")["species"]}
    assert rows["northern-red-oak"]["group"] == "hardwood"
    for mix in ("douglas-fir-larch", "hem-fir", "spruce-pine-fir", "southern-pine"):
        assert rows[mix]["group"] == "mix"
    assert all(set(row) == {"key", "name", "group", "provider"} for row in rows.values())
    assert len(rows) >= 186


def test_every_species_can_be_shown():
    for key, species in CATALOGUE.species:
        request = Request({"species": key})
        answer = run_show(request, CATALOGUE)
        reply = Reply.to("show species", request, answer)
        assert species.name in page.render(reply, "in")
        assert document.render(reply, "mm")
        for name in ("coefficients", "shrinkage", "specific_gravity", "across_grain", "stiffness_ratios"):
            for row in getattr(answer.results, name):
                assert row.source or row.status == "judgement"


def test_species_show(cli):
    found = cli.json("show species northern-red-oak")
    editions = [row["edition"] for row in found["results"]["coefficients"]]
    assert editions == ["2021", "2010"]  # the two disagree, the newer stands first
    assert found["results"]["coefficients"][1]["tangential_per_pct"] == OAK_PER_PCT
    assert {row["basis"] for row in found["results"]["specific_gravity"]} == {"green", "12 %"}
    assert "fpl-gtr-282" in found["sources"]


@pytest.mark.parametrize("mix", ["douglas-fir-larch", "hem-fir", "spruce-pine-fir", "southern-pine"])
def test_a_mix_is_the_span_of_its_members(cli, mix):
    found = cli.json(f"show species {mix}")
    for name in ("radial_per_pct", "tangential_per_pct"):
        members = [row[name] for row in found["results"]["members"]]
        span = found["results"][name.replace("_per_pct", "_span_per_pct")]
        assert (span["low"], span["high"]) == (min(members), max(members))
    assert "MIX" in codes(found, "assumptions")


def test_the_range_of_a_mix_holds_what_each_member_would_do(cli):
    line = "width --rings flat --width 30in --mc-now 12 --mc-low 6 --mc-high 12 --species"
    span = cli.results(f"{line} hem-fir")["change_low_mm"]
    for member in cli.results("show species hem-fir")["members"]:
        alone = cli.results(f"{line} {member['key']}")["change_low_mm"]["expected"]
        assert span["low"] <= alone <= span["high"]


@pytest.mark.parametrize(
    ("typed", "key"),
    [("Douglas fir", "douglas-fir-coast"), ("SPF", "spruce-pine-fir"), ("hard maple", "sugar-maple"),
     ("TEAK", "teak"), ("Oak, red: northern red", "northern-red-oak")],
)  # fmt: skip
def test_aliases_find_the_species(cli, typed, key):
    assert cli.results(["show", "species", typed])["key"] == key


@pytest.mark.parametrize(
    ("typed", "closest"),
    [("teek", "teak"), ("nothern red oak", "northern-red-oak"), ("duglas fir", "douglas-fir-coast"),
     ("hem fur", "hem-fir"), ("oak", "red-oak"), ("mapel", "maple")],
)  # fmt: skip
def test_misspellings_list_the_closest(cli, typed, closest):
    done = cli(["show", "species", typed])
    assert done.code == 1
    assert closest in done.err.splitlines()[0]
