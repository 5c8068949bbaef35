"""What a glue-up is asked with: its parameters, and what is made of them."""

import math
from dataclasses import dataclass, replace

from woodmove.extend.api import (
    DATE,
    FLAG,
    LENGTH,
    TEXT,
    TIME,
    WHOLE,
    Adhesive,
    Catalogue,
    Param,
    Refusal,
    Request,
    Top,
    groups,
    length_text,
    strips_for,
)
from woodmove.extend.science import density
from woodmove_glue.clock import (
    CLAMP_MIN,
    CONTACT_SPACING_MM,
    LAY_MIN,
    LEAST_SPACING_MM,
    MC_PCT,
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

# What stands over its strip by more is felt and shows under a finish (status: judgement).
LEVEL_MM = 0.025
MOST_HANDS = 6
# What a shop may be colder than a type takes: 55 °F is as good as the 13 °C that it stands for.
ROUNDED_C = 0.5

GLUE_DATE = Param("glue_date", "--on", DATE, "Day of the glue-up", "2027-01-05", "glue.on")
STRIPS = Param("glue_strips", "--strips", WHOLE, "Strips that are glued at once; else as many as make the "
                                            "width", "12",
          "glue.strips", low=2, high=2000)  # fmt: skip

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
    groups.MC_READINGS,
    groups.SHOP_TEMP.replace(help="Temperature of shop, wood and glue", low=-20, high=45),
    groups.SHOP_RH.replace(help="Relative humidity of the shop", low=1, high=99),
    Param("adhesive", "--adhesive", TEXT, "Type of adhesive", "pva", "glue.adhesive", default="pva",
          registry="adhesives"),
    Param("open_time_min", "--open-time", TIME, "Open time on the bottle, instead of the table's", "8min",
          "glue.open_time", low=0.1, high=720),
    Param("assembly_time_min", "--assembly-time", TIME,
          "Whole assembly time on the bottle, open and closed "
          "together", "15min", "glue.assembly_time", low=0.1,
          high=720),
    Param("spread_with", "--spread", TEXT, "How the glue is spread", "roller", "glue.spread",
          choices=tuple(methods()), default="brush"),
    Param("both_faces", "--both-faces", FLAG, "Glue on both faces of each joint", "true",
          "glue.both_faces"),
    Param("all_first", "--all-first", FLAG, "All strips are spread before the first joint is closed", "true",
          "glue.all_first"),
    Param("hands", "--people", WHOLE, "People who spread, lay and "
                                      "clamp", "2", "glue.people", default=1, low=1,
          high=MOST_HANDS),
    Param("clamp", "--clamp", TEXT, "Kind of clamp", "pipe", "glue.clamp", choices=tuple(clamps()),
          default="pipe"),
    Param("clamps", "--clamps", WHOLE, "How many clamps there are; else as many as the pressure takes", "8",
          "glue.clamps", low=1, high=1000),
    Param("strip_time_min", "--strip-time", TIME, "Time in which one person spreads and lays a strip, "
                                                  "as timed in a dry run", "30s",
          "glue.strip_time", low=0.02, high=60),
    Param("clamp_time_min", "--clamp-time", TIME, "Time to set one clamp, as timed in a dry run", "20s",
          "glue.clamp_time", default=CLAMP_MIN, low=0.02, high=60),
    Param("level_step_mm", "--level", LENGTH, "How far a seam may stand up when the joint is "
                                              "planed", "0.001in",
          "glue.level", default=LEVEL_MM, low=0.002, high=5),
    *groups.SERVICE,
    GLUE_DATE,
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
    :param clamp: kind of clamp
    :param told_clamps: True where their number was told
    :param service_pct: mean moisture content in service, None where nobody said so
    :param sections: of so many strips that are joined afterwards, 1 for a top that is glued at once
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
        """Pressure that the clamps give [MPa]."""
        return self.work.clamps * self.clamp.force_kn / (self.work.joint_m2 * 1000.0)

    @property
    def joint(self) -> Joint | None:
        """A strip and the water of its joints; None without water, or where no table gives the density."""
        return self._joint(self.strip_mm)

    @property
    def section_joint(self) -> Joint | None:
        """The same of a section between two others; None where there is none."""
        return None if self.sections < 2 else self._joint(self.work.strips * self.strip_mm)

    def _joint(self, wide_mm: float) -> Joint | None:
        gravity, mc = self.top.wood.gravity_12, self.shop.mc_pct
        water_kg_m2 = self.adhesive.spread_g_m2 * self.adhesive.water_pct / 100.0 / 1000.0
        if gravity is None or water_kg_m2 == 0.0:
            return None
        dry = float(density.density_kg_m3(gravity, mc, self.saturation_pct)) / (1.0 + mc / 100.0)
        return Joint(wide_mm, dry, gravity, mc, water_kg_m2, self.shop.temp_c)

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
    if request["strip_time_min"] is not None:
        spread, lay = request["strip_time_min"], 0.0
    else:
        spread, lay = faces * joint_m2 / methods()[request["spread_with"]].m2_per_min, LAY_MIN
    work = GlueUp(
        count, joint_m2, spread, lay, 2, request["clamp_time_min"], request["hands"], request["all_first"]
    )
    plan = GlueUpRequest(
        top,
        work,
        shop,
        adhesive,
        strip,
        deep,
        length,
        saturation,
        clamps()[request["clamp"]],
        request["clamps"] is not None,
        groups.season_of(request, catalogue).mean_pct if groups.has_season(request) else None,
        request["joined_sections"] or request["section_count"] or 1,
    )
    return replace(plan, work=replace(work, clamps=request["clamps"] or usual_clamps(plan)))


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
            "Type --strips 12, or --top-width 30in.",
            fields=("glue_strips", "top_width_mm"),
            exit_code=2,
        )
    count = strips_for(width, strip_mm)
    if count < 2:
        raise Refusal(
            "TARGET_NARROWER",
            f"A width of {length_text(width)} is no two strips of {length_text(strip_mm)}.",
            "A glue-up takes at least two strips.",
            "Type a greater --top-width, or thinner strips.",
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
            "Type --open-time 8min --assembly-time 15min, for example.",
            fields=("open_time_min", "assembly_time_min"),
        )
    return replace(adhesive, open_min=opened, assembly_min=whole)
