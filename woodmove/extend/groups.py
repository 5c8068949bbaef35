"""The groups of parameters that commands share, and the nouns that are made of their values.

A command of a plugin that takes a top, its wood or its air takes these, so that the same words mean the
same everywhere: on the command line, in a job file, in core and in plugins.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from functools import wraps
from typing import Any, TypeVar

from woodmove.advice.top.season import Exposure
from woodmove.contract.answer import Answer
from woodmove.contract.notes import warning
from woodmove.contract.params import Param, ParamType, Request
from woodmove.contract.refusal import Refusal
from woodmove.domain.base import MATERIALS, Base, read_material
from woodmove.domain.board import Lumber, read_lumber
from woodmove.domain.climate import Climate
from woodmove.domain.finish import Faces, Finish
from woodmove.domain.room import Room
from woodmove.domain.season import Season
from woodmove.domain.species import SpeciesShares, Wood, read_species
from woodmove.domain.stay import Stay, day_words, moves, up_to
from woodmove.domain.top import EdgeStrips, Rings, Top
from woodmove.extend.catalogue import Catalogue
from woodmove.extend.meters import METER as METER
from woodmove.extend.meters import read_gravity as read_gravity
from woodmove.extend.params import DATE, FLAG, LENGTH, MOISTURE, TEXT, WHOLE, noun
from woodmove.extend.rooms import PLACE as PLACE
from woodmove.extend.rooms import ROOM as ROOM
from woodmove.extend.rooms import RoomsTold, room_from, rooms_after, stays_told, told_for_nothing
from woodmove.extend.shop_air import SHOP_RH as SHOP_RH
from woodmove.extend.shop_air import SHOP_TEMP as SHOP_TEMP
from woodmove.units.parse import parse_angle_deg, parse_length_mm

_R = TypeVar("_R")
_RING_WORDS = {"flat": 0.0, "quarter": 90.0}


def _rings(text: str) -> float | str:
    word = text.strip().lower()
    if word == "on-edge":
        return word
    if word in _RING_WORDS:
        return _RING_WORDS[word]
    try:
        angle = parse_angle_deg(word)
    except ValueError:
        raise ValueError(f"{text!r} is neither flat, quarter, on-edge nor an angle") from None
    if not 0 <= angle <= 90:
        raise ValueError(f"rings lie at 0 to 90 degrees to the face, not {angle:g}")
    return angle


def _into(text: str) -> int | str:
    word = text.strip().lower()
    if word in ("halves", "resaw"):
        return word
    if not word.isdigit() or not 1 <= int(word) <= 50:
        raise ValueError(f"{text!r} is neither a number of strips (1 to 50), halves nor resaw")
    return int(word)


RINGS = ParamType("flat|quarter|on-edge|DEGREES", _rings)


def _lumber(text: str) -> Lumber:
    """A section as sold (``2x8``) or as measured (``38mm x 184mm``); several, each with its share of the
    boards (``2x6:1, 2x10:2``)."""
    return read_lumber(text, parse_length_mm)


LUMBER = ParamType("SIZE", _lumber, "in")
SPECIES_NAME = ParamType("TEXT", lambda text: read_species(TEXT.parse(text)))

SPECIES = Param(
    "species", "--species", SPECIES_NAME,
    "Species, or a lumber-yard mix such as hem-fir; several with their shares of the strips are "
    "southern-pine:2, hem-fir:1",
    "douglas-fir-coast",
    "wood.species", required=True, registry="species",
)  # fmt: skip
STRIPS_FROM = Param(
    "strips_from", "--stock", LUMBER,
    "Lumber that the strips are ripped from, as sold or as measured; several sizes with their shares of the "
    "boards are 2x6:1, 2x10:2",
    "2x8", "wood.strips_from", example_mm="45mmx195mm",
)  # fmt: skip
BOARD_LENGTH = Param(
    "stock_length_mm", "--board-length", LENGTH, "Length of the board", "8ft", "stock.length",
    low=10, high=10_000, default=2438.4, default_mm=2400.0,
)  # fmt: skip
PITH_DEPTH = Param(
    "pith_depth_mm", "--pith-depth", LENGTH,
    "Depth of the pith below the board's nearer wide face, read on the end grain; negative inside it",
    "1-1/2in", "wood.pith_depth", low=-1000, high=2000,
)  # fmt: skip
GRAIN = (
    Param(
        "rings_deg", "--rings", RINGS,
        "Rings on the end grain: flat, quarter, on-edge (strips turned on edge) or degrees to the wide face",
        "flat", "wood.rings",
    ),
    STRIPS_FROM,
    PITH_DEPTH,
)  # fmt: skip
MC_NOW = Param(
    "mc_now_pct", "--mc-now", MOISTURE, "Moisture content of the wood today, by meter", "12",
    "wood.mc_now", low=0, high=200,
)  # fmt: skip
STOCK_MC = Param(
    "stock_mc_pct", "--mc-now", MOISTURE, "Moisture content of the lumber today, by meter", "13",
    "stock.mc_now", low=0, high=200,
)  # fmt: skip
TARGET_MC = Param(
    "target_mc_pct", "--target-mc", MOISTURE, "Moisture content in service", "8", "stock.target_mc",
    low=1, high=30,
)  # fmt: skip
MC_READINGS = Param(
    "mc_readings", "--mc-readings", WHOLE, "How many meter readings that is the mean of", "10",
    "wood.mc_readings", low=1, high=10_000, default=5,
)  # fmt: skip
TOP_WIDTH = Param(
    "top_width_mm", "--width", LENGTH, "Width of the top today, across its grain", "30in",
    "top.width", required=True, low=1, high=5000,
)  # fmt: skip
TOP_THICKNESS = Param(
    "top_thickness_mm", "--thickness", LENGTH, "Thickness of the top", "3in",
    "top.thickness", low=1, high=500,
)  # fmt: skip
TOP_LENGTH = Param(
    "top_length_mm", "--length", LENGTH, "Length of the top, along its grain", "47in",
    "top.length", low=10, high=10_000,
)  # fmt: skip
STRIP_THICKNESS = Param(
    "strip_thickness_mm", "--strip-thickness", LENGTH, "Thickness of a strip as planed for the "
                                                       "glue-up", "1-3/8in",
    "strips.thickness", low=3, high=300, example_mm="35mm",
)  # fmt: skip
STRIP_TWIST = Param(
    "strip_twist_mm", "--strip-twist", LENGTH, "Lift of a corner of a strip on a flat table before the "
                                               "glue-up, on average", "1/16in",
    "strips.twist", low=0, high=25, example_mm="1.5mm",
)  # fmt: skip
# What the parts of a plan hand on and nobody types.
JOINT_WAIT = Param(
    "joint_wait_days", "", WHOLE, "Days from the gluing until its water has left the seams", "7", low=0,
    high=365,
)  # fmt: skip
JOINT_SET = Param(
    "joint_set_days", "", WHOLE, "Days until a glued joint may be machined", "1", default=1, low=0, high=60
)
READY_DATE = Param("ready_date", "", DATE, "Day from which the work may begin", "2027-01-04")
SECTION_STRIPS = Param("section_strips", "", WHOLE, "Strips of a section of the top", "12")
GLUED_MC = Param(
    "glued_mc_pct", "", MOISTURE, "Moisture content on the day of the glue-up", "8", low=0, high=200
)
SECTION_COUNT = Param("section_count", "", WHOLE, "Sections that are joined into the top", "3")
STRIPS_NEEDED = Param("strips_needed", "", WHOLE, "Strips of the whole top", "24")
INTO = Param(
    "into", "--into", ParamType("NUMBER|halves|resaw", _into),
    "How many strips, or halves, or resaw (through the thickness)", "3", "pile.into",
)  # fmt: skip
STRIP_WIDTH = Param(
    "strip_width_mm", "--strip-width", LENGTH, "Width of a strip as it comes off the saw", "2-1/2in",
    "pile.strip_width", low=3, high=1000,
)  # fmt: skip
BUILD_DATE = Param(
    "build_date", "--build-date", DATE, "Day on which the top comes into its room", "2027-01-15",
    "job.build_date",
)  # fmt: skip
# Of a command for which it only says in which of several rooms the top is built: a job's, typed nowhere.
BUILT = BUILD_DATE.replace(option="")
# No place in a job file: it would be out of date by tomorrow.
TODAY = Param(
    "today", "--today", DATE, "Day that counts as today, before which none is advised; else the computer's",
    "2026-11-27",
)  # fmt: skip
# The key is of the plugin that glues.
GLUE_DATE = Param("glue_date", "--on", DATE, "Day of the glue-up; today if not told", "2027-01-05")
PEOPLE = Param("people", "--people", WHOLE, "How many people are there", "2", "job.people", low=1, high=20)
FINISH = Param(
    "finish", "--finish", TEXT, "Finish on the top", "polyurethane-varnish-2", "top.finish",
    choices=("none",), registry="finishes",
)  # fmt: skip
# What else is said of the faces of a top.
_FACES = (
    Param(
        "finished", "", TEXT, "Faces that carry the finish", "both", choices=("both", "top"), default="both",
    ),
    Param(
        "underside", "", TEXT, "Whether the underside meets the air", "open", choices=("open", "closed"),
        default="open",
    ),
    Param("covered", "", FLAG, "A mat or a sheet lies on the top and stays", "true"),
)  # fmt: skip
EXPOSURE = (
    FINISH.replace(
        kind=noun(
            "FINISH",
            dict(zip(("finish", "faces", "underside", "covered"), (FINISH, *_FACES), strict=True)),
            "finish",
        ),
        choices=(), registry="",
        help="Finish on the top, and what else its faces meet: 'polyurethane-varnish-2 faces=top', or 'none "
        "underside=closed covered' under a mat that stays",
    ),
    *_FACES,
    BUILD_DATE,
)  # fmt: skip
SERVICE = (
    Param(
        "mc_low_pct", "--mc-low", MOISTURE, "Driest moisture content in service, instead of a place", "6",
        "room.mc_low", low=0, high=200,
    ),
    Param(
        "mc_high_pct", "--mc-high", MOISTURE, "Dampest moisture content in service, instead of a place", "11",
        "room.mc_high", low=0, high=200,
    ),
    PLACE,
    *ROOM,
)  # fmt: skip
WOOD = (SPECIES, *GRAIN)
RAIL_MATERIAL = Param(
    "rail_material", "--base", ParamType("MATERIAL", read_material), "What the rails of the base are made of",
    "wood", "base.material", choices=tuple(MATERIALS), registry="species",
)  # fmt: skip
# What nobody says of a base whose material he does not tell.
_OF_A_BASE = (
    Param(
        "rail_mc_pct", "", MOISTURE, "Moisture content of wooden rails today, by meter", "13",
        "base.mc", low=0, high=200,
    ),
    Param(
        "rail_width_mm", "", LENGTH, "Width of a rail's face under the top", "3-1/2in",
        "base.width", low=1, high=1000,
    ),
    Param(
        "rail_thickness_mm", "", LENGTH, "Thickness of the rail that the screw passes",
        "1-1/2in", "base.thickness", low=0.1, high=500,
    ),
    Param(
        "counterbore_mm", "", LENGTH, "Depth to which the head is let into the rail", "1/2in",
        "base.counterbore", low=0, high=500,
    ),
    Param(
        "joint_width_mm", "", LENGTH,
        "Widest glued joint of a wooden base, across the grain of the part", "3in", "base.joint_width",
        low=1, high=1000,
    ),
)  # fmt: skip
_OF_RAILS = (
    *_OF_A_BASE,
    Param(
        "rail_direction", "", TEXT,
        "How a rail runs: across the grain of the top, or along it", "across", "base.direction",
        choices=("across", "along"), default="across",
    ),
    Param(
        "rails", "", WHOLE, "How many rails carry the top", "2", "base.rails", default=2, low=1, high=50,
    ),
    Param(
        "uneven_mm", "", LENGTH, "How much lower the lowest rail stands than the highest", "1/16in",
        "base.uneven", default=0.0, low=0, high=50,
    ),
)  # fmt: skip
_BASE_KEYS = {param.job.partition(".")[2]: param for param in (RAIL_MATERIAL, *_OF_RAILS)}
BASE = (
    RAIL_MATERIAL.replace(
        kind=noun("BASE", _BASE_KEYS, "material"), choices=(), registry="",
        help="What the rails of the base are made of: wood (the species of the top), a species, plywood, "
        "steel or aluminium; and more of them: 'white-oak mc=12 width=3in'",
    ),
    *_OF_RAILS,
)  # fmt: skip


def as_glued(request: Request) -> Request:
    """A request that takes MC_NOW and GLUED_MC, with the moisture of the glue-up, where a part of a plan
    found it and nobody said another, as that of the wood today."""
    glued = request[GLUED_MC.name]
    said = glued is None or MC_NOW.name in request.given
    return request if said else replace(request, values={**request.values, MC_NOW.name: glued})


def today_of(request: Request) -> date:
    """Today, of a request: as typed, else by the clock of the computer."""
    said = request.get(TODAY.name)
    if said is None:
        # An answer that hangs on the day says which day that was.
        request.learnt[TODAY.name] = request.clock
    return said or request.clock


def wood_of(request: Request, catalogue: Catalogue) -> Wood:
    """The wood of a request that takes SPECIES; of a top of several, each with its share."""
    species = request[SPECIES.name]
    return (
        catalogue.wood_in_shares(species) if isinstance(species, SpeciesShares) else catalogue.wood(species)
    )


ONE_SPECIES = warning(
    "ONE_SPECIES", "Here only {species} counts, which most strips are of. Not counted: {others}.",
    species=None, others=None,
)  # fmt: skip


def of_one_species(
    ask: Callable[[Request, Catalogue], Answer[_R]],
) -> Callable[[Request, Catalogue], Answer[_R]]:
    """An ask that counts with one species, where a request that takes SPECIES has several: that of most
    strips. Its answer says so."""

    @wraps(ask)
    def asked(request: Request, catalogue: Catalogue) -> Answer[_R]:
        species = request.values.get(SPECIES.name)
        if not isinstance(species, SpeciesShares):
            return ask(request, catalogue)
        answer = ask(replace(request, values={**request.values, SPECIES.name: species.main}), catalogue)
        others = ", ".join(name for name in species.names if name != species.main)
        return replace(answer, notes=(*answer.notes, ONE_SPECIES(species=species.main, others=others)))

    return asked


def base_of(request: Request, catalogue: Catalogue) -> Base:
    """The base of a request that takes BASE and WOOD: wooden rails where nothing is said.

    :raises Refusal: something is said of it, and not what it is made of; wood of what is none
    """
    material = request[RAIL_MATERIAL.name]
    said = [param for param in _OF_A_BASE if request[param.name] is not None]
    if material is None and said:
        raise Refusal(
            "NO_MATERIAL",
            "Nothing says what the base is made of.",
            f"Rails are of {', '.join(MATERIALS)}, or of a species of wood.",
            "Add --base wood, for example.",
            fields=(RAIL_MATERIAL.name,),
            exit_code=2,
        )
    kind = material if material in MATERIALS else "wood"
    wooden = [name for name in ("rail_mc_pct", "joint_width_mm") if request[name] is not None]
    if kind != "wood" and wooden:
        raise Refusal(
            "NOT_OF_WOOD",
            f"Rails of {kind} have no moisture content and no joint across the grain.",
            "Wooden rails have.",
            "Leave it out, or say --base wood.",
            fields=(wooden[0], RAIL_MATERIAL.name),
            exit_code=2,
        )
    made = MATERIALS[kind]
    species = request["species"] if material in (None, "wood") else material
    if isinstance(species, SpeciesShares):
        species = species.main
    return Base(
        kind,
        request["rail_direction"],
        request["rail_width_mm"] or made.width_mm,
        request["rail_thickness_mm"] or made.thickness_mm,
        request["counterbore_mm"] or 0.0,
        request["rails"],
        catalogue.wood(species) if kind == "wood" else None,
        request["rail_mc_pct"],
        request["joint_width_mm"],
        request["uneven_mm"],
        told=material is not None,
    )


def room_of(request: Request) -> Room:
    """The room of a request that takes ROOM."""
    return room_from(request.__getitem__)


def room_at(request: Request, place: Climate) -> Room:
    """The room of a request that takes ROOM, at a place: one that was logged is not heated again, and only
    the machines that are asked for work in it."""
    if not place.indoors:
        return room_of(request)
    return Room("logged", None, None, request["humidify_to_pct"], request["dehumidify_to_pct"])


def finish_of(request: Request, catalogue: Catalogue) -> Finish | None:
    """The finish of a request that takes FINISH or EXPOSURE, None for bare wood."""
    named = request[FINISH.name]
    return None if named in (None, *FINISH.choices) else catalogue.finishes.get(named)


def exposure_of(request: Request, catalogue: Catalogue) -> Exposure:
    """How the top of a request that takes EXPOSURE stands in its room."""
    return Exposure(
        Faces(
            finish_of(request, catalogue), request["finished"], request["underside"], bool(request["covered"])
        ),
        request["build_date"],
    )


def place_of(request: Request, catalogue: Catalogue) -> Climate:
    """The climate of a request that takes PLACE, once it is given."""
    return catalogue.climates.get(request["place"])


def stays_of(request: Request, catalogue: Catalogue) -> tuple[Stay, ...]:
    """The rooms of the top of a request that takes PLACE and ROOM, once a place is given: in one from the
    first day on, and then in those that it moves to."""
    place, told = place_of(request, catalogue), request.values["room"]
    first = Stay(place, room_at(request, place))
    if not isinstance(told, RoomsTold):
        # What kind it is counts for nothing where the room is told by what it does.
        return (first,)
    request.used.add("room")
    begins = told.rooms[0].start
    if begins is not None and begins > moved_in(request):
        raise Refusal(
            "FIRST_ROOM_LATER",
            f"Nothing says where the top stands before {day_words(begins)}.",
            "The first room is that in which it is built: it needs no from.",
            "Leave that from out, or put the room before it first.",
            fields=("room",),
        )
    return (first, *stays_told(told.rooms[1:], catalogue, "room", place))


def moved_in(request: Request) -> date:
    """Day on which the top of a request comes into its room: that of its build, today where nobody says."""
    return request.get(BUILD_DATE) or today_of(request)


def stays_until_built(request: Request, catalogue: Catalogue) -> tuple[Stay, ...]:
    """The same up to the room in which it is built."""
    stays = stays_of(request, catalogue)
    return stays if len(stays) == 1 else up_to(stays, moved_in(request))


def room_year_of(request: Request, catalogue: Catalogue) -> Season:
    """The year of the room of a request that takes PLACE and ROOM, once a place is given; of a top that moves
    house the years of its rooms from its build on.

    :raises Refusal: air that no room has, as it comes of a file that was misread
    """
    stays = stays_of(request, catalogue)
    home = request["place"]
    names = (home, *(told.place or home for told in rooms_after(request.values["room"])))
    years = [_year_of(stay, name) for stay, name in zip(stays, names, strict=True)]
    idle = told_for_nothing(request.values, stays[0].place)
    years[0] = replace(years[0], notes=(*idle, *years[0].notes))
    if len(stays) == 1:
        return years[0]
    begun = moved_in(request)
    past = len(up_to(stays, begun)) - 1
    stays, years = stays[past:], years[past:]
    season = Season.in_turn(years, [begun, *(stay.start or begun for stay in stays[1:])])
    return replace(season, notes=(*moves(stays, years), *season.notes))


def _year_of(stay: Stay, name: str) -> Season:
    season = stay.season
    assert season.room_air is not None
    season.room_air.refuse_misread(f"The air of {name}", f"woodmove climate show {name}", "place")
    return season


def has_season(request: Request) -> bool:
    """True if a request that takes SERVICE says anything of its year in service."""
    return any(request[name] is not None for name in ("mc_low_pct", "mc_high_pct", "place"))


def season_of(request: Request, catalogue: Catalogue) -> Season:
    """The year in service of a request that takes SERVICE: the two extremes if they are given, else the
    air of the place in the room.

    :raises Refusal: neither given, only one extreme, or air that no room has
    """
    low, high = request["mc_low_pct"], request["mc_high_pct"]
    if (low is not None or high is not None) and request["place"] is not None:
        raise Refusal(
            "SEASON_TWICE",
            "The year in service is given twice, as extremes and as a place.",
            "It is a driest and a dampest moisture content, or a place.",
            "Leave out --place, or leave out --mc-low and --mc-high.",
            fields=("place", "mc_low_pct", "mc_high_pct"),
            exit_code=2,
        )
    if low is not None and high is not None:
        return Season.between(low, high)
    if low is not None or high is not None:
        raise Refusal(
            "HALF_A_SEASON",
            "Only one of the two moisture extremes is given.",
            "The year in service is a driest and a dampest moisture content, or a place.",
            "Give both extremes, such as --mc-low 6 --mc-high 11, or --place burlington.",
            fields=("mc_low_pct", "mc_high_pct"),
            exit_code=2,
        )
    if request["place"] is None:
        raise Refusal(
            "NO_SEASON",
            "Nothing says how dry and how damp the wood will become in service.",
            "The year in service is a driest and a dampest moisture content, or a place.",
            "Add --mc-low 6 --mc-high 11, or --place burlington, for example.",
            fields=("mc_low_pct", "mc_high_pct", "place"),
            exit_code=2,
        )
    return room_year_of(request, catalogue)


def top_of(request: Request, catalogue: Catalogue) -> Top:
    """The top of a request that takes WOOD, TOP_WIDTH, TOP_THICKNESS, MC_NOW and MC_READINGS.

    :raises Refusal: no width, or a grain that is not told or told twice
    """
    if request["top_width_mm"] is None:
        raise Refusal(
            "NO_WIDTH",
            "The width of the top is not known.",
            "Its movement is so much of its width.",
            "Add --width 30in, for example.",
            fields=("top_width_mm",),
            exit_code=2,
        )
    thickness = request.get("top_thickness_mm")
    return Top(
        wood_of(request, catalogue),
        request["top_width_mm"],
        thickness,
        _grain(request["rings_deg"], request["strips_from"], request["pith_depth_mm"], thickness),
        request.get("mc_now_pct"),
        request["mc_readings"],
    )


def strips_top_of(request: Request, catalogue: Catalogue, width_mm: float) -> Top:
    """The top of a request that takes WOOD, TOP_THICKNESS, STRIP_WIDTH, MC_NOW and MC_READINGS, as strips
    on edge that come to a width; where nothing is said of their rings, the pure case.

    :raises Refusal: a grain that is told twice
    """
    values = dict(request.values) | {"top_width_mm": width_mm}
    if request["pith_depth_mm"] is None and request["rings_deg"] is None:
        values |= {"rings_deg": "on-edge", "strips_from": None}
    elif request["top_thickness_mm"] is None:
        values["top_thickness_mm"] = request["strip_width_mm"]
    return top_of(replace(request, values=values), catalogue)


def _grain(rings: Any, board: Lumber | None, pith_mm: float | None, thickness_mm: float | None):
    if pith_mm is None and rings is not None:
        return Rings(90.0, on_edge=True) if rings == "on-edge" else Rings(rings)
    if board is None and pith_mm is None:
        raise Refusal(
            "NO_GRAIN",
            "Nothing says how the rings lie.",
            "Rings are flat, quarter, on-edge or an angle; or strips come from a board with its pith.",
            "Look at the end grain and add --rings flat, or --stock 2x8 --pith-depth 1-1/2in.",
            fields=("rings_deg",),
            exit_code=2,
        )
    if board is None:
        raise Refusal(
            "HALF_A_BOARD",
            "The pith of a board is told, but not the board.",
            "Strips carry the rings of the board that they were ripped from.",
            "Type --stock 2x8.",
            fields=("strips_from", "pith_depth_mm"),
            exit_code=2,
        )
    if pith_mm is None:
        raise Refusal(
            "HALF_A_BOARD",
            "The board is told, but not how deep its pith lies.",
            "Strips carry the rings of the board that they were ripped from.",
            "Look at the end grain and add --pith-depth 1-1/2in, or --rings on-edge.",
            fields=("pith_depth_mm", "strips_from"),
            exit_code=2,
        )
    if rings not in (None, "on-edge"):
        raise Refusal(
            "GRAIN_TWICE",
            "The rings are given twice, as an angle and as strips from a board.",
            "Strips from a board carry their own ring angles.",
            "Leave out --rings, or leave out --pith-depth.",
            fields=("rings_deg", "strips_from"),
            exit_code=2,
        )
    if thickness_mm is None:
        raise Refusal(
            "NO_THICKNESS",
            "Strips from a board need the thickness of the top.",
            "A strip turned on edge is as wide as the top is thick.",
            "Add the thickness, such as 3in.",
            fields=("top_thickness_mm",),
            exit_code=2,
        )
    return EdgeStrips(board, pith_mm, thickness_mm)
