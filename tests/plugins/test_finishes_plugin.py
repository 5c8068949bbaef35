"""The finishes plugin: every row of the tables, resistances that follow from them, and the command."""

import csv
import io
from collections import Counter
from importlib.resources import files

import numpy as np
import pytest
import woodmove_finishes
from woodmove_finishes import fit, listing

from woodmove.extend.api import SOURCES, Catalogue, Finish, Known, Refusal, Status, slug
from woodmove.extend.science import drying
from woodmove.extend.testkit import check_plugin

ALL: dict[str, Finish] = {finish.key: finish for finish in woodmove_finishes.woodmove_finishes()}
by_key = pytest.mark.parametrize("finish", ALL.values(), ids=lambda finish: finish.key)
IN_FULL = [finish for finish in ALL.values() if len(finish.effectiveness_pct) == 3]


def test_it_keeps_the_contract():
    assert check_plugin(woodmove_finishes) == []


# Nothing lost of the tables.


def test_no_row_is_lost():
    assert len(woodmove_finishes.woodmove_finishes()) == len(ALL) == 69
    assert Counter((f.known.source, str(f.known.status), len(f.effectiveness_pct)) for f in ALL.values()) == {
        ("fpl-gtr-190", "published", 3): 42,
        ("fpl-gtr-190", "memory", 3): 8,
        ("Forest Products Laboratory, report FPL-462", "published", 3): 7,
        ("Forest Products Laboratory, report FPL-462", "published", 1): 12,
    }
    assert Counter(finish.coats for finish in ALL.values()) == {0: 4, 1: 16, 2: 21, 3: 22, 4: 2, 5: 2, 6: 2}


@pytest.mark.parametrize(
    ("key", "printed"),
    [
        ("linseed-oil-3", {1: 33, 7: 2, 14: 0}),
        ("water-repellent-3", {1: 78, 7: 27, 14: 11}),
        ("acrylic-flat-house-paint-2", {1: 77, 7: 28, 14: 11}),
        ("alkyd-house-primer-2", {1: 93, 7: 70, 14: 49}),
        ("urethane-varnish-6", {1: 93, 7: 76, 14: 62}),
        ("tung-oil-2", {1: 46, 7: 2, 14: 0}),
        ("two-part-epoxy-2", {1: 98, 7: 93, 14: 88}),
        ("shellac-3", {14: 42}),
        ("paraffin-wax-dipped", {14: 95}),
        ("furniture-wax", {14: 0}),
        ("paraffin-wax-dipped-1", {1: 100, 7: 97, 14: 95}),
    ],
)
def test_effectiveness_by_hand(key, printed):
    assert ALL[key].effectiveness_pct == printed


@by_key
def test_every_finish_says_how_it_is_known(finish):
    known = finish.known
    assert known.source in SOURCES or " " in known.source
    assert (known.status is Status.MEMORY) == ("recalled" in known.remark)
    assert ("reprint" in known.remark) == ("FPL-462" in known.source) or known.status is Status.MEMORY


def test_more_coats_never_keep_out_less():
    for finish in IN_FULL:
        family, _, coats = finish.key.rpartition("-")
        thicker = ALL.get(f"{family}-{int(coats) + 1}")
        if thicker:
            assert thicker.resistance_s_m >= finish.resistance_s_m
            assert all(
                thicker.effectiveness_pct.get(d, 100) >= finish.effectiveness_pct[d] for d in (1, 7, 14)
            )


# Names.


def test_names_belong_to_one_finish_only():
    owners: dict[str, str] = {}
    for finish in ALL.values():
        assert slug(finish.key) == finish.key
        for name in (finish.key, finish.name, *finish.aliases):
            assert owners.setdefault(slug(name), finish.key) == finish.key, name


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("Shellac, 2 coats", "shellac-2"),
        ("lacquer 2 coats", "nitrocellulose-lacquer-2"),
        ("Urethane varnish, 3 coats", "urethane-varnish-3"),
        ("Urethane varnish (oil-modified), 3 coats", "urethane-varnish-3"),
        ("Linseed oil, 1 coat", "linseed-oil-1"),
        ("none", "unfinished"),
    ],
)
def test_what_people_type(typed, key):
    assert Catalogue().finishes.get(typed).key == key


@pytest.mark.parametrize("typed", ["shellac", "urethane varnish", "varnish"])
def test_coats_are_not_guessed(typed):
    with pytest.raises(Refusal, match="no finish"):
        Catalogue().finishes.get(typed)


# From effectiveness to resistance.


@pytest.fixture(scope="module")
def refitted() -> dict[str, fit.FinishFit]:
    fits = fit.fit([finish.effectiveness_pct for finish in ALL.values()])
    return dict(zip(ALL, fits, strict=True))


