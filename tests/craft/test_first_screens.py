"""What a shop reads first of a glue-up, a lift and the bench holes: one screen, and one line of a card."""

import pytest

LINES, COLUMNS = 30, 88
GLUE_UP = (
    "glue-up --species douglas-fir-coast --strips 8 --strip-thickness 1-3/8in --strip-width 3-1/4in "
    "--length 47in --mc-now 8 --temp 66F --rh 40"
)
LIFT = "lift --species douglas-fir-coast --mc-now 8 --thickness 3in"
HOLES = (
    "holes --species douglas-fir-coast --width 32in --thickness 3in --rings on-edge --mc-now 8 "
    "--mc-low 6 --mc-high 10 --pitch 4in"
)


@pytest.mark.parametrize(
    ("line", "first"),
    [
        (f"{GLUE_UP} --clamps 16 --people 2", "GO "),
        (f"{GLUE_UP} --clamps 10", "GO WITH "),
        (f"{GLUE_UP} --clamps 10 --sections 3", "GO WITH "),
        (f"{GLUE_UP} --clamps 10 --sections 3 --units mm", "GO WITH "),
        (f"{GLUE_UP} --clamps 10 --sections 3 --mc-now 4 --place burlington", "GO WITH "),
        (f"{GLUE_UP} --clamps 3", "STOP "),
        (f"{LIFT} --width 26in --length 60in --lift height=20in", "GO WITH "),
        (f"{LIFT} --width 38in --length 85in --people 2", "GO WITH "),
        (HOLES, "GO "),
        (f"{HOLES} --hole 3/4in", "STOP "),
    ],
)
def test_the_first_screen(cli, line, first):
    lines = cli(line).out.splitlines()
    assert lines[0].startswith(first)
    assert len(lines) <= LINES, "\n".join(lines)
    assert max(map(len, lines)) <= COLUMNS


@pytest.mark.parametrize(
    ("joined", "steps"),
    [
        ("", ("day before", "meter", "dry run", "spread", "clamp from", "clock runs out", "scrape")),
        (
            "--sections 3",
            (
                "day before",
                "meter",
                "dry run",
                "spread",
                "clamp from",
                "clock runs out",
                "scrape",
                "sections",
            ),
        ),
    ],
)
def test_the_steps_stand_in_the_order_of_the_work_on_the_first_screen(cli, joined, steps):
    page = " ".join(cli(f"{GLUE_UP} --clamps 10 {joined}").out.lower().split())
    page = page[page.index("step by step") :]
    places = [page.index(step) for step in steps]
    assert places == sorted(places)


def test_the_hands_of_a_first_glue_up_are_the_default(cli):
    takes = [
        cli.results(f"{GLUE_UP} --clamps 16 {pace}")["clock"][1]["takes_min"]["expected"]
        for pace in ("", "--pace first", "--pace practised")
    ]
    assert takes[0] == takes[1] > takes[2]


def test_half_of_the_least_pressure_is_where_it_stops(cli):
    """Of 100 psi on 3-1/4 x 47 in at 1050 lbf a clamp: 14.5 clamps, and half of them 7.3."""
    verdicts = {number: cli.json(f"{GLUE_UP} --clamps {number}")["verdict"] for number in (7, 8, 15)}
    assert [verdicts[number]["state"] for number in (7, 8, 15)] == ["stop", "go", "go"]
    needs = {number: {note["code"] for note in found["needs"]} for number, found in verdicts.items()}
    assert "MORE_CLAMPS" in needs[8]
    assert "MORE_CLAMPS" not in needs[15]


def test_a_card_says_in_one_line_what_to_bore_and_where_not(cli):
    lines = cli("plan --demo --today 2027-01-02").out.splitlines()
    (number,) = [number for number, line in enumerate(lines) if line.startswith("Holes ")]
    assert all(word in lines[number] for word in ("Bore", "rails", "screws", "seams"))
    assert not lines[number + 1].startswith(" ")
    assert len(lines[number]) <= COLUMNS
