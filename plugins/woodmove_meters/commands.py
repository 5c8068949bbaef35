"""woodmove list meters, woodmove meter read, woodmove meter dry."""

from typing import Annotated

from woodmove.extend.api import (
    LENGTH,
    MASS,
    MOISTURE,
    TEMPERATURE,
    Answer,
    Assumption,
    Catalogue,
    Caution,
    CommandSpec,
    Corrected,
    Meter,
    Param,
    ParamType,
    Range,
    Refusal,
    Request,
    Shown,
    Stage,
    Warning,
    groups,
    know,
    mc_of_weights_pct,
    note,
    quantity,
    results,
    target_weight_g,
)

# Depth at which a board with a parabola through it reads its mean. Derived; 1/5 to 1/4 is common practice.
MEAN_DEPTH = 0.211

OVEN = Caution(
    "OVEN",
    "Wood in an oven can scorch and burn, and gives off fumes: 103 °C (217 °F) and no more, with an oven "
    "thermometer, in moving air, never unattended and never in an oven that cooks food at the same time. "
    "No treated, painted or glued wood. A microwave oven sets it alight from within.",
)


GRAVITY = ParamType("GRAVITY", groups.read_gravity)


@results
class MeterRow:
    """A kind of meter."""

    key: Annotated[str, Shown("key", None, "key")]
    name: Annotated[str, Shown("name")]
    range_low_pct: Annotated[float, Shown("range low", quantity.MOISTURE, "key")]
    range_high_pct: Annotated[float, Shown("range high", quantity.MOISTURE, "key")]
    accuracy: Annotated[str | None, Shown("accuracy", None, "key")]
    calibrated_c: Annotated[float | None, Shown("calibrated", quantity.TEMPERATURE, "key")]
    points_per_c: Annotated[float | None, Shown("corrected, in points per °C")]
    species_known: Annotated[str | None, Shown("species known")]
    status: Annotated[str, Shown("status", None, "key")]
    source: Annotated[str, Shown("source")]
    remark: Annotated[str, Shown("remark", None, "key")]


@results
class Meters:
    """Every kind of meter."""

    meters: Annotated[tuple[MeterRow, ...], Shown("meters", None, "key")]


@results
class Read:
    """A reading with its corrections; depths for the pins of a meter that has them."""

    meter_name: Annotated[str, Shown("meter")]
    mc_pct: Annotated[Range, Shown("MC", quantity.MOISTURE, "headline")]
    reading_pct: Annotated[float, Shown("reading", quantity.MOISTURE)]
    corrections: Annotated[str, Shown("corrections")]
    practice: Annotated[str, Shown("practice")]
    mean_depth_mm: Annotated[float | None, Shown("pins for the mean", quantity.FINE_LENGTH)]
    core_depth_mm: Annotated[float | None, Shown("pins for the core", quantity.FINE_LENGTH)]


@results
class Weighed:
    """A piece by its weight."""

    mc_pct: Annotated[float, Shown("MC", quantity.MOISTURE, "headline")]
    dry_weight_g: Annotated[float, Shown("dry weight", quantity.FINE_SCALE)]
    target_weight_g: Annotated[float | None, Shown("weight at the target", quantity.FINE_SCALE, "key")]


def run_list(request: Request, catalogue: Catalogue) -> Answer[Meters]:
    """Every meter: range, accuracy, and how to use it."""
    meters = [meter for _, meter in catalogue.meters]
    return Answer(
        know(METERS_MISS()),
        Meters(
            meters=tuple(
                MeterRow(
                    key=meter.key,
                    name=meter.name,
                    range_low_pct=meter.low_pct,
                    range_high_pct=meter.high_pct,
                    accuracy=_accuracy(meter),
                    calibrated_c=meter.calibrated_c,
                    points_per_c=meter.points_per_c or None,
                    species_known=", ".join(pair.species for pair in meter.pairs) or None,
                    status=meter.known.status.value,
                    source=meter.known.source,
                    remark=f"{meter.practice} {meter.known.remark}",
                )
                for meter in meters
            )
        ),
        sources=tuple(
            known.source
            for meter in meters
            for known in (meter.known, *(band.known for band in meter.accuracy))
        ),
    )