@by_key
def test_stored_columns_are_what_the_fit_gives(finish, refitted):
    again = refitted[finish.key]
    assert finish.resistance_s_m == pytest.approx(again.resistance_s_m, rel=0.01)
    # Two decimals are stored.
    assert finish.fitted_pct == pytest.approx(again.mee_pct, rel=0.01, abs=0.01)


def test_fits_are_marked_as_derived():
    table = files("woodmove_finishes") / "tables" / "finishes.csv"
    rows = csv.DictReader(table.read_text(encoding="utf-8").splitlines())
    assert [row["fit_status"] for row in rows] == [Status.DERIVED] * len(ALL)


def test_one_resistance_tells_all_three_days():
    """How well it does is a finding, not a promise: 2.6 points on the whole, 5.9 at the worst."""
    assert len(IN_FULL) == 57
    misfits = np.array([listing.misfit_points(finish) for finish in IN_FULL])
    assert np.sqrt(np.mean(misfits**2)) == pytest.approx(2.6, abs=0.05)
    assert misfits.max() == pytest.approx(5.9, abs=0.05)


def test_both_ways_through_the_test_agree():
    """A resistance, its simulated test, and back."""
    resistances = np.array([0.0, 1e6, 3e7, 1e9, 3e10])
    simulated = fit.mee_pct(resistances)
    assert np.all(np.diff(simulated, axis=0) > 0)
    assert np.all(np.diff(simulated[1:], axis=1) < 0)
    fits = fit.fit([dict(zip(fit.DAYS, row, strict=True)) for row in simulated])
    assert [f.resistance_s_m for f in fits] == pytest.approx(resistances, rel=0.005)


def test_the_simulated_test_does_not_depend_on_the_grid(monkeypatch):
    """Twice the cells: a tenth of a point."""
    resistances = np.geomspace(1e6, 1e10, 9)
    coarse = fit.mee_pct(resistances)
    simulate = drying.simulate
    monkeypatch.setattr(
        fit.drying, "simulate", lambda *a, **k: simulate(*a, **k, cells=64, cells_across=32, steps=2)
    )
    assert fit.mee_pct(resistances) == pytest.approx(coarse, abs=0.1)


def test_a_finish_adds_its_resistance_to_that_of_the_surface():
    finish = ALL["urethane-varnish-3"]
    assert 1 / finish.emission_m_s(1e-7) == pytest.approx(1e7 + finish.resistance_s_m)
    assert ALL["unfinished"].emission_m_s(1e-7) == 1e-7


# The command.


def test_listing(cli):
    document = cli.json("list finishes")
    rows = {row["key"]: row for row in document["results"]["finishes"]}
    assert rows.keys() >= ALL.keys()  # those of other plugins too
    row = rows["urethane-varnish-2"]
    assert row["name"] == "Urethane varnish (oil-modified), 2 coats"
    assert [row[f"mee_{day}_pct"] for day in ("1_day", "7_days", "14_days")] == [83, 43, 23]
    fitted = [row[f"fitted_{day}_pct"] for day in ("1_day", "7_days", "14_days")]
    expected = np.sqrt(np.mean((np.array(fitted) - [83, 43, 23]) ** 2))
    assert row["misfit_points"] == pytest.approx(expected)
    assert rows["shellac-3"]["misfit_points"] is None
    assert rows["shellac-3"]["mee_1_day_pct"] is None
    assert rows["furniture-wax"]["coats"] is None
    assert {note["code"] for note in document["warnings"]} == {"FINISH_ONLY_SLOWS"}
    assert {note["code"] for note in document["cautions"]} == {"OILY_RAGS", "SOLVENTS_AND_DUST"}
    assert {note["code"] for note in document["assumptions"]} == {
        "FINISH_TEST", "FINISHED_ALIKE", "WHEN_TO_FINISH",
    }  # fmt: skip
    assert len(document["sources"]) == 2


def test_page_and_csv(cli):
    page = cli("list finishes", "--details")
    assert page.code == 0
    assert max(map(len, page.out.splitlines())) <= 88
    assert all(key in page.out for key in ALL)
    rows = list(csv.DictReader(io.StringIO(cli("list finishes", "--csv").out)))
    assert [row["key"] for row in rows if row["key"] in ALL] == sorted(ALL)


def test_finishes_of_another_plugin_are_listed_too():
    known = Known(Status.JUDGEMENT, "")
    (row,) = listing.rows([Finish("mine", "Mine", 1, 1e8, {14: 20.0}, {1: 0, 7: 0, 14: 20.0}, known)], [None])
    assert (row.key, row.mee_14_days_pct, row.status) == ("mine", 20.0, "judgement")
