"""A top that moves house: the rooms that it stands in, one after another from its build on."""

from pathlib import Path

import pytest

TOP = "width --species hem-fir --width 30in --thickness 1-1/2in --rings flat --mc-now 8 --today 2026-11-28"
BUILT = "--build-date 2027-01-15"
HERE, THERE = "--place minneapolis", "--place atlanta"


def width(cli, *more: str):
    return cli.results([*TOP.split(), *" ".join((BUILT, *more[:1])).split(), *more[1:]])


def of_year(cli, place: str, kind: str):
    """EMC by month of a room, from what the command says of it."""
    return [row["indoor_emc_pct"] for row in cli.results(f"climate show {place} --room {kind}")["months"]]


@pytest.mark.parametrize("kind", ["house", "garage", "heated-shop"])
def test_the_year_is_that_of_both_places_together(cli, kind):
    """More than a year in Minneapolis, and then Atlanta: the driest and the dampest of the two, each as the
    command tells it of the one place. 8192 draws meet a bound of the same doubt to a fifth of a point."""
    row = width(cli, HERE, "--room", f"house, {kind} place=atlanta from=2028-05-01")
    here, there = width(cli, HERE), width(cli, f"{THERE} --room {kind}")
    for key, pick in (("low", min), ("high", max)):
        assert row[f"mc_{key}_pct"] == pick(one[f"mc_{key}_pct"] for one in (here, there))
        lagged = [one["season"][f"mc_{key}_lagged_pct"] for one in (row, here, there)]
        which = pick(lagged[1:], key=lambda one: one["expected"])
        assert lagged[0]["expected"] == pytest.approx(which["expected"])
        bound = {"low": "low", "high": "high"}[key]
        assert pick(lagged[0][bound], which[bound]) == lagged[0][bound] or lagged[0][bound] == pytest.approx(
            which[bound], abs=0.2
        )
    # Coefficients and total shrinkage differ by a few hundredths of the movement.
    for key, pick in (("narrowest_mm", min), ("widest_mm", max)):
        alone = pick(one[key]["expected"] for one in (here, there))
        assert row[key]["expected"] == pytest.approx(alone, abs=0.5)


def test_the_driest_month_is_that_of_the_days_on_which_it_stands_there(cli):
    """Built in mid-February, gone on 1 May: the January of Minneapolis does not count, February does."""
    here, there = of_year(cli, "minneapolis", "house"), of_year(cli, "atlanta", "house")
    assert min(here) == here[0] < here[1] < min(there)
    row = width(
        cli, HERE, "--room", "house, house place=atlanta from=2027-05-01", "--build-date", "2027-02-15"
    )
    assert row["mc_low_pct"] == pytest.approx(here[1], abs=0.02)
    assert row["driest_month"] == "February"
    assert row["mc_high_pct"] == max(there)


def test_a_move_before_the_build_is_the_second_room_alone(cli):
    moved = width(cli, HERE, "--room", "house, garage place=atlanta from=2027-01-10")
    assert moved == width(cli, f"{THERE} --room garage")


def test_it_follows_the_first_room_until_it_moves_and_then_the_second(cli):
    row = width(cli, HERE, "--room", "house, garage place=atlanta from=2027-07-01")["first_months"]
    here = width(cli, HERE)["first_months"]
    there = width(cli, f"{THERE} --room garage")["first_months"]
    for number in range(6):  # 15 January to 15 June
        assert row[number]["mc_pct"]["expected"] == pytest.approx(here[number]["mc_pct"]["expected"])
    # Inch-and-a-half wood has forgotten its first room after a year and a half.
    assert row[24]["mc_pct"]["expected"] == pytest.approx(there[24]["mc_pct"]["expected"], abs=0.1)
    assert abs(here[24]["mc_pct"]["expected"] - there[24]["mc_pct"]["expected"]) > 2.0