def _accuracy(meter: Meter) -> str | None:
    bands = [
        f"± {band.points:g} at {band.low_pct:g} to {band.high_pct:g} % ({band.known.status.value})"
        for band in meter.accuracy
    ]
    return "; ".join(bands) or None


@groups.of_one_species
def run_read(request: Request, catalogue: Catalogue) -> Answer[Read]:
    """A reading with its corrections, its doubt, and what part of the board it tells of."""
    told = request[groups.METER]
    meter: Meter = catalogue.meters.get(told.kind)
    if meter.principle == "oven":
        raise Refusal(
            "NO_READING",
            "An oven shows no reading.",
            "Weights before and after give the moisture content.",
            "Type woodmove meter dry 136g 100g, for example.",
            fields=("meter",),
            exit_code=2,
        )
    species = catalogue.species.get(request["species"]).key if request["species"] else ""
    setting = told.setting(catalogue)
    found = meter.corrected(
        request["reading_pct"], request["wood_temp_c"], species, setting, request["gravity"],
        told.gravity,
    )  # fmt: skip
    accuracy = meter.within_points(found.mc_pct)
    bound = ((accuracy or 2.0) ** 2 + found.bound_points**2) ** 0.5
    mc = Range(found.mc_pct, max(found.mc_pct - bound, 0.0), found.mc_pct + bound)
    # How deep its pins go is asked of a meter that has pins.
    thickness = request["thickness_mm"] if meter.principle == "pin" else None
    return Answer(
        know(REALLY(mc_pct=mc)),
        Read(
            meter_name=meter.name,
            mc_pct=mc,
            reading_pct=request["reading_pct"],
            corrections="; ".join(found.steps) or "none",
            practice=meter.practice,
            mean_depth_mm=None if thickness is None else MEAN_DEPTH * thickness,
            core_depth_mm=None if thickness is None else thickness / 2,
        ),
        (
            *_warnings(meter, found, request, species, setting),
            *_assumptions(meter, request, species, setting),
        ),
        (meter.known.source, *(band.known.source for band in meter.accuracy)),
    )


def _warnings(
    meter: Meter, found: Corrected, request: Request, species: str, setting: str
) -> tuple[Warning, ...]:
    notes = []
    if not meter.low_pct <= found.mc_pct <= meter.high_pct:
        notes.append(
            Warning(
                "OUTSIDE_METER_RANGE",
                "This kind of meter is reliable from {low_pct} to {high_pct}; beyond, a reading only says "
                "dry or wet.",
                {"low_pct": meter.low_pct, "high_pct": meter.high_pct},
                validity=True,
            )
        )
    elif meter.within_points(found.mc_pct) is None:
        notes.append(
            Warning(
                "ACCURACY_UNKNOWN",
                "Nothing tells how accurate it is at {mc_pct}: 2 points are taken, and it may be worse.",
                {"mc_pct": found.mc_pct},
            )
        )
    if setting and setting != species and meter.principle == "pin" and found.bound_points:
        notes.append(
            Warning(
                "UNKNOWN_PAIR",
                "The meter is set to {setting} and the wood is {species}; no table that could be read "
                "translates one to the other, so the reading stands and its doubt is wider. Set the meter to "
                "the wood, or weigh a sample oven-dry.",
                {"setting": setting, "species": species or "not named"},
            )
        )
    if meter.calibrated_c is not None and request["wood_temp_c"] is None:
        notes.append(
            Warning(
                "NO_WOOD_TEMPERATURE",
                "The temperature of the wood is not told, so it is not corrected: half a point for each "
                "10 °F (5.6 °C).",
            )
        )
    return tuple(notes)


def _assumptions(meter: Meter, request: Request, species: str, setting: str) -> tuple[Assumption, ...]:
    notes = []
    if meter.principle == "pin" and not setting:
        notes.append(
            Assumption(
                "SETTING", "The meter is set to the wood, or its maker's correction is applied already."
            )
        )
    if meter.principle == "pin" and meter.calibrated_c is not None:
        notes.append(
            Assumption(
                "CALIBRATED_AT",
                "It reads right in wood of {temp_c} (common practice; its manual knows better).",
                {"temp_c": meter.calibrated_c},
            )
        )
    if request["thickness_mm"] is not None and meter.principle == "pin":
        notes.append(
            Assumption(
                "GRADIENT",
                "A board with a gradient through it shows its mean at about a fifth of its thickness "
                "(derived for a parabola; 1/5 to 1/4 is common practice), its core at half. Core and shell "
                "apart: the mean of a parabola is two thirds of the way from the shell to the core.",
            )
        )
    return tuple(notes)


