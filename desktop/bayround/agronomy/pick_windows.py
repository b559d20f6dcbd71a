"""The pick forecast of `ripening` for fruit spread evenly over their stages, quick enough for 200 bays at once.

The same sums (`ripening_sums`), laid out for many small plantings: which share of a stage is picked in which
week depends only on the clock, so it is worked out once for all bays that share one; what is left for a bay
is a handful of products.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from bayround.agronomy.distributions import two_sided_t
from bayround.agronomy.guards import not_negative_number
from bayround.agronomy.inputs import positive_number, whole_number
from bayround.agronomy.ripening import PickWindow
from bayround.agronomy.ripening_sums import FruitWeight, NewFlowers
from bayround.agronomy.ripening_time import FruitStage, normal_ramp, ready_share

__all__ = ["EvenFruit", "pick_windows"]


@dataclass(frozen=True, slots=True)
class EvenFruit:
    """What the fruit of several bays have in common: stages, spread of their pace, and the common clock.

    duration_variation: standard deviation over mean of the time single fruit still need. clock_deviation:
    standard deviation of what all fruit have in common, in the unit of the durations.
    """

    stages: tuple[FruitStage, ...]
    duration_variation: float
    clock_deviation: float


@dataclass(frozen=True, slots=True)
class _Shares:
    """Chance of a fruit of each stage to be picked in one window, and how long flowers to come are for it."""

    picked: tuple[float, ...]
    flower_span: float


def _until(fruit: EvenFruit, time: float) -> _Shares:
    """Shares ready by a time, and units of the clock whose flowers are ready by then."""
    ahead, total = 0.0, math.fsum(stage.duration for stage in fruit.stages)
    ready = []
    for stage in reversed(fruit.stages):
        ready.append(ready_share(stage.duration, ahead, time, fruit.duration_variation))
        ahead += stage.duration
    return _Shares(tuple(reversed(ready)), normal_ramp(time - total, fruit.duration_variation * total))


def _between(fruit: EvenFruit, since: _Shares | None, until: _Shares) -> _Shares:
    """What is picked from one time to another: chance × share. Without *since* from now on."""
    picked = []
    for place, (stage, share) in enumerate(zip(fruit.stages, until.picked, strict=True)):
        before = 0.0 if since is None else since.picked[place]
        picked.append(max(0.0, share - before) * stage.chance)
    span = until.flower_span - (0.0 if since is None else since.flower_span)
    return _Shares(tuple(picked), max(0.0, span))


@lru_cache(maxsize=512)
def _windows(fruit: EvenFruit, ends: tuple[float, ...]) -> tuple[tuple[_Shares, _Shares, _Shares], ...]:
    """For every window the shares with the clock on time, slow and fast by one standard deviation."""
    moved = []
    for shift in (0.0, -fruit.clock_deviation, fruit.clock_deviation):
        edges: list[_Shares | None] = [None, *(_until(fruit, end + shift) for end in ends)]
        moved.append([_between(fruit, since, until) for since, until in pairwise(edges) if until is not None])
    return tuple(zip(*moved, strict=True))


def pick_windows(
    counts: Sequence[Sequence[float]],
    fruit: EvenFruit,
    *,
    week_ends: Sequence[float],
    plants_standing: int,
    weight: FruitWeight,
    flowers_per_plant: float = 0.0,
    level: float = 0.8,
) -> tuple[PickWindow, ...]:
    """Fruit and kg picked up to each of ``week_ends``, each from the end before it (the first from now).

    counts: marked plants × stages, youngest stage first. flowers_per_plant: flowers that open on a plant in
    one unit of the clock, taken as known. All else as in `ripening.forecast_picks`, which gives the same
    numbers. Errors: ValueError for fewer than two plants, ragged or negative counts, ends that do not rise,
    or more plants counted than stand.
    """
    standing = whole_number(plants_standing, "plants_standing", at_least=max(2, len(counts)))
    ends = tuple(positive_number(end, "week_ends") for end in week_ends)
    if not ends or any(later <= earlier for earlier, later in pairwise(ends)):
        raise ValueError("week_ends must rise")
    if len(counts) < 2 or any(len(row) != len(fruit.stages) for row in counts):
        raise ValueError("at least two marked plants are needed, with one count a stage each")
    if any(not count >= 0 for row in counts for count in row):
        raise ValueError("counts must not be below 0")
    positive_number(weight.mean_kg, "mean_kg")
    flowers = NewFlowers(not_negative_number(flowers_per_plant, "flowers_per_plant"))
    bay = _Bay(counts, standing, weight, flowers, two_sided_t(level, len(counts) - 1), level)
    return tuple(
        _window(bay, fruit, week, moved) for week, moved in enumerate(_windows(fruit, ends), start=1)
    )


@dataclass(frozen=True, slots=True)
class _Bay:
    """One bay's counts with what every window needs of them."""

    counts: Sequence[Sequence[float]]
    standing: int
    weight: FruitWeight
    flowers: NewFlowers
    multiplier: float
    level: float


