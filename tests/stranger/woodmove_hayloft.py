"""A plugin of somebody else: one of everything that a plugin may bring. Its numbers are invented."""

from collections.abc import Iterator
from typing import Annotated

from woodmove.extend.api import (
    PERCENT,
    Accuracy,
    AcrossGrain,
    Adhesive,
    Answer,
    Catalogue,
    Check,
    Climate,
    Coefficients,
    CommandSpec,
    Finish,
    Known,
    Meter,
    Output,
    Param,
    Request,
    Screw,
    Section,
    Sheet,
    Shown,
    Shrinkage,
    Species,
    SpeciesPair,
    SpecificGravity,
    Stage,
    Status,
    StiffnessRatios,
    Table,
    Verdict,
    Washer,
    assumption,
    groups,
    hookimpl,
    note,
    quantity,
    results,
    warning,
)

WOODMOVE_PLUGIN_API = 1

OURS = Known(Status.JUDGEMENT, "", "invented for a test")

HEDGE_MAPLE = Species(
    "hedge-maple",
    "Hedge maple",
    "hardwood",
    aliases=("field maple of the hedge",),
    coefficients=(Coefficients("hayloft", 0.0014, 0.0027, OURS),),
    fibre_saturation_pct=28.0,
    shrinkage=(Shrinkage(4.0, 8.1, 12.0, OURS),),
    specific_gravity=(SpecificGravity("12 %", 0.61, OURS),),
    across_grain=(AcrossGrain("12 %", 6500.0, 10.5, OURS),),
    stiffness_ratios=StiffnessRatios(0.07, 0.13, None, None, None, OURS),
    known=OURS,
)
BARN = Climate(
    "hayloft-barn",
    "Hayloft barn",
    "Upland",
    "a thermometer on the door",
    (-6.0, -4.5, 0.5, 6.5, 12.5, 17.0, 19.5, 18.5, 14.0, 8.5, 3.0, -3.0),
    (78.0, 75.0, 71.0, 68.0, 69.0, 72.0, 73.0, 76.0, 79.0, 78.0, 80.0, 81.0),
    "eleven winters",
    OURS,
    latitude_deg=46.8,
)
MILK_PAINT = Finish(
    "hayloft-milk-paint", "Milk paint of the hayloft", 3, 4.0e7, {1: 40.0, 7: 18.0, 14: 9.0},
    {1: 41.0, 7: 17.0, 14: 9.5}, OURS, aliases=("barn paint",),
)  # fmt: skip
SCREW = Screw("hayloft-5x50", "Hayloft 5 x 50", "", 5.0, 3.2, 9.4, False, 5.5, OURS)
WASHER = Washer("hayloft-washer", "Hayloft washer", "", 5.5, 16.0, 1.5, OURS)
METER = Meter(
    "hayloft-pins", "Two nails and an ohmmeter", "pin", 7.0, 26.0, (Accuracy(7.0, 18.0, 2.5, OURS),), OURS,
    calibrated_c=20.0, points_per_c=0.1, pairs=(SpeciesPair("hedge-maple", 1.05, -0.4, OURS),),
    practice="Nails go in across the grain.",
)  # fmt: skip
GLUE = Adhesive(
    "hayloft-casein", "Casein glue of the hayloft", "water", 12.0, 20.0, 5.0, 48.0, 260.0, 60.0, 6.0, 14.0,
    5.0, 0.3, "full", "Mix it an hour before.", OURS,
)  # fmt: skip


@results
class Layer:
    """A layer of the stack. The names of its fields are the stranger's own."""

    layer: Annotated[int, Shown("layer", level="key")]
    sticks: Annotated[int, Shown("sticks", level="key")]
    stick_above_mm: Annotated[float, Shown("stick above", quantity.LENGTH, "key")]


@results
class Stack:
    """How a stack of lumber lies in the loft."""

    spare_room_pct: Annotated[float, Shown("room to spare", quantity.SHARE, "headline")]
    gravity: Annotated[float | None, Shown("specific gravity")]
    layers: Annotated[tuple[Layer, ...], Shown("layers", level="key")]
    by_beam: Annotated[Table, Shown("under each beam")]