def test_what_the_move_does_is_told(cli):
    """A garage in Atlanta holds wood over a point damper than a house in Minneapolis: told, dated,
    and in mm by the mean coefficient of the width."""
    means = [sum(of_year(cli, *room)) / 12 for room in (("minneapolis", "house"), ("atlanta", "garage"))]
    line = [
        *TOP.split(),
        *BUILT.split(),
        *HERE.split(),
        "--room",
        "house, garage place=atlanta from=2028-05-01",
    ]
    found = cli.json(line)
    (told,) = (note["text"] for note in found["warnings"] if note["code"] == "LATER_ROOM")
    assert "From 1 May 2028 on the top stands in the garage in Atlanta: damper." in told
    (move,) = found["results"]["moves"]
    by_hand = 762.0 * found["results"]["coefficient_per_pct"]["expected"] * (means[1] - means[0])
    assert move["wider_mm"] == pytest.approx(by_hand)
    assert move["day"] == "2028-05-01"
    slots = (
        "slots --species hem-fir --width 30in --thickness 1-1/2in --rings flat --mc-now 8 "
        f"{HERE} {BUILT} --room"
    ).split()
    both = cli.json([*slots, "house, shed place=houston from=2028-05-01"])
    stays = cli.json([*slots, "house"])
    longest = [one["results"]["longest_slot_mm"] for one in (both, stays)]
    assert longest[0] > longest[1]
    (told,) = (note for note in both["warnings"] if note["code"] == "LONGER_TO_MOVE")
    assert longest == [13 / 16 * 25.4, 11 / 16 * 25.4]
    assert "the longest is 13/16 in, and 11/16 in would do if it stayed" in told["text"]
    # A like room is no warning.
    found = cli.json([*line[:-1], "house, house from=2028-05-01"])
    assert "LATER_ROOM_ALIKE" in [note["code"] for note in found["assumptions"]]
    assert "LATER_ROOM" not in [note["code"] for note in found["warnings"]]


def test_lumber_dries_for_the_room_in_which_the_top_is_built(cli):
    wood = "acclimate --species douglas-fir-coast --stock 2x8 --mc-now 15 --draws 256 --today 2026-10-01"
    line = [*wood.split(), "--from", "2026-10-01", *BUILT.split()]
    here = cli.results([*line, *HERE.split()])
    later = cli.results([*line, *HERE.split(), "--room", "house, garage place=atlanta from=2027-05-01"])
    assert later == here
    # Moved on before the build, it is as if it dried in both, for a top in the second.
    moved = cli.results([*line, *HERE.split(), "--room", "house, house place=atlanta from=2026-10-20"])
    row = "house place=minneapolis, house from=2026-10-20"
    assert moved == cli.results([*line, *THERE.split(), "--dries-in", row])


JOB = """[job]
units = "in"
build_date = 2027-01-15
[wood]
species = "hem-fir"
rings = "flat"
mc_now = "8%"
[top]
width = "30in"
thickness = "1-1/2in"
[[room]]
place = "minneapolis"
kind = "house"
[[room]]
place = "atlanta"
kind = "garage"
from = 2028-05-01
"""


def test_a_job_lists_its_rooms_as_tables(cli):
    Path("job.toml").write_text(JOB, encoding="utf-8")
    plan = cli.results("plan job.toml --today 2026-11-28")
    parts = {part["key"]: part["answer"]["results"] for part in plan["sections"] if part["answer"]}
    typed = width(cli, HERE, "--room", "house, garage place=atlanta from=2028-05-01")
    assert parts["width"]["widest_mm"] == typed["widest_mm"]
    assert parts["air"]["later_rooms"][0]["room"] == "garage in Atlanta"
    assert "2028-05-01" in [check["date"] for check in plan["checks"] if "moves house" in check["check"]]
    # The single command with the job knows the day of the build, which it does not take itself.
    holes = cli.results("holes --job job.toml --pitch 4in")
    assert holes["seasons"][0]["mc_pct"] == typed["mc_low_pct"]
    # One [[room]] is a [room].
    Path("one.toml").write_text(JOB.partition('[[room]]\nplace = "atlanta"')[0], encoding="utf-8")
    Path("as-ever.toml").write_text(
        Path("one.toml").read_text().replace("[[room]]", "[room]"), encoding="utf-8"
    )
    one, as_ever = (cli.results(f"plan {name} --today 2026-11-28") for name in ("one.toml", "as-ever.toml"))
    assert one == as_ever


@pytest.mark.parametrize(
    ("was", "now", "words"),
    [
        ("from = 2028-05-01", "", "each room after the first says from=DATE"),
        ('kind = "house"', 'kind = "house"\nfrom = 2028-06-01', "do not rise"),
        ('kind = "house"', 'kind = "house"\nfrom = 2027-06-01', "Nothing says where the top stands before"),
        ('"garage"', '"attic"', "kind cannot be attic"),
        ('"atlanta"', '"atlantis"', "no place 'atlantis'"),
        ('[[room]]\nplace = "minn', '[room]\nplace = "minn', "[[room]]"),
    ],
)
def test_what_is_wrong_in_the_rooms_is_told(cli, was, now, words):
    assert was in JOB
    Path("job.toml").write_text(JOB.replace(was, now), encoding="utf-8")
    done = cli("check job.toml")
    assert done.code == 1
    assert words in done.err
    assert "job.toml:1" in done.err


def test_of_the_first_room_a_command_takes_its_kind_only(cli):
    done = cli([*TOP.split(), *HERE.split(), "--room", "house place=boston, garage from=2027-05-01"])
    assert done.code == 2
    assert "place= of the first room is said by itself (--place)" in done.err
