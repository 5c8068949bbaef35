"""Go, go with what, or stop: the glue-ups of a top, in the sentences that come first."""

from collections.abc import Sequence

from woodmove.extend.api import Note, Verdict, note, quantity
from woodmove_glue import tried as trying
from woodmove_glue.results import Instead
from woodmove_glue.tried import Tried

_MINUTES = {"takes_min": quantity.MINUTES, "allowed_min": quantity.MINUTES}
# Told as finely as a need of one clamp more shows in it.
_PRESSURE = quantity.Quantity("_mpa", ("psi", 1, 1), ("MPa", 0.01, 0.01))
_PRESSURES = {"gives_mpa": _PRESSURE, "low_mpa": _PRESSURE}

IN_TIME = note("IN_TIME", "It takes about {takes_min}, and the glue allows {allowed_min}.", **_MINUTES)
OPEN_IN_TIME = note(
    "IN_TIME", "A joint stays open about {takes_min}, and the glue allows {allowed_min}.", **_MINUTES
)
CLOCK_OUT = note("CLOCK_OUT", "If the clock runs out, clamp what is spread and leave the rest dry.")
PLANE_AFTER = note("PLANE_AFTER", "Plane the joints for good after {wait_days}.", wait_days=quantity.DAYS)
HAVE_CLAMPS = note(
    "HAVE_CLAMPS", "Have {clamps} clamps at hand ({kind}), {spacing_mm} apart.",
    clamps=None, kind=None, spacing_mm=quantity.LENGTH,
)  # fmt: skip

MORE_CLAMPS = note(
    "MORE_CLAMPS",
    "{more} more clamps, or thicker cauls: {clamps} give {gives_mpa}, and {low_mpa} is the least.",
    more=None, clamps=None, **_PRESSURES,
)  # fmt: skip
ONE_MORE_CLAMP = note(
    "MORE_CLAMPS",
    "one more clamp, or thicker cauls: {clamps} give {gives_mpa}, and {low_mpa} is the least.",
    clamps=None, **_PRESSURES,
)  # fmt: skip
STRONGER_CLAMPS = note(
    "STRONGER_CLAMPS",
    "stronger clamps, or a press: the {clamps} that fit give {gives_mpa}, and {low_mpa} is the least.",
    clamps=None, **_PRESSURES,
)  # fmt: skip
HELPERS = note(
    "HELPERS", "{people} people: by {hands} it takes {takes_min}, and the glue allows {allowed_min}.",
    people=None, hands=None, **_MINUTES,
)  # fmt: skip
COOLER = note(
    "COOLER",
    "a shop at {cool_c} or a little cooler: it takes {takes_min}, and the glue allows {allowed_min}.",
    cool_c=quantity.TEMPERATURE, **_MINUTES,
)  # fmt: skip

TOO_COLD = note(
    "TOO_COLD",
    "Do not glue at {temp_c}: this glue needs {least_c}. That is for wood, air and glue, until it has set.",
    temp_c=quantity.TEMPERATURE, least_c=quantity.TEMPERATURE,
)  # fmt: skip
TOO_WET = note(
    "TOO_WET_TO_GLUE",
    "Do not glue strips at {mc_pct}: this glue takes {high_pct} at most. Let them dry.",
    mc_pct=quantity.MOISTURE, high_pct=quantity.MOISTURE,
)  # fmt: skip
SOAKED = note(
    "SOAKED",
    "Do not glue strips of {strip_mm} with it: its water would wet them by {rise_points}. Use a glue without "
    "water.",
    strip_mm=quantity.FINE_LENGTH, rise_points=quantity.POINTS,
)  # fmt: skip
UNPRESSED = note(
    "UNPRESSED",
    "Do not glue with {clamps} clamps: they give {gives_mpa}, half of {low_mpa} or less. Get {more} more, "
    "or stronger ones.",
    clamps=None, more=None, **_PRESSURES,
)  # fmt: skip
TOO_SLOW = note(
    "TOO_SLOW",
    "Do not glue all {strips} at once: it takes {takes_min}, and the glue allows {allowed_min}.",
    strips=None, **_MINUTES,
)  # fmt: skip
INSTEAD = note("INSTEAD", "Instead: {way}.", way=None)

_MOST = 3


