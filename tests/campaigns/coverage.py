"""Coverage: how many truths lie in the Ranges that the product states for them.

The Ranges come from the product. The truths are made here, strip by strip: boards are ripped, dealt to
logs and laid in a row, and each strip moves by a coefficient of its own. Nothing of the product's draws
or of its movement is used for them, and its constants are written out a second time, so that a slip on
either side shows. This checks the software, not nature: nature does not read our distributions.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from random import Random
from typing import Any

from woodmove_fasteners.slots import SLOTS

from woodmove.domain.board import dressed_size
from woodmove.extend.api import Catalogue, Draws, Range, Request, Season, Top, Wood, groups
from woodmove.extend.science import width

FAMILIES = ("on edge", "strips from a board", "flat panel")
QUANTITIES = ("change low", "change high", "slot travel")
LEAST, MOST = 0.88, 0.92
# Ninety per cent of a normal distribution lie within so many standard deviations.
WITHIN_90 = 1.645
TWO_BY_MM = 38.1
KERF_MM = 3.2


@dataclass(frozen=True)
class World:
    """How the truths fall. As it stands: as the Ranges assume."""

    log_sd: float = 0.15 * math.sqrt(0.5)
    piece_sd: float = 0.15 * math.sqrt(0.5)
    species_sd: float = 0.05
    straight_line_sd: float = 0.05 / WITHIN_90
    older_edition: float = 0.25
    ring_angle_sd_deg: float = 6.0
    pith_depth_sd_mm: float = 6.0
    meter_bias_sd_pct: float = 1.0 / WITHIN_90
    reading_sd_pct: float = 1.0
    year_sd: float = 0.15
    sorption_sd_pct: float = 0.85 / WITHIN_90
    # What the Ranges do not assume.
    species_shift: float = 0.0
    one_log: bool = False


AS_ASSUMED = World()
PIECES_DOUBLED = replace(AS_ASSUMED, piece_sd=2 * AS_ASSUMED.piece_sd)
# Assumptions that a maker can get wrong. What they cost is told, not asserted.
WRONG = {
    "all strips of one log, while none was stated": replace(AS_ASSUMED, one_log=True),
    "species mean one sigma high": replace(AS_ASSUMED, species_sd=0.0, species_shift=0.05),
}


@dataclass(frozen=True)
class Case:
    """A stated top, and what the product says of it."""

    family: str
    values: Mapping[str, Any]
    top: Top
    season: Season
    ranges: Mapping[str, Range]


def cases(family: str, count: int, *, seed: int = 20_270_116, draws: int = 1000) -> list[Case]:
    """Stated tops at random, each with its Ranges."""
    catalogue = Catalogue()
    random = Random(f"{family} {seed}")
    defaults = {param.name: param.default for param in SLOTS.params}
    made = []
    for number in range(count):
        values = defaults | _stated(family, random, catalogue)
        request = Request(values, draws, seed + number)
        top, season = groups.top_of(request, catalogue), groups.season_of(request, catalogue)
        # What no option says: the logs counted, and one edition of the table held to.
        top = replace(top, wood=catalogue.wood(top.wood.species.key, _edition(top.wood, random)))
        top = replace(top, logs=random.randint(1, 6) if random.random() < 0.5 else None)
        widths = width(top, season, Draws(draws, seed + number)).results
        ranges = {"change low": widths.change_low_mm, "change high": widths.change_high_mm}
        if top.logs is None and top.wood.edition is None:
            # The slot in a year known by its extremes: in a room, slots also work out how thick wood lags,
            # which takes long and moves no Range that is checked here.
            extremes = {"place": None, "mc_low_pct": season.low_pct, "mc_high_pct": season.high_pct}
            request = Request(values | extremes, draws, seed + number)
            slot = SLOTS.run(request, catalogue).results.fasteners[0]
            ranges["slot travel"] = slot.travel_mm
        made.append(Case(family, values, top, season, ranges))
    return made


def _edition(wood: Wood, random: Random) -> str | None:
    coefficients = wood.species.coefficients
    return random.choice(coefficients).edition if coefficients and random.random() < 0.3 else None


def _stated(family: str, random: Random, catalogue: Catalogue) -> dict[str, Any]:
    """What a maker may say of a top: the values of a request."""
    names = [key for key, species in catalogue.species if species.coefficients or species.members]
    species = catalogue.species.get(random.choice(names))
    across = random.uniform(80, 350) if family == "flat panel" else random.uniform(250, 1200)
    fixed = random.choice((0.0, across / 2, across))
    screw = random.uniform(10, across - 10)
    values: dict[str, Any] = {
        "species": species.key,
        "top_width_mm": across,
        "top_thickness_mm": random.uniform(30, 90),
        "mc_now_pct": random.uniform(6, 15),
        "mc_readings": random.randint(1, 20),
        "fixed": fixed,
        "at_mm": (screw if abs(screw - fixed) > 25 else across / 4,),
        # A rail in which any slot finds room.
        "rail_material": "wood",
        "rail_direction": "along",
        "rail_width_mm": 1000.0,
    }
    if family == "flat panel":
        values["rings_deg"] = random.choice((0.0, 90.0, random.uniform(0, 90)))
    elif family == "on edge":
        values["rings_deg"] = "on-edge"
    else:
        values["strips_from"] = dressed_size(random.choice(("2x6", "2x8", "2x10", "2x12")))
        values["pith_depth_mm"] = random.uniform(-30, 120)
    if random.random() < 0.5:
        low = random.uniform(4, 10)
        return values | {"mc_low_pct": low, "mc_high_pct": low + random.uniform(1, 6)}
    place = random.choice([key for key, _ in catalogue.climates])
    return values | {"place": place, "room": random.choice(("open", "heated", "conditioned"))}


def covered(
    found: Sequence[Case], world: World = AS_ASSUMED, truths: int = 1, seed: int = 7
) -> dict[str, float]:
    """Share of the truths that lie in the Ranges, by quantity.

    :param truths: of each stated top
    """
    random = Random(f"truth {seed}")
    hits: dict[str, int] = dict.fromkeys(QUANTITIES, 0)
    counts = hits.copy()
    for case in found:
        for _ in range(truths):
            truth = _truth(case, world, random)
            for name, within in case.ranges.items():
                hits[name] += within.low <= truth[name] <= within.high
                counts[name] += 1
    return {name: hits[name] / counts[name] for name in QUANTITIES}


def missed(shares: Mapping[str, float], truths: int | None = None) -> list[str]:
    """The quantities whose coverage is not 88 to 92 %.

    :param truths: how many the shares are of: the bounds are then widened by three standard deviations
        of the binomial distribution
    """
    slack = [0.0 if truths is None else 3 * math.sqrt(p * (1 - p) / truths) for p in (LEAST, MOST)]
    return [name for name, share in shares.items() if not LEAST - slack[0] <= share <= MOST + slack[1]]


def _truth(case: Case, world: World, random: Random) -> dict[str, float]:
    stated = case.values
    radial, tangential, saturation = _table_row(case, world, random)
    common = random.gauss(1.0 + world.species_shift, world.species_sd)
    common *= random.gauss(1.0, world.straight_line_sd)
    strips = [
        (start, end, common * scatter * (radial + (tangential - radial) * share))
        for start, end, share, scatter in _strips(case, world, random)
    ]

    readings = [random.gauss(0.0, world.reading_sd_pct) for _ in range(stated["mc_readings"])]
    now = stated["mc_now_pct"] - random.gauss(0.0, world.meter_bias_sd_pct) - sum(readings) / len(readings)
    dry, wet = _year(case.season, world, random)

    # Which of the two published methods, the stated moisture contents decide.
    central = (stated["mc_now_pct"], case.season.low_pct, case.season.high_pct)
    straight = all(6.0 <= mc <= 14.0 for mc in central)

    def change(mc: float) -> float:
        if straight:
            return sum((end - start) * each * (mc - now) for start, end, each in strips)
        first, last = min(now, saturation), min(mc, saturation)
        return sum(
            (end - start) * (last - first) / (1.0 / each - 10.0 + first) for start, end, each in strips
        )

    driest, dampest = case.season.low_pct, case.season.high_pct
    near, far = sorted((stated["fixed"], stated["at_mm"][0]))
    reach = sum(max(0.0, min(end, far) - max(start, near)) * each for start, end, each in strips)
    return {
        "change low": change(dry),
        "change high": change(wet),
        "slot travel": reach * (max(now, dampest) - min(now, driest)),
    }


def _table_row(case: Case, world: World, random: Random) -> tuple[float, float, float]:
    """Radial and tangential coefficient and fibre saturation of the wood that it turns out to be."""
    member = random.choice(case.top.wood.candidates)
    edition = case.top.wood.edition
    rows = [row for row in member.coefficients if edition in (None, row.edition)]
    row = rows[-1] if random.random() < world.older_edition else rows[0]
    return row.radial, row.tangential, member.fibre_saturation_pct


def _strips(case: Case, world: World, random: Random) -> Iterator[tuple[float, float, float, float]]:
    """The strips of a top from front to back: start and end [mm], tangential share, scatter about 1."""
    across = case.values["top_width_mm"]
    if case.family == "flat panel":
        angle = math.radians(random.gauss(case.values["rings_deg"], world.ring_angle_sd_deg))
        scatter = random.gauss(1.0, world.log_sd) + random.gauss(0.0, world.piece_sd)
        yield 0.0, across, math.cos(angle) ** 2, scatter
        return
    if case.family == "on edge":
        shares = [math.cos(math.radians(random.gauss(90.0, world.ring_angle_sd_deg))) ** 2]
        strip = TWO_BY_MM
    else:
        board = case.values["strips_from"]
        strip = board.thickness_mm
        shares = _shares_in_board(case, random.gauss(case.values["pith_depth_mm"], world.pith_depth_sd_mm))
    count = math.ceil(across / strip)
    boards = math.ceil(count / len(shares))
    # Boards are dealt to the logs in turn; each board is of a log of its own if nobody counted them.
    logs = 1 if world.one_log and case.top.logs is None else case.top.logs or boards
    of_logs = [random.gauss(0.0, world.log_sd) for _ in range(logs)]
    pool = [(share, of_logs[number % logs]) for number in range(boards) for share in shares]
    for number, (share, of_log) in enumerate(random.sample(pool, count)):
        start = number * strip
        yield start, min(start + strip, across), share, 1.0 + of_log + random.gauss(0.0, world.piece_sd)


def _shares_in_board(case: Case, pith_depth_mm: float) -> list[float]:
    """Tangential share of the thickness of each strip of a board: the mean of y²/(y² + z²) over it.

    Across z by its antiderivative, y atan(z/y); along y by the trapezoidal rule.
    """
    board, strip = case.values["strips_from"], case.values["top_thickness_mm"]
    pitch = strip + KERF_MM
    count = int((board.width_mm + KERF_MM) / pitch)
    steps = 40
    shares = []
    for number in range(count):
        middle = (number - (count - 1) / 2) * pitch
        total = 0.0
        for step in range(steps + 1):
            y = abs(middle + (step / steps - 0.5) * strip) + 1e-9
            low, high = pith_depth_mm, pith_depth_mm + board.thickness_mm
            along_z = y * (math.atan(high / y) - math.atan(low / y)) / board.thickness_mm
            total += along_z * (0.5 if step in (0, steps) else 1.0)
        shares.append(total / steps)
    return shares


def _year(season: Season, world: World, random: Random) -> tuple[float, float]:
    """Driest and dampest moisture content of one year."""
    if season.monthly_pct is None:
        return season.low_pct, season.high_pct
    months = [float(mc) for mc in season.monthly_pct]
    mean = sum(months) / len(months)
    swing = random.gauss(1.0, world.year_sd)
    # The room lies off what is computed, as far as its kind is known.
    shift = random.gauss(0.0, world.sorption_sd_pct) + random.gauss(0.0, season.sd_points)
    lived = [mean + (mc - mean) * swing + shift for mc in months]
    return min(lived), max(lived)
