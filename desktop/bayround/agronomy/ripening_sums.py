"""The sums behind a pick forecast: what is expected in a window of time, and its variance by source."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from bayround.agronomy.ripening_time import FruitStage, normal_ramp, ready_share
from bayround.agronomy.stage_ages import StageAges

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = [
    "FruitWeight",
    "NewFlowers",
    "Sample",
    "Variances",
    "expected_fruit",
    "most_when_none_seen",
    "variances",
]


@dataclass(frozen=True, slots=True)
class FruitWeight:
    """Weight of a picked fruit in kg: mean, standard deviation between fruit, standard error of the mean."""

    mean_kg: float
    deviation_kg: float = 0.0
    standard_error_kg: float = 0.0


@dataclass(frozen=True, slots=True)
class NewFlowers:
    """Flowers that will still open: per plant and unit of the clock, with the standard error of that."""

    per_plant: float
    standard_error: float = 0.0


@dataclass(frozen=True, slots=True)
class Variances:
    """Variances of a forecast in fruit², from the plants marked, luck, chances, ages within stages, clock."""

    plants: float
    luck: float
    chances: float
    ages: float
    clock: float


@dataclass(frozen=True, slots=True)
class Sample:
    """The counts with what every window needs of them."""

    counts: "NDArray[Any]"
    stages: Sequence[FruitStage]
    standing: int
    variation: float
    clock_deviation: float
    flowers: NewFlowers | None
    weight: FruitWeight
    level: float
    ages: Sequence[StageAges]
    set_variation: float
    week: float


def _bin_shares(sample: Sample, place: int, start: float | None, end: float) -> list[tuple[float, float]]:
    """(share of the stage's fruit, share of these picked in the window) for each age bin of a stage."""
    stage = sample.stages[place]
    after = math.fsum(later.duration for later in sample.stages[place + 1 :])
    shares = []
    for each in sample.ages[place].bins:
        width, ahead = each.oldest - each.youngest, after + max(0.0, stage.duration - each.oldest)
        until = ready_share(width, ahead, end, sample.variation)
        since = 0.0 if start is None else ready_share(width, ahead, start, sample.variation)
        shares.append((each.share, max(0.0, until - since)))
    return shares


def _window_shares(sample: Sample, start: float | None, end: float) -> list[float]:
    """Share of each stage's fruit that are picked between the two times (``start`` None: from now)."""
    return [
        min(1.0, math.fsum(own * picked for own, picked in _bin_shares(sample, place, start, end)))
        for place in range(len(sample.stages))
    ]


def _new_flower_span(sample: Sample, start: float | None, end: float) -> float:
    """Units of the clock whose flowers, not yet open, are picked in the window."""
    if sample.flowers is None:
        return 0.0
    total = math.fsum(stage.duration for stage in sample.stages)
    deviation = sample.variation * total
    since = 0.0 if start is None else normal_ramp(start - total, deviation)
    return max(0.0, normal_ramp(end - total, deviation) - since)


def expected_fruit(sample: Sample, start: float | None, end: float) -> float:
    """Fruit picked in the planting in the window, expected."""
    shares = _window_shares(sample, start, end)
    flowers = sample.flowers.per_plant * _new_flower_span(sample, start, end) if sample.flowers else 0.0
    means = sample.counts.mean(axis=0)
    seen = math.fsum(
        float(mean) * share * stage.chance
        for mean, share, stage in zip(means, shares, sample.stages, strict=True)
    )
    return sample.standing * (seen + flowers * sample.stages[0].chance)


def variances(sample: Sample, start: float | None, end: float) -> Variances:
    """Variances of the forecast in fruit², one a source."""
    import numpy as np

    shares = np.array(_window_shares(sample, start, end))
    chances = np.array([stage.chance for stage in sample.stages])
    means, (count, _) = sample.counts.mean(axis=0), sample.counts.shape
    span = _new_flower_span(sample, start, end)
    rate, rate_error = (
        (sample.flowers.per_plant, sample.flowers.standard_error) if sample.flowers else (0.0, 0.0)
    )
    per_plant = sample.counts @ (shares * chances)
    standing = sample.standing
    plants = standing**2 * (1 - count / standing) * float(per_plant.var(ddof=1)) / count
    plants += (standing * span * float(chances[0]) * rate_error) ** 2
    picked = shares * chances
    luck = standing * (float(np.sum(means * picked * (1 - picked))) + rate * span * float(chances[0]))
    reached = means * shares
    reached[0] += rate * span
    chance = standing**2 * float(
        np.sum(reached**2 * np.array([stage.chance_variance for stage in sample.stages]))
    )
    return Variances(
        plants, luck, chance, _age_variance(sample, start, end), _clock_variance(sample, start, end)
    )


def _age_variance(sample: Sample, start: float | None, end: float) -> float:
    """What not knowing the ages within a stage adds, the same for all plants.

    Variance of a weighted Dirichlet share, (mean of squares - square of mean) / (k + 1) over the age bins: k
    is the number of fruit the ages are known from or, where they are not known, the weeks the stage lasts
    over the squared week-to-week variation of set.
    """
    total = 0.0
    for place, (stage, ages) in enumerate(zip(sample.stages, sample.ages, strict=True)):
        known = ages.fruit
        if known == 0:
            if sample.set_variation == 0:
                continue
            known = stage.duration / sample.week / sample.set_variation**2
        shares = _bin_shares(sample, place, start, end)
        mean = math.fsum(own * picked for own, picked in shares)
        spread = math.fsum(own * (picked - mean) ** 2 for own, picked in shares)
        fruit = sample.standing * float(sample.counts[:, place].mean()) * stage.chance
        total += fruit**2 * spread / (known + 1)
    return total


def _clock_variance(sample: Sample, start: float | None, end: float) -> float:
    """Mean square change of the forecast when the clock runs one standard deviation fast or slow."""
    shift = sample.clock_deviation
    if shift == 0:
        return 0.0
    plain = expected_fruit(sample, start, end)
    moved = [
        expected_fruit(sample, None if start is None else start + by, end + by) for by in (-shift, shift)
    ]
    return math.fsum((each - plain) ** 2 for each in moved) / 2


def most_when_none_seen(sample: Sample, start: float | None, end: float) -> float:
    """Upper limit of fruit picked when no marked plant carries any that could be (-ln(tail) / plants)."""
    shares = _window_shares(sample, start, end)
    chance = max(share * stage.chance for share, stage in zip(shares, sample.stages, strict=True))
    return sample.standing * chance * -math.log((1 - sample.level) / 2) / len(sample.counts)