def verdict(glue_ups: Sequence[Tried], ways: Sequence[Instead], wait_days: float | None) -> Verdict:
    """What to do: all glue-ups of a top in one verdict.

    :param glue_ups: of the sections, and of joining them
    :param ways: what would make the worst of them a go
    :param wait_days: until the joints may be planed for good, None where nobody knows
    """
    if stops := [said for tried in glue_ups for said in _stops(tried)]:
        # Of too few clamps it is said how many more there must be.
        other = any(said.code != UNPRESSED.code for said in stops)
        way = [INSTEAD(way=ways[0].instead)] if ways and other else []
        once = list({said.code: said for said in stops}.values())
        return Verdict("stop", (*once[: _MOST - len(way)], *way))
    slowest = min(glue_ups, key=lambda tried: tried.chance)
    needs = {said.code: said for tried in (*glue_ups, slowest) for said in _needs(tried)}
    says = [CLOCK_OUT()] if slowest.slow else [_in_time(slowest), CLOCK_OUT()]
    if not slowest.plan.told_clamps:
        plan = slowest.plan
        spacing = plan.length_mm / plan.work.clamps
        says.insert(0, HAVE_CLAMPS(clamps=plan.work.clamps, kind=_lower(plan.clamp.name), spacing_mm=spacing))
    elif wait_days is not None:
        says.append(PLANE_AFTER(wait_days=wait_days))
    return Verdict("go", tuple(says), tuple(needs.values()))


def _minutes(tried: Tried) -> tuple[bool, dict[str, float]]:
    """Of the tighter of the two times: whether it is the open one; what it takes and what the glue allows."""
    work, (opened, whole) = tried.plan.work, tried.allowed
    tighter = work.open_min * whole > work.whole_min * opened  # by the share that is used up
    takes, allowed = (work.open_min, opened) if tighter else (work.whole_min, whole)
    return tighter, {"takes_min": takes, "allowed_min": allowed}


def _in_time(tried: Tried) -> Note:
    is_open, minutes = _minutes(tried)
    return (OPEN_IN_TIME if is_open else IN_TIME)(**minutes)


def _stops(tried: Tried) -> list[Note]:
    plan, because = tried.plan, tried.because
    said = []
    if trying.COLD in because:
        said.append(TOO_COLD(temp_c=plan.shop.temp_c, least_c=plan.adhesive.temp_low_c))
    if trying.WET in because:
        said.append(TOO_WET(mc_pct=plan.shop.mc_pct, high_pct=plan.adhesive.mc_high_pct))
    if trying.SOAKED in because and plan.joint is not None:
        said.append(SOAKED(strip_mm=plan.strip_mm, rise_points=plan.joint.rise_points))
    if trying.UNPRESSED in because and plan.pressure_mpa is not None:
        low = plan.pressure_mpa[0]
        said.append(
            UNPRESSED(clamps=plan.work.clamps, more=plan.more_clamps, gives_mpa=plan.gives_mpa, low_mpa=low)
        )
    if trying.SLOW in because:
        _, minutes = _minutes(tried)
        what = f"{plan.work.strips} {'sections' if plan.joining else 'strips'}"
        said.append(TOO_SLOW(strips=what, **minutes))
    return said


def _needs(tried: Tried) -> list[Note]:
    plan, said = tried.plan, []
    if plan.weak and plan.pressure_mpa is not None:
        press = {"clamps": plan.work.clamps, "gives_mpa": plan.gives_mpa, "low_mpa": plan.pressure_mpa[0]}
        fit = plan.work.clamps + plan.more_clamps <= plan.room_for_clamps
        if not fit:
            said.append(STRONGER_CLAMPS(**press))
        elif plan.more_clamps == 1:
            said.append(ONE_MORE_CLAMP(**press))
        else:
            said.append(MORE_CLAMPS(more=plan.more_clamps, **press))
    if tried.slow and (helped := tried.helped) is not None:
        _, minutes = _minutes(tried)
        if helped.plan.work.hands > plan.work.hands:
            alone = "one" if plan.work.hands == 1 else f"{plan.work.hands}"
            said.append(HELPERS(people=helped.plan.work.hands, hands=alone, **minutes))
        else:
            said.append(COOLER(cool_c=helped.plan.shop.temp_c, **minutes))
    return said


def _lower(name: str) -> str:
    return name[:1].lower() + name[1:]
