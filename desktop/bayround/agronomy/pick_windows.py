"""The pick forecast of `ripening`, quick enough for 200 bays at once.

The same sums (`ripening_sums`), laid out for many small plantings: which share of the fruit of one age is
picked in which week depends only on the clock and on the days of the rounds, so it is worked out once for all
bays that share them; what is left for a bay is a handful of products.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from operator import mul

from bayround.agronomy.distributions import two_sided_t
from bayround.agronomy.guards import not_negative_number
from bayround.agronomy.inputs import positive_number, whole_number
from bayround.agronomy.ripening import PickWindow
from bayround.agronomy.ripening_sums import FruitWeight, NewFlowers
from bayround.agronomy.ripening_time import FruitStage, normal_ramp, ready_share
from bayround.agronomy.stage_ages import StageAges, even_ages

__all__ = ["RipeningFruit", "pick_windows"]

Edges = tuple[tuple[tuple[float, float], ...], ...]
"""Of each stage the age bins of its fruit: (youngest, oldest) in units of the clock."""


@dataclass(frozen=True, slots=True)
class RipeningFruit:
    """The fruit of a planting: stages with durations and chances, spread of their pace, and the common clock.

    duration_variation: standard deviation over mean of the time single fruit still need. clock_deviation:
    standard deviation of what all fruit have in common, in the unit of the durations.
    """

    stages: tuple[FruitStage, ...]
    duration_variation: float
    clock_deviation: float


@dataclass(frozen=True, slots=True)
class _Pace:
    """What decides when fruit are ready, whatever their number and chances."""

    durations: tuple[float, ...]
    edges: Edges
    variation: float
    deviation: float


@dataclass(frozen=True, slots=True)
class _Shares:
    """Share of each age bin, stage by stage, picked in one window, and how long flowers to come are for it."""

    picked: tuple[tuple[float, ...], ...]
    flower_span: float


def _until(pace: _Pace, time: float) -> _Shares:
    """Shares ready by a time, and units of the clock whose flowers are ready by then."""
    after, total = 0.0, math.fsum(pace.durations)
    ready = []
    for duration, bins in zip(reversed(pace.durations), reversed(pace.edges), strict=True):
        ready.append(
            tuple(
                ready_share(oldest - youngest, after + max(0.0, duration - oldest), time, pace.variation)
                for youngest, oldest in bins
            )
        )
        after += duration
    return _Shares(tuple(reversed(ready)), normal_ramp(time - total, pace.variation * total))


def _between(since: _Shares | None, until: _Shares) -> _Shares:
    """What is picked from one time to another. Without *since* from now on."""
    if since is None:
        return _Shares(until.picked, max(0.0, until.flower_span))
    picked = tuple(
        tuple(max(0.0, late - early) for late, early in zip(bins, before, strict=True))
        for bins, before in zip(until.picked, since.picked, strict=True)
    )
    return _Shares(picked, max(0.0, until.flower_span - since.flower_span))


@lru_cache(maxsize=2048)
def _windows(pace: _Pace, ends: tuple[float, ...]) -> tuple[tuple[_Shares, _Shares, _Shares], ...]:
    """For every window the shares with the clock on time, slow and fast by one standard deviation."""
    moved = []
    for shift in (0.0, -pace.deviation, pace.deviation):
        edges: list[_Shares | None] = [None, *(_until(pace, end + shift) for end in ends)]
        moved.append([_between(since, until) for since, until in pairwise(edges) if until is not None])
    return tuple(zip(*moved, strict=True))


def pick_windows(
    counts: Sequence[Sequence[float]],
    fruit: RipeningFruit,
    *,
    week_ends: Sequence[float],
    plants_standing: int,
    weight: FruitWeight,
    new_flowers: NewFlowers | None = None,
    ages: Sequence[StageAges] | None = None,
    set_variation: float = 0.0,
    week: float = 7.0,
    level: float = 0.8,
) -> tuple[PickWindow, ...]:
    """Fruit and kg picked up to each of ``week_ends``, each from the end before it (the first from now).

    counts: marked plants × stages, youngest stage first. week: seven days in units of the clock. All else as
    in `ripening.forecast_picks`, which gives the same numbers. Errors: ValueError for fewer than two plants,
    ragged or negative counts, ends that do not rise, ages not of these stages, or more plants counted than
    stand.
    """
    standing = whole_number(plants_standing, "plants_standing", at_least=max(2, len(counts)))
    ends = _checked_ends(week_ends)
    _check_counts(counts, fruit)
    positive_number(weight.mean_kg, "mean_kg")
    known = _ages_of(ages, fruit.stages, week)
    pace = _Pace(
        durations=tuple(stage.duration for stage in fruit.stages),
        edges=tuple(tuple((one.youngest, one.oldest) for one in own.bins) for own in known),
        variation=fruit.duration_variation,
        deviation=fruit.clock_deviation,
    )
    count = len(counts)
    bay = _Bay(
        counts=counts,
        means=[math.fsum(column) / count for column in zip(*counts, strict=True)],
        fruit=fruit,
        standing=standing,
        weight=weight,
        flowers=_checked_flowers(new_flowers),
        chances=[stage.chance for stage in fruit.stages],
        bin_shares=[[one.share for one in own.bins] for own in known],
        known_from=_known_from(known, fruit.stages, week, set_variation),
        multiplier=two_sided_t(level, count - 1),
        level=level,
    )
    return tuple(_window(bay, place, moved) for place, moved in enumerate(_windows(pace, ends), start=1))


def _checked_ends(week_ends: Sequence[float]) -> tuple[float, ...]:
    ends = tuple(positive_number(end, "week_ends") for end in week_ends)
    if not ends or any(later <= earlier for earlier, later in pairwise(ends)):
        raise ValueError("week_ends must rise")
    return ends


def _check_counts(counts: Sequence[Sequence[float]], fruit: RipeningFruit) -> None:
    if len(counts) < 2 or any(len(row) != len(fruit.stages) for row in counts):
        raise ValueError("at least two marked plants are needed, with one count a stage each")
    if not all(min(row) >= 0 and sum(row) < math.inf for row in counts):
        raise ValueError("counts must not be below 0")


def _ages_of(
    ages: Sequence[StageAges] | None, stages: Sequence[FruitStage], week: float
) -> tuple[StageAges, ...]:
    if ages is None:
        return tuple(even_ages(stage.duration, week) for stage in stages)
    if len(ages) != len(stages) or any(not own.bins for own in ages):
        raise ValueError("ages must be given for every stage")
    return tuple(ages)


def _checked_flowers(flowers: NewFlowers | None) -> NewFlowers:
    if flowers is None:
        return NewFlowers(0.0)
    not_negative_number(flowers.per_plant, "new flowers per_plant")
    not_negative_number(flowers.standard_error, "new flowers standard_error")
    return flowers


def _known_from(
    ages: Sequence[StageAges], stages: Sequence[FruitStage], week: float, set_variation: float
) -> tuple[float, ...]:
    """For each stage the number of fruit its ages are as good as known from; infinite where they add no error."""
    varies = not_negative_number(set_variation, "set_variation")
    unknown = math.inf if varies == 0 else 1 / week / varies**2
    return tuple(own.fruit or stage.duration * unknown for own, stage in zip(ages, stages, strict=True))


@dataclass(frozen=True, slots=True)
class _Bay:
    """One bay's counts with what every window needs of them."""

    counts: Sequence[Sequence[float]]
    means: Sequence[float]
    fruit: RipeningFruit
    standing: int
    weight: FruitWeight
    flowers: NewFlowers
    chances: Sequence[float]
    bin_shares: Sequence[Sequence[float]]
    known_from: tuple[float, ...]
    multiplier: float
    level: float

    def shares(self, of_bins: Sequence[Sequence[float]]) -> list[float]:
        """Share of each stage's fruit picked, over its age bins."""
        return [
            min(1.0, sum(map(mul, own, parts))) for own, parts in zip(self.bin_shares, of_bins, strict=True)
        ]

    def expected(self, shares: Sequence[float], flower_span: float) -> float:
        """Fruit picked in the whole planting."""
        seen: float = sum(map(mul, map(mul, self.means, shares), self.chances))
        return self.standing * (seen + self.flowers.per_plant * flower_span * self.chances[0])


