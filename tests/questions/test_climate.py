"""woodmove climate: places, and the air of a room there."""

from pathlib import Path

import pytest

from woodmove.cli.build import all_commands
from woodmove.contract.params import Request
from woodmove.contract.reply import Reply
from woodmove.domain.climate import MOISTURE_GAIN_KPA, MONTHS
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.manager import PluginManager, installed
from woodmove.physics import air
from woodmove.physics.sorption import emc_pct
from woodmove.report import document, page

CATALOGUE = Catalogue(lambda: PluginManager(installed()))
COMMANDS = all_commands(CATALOGUE)


# climate


def test_climate_list(cli):
    rows = {row["key"]: row for row in cli.results("climate list")["places"]}
    assert rows["minneapolis"] == {
        "key": "minneapolis", "name": "Minneapolis-St. Paul", "region": "MN", "provider": "woodmove_climates",
    }  # fmt: skip
    assert "burlington" in rows
    assert len(rows) >= 59


def test_climate_show(cli):
    found = cli.results("climate show minneapolis")
    assert [row["month"] for row in found["months"]] == list(MONTHS)
    for row in found["months"]:
        for where in ("outdoor", "indoor"):
            expected = emc_pct(row[f"{where}_c"], row[f"{where}_rh_pct"])
            assert row[f"{where}_emc_pct"] == pytest.approx(expected)
    emc = [row["indoor_emc_pct"] for row in found["months"]]
    assert (found["indoor_emc_low_pct"], found["indoor_emc_high_pct"]) == (min(emc), max(emc))
    assert found["driest_month"] == MONTHS[emc.index(min(emc))]


def test_every_place_can_be_shown(cli):
    show = next(spec for spec in COMMANDS if spec.name == "climate show")
    defaults = {param.name: param.default for param in show.params}
    for key, _ in CATALOGUE.climates:
        request = Request(defaults | {"place": key})
        reply = Reply.to("climate show", request, show.run(request, CATALOGUE))
        assert f" {key}\n" in page.render(reply, "in", details=True)
        assert document.render(reply, "mm")


def test_in_january_the_heated_basement_lies_far_below_the_garage(cli):
    """The demo's place: the reason for the whole job."""
    basement, garage = (
        cli.results(f"climate show burlington {room}")["months"][0]["indoor_emc_pct"]
        for room in ("--indoor heated --heat-to 66F --moisture-gain 1", "--indoor open")
    )
    assert garage - basement >= 4


def test_an_open_room_is_outdoors(cli):
    found = cli.results("climate show fargo --indoor open")
    for row in found["months"]:
        assert [row["indoor_c"], row["indoor_rh_pct"]] == pytest.approx(
            [row["outdoor_c"], row["outdoor_rh_pct"]]
        )


def test_appliances_hold_the_humidity(cli):
    found = cli.results("climate show burlington --indoor heated --humidify-to 35 --dehumidify-to 50")
    held = [row["indoor_rh_pct"] for row in found["months"]]
    assert (min(held), max(held)) == (35, 50)
    conditioned = cli.results("climate show miami --indoor conditioned --heat-to 22C")["months"]
    assert {row["indoor_c"] for row in conditioned} == {22}
    assert max(row["indoor_rh_pct"] for row in conditioned) <= 60


COLD_PLACE = """
from woodmove.extend.api import Climate, Known, hookimpl
WOODMOVE_PLUGIN_API = 1
@hookimpl
def woodmove_climates():
    known = Known("judgement", "made up for a test")
    return [Climate("cold-place", "Cold place", "", "", (-20.0,) * 12, (80.0,) * 12, "a test", known)]
"""


@pytest.fixture
def user_plugin(cli, monkeypatch, tmp_path):
    """Writes a plugin of one file into the folder of the user's own plugins."""
    folder = tmp_path / "own" / "woodmove" / "plugins"
    folder.mkdir(parents=True, mode=0o700)
    folder.parent.chmod(0o700)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "own"))

    def write(name: str, text: str) -> None:
        (folder / f"{name}.py").write_text(text, encoding="utf-8")
        (folder / f"{name}.py").chmod(0o600)

    return write


def test_outdoor_humidity_is_over_water_at_minus_twenty(cli, user_plugin):
    """Both ways: over water, as weather services mean it, and over ice, as they do not."""
    user_plugin("cold_place", COLD_PLACE)
    line = "climate show cold-place --indoor heated --heat-to 20C --moisture-gain 1"
    (row, *_) = cli.results(line)["months"]
    over_water, over_ice = (
        100
        * (0.8 * float(saturated(-20.0)) + MOISTURE_GAIN_KPA[1])
        / float(air.saturation_pressure_kpa(20.0))
        for saturated in (air.saturation_pressure_over_water_kpa, air.saturation_pressure_kpa)
    )
    assert row["indoor_rh_pct"] == pytest.approx(over_water, abs=0.005)
    assert over_water - over_ice == pytest.approx(4.31 - 3.53, abs=0.01)  # tests/reference/heated-air.csv


def write(text: str, name: str = "job.toml") -> None:
    Path(name).write_text(text, encoding="utf-8")
