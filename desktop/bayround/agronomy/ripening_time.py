"""How long a fruit still needs, and its chance to be picked at all.

The clock is days, or degree-days where temperatures are kept; stage durations are in the same unit.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bayround.agronomy.distributions import beta_quantile
from bayround.agronomy.guards import not_negative_number
from bayround.agronomy.inputs import positive_number, share_between, whole_number

__all__ = [
    "FruitStage",
    "LearnedChance",
    "clock_in_days",
    "clock_in_degree_days",
    "learn_chance",
    "normal_ramp",
    "ready_share",
]


@dataclass(frozen=True, slots=True)
class FruitStage:
    """A stage a fruit passes through, from the youngest to the one it is picked in.

    duration: how long it lasts, in the unit of the clock (days or °C·d); for the last stage, the wait until
    it is picked. chance: chance that a fruit seen now in this stage is picked in the end (not aborted, not
    culled). chance_variance: how sure that is (`learn_chance`), 0 when taken as known.
    """

    name: str
    duration: float
    chance: float
    chance_variance: float = 0.0


@dataclass(frozen=True, slots=True)
class LearnedChance:
    """A chance learned from the farm's own fruit, drawn towards the profile while they are few.

    own_share: weight of the farm's own fruit in it, 0 to 1.
    """

    chance: float
    variance: float
    low: float
    high: float
    own_share: float


def clock_in_days(weeks: int) -> tuple[float, ...]:
    """Ends of the next 1 to 4 weeks in days. Errors: ValueError for another number of weeks."""
    if not 1 <= whole_number(weeks, "weeks", at_least=1) <= 4:
        raise ValueError(f"a forecast reaches 1 to 4 weeks, not {weeks}")
    return tuple(7.0 * week for week in range(1, weeks + 1))


def clock_in_degree_days(daily_heat: Sequence[float]) -> tuple[float, ...]:
    """Ends of the next 1 to 4 weeks in °C·d, from the expected heat of a day in each week (°C·d per day).

    Errors: ValueError for another number of weeks, or heat not above 0.
    """
    ends = clock_in_days(len(daily_heat))
    heats = [positive_number(heat, "daily_heat") for heat in daily_heat]
    return tuple(math.fsum(7 * heat for heat in heats[: week + 1]) for week in range(len(ends)))


def normal_ramp(time: float, deviation: float) -> float:
    """Integral of the normal distribution function up to ``time``: the smooth form of max(0, time).

    ``deviation`` in the unit of ``time``; 0 gives max(0, time) itself.
    """
    if deviation == 0:
        return max(0.0, time)
    ratio = time / deviation
    density = math.exp(-ratio * ratio / 2) / math.sqrt(2 * math.pi)
    return time * 0.5 * math.erfc(-ratio / math.sqrt(2)) + deviation * density


def ready_share(duration: float, ahead: float, time: float, duration_variation: float = 0.0) -> float:
    """Share of the fruit now in a stage that have left all stages within ``time``, if none are lost.

    Time left = even over the ``duration`` of this stage + ``ahead`` (the stages after it) + normal with
    standard deviation ``duration_variation`` x (duration / 2 + ahead). One unit throughout.
    Errors: ValueError when duration is not above 0, or another number is below 0.
    """
    positive_number(duration, "duration")
    deviation = not_negative_number(duration_variation, "duration_variation") * (
        duration / 2 + not_negative_number(ahead, "ahead")
    )
    passed = normal_ramp(time - ahead, deviation) - normal_ramp(time - ahead - duration, deviation)
    return min(1.0, max(0.0, passed / duration))


def learn_chance(
    picked: int, followed: int, *, profile_chance: float, profile_weight: float, level: float = 0.8
) -> LearnedChance:
    """Chance that a fruit is picked, from the farm's own followed fruit, drawn towards the profile.

    Beta-binomial: (weight x profile + picked) / (weight + followed); ``profile_weight`` is how many fruit
    the profile is worth. Variance and interval are those of the beta distribution (Gelman et al. 2013,
    Bayesian Data Analysis, 3rd ed., section 2.4).
    Errors: ValueError when picked is above followed or below 0, or the profile is not inside 0 to 1.
    """
    own = whole_number(followed, "followed", at_least=0)
    if whole_number(picked, "picked", at_least=0) > own:
        raise ValueError(f"picked ({picked}) must not be above followed ({followed})")
    prior = positive_number(profile_weight, "profile_weight")
    yes = prior * share_between(profile_chance, "profile_chance") + picked
    size = prior + own
    chance = yes / size
    tail = (1 - share_between(level, "level")) / 2
    return LearnedChance(
        chance=chance,
        variance=chance * (1 - chance) / (size + 1),
        low=beta_quantile(tail, yes, size - yes),
        high=beta_quantile(1 - tail, yes, size - yes),
        own_share=own / size,
    )