def _window(bay: _Bay, place: int, moved: tuple[_Shares, _Shares, _Shares]) -> PickWindow:
    on_time = moved[0]
    shares, span = bay.shares(on_time.picked), on_time.flower_span
    expected = bay.expected(shares, span)
    picked = list(map(mul, shares, bay.chances))
    first = bay.chances[0]
    plants = _plants_variance(bay, picked) + (bay.standing * span * first * bay.flowers.standard_error) ** 2
    luck = bay.standing * (
        sum([mean * share * (1 - share) for mean, share in zip(bay.means, picked, strict=True)])
        + bay.flowers.per_plant * span * first
    )
    reached = list(map(mul, bay.means, shares))
    reached[0] += bay.flowers.per_plant * span
    chances = bay.standing**2 * sum(
        [each**2 * stage.chance_variance for each, stage in zip(reached, bay.fruit.stages, strict=True)]
    )
    clock = 0.0
    if bay.fruit.clock_deviation:
        for each in moved[1:]:
            clock += (bay.expected(bay.shares(each.picked), each.flower_span) - expected) ** 2 / 2
    parts = _Parts(plants, luck, chances, _age_variance(bay, on_time.picked, shares), clock)
    return _pick_window(bay, place, expected, parts, max(picked))


@dataclass(frozen=True, slots=True)
class _Parts:
    """Variances in fruit², one a source."""

    plants: float
    luck: float
    chances: float
    ages: float
    clock: float