TURN = note("TURN", "Turn the stack when the loft is {full_pct} full.", full_pct=quantity.SHARE)
TURN_IN_MARCH = note("TURN_IN_MARCH", "Turn the stack in the loft.")
TIGHT = warning("TIGHT", "There is {spare_pct} left.", spare_pct=quantity.SHARE)
DRY_FLOOR = assumption("DRY_FLOOR", "The floor of the loft is dry.")


def stacked(request: Request, catalogue: Catalogue) -> Answer[Stack]:
    """What the hayloft's air asks of a stack of lumber."""
    wood = groups.wood_of(request, catalogue)
    full = request["fill_pct"]
    spare = 100.0 - full
    # A column for each beam: known only when the loft is.
    beams = {f"Beam {name}": Shown(f"beam {name}", quantity.LENGTH) for name in "AB"}
    found = Stack(
        spare_room_pct=spare,
        gravity=wood.gravity_12,
        layers=tuple(Layer(layer=n, sticks=4 + n % 2, stick_above_mm=25.4 * n) for n in (1, 2, 3)),
        by_beam=Table(beams, ((254.0, 508.0), (None, 762.0))),
    )
    notes = (DRY_FLOOR(), *((TIGHT(spare_pct=spare),) if spare < 10 else ()))
    return Answer(Verdict("know", (TURN(full_pct=full),)), found, notes, ("Ledger of the hayloft, page 4",))


def checks(found: Stack) -> Iterator[Check]:
    """What to look at each year."""
    yield Check(TURN_IN_MARCH(), month=3)


STACK = CommandSpec(
    "loft stack",
    "How a stack of lumber lies in the loft.",
    ("woodmove loft stack --species hedge-maple --fill 80",),
    (
        *groups.WOOD,
        Param("fill_pct", "--fill", PERCENT, "How full the loft is", "80", "loft.fill", required=True, low=0,
              high=100),
    ),
    stacked,
    table="layers",
)  # fmt: skip


@results
class Stick:
    """Sticks between the layers of a stack."""

    wood: Annotated[str, Shown("wood", level="key")]
    thick_mm: Annotated[float, Shown("thick", quantity.LENGTH, "key")]
    dry_after: Annotated[str, Shown("dry after")]


@results
class Sticks:
    """Every kind of stick."""

    sticks: Annotated[tuple[Stick, ...], Shown("sticks", level="key")]


ONE_KIND = note("ONE_KIND", "Take one kind of stick to a stack.")


def listed(request: Request, catalogue: Catalogue) -> Answer[Sticks]:
    """The sticks in the loft."""
    kinds = (
        Stick(wood="larch", thick_mm=19.05, dry_after="9 months"),
        Stick(wood="ash", thick_mm=25.4, dry_after="a year"),
    )
    return Answer(Verdict("know", (ONE_KIND(),)), Sticks(sticks=kinds))


STICKS = CommandSpec(
    "list sticks", "The sticks in the loft.", ("woodmove list sticks",), (), listed, table="sticks"
)


def slip(sheet: Sheet, ending: str) -> bytes:
    """What is to be done, on a slip of paper."""
    return "\n".join([sheet.title, *sheet.says]).encode()


@hookimpl
def woodmove_species() -> list[Species]:
    return [HEDGE_MAPLE]


@hookimpl
def woodmove_climates() -> list[Climate]:
    return [BARN]


@hookimpl
def woodmove_finishes() -> list[Finish]:
    return [MILK_PAINT]


@hookimpl
def woodmove_fasteners() -> list[Screw | Washer]:
    return [SCREW, WASHER]


@hookimpl
def woodmove_meters() -> list[Meter]:
    return [METER]


@hookimpl
def woodmove_adhesives() -> list[Adhesive]:
    return [GLUE]


@hookimpl
def woodmove_commands() -> list[CommandSpec]:
    return [STACK, STICKS]


@hookimpl
def woodmove_plan_sections() -> list[Section]:
    return [Section("loft", "The stack in the loft", STACK, Stage.YEAR, "Loft", checks=checks)]


@hookimpl
def woodmove_outputs() -> list[Output]:
    return [Output("slip", "A slip of paper", ("plan", "loft stack"), (".txt",), slip)]