def _expected(bay: _Bay, fruit: EvenFruit, means: Sequence[float], shares: _Shares) -> float:
    seen = math.fsum(mean * picked for mean, picked in zip(means, shares.picked, strict=True))
    new = bay.flowers.per_plant * shares.flower_span * fruit.stages[0].chance
    return bay.standing * (seen + new)


def _window(bay: _Bay, fruit: EvenFruit, week: int, moved: tuple[_Shares, _Shares, _Shares]) -> PickWindow:
    on_time, slow, fast = moved
    count = len(bay.counts)
    means = [math.fsum(column) / count for column in zip(*bay.counts, strict=True)]
    expected = _expected(bay, fruit, means, on_time)
    plants = _plants_variance(bay, on_time.picked)
    luck = bay.standing * (
        math.fsum(mean * share * (1 - share) for mean, share in zip(means, on_time.picked, strict=True))
        + bay.flowers.per_plant * on_time.flower_span * fruit.stages[0].chance
    )
    clock = math.fsum((_expected(bay, fruit, means, each) - expected) ** 2 for each in (slow, fast)) / 2
    return _pick_window(bay, week, expected, (plants, luck, clock), max(on_time.picked))


def _plants_variance(bay: _Bay, picked: Sequence[float]) -> float:
    """Variance from which plants were marked: simple random sample, finite population."""
    sums = [math.fsum(c * share for c, share in zip(row, picked, strict=True)) for row in bay.counts]
    count, mean = len(sums), math.fsum(sums) / len(sums)
    spread = math.fsum((each - mean) ** 2 for each in sums) / (count - 1)
    return bay.standing**2 * (1 - count / bay.standing) * spread / count


def _pick_window(
    bay: _Bay, week: int, expected: float, parts: tuple[float, float, float], best_chance: float
) -> PickWindow:
    variance = math.fsum(parts)
    half = bay.multiplier * math.sqrt(variance)
    unseen = bay.standing * best_chance * -math.log((1 - bay.level) / 2) / len(bay.counts)
    high = expected + half if expected > 0 else unseen
    weight = bay.weight
    of_weight = (expected * weight.standard_error_kg) ** 2 + expected * weight.deviation_kg**2
    kg = expected * weight.mean_kg
    half_kg = bay.multiplier * math.sqrt(weight.mean_kg**2 * variance + of_weight)
    plants, luck, clock = (math.sqrt(part) for part in parts)
    return PickWindow(
        first_week=week,
        last_week=week,
        fruit=expected,
        fruit_low=max(0.0, expected - half),
        fruit_high=high,
        kg=kg,
        kg_low=max(0.0, kg - half_kg),
        kg_high=kg + half_kg if expected > 0 else high * weight.mean_kg,
        error_plants=plants,
        error_luck=luck,
        error_chances=0.0,
        error_clock=clock,
        error_weight_kg=math.sqrt(of_weight),
        complete=True,
    )
