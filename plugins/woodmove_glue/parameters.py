"""What a glue-up is asked with: its parameters, and what is made of them."""

import math
from dataclasses import dataclass, replace

from woodmove.extend.api import (
    FLAG,
    TEXT,
    TIME,
    WHOLE,
    Adhesive,
    Catalogue,
    Param,
    ParamType,
    Refusal,
    Request,
    Top,
    groups,
    length_text,
    noun,
    strips_for,
)
from woodmove.extend.science import density
from woodmove_glue.clock import (
    CONTACT_SPACING_MM,
    LEAST_PRESSED,
    LEAST_SPACING_MM,
    MC_PCT,
    PACES,
    RH_PCT,
    TEMP_C,
    GlueUp,
    Shop,
    hours,
    needed_clamps,
    pressure_mpa,
)
from woodmove_glue.loader import Clamp, clamps, methods
from woodmove_glue.water import Joint

MOST_HANDS = 6
# What a shop may be colder than a type takes: 55 °F is as good as the 13 °C that it stands for.
ROUNDED_C = 0.5
# A hair less than the least pressure is the same pressure (status: judgement).
AS_GOOD_AS = 0.99
MOST_CLAMPS = 1000


def _clamps(text: str) -> str:
    """Kinds of clamps and how many there are of each: ``12 pipe, 6 bar``; a number of the usual kind, ``12``;
    a kind of which there are as many as it takes, ``bar``.

    :raises ValueError: no number, or a kind that there is not
    """
    kinds = ", ".join(clamps())
    parts = [part.split() for part in text.split(",")]
    for part in parts:
        number, kind = (part[0], part[1:]) if part and part[0].isdigit() else ("", part)
        if number and not 1 <= int(number) <= MOST_CLAMPS:
            raise ValueError(f"{number} is no number of clamps from 1 to {MOST_CLAMPS}")
        if len(kind) > 1 or not part:
            raise ValueError(f"{text} is no number of clamps, and no kind; the kinds are {kinds}")
        if kind and kind[0] not in clamps():
            raise ValueError(f"{kind[0]} is no kind of clamp; there are {kinds}")
        if len(parts) > 1 and not (number and kind):
            raise ValueError(f"{text} does not give number and kind of every clamp, as in 12 pipe, 6 bar")
    return ", ".join(" ".join(part) for part in parts)


CLAMPS = ParamType("[NUMBER] [KIND],...", _clamps)
USUAL_CLAMP = "pipe"

GLUE_DATE = groups.GLUE_DATE.replace(job="glue.on")
STRIPS = Param("glue_strips", "--strips", WHOLE, "Strips that are glued at once; else as many as make the "
                                            "width", "12",
          "glue.strips", low=2, high=2000)  # fmt: skip
_BOTTLE = {
    "open": Param("open_time_min", "", TIME, "Open time", "8min", low=0.1, high=720),
    "whole": Param("assembly_time_min", "", TIME, "Whole assembly time, open and closed together", "15min",
                   low=0.1, high=720),
}  # fmt: skip
_SPREAD = {
    "tool": Param("spread_with", "", TEXT, "How the glue is spread", "roller", choices=tuple(methods()),
                  default="brush"),
    "both_faces": Param("both_faces", "", FLAG, "Glue on both faces of each joint", "true"),
    "all_first": Param("all_first", "", FLAG, "All strips are spread before the first joint is closed",
                       "true"),
}  # fmt: skip
_PACE = {
    "hands": Param("pace", "", TEXT, "How quick the hands are: of a first glue-up, or practised", "first",
                   choices=tuple(PACES), default="first"),
    "strip": Param("strip_time_min", "", TIME, "One person spreads and lays a strip", "30s", low=0.02,
                   high=60),
    "clamp": Param("clamp_time_min", "", TIME, "One person sets a clamp", "20s", low=0.02, high=60),
}  # fmt: skip

