"""The clock fruit ripen by: degree-days where the house's temperatures are kept, days otherwise."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from bayround import words
from bayround.agronomy.ripening_time import FruitStage
from bayround.crops.profile import CropProfile
from bayround.facts.bay_past import BayPast
from bayround.facts.farm import Planting
from bayround.figures import heat
from bayround.figures.fruit import pick_stage
from bayround.words import _

STAGES = ("flower", "set", "green", "turning", "coloured")
DURATION_OF = {
    "flower": "days_flower_to_set",
    "set": "days_set_to_green",
    "green": "days_green_to_turning",
    "turning": "days_turning_to_coloured",
}


@dataclass(frozen=True, slots=True)
class PickClock:
    """What one calendar day to come is worth: 1 (days) or the degree-days expected (°C·d).

    *per_stage_day* turns a stage's days in the crop profile into the unit of the clock: 1, or the
    profile's degree-days from flower to pick ÷ its days from flower to pick.
    """

    per_day: float = 1.0
    per_stage_day: float = 1.0
    in_heat: bool = False

    @property
    def says(self) -> str:
        """The clock in words, for “how do you know?”."""
        if not self.in_heat:
            return _("days; temperatures of the last {n} days are not kept").format(n=heat.RECENT_DAYS)
        return _("degree-days; {heat} °C day a day as in the last {n} days").format(
            heat=words.number(self.per_day, 1), n=heat.RECENT_DAYS
        )


def clock_of(past: BayPast, profile: CropProfile, on: date) -> PickClock:
    """Return the clock for what ripens after *on*."""
    per_day = heat.expected_per_day(past, profile, on)
    if per_day is None:
        return PickClock()
    reached = STAGES[: STAGES.index(profile.pick_stages[0])]
    days = sum(profile.number(DURATION_OF[stage]).value for stage in reached)
    return PickClock(per_day, profile.number("heat_flower_to_pick_cd").value / days, in_heat=True)


def stages_of(
    profile: CropProfile, planting: Planting, clock: PickClock, wait_days: float | None = None
) -> tuple[FruitStage, ...]:
    """Return the stages up to the one at which the planting is picked, each with duration and chance.

    *wait_days*: how long ripe fruit wait for their pick; left out, half the days between two picks.
    """
    last = pick_stage(profile, planting)
    names = STAGES[: STAGES.index(last) + 1]
    days = profile.number("days_between_picks").value / 2 if wait_days is None else wait_days
    wait = days * clock.per_day
    chances = {name: profile.number(f"chance_{name}_picked").value for name in STAGES[:-1]}
    chances["coloured"] = 1.0
    return tuple(
        FruitStage(
            name,
            wait if name == last else profile.number(DURATION_OF[name]).value * clock.per_stage_day,
            min(1.0, chances[name]),
        )
        for name in names
    )
