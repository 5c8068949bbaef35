"""A glue-up against its clock and its clamps, and what would better it."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from woodmove.extend.api import Adhesive, Catalogue, balanced, sections_text
from woodmove.extend.science import Array
from woodmove_glue.clock import allowed_min, margin_min
from woodmove_glue.loader import clamps
from woodmove_glue.parameters import MOST_HANDS, GlueUpRequest, usual_clamps
from woodmove_glue.results import Instead

# A go is a glue-up that is closed in time so often (status: judgement).
SURE = 0.9
# More people than this get in each other's way at one glue-up (status: judgement).
MOST_HELP = 3
# What a shop should be warmer than the adhesive needs: no thermometer is better (status: judgement).
SPARE_C = 2

# What speaks against a glue-up, and the words for it.
COLD, WET, SOAKED, SLOW, UNPRESSED = "cold", "wet", "soaked", "slow", "unpressed"
FAULTS = {
    COLD: "too cold",
    WET: "too wet",
    SOAKED: "soaked",
    SLOW: "too slow",
    UNPRESSED: "too little pressure",
}


@dataclass(frozen=True)
class Tried:
    """A glue-up against the clock, in draws: what it takes, what the glue allows, what is left [min]."""

    plan: GlueUpRequest
    time: Array
    hands: Array

    @property
    def allowed(self) -> tuple[float, float]:
        """Open and whole time that the glue allows [min]."""
        return allowed_min(self.plan.adhesive, self.plan.shop, self.plan.saturation_pct)

    @property
    def margin(self) -> Array:
        """What is left of the tighter time [min]."""
        return margin_min(self.plan.work, self.allowed, self.time, self.hands)

    @property
    def chance(self) -> float:
        """Of being in time."""
        return float(np.mean(self.margin[1:] > 0))

    @property
    def slow(self) -> bool:
        """True if it is not closed in time often enough."""
        return self.chance < SURE

    @property
    def forbids(self) -> tuple[str, ...]:
        """Why it is not glued at all, however quick the hands are."""
        plan = self.plan
        found = {
            COLD: plan.too_cold,
            WET: plan.too_wet,
            SOAKED: not plan.too_wet and plan.joint is not None and plan.joint.soaked,
        }
        return tuple(fault for fault, true in found.items() if true)

    @property
    def faults(self) -> tuple[str, ...]:
        """Why it is no go as it is; nothing for one that is, be it with a few clamps more."""
        slow = (SLOW,) if self.slow else ()
        return (*self.forbids, *slow, *((UNPRESSED,) if self.plan.unpressed else ()))

    @property
    def helped(self) -> "Tried | None":
        """The same with as many people, or in as cool a shop, as make a slow one quick enough; None where
        neither does."""
        ways = (*self.more_hands(MOST_HELP), *self.temperatures())
        return next((other for _, other in ways if not other.slow), None)

    @property
    def because(self) -> tuple[str, ...]:
        """Why it stops: the faults that no more hands or a cooler shop mend."""
        mended = self.slow and not self.plan.too_cold and self.helped is not None
        return tuple(fault for fault in self.faults if not (mended and fault == SLOW))

    def of(self, **changes: Any) -> "Tried":
        """The same with another plan."""
        return replace(self, plan=replace(self.plan, **changes))

    def worked(self, **changes: Any) -> "Tried":
        """The same, worked in another way."""
        return self.of(work=replace(self.plan.work, **changes))

    def more_hands(self, most: int = MOST_HANDS) -> "Ways":
        """With more people."""
        return [
            (f"{people} people", self.worked(hands=people))
            for people in range(self.plan.work.hands + 1, most + 1)
        ]

    def temperatures(self) -> "Ways":
        """Cooler by whole degrees down to a little above the least that the glue bears; up to there where
        the shop is too cold."""
        shop, least = self.plan.shop, math.ceil(self.plan.adhesive.temp_low_c) + SPARE_C
        cooler = range(math.ceil(shop.temp_c) - 1, least - 1, -1)
        return [
            (
                f"the shop at {temp} °C ({temp * 1.8 + 32:.0f} °F)",
                self.of(shop=replace(shop, temp_c=float(temp))),
            )
            for temp in ([least] if self.plan.too_cold else cooler)
        ]


Ways = Sequence[tuple[str, Tried]]


def instead(tried: Tried, catalogue: Catalogue) -> list[Instead]:
    """What would make it a go, each with its margin; two things together where no one of them does, but for
    another adhesive."""
    others = [_with(tried, adhesive) for adhesive in _adhesives(tried, catalogue)]
    laid = [("each strip laid as soon as it is spread", tried.worked(first_all=False))]
    clamped, warmer = list(_clamps(tried)), tried.temperatures()
    first = [
        laid if tried.plan.work.first_all else [],
        _smaller(tried),
        tried.more_hands(),
        *([way] for way in clamped),
    ]
    before, swapped, after = (
        [row for way in ways for row in _first_go(way)]
        for ways in (first, [[way] for way in others], [warmer])
    )
    found = [*before, *swapped, *after]
    if before or after:
        return found
    # Two things together, another adhesive among them only where none helps alone. Of the temperatures only
    # what warms a shop that is too cold: cooler by a degree helps little.
    pairs = [*clamped, *([] if swapped else others), *(warmer if tried.plan.too_cold else [])]
    both = [
        [(f"{name}, {words}", more) for words, more in changed(other)]
        for name, other in pairs
        for changed in (_smaller, Tried.more_hands, _clamps)
    ]
    return [*(row for way in both for row in _first_go(way)), *found]


def _first_go(ways: Ways) -> Iterator[Instead]:
    for words, other in ways:
        if not other.faults:
            chance = 100.0 * other.chance
            yield Instead(instead=words, margin_min=float(other.margin[0]), in_time_chance_pct=chance)
            return


def _smaller(tried: Tried) -> Ways:
    if tried.plan.joining:
        return []
    strips = tried.plan.work.strips
    return [
        (f"sections of {sections_text(balanced(strips, count))} strips", tried.worked(strips=count))
        for count in range(strips - 1, 1, -1)
    ]


def _clamps(tried: Tried) -> Iterator[tuple[str, Tried]]:
    """The least pressure by each kind of clamp, where so many fit."""
    plan = tried.plan
    if plan.pressure_mpa is None:
        return
    for clamp in clamps().values():
        number = plan.clamps_for(plan.pressure_mpa[0], clamp)
        if number <= plan.room_for_clamps:
            yield f"{number} × {clamp.name}", tried.worked(clamps=number).of(clamp=clamp, other_clamps=())


def _adhesives(tried: Tried, catalogue: Catalogue) -> list[Adhesive]:
    """All other types, the fastest first."""
    others = [adhesive for _, adhesive in catalogue.adhesives if adhesive.key != tried.plan.adhesive.key]
    return sorted(others, key=lambda adhesive: adhesive.assembly_min)


def _with(tried: Tried, adhesive: Adhesive) -> tuple[str, Tried]:
    other = tried.of(adhesive=adhesive)
    return adhesive.name, other if tried.plan.told_clamps else other.worked(clamps=usual_clamps(other.plan))