PARAMS = (
    *(param.replace(required=param.name == "species") for param in groups.WOOD),
    STRIPS,
    groups.SECTION_STRIPS,
    groups.SECTION_COUNT,
    groups.TOP_WIDTH.replace(required=False, help="Width that is glued at once, where --strips is not told"),
    Param("joined_sections", "--sections", WHOLE, "Sections of so many strips that are joined into one top "
                                                  "afterwards", "3",
          "glue.sections", low=1, high=2000),
    groups.STRIP_THICKNESS.replace(help="Thickness of a strip as glued, or width of a section that is joined",
                               high=1500),
    groups.STRIP_WIDTH,
    groups.TOP_THICKNESS.replace(help="Width of the joints, where --strip-width is not told"),
    groups.TOP_LENGTH.replace(help="Length of the strips"),
    groups.MC_NOW.replace(help="Moisture content of the strips, by meter", low=1),
    groups.GLUED_MC,
    groups.MC_READINGS,
    groups.SHOP_TEMP.replace(help="Temperature of shop, wood and glue", low=-20, high=45),
    groups.SHOP_RH.replace(help="Relative humidity of the shop", low=1, high=99),
    Param("adhesive", "--adhesive", TEXT, "Type of adhesive", "pva", "glue.adhesive", default="pva",
          registry="adhesives"),
    Param("bottle", "--bottle", noun("BOTTLE", _BOTTLE),
          "Times on the bottle, instead of the table's: open, and whole (open and closed together)",
          "open=8min whole=15min", "glue.bottle"),
    *_BOTTLE.values(),
    Param("spread", "--spread", noun("SPREAD", _SPREAD, "tool"),
          f"How the glue is spread: {', '.join(methods())}; on both_faces of a joint; all_first, before the "
          "first joint is closed",
          "roller both_faces", "glue.spread"),
    *_SPREAD.values(),
    groups.PEOPLE.replace(default=1),
    Param("clamps", "--clamps", CLAMPS,
          f"The clamps that there are: 12, or '12 pipe, 6 bar'; or only their kind ({', '.join(clamps())}), "
          "for as many as it takes", "12 pipe", "glue.clamps"),
    Param("hands_pace", "--pace", noun("PACE", _PACE, "hands"),
          "How quick the hands are: first (of a first glue-up), practised, or timed in a dry run of a strip "
          "and for a clamp, 'strip=30s clamp=20s'",
          "strip=30s clamp=20s", "glue.pace"),
    *_PACE.values(),
    *groups.SERVICE,
    GLUE_DATE,
    groups.READY_DATE,
    groups.BUILD_DATE.replace(help="Day by which the joints must be planed"),
    groups.TODAY,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class GlueUpRequest:
    """One glue-up as asked for.

    :param top: what is glued, as one piece
    :param strip_mm: thickness of a strip
    :param deep_mm: width of a joint
    :param length_mm: of the strips
    :param clamp: kind of clamp, of the first of several kinds
    :param told_clamps: True where their number was told
    :param service_pct: mean moisture content in service, None where nobody said so
    :param sections: of so many strips that are joined afterwards, 1 for a top that is glued at once
    :param other_clamps: of further kinds, counted in `work` too
    :param joining: True where what is glued are such sections
    """

    top: Top
    work: GlueUp
    shop: Shop
    adhesive: Adhesive
    strip_mm: float
    deep_mm: float
    length_mm: float
    saturation_pct: float
    clamp: Clamp
    told_clamps: bool
    service_pct: float | None
    sections: int = 1
    other_clamps: tuple[tuple[Clamp, int], ...] = ()
    joining: bool = False

    @property
    def too_wet(self) -> bool:
        """True if the strips are wetter than the adhesive takes."""
        return self.shop.mc_pct > self.adhesive.mc_high_pct

    @property
    def too_cold(self) -> bool:
        """True below what the adhesive takes."""
        return self.shop.temp_c < self.adhesive.temp_low_c - ROUNDED_C

    @property
    def hours(self) -> tuple[float, float]:
        """Hours in the clamps and until it may be machined; a shop that is too cold is warmed first."""
        return hours(self.adhesive, max(self.shop.temp_c, self.adhesive.temp_low_c))

    @property
    def pressure_mpa(self) -> tuple[float, float] | None:
        """Low and high pressure on the joints [MPa]; None for an adhesive that wants contact only."""
        return pressure_mpa(self.top.wood) if self.adhesive.clamping == "full" else None

    @property
    def gives_mpa(self) -> float:
        """Pressure that the clamps give [MPa]. They press all joints one behind the other, so that one joint
        is what counts."""
        return self.clamps_kn / (self.work.joint_m2 * 1000.0)

    @property
    def clamps_kn(self) -> float:
        """Force of all clamps."""
        other = sum(number for _, number in self.other_clamps)
        of_others = sum(clamp.force_kn * number for clamp, number in self.other_clamps)
        return (self.work.clamps - other) * self.clamp.force_kn + of_others

    @property
    def weak(self) -> bool:
        """True if the clamps give less than the least pressure."""
        return self.pressure_mpa is not None and self.gives_mpa < AS_GOOD_AS * self.pressure_mpa[0]

    @property
    def unpressed(self) -> bool:
        """True if they give so little that the joint is not pressed at all."""
        return self.pressure_mpa is not None and self.gives_mpa <= LEAST_PRESSED * self.pressure_mpa[0]

    @property
    def more_clamps(self) -> int:
        """How many more of their kind the least pressure takes."""
        if self.pressure_mpa is None or not self.weak:
            return 0
        missing_kn = self.pressure_mpa[0] * self.work.joint_m2 * 1000.0 - self.clamps_kn
        return math.ceil(missing_kn / self.clamp.force_kn - 1e-9)

    @property
    def set_days(self) -> int:
        """Whole days until a joint may be machined, or glued again."""
        return math.ceil(self.hours[1] / 24.0)

    @property
    def joined(self) -> "GlueUpRequest | None":
        """The glue-up that joins the sections; None where there are none."""
        if self.sections < 2:
            return None
        return replace(
            self,
            work=replace(self.work, strips=self.sections),
            strip_mm=self.work.strips * self.strip_mm,
            sections=1,
            joining=True,
        )

    @property
    def glue_ups(self) -> "tuple[tuple[GlueUpRequest, int], ...]":
        """All glue-ups of the top, and how often each is done."""
        joined = self.joined
        return ((self, 1),) if joined is None else ((self, self.sections), (joined, 1))

    @property
    def joint(self) -> Joint | None:
        """A strip and the water of its joints; None without water, or where no table gives the density."""
        gravity, mc = self.top.wood.gravity_12, self.shop.mc_pct
        water_kg_m2 = self.adhesive.spread_g_m2 * self.adhesive.water_pct / 100.0 / 1000.0
        if gravity is None or water_kg_m2 == 0.0:
            return None
        dry = float(density.density_kg_m3(gravity, mc, self.saturation_pct)) / (1.0 + mc / 100.0)
        return Joint(self.strip_mm, dry, gravity, mc, water_kg_m2, self.shop.temp_c)

    @property
    def room_for_clamps(self) -> int:
        """How many stand side by side; two at the least."""
        return max(2, math.floor(self.length_mm / LEAST_SPACING_MM))

    def clamps_for(self, mpa: float, clamp: Clamp) -> int:
        """How many clamps of a kind give a pressure."""
        return needed_clamps(mpa * self.work.joint_m2 * 1000.0, clamp.force_kn)


def plan_of(request: Request, catalogue: Catalogue) -> GlueUpRequest:
    strip, length = request["strip_thickness_mm"], request["top_length_mm"]
    deep = request["strip_width_mm"] if request["strip_width_mm"] is not None else request["top_thickness_mm"]
    missing = [
        (name, option, example)
        for name, option, example, value in (
            ("strip_thickness_mm", "--strip-thickness", "1-3/8in", strip),
            ("strip_width_mm", "--strip-width", "3-1/4in", deep),
            ("top_length_mm", "--length", "47in", length),
        )
        if value is None
    ]
    if missing:
        raise Refusal(
            "NO_STRIP_SIZE",
            "The size of a strip is not known.",
            "The area of a joint is the width of a strip times its length.",
            "Add " + " ".join(f"{option} {example}" for _, option, example in missing) + ", for example.",
            fields=tuple(name for name, _, _ in missing),
            exit_code=2,
        )
    count = _count(request, strip)
    adhesive = _as_on_the_bottle(catalogue.adhesives.get(request["adhesive"]), request)
    shop = Shop(
        TEMP_C if request["temp_c"] is None else request["temp_c"],
        RH_PCT if request["rh_pct"] is None else request["rh_pct"],
        MC_PCT if request["mc_now_pct"] is None else request["mc_now_pct"],
    )
    top = groups.strips_top_of(request, catalogue, count * strip)
    saturation = min(member.fibre_saturation_pct for member in top.wood.candidates)
    joint_m2 = deep * length * 1e-6
    faces = 2 if request["both_faces"] else 1
    lay_min, clamp_min = PACES[request["pace"]]
    if request["strip_time_min"] is not None:
        spread, lay = request["strip_time_min"], 0.0
    else:
        spread, lay = faces * joint_m2 / methods()[request["spread_with"]].m2_per_min, lay_min
    if request["clamp_time_min"] is not None:
        clamp_min = request["clamp_time_min"]
    hands = min(request["people"], MOST_HANDS)
    work = GlueUp(count, joint_m2, spread, lay, 2, clamp_min, hands, request["all_first"])
    kind, number, others = _clamps_of(request)
    plan = GlueUpRequest(
        top,
        work,
        shop,
        adhesive,
        strip,
        deep,
        length,
        saturation,
        kind,
        number is not None,
        groups.season_of(request, catalogue).mean_pct if groups.has_season(request) else None,
        request["joined_sections"] or request["section_count"] or 1,
        others,
    )
    return replace(plan, work=replace(work, clamps=number or usual_clamps(plan)))


def _clamps_of(request: Request) -> tuple[Clamp, int | None, tuple[tuple[Clamp, int], ...]]:
    """The kind of clamp, how many there are in all, and those of further kinds."""
    told = request["clamps"] or USUAL_CLAMP
    if told.isdigit():
        told = f"{told} {USUAL_CLAMP}"
    if told in clamps():
        return clamps()[told], None, ()
    kinds = [(clamps()[kind], int(number)) for number, kind in (part.split() for part in told.split(", "))]
    return kinds[0][0], sum(number for _, number in kinds), tuple(kinds[1:])


def usual_clamps(plan: GlueUpRequest) -> int:
    """As many clamps as the middle of the pressure takes, or as contact does, and no more than stand side by
    side."""
    pressure = plan.pressure_mpa
    if pressure is None:
        return max(2, math.ceil(plan.length_mm / CONTACT_SPACING_MM))
    return min(plan.clamps_for(sum(pressure) / 2.0, plan.clamp), plan.room_for_clamps)


def _count(request: Request, strip_mm: float) -> int:
    strips = request["glue_strips"] or request["section_strips"]
    if strips is not None:
        return strips
    width = request["top_width_mm"]
    if width is None:
        raise Refusal(
            "NO_STRIP_COUNT",
            "Nothing says how many strips are glued at once.",
            "A glue-up is so many strips, or a width.",
            "Type --strips 12, or --width 30in.",
            fields=("glue_strips", "top_width_mm"),
            exit_code=2,
        )
    count = strips_for(width, strip_mm)
    if count < 2:
        raise Refusal(
            "TARGET_NARROWER",
            f"A width of {length_text(width)} is no two strips of {length_text(strip_mm)}.",
            "A glue-up takes at least two strips.",
            "Type a greater --width, or thinner strips.",
            fields=("top_width_mm", "strip_thickness_mm"),
        )
    return count


def _as_on_the_bottle(adhesive: Adhesive, request: Request) -> Adhesive:
    """The adhesive with the times that its maker gives."""
    opened, whole = request["open_time_min"], request["assembly_time_min"]
    if opened is None:
        opened = adhesive.open_min if whole is None else min(adhesive.open_min, whole)
    if whole is None:
        whole = max(adhesive.assembly_min, opened)
    if opened > whole:
        raise Refusal(
            "OPEN_LONGER_THAN_ALL",
            "The open time is longer than the whole assembly time.",
            "Assembly time is open and closed time together.",
            "Type --bottle 'open=8min whole=15min', for example.",
            fields=("open_time_min", "assembly_time_min"),
        )
    return replace(adhesive, open_min=opened, assembly_min=whole)