def _plants_variance(bay: _Bay, picked: Sequence[float]) -> float:
    """Variance from which plants were marked: simple random sample, finite population."""
    sums: list[float] = [sum(map(mul, row, picked)) for row in bay.counts]
    count, mean = len(sums), sum(sums) / len(sums)
    spread = sum([(each - mean) ** 2 for each in sums]) / (count - 1)
    return bay.standing**2 * (1 - count / bay.standing) * spread / count


def _age_variance(bay: _Bay, of_bins: Sequence[Sequence[float]], shares: Sequence[float]) -> float:
    """What not knowing the ages within a stage adds, as in `ripening_sums`."""
    total = 0.0
    for place, chance in enumerate(bay.chances):
        if bay.known_from[place] == math.inf or len(of_bins[place]) == 1 or not bay.means[place]:
            continue
        mean = shares[place]
        spread = sum(
            [
                own * (part - mean) ** 2
                for own, part in zip(bay.bin_shares[place], of_bins[place], strict=True)
            ]
        )
        fruit = bay.standing * bay.means[place] * chance
        total += fruit**2 * spread / (bay.known_from[place] + 1)
    return total


def _pick_window(bay: _Bay, place: int, expected: float, parts: _Parts, best_chance: float) -> PickWindow:
    variance = parts.plants + parts.luck + parts.chances + parts.ages + parts.clock
    half = bay.multiplier * math.sqrt(variance)
    unseen = bay.standing * best_chance * -math.log((1 - bay.level) / 2) / len(bay.counts)
    high = expected + half if expected > 0 else unseen
    weight = bay.weight
    of_weight = (expected * weight.standard_error_kg) ** 2 + expected * weight.deviation_kg**2
    kg = expected * weight.mean_kg
    half_kg = bay.multiplier * math.sqrt(weight.mean_kg**2 * variance + of_weight)
    return PickWindow(
        first_week=place,
        last_week=place,
        fruit=expected,
        fruit_low=max(0.0, expected - half),
        fruit_high=high,
        kg=kg,
        kg_low=max(0.0, kg - half_kg),
        kg_high=kg + half_kg if expected > 0 else high * weight.mean_kg,
        error_plants=math.sqrt(parts.plants),
        error_luck=math.sqrt(parts.luck),
        error_chances=math.sqrt(parts.chances),
        error_clock=math.sqrt(parts.clock),
        error_weight_kg=math.sqrt(of_weight),
        complete=True,
        error_ages=math.sqrt(parts.ages),
    )