METERS_MISS = note(
    "METERS_MISS", "A meter misses by one to two points; type meter read to correct a reading."
)
REALLY = note("REALLY", "The wood is at {mc_pct}.", mc_pct=quantity.MOISTURE)
WEIGHED = note("WEIGHED", "The piece is at {mc_pct}.", mc_pct=quantity.MOISTURE)


def run_dry(request: Request, catalogue: Catalogue) -> Answer[Weighed]:
    """Oven-dry arithmetic: moisture content from two weights, and the weight at a target."""
    weight, dry, mc = request["weight_g"], request["dry_g"], request["mc_pct"]
    if (dry is None) == (mc is None):
        raise Refusal(
            "DRY_OR_MC",
            "Nothing says how wet the piece is." if dry is None else "Its moisture content is given twice.",
            "Besides the weight, either the oven-dry weight or the moisture content is needed.",
            "Type woodmove meter dry 136g 100g, or woodmove meter dry 1500g --mc 12 --target-mc 8.",
            fields=("dry_g", "mc_pct"),
            exit_code=2,
        )
    mc = mc_of_weights_pct(weight, dry) if dry is not None else mc
    target = request["target_mc_pct"]
    return Answer(
        know(WEIGHED(mc_pct=mc)),
        Weighed(
            mc_pct=mc,
            dry_weight_g=weight / (1.0 + mc / 100.0),
            target_weight_g=None if target is None else float(target_weight_g(weight, mc, target)),
        ),
        (
            OVEN,
            Assumption(
                "SAMPLE",
                "Moisture content is the water over the oven-dry wood. A sample slice tells of its board "
                "where it was cut 12 to 24 in from the end and weighed at once.",
            ),
        ),
        ("astm-d4442",),
    )


LIST = CommandSpec(
    "list meters",
    "Moisture meters: range, accuracy, corrections, and how to use each.",
    ("woodmove list meters",),
    (),
    run_list,
    table="meters",
    line="Kinds of moisture meter",
    stage=Stage.WOOD,
)
READ = CommandSpec(
    "meter read",
    "What a meter's reading means: corrected for temperature and setting, with its doubt.",
    (
        "woodmove meter read 12 --wood-temp 45F --species northern-red-oak",
        "woodmove meter read 9 --meter 'pinless set_to=0.5' --gravity 0.56",
    ),
    (
        Param("reading_pct", "READING", MOISTURE, "What the meter shows", "12", required=True, low=0,
              high=100),
        groups.METER,
        Param("wood_temp_c", "--wood-temp", TEMPERATURE, "Temperature of the wood", "45F", low=-40, high=80),
        groups.SPECIES.replace(required=False, help="Species of the wood"),
        Param("gravity", "--gravity", GRAVITY, "Specific gravity of this very board, weighed and measured",
              "0.56"),
        Param("thickness_mm", "--thickness", LENGTH, "Thickness of the board, for the depth of the pins",
              "1-1/2in", low=1, high=500),
    ),
    run_read,
    line="What a meter reading means",
    stage=Stage.WOOD,
)  # fmt: skip
DRY = CommandSpec(
    "meter dry",
    "Moisture content from two weights, and what a piece will weigh at its target.",
    (
        "woodmove meter dry 136g 100g --target-mc 8",
        "woodmove meter dry '3lb 4oz' --mc 12 --target-mc 8",
    ),
    (
        Param("weight_g", "WEIGHT", MASS, "Weight of the piece today", "136g", required=True, low=0.01,
              high=1e6),
        Param("dry_g", "DRY", MASS, "Weight of the same piece, oven-dry", "100g", low=0.01, high=1e6),
        Param("mc_pct", "--mc", MOISTURE, "Its moisture content, if that is known instead", "12", low=0,
              high=200),
        Param("target_mc_pct", "--target-mc", MOISTURE, "Moisture content to reach", "8", low=0, high=200),
    ),
    run_dry,
    line="Moisture from weights before and after drying",
    stage=Stage.WOOD,
)  # fmt: skip
